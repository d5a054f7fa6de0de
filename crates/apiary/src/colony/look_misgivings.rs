//! Looks that contradict the map of the hive, or themselves.
//!
//! Each doubt names the bars. At the desk it refuses the note unless the keeper insists with `anyway`; where the note
//! stands already, written on another device or insisted on, it is a complaint.

use super::answers::{OF_BEES, is_of_another};
use super::look::{Said, share_of, shares};
use super::state::Comb;
use crate::complaint::{Misgiving, Weight};
use crate::holding::{Holding, Hung};
use crate::note::{Fact, Value};

/// Shares are added up from binary fractions.
const NEARLY: f64 = 1e-9;

/// Two people who look at one comb differ by an eighth either way (common practice, no source): a comb may seem so
/// much less drawn than it was without anything having happened to it.
const SEEMS_LESS: f64 = 2.0 / 8.0;

/// What a look at bars says, against what is known of them.
pub(super) fn of_bars(h: &Holding, fact: &Fact, out: &mut Vec<Misgiving>) {
    let hung = fact.bars("bars").map(|bars| h.bars_of(bars)).unwrap_or_default();
    if fact.says("as before") {
        never_looked_at(h, &hung, out);
        anothers(h, &hung, out);
        let merged = |bar: &Hung| {
            let comb = &h.combs[h.bars[bar.bar].comb?];
            let said: Vec<Said> = shares(fact).collect();
            let kept = comb
                .shares
                .iter()
                .filter(|(field, _)| share_of(&said, field).is_none());
            Some(said.iter().copied().chain(kept.copied()).collect::<Vec<_>>())
        };
        let odd = hung.iter().find_map(|bar| {
            Some((name_of(h, *bar), merged(bar)?)).filter(|(_, all)| contradiction(all).is_some())
        });
        if let Some((bar, all)) = odd {
            out.extend(contradiction(&all).map(|doubt| doubt.against(&bar)));
        }
    } else {
        let said: Vec<Said> = shares(fact).collect();
        let bars = fact.bars("bars").map(ToString::to_string).unwrap_or_default();
        out.extend(contradiction(&said).map(|doubt| doubt.against(&bars)));
    }
    out.extend(empty_and_full(fact));
    fallen_short(h, fact, &hung, out);
    bees_of_nobody(h, fact, &hung, out);
}

/// Bees and brood where nobody is known to live.
fn bees_of_nobody(h: &Holding, fact: &Fact, hung: &[Hung], out: &mut Vec<Misgiving>) {
    let tells = shares(fact).any(|(field, share)| share > 0.0 && OF_BEES.contains(&field));
    let empty = hung
        .iter()
        .find(|bar| !h.hives[bar.hive].is_store() && h.colony_at(bar.hive, bar.place).is_none());
    if let Some(bar) = empty.filter(|_| tells) {
        let says = format!("{}: no colony is known to live there", name_of(h, *bar));
        out.push(Misgiving::new(Weight::Remark, says).hint("write how the bees came, with install or start"));
    }
}

/// Ten cells of worker comb take 46 to 58 mm and of drone comb 62 to 71 (published widths, beside what was measured); far
/// from both the unit is more likely wrong, in mm.
const TEN_CELLS_MM: std::ops::RangeInclusive<f64> = 35.0..=85.0;

/// Brood comb is 20 to 23 mm thick and honey is drawn out to 38 (published); far beyond the unit is more likely wrong.
const THICK_MM: std::ops::RangeInclusive<f64> = 8.0..=60.0;

/// A face may be a little larger than its section tells, where the bees leave less space.
const FACE_LARGER: f64 = 1.2;

