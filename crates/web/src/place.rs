//! Which address leads where.

use ledger::{Device, Handle};

/// What lies at an address.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Place {
    /// An answer from the books.
    Answer(Answer),
    /// Everything that can be written.
    Index,
    /// A form that writes.
    Form(FormAt),
    /// What a form would write, for the script that asks while it is filled in.
    Preview(FormAt),
    /// Where a person is erased from the address book.
    Erase,
    /// A step of bringing in a sheet.
    Import(Step),
    /// The field page, or what belongs to it.
    Field(FieldAt),
    /// Where phones are paired and stopped.
    Pair,
    /// The calendar as a file, or what belongs to it.
    Feed(FeedAt),
    /// Something on paper.
    Print(PrintAt),
    /// Daily weather.
    Weather(WeatherAt),
    /// A file that the pages need.
    Asset(String),
}

/// The calendar as a file, and what belongs to it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum FeedAt {
    /// The file, for whoever may see the books.
    Own,
    /// The file at a secret address, for the calendar program of a phone.
    Secret(String),
    /// Where such addresses are made and closed.
    Phones,
}

/// What is put on paper.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum PrintAt {
    /// The look card of a hive.
    Card(String),
    /// Look cards of all hives with bees.
    Cards,
    /// A look card without a map.
    Blank,
    /// The round of the day.
    Round,
    /// The round of a yard.
    YardRound(String),
    /// The page of a hive.
    Hive(String),
    /// The page of a pattern.
    Pattern(String),
    /// Patterns side by side.
    Compare,
    /// The cutting list of a pattern.
    Cut(String),
    /// The template of a part of a pattern, by the words of its part and form.
    Template {
        /// The pattern.
        pattern: String,
        /// The part: `end`, `follower`, `cradle`.
        part: String,
        /// The form: `pdf`, `svg`, `dxf`.
        form: String,
    },
}

/// The field page and what belongs to it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum FieldAt {
    /// The page itself.
    Page,
    /// A script or style of the page.
    Part(String),
    /// What the page knows of the hives.
    Pack,
    /// The page in one file, with what it knows.
    File,
    /// Where drafts are sent to.
    Send,
    /// Where photographs and spoken remarks are sent to.
    Attach,
    /// Where a text file of notes is brought in.
    Bring,
}

/// An answer from the books.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Answer {
    Round,
    YardRound(String),
    Calendar,
    Swarms,
    Yard,
    Hive(String),
    Honey,
    Container(String),
    Lot(String),
    Stall,
    Money,
    Workshop,
    Pattern(String),
    Cut(String),
    Compare,
    Books,
    Complaints,
    People,
    Note(Handle),
    Sources,
    Why(Vec<String>),
}

/// A form that writes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum FormAt {
    Verb(String),
    Line,
    Correct(Handle),
    Withdraw(Handle),
    Settle,
}

/// A step of bringing in a file of weather.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum WeatherAt {
    /// Choose a file, and see what was read of it.
    Begin,
    /// Write the note, and keep the file.
    Write,
}

/// A step of bringing in a sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Step {
    /// Choose a file, and what its rows are about.
    Begin,
    /// Say what its columns mean.
    Map,
    /// Write the notes.
    Write,
    /// The rows that were refused, as a sheet of their own.
    Refused(String),
}

impl Place {
    /// Reads the path of an address; `None` if nothing lies there.
    pub(crate) fn of(path: &str) -> Option<Self> {
        let steps = steps(path)?;
        let steps: Vec<&str> = steps.iter().map(String::as_str).collect();
        Some(match steps.as_slice() {
            ["write"] => Self::Index,
            ["pair"] => Self::Pair,
            ["print", steps @ ..] => Self::Print(PrintAt::of(steps)?),
            ["field"] => Self::Field(FieldAt::Page),
            ["field", name] => Self::Field(FieldAt::of(name)),
            ["calendar.ics"] => Self::Feed(FeedAt::Own),
            ["calendar", "phones"] => Self::Feed(FeedAt::Phones),
            ["calendar", "feed", name] => Self::Feed(FeedAt::Secret(name.strip_suffix(".ics")?.to_owned())),
            ["asset", name] => Self::Asset((*name).to_owned()),
            ["books", "people", "erase"] => Self::Erase,
            ["books", "weather"] => Self::Weather(WeatherAt::Begin),
            ["books", "weather", "write"] => Self::Weather(WeatherAt::Write),
            ["books", "import"] => Self::Import(Step::Begin),
            ["books", "import", "map"] => Self::Import(Step::Map),
            ["books", "import", "write"] => Self::Import(Step::Write),
            ["books", "import", "refused", name] => Self::Import(Step::Refused((*name).to_owned())),
            [form @ .., "preview"] if FormAt::of(form).is_some() => Self::Preview(FormAt::of(form)?),
            steps => match FormAt::of(steps) {
                Some(form) => Self::Form(form),
                None => Self::Answer(Answer::of(steps)?),
            },
        })
    }

