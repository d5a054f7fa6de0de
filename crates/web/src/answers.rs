//! Pages that answer from the books, for people, for programs and for spreadsheets.

use apiary::note::nearest;
use app::sheets::{self, Part};
use app::{Reader, wire};
use axum::http::StatusCode;
use page::{Block, Page, Table, Words};
use quantity::Money;
use serde_json::{Value, json};

use crate::asked::{Asked, Sent, page_of};
use crate::desk::Desk;
use crate::look::{Refusal, refused, shown};
use crate::place::Answer;
use crate::reply::Reply;

/// Answers from the books.
pub(crate) fn answer(desk: &Desk, asked: &Asked, of: &Answer) -> Reply {
    let on = match asked.on() {
        Ok(on) => on,
        Err(said) => return refused(desk, asked, &Refusal::NoDay(said.to_owned())),
    };
    let today = desk.today();
    let answered = desk.read(|office| {
        let reader = office.reader(on, today);
        if asked.json {
            return json(&reader, asked, of).map(|value| Reply::json(StatusCode::OK, &value));
        }
        let part = if asked.csv.is_some() {
            Part::ALL
        } else {
            part(&asked.query)
        };
        let page = page(&reader, asked, of, part)?;
        match asked.csv {
            Some(number) => csv(asked, &page, number),
            None => Ok(shown(desk, asked, &reader, StatusCode::OK, &page)),
        }
    });
    match answered.map_err(Refusal::from).and_then(|answered| answered) {
        Ok(reply) => reply,
        Err(refusal) => refused(desk, asked, &refusal),
    }
}

pub(crate) fn part(query: &Sent) -> Part {
    let number = query.get("part").and_then(|part| part.parse().ok());
    Part::of(number.unwrap_or(1))
}

fn page(reader: &Reader<'_>, asked: &Asked, of: &Answer, part: Part) -> Result<Page, Refusal> {
    match of {
        Answer::Round => Ok(sheets::round(reader)),
        Answer::YardRound(yard) => {
            sheets::yard_round(reader, yard).ok_or_else(|| unknown(reader, "yard", yard))
        }
        Answer::Calendar => Ok(sheets::calendar(reader, part)),
        Answer::Swarms => Ok(sheets::swarms(reader)),
        Answer::Yard => Ok(sheets::yard(reader, part)),
        Answer::Hive(name) => sheets::hive(reader, name).ok_or_else(|| unknown(reader, "hive", name)),
        Answer::Honey => Ok(sheets::honey_house(reader, part)),
        Answer::Container(name) => {
            sheets::container(reader, name, part).ok_or_else(|| unknown(reader, "container", name))
        }
        Answer::Lot(name) => sheets::lot(reader, name, part).ok_or_else(|| unknown(reader, "lot", name)),
        Answer::Stall => Ok(sheets::stall(reader, part)),
        Answer::Money => {
            let (wage, wrong) = wage(&asked.query);
            let said = asked.query.get("wage").map_or("", String::as_str);
            Ok(sheets::money(reader, wage, said, wrong))
        }
        Answer::Workshop => Ok(sheets::workshop(reader, part)),
        Answer::Pattern(name) => {
            sheets::pattern(reader, name).ok_or_else(|| unknown(reader, "pattern", name))
        }
        Answer::Cut(name) => {
            let cut = sheets::cut(reader, name, &sheets::CutAsked::of(&asked.query));
            cut.ok_or_else(|| unknown(reader, "pattern", name))
        }
        Answer::Compare => Ok(sheets::compare(reader)),
        Answer::Books => {
            let find = asked.query.get("find").cloned().unwrap_or_default();
            Ok(sheets::entries(reader, &sheets::Asked { find, part }))
        }
        Answer::Complaints => Ok(sheets::complaints(reader, part)),
        Answer::People => Ok(crate::writing::people(reader, &asked.query, None)),
        Answer::Note(handle) => sheets::note(reader, handle).ok_or_else(|| {
            Refusal::Nowhere(
                Words::new("There is no note ")
                    .note(handle.to_string())
                    .plain("."),
            )
        }),
        Answer::Sources => Ok(sheets::sources(reader)),
        Answer::Why(steps) => {
            let steps: Vec<&str> = steps.iter().map(String::as_str).collect();
            sheets::why(reader, &steps, part).ok_or_else(Refusal::no_address)
        }
    }
}

/// Nothing of that name, with the name that may be meant, and the way to what came later than the day asked for.
pub(crate) fn unknown(reader: &Reader<'_>, kind: &'static str, name: &str) -> Refusal {
    let h = reader.holding();
    let near = match kind {
        "hive" => nearest(name, h.hive_labels.names()),
        "yard" => nearest(name, h.ground.yard_labels.names()),
        "lot" => nearest(name, h.stock.lot_labels.names()),
        "pattern" => nearest(name, h.ground.pattern_labels.names()),
        _ => nearest(name, h.house.vessel_labels.names()),
    };
    // A yard has no page of its own; its round has.
    let page = match kind {
        "yard" => "round",
        "pattern" => "workshop",
        other => other,
    };
    let day = reader.on.map_or_else(String::new, |day| format!(" on {day}"));
    let mut says = Words::new(format!("No {kind} is called "))
        .strong(name)
        .plain(format!(" in these books{day}."));
    if let Some(near) = near {
        let to = reader.link(&page_of(page, near));
        says = says.plain(" Did you mean ").link(near, to).plain("?");
    }
    if reader.on.is_some() {
        says = says
            .plain(" Ask for it ")
            .link("as of now", page_of(page, name))
            .plain(".");
    }
    Refusal::Nowhere(says)
}

