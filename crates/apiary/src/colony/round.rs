//! The round: one yard on one day, the hives in their order, why each is visited, what to carry.
//!
//! Holds true: every hive of the yard stands in exactly one place: visited, left alone, nothing due, or without bees.
//! Each reason names the notes it stands on, and the rule or publication where it has one.
//!
//! Does not: rank or score. The order is that of the yard, and said; hives kept apart come last so that nothing is
//! carried from them.
//!
//! Start at [`round`].

use jiff::Span;
use jiff::civil::Date;
use quantity::Source;
use reckon::sources;
use reckon::weather::DailySeries;

use super::calendar::{Asks, Dated, windows_of};
use super::carry::{COMBS_A_PAIL, together};
use super::diary::Sign;
use super::meaning::{self, Notes, Part};
use crate::arena::{ColonyId, HiveId, YardId};
use crate::holding::Holding;

pub use super::carry::{Carried, Thing};
pub use super::spacing::{Spacing, spacing};

/// A round of a yard on a day.
#[derive(Clone, Debug, PartialEq)]
pub struct Round {
    /// The yard.
    pub yard: String,
    /// The day.
    pub day: Date,
    /// How long a colony goes without a look at this time of the year.
    pub spacing: Spacing,
    /// What can harm there, as the notes say and not yet over.
    pub hazards: Vec<Told>,
    /// The hives to visit, in the order in which to visit them.
    pub visits: Vec<Visit>,
    /// What to carry there, all hives together.
    pub carry: Vec<Carried>,
    /// Hives to leave alone on this day.
    pub left_alone: Vec<LeftAlone>,
    /// Hives with bees in which nothing is due.
    pub nothing_due: Vec<NothingDue>,
    /// Hives without bees.
    pub without_bees: Vec<String>,
}

/// How the hives of a round are ordered.
pub const ORDER: &str = "The hives come in the order in which they were made known to the books. Those kept apart, and those with a symptom written down in the last 90 days, come last: gloves and tools are cleaned before and after.";

/// A symptom keeps a hive at the end of the round for so long, unless it is set free earlier.
const SIGN_STANDS: i32 = 90;

/// Something told, and the notes it stands on.
#[derive(Clone, Debug, PartialEq)]
pub struct Told {
    /// The words, as a sentence without its stop.
    pub says: String,
    /// The day by which or until which it holds.
    pub until: Option<Date>,
    /// The notes.
    pub entries: Vec<usize>,
    /// The rule or publication, where there is one.
    pub source: Option<&'static Source>,
}

/// What sort of reason brings a keeper to a hive.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reason {
    /// It was not looked at for long.
    LookDue,
    /// A window of the calendar holds on this day, or has passed without its note.
    Window,
    /// A look was stopped in the middle.
    Stopped,
    /// A comb is crossed, fallen, broken, bulging or attached.
    Mend,
    /// Combs were last seen capped and without brood.
    Ripe,
    /// It was last hefted light.
    Light,
    /// A symptom was written down, or the hive is kept apart.
    Apart,
    /// Few bars are bare, or all will be drawn before the next look.
    Room,
}

impl Reason {
    /// The word a program reads.
    pub const fn word(self) -> &'static str {
        match self {
            Self::LookDue => "look due",
            Self::Window => "window",
            Self::Stopped => "stopped look",
            Self::Mend => "mend",
            Self::Ripe => "ripe",
            Self::Light => "light",
            Self::Apart => "apart",
            Self::Room => "room",
        }
    }
}

