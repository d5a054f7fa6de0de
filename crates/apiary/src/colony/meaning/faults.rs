//! Combs at fault, and by when they are easier to mend.

use jiff::ToSpan as _;
use jiff::civil::Date;
use quantity::Source;
use reckon::sources;

use super::room::Room;
use super::{Part, days};

/// "Every few days at first", taken as three.
const FEW_DAYS: i32 = 3;

/// A comb is new so long, in days (common practice, no source).
const NEW_WITHIN: i32 = 21;

/// A comb found at fault and not mended since.
#[derive(Clone, Debug)]
pub struct Fault {
    /// Its place now.
    pub place: u16,
    /// What was found.
    pub fault: &'static str,
    /// When, and the entry that says so.
    pub found: (Date, usize),
    /// How far it is drawn.
    pub drawn: Option<f64>,
}

/// Why by a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Due {
    /// A look every few days while combs are new.
    FewDays,
    /// At the rate seen, the next comb is drawn beside by then, and follows it.
    NextComb,
    /// From late August new comb strays over two or three bars.
    LateAugust,
}

/// What there is to mend.
#[derive(Clone, Debug)]
pub struct Mending {
    /// Combs at fault.
    pub faults: Vec<Fault>,
    /// New combs, by place, with the day each was last looked at.
    pub new: Vec<(u16, Option<Date>)>,
    /// Days by which, why, and who says so.
    pub by: Vec<(Date, Due, &'static Source)>,
    /// Whether the season of straying comb is now.
    pub straying: bool,
    /// Places from the first to the last fault: what cannot be lifted out to be looked at or exchanged singly.
    pub held: Option<(u16, u16)>,
    /// The entries that it stands on.
    pub entries: Vec<usize>,
}

/// Combs at fault and new combs of a colony.
pub fn mending(part: &Part<'_>, room: &Room) -> Mending {
    let combs = part.combs();
    let faults: Vec<Fault> = combs
        .iter()
        .filter_map(|(place, _, comb)| {
            let fault = comb.fault.as_ref()?;
            Some(Fault {
                place: *place,
                fault: fault.what,
                found: (fault.day, fault.entry),
                drawn: comb.drawn,
            })
        })
        .collect();
    let is_new = |since: Date| days(since, part.today) <= f64::from(NEW_WITHIN);
    let new: Vec<(u16, Option<Date>)> = combs
        .iter()
        .filter(|(_, _, comb)| comb.since.is_some_and(is_new))
        .map(|(place, _, comb)| (*place, part.last(comb).map(|look| look.day).or(comb.since)))
        .collect();
    let mut by = Vec::new();
    let oldest = new.iter().filter_map(|(_, seen)| *seen).min();
    if let Some(day) = oldest {
        by.push((
            day.saturating_add(FEW_DAYS.days()),
            Due::FewDays,
            &sources::VENDOR_ADVICE,
        ));
    }
    let is_building = faults.iter().any(|fault| fault.fault != "fallen");
    if let Some(drawing) = room
        .drawing
        .filter(|_| is_building && !room.is_long_ago && room.to_draw.hi() > 0.0)
    {
        // The earliest that the doubt allows: one comb at the fastest rate.
        let soonest = 7.0 / drawing.per_week.hi();
        let whole = soonest.floor().min(365.0) as i32;
        by.push((
            drawing.to.saturating_add(whole.days()),
            Due::NextComb,
            &sources::GARWOOD_1936,
        ));
    }
    let northern = part.northern(part.today);
    let (month, day) = (northern.month(), northern.day());
    let straying = (month, day) >= (8, 20) && month <= 9;
    if (4..=8).contains(&month) && !straying {
        by.push((part.next(part.today, 8, 20), Due::LateAugust, &sources::FLOTTUM));
    }
    by.sort_by_key(|(day, ..)| *day);
    let held = held(&faults, &combs);
    Mending {
        entries: super::entries(faults.iter().map(|fault| fault.found.1)),
        faults,
        new,
        by,
        straying,
        held,
    }
}

/// The longest run of combs without a bare bar between that goes from one to another that is crossed or attached.
fn held(
    faults: &[Fault],
    combs: &[(u16, crate::arena::CombId, &crate::colony::state::Comb)],
) -> Option<(u16, u16)> {
    let has_comb = |place: u16| combs.iter().any(|(of, ..)| *of == place);
    let holding: Vec<u16> = faults
        .iter()
        .filter(|fault| matches!(fault.fault, "crossed" | "attached"))
        .map(|fault| fault.place)
        .collect();
    let runs = holding.iter().map(|from| {
        let to = holding
            .iter()
            .take_while(|to| (*from..=**to).all(has_comb))
            .filter(|to| *to >= from)
            .last();
        (*from, to.copied().unwrap_or(*from))
    });
    runs.filter(|(from, to)| from < to)
        .max_by_key(|(from, to)| to - from)
}