    /// Whether it can be looked at.
    pub(crate) fn is_shown(&self) -> bool {
        !matches!(
            self,
            Self::Preview(_)
                | Self::Import(Step::Map | Step::Write)
                | Self::Weather(WeatherAt::Write)
                | Self::Field(FieldAt::Send | FieldAt::Attach)
        )
    }

    /// Whether something can be sent to it.
    pub(crate) fn is_sent_to(&self) -> bool {
        match self {
            Self::Answer(answer) => *answer == Answer::People,
            Self::Index | Self::Asset(_) | Self::Print(_) => false,
            Self::Feed(at) => *at == FeedAt::Phones,
            Self::Import(step) => !matches!(step, Step::Refused(_)),
            Self::Field(at) => matches!(at, FieldAt::Send | FieldAt::Attach | FieldAt::Bring),
            Self::Form(_) | Self::Preview(_) | Self::Erase | Self::Pair | Self::Weather(_) => true,
        }
    }
}

impl PrintAt {
    /// The last step ends as the file does.
    fn of(steps: &[&str]) -> Option<Self> {
        let named = |file: &str| {
            let name = file.strip_suffix(".pdf").filter(|name| !name.is_empty());
            name.map(str::to_owned)
        };
        Some(match steps {
            ["cards.pdf"] => Self::Cards,
            ["blank.pdf"] => Self::Blank,
            ["round.pdf"] => Self::Round,
            ["card", file] => Self::Card(named(file)?),
            ["round", file] => Self::YardRound(named(file)?),
            ["hive", file] => Self::Hive(named(file)?),
            ["cut", file] => Self::Cut(named(file)?),
            ["template", pattern, file] => {
                let (part, form) = file.rsplit_once('.')?;
                Self::Template {
                    pattern: (*pattern).to_owned(),
                    part: part.to_owned(),
                    form: form.to_owned(),
                }
            }
            ["workshop", "compare.pdf"] => Self::Compare,
            ["workshop", file] => Self::Pattern(named(file)?),
            _ => return None,
        })
    }
}

impl FieldAt {
    fn of(name: &str) -> Self {
        match name {
            "pack.json" => Self::Pack,
            "file" => Self::File,
            "send" => Self::Send,
            "attach" => Self::Attach,
            "bring" => Self::Bring,
            name => Self::Part(name.to_owned()),
        }
    }
}

impl Answer {
    fn of(steps: &[&str]) -> Option<Self> {
        let name = |name: &str| name.to_owned();
        Some(match steps {
            [] | ["round"] => Self::Round,
            ["round", yard] => Self::YardRound(name(yard)),
            ["calendar"] => Self::Calendar,
            ["swarms"] => Self::Swarms,
            ["yard"] => Self::Yard,
            ["hive", hive] => Self::Hive(name(hive)),
            ["honey"] => Self::Honey,
            ["container", container] => Self::Container(name(container)),
            ["lot", lot] => Self::Lot(name(lot)),
            ["stall"] => Self::Stall,
            ["money"] => Self::Money,
            ["workshop"] => Self::Workshop,
            ["workshop", "compare"] => Self::Compare,
            ["workshop", pattern] => Self::Pattern(name(pattern)),
            ["workshop", pattern, "cut"] => Self::Cut(name(pattern)),
            ["books"] => Self::Books,
            ["books", "complaints"] => Self::Complaints,
            ["books", "people"] => Self::People,
            ["books", "note", device, number] => Self::Note(handle(device, number)?),
            ["sources"] => Self::Sources,
            ["why", steps @ ..] if !steps.is_empty() => {
                Self::Why(steps.iter().map(|step| name(step)).collect())
            }
            _ => return None,
        })
    }
}

