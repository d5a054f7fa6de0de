//! Which column fills which key of which form.

use std::collections::BTreeMap;

use apiary::note::compose::{COMMON_KEYS, MOST_ROUNDS, blanks};
use apiary::note::table::{Entry, Shape};
use apiary::note::{nearest, table};
use thiserror::Error;

use super::cell::{Filling, shortened};
use super::sheet::Sheet;

/// In which order the parts of a day stand.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum DayOrder {
    /// 2026-07-19.
    #[default]
    Ymd,
    /// 19.7.2026.
    Dmy,
    /// 7/19/2026.
    Mdy,
}

impl DayOrder {
    pub(super) const fn example(self) -> &'static str {
        match self {
            Self::Ymd => "with the year first, such as 2026-07-19",
            Self::Dmy => "with the day first, such as 19/07/2026",
            Self::Mdy => "with the month first, such as 07/19/2026",
        }
    }
}

/// What the rows of a sheet are to become.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Mapping {
    /// The verb of the notes.
    pub verb: String,
    /// Which of its forms, from 0; none takes the one that has all the keys.
    pub form: Option<usize>,
    /// What fills each key: a column's heading, a template such as `{Weight} kg`, or words between quotes.
    /// Without any, each column whose heading is a key fills it.
    pub fills: Vec<(String, String)>,
    /// In which order the parts of a day stand.
    pub days: DayOrder,
    /// Whether a comma stands before the decimals.
    pub decimal_comma: bool,
}

/// Why a mapping does not fit its sheet or its verb.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum MappingError {
    /// There is no such verb.
    #[error("“{word}” is no verb of the note language{}", meant(.near))]
    NoVerb {
        /// What was said.
        word: String,
        /// The nearest one.
        near: Option<String>,
    },
    /// The verb has fewer forms.
    #[error("the ways of saying {verb} are numbered from 1 to {forms}")]
    NoForm {
        /// The verb.
        verb: String,
        /// How many forms it has.
        forms: usize,
    },
    /// The verb has no such key.
    #[error("no key of {verb} is called {key}{}. Its keys are: {}", meant(.near), .keys.join(", "))]
    NoKey {
        /// The verb.
        verb: String,
        /// What was said.
        key: String,
        /// The nearest one.
        near: Option<String>,
        /// All its keys.
        keys: Vec<String>,
    },
    /// Each key is there, but in different forms.
    #[error("no way of saying {verb} has all of these at once: {}", .keys.join(", "))]
    NeverTogether {
        /// The verb.
        verb: String,
        /// The keys.
        keys: Vec<String>,
    },
    /// The keys fit several forms, which differ in words that no column says.
    #[error("these keys fit several ways of saying {verb}; say which form: {}", .ways.join(", "))]
    WhichForm {
        /// The verb.
        verb: String,
        /// The number of each form, from 1, and how it reads.
        ways: Vec<String>,
    },
    /// A key was filled twice.
    #[error("two things would fill {0}")]
    Twice(String),
    /// The sheet has no such column.
    #[error(
        "the sheet has no column {column}{}. It has: {}. Words that are the same in every row stand between quotes: {key}=\"{column}\"",
        meant(.near), .columns.join(", ")
    )]
    NoColumn {
        /// The key that it was to fill.
        key: String,
        /// What was said.
        column: String,
        /// The nearest one.
        near: Option<String>,
        /// All its columns.
        columns: Vec<String>,
    },
    /// Two columns are called that.
    #[error("two columns are headed {0}; give one of them another heading")]
    TwoColumns(String),
    /// A template has a brace without its other half.
    #[error("in “{0}” a brace has lost its other half; a column stands between braces, and {{{{ is a brace")]
    LoneBrace(String),
    /// Nothing fills a key.
    #[error("nothing was said that fills {0}")]
    NothingFills(String),
    /// No heading is a key.
    #[error(
        "no column is headed as a key of {verb}, so say which fills what. The keys are: {}. The columns are: {}",
        .keys.join(", "), .columns.join(", ")
    )]
    NothingMapped {
        /// The verb.
        verb: String,
        /// Its keys.
        keys: Vec<String>,
        /// The columns.
        columns: Vec<String>,
    },
    /// Keys that every note needs are not filled by any column.
    #[error("nothing fills {}, and no such note can do without", .0.join(", "))]
    Missing(Vec<String>),
}

