//! Aids to typing, resolved before a note is stored so that each stored note stands alone.
//!
//! `today` and `yesterday` stand for a day; a line `day 2026-07-19` gives its day to the lines that
//! follow; a line `at alder` gives its hive to them; `correct last` names the newest note of the device.

use jiff::ToSpan as _;
use jiff::civil::Date;
use ledger::Handle;
use unicode_normalization::{UnicodeNormalization as _, is_nfc};

use super::lex::{Sort, Token, lex};
use super::read::{Unreadable, check_characters, read};
use super::{Name, Note, is_reserved};

/// What earlier lines have set for those that follow.
#[derive(Clone, Debug)]
pub struct Desk {
    /// The day on which is typed.
    pub today: Date,
    /// The day that lines without one take.
    pub day: Option<Date>,
    /// The hive that lines without one take.
    pub at: Option<Name>,
}

impl Desk {
    /// A clean desk on a day.
    pub fn new(today: Date) -> Self {
        Self {
            today,
            day: None,
            at: None,
        }
    }
}

/// An earlier entry, as a line names it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Target {
    /// The newest note of this device.
    Last,
    /// A device and a number.
    Handle(Handle),
}

/// What a typed line asks for.
#[derive(Clone, Debug, PartialEq)]
pub enum Line {
    /// Nothing: an empty line, a remark, or a day or hive for the lines that follow.
    Nothing,
    /// A note to be written.
    Note(Complete),
    /// A note that takes the place of an earlier one.
    Correct(Target, Complete),
    /// An earlier note that should not have been written, and why.
    Withdraw(Target, Option<String>),
    /// Rival or odd notes are settled: by a note that stands for them, or by a reason alone.
    Settle(Vec<Target>, Result<Complete, String>),
}

/// A line that stands alone, and what it says.
#[derive(Clone, Debug, PartialEq)]
pub struct Complete {
    /// The line as it will be stored.
    pub text: String,
    /// The note it reads as.
    pub note: Note,
}

impl Desk {
    /// Reads one typed line.
    ///
    /// # Errors
    /// [`Unreadable`]; its place counts from the start of the typed line.
    pub fn line(&mut self, typed: &str) -> Result<Line, Unreadable> {
        let typed = typed.trim_end_matches(['\n', '\r']);
        check_characters(typed)?;
        let normal: String;
        let typed = if typed.is_ascii() || is_nfc(typed) {
            typed
        } else {
            normal = typed.nfc().collect();
            &normal
        };
        let mut tokens = Vec::new();
        lex(typed, &mut tokens);
        let Some(first) = tokens.first() else {
            return Ok(Line::Nothing);
        };
        match first.of(typed) {
            "day" => self.set_day(typed, &tokens),
            "at" => self.set_at(typed, &tokens),
            "correct" => self.correct(typed, *first),
            "withdraw" => withdraw(typed, *first),
            "settle" => self.settle(typed, *first),
            _ => self.complete(typed, 0).map(Line::Note),
        }
    }

    fn set_day(&mut self, typed: &str, tokens: &[Token]) -> Result<Line, Unreadable> {
        let said = tokens.get(1).map(|token| token.of(typed));
        let day = said
            .and_then(|said| self.day_of(said))
            .filter(|_| tokens.len() == 2);
        let Some(day) = day else {
            return Err(
                Unreadable::new(tokens[0].range(), "day is followed by a day and nothing else")
                    .hint("for example: day 2026-07-19"),
            );
        };
        self.day = Some(day);
        Ok(Line::Nothing)
    }

    fn set_at(&mut self, typed: &str, tokens: &[Token]) -> Result<Line, Unreadable> {
        match tokens {
            [_] => self.at = None,
            [_, name] if name.sort == Sort::Word && !is_reserved(name.of(typed)) => {
                self.at = Some(Name::new(name.of(typed)));
            }
            _ => {
                return Err(Unreadable::new(
                    tokens[0].range(),
                    "at is followed by the name of a hive and nothing else",
                )
                .hint("for example: at alder; at alone ends it"));
            }
        }
        Ok(Line::Nothing)
    }

    fn day_of(&self, said: &str) -> Option<Date> {
        match said {
            "today" => Some(self.today),
            "yesterday" => self.today.checked_sub(1.day()).ok(),
            _ => said.parse().ok(),
        }
    }

    /// Gives a line the day and the hive that it leans on, and reads it.
    fn complete(&self, typed: &str, from: usize) -> Result<Complete, Unreadable> {
        let line = &typed[from..];
        let (text, shift) = self.with_day(line.trim_start());
        let lead = from + (line.len() - line.trim_start().len());
        // A place in the completed line, told as a place in the typed one.
        let back = |mut unreadable: Unreadable| {
            let shown = |at: usize| (at.saturating_sub(shift.0) + shift.1.min(at)).min(typed.len() - lead);
            unreadable.at = shown(unreadable.at.start)..shown(unreadable.at.end);
            unreadable.shifted(lead)
        };
        match read(&text) {
            Ok(note) => Ok(Complete {
                text: text.trim_end().to_owned(),
                note,
            }),
            Err(unreadable) => match self.with_hive(&text) {
                Some(complete) => Ok(complete),
                None => Err(back(unreadable)),
            },
        }
    }

