//! `note`: lines in, entries on the disk.

use apiary::Misgiving;
use apiary::note::Unreadable;
use app::{Office, Outcome, Refused, Why, Writing, Written};
use miette::{GraphicalReportHandler, GraphicalTheme, LabeledSpan, MietteDiagnostic, NamedSource, Report};
use serde_json::{Value, json};

use super::lines::{self, Lines};
use super::writing;
use crate::args::{Args, NoteArgs};
use crate::exit::{Failure, capital};
use crate::output::Said;

pub(crate) fn run(args: &Args, asked: &NoteArgs) -> Result<Said, Failure> {
    let Lines { lines, numbered } = lines::of_note(asked)?;
    let lines: Vec<&str> = lines.iter().map(String::as_str).collect();
    let writing = Writing {
        keep_good: asked.keep_good,
        by: asked.by.clone(),
        ..Writing::default()
    };
    let done = writing::write(args, asked.device.as_ref(), &lines, &writing)?;
    let said = outcome_said(&done.outcome, numbered, lines.len() > 1);
    let said = writing::announced(args, done.is_new, said);
    Ok(match (&asked.device, done.office) {
        (Some(_), Some(office)) if !done.outcome.written.is_empty() => remembering_device(office, said),
        _ => said,
    })
}

/// The notes are on the disk by now, so a fault here must not say that nothing was written.
fn remembering_device(mut office: Office, mut said: Said) -> Said {
    if let Err(fault) = office.remember_device() {
        let failure = Failure::from(fault);
        said.refused
            .push_str("The notes are written, but the name of the device could not be remembered.\n");
        said.code = failure.code();
    }
    said
}

/// What became of lines, for people and for programs. Of many lines the written ones are only counted.
pub(crate) fn outcome_said(outcome: &Outcome, numbered: bool, many: bool) -> Said {
    let mut text: String = outcome
        .written
        .iter()
        .map(|written| written_line(written, many))
        .collect();
    if many || outcome.written.is_empty() {
        text.push_str(&summary(outcome));
    }
    let mut refused: String = outcome
        .refused
        .iter()
        .map(|refused| refused_text(refused, numbered))
        .collect();
    if !outcome.refused.is_empty() && outcome.written.is_empty() && many {
        refused.push_str("Nothing was written. Mend the lines, or add --keep-good to write the others.\n");
    }
    let json = json!({
        "written": outcome.written.iter().map(written_json).collect::<Vec<_>>(),
        "refused": outcome.refused.iter().map(refused_json).collect::<Vec<_>>(),
        "known": outcome.known,
    });
    Said {
        text,
        json,
        code: if outcome.refused.is_empty() { 0 } else { 2 },
        refused,
    }
}

fn summary(outcome: &Outcome) -> String {
    let known = match outcome.known {
        0 => String::new(),
        known => format!(" {known} were here already."),
    };
    match (outcome.written.len(), outcome.refused.len()) {
        (0, 0) if outcome.known == 0 => "There was nothing to write.\n".to_owned(),
        (0, _) => known.trim_start().to_owned() + if known.is_empty() { "" } else { "\n" },
        (1, _) => format!("1 note is written.{known}\n"),
        (written, _) => format!("{written} notes are written.{known}\n"),
    }
}

fn written_line(written: &Written, many: bool) -> String {
    let remarks: String = written
        .remarks
        .iter()
        .map(|remark| format!("  {}\n", remark_text(remark)))
        .collect();
    if many && remarks.is_empty() {
        return String::new();
    }
    format!("Written {}: {}\n{remarks}", written.handle, written.text)
}

/// Sentences that begin with a name or a handle keep it as it is written, so none is given a capital.
pub(super) fn remark_text(misgiving: &Misgiving) -> String {
    let hint = misgiving
        .hint
        .as_ref()
        .map_or_else(String::new, |hint| format!(" ({hint})"));
    with_stop(&format!("{}{hint}", misgiving.says))
}

/// A fragment as a sentence of its own; a question has its mark already.
pub(crate) fn with_stop(fragment: &str) -> String {
    if fragment.ends_with(['?', '.']) {
        fragment.to_owned()
    } else {
        format!("{fragment}.")
    }
}