/// Measures that no comb has.
pub(super) fn measured(h: &Holding, fact: &Fact, out: &mut Vec<Misgiving>) {
    let bars = fact.bars("bars").map(ToString::to_string).unwrap_or_default();
    let mut refuse = |field: &'static str, says: String| {
        out.push(
            Misgiving::new(Weight::Impossible, format!("{bars}: {says}"))
                .hint("look whether the unit is the one that was meant")
                .on(field),
        );
    };
    if let Some(Value::Readings(readings)) = fact.get("ten_cells") {
        let mut widths = readings
            .iter()
            .filter_map(|reading| Some(reading.length()?.to_mm()));
        if let Some(mm) = widths.find(|mm| !TEN_CELLS_MM.contains(mm)) {
            refuse(
                "ten_cells",
                format!("ten cells are not {mm} mm wide: 46 to 71 mm are published"),
            );
        }
    }
    if let Some(mm) = fact.length("thickness").map(|thick| thick.to_mm())
        && !THICK_MM.contains(&mm)
    {
        refuse(
            "thickness",
            format!("no comb is {mm} mm thick: 20 to 38 mm are published"),
        );
    }
    let hung = fact.bars("bars").map(|bars| h.bars_of(bars)).unwrap_or_default();
    let outline = hung.first().and_then(|bar| h.comb_area(bar.hive));
    let face = fact.reading("face_area").and_then(|face| face.area());
    if let (Some(face), Some(outline)) = (face, outline)
        && face.to_cm2() > outline.to_cm2() * FACE_LARGER
    {
        refuse(
            "face_area",
            format!(
                "a face of {:.0} cm² does not fit the section, which has room for {:.0}",
                face.to_cm2(),
                outline.to_cm2()
            ),
        );
    }
}

struct Contradiction {
    says: String,
    field: &'static str,
}

impl Contradiction {
    fn against(self, bars: &str) -> Misgiving {
        Misgiving::new(Weight::Impossible, format!("{bars}: {}", self.says))
            .hint("shares are of the full outline, both faces")
            .on(self.field)
    }
}

/// What is in a comb exceeds neither what is drawn nor the whole. What one word may count within another (capped
/// within honey, sealed and open within brood, eggs within open) is counted once.
fn contradiction(said: &[Said]) -> Option<Contradiction> {
    let share = |field| share_of(said, field).unwrap_or(0.0);
    let drawn = share_of(said, "drawn");
    let is_in_comb = |field: &str| !matches!(field, "drawn" | "empty_share" | "bees" | "eggs_share");
    if let Some(drawn) = drawn
        && let Some((field, _)) = said
            .iter()
            .find(|(field, share)| is_in_comb(field) && *share > drawn + NEARLY)
    {
        let says = format!("more {field} is said than comb is drawn");
        return Some(Contradiction { says, field });
    }
    let brood = share("brood").max(share("sealed") + share("open").max(share("eggs_share")));
    let honey = share("honey").max(share("capped"));
    let parts = [
        (honey, "honey"),
        (brood, "brood"),
        (share("drones"), "drones"),
        (share("nectar"), "nectar"),
        (share("pollen"), "pollen"),
        (share("empty_share"), "empty"),
    ];
    let sum: f64 = parts.iter().map(|(share, _)| share).sum();
    let most = drawn.unwrap_or(1.0);
    if sum <= most + NEARLY {
        return None;
    }
    let named: Vec<&str> = parts
        .iter()
        .filter(|(share, _)| *share > 0.0)
        .map(|(_, name)| *name)
        .collect();
    let beyond = match drawn {
        Some(drawn) if drawn < 1.0 => format!("the {} that is drawn", eighths(drawn)),
        _ => "a whole comb (8/8)".to_owned(),
    };
    let says = format!("{} make {}, more than {beyond}", listed(&named), eighths(sum));
    // The last part said is the one to look at again.
    let field = said
        .iter()
        .rev()
        .map(|(field, _)| *field)
        .find(|field| *field != "drawn" && *field != "bees")?;
    Some(Contradiction { says, field })
}

/// A share in eighths where it is whole ones, else in per cent.
fn eighths(share: f64) -> String {
    let eighths = share * 8.0;
    if (eighths - eighths.round()).abs() < 1e-6 {
        format!("{eighths:.0}/8")
    } else {
        format!("{:.0} %", share * 100.0)
    }
}

