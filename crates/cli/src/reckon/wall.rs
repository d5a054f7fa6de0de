//! What a wall of layers resists.

use quantity::Length;
use reckon::sources::{COMMON_PRACTICE, ISO_6946_2017};
use reckon::wall::{Figure, Flow, Layer, MATERIALS, Material, through};
use serde_json::{Value, json};

use super::Refused;
use super::answer::{Answer, rounded, table};
use super::quantities::refused;

#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  combwright reckon wall --layer \"pine 22mm\" --layer \"wool 50mm\"")]
pub(super) struct Flags {
    /// A layer from the inside outwards: a material, or what it conducts, and its thickness; may come again
    #[arg(long = "layer", value_name = "LAYER", allow_hyphen_values = true)]
    layers: Vec<String>,
    /// Which way warmth goes: level, up or down [default: level]
    #[arg(long, value_name = "WAY", allow_hyphen_values = true)]
    flow: Option<String>,
    /// Lists the materials that have a name
    #[arg(long)]
    materials: bool,
}

/// A layer is no thicker; beyond it a slip of the unit is more likely.
const THICKEST: Length = Length::mm(3_000);

/// What is said beside every figure that rests on data of materials.
pub(super) const HOW_GOOD: &str = "data of materials are good to 20 per cent at best, and so is this";

pub(super) fn reckon(flags: &Flags) -> Result<Answer, Refused> {
    if flags.materials {
        return Ok(materials());
    }
    if flags.layers.is_empty() {
        let accepted =
            "layers such as --layer \"pine 22mm\", from the inside outwards; --materials lists the names,";
        return Err(refused("--layer", "no layer is given", accepted));
    }
    let layers = layers("--layer", &flags.layers)?;
    let flow = match flags.flow.as_deref().map(str::trim) {
        None | Some("level") => Flow::Level,
        Some("up") => Flow::Up,
        Some("down") => Flow::Down,
        Some(other) => {
            let wrong = format!("{other} is no way for warmth to go");
            return Err(refused("--flow", wrong, "level, up or down"));
        }
    };
    let told = through(&layers, flow);
    let (r, u) = (told.r_m2k_per_w, told.u_w_per_m2k);
    let rows = [
        (
            "resists",
            format!("{:.3} m2·K/W, between {:.3} and {:.3}", r.value(), r.lo(), r.hi()),
        ),
        (
            "lets through",
            format!("{:.2} W/m2·K, between {:.2} and {:.2}", u.value(), u.lo(), u.hi()),
        ),
    ];
    let mut notes = vec![
        HOW_GOOD.to_owned(),
        format!(
            "surfaces are included: {} m2·K/W inside, 0.04 outside",
            flow.inside_m2k_per_w()
        ),
    ];
    if flags.flow.is_none() {
        notes.push("no --flow is given: warmth goes level, through an upright wall".to_owned());
    }
    Ok(Answer::saying(table(&rows))
        .with("r_m2k_per_w", rounded(r.value(), 5))
        .with("r_lo_m2k_per_w", rounded(r.lo(), 5))
        .with("r_hi_m2k_per_w", rounded(r.hi(), 5))
        .with("u_w_per_m2k", rounded(u.value(), 5))
        .with("u_lo_w_per_m2k", rounded(u.lo(), 5))
        .with("u_hi_w_per_m2k", rounded(u.hi(), 5))
        .noting(notes)
        .resting_on(&ISO_6946_2017)
        .resting_on_all(&flags.layers))
}

impl Answer {
    /// With the sources of all named materials among layers.
    pub(super) fn resting_on_all(mut self, written: &[String]) -> Self {
        let mut named: Vec<&Material> = written
            .iter()
            .filter_map(|layer| {
                let layer = layer.to_lowercase();
                let begins = |material: &&Material| layer.trim_start().starts_with(material.name);
                MATERIALS
                    .iter()
                    .filter(begins)
                    .max_by_key(|material| material.name.len())
            })
            .collect();
        named.dedup();
        for material in named {
            self = self.resting_on(material.source);
        }
        self
    }
}

/// The layers of a flag that may come again.
pub(super) fn layers(flag: &str, written: &[String]) -> Result<Vec<Layer>, Refused> {
    let read = |written: &String| {
        let layer = Layer::read(written)
            .map_err(|error| refused(flag, error, "a layer such as \"pine 22mm\" or \"0.12 W/mK 22mm\""))?;
        if layer.thickness() > THICKEST {
            return Err(refused(flag, "no layer is so thick", "a thickness up to 3 m"));
        }
        Ok(layer)
    };
    written.iter().map(read).collect()
}

/// What has a name, and what it conducts.
fn materials() -> Answer {
    let rows: Vec<(&str, String)> = MATERIALS
        .iter()
        .map(|material| {
            (
                material.name,
                format!("{}; {}", figure(material), material.how_sure()),
            )
        })
        .collect();
    let all: Vec<Value> = MATERIALS
        .iter()
        .map(|material| {
            let conducts = material.conductivity_w_per_mk(reckon::wall::Grade::default());
            json!({
                "material": material.name,
                "conductivity_w_per_mk": conducts.map(|conducts| rounded(conducts.value(), 4)),
                "density_from_kg_per_m3": material.densities().map(|(least, _)| least),
                "density_to_kg_per_m3": material.densities().map(|(_, most)| most),
                "how_sure": material.how_sure().to_string(),
                "source": material.source.id,
            })
        })
        .collect();
    let mut answer = Answer::saying(table(&rows))
        .with("materials", all)
        .noting([
            HOW_GOOD.to_owned(),
            "wood takes its moisture (\"pine 18% 22mm\"), clay and plain wood their density (\"clay 1200kg/m3 40mm\"); any other material by what it conducts (\"0.12 W/mK 22mm\")".to_owned(),
        ])
        .resting_on(&COMMON_PRACTICE);
    for material in &MATERIALS {
        answer = answer.resting_on(material.source);
    }
    answer
}

fn figure(material: &Material) -> String {
    match (material.figure, material.densities()) {
        (Figure::AirGap, _) => "a gap of still air, by its thickness".to_owned(),
        (_, Some((least, most))) => format!("by its density, {least} to {most} kg/m3"),
        _ => material
            .conductivity_w_per_mk(reckon::wall::Grade::default())
            .map_or_else(String::new, |conducts| format!("{:.3} W/mK", conducts.value())),
    }
}