/// A hive to visit.
#[derive(Clone, Debug, PartialEq)]
pub struct Visit {
    /// The hive.
    pub hive: String,
    /// The colonies in it, from the entrance inwards.
    pub colonies: Vec<String>,
    /// When one of them was last looked at.
    pub last_look: Option<Date>,
    /// What its weight felt like, and when.
    pub heft: Option<(&'static str, Date)>,
    /// Whether it comes last because it is kept apart.
    pub apart: bool,
    /// Why it is visited.
    pub why: Vec<(Reason, Told)>,
    /// What to look for.
    pub look_for: Vec<Told>,
    /// What to carry for it.
    pub carry: Vec<(Thing, u32)>,
}

/// A hive to leave alone.
#[derive(Clone, Debug, PartialEq)]
pub struct LeftAlone {
    /// The hive.
    pub hive: String,
    /// The colony.
    pub colony: String,
    /// The last day of leaving it alone.
    pub until: Date,
    /// Why.
    pub because: Told,
    /// What would otherwise have brought the keeper to it.
    pub waits: Vec<(Reason, Told)>,
}

/// A hive with bees in which nothing is due.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NothingDue {
    /// The hive.
    pub hive: String,
    /// When it was last looked at.
    pub last_look: Option<Date>,
    /// What the next window is and when it begins, where there is one.
    pub next: Option<(&'static str, Date)>,
}

/// Windows are told ahead for so many days.
const AHEAD: i32 = 7;

/// A check that has passed without its note is asked for so long.
const OVERDUE: i32 = 60;

/// Ripe combs that were seen longer ago are looked at again first, in days (common practice, no source: six weeks).
const RIPE_WITHIN: i32 = 42;

/// A weight by hand is told of so long, in days (common practice, no source: four weeks).
const HEFT_WITHIN: i32 = 28;

/// A colony that came is looked at after so many days (common practice, no source: a week, while combs are few and small).
const FIRST_LOOK: i32 = 7;

/// So few bare bars are few: the follower is moved when only one or two are left.
const FEW_BARE: usize = 2;

/// The round of a yard on a day; the notes tell how fast combs were drawn, the weather what winter takes.
pub fn round<'a>(
    h: &'a Holding,
    yard: YardId,
    day: Date,
    notes: Notes<'a, 'a>,
    weather: Option<&DailySeries>,
) -> Round {
    let mut hives: Vec<(bool, HiveId)> = h
        .hives
        .iter()
        .filter(|(_, hive)| hive.yard == Some(yard) && !hive.gone && !hive.is_store())
        .map(|(id, hive)| (hive.quarantined || sign(h, id, day).is_some(), id))
        .collect();
    // Stable, so the order of the yard is kept within each part.
    hives.sort_by_key(|(apart, _)| *apart);
    let spacing = spacing(day, h.diary.southern.contains(&yard));
    let mut round = Round {
        yard: h.ground.yards[yard].label.to_string(),
        day,
        spacing,
        hazards: hazards(h, yard, day),
        visits: Vec::new(),
        carry: Vec::new(),
        left_alone: Vec::new(),
        nothing_due: Vec::new(),
        without_bees: Vec::new(),
    };
    for (_, hive) in hives {
        place(h, &mut round, hive, notes, weather);
    }
    round.carry = together(&round.visits);
    round
}

/// Puts a hive into its part of the round.
fn place<'a>(
    h: &'a Holding,
    round: &mut Round,
    id: HiveId,
    notes: Notes<'a, 'a>,
    weather: Option<&DailySeries>,
) {
    let day = round.day;
    let label = h.hives[id].label.to_string();
    let living: Vec<ColonyId> = h.living_in(id).collect();
    if living.is_empty() {
        round.without_bees.push(label);
        return;
    }
    let windows: Vec<Dated> = living
        .iter()
        .flat_map(|colony| windows_of(h, *colony, day))
        .collect();
    let mut visit = visit(h, round, id, &living, &windows, notes);
    for part in meaning::parts(h, id, day, notes) {
        why_of_ripe(&part, round, weather, &mut visit);
        why_of_room(&part, round, &mut visit);
        follower_to_carry(&part, &mut visit);
    }
    let alone = |window: &&Dated| window.asks == Asks::LeaveAlone && window.holds(day);
    if let Some(window) = windows.iter().filter(alone).max_by_key(|window| window.to) {
        round.left_alone.push(LeftAlone {
            hive: label,
            colony: window.name.clone(),
            until: window.to,
            because: told_window(window),
            waits: visit.why,
        });
    } else if visit.why.is_empty() {
        let next = windows
            .iter()
            .filter(|window| window.from > day && window.asks != Asks::Know)
            .min_by_key(|window| window.from);
        round.nothing_due.push(NothingDue {
            hive: label,
            last_look: visit.last_look,
            next: next.map(|window| (window.what, window.from)),
        });
    } else {
        round.visits.push(visit);
    }
}

