//! The manual of the notes, written from the table of verbs, and what every document is held to.

mod pages;
#[cfg(test)]
mod tests;

use std::fmt::Write as _;
use std::fs;

use anyhow::{Context as _, Result, bail};
use apiary::note::grammar;
use apiary::note::table::{Detail, Element, Entry, Shape, Topic, table};

use crate::root;

const MANUAL: &str = "docs/notes.md";

/// Writes the manual of the notes.
pub(crate) fn write() -> Result<()> {
    fs::write(root().join(MANUAL), manual()).with_context(|| format!("{MANUAL} cannot be written"))?;
    println!("{MANUAL} is written.");
    Ok(())
}

/// Fails if the manual is stale, or a document shows a note that cannot be read or a link to nothing.
pub(crate) fn check() -> Result<()> {
    let kept = fs::read_to_string(root().join(MANUAL)).with_context(|| format!("{MANUAL} cannot be read"))?;
    if kept != manual() {
        bail!("{MANUAL} is stale: run `cargo xtask docs` and look at what changed");
    }
    let (count, wrong) = pages::read_all(&root())?;
    if !wrong.is_empty() {
        bail!("{}", wrong.join("\n"));
    }
    println!(
        "{MANUAL} is fresh; {count} lines in the documents are notes that can be read, and all links lead somewhere."
    );
    Ok(())
}

/// The manual, from what a note is to the whole grammar.
fn manual() -> String {
    let mut out = include_str!("head.md").to_owned();
    for topic in Topic::ALL {
        let _ = write!(out, "\n{}", prose(topic));
        for entry in table().of(topic) {
            out.push_str(&verb(entry));
        }
    }
    let _ = write!(
        out,
        "\n{}\n```ebnf\n{}```\n",
        include_str!("grammar.md"),
        wrapped(&grammar::ebnf())
    );
    out
}

/// What there is to say about a topic as a whole.
fn prose(topic: Topic) -> &'static str {
    match topic {
        Topic::Ground => include_str!("ground.md"),
        Topic::Colony => include_str!("colony.md"),
        Topic::Health => include_str!("health.md"),
        Topic::Honey => include_str!("honey.md"),
        Topic::Wax => include_str!("wax.md"),
        Topic::Goods => include_str!("goods.md"),
        Topic::Trade => include_str!("trade.md"),
        Topic::Money => include_str!("money.md"),
        Topic::Place => include_str!("place.md"),
        Topic::Proof => include_str!("proof.md"),
    }
}

fn verb(entry: &Entry) -> String {
    let verb = entry.verb;
    let rule = wrapped(&grammar::verb(entry));
    let needs = needs(entry);
    format!(
        "\n### `{}`\n\n{}{needs}\n\n```{}\n{}\n```\n\n```ebnf\n{rule}```\n",
        verb.word,
        verb.says,
        pages::NOTES,
        verb.examples.join("\n"),
    )
}

/// The details without which no form of the verb is understood; the grammar shows them beside all others.
fn needs(entry: &Entry) -> String {
    let of_form = |shape: &Shape| {
        let required = shape.details.iter().filter(|detail| detail.required).map(shown);
        required.collect::<Vec<_>>().join(", ")
    };
    let mut forms: Vec<String> = entry.shapes.iter().map(of_form).collect();
    forms.dedup();
    if forms.iter().any(String::is_empty) {
        return String::new();
    }
    format!(" Needs {}.", forms.join("; or "))
}

/// A detail as a keeper would say it: its words, and dots for what is filled in.
fn shown(detail: &Detail) -> String {
    let word = |element: &Element| match element {
        Element::Word(words) => words.last().copied().unwrap_or_default(),
        Element::Value { .. } => "…",
    };
    let field = |element: &Element| match element {
        Element::Word(_) => "",
        Element::Value { field, .. } => field,
    };
    if detail
        .elements
        .iter()
        .any(|element| matches!(element, Element::Word(_)))
    {
        let words: Vec<&str> = detail.elements.iter().map(word).collect();
        return format!("`{}`", words.join(" "));
    }
    let fields: Vec<&str> = detail.elements.iter().map(field).collect();
    format!("at least one {}", fields.join(" with its "))
}

/// The width at which a rule of the grammar goes on in the next line.
const WIDTH: usize = 100;

/// Breaks long lines of a grammar between two things that can be chosen.
fn wrapped(grammar: &str) -> String {
    grammar.lines().map(|line| wrapped_line(line) + "\n").collect()
}

fn wrapped_line(line: &str) -> String {
    let mut out = String::new();
    let mut column = 0;
    for chunk in chunks(line) {
        let width = chunk.chars().count();
        if column > 0 && column + width > WIDTH {
            out.push_str("\n       ");
            column = 7;
        }
        out.push_str(&chunk);
        column += width;
    }
    out
}

/// Pieces of a line that stay together: each alternative, and what is said before them.
fn chunks(line: &str) -> Vec<String> {
    let mut chunks = vec![String::new()];
    let mut depth = 0;
    let pieces: Vec<&str> = line.split(' ').collect();
    for (n, piece) in pieces.iter().enumerate() {
        let opens = *piece == "," && pieces.get(n + 1) == Some(&"{");
        if depth == 0 && n > 0 && (*piece == "|" || opens) {
            chunks.push(String::new());
        }
        depth += match *piece {
            "(" => 1,
            ")" => -1,
            _ => 0,
        };
        let chunk = chunks.last_mut().expect("BUG: begun with one");
        if n > 0 {
            chunk.push(' ');
        }
        chunk.push_str(piece);
    }
    chunks
}
