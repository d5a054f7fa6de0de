//! Cards, the round and a hive as files to be printed.

use app::{Reader, sheets};
use press::{Around, Paper};

use crate::answers::unknown;
use crate::asked::Asked;
use crate::desk::Desk;
use crate::look::{Refusal, refused};
use crate::place::PrintAt;
use crate::reply::Reply;

/// How many bars a blank card has, where none are asked for.
const BARS: u16 = 30;

/// Gives the file, for the paper that is asked for or usual.
pub(crate) fn show(desk: &Desk, asked: &Asked, at: &PrintAt) -> Reply {
    let made = paper(asked).and_then(|paper| {
        let on = asked.on().map_err(|said| Refusal::NoDay(said.to_owned()))?;
        let today = desk.today();
        desk.read(|office| made(&office.reader(on, today), asked, at, paper))?
    });
    made.unwrap_or_else(|refusal| refused(desk, asked, &refusal))
}

fn paper(asked: &Asked) -> Result<Paper, Refusal> {
    match asked.query.get("paper").map(|said| said.trim()) {
        None | Some("") => Ok(asked.paper),
        Some(said) => Paper::of(said).ok_or_else(|| Refusal::NoPaper(said.to_owned())),
    }
}

fn made(reader: &Reader<'_>, asked: &Asked, at: &PrintAt, paper: Paper) -> Result<Reply, Refusal> {
    let farm = reader.holding().ground.farm.clone().unwrap_or_default();
    let around = Around {
        paper,
        day: reader.day(),
        farm: &farm,
    };
    let day = reader.day();
    let cards = |name: &str, cards: &[page::Card]| {
        let (printed, _) = press::cards(cards, &around).map_err(Refusal::Unset)?;
        Ok(Reply::pdf(name, printed.pdf))
    };
    let page = |name: &str, page: &page::Page| {
        let below = format!("As known on {day}");
        let printed = press::page(page, &below, &around).map_err(Refusal::Unset)?;
        Ok(Reply::pdf(name, printed.pdf))
    };
    let no_hive = |name: &str| unknown(reader, "hive", name);
    match at {
        PrintAt::Card(name) => {
            let card = sheets::look_card(reader, name).ok_or_else(|| no_hive(name))?;
            cards(&format!("card-{name}-{day}"), &[card])
        }
        PrintAt::Cards => {
            let all = sheets::look_cards(reader, None).unwrap_or_default();
            cards(&format!("cards-{day}"), &all)
        }
        PrintAt::Blank => {
            let bars = asked.query.get("bars").and_then(|bars| bars.trim().parse().ok());
            cards("card-blank", &[sheets::blank_card(bars.unwrap_or(BARS))])
        }
        PrintAt::Round => page(&format!("round-{day}"), &sheets::round(reader)),
        PrintAt::YardRound(yard) => {
            let round = sheets::yard_round(reader, yard).ok_or_else(|| unknown(reader, "yard", yard))?;
            page(&format!("round-{yard}-{day}"), &round)
        }
        PrintAt::Hive(name) => {
            let hive = sheets::hive(reader, name).ok_or_else(|| no_hive(name))?;
            page(&format!("hive-{name}-{day}"), &hive)
        }
        PrintAt::Pattern(name) => {
            let pattern = sheets::pattern(reader, name).ok_or_else(|| unknown(reader, "pattern", name))?;
            page(&format!("pattern-{name}-{day}"), &pattern)
        }
        PrintAt::Cut(name) => {
            let cut = sheets::cut(reader, name, &sheets::CutAsked::of(&asked.query));
            let cut = cut.ok_or_else(|| unknown(reader, "pattern", name))?;
            page(&format!("cut-{name}-{day}"), &cut)
        }
        PrintAt::Template { pattern, part, form } => template(reader, (pattern, part, form), &around),
        PrintAt::Compare => page(&format!("patterns-{day}"), &sheets::compare(reader)),
    }
}

/// A template on paper, or for a program that draws or cuts.
fn template(
    reader: &Reader<'_>,
    (pattern, part, form): (&str, &str, &str),
    around: &Around<'_>,
) -> Result<Reply, Refusal> {
    let shaped = sheets::Shaped::of(part).ok_or_else(Refusal::no_address)?;
    let template =
        sheets::template(reader, pattern, shaped).ok_or_else(|| unknown(reader, "pattern", pattern))?;
    let template = template.map_err(|lacking| {
        Refusal::Nowhere(page::Words::new(format!("There is no template yet: {lacking}.")))
    })?;
    let name = format!("{part}-of-{pattern}");
    match form {
        "pdf" => {
            let printed = press::full_size(&template, around).map_err(Refusal::Unset)?;
            Ok(Reply::pdf(&name, printed.pdf))
        }
        "svg" => Ok(Reply::svg(&name, page::template::svg(&template))),
        "dxf" => Ok(Reply::dxf(&name, press::dxf(&template).map_err(Refusal::Unset)?)),
        _ => Err(Refusal::no_address()),
    }
}