fn meant(near: &Option<String>) -> String {
    near.as_ref()
        .map_or_else(String::new, |near| format!(" (did you mean {near}?)"))
}

/// A part of a template.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Part {
    /// Words that stand there in every row.
    Words(String),
    /// A column, by its place.
    Column(usize),
}

/// A mapping that fits.
#[derive(Debug)]
pub(super) struct Fitted {
    pub(super) entry: &'static Entry,
    pub(super) form: usize,
    pub(super) keys: Vec<Filled>,
}

/// A key with what fills it.
#[derive(Clone, Debug)]
pub(super) struct Filled {
    pub(super) key: String,
    pub(super) filling: Filling,
    pub(super) parts: Vec<Part>,
}

/// Holds a mapping against the sheet and the table of verbs.
pub(super) fn fit(sheet: &Sheet, mapping: &Mapping) -> Result<Fitted, MappingError> {
    let word = mapping.verb.trim();
    let entry = table().verb(&word.to_lowercase()).ok_or_else(|| {
        let words = table().entries().iter().map(|entry| entry.verb.word);
        MappingError::NoVerb {
            word: shortened(word),
            near: nearest(word, words).map(str::to_owned),
        }
    })?;
    let forms = match mapping.form {
        Some(form) if form >= entry.shapes.len() => {
            return Err(MappingError::NoForm {
                verb: entry.verb.word.to_owned(),
                forms: entry.shapes.len(),
            });
        }
        Some(form) => form..form + 1,
        None => 0..entry.shapes.len(),
    };
    let forms: Vec<Keys> = forms.map(|form| Keys::of(form, &entry.shapes[form])).collect();
    let wanted = if mapping.fills.is_empty() {
        by_heading(sheet, entry, &forms)?
    } else {
        as_said(sheet, entry, &forms, mapping)?
    };
    let chosen = chosen(entry, &forms, &wanted)?;
    let missing = chosen.missing(&wanted);
    if !missing.is_empty() {
        return Err(MappingError::Missing(missing));
    }
    let filled = wanted.into_iter().filter_map(|(key, parts)| {
        let (filling, _) = chosen.keys.get(&key)?;
        Some(Filled {
            filling: *filling,
            key,
            parts,
        })
    });
    Ok(Fitted {
        entry,
        form: chosen.form,
        keys: filled.collect(),
    })
}

type Wanted = Vec<(String, Vec<Part>)>;

/// The keys of a form.
struct Keys {
    form: usize,
    /// What fills each key, and whether a note needs it.
    keys: BTreeMap<String, (Filling, bool)>,
    /// The keys in the order of the table, repeated ones once.
    listed: Vec<String>,
}

impl Keys {
    fn of(form: usize, shape: &'static Shape) -> Self {
        let mut keys: BTreeMap<String, (Filling, bool)> = blanks(shape, MOST_ROUNDS)
            .into_iter()
            .map(|blank| (blank.key, (Filling::of(blank.fills), blank.required)))
            .collect();
        let mut listed: Vec<String> = Vec::new();
        for common in COMMON_KEYS {
            let filling = match common {
                "day" => Filling::Day,
                "hour" => Filling::Hour,
                "anyway" => Filling::Flag,
                _ => Filling::Words,
            };
            keys.insert(common.to_owned(), (filling, common == "day"));
        }
        listed.push("day".to_owned());
        listed.extend(blanks(shape, 1).into_iter().map(|blank| blank.key));
        listed.extend(["hour", "remark", "anyway"].map(str::to_owned));
        Self { form, keys, listed }
    }