    /// The line with its day in full; and how many bytes were put in front, how many taken away.
    fn with_day(&self, line: &str) -> (String, (usize, usize)) {
        let first = line.split_ascii_whitespace().next().unwrap_or_default();
        if first == "today" || first == "yesterday" {
            let day = self.day_of(first).unwrap_or(self.today).to_string();
            let text = format!("{day}{}", &line[first.len()..]);
            return (text, (day.len(), first.len()));
        }
        let begins_with_day =
            first.len() >= 8 && first.starts_with(|c: char| c.is_ascii_digit()) && first.contains('-');
        match self.day.filter(|_| !begins_with_day) {
            Some(day) => (format!("{day} {line}"), (day.to_string().len() + 1, 0)),
            None => (line.to_owned(), (0, 0)),
        }
    }

    /// The line with the hive of the desk put behind its verb, if it can be read so.
    fn with_hive(&self, text: &str) -> Option<Complete> {
        let hive = self.at.as_ref()?;
        let mut tokens = Vec::new();
        lex(text, &mut tokens);
        let verb = tokens.iter().find(|token| token.sort == Sort::Word)?;
        let (head, tail) = text.split_at(verb.end as usize);
        let text = format!("{head} {hive}{tail}");
        read(&text).ok().map(|note| Complete {
            text: text.trim_end().to_owned(),
            note,
        })
    }

    fn correct(&self, typed: &str, verb: Token) -> Result<Line, Unreadable> {
        let (targets, colon) = targets(typed, verb)?;
        let [target] = targets.as_slice() else {
            return Err(Unreadable::new(verb.range(), "correct names one note").hint(CORRECT_EXAMPLE));
        };
        let Some(colon) = colon else {
            return Err(Unreadable::new(
                verb.range(),
                "a colon and the note as it should be come behind the handle",
            )
            .hint(CORRECT_EXAMPLE));
        };
        Ok(Line::Correct(target.clone(), self.complete(typed, colon + 1)?))
    }

    fn settle(&self, typed: &str, verb: Token) -> Result<Line, Unreadable> {
        let (targets, colon) = targets(typed, verb)?;
        let settled = match colon {
            Some(colon) => Ok(self.complete(typed, colon + 1)?),
            None => Err(because(typed).ok_or_else(|| {
                Unreadable::new(verb.range(), "settle needs the note that stands, or a reason")
                    .hint("for example: settle laptop/50 because \"two were given away\"")
            })?),
        };
        Ok(Line::Settle(targets, settled))
    }
}

const CORRECT_EXAMPLE: &str =
    "for example: correct laptop/17: 2026-07-19 weigh pail-12 gross 7.3 kg tare 1.3 kg";

fn withdraw(typed: &str, verb: Token) -> Result<Line, Unreadable> {
    let (targets, _) = targets(typed, verb)?;
    match targets.as_slice() {
        [target] => Ok(Line::Withdraw(target.clone(), because(typed))),
        _ => Err(Unreadable::new(verb.range(), "withdraw names one note")
            .hint("for example: withdraw laptop/17 because \"written twice\"")),
    }
}

/// The handles behind a verb, up to the colon, the word `because` or the end; and where the colon is.
fn targets(typed: &str, verb: Token) -> Result<(Vec<Target>, Option<usize>), Unreadable> {
    let from = verb.end as usize;
    let rest = &typed[from..];
    let stop = rest
        .find(" because ")
        .into_iter()
        .chain(rest.find(':'))
        .min()
        .unwrap_or(rest.len());
    let colon = rest[stop..].starts_with(':').then_some(from + stop);
    let wrong = |said: &str| {
        Unreadable::new(from..from + stop, format!("“{}” names no note", said.trim()))
            .hint("a note is named by device and number, such as laptop/17, or last")
    };
    let pieces = rest[..stop]
        .split([',', ' '])
        .filter(|piece| !piece.is_empty() && *piece != "and");
    let targets = pieces
        .map(|piece| match piece {
            "last" => Ok(Target::Last),
            handle => handle.parse().map(Target::Handle).map_err(|_| wrong(handle)),
        })
        .collect::<Result<Vec<_>, _>>()?;
    if targets.is_empty() {
        Err(wrong(""))
    } else {
        Ok((targets, colon))
    }
}

/// The words between quotes, or the one word, behind `because`.
fn because(typed: &str) -> Option<String> {
    let (_, reason) = typed.split_once(" because ")?;
    let reason = reason.trim_start();
    // Between quotes a # is a letter like any other.
    let quoted = reason.strip_prefix('"').and_then(|rest| rest.split('"').next());
    let reason = quoted
        .unwrap_or_else(|| reason.split(" #").next().unwrap_or(reason))
        .trim();
    (!reason.is_empty()).then(|| reason.to_owned())
}
