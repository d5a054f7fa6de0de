//! What warmth a hive of a section and layers loses.

use quantity::{Celsius, Estimate, Mass};
use reckon::heat::{Built, CLUSTER_FREE_KG_K_PER_W, Loss, TREE_KG_K_PER_W, WOODEN_KG_K_PER_W};
use reckon::sources::ISO_6946_2017;

use super::Refused;
use super::answer::{Answer, rounded, table};
use super::quantities::{mass, refused, required, temperature};
use super::shape::{SOMETHING, ShapeFlags, hive_length};
use super::wall::{HOW_GOOD, layers};

#[derive(Debug, clap::Args)]
#[command(
    after_help = "Example:\n  combwright reckon heat --slope top=44.5cm,floor=19cm,depth=28cm --length 955mm --layer \"pine 22mm\" --roof-layer \"pine 20mm\" --roof-layer \"wool 50mm\" --bees 2kg"
)]
pub(super) struct Flags {
    #[command(flatten)]
    shape: ShapeFlags,
    /// The length of the hive inside
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    length: Option<String>,
    /// A layer of walls and ends from the inside outwards, such as "pine 22mm"; may come again
    #[arg(long = "layer", value_name = "LAYER", allow_hyphen_values = true)]
    walls: Vec<String>,
    /// A layer above the combs, the bars first [default: as the walls]
    #[arg(long = "roof-layer", value_name = "LAYER", allow_hyphen_values = true)]
    roof: Vec<String>,
    /// A layer of the floor from the inside outwards [default: as the walls]
    #[arg(long = "floor-layer", value_name = "LAYER", allow_hyphen_values = true)]
    floor: Vec<String>,
    /// A layer of the two ends from the inside outwards [default: as the walls]
    #[arg(long = "end-layer", value_name = "LAYER", allow_hyphen_values = true)]
    ends: Vec<String>,
    /// The mass of the bees, for what it is to the loss
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    bees: Option<String>,
    /// The air inside, for the honey of a month [default with --outside: 20C]
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true)]
    inside: Option<String>,
    /// The air outside, for the honey of a month
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true)]
    outside: Option<String>,
}

/// How long the month of a winter is.
const MONTH_DAYS: f64 = 30.0;

/// More bees than any colony has.
const MOST_BEES: Mass = Mass::kg(20);

pub(super) fn reckon(flags: &Flags) -> Result<Answer, Refused> {
    let built = built(flags)?;
    let loss = built
        .loss()
        .map_err(|error| refused("--layer", error, "layers that meet round the section"))?;
    let bees = flags.bees.as_ref().map(|_| bees(flags)).transpose()?;
    let air = air(flags)?;
    let (ua, per_metre) = (loss.ua_w_per_k, loss.ua_section_w_per_mk);
    let mut answer = Answer::saying(for_people(&loss, bees, air))
        .with("ua_w_per_k", rounded(ua.value(), 4))
        .with("ua_lo_w_per_k", rounded(ua.lo(), 4))
        .with("ua_hi_w_per_k", rounded(ua.hi(), 4))
        .with("ua_section_w_per_mk", rounded(per_metre.value(), 4))
        .with("share_walls", rounded(loss.shares.walls, 4))
        .with("share_roof", rounded(loss.shares.roof, 4))
        .with("share_floor", rounded(loss.shares.floor, 4))
        .with("share_ends", rounded(loss.shares.ends, 4));
    if let Some(bees) = bees {
        let ratio = loss.mass_conductance_kg_k_per_w(bees);
        answer = answer
            .with("mass_conductance_kg_k_per_w", rounded(ratio.value(), 4))
            .resting_on(TREE_KG_K_PER_W.source);
    }
    if let Some((inside, outside)) = air {
        let honey = honey(&loss, inside, outside)?;
        answer = answer
            .with("honey_kg_per_30_days", rounded(honey.value(), 4))
            .with("honey_lo_kg_per_30_days", rounded(honey.lo(), 4))
            .with("honey_hi_kg_per_30_days", rounded(honey.hi(), 4));
    }
    let all: Vec<String> = [&flags.walls, &flags.roof, &flags.floor, &flags.ends]
        .into_iter()
        .flatten()
        .cloned()
        .collect();
    Ok(answer
        .noting(notes(flags, bees, air))
        .resting_on(&ISO_6946_2017)
        .resting_on_all(&all))
}

