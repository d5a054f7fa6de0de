//! `show`: answers from the books, for people and for programs.

use apiary::colony::answers as colony;
use apiary::honey::answers as honey;
use apiary::honey::answers::PartMass;
use apiary::money::answers as money;
use apiary::note::nearest;
use apiary::trade::state::Measure;
use apiary::{Complaint, Holding};
use app::{Office, wire};
use jiff::civil::Date;
use ledger::Books;
use quantity::Money;
use serde_json::json;

use super::opening::{office_for_answers, surroundings};
use crate::args::{Args, Topic};
use crate::exit::{Failure, capital};
use crate::output::{Said, table};

pub(crate) fn run(args: &Args, topic: &Topic, on: Option<Date>) -> Result<Said, Failure> {
    use app::Surroundings as _;
    let mut office = office_for_answers(&args.books_path())?;
    match topic {
        Topic::Round => {
            let today = on.unwrap_or_else(|| surroundings(args).today());
            Ok(round(&mut office, on, today))
        }
        Topic::Complaints => {
            let complaints = office.library().complaints(on);
            Ok(complaints_said(&complaints, office.library().books()))
        }
        Topic::Notes => Ok(notes(&mut office, on)),
        _ => {
            let holding = on_day(&mut office, on);
            answer(&holding, office.library().books(), topic)
        }
    }
}

fn on_day(office: &mut Office, on: Option<Date>) -> Holding {
    match on {
        Some(day) => office.library().holding_on(day).into_owned(),
        None => office.library().take_holding(),
    }
}

fn answer(h: &Holding, books: &Books, topic: &Topic) -> Result<Said, Failure> {
    Ok(match topic {
        Topic::Yard => Said::new(yard_text(h), wire::yard(h)),
        Topic::Hive { name } => {
            let json =
                wire::hive(h, books, name).ok_or_else(|| unknown("hive", name, h.hive_labels.names()))?;
            Said::new(hive_text(h, books, name), json)
        }
        Topic::Ripe => Said::new(ripe_text(h), wire::ripe(h, books)),
        Topic::Stock => Said::new(stock_text(h), wire::stock(h)),
        Topic::Lot { name } => {
            let json =
                wire::lot(h, books, name).ok_or_else(|| unknown("lot", name, h.stock.lot_labels.names()))?;
            Said::new(lot_text(h, books, name), json)
        }
        Topic::Balance => Said::new(balance_text(h), wire::balance(h, books)),
        Topic::Yields => Said::new(yields_text(h), wire::yields(h)),
        Topic::Cost { wage } => {
            let cost = money::cost(h, *wage);
            Said::new(cost_text(&cost), wire::cost(&cost))
        }
        Topic::Cash => Said::new(cash_text(h), wire::cash(h)),
        Topic::Round | Topic::Complaints | Topic::Notes => unreachable!("BUG: answered by the caller"),
    })
}

fn unknown<'a>(what: &str, name: &str, known: impl Iterator<Item = &'a str>) -> Failure {
    let near = nearest(name, known).map_or_else(String::new, |near| format!(" Did you mean {near}?"));
    Failure::Refused(format!("No {what} is called {name} in these books.{near}"))
}

/// A wage, such as `15.00 GBP`.
pub(crate) fn wage(said: &str) -> Result<Money, String> {
    let wrong = || "money is written with its currency, such as \"15.00 GBP\"".to_owned();
    let (digits, currency) = said.trim().rsplit_once(' ').ok_or_else(wrong)?;
    let currency = quantity::Currency::new(currency).ok_or_else(wrong)?;
    let digits = digits.trim().parse().map_err(|_| wrong())?;
    let wage = Money::from_decimal(digits, currency).ok_or_else(wrong)?;
    if wage.minor() < 0 {
        return Err("a wage is nothing or more, such as \"15.00 GBP\"".to_owned());
    }
    Ok(wage)
}

fn kg(value: f64) -> String {
    // A zero that rounding made of a little less than nothing has no sign.
    let text = format!("{value:.3}");
    if text.trim_start_matches('-').trim_matches(['0', '.']).is_empty() {
        "0.000".to_owned()
    } else {
        text
    }
}

fn maybe_kg(value: Option<f64>) -> String {
    value.map_or_else(|| "unknown".to_owned(), kg)
}

