//! Pages around the forms: all verbs, and one form with what belongs beside it.

use apiary::note::compose::spoken;
use apiary::note::{Topic, table};
use ledger::Handle;
use page::{Block, Form, Notice, Page, Tone, Words};

use super::cautions::cautions;
use super::plan::Plan;
use super::{About, note_address};
use crate::reader::Reader;
use crate::sheets::path;

/// All verbs by topic, each with what it says.
pub fn index() -> Page {
    let mut page = Page::new("Write").with([Block::Text(
        Words::new("Any note can be filled in here, or ")
            .link("typed as a line", About::Line.address())
            .plain("."),
    )]);
    for topic in Topic::ALL {
        let verbs = table().of(topic).map(|entry| {
            Words::linked(entry.verb.word, path(&["write", entry.verb.word]))
                .plain(": ")
                .plain(entry.verb.says)
        });
        page.blocks.push(Block::section(
            capital(topic.name()),
            [Block::List(verbs.collect())],
        ));
    }
    page
}

/// The ways in which a verb can be said: the number of the form, and its pattern in plain words.
pub fn ways(word: &str) -> Vec<(usize, String)> {
    let Some(entry) = table().verb(word) else {
        return Vec::new();
    };
    let shapes = entry.shapes.iter().enumerate();
    shapes
        .map(|(form, shape)| (form, format!("{word} {}", spoken(shape))))
        .collect()
}

/// A form with what belongs beside it: what the verb says, what to take care of, other ways of saying it.
pub fn page(reader: &Reader<'_>, about: &About, form: Form) -> Page {
    let title = match about {
        About::Verb { word, .. } => format!("Write: {word}"),
        About::Line => "Write a note".to_owned(),
        About::Correct(handle) => format!("Correct {handle}"),
        About::Withdraw(handle) => format!("Withdraw {handle}"),
        About::Settle(_) => "Settle what is odd".to_owned(),
    };
    let verb = Plan::of(reader, about).and_then(|plan| plan.verb);
    let word = verb.map(|(entry, _)| entry.verb.word);
    let mut page = Page::new(title);
    match about {
        About::Verb { .. } => page
            .blocks
            .extend(verb.map(|(entry, _)| Block::text(entry.verb.says))),
        About::Line => page.blocks.push(Block::Text(
            Words::new("A note begins with its day and a verb. ").link("All verbs", reader.link("/write")),
        )),
        About::Correct(handle) | About::Withdraw(handle) => {
            page.blocks.push(as_it_is(reader, std::slice::from_ref(handle)));
        }
        About::Settle(handles) => page.blocks.push(as_it_is(reader, handles)),
    }
    page.blocks
        .extend(word.into_iter().flat_map(cautions).map(|says| Block::care(*says)));
    page.blocks.push(Block::Form(Box::new(form)));
    if let About::Verb { word, form } = about {
        page.blocks.extend(other_ways(reader, word, *form));
    }
    if let Some((entry, _)) = verb {
        let examples = entry
            .verb
            .examples
            .iter()
            .map(|example| Words::default().note(*example));
        page.blocks.push(Block::section(
            "The same as a line",
            [
                Block::List(examples.collect()),
                Block::Text(Words::linked("Type a line", reader.link(&About::Line.address()))),
            ],
        ));
    }
    page
}

fn other_ways(reader: &Reader<'_>, word: &str, form: usize) -> Option<Block> {
    let others: Vec<Words> = ways(word)
        .into_iter()
        .filter(|(way, _)| *way != form)
        .map(|(way, says)| {
            let about = About::Verb {
                word: word.to_owned(),
                form: way,
            };
            Words::linked(says, reader.link(&about.address()))
        })
        .collect();
    (!others.is_empty()).then(|| Block::section("Other ways of saying it", [Block::List(others)]))
}

/// The notes that an act is about, as they stand in the books.
fn as_it_is(reader: &Reader<'_>, handles: &[Handle]) -> Block {
    let mut told = handles.iter().flat_map(|handle| {
        let places = reader.books().by_handle(handle).into_iter();
        places.flat_map(move |place| {
            let line = |place: usize, says: &str| {
                let handle = reader.entry(place).handle();
                Words::linked(handle.to_string(), reader.link(&note_address(&handle)))
                    .plain(says)
                    .note(reader.as_line(place))
            };
            let acts = reader.acts_about(place).iter();
            std::iter::once(line(place, " says: "))
                .chain(acts.map(move |act| line(*act, " has changed it: ")))
                .collect::<Vec<_>>()
        })
    });
    let says = told.next().unwrap_or_default();
    Block::Notice(Notice {
        tone: Tone::Plain,
        says,
        more: told.collect(),
    })
}

fn capital(word: &str) -> String {
    let mut letters = word.chars();
    let first = letters.next().map(|letter| letter.to_uppercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}