fn visit(
    h: &Holding,
    round: &Round,
    id: HiveId,
    living: &[ColonyId],
    windows: &[Dated],
    notes: Notes<'_, '_>,
) -> Visit {
    let hive = &h.hives[id];
    let day = round.day;
    let mut visit = Visit {
        hive: hive.label.to_string(),
        colonies: living
            .iter()
            .map(|colony| h.colonies[*colony].label.to_string())
            .collect(),
        last_look: living
            .iter()
            .filter_map(|colony| h.colonies[*colony].last_look)
            .max(),
        heft: living
            .iter()
            .filter_map(|colony| h.diary.colonies.get(colony)?.heft.as_ref())
            .map(|heft| (heft.what, heft.day))
            .max_by_key(|(_, day)| *day),
        apart: hive.quarantined || sign(h, id, day).is_some(),
        why: Vec::new(),
        look_for: Vec::new(),
        carry: Vec::new(),
    };
    for colony in living {
        why_of_colony(h, round, *colony, &mut visit);
    }
    for window in windows {
        why_of_window(window, day, &mut visit);
    }
    why_of_faults(h, id, round, &mut visit);
    why_apart(h, id, day, &mut visit);
    if let Some(stopped) = super::answers::unfinished(h, id) {
        let next = stopped.unseen.first().copied().unwrap_or(stopped.after + 1);
        let says = format!(
            "the look of {} stopped at bar {}: go on with bar {next}",
            stopped.day, stopped.after
        );
        visit.why.push((Reason::Stopped, told(says, &[stopped.entry])));
    }
    // Words that wait to be written out are read on the way; by themselves they send nobody.
    for jot in h.jots.iter().filter(|jot| jot.hive == Some(id)) {
        let words = notes(jot.entry).and_then(|note| note.fact.text("words").map(str::to_owned));
        let says = words.map_or_else(
            || "words wait to be written out as notes".to_owned(),
            |words| format!("noted in words: \u{201c}{words}\u{201d}"),
        );
        visit.look_for.push(told(says, &[jot.entry]));
    }
    visit
}

fn told(says: impl Into<String>, entries: &[usize]) -> Told {
    Told {
        says: says.into(),
        until: None,
        entries: entries.to_vec(),
        source: None,
    }
}

fn told_window(window: &Dated) -> Told {
    let only_if = window
        .only_if
        .map_or_else(String::new, |only_if| format!(", {only_if}"));
    Told {
        says: format!(
            "{}{only_if}: {} on {}",
            window.what,
            window.after.says(),
            window.since
        ),
        until: Some(window.to),
        entries: vec![window.because],
        source: Some(window.source),
    }
}