fn mass_with_interval(mass: PartMass) -> String {
    if mass.hi_kg - mass.lo_kg < 5e-4 {
        kg(mass.kg)
    } else {
        format!("{} ({} to {})", kg(mass.kg), kg(mass.lo_kg), kg(mass.hi_kg))
    }
}

fn yard_text(h: &Holding) -> String {
    let rows = colony::yard(h);
    if rows.is_empty() {
        return "No hive is in these books yet. A yard and a hive begin them:\n  yard orchard at 52.1 -2.4\n  hive alder in orchard bars 27\n".to_owned();
    }
    let rows = rows.into_iter().map(|row| {
        let colonies = row
            .colonies
            .iter()
            .map(|(label, since)| format!("{label} since {since}"))
            .collect::<Vec<_>>()
            .join(", ");
        vec![
            row.hive,
            row.yard.unwrap_or_else(|| "store".to_owned()),
            row.pattern.unwrap_or_default(),
            row.places.to_string(),
            row.combs.to_string(),
            if colonies.is_empty() {
                "no bees".to_owned()
            } else {
                colonies
            },
            row.last_look.map_or_else(String::new, |day| day.to_string()),
        ]
    });
    table(
        &[
            "Hive",
            "Yard",
            "Pattern",
            "Places",
            "Combs",
            "Colonies",
            "Last look",
        ],
        &[3, 4],
        rows.collect(),
    )
}

fn hive_text(h: &Holding, books: &Books, name: &str) -> String {
    let Some(id) = h.hive_labels.get(name) else {
        return String::new();
    };
    let rows = colony::bars(h, books, id).into_iter().map(|bar| {
        let mut contents = bar.contents.unwrap_or_else(|| {
            if bar.has_comb {
                "comb, contents unknown".to_owned()
            } else {
                "bare bar".to_owned()
            }
        });
        if let Some(fault) = bar.fault {
            contents.push_str(&format!("; {fault}"));
        }
        vec![
            bar.place.to_string(),
            bar.tag.unwrap_or_default(),
            bar.colony.unwrap_or_default(),
            bar.comb_since.map_or_else(String::new, |day| day.to_string()),
            contents,
        ]
    });
    let hive = &h.hives[id];
    let yard = hive.yard.map_or_else(
        || "a store".to_owned(),
        |yard| format!("in {}", h.ground.yards[yard].label),
    );
    let followers = match hive.followers.as_slice() {
        [] => String::new(),
        some => format!(
            ", follower before place {}",
            some.iter()
                .map(ToString::to_string)
                .collect::<Vec<_>>()
                .join(" and ")
        ),
    };
    format!(
        "{} ({yard}{followers})\n\n{}",
        hive.label,
        table(
            &["Place", "Tag", "Colony", "Comb since", "Last look said"],
            &[0],
            rows.collect()
        )
    )
}

fn ripe_text(h: &Holding) -> String {
    let ripe = colony::ripe(h);
    if ripe.is_empty() {
        return "No comb was last seen ripe (capped for three quarters of what is drawn, and no brood).\n"
            .to_owned();
    }
    let rows = ripe.into_iter().map(|ripe| {
        vec![
            ripe.hive,
            ripe.place.to_string(),
            format!("{:.0} %", ripe.capped * 100.0),
        ]
    });
    table(&["Hive", "Bar", "Capped"], &[1, 2], rows.collect())
        + "Leave the winter's share. Ripe means capped for three quarters and no brood (common practice, no source).\n"
}

/// What counting the shelf has added or taken off; nothing where it agreed.
fn signed(count: i64) -> String {
    if count == 0 {
        String::new()
    } else {
        format!("{count:+}")
    }
}

