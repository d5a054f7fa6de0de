//! Wood that is kept, boards that can be bought, and what was built.
//!
//! Holds true: a piece that was sawn up is gone; a later offer of the same board takes the place of the earlier.
//!
//! Does not: plan cuts; move stock of anything but wood.

use jiff::civil::Date;
use quantity::{Length, Money};
use reckon::lumber::{Seasoning, dressed_thickness, dressed_width};

use crate::arena::PatternId;
use crate::complaint::{Misgiving, Weight};
use crate::holding::Holding;
use crate::note::{Fact, Value};
use crate::told::Told;

/// Wood on hand, boards on offer, and what was built.
#[derive(Clone, Debug, Default)]
pub struct Workshop {
    /// Pieces that are kept, in the order of the notes; kinds of which none is left are gone.
    pub wood: Vec<Wood>,
    /// Boards that can be bought, in the order of the notes.
    pub offers: Vec<Offer>,
    /// What was built, in the order of the notes.
    pub builds: Vec<Build>,
}

/// How large a board is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Size {
    /// Along the grain.
    pub length: Length,
    /// Across the grain.
    pub width: Length,
    /// From face to face.
    pub thickness: Length,
}

/// Pieces of wood that are kept, alike.
#[derive(Clone, Debug)]
pub struct Wood {
    /// The entry that tells of them.
    pub entry: usize,
    /// What wood it is, in the keeper's words.
    pub wood: String,
    /// How large one is.
    pub size: Size,
    /// How many are left.
    pub count: u32,
    /// Bad places along each, from where to where.
    pub bad: Vec<(Length, Length)>,
}

/// Boards that can be bought.
#[derive(Clone, Debug)]
pub struct Offer {
    /// The entry that tells of them.
    pub entry: usize,
    /// What wood it is, in the keeper's words.
    pub wood: String,
    /// How large one is, dressed.
    pub size: Size,
    /// The size as it is sold where that is another, in the words of the note.
    pub sold_as: Option<String>,
    /// What one costs.
    pub price: Option<Money>,
    /// How many there are; as many as are wanted where it was not said.
    pub count: Option<u32>,
}

/// Hives or bars that were built.
#[derive(Clone, Debug)]
pub struct Build {
    /// The entry that tells of them.
    pub entry: usize,
    /// The day.
    pub day: Date,
    /// The pattern they were built after.
    pub pattern: Option<PatternId>,
    /// Whether they are hives; else they are bars.
    pub hives: bool,
    /// How many.
    pub count: u32,
    /// Minutes worked.
    pub minutes: Option<u32>,
    /// What the material cost.
    pub material: Option<Money>,
}

fn is_size(length: Length) -> bool {
    (Length::mm(1)..=Length::mm(30_000)).contains(&length)
}

/// How large a piece is, as measured; of a nominal board, as it is dressed.
fn size(fact: &Fact) -> Option<Size> {
    let [length, width, thickness] = ["length", "width", "thickness"].map(|field| fact.length(field));
    let said = Size {
        length: length?,
        width: width?,
        thickness: thickness?,
    };
    if fact.word() != "timber" || !fact.says("nominal") {
        return Some(said);
    }
    let seasoning = if fact.says("green") {
        Seasoning::Green
    } else {
        Seasoning::Dry
    };
    Some(Size {
        width: dressed_width(said.width, seasoning)?,
        thickness: dressed_thickness(said.thickness, seasoning)?,
        ..said
    })
}

/// Bad places along a piece.
fn bad(fact: &Fact) -> Vec<(Length, Length)> {
    let ends: Vec<Length> = fact
        .values()
        .iter()
        .filter(|(field, _)| matches!(*field, "bad_from" | "bad_to"))
        .filter_map(|(_, value)| match value {
            Value::Reading(reading) => reading.length(),
            _ => None,
        })
        .collect();
    ends.chunks_exact(2).map(|pair| (pair[0], pair[1])).collect()
}

pub(crate) fn misgivings(h: &Holding, fact: &Fact, out: &mut Vec<Misgiving>) {
    let impossible = |says: String, field: &'static str| Misgiving::new(Weight::Impossible, says).on(field);
    for field in ["length", "width", "thickness"] {
        if fact.length(field).is_some_and(|length| !is_size(length)) {
            out.push(impossible(
                "a measure of a board lies between 1 mm and 30 m".to_owned(),
                field,
            ));
        }
    }
    if fact.count("count") == Some(0) && fact.word() != "timber" {
        out.push(impossible("a count of 0 says nothing".to_owned(), "count"));
    }
    match fact.word() {
        "timber" if fact.says("nominal") && size(fact).is_none() => out.push(impossible(
            "the softwood standard PS 20 has no board of this nominal width and thickness, which it gives in whole inches, such as 6 in x 1 in".to_owned(),
            "width",
        )),
        "timber" if fact.says("green") && !fact.says("nominal") => out.push(impossible(
            "green belongs to a nominal size; a measured board is as it is".to_owned(),
            "thickness",
        )),
        "offcut" => {
            let length = fact.length("length").unwrap_or(Length::ZERO);
            let lies = |(from, to): &(Length, Length)| *from >= Length::ZERO && from < to && *to <= length;
            if !bad(fact).iter().all(lies) {
                out.push(impossible(
                    "a bad place lies within the length of the piece, from the nearer to the farther end".to_owned(),
                    "bad_from",
                ));
            }
        }
        "sawn" => {
            let wanted = fact.count("count").unwrap_or(1);
            let there: u32 = h.workshop.pieces(fact).map(|wood| wood.count).sum();
            if there < wanted {
                let says = match there {
                    0 => "no such piece of wood is kept".to_owned(),
                    1 => "only one such piece of wood is kept".to_owned(),
                    many => format!("only {many} such pieces of wood are kept"),
                };
                out.push(impossible(says, "wood").hint("the page Workshop lists the wood on hand"));
            }
        }
        _ => {}
    }
}