/// A look that is due or was stopped, and what the hand felt.
fn why_of_colony(h: &Holding, round: &Round, id: ColonyId, visit: &mut Visit) {
    let colony = &h.colonies[id];
    let pages = h.diary.colonies.get(&id);
    let named = named(h, id, visit);
    let days = (round.day - colony.last_look.unwrap_or(colony.since)).get_days();
    if days >= round.spacing.days {
        let since = if colony.last_look.is_some() {
            "last looked at"
        } else {
            "never looked at since it began"
        };
        let says = format!("{named}{since} {days} days ago");
        let mut due = told(says, colony.entries.first().map_or(&[], std::slice::from_ref));
        due.source = Some(round.spacing.source);
        visit.why.push((Reason::LookDue, due));
    }
    // A weight by hand says nothing of what came since, and a look inside tells more.
    let is_lately = |day: Date| (round.day - day).get_days() <= HEFT_WITHIN;
    if let Some(heft) = pages
        .and_then(|pages| pages.heft.as_ref())
        .filter(|heft| heft.what == "light" && is_lately(heft.day))
        .filter(|heft| colony.last_look.is_none_or(|look| look <= heft.day))
    {
        let says = format!("{named}hefted light on {}", heft.day);
        visit.why.push((Reason::Light, told(says, &[heft.entry])));
        visit.carry.push((Thing::HoneyCombs, 1));
    }
    is_new_here(round, colony, &named, visit);
    look_for(round, named, pages, colony.last_look, visit);
}

/// A colony that came lately and was not looked at yet: its first combs guide all others.
fn is_new_here(round: &Round, colony: &super::state::Colony, named: &str, visit: &mut Visit) {
    let days = (round.day - colony.since).get_days();
    if colony.last_look.is_none() && round.spacing.opens && (FIRST_LOOK..round.spacing.days).contains(&days) {
        let says = format!("{named}came {days} days ago: look that its combs follow the bars");
        let mut new = told(says, colony.entries.first().map_or(&[], std::slice::from_ref));
        new.source = Some(&sources::VENDOR_ADVICE);
        visit.why.push((Reason::LookDue, new));
    }
}

/// What to look for in every colony, with when it was last seen.
fn look_for(
    round: &Round,
    named: String,
    pages: Option<&super::diary::Pages>,
    last_look: Option<Date>,
    visit: &mut Visit,
) {
    if !round.spacing.opens {
        visit.look_for.push(told(
            format!("{named}at the entrance: bees flying, dead bees, mice, wet; heft, and do not open"),
            &[],
        ));
        return;
    }
    let eggs = pages.and_then(|pages| pages.eggs.as_ref());
    let says = match eggs {
        Some(eggs) => match last_look.filter(|look| *look > eggs.day) {
            Some(look) => format!(
                "{named}eggs, not told by the look of {look}; last on {}",
                eggs.day
            ),
            None => format!("{named}eggs, last seen on {}", eggs.day),
        },
        None => format!("{named}eggs, not written down as seen yet"),
    };
    visit.look_for.push(told(
        says,
        eggs.map_or(&[], |eggs| std::slice::from_ref(&eggs.entry)),
    ));
    if round.spacing.swarms {
        visit.look_for.push(told(
            format!("{named}queen cells, at the edges of the combs and low on them"),
            &[],
        ));
    }
}

fn why_of_window(window: &Dated, day: Date, visit: &mut Visit) {
    let overdue = window.asks == Asks::Look && window.to < day && (day - window.to).get_days() <= OVERDUE;
    let due = window.holds(day) && matches!(window.asks, Asks::Look | Asks::Ready);
    if due || overdue {
        let mut told = told_window(window);
        if overdue {
            told.says.push_str("; nothing is written since that settles it");
        }
        // Each check once: the later one says what the earlier did.
        let same = |(reason, _): &(Reason, Told)| *reason == Reason::Window;
        if overdue {
            visit.why.retain(|entry| {
                !(same(entry) && entry.1.entries == told.entries && entry.1.until < told.until)
            });
        }
        visit.why.push((Reason::Window, told));
        let carries = |visit: &Visit, thing| visit.carry.iter().any(|(what, _)| *what == thing);
        if window.asks == Asks::Ready {
            for thing in [Thing::Boxes, Thing::Cages] {
                if !carries(visit, thing) {
                    visit.carry.push((thing, 1));
                }
            }
        }
    } else if window.asks == Asks::Know && window.holds(day) {
        visit.look_for.push(told_window(window));
    } else if window.from > day && (window.from - day).get_days() <= AHEAD && window.asks != Asks::Know {
        let mut told = told_window(window);
        told.says = format!("from {}: {}", window.from, told.says);
        visit.look_for.push(told);
    }
}