fn stock_text(h: &Holding) -> String {
    let lots = h.stock.lots.iter().map(|(_, lot)| {
        vec![
            lot.label.to_string(),
            lot.product.clone(),
            format!("{} g", lot.net.to_g()),
            lot.made.to_string(),
            lot.sold.to_string(),
            lot.given.to_string(),
            lot.taken.to_string(),
            lot.spoiled.to_string(),
            lot.held_elsewhere().to_string(),
            signed(lot.counted_off),
            lot.on_hand().to_string(),
        ]
    });
    let goods = h.stock.goods.iter().map(|(name, good)| {
        let amount = |steps: i64| match good.measure {
            Measure::Pieces => steps.to_string(),
            Measure::Mass => format!("{:.3} kg", steps as f64 / 1e12),
            Measure::Volume => format!("{:.3} l", steps as f64 / 1e6),
        };
        vec![
            name.clone(),
            amount(good.bought),
            amount(good.used),
            amount(good.on_hand()),
        ]
    });
    let headings = [
        "Lot",
        "Product",
        "Net",
        "Made",
        "Sold",
        "Given",
        "Taken",
        "Spoilt",
        "At shops",
        "Counted off",
        "On the shelf",
    ];
    format!(
        "{}\n{}",
        table(&headings, &[2, 3, 4, 5, 6, 7, 8, 9, 10], lots.collect()),
        table(
            &["Goods", "Bought", "Used", "On hand"],
            &[1, 2, 3],
            goods.collect()
        )
    )
}

fn lot_text(h: &Holding, books: &Books, name: &str) -> String {
    let Some(id) = h.stock.lot_labels.get(name) else {
        return String::new();
    };
    let lot = &h.stock.lots[id];
    let trace = honey::trace(h, id);
    let filled = lot.filled_on.map_or_else(
        || "from before the books".to_owned(),
        |day| format!("filled on {day}"),
    );
    let mut out = format!(
        "Lot {}: {} of {} g, {filled}. {} made, {} on the shelf, {} at shops.\n",
        lot.label,
        lot.product,
        lot.net.to_g(),
        lot.made,
        lot.on_hand(),
        lot.held_elsewhere()
    );
    if let (Some(water), Some(reading)) = (trace.moisture(), &trace.reading) {
        let assumed = if reading.assumed_20_c {
            "; 20 °C is assumed, none was noted"
        } else {
            ""
        };
        out.push_str(&format!(
            "Water {:.1} % ({:.1} to {:.1}), from {}{assumed}. Relation of Wedmore 1955.\n",
            water.percent,
            water.lo,
            water.hi,
            books.entries()[reading.entry].handle()
        ));
    }
    if trace.poured_since {
        out.push_str("Something was poured in after the water was read.\n");
    }
    if !trace.tanks.is_empty() {
        out.push_str(&format!("Through {}.\n", trace.tanks.join(", ")));
    }
    for older in &trace.unknown {
        out.push_str(&format!("What was in {older} is older than these books.\n"));
    }
    let rows = trace.from.iter().map(|origin| {
        vec![
            origin.hive.clone(),
            origin.bar.to_string(),
            origin.yard.clone().unwrap_or_default(),
            origin.cut_on.to_string(),
            mass_with_interval(origin.comb),
            origin.pail.clone().unwrap_or_default(),
            books.entries()[origin.entry].handle().to_string(),
        ]
    });
    out.push('\n');
    out.push_str(&table(
        &["Hive", "Bar", "Yard", "Cut on", "Comb kg", "Pail", "Note"],
        &[1],
        rows.collect(),
    ));
    let sold = lot.sales.iter().map(|sale| {
        vec![
            sale.day.to_string(),
            sale.to.as_ref().map(ToString::to_string).unwrap_or_default(),
            sale.count.to_string(),
            sale.for_money.map_or_else(String::new, |money| money.to_string()),
        ]
    });
    if !lot.sales.is_empty() {
        out.push('\n');
        out.push_str(&table(
            &["Sold on", "To", "Pieces", "For"],
            &[2, 3],
            sold.collect(),
        ));
    }
    out
}

fn balance_text(h: &Holding) -> String {
    let rows = honey::balances(h).into_iter().map(|balance| {
        let came_in = match (balance.in_kg, balance.in_estimate_kg) {
            (None, Some(estimate)) => format!("about {:.1}", estimate.kg),
            (in_kg, _) => maybe_kg(in_kg),
        };
        vec![
            balance.name,
            balance.begun.to_string(),
            balance.kind,
            came_in,
            kg(balance.honey_kg),
            kg(balance.other_kg),
            kg(balance.residue_kg),
            kg(balance.loss_kg),
            maybe_kg(balance.unaccounted_kg),
            maybe_kg(balance.left_kg),
        ]
    });
    let headings = [
        "Container",
        "Since",
        "Holds",
        "In",
        "Honey out",
        "Other out",
        "Residue",
        "Loss",
        "Unaccounted",
        "Left",
    ];
    table(&headings, &[3, 4, 5, 6, 7, 8, 9], rows.collect())
        + "All in kg. In = honey out + other out + residue + loss + unaccounted + left.\n"
}