/// What an hour of the keeper's own time is worth, where the question says it, or what is wrong with it.
fn wage(query: &Sent) -> (Option<Money>, Option<String>) {
    let Some(said) = query
        .get("wage")
        .map(|said| said.trim())
        .filter(|said| !said.is_empty())
    else {
        return (None, None);
    };
    match sheets::wage(said) {
        Ok(wage) => (Some(wage), None),
        Err(wrong) => (None, Some(wrong)),
    }
}

/// The same answers as the terminal gives to programs.
fn json(reader: &Reader<'_>, asked: &Asked, of: &Answer) -> Result<Value, Refusal> {
    let (h, books) = (reader.holding(), reader.books());
    let cost = |wage| wire::cost(&apiary::money::answers::cost(h, wage));
    Ok(match of {
        Answer::Round => wire::round(reader),
        Answer::YardRound(yard) => {
            wire::yard_round(reader, yard).ok_or_else(|| unknown(reader, "yard", yard))?
        }
        Answer::Calendar => wire::calendar(reader, None),
        Answer::Swarms => wire::swarms(reader),
        Answer::Yard => wire::yard(h),
        Answer::Hive(name) => {
            wire::hive_and_meaning(reader, name).ok_or_else(|| unknown(reader, "hive", name))?
        }
        Answer::Honey => json!({
            "balance": wire::balance(h, books), "yields": wire::yields(h), "ripe": wire::ripe(h, books, &|entry| reader.note(entry), reader.day()),
        }),
        Answer::Lot(name) => wire::lot(h, books, name).ok_or_else(|| unknown(reader, "lot", name))?,
        Answer::Stall => wire::stock(h),
        Answer::Money => {
            let (wage, wrong) = wage(&asked.query);
            if let Some(wrong) = wrong {
                return Err(Refusal::NoWage(wrong));
            }
            json!({ "cash": wire::cash(h), "cost": cost(wage) })
        }
        Answer::Workshop | Answer::Compare => wire::workshop(reader),
        Answer::Pattern(name) => {
            wire::pattern(reader, name).ok_or_else(|| unknown(reader, "pattern", name))?
        }
        Answer::Cut(name) => {
            let saw = sheets::CutAsked::of(&asked.query).saw();
            let saw = saw.map_err(|(field, fits)| Refusal::NoSaw(format!("{field}: here fits {fits}")))?;
            let worked = sheets::worked(reader, name, &saw, &mut sheets::for_steps(sheets::CUT_STEPS));
            let worked = worked.ok_or_else(|| unknown(reader, "pattern", name))?;
            wire::cut(reader, worked.as_ref().map_err(String::as_str))
        }
        Answer::Books => {
            let note = |entry: usize| {
                let entry = reader.entry(entry);
                json!({ "handle": entry.handle().to_string(), "note": entry.note.as_deref().unwrap_or_default() })
            };
            json!({ "notes": reader.standing().map(note).collect::<Vec<_>>() })
        }
        Answer::Complaints => wire::complaints(&reader.complaints(), books),
        Answer::Container(_) | Answer::People | Answer::Note(_) | Answer::Sources | Answer::Why(_) => {
            return Err(Refusal::NoSuchForm);
        }
    })
}

/// The table whose link has that number, whole. Numbers are said by the links, so that a table that is left out
/// on a day does not change what the others are called.
fn csv(asked: &Asked, page: &Page, number: usize) -> Result<Reply, Refusal> {
    let wanted = format!("table={number}");
    let is_wanted = |table: &&Table| {
        let query = table.csv.as_deref().and_then(|to| to.split_once('?'));
        query.is_some_and(|(_, query)| query.split('&').any(|pair| pair == wanted))
    };
    let table = tables(&page.blocks)
        .find(is_wanted)
        .ok_or_else(|| Refusal::Nowhere(Words::new("There is no such table on this page.")))?;
    let day = asked
        .query
        .get("on")
        .map_or_else(String::new, |on| format!("-{on}"));
    let name = format!("{}{day}", table.caption);
    Ok(Reply::csv(&name, page::csv::table(table)))
}

fn tables(blocks: &[Block]) -> Box<dyn Iterator<Item = &Table> + '_> {
    Box::new(
        blocks
            .iter()
            .flat_map(|block| -> Box<dyn Iterator<Item = &Table>> {
                match block {
                    Block::Table(table) => Box::new(std::iter::once(table)),
                    Block::Section(section) => tables(&section.blocks),
                    Block::Folded { blocks, .. } => tables(blocks),
                    _ => Box::new(std::iter::empty()),
                }
            }),
    )
}