/// Combs to mend: a comb is not touched while hives stay closed.
fn why_of_faults(h: &Holding, id: HiveId, round: &Round, visit: &mut Visit) {
    if !round.spacing.opens {
        return;
    }
    let combs = h.hives[id].bars.iter().zip(1u16..);
    let faults = combs.filter_map(|(bar, place)| Some((place, h.combs[h.bars[*bar].comb?].fault.as_ref()?)));
    for (place, fault) in faults {
        let says = format!("bar {place} {}, not yet mended", fault.what);
        visit.why.push((Reason::Mend, told(says, &[fault.entry])));
        if visit.carry.iter().all(|(thing, _)| *thing != Thing::Ties) {
            visit.carry.push((Thing::Ties, 1));
        }
    }
}

/// Ripe combs of a colony after winter's share: what is set aside, or was seen long ago, sends nobody with a pail.
fn why_of_ripe(part: &Part<'_>, round: &Round, weather: Option<&DailySeries>, visit: &mut Visit) {
    // Winter is reckoned day by day, so only where there is a comb to be held against it.
    let has_ripe = part
        .combs()
        .iter()
        .any(|(_, _, comb)| super::answers::ripeness(comb).is_some());
    if !round.spacing.opens || visit.apart || !has_ripe {
        return;
    }
    let harvest = meaning::harvest(part, &meaning::winter_check(part, weather));
    let free: Vec<_> = harvest.ripe.iter().filter(|comb| comb.aside.is_empty()).collect();
    let fresh = |comb: &&meaning::RipeComb| {
        comb.seen
            .is_some_and(|seen| (round.day - seen).get_days() <= RIPE_WITHIN)
    };
    if free.is_empty() || !free.iter().all(fresh) {
        return;
    }
    let places = |combs: &[&meaning::RipeComb]| {
        let word = if combs.len() == 1 { "bar" } else { "bars" };
        let mut places: Vec<u16> = combs.iter().map(|comb| comb.place).collect();
        places.sort_unstable();
        let places: Vec<String> = places.iter().map(u16::to_string).collect();
        format!("{word} {}", places.join(", "))
    };
    let named = named(part.h, part.colony, visit);
    let (take, _) = free.split_at(harvest.likely.min(free.len()));
    let mut says = format!("{named}{} last seen ripe", places(&free));
    says.push_str(&match take.len() {
        0 => ", and winter's share leaves none to take by the likely figures".to_owned(),
        some if some == free.len() => {
            ", which winter's share leaves to take by the likely figures".to_owned()
        }
        _ => format!(
            ", of which winter's share leaves {} to take by the likely figures",
            places(take)
        ),
    });
    let untold: Vec<_> = take.iter().copied().filter(|comb| !comb.brood_told).collect();
    if !untold.is_empty() {
        says.push_str(&format!("; of brood on {} nothing was said", places(&untold)));
    }
    let entries: Vec<usize> = free.iter().filter_map(|comb| comb.look).collect();
    let told = told(says, &entries);
    match u32::try_from(take.len()) {
        Ok(count @ 1..) => {
            visit.why.push((Reason::Ripe, told));
            visit.carry.push((Thing::Bars, count));
            visit.carry.push((Thing::Pails, count.div_ceil(COMBS_A_PAIL)));
        }
        _ => visit.look_for.push(told),
    }
}