fn listed(names: &[&str]) -> String {
    match names {
        [] => String::new(),
        [only] => (*only).to_owned(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// `empty` without a share says that nothing is in the comb.
fn empty_and_full(fact: &Fact) -> Option<Misgiving> {
    if !fact.says("empty") {
        return None;
    }
    let (field, _) = shares(fact)
        .find(|(field, share)| *share > 0.0 && !matches!(*field, "drawn" | "bees" | "empty_share"))?;
    let bars = fact.bars("bars")?;
    let says = format!("{bars}: empty is said, and {field} too");
    Some(
        Misgiving::new(Weight::Impossible, says)
            .hint("a share may be empty, as in empty 2/8")
            .on("empty"),
    )
}

/// A bar that no look has told of cannot be as before.
fn never_looked_at(h: &Holding, hung: &[Hung], out: &mut Vec<Misgiving>) {
    let strangers: Vec<&Hung> = hung
        .iter()
        .filter(|bar| match h.bars[bar.bar].comb {
            Some(comb) => h.combs[comb].looks.is_empty(),
            None => h.bars[bar.bar].last_look.is_none(),
        })
        .collect();
    let Some(first) = strangers.first() else { return };
    let places: Vec<String> = strangers.iter().map(|bar| bar.place.to_string()).collect();
    let word = if places.len() == 1 { "bar" } else { "bars" };
    let places: Vec<&str> = places.iter().map(String::as_str).collect();
    let says = format!(
        "{} {word} {} cannot be as before: no look has told yet what is there",
        h.hives[first.hive].label,
        listed(&places)
    );
    out.push(
        Misgiving::new(Weight::Impossible, says)
            .hint("say what is seen, such as drawn 8/8 brood 5/8, or drawn 0/8 for a bare bar")
            .on("bars"),
    );
}

/// What another colony had on a comb is not as before for the one that has come since.
fn anothers(h: &Holding, hung: &[Hung], out: &mut Vec<Misgiving>) {
    let odd = hung.iter().find_map(|bar| {
        let comb = &h.combs[h.bars[bar.bar].comb?];
        let look = comb.last_look?;
        let colony = h.colony_at(bar.hive, bar.place)?;
        is_of_another(h, bar.hive, bar.place, comb).then_some((bar, colony, look))
    });
    if let Some((bar, colony, look)) = odd {
        let colony = &h.colonies[colony];
        let says = format!(
            "{} cannot be as before: {} came on {}, after the last look at it",
            name_of(h, *bar),
            colony.label,
            colony.since
        );
        let doubt = Misgiving::new(Weight::Impossible, says)
            .hint("say what is seen, such as drawn 8/8 brood 5/8")
            .on("bars");
        out.push(doubt.about(look));
    }
}

/// Comb does not grow less by itself.
fn fallen_short(h: &Holding, fact: &Fact, hung: &[Hung], out: &mut Vec<Misgiving>) {
    let Some(Value::Share(said)) = fact.get("drawn") else {
        return;
    };
    if matches!(fact.choice("fault"), Some("broken" | "fallen")) || fact.choice("face").is_some() {
        return;
    }
    let now = said.fraction();
    let was = |bar: &Hung| {
        let comb: &Comb = &h.combs[h.bars[bar.bar].comb?];
        let came_down = comb
            .fault
            .as_ref()
            .is_some_and(|fault| matches!(fault.what, "broken" | "fallen"));
        let drawn = comb.drawn? * comb.left;
        // What the books began with was said of many combs at once, and by nobody who looked at this one.
        let look = comb.last_look?;
        (!came_down && drawn - now > SEEMS_LESS + NEARLY).then_some((drawn, look))
    };
    let Some((bar, (drawn, look))) = hung.iter().find_map(|bar| Some((bar, was(bar)?))) else {
        return;
    };
    let says = format!(
        "{}: {} is drawn now and {} was before; nothing says that it was cut or has fallen",
        name_of(h, *bar),
        eighths(now),
        eighths(drawn)
    );
    let doubt = Misgiving::new(Weight::Impossible, says)
        .hint(
            "write the cut, or the fault fallen or broken, or look whether the bar is the one that was meant",
        )
        .on("drawn");
    out.push(doubt.about(look));
}

fn name_of(h: &Holding, bar: Hung) -> String {
    format!("{} bar {}", h.hives[bar.hive].label, bar.place)
}

/// A look stops at a place that the hive has.
pub(super) fn of_the_colony(h: &Holding, fact: &Fact, out: &mut Vec<Misgiving>) {
    let Some(after) = fact.count("stopped") else {
        return;
    };
    let Some(colony) = fact.name("colony").and_then(|name| h.colony_named(name)) else {
        return;
    };
    let hive = &h.hives[h.colonies[colony].hive];
    if after > u32::from(hive.places()) {
        let says = format!(
            "{} has places 1 to {}, and no bar {after}",
            hive.label,
            hive.places()
        );
        out.push(Misgiving::new(Weight::Impossible, says).on("stopped"));
    }
}