fn yields_text(h: &Holding) -> String {
    let rows = honey::yields(h).into_iter().map(|row| {
        vec![
            row.hive,
            row.combs.to_string(),
            mass_with_interval(row.comb),
            kg(row.honey_kg),
            kg(row.wax_kg),
        ]
    });
    table(
        &["Hive", "Combs cut", "Comb kg", "Honey kg", "Wax kg"],
        &[1, 3, 4],
        rows.collect(),
    ) + "Where combs of several hives lay in one pail, its kilos are shared by estimated comb area; the interval takes single combs to be estimated within a quarter (from memory).\n"
}

fn cost_text(cost: &money::Cost) -> String {
    let currency = cost
        .currency
        .map_or_else(String::new, |currency| format!(" {}", currency.as_str()));
    let amount = |amount: f64| format!("{amount:.2}{currency}");
    let mut out = format!(
        "Honey in jars {} kg, spent {}, {:.2} hours worked.\n",
        kg(cost.honey_kg),
        amount(cost.spend),
        cost.hours
    );
    match cost.per_kg {
        Some(per_kg) => out.push_str(&format!(
            "A kilo cost {} without the keeper's own time.\n",
            amount(per_kg)
        )),
        None => out.push_str("There is no honey in jars yet, so a kilo has no cost.\n"),
    }
    if let Some(with_time) = cost.per_kg_with_time {
        out.push_str(&format!("With it, {}.\n", amount(with_time)));
    }
    for note in &cost.notes {
        out.push_str(&format!("Note: {note}.\n"));
    }
    out
}

fn cash_text(h: &Holding) -> String {
    if h.purse.cash.is_empty() {
        return "No money was noted yet.\n".to_owned();
    }
    h.purse
        .cash
        .iter()
        .map(|(currency, minor)| format!("Cash in hand {}\n", Money::new(*minor, *currency)))
        .collect()
}

fn complaints_said(complaints: &[Complaint], books: &Books) -> Said {
    Said::new(
        complaints_text(complaints, books),
        wire::complaints(complaints, books),
    )
}

pub(crate) fn complaints_text(complaints: &[Complaint], books: &Books) -> String {
    if complaints.is_empty() {
        return "Nothing is odd.\n".to_owned();
    }
    complaints
        .iter()
        .map(|complaint| complaint_text(complaint, books))
        .collect()
}

fn complaint_text(complaint: &Complaint, books: &Books) -> String {
    let mut out = format!("! {}\n", super::note::with_stop(&complaint.says));
    for entry in &complaint.about {
        let entry = &books.entries()[*entry];
        out.push_str(&format!(
            "    {}: {}\n",
            entry.handle(),
            entry.note.as_deref().unwrap_or("(erased)")
        ));
    }
    if let Some(hint) = &complaint.hint {
        out.push_str(&format!("    {}\n", super::note::with_stop(hint)));
    }
    out
}

fn notes(office: &mut Office, on: Option<Date>) -> Said {
    let library = office.library();
    let standing: Vec<(String, String)> = library
        .standing()
        .filter(|(entry, _)| on.is_none_or(|day| entry.envelope.day <= day))
        .map(|(entry, _)| {
            (
                entry.handle().to_string(),
                entry.note.as_deref().unwrap_or_default().to_owned(),
            )
        })
        .collect();
    let text = standing
        .iter()
        .map(|(handle, note)| format!("{handle:<14} {note}\n"))
        .collect::<String>();
    let json = json!({ "notes": standing.iter().map(|(handle, note)| json!({"handle": handle, "note": note})).collect::<Vec<_>>() });
    Said::new(text, json)
}

/// How long a living colony may go without a look before the round names it, in days, in the season and in
/// winter (common practice, no source).
const LOOK_WITHIN_SEASON: i32 = 14;
const LOOK_WITHIN_WINTER: i32 = 42;

