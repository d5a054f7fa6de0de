//! Words in a row: plain, linked, amounts, notes.

/// A piece of a sentence.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Span {
    /// Plain words.
    Plain(String),
    /// Words that lead somewhere.
    Link {
        /// The words.
        text: String,
        /// Where they lead: a path on the same host.
        to: String,
    },
    /// An amount.
    Amount(Amount),
    /// Words of the note language, or a handle.
    Note(String),
    /// Words that weigh more than their neighbours.
    Strong(String),
}

/// An amount, printed with the digits that it has.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Amount {
    /// The digits, with sign and point: `-12.50`.
    pub digits: String,
    /// The unit, where no column says it.
    pub unit: Option<String>,
    /// Where it is told what the amount stands on: its notes and its sources.
    pub why: Option<String>,
}

/// Words in a row.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Words(pub Vec<Span>);

impl Words {
    /// Plain words.
    pub fn new(text: impl Into<String>) -> Self {
        Self::default().plain(text)
    }

    /// A single link.
    pub fn linked(text: impl Into<String>, to: impl Into<String>) -> Self {
        Self::default().link(text, to)
    }

    /// A single amount without a unit, as a cell of a table has it.
    pub fn amount(digits: impl Into<String>) -> Self {
        Self::default().number(digits, None, None)
    }

    /// A single amount that leads to what it stands on.
    pub fn because(digits: impl Into<String>, why: impl Into<String>) -> Self {
        Self::default().number(digits, None, Some(why.into()))
    }

    /// Plain words behind.
    #[must_use]
    pub fn plain(mut self, text: impl Into<String>) -> Self {
        let text = text.into();
        if !text.is_empty() {
            self.0.push(Span::Plain(text));
        }
        self
    }

    /// Words that lead somewhere.
    #[must_use]
    pub fn link(mut self, text: impl Into<String>, to: impl Into<String>) -> Self {
        self.0.push(Span::Link {
            text: text.into(),
            to: to.into(),
        });
        self
    }

    /// Words of the note language.
    #[must_use]
    pub fn note(mut self, text: impl Into<String>) -> Self {
        self.0.push(Span::Note(text.into()));
        self
    }

    /// Words that weigh more.
    #[must_use]
    pub fn strong(mut self, text: impl Into<String>) -> Self {
        self.0.push(Span::Strong(text.into()));
        self
    }

    /// An amount with its unit and what it stands on.
    #[must_use]
    pub fn number(mut self, digits: impl Into<String>, unit: Option<&str>, why: Option<String>) -> Self {
        self.0.push(Span::Amount(Amount {
            digits: digits.into(),
            unit: unit.map(str::to_owned),
            why,
        }));
        self
    }

    /// Other words behind.
    #[must_use]
    pub fn and(mut self, other: Self) -> Self {
        self.0.extend(other.0);
        self
    }

    /// Whether nothing is said.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}

impl From<&str> for Words {
    fn from(text: &str) -> Self {
        Self::new(text)
    }
}

impl From<String> for Words {
    fn from(text: String) -> Self {
        Self::new(text)
    }
}

/// The words alone, as a terminal prints them.
impl std::fmt::Display for Words {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        self.0.iter().try_for_each(|span| match span {
            Span::Plain(text) | Span::Link { text, .. } | Span::Note(text) | Span::Strong(text) => {
                f.write_str(text)
            }
            Span::Amount(amount) => {
                f.write_str(&amount.digits)?;
                amount.unit.iter().try_for_each(|unit| write!(f, " {unit}"))
            }
        })
    }
}