    fn has_all(&self, wanted: &Wanted) -> bool {
        wanted.iter().all(|(key, _)| self.keys.contains_key(key))
    }

    fn missing(&self, wanted: &Wanted) -> Vec<String> {
        let is_missing = |key: &&String| {
            let needed = self.keys.get(*key).is_some_and(|(_, needed)| *needed);
            needed && !wanted.iter().any(|(filled, _)| filled == *key)
        };
        self.listed.iter().filter(is_missing).cloned().collect()
    }
}

/// The form that has all keys and misses none, or else the one that misses least. Where several do, they differ
/// in their own words, such as `closed`: which is meant cannot be told from the keys.
fn chosen<'a>(entry: &Entry, forms: &'a [Keys], wanted: &Wanted) -> Result<&'a Keys, MappingError> {
    let fitting: Vec<&Keys> = forms.iter().filter(|form| form.has_all(wanted)).collect();
    let whole: Vec<&Keys> = fitting
        .iter()
        .copied()
        .filter(|form| form.missing(wanted).is_empty())
        .collect();
    if whole.len() > 1 {
        let way = |form: &&Keys| {
            let subject = entry.verb.forms[form.form].subject;
            format!(
                "{} ({} {})",
                form.form + 1,
                entry.verb.word,
                without_kinds(subject)
            )
        };
        return Err(MappingError::WhichForm {
            verb: entry.verb.word.to_owned(),
            ways: whole.iter().map(way).collect(),
        });
    }
    let least = fitting.into_iter().min_by_key(|form| form.missing(wanted).len());
    least.ok_or_else(|| MappingError::NeverTogether {
        verb: entry.verb.word.to_owned(),
        keys: wanted.iter().map(|(key, _)| key.clone()).collect(),
    })
}

/// `{yard:yard} closed` as `{yard} closed`.
fn without_kinds(subject: &str) -> String {
    let words = subject.split(' ').map(|word| match word.split_once(':') {
        Some((field, _)) => format!("{field}}}"),
        None => word.to_owned(),
    });
    words.collect::<Vec<_>>().join(" ")
}

/// The keys of all forms, each once.
fn all_keys(forms: &[Keys]) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    for key in forms.iter().flat_map(|form| &form.listed) {
        if !all.contains(key) {
            all.push(key.clone());
        }
    }
    all
}

fn as_said(sheet: &Sheet, entry: &Entry, forms: &[Keys], mapping: &Mapping) -> Result<Wanted, MappingError> {
    let mut wanted = Wanted::new();
    for (key, said) in &mapping.fills {
        let key = key.trim().to_lowercase();
        if !forms.iter().any(|form| form.keys.contains_key(&key)) {
            let keys = all_keys(forms);
            let near = nearest(&key, keys.iter().map(String::as_str)).map(str::to_owned);
            return Err(MappingError::NoKey {
                verb: entry.verb.word.to_owned(),
                key: shortened(&key),
                near,
                keys,
            });
        }
        if wanted.iter().any(|(other, _)| *other == key) {
            return Err(MappingError::Twice(key));
        }
        let parts = parts(sheet, &key, said.trim())?;
        wanted.push((key, parts));
    }
    Ok(wanted)
}

/// Each column whose heading is a key fills it; of the forms, the one counts in which most do.
fn by_heading(sheet: &Sheet, entry: &Entry, forms: &[Keys]) -> Result<Wanted, MappingError> {
    let mut best = Wanted::new();
    let mut best_misses = usize::MAX;
    for form in forms {
        let mut wanted = Wanted::new();
        for (at, heading) in sheet.columns.iter().enumerate() {
            let key = heading.to_lowercase();
            if !form.keys.contains_key(&key) {
                continue;
            }
            if wanted.iter().any(|(other, _)| *other == key) {
                return Err(MappingError::TwoColumns(shortened(heading)));
            }
            wanted.push((key, vec![Part::Column(at)]));
        }
        let misses = form.missing(&wanted).len();
        if (misses > 0, usize::MAX - wanted.len()) < (best_misses > 0, usize::MAX - best.len()) {
            (best, best_misses) = (wanted, misses);
        }
    }
    if best.is_empty() {
        return Err(MappingError::NothingMapped {
            verb: entry.verb.word.to_owned(),
            keys: all_keys(forms),
            columns: columns(sheet),
        });
    }
    Ok(best)
}

