//! What is odd in the books: collected and shown, never a reason to stop.

/// How odd a note is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Weight {
    /// Unusual: said when it is written, and then forgotten.
    Remark,
    /// Odd: written all the same, and stands as a complaint.
    Odd,
    /// Plainly impossible: refused at the desk unless the keeper insists, and a complaint where it stands.
    Impossible,
}

/// A doubt about a note, before it is written or when it is read again.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Misgiving {
    /// How odd it is.
    pub weight: Weight,
    /// What is odd, as a sentence.
    pub says: String,
    /// A way out, where one is near.
    pub hint: Option<String>,
    /// Earlier entries that it is about, by their places in the books.
    pub about: Vec<usize>,
    /// The field of the note that is to blame, by its name in the table of verbs; none where it is the note as a
    /// whole.
    pub field: Option<&'static str>,
}

impl Misgiving {
    /// A doubt without a hint, about no other entry and no one field.
    pub fn new(weight: Weight, says: impl Into<String>) -> Self {
        Self {
            weight,
            says: says.into(),
            hint: None,
            about: Vec::new(),
            field: None,
        }
    }

    pub(crate) fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = Some(hint.into());
        self
    }

    pub(crate) fn about(mut self, entry: usize) -> Self {
        self.about.push(entry);
        self
    }

    pub(crate) fn on(mut self, field: &'static str) -> Self {
        self.field = Some(field);
        self
    }
}

/// Something odd in the books.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Complaint {
    /// The entries it is about, by their places in the books; the one it arose from comes first.
    pub about: Vec<usize>,
    /// What is odd, as a sentence.
    pub says: String,
    /// A way out, where one is near.
    pub hint: Option<String>,
}