/// The round of the day.
pub(crate) fn round(office: &mut Office, on: Option<Date>, today: Date) -> Said {
    let complaints = office.library().complaints(on);
    let holding = on_day(office, on);
    let h = &holding;
    let books = office.library().books();
    let to_see = to_see(h, today);
    let cost = money::cost(h, None);
    let mut out = format!("The round of {today}\n\n");
    out.push_str(&list(
        "To see",
        to_see.clone(),
        "every colony was looked at lately",
    ));
    out.push_str(&list(
        "To mend",
        faults(h),
        "no comb is known to be crossed, fallen or broken",
    ));
    out.push_str(&format!("Ripe\n{}\n", indent(&ripe_text(h))));
    out.push_str(&format!("Stock\n{}\n", indent(&stock_in_short(h))));
    out.push_str(&format!("Cost\n{}\n", indent(&cost_text(&cost))));
    out.push_str(&format!("Odd\n{}", indent(&complaints_text(&complaints, books))));
    let json = json!({
        "day": today.to_string(), "to_see": to_see, "to_mend": faults(h), "ripe": wire::ripe(h, books),
        "stock": wire::stock(h), "cost": wire::cost(&cost), "complaints": wire::complaints(&complaints, books)["complaints"],
    });
    Said::new(out, json)
}

fn list(heading: &str, items: Vec<String>, nothing: &str) -> String {
    let items = if items.is_empty() {
        vec![capital(nothing)]
    } else {
        items
    };
    format!(
        "{heading}\n{}\n",
        items
            .iter()
            .map(|item| format!("  {item}.\n"))
            .collect::<String>()
    )
}

fn indent(text: &str) -> String {
    text.lines()
        .map(|line| {
            if line.is_empty() {
                "\n".to_owned()
            } else {
                format!("  {line}\n")
            }
        })
        .collect()
}

fn to_see(h: &Holding, today: Date) -> Vec<String> {
    let within = if (4..=9).contains(&today.month()) {
        LOOK_WITHIN_SEASON
    } else {
        LOOK_WITHIN_WINTER
    };
    let living = h
        .colonies
        .iter()
        .map(|(_, colony)| colony)
        .filter(|colony| colony.lives());
    let mut due: Vec<(i32, String)> = living
        .filter_map(|colony| {
            let last = colony.last_look.unwrap_or(colony.since);
            let days = (today - last).get_days();
            let hive = &h.hives[colony.hive].label;
            let place = if *hive == colony.label {
                String::new()
            } else {
                format!(" in {hive}")
            };
            (days > within).then(|| {
                (
                    days,
                    format!("{}{place}: last looked at {days} days ago", colony.label),
                )
            })
        })
        .collect();
    due.sort_by(|a, b| b.0.cmp(&a.0).then_with(|| a.1.cmp(&b.1)));
    let quarantined = h
        .hives
        .iter()
        .filter(|(_, hive)| hive.quarantined)
        .map(|(_, hive)| format!("{} is kept apart: move nothing out of it", hive.label));
    due.into_iter().map(|(_, text)| text).chain(quarantined).collect()
}

fn faults(h: &Holding) -> Vec<String> {
    let mut out = Vec::new();
    for (_, hive) in h.hives.iter().filter(|(_, hive)| !hive.gone && !hive.is_store()) {
        for (bar, place) in hive.bars.iter().zip(1u16..) {
            let fault = h.bars[*bar].comb.and_then(|comb| h.combs[comb].fault);
            out.extend(fault.map(|fault| format!("{} bar {place}: {fault}", hive.label)));
        }
    }
    out
}

fn stock_in_short(h: &Holding) -> String {
    let lots = h
        .stock
        .lots
        .iter()
        .map(|(_, lot)| lot)
        .filter(|lot| lot.on_hand() != 0 || lot.held_elsewhere() != 0);
    let rows: Vec<Vec<String>> = lots
        .map(|lot| {
            vec![
                lot.label.to_string(),
                lot.product.clone(),
                format!("{} g", lot.net.to_g()),
                lot.on_hand().to_string(),
                lot.held_elsewhere().to_string(),
            ]
        })
        .collect();
    if rows.is_empty() {
        "Nothing is on the shelf.\n".to_owned()
    } else {
        table(
            &["Lot", "Product", "Net", "On the shelf", "At shops"],
            &[2, 3, 4],
            rows,
        )
    }
}