fn columns(sheet: &Sheet) -> Vec<String> {
    let named = sheet.columns.iter().filter(|heading| !heading.is_empty());
    named.map(|heading| shortened(heading)).collect()
}

/// What fills a key, taken apart.
fn parts(sheet: &Sheet, key: &str, said: &str) -> Result<Vec<Part>, MappingError> {
    if said.is_empty() {
        return Err(MappingError::NothingFills(key.to_owned()));
    }
    if let Some(at) = column(sheet, said)? {
        return Ok(vec![Part::Column(at)]);
    }
    if let Some(words) = quoted(said) {
        return match words.trim() {
            "" => Err(MappingError::NothingFills(key.to_owned())),
            words => Ok(vec![Part::Words(words.to_owned())]),
        };
    }
    let parts = template(sheet, key, said)?;
    if parts.iter().any(|part| matches!(part, Part::Column(_))) {
        return Ok(parts);
    }
    Err(no_column(sheet, key, said))
}

/// A column by its heading: exactly, or in capitals or small letters where only one is called so.
fn column(sheet: &Sheet, heading: &str) -> Result<Option<usize>, MappingError> {
    let find = |is_it: &dyn Fn(&str) -> bool| -> Vec<usize> {
        let columns = sheet.columns.iter().enumerate();
        columns.filter(|(_, of)| is_it(of)).map(|(at, _)| at).collect()
    };
    let heading = super::sheet::one_line(heading);
    if heading.is_empty() {
        return Ok(None);
    }
    let small = heading.to_lowercase();
    let mut found = find(&|of| of == heading);
    if found.is_empty() {
        found = find(&|of| of.to_lowercase() == small);
    }
    match found.as_slice() {
        [] => Ok(None),
        [only] => Ok(Some(*only)),
        _ => Err(MappingError::TwoColumns(shortened(&heading))),
    }
}

fn no_column(sheet: &Sheet, key: &str, said: &str) -> MappingError {
    let columns = columns(sheet);
    MappingError::NoColumn {
        key: key.to_owned(),
        column: shortened(said),
        near: nearest(said, columns.iter().map(String::as_str)).map(str::to_owned),
        columns,
    }
}

/// The words between double or single quotes.
fn quoted(said: &str) -> Option<&str> {
    let between = |quote: char| said.strip_prefix(quote)?.strip_suffix(quote);
    between('"').or_else(|| between('\''))
}

fn template(sheet: &Sheet, key: &str, said: &str) -> Result<Vec<Part>, MappingError> {
    let lone = || MappingError::LoneBrace(shortened(said));
    let mut parts = Vec::new();
    let mut words = String::new();
    let mut letters = said.chars().peekable();
    while let Some(letter) = letters.next() {
        match letter {
            '{' | '}' if letters.peek() == Some(&letter) => {
                letters.next();
                words.push(letter);
            }
            '{' => {
                let mut heading = String::new();
                loop {
                    match letters.next() {
                        Some('}') => break,
                        Some('{') | None => return Err(lone()),
                        Some(letter) => heading.push(letter),
                    }
                }
                let at = column(sheet, &heading)?.ok_or_else(|| no_column(sheet, key, heading.trim()))?;
                if !words.is_empty() {
                    parts.push(Part::Words(std::mem::take(&mut words)));
                }
                parts.push(Part::Column(at));
            }
            '}' => return Err(lone()),
            letter => words.push(letter),
        }
    }
    if !words.is_empty() {
        parts.push(Part::Words(words));
    }
    Ok(parts)
}