/// In the time of swarms, bars that are nearly all drawn, and what lies behind the follower.
fn why_of_room(part: &Part<'_>, round: &Round, visit: &mut Visit) {
    let room = meaning::room(part);
    // Where no look tells of the combs, nothing is known of the room.
    if !round.spacing.swarms || room.entries.is_empty() {
        return;
    }
    let next_look = round.day.saturating_add(Span::new().days(round.spacing.days));
    let full = room.full.and_then(|full| {
        let days = Span::new().try_days(libm::floor(full.days) as i64).ok()?;
        full.from.checked_add(days).ok()
    });
    let soon = full.filter(|full| *full <= next_look);
    if room.bare.len() > FEW_BARE && soon.is_none() {
        return;
    }
    let mut says = match room.bare.len() {
        0 => "no bar is bare".to_owned(),
        1 => "one bar is bare".to_owned(),
        bare => format!("{bare} bars are bare"),
    };
    if let Some(soon) = soon {
        says.push_str(&format!("; at the rate seen all is drawn about {soon}"));
    }
    says.push_str(&match room.beyond {
        0 => "; no place lies beyond a follower".to_owned(),
        1 => "; one place lies beyond the follower".to_owned(),
        beyond => format!("; {beyond} places lie beyond the follower"),
    });
    let mut told = told(named(part.h, part.colony, visit) + &says, &room.entries);
    told.source = Some(&sources::VENDOR_ADVICE);
    visit.why.push((Reason::Room, told));
}

/// In autumn, a follower for a colony that has none beside it and bare bars behind its combs.
fn follower_to_carry(part: &Part<'_>, visit: &mut Visit) {
    let follower = meaning::follower(part);
    let Some(closes_at) = follower
        .closes_at
        .filter(|_| follower.autumn && follower.at.is_empty() && follower.bare_behind > 0)
    else {
        return;
    };
    let says = format!(
        "{}no follower stands beside it; closed to its combs, one would stand before place {closes_at}",
        named(part.h, part.colony, visit)
    );
    let mut told = told(says, &follower.entries);
    told.source = Some(&sources::KEEPERS_CALENDARS);
    visit.look_for.push(told);
    visit.carry.push((Thing::Followers, 1));
}

/// The colony by name, where the hive holds several.
fn named(h: &Holding, colony: ColonyId, visit: &Visit) -> String {
    if visit.colonies.len() > 1 {
        format!("{}: ", h.colonies[colony].label)
    } else {
        String::new()
    }
}

fn why_apart(h: &Holding, id: HiveId, day: Date, visit: &mut Visit) {
    if h.hives[id].quarantined {
        let entries = h.diary.apart.get(&id).map_or(Vec::new(), |entry| vec![*entry]);
        visit.why.push((
            Reason::Apart,
            told("kept apart: move nothing out of it", &entries),
        ));
    }
    if let Some(sign) = sign(h, id, day) {
        let says = format!(
            "\u{201c}{}\u{201d} was written down on {}: close up, move nothing, and call your bee inspector",
            sign.what, sign.day
        );
        visit.why.push((Reason::Apart, told(says, &[sign.entry])));
    }
    if visit.apart {
        visit.carry.push((Thing::CleanTools, 1));
    }
}

/// The newest symptom of a hive that still stands.
fn sign(h: &Holding, id: HiveId, day: Date) -> Option<&Sign> {
    let lifted = h.diary.lifted.get(&id).map(|(day, _)| *day);
    h.diary.signs.iter().rfind(|sign| sign.hive == id).filter(|sign| {
        (day - sign.day).get_days() <= SIGN_STANDS && lifted.is_none_or(|lifted| lifted < sign.day)
    })
}

/// The hazards of a yard that are not yet over.
fn hazards(h: &Holding, yard: YardId, day: Date) -> Vec<Told> {
    let there = h.diary.hazards.iter().filter(|hazard| {
        hazard.yard == yard && hazard.day <= day && hazard.until.is_none_or(|until| until >= day)
    });
    there
        .map(|hazard| Told {
            says: hazard.what.clone(),
            until: hazard.until,
            entries: vec![hazard.entry],
            source: None,
        })
        .collect()
}