impl Workshop {
    /// The pieces kept that are as a note says.
    fn pieces<'a>(&'a self, fact: &Fact) -> impl Iterator<Item = &'a Wood> + use<'a> {
        let (wood, size) = (fact.text("wood").unwrap_or_default().to_owned(), size(fact));
        self.wood
            .iter()
            .filter(move |kept| kept.wood == wood && Some(kept.size) == size)
    }

    fn saw(&mut self, fact: &Fact) {
        let (wood, size) = (fact.text("wood").unwrap_or_default(), size(fact));
        let mut wanted = fact.count("count").unwrap_or(1);
        for kept in &mut self.wood {
            if kept.wood == wood && Some(kept.size) == size {
                let taken = wanted.min(kept.count);
                kept.count -= taken;
                wanted -= taken;
            }
        }
        self.wood.retain(|kept| kept.count > 0);
    }

    fn offer(&mut self, told: &Told<'_>) {
        let fact = told.fact();
        let (Some(wood), Some(size)) = (fact.text("wood"), size(fact)) else {
            return;
        };
        self.offers
            .retain(|offer| offer.wood != wood || offer.size != size);
        if fact.count("count") == Some(0) {
            return;
        }
        let as_said = |field| fact.reading(field).map(|reading| reading.to_string());
        let sold_as = as_said("width")
            .zip(as_said("thickness"))
            .filter(|_| fact.says("nominal"))
            .map(|(width, thickness)| format!("{width} x {thickness} nominal"));
        self.offers.push(Offer {
            entry: told.entry,
            wood: wood.to_owned(),
            size,
            sold_as,
            price: fact.money("price"),
            count: fact.count("count"),
        });
    }
}

pub(crate) fn fold(h: &mut Holding, told: &Told<'_>) {
    let fact = told.fact();
    match fact.word() {
        "timber" => h.workshop.offer(told),
        "sawn" => h.workshop.saw(fact),
        "offcut" => keep(h, told),
        _ => build(h, told),
    }
}

fn keep(h: &mut Holding, told: &Told<'_>) {
    let fact = told.fact();
    let (Some(wood), Some(size)) = (fact.text("wood"), size(fact)) else {
        return;
    };
    let all = [size.length, size.width, size.thickness];
    if !all.into_iter().all(is_size) {
        return;
    }
    h.workshop.wood.push(Wood {
        entry: told.entry,
        wood: wood.to_owned(),
        size,
        count: fact.count("count").unwrap_or(1),
        bad: bad(fact),
    });
    h.workshop.wood.retain(|kept| kept.count > 0);
}

fn build(h: &mut Holding, told: &Told<'_>) {
    let fact = told.fact();
    let pattern = fact
        .name("pattern")
        .and_then(|name| h.ground.pattern_labels.get(name));
    let minutes = fact.minutes("hours");
    h.workshop.builds.push(Build {
        entry: told.entry,
        day: told.note.day,
        pattern,
        hives: fact.form == 0,
        count: fact.count("count").unwrap_or(0),
        minutes,
        material: fact.money("material"),
    });
    if let Some(minutes) = minutes {
        h.purse.work(told, "building", minutes);
    }
}

/// What hives of a pattern took, where it was said.
#[derive(Clone, Debug, Default)]
pub struct Took {
    /// How many hives were built.
    pub hives: u32,
    /// Minutes for a hive, over those whose hours were said.
    pub minutes_each: Option<f64>,
    /// Material for a hive, in minor units, over those whose cost was said in one currency.
    pub material_each: Option<(f64, quantity::Currency)>,
    /// The entries.
    pub entries: Vec<usize>,
}

/// What hives of a pattern took so far.
pub fn took(h: &Holding, pattern: PatternId) -> Took {
    let mut took = Took::default();
    let (mut timed, mut minutes) = (0, 0);
    let (mut priced, mut minor) = (0, 0);
    let mut currency = None;
    let of_pattern = h.workshop.builds.iter();
    for build in of_pattern.filter(|build| build.hives && build.pattern == Some(pattern)) {
        took.hives += build.count;
        took.entries.push(build.entry);
        if let Some(said) = build.minutes {
            timed += build.count;
            minutes += said;
        }
        if let Some(money) = build.material
            && *currency.get_or_insert(money.currency()) == money.currency()
        {
            priced += build.count;
            minor += money.minor();
        }
    }
    took.minutes_each = (timed > 0).then(|| f64::from(minutes) / f64::from(timed));
    took.material_each = currency
        .filter(|_| priced > 0)
        .map(|currency| (minor as f64 / f64::from(priced), currency));
    took
}