impl FormAt {
    fn of(steps: &[&str]) -> Option<Self> {
        Some(match steps {
            ["write", verb] => Self::Verb((*verb).to_owned()),
            ["note"] => Self::Line,
            ["books", "note", device, number, "correct"] => Self::Correct(handle(device, number)?),
            ["books", "note", device, number, "withdraw"] => Self::Withdraw(handle(device, number)?),
            ["books", "settle"] => Self::Settle,
            _ => return None,
        })
    }
}

fn handle(device: &str, number: &str) -> Option<Handle> {
    Some(Handle {
        device: Device::new(device).ok()?,
        number: number.parse().ok().filter(|number| *number > 0)?,
    })
}

/// The steps of a path, each decoded by itself, so that a `/` within a name stays in the name. A slash at the
/// end is forgiven.
fn steps(path: &str) -> Option<Vec<String>> {
    let path = path.strip_prefix('/')?;
    if path.is_empty() {
        return Some(Vec::new());
    }
    let path = path.strip_suffix('/').unwrap_or(path);
    path.split('/')
        .map(|step| decoded(step).filter(|step| !step.is_empty()))
        .collect()
}

fn decoded(step: &str) -> Option<String> {
    let mut bytes = Vec::with_capacity(step.len());
    let mut rest = step.bytes();
    while let Some(byte) = rest.next() {
        if byte == b'%' {
            let mut digit = || char::from(rest.next()?).to_digit(16);
            let (high, low) = (digit()?, digit()?);
            bytes.push(u8::try_from(high * 16 + low).ok()?);
        } else {
            bytes.push(byte);
        }
    }
    String::from_utf8(bytes).ok()
}

/// A path of several steps, whatever the names in it.
pub(crate) fn path(steps: &[&str]) -> String {
    let mut out = String::new();
    for step in steps {
        out.push('/');
        for byte in step.bytes() {
            match byte {
                b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'-' | b'_' | b'.' | b'~' => out.push(byte.into()),
                _ => out.push_str(&format!("%{byte:02X}")),
            }
        }
    }
    out
}

/// Where a note is told of.
pub(crate) fn note_path(handle: &Handle) -> String {
    path(&[
        "books",
        "note",
        handle.device.as_str(),
        &handle.number.to_string(),
    ])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_may_have_any_letter_in_it() {
        let hive = |name: &str| Some(Place::Answer(Answer::Hive(name.to_owned())));
        assert_eq!(Place::of("/hive/alder"), hive("alder"));
        assert_eq!(Place::of("/hive/alder/"), hive("alder"));
        assert_eq!(Place::of("/hive/a%2Fb"), hive("a/b"));
        assert_eq!(Place::of("/hive/%C3%A9tang"), hive("étang"));
        assert_eq!(Place::of("/hive/a+b"), hive("a+b"));
    }

    #[test]
    fn what_is_written_as_a_path_is_read_as_the_same_names() {
        for name in ["alder", "a/b", "a b", "étang", "%2F", "?x#y", "+", "."] {
            let place = Place::Answer(Answer::Lot(name.to_owned()));
            assert_eq!(Place::of(&path(&["lot", name])), Some(place), "{name}");
        }
    }

    #[test]
    fn what_is_no_address_leads_nowhere() {
        for path in [
            "",
            "yard",
            "//",
            "//yard",
            "/yard//",
            "/hive",
            "/hive/",
            "/hive//x",
            "/hive/%",
            "/hive/%4",
            "/hive/%zz",
            "/hive/%ff",
            "/hive/%+1",
            "/why",
            "/why/",
            "/books/note/laptop",
            "/books/note/laptop/0",
            "/books/note/laptop/-1",
            "/books/note/laptop/99999999999999999999999",
            "/books/note/lap top/1",
            "/books/note/laptop/1/erase",
            "/preview",
            "/yard/preview",
            "/write/look/1",
            "/asset",
        ] {
            assert_eq!(Place::of(path), None, "{path}");
        }
    }

    #[test]
    fn a_form_and_its_preview_lie_beside_each_other() {
        let correct = FormAt::Correct("laptop/17".parse().expect("a handle"));
        assert_eq!(
            Place::of("/books/note/laptop/17/correct"),
            Some(Place::Form(correct.clone()))
        );
        assert_eq!(
            Place::of("/books/note/laptop/17/correct/preview"),
            Some(Place::Preview(correct))
        );
    }
}