fn built(flags: &Flags) -> Result<Built, Refused> {
    let section = flags.shape.section()?;
    let accepted = "the length inside, such as 955mm,";
    required("--length", flags.length.as_ref(), accepted)?;
    let length = hive_length("--length", flags.length.as_ref(), SOMETHING)?;
    if flags.walls.is_empty() {
        let accepted = "layers such as --layer \"pine 22mm\", from the inside outwards,";
        return Err(refused("--layer", "the walls have no layer", accepted));
    }
    let walls = layers("--layer", &flags.walls)?;
    let or_walls = |flag: &str, given: &[String]| match given {
        [] => Ok(walls.clone()),
        given => layers(flag, given),
    };
    Ok(Built {
        section,
        length,
        roof: or_walls("--roof-layer", &flags.roof)?,
        floor: or_walls("--floor-layer", &flags.floor)?,
        ends: or_walls("--end-layer", &flags.ends)?,
        walls,
    })
}

fn bees(flags: &Flags) -> Result<Mass, Refused> {
    let bees = mass("--bees", flags.bees.as_ref())?;
    (!bees.is_zero() && bees <= MOST_BEES)
        .then_some(bees)
        .ok_or_else(|| {
            refused(
                "--bees",
                "no colony has so many bees, or so few",
                "a mass such as 2kg",
            )
        })
}

/// The air inside and outside, where it is asked about.
fn air(flags: &Flags) -> Result<Option<(Celsius, Celsius)>, Refused> {
    if flags.outside.is_none() {
        return match &flags.inside {
            None => Ok(None),
            Some(_) => Err(refused(
                "--outside",
                "the air inside alone tells nothing",
                "the air outside too, such as 2C,",
            )),
        };
    }
    let outside = temperature("--outside", flags.outside.as_ref())?;
    let inside = match &flags.inside {
        Some(_) => temperature("--inside", flags.inside.as_ref())?,
        None => Celsius::new(20.0).expect("BUG: 20 °C is a temperature"),
    };
    Ok(Some((inside, outside)))
}

fn honey(loss: &Loss, inside: Celsius, outside: Celsius) -> Result<Estimate, Refused> {
    loss.honey_kg(inside, outside, MONTH_DAYS).ok_or_else(|| {
        refused(
            "--outside",
            "it is not warmer inside than outside",
            "a temperature below that of --inside",
        )
    })
}

fn for_people(loss: &Loss, bees: Option<Mass>, air: Option<(Celsius, Celsius)>) -> String {
    let between = |of: Estimate, unit: &str| {
        format!(
            "{:.2} {unit}, between {:.2} and {:.2}",
            of.value(),
            of.lo(),
            of.hi()
        )
    };
    let share = |part: f64| format!("{:.0} %", 100.0 * part);
    let mut rows = vec![
        ("loses", between(loss.ua_w_per_k, "W/K")),
        (
            "a metre of its section",
            between(loss.ua_section_w_per_mk, "W/m·K"),
        ),
        ("through the walls", share(loss.shares.walls)),
        ("through bars and roof", share(loss.shares.roof)),
        ("through the floor", share(loss.shares.floor.max(0.0))),
        ("through the ends", share(loss.shares.ends)),
    ];
    if let Some(bees) = bees {
        rows.push((
            "bees to the loss",
            between(loss.mass_conductance_kg_k_per_w(bees), "kg·K/W"),
        ));
    }
    if let Some(honey) = air.and_then(|(inside, outside)| loss.honey_kg(inside, outside, MONTH_DAYS)) {
        rows.push(("honey for 30 days", between(honey, "kg")));
    }
    table(&rows)
}

fn notes(flags: &Flags, bees: Option<Mass>, air: Option<(Celsius, Celsius)>) -> Vec<String> {
    let mut notes = vec![
        format!("W/K: {HOW_GOOD}"),
        "steady conduction with a sheltered hive and still air inside; what leaves with air through entrances and gaps, rain, wind and sun are left out".to_owned(),
    ];
    let assumed = [
        ("--roof-layer", &flags.roof),
        ("--floor-layer", &flags.floor),
        ("--end-layer", &flags.ends),
    ];
    for (flag, given) in assumed {
        if given.is_empty() {
            notes.push(format!("no {flag} is given: it is taken as the walls are"));
        }
    }
    if bees.is_some() {
        notes.push(format!(
            "bees to the loss: wooden hives stay below {}, above {} clustering may not be needed, hollow trees have more than {} kg·K/W",
            WOODEN_KG_K_PER_W.value, CLUSTER_FREE_KG_K_PER_W.value, TREE_KG_K_PER_W.value
        ));
    }
    if air.is_some() {
        notes.push("the honey is what would hold all the air inside so warm; a cluster without brood does not do that, it keeps itself warm and eats less: see `combwright reckon winter`".to_owned());
    }
    notes
}