pub(super) fn refused_text(refused: &Refused, numbered: bool) -> String {
    let number = numbered.then_some(refused.line);
    let place = number.map_or_else(String::new, |line| format!("Line {line}: "));
    match &refused.why {
        Why::Unreadable(unreadable) => format!("{place}{}", underlined(&refused.typed, number, unreadable)),
        Why::Impossible(misgivings) => {
            let reasons: String = misgivings
                .iter()
                .map(|misgiving| format!("  {}\n", remark_text(misgiving)))
                .collect();
            format!(
                "{place}Refused: {}\n{reasons}  Add the word anyway at its end to write it down all the same.\n",
                shortened(&refused.typed)
            )
        }
        Why::NoSuchNote(says) => format!(
            "{place}Refused: {}\n  {}\n",
            shortened(&refused.typed),
            with_stop(says)
        ),
    }
}

/// The line with the place underlined, and what would fit there.
fn underlined(typed: &str, number: Option<usize>, unreadable: &Unreadable) -> String {
    let help = [
        unreadable.fits.join("; "),
        unreadable.hint.clone().unwrap_or_default(),
    ];
    let help: Vec<String> = help.into_iter().filter(|help| !help.is_empty()).collect();
    let fits = if unreadable.fits.is_empty() {
        ""
    } else {
        "here fits: "
    };
    let mut diagnostic = MietteDiagnostic::new(capital(&unreadable.says));
    if !help.is_empty() {
        diagnostic = diagnostic.with_help(format!("{fits}{}", help.join("\n")));
    }
    if typed.len() <= LONGEST_SHOWN {
        let span = unreadable.at.start..unreadable.at.end.max(unreadable.at.start);
        diagnostic = diagnostic.with_label(LabeledSpan::new_with_span(None, span));
    }
    let name = number.map_or_else(|| "note".to_owned(), |line| format!("line {line}"));
    let source = NamedSource::new(name, shown(typed));
    let report = Report::new(diagnostic).with_source_code(source);
    let handler = GraphicalReportHandler::new_themed(GraphicalTheme::unicode_nocolor())
        .with_width(100)
        .without_cause_chain();
    let mut out = String::new();
    match handler.render_report(&mut out, report.as_ref()) {
        Ok(()) => out,
        Err(_) => format!("{unreadable}\n"),
    }
}

/// Longer lines are not shown whole.
const LONGEST_SHOWN: usize = 4_000;

fn shortened(typed: &str) -> String {
    let shown = shown(typed);
    let mut letters = shown.chars();
    let short: String = letters.by_ref().take(200).collect();
    if letters.next().is_some() {
        format!("{short}…")
    } else {
        short
    }
}

/// A line as it can be shown: control characters would otherwise speak to the terminal.
fn shown(typed: &str) -> String {
    let harmless = |letter: char| {
        if letter.is_control() || is_turning(letter) {
            ' '
        } else {
            letter
        }
    };
    typed
        .chars()
        .flat_map(|letter| {
            let shown = harmless(letter);
            // The same number of bytes, so that the underline stays in its place.
            let pad = letter.len_utf8() - shown.len_utf8();
            std::iter::once(shown).chain(std::iter::repeat_n(' ', pad))
        })
        .collect()
}

fn is_turning(letter: char) -> bool {
    matches!(letter, '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

fn written_json(written: &Written) -> Value {
    let remarks: Vec<&str> = written
        .remarks
        .iter()
        .map(|remark| remark.says.as_str())
        .collect();
    json!({ "line": written.line, "handle": written.handle.to_string(), "note": written.text, "remarks": remarks })
}

fn refused_json(refused: &Refused) -> Value {
    match &refused.why {
        Why::Unreadable(unreadable) => json!({
            "line": refused.line, "why": "unreadable", "says": unreadable.says,
            "at": [unreadable.at.start, unreadable.at.end], "fits": unreadable.fits, "hint": unreadable.hint,
        }),
        Why::Impossible(misgivings) => json!({
            "line": refused.line, "why": "impossible",
            "says": misgivings.iter().map(|misgiving| misgiving.says.as_str()).collect::<Vec<_>>().join("; "),
            "hint": misgivings.iter().filter_map(|misgiving| misgiving.hint.as_deref()).collect::<Vec<_>>().join("; "),
        }),
        Why::NoSuchNote(says) => json!({ "line": refused.line, "why": "no such note", "says": says }),
    }
}
