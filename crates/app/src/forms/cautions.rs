//! What can harm people or bees, told where the work is written down.

pub(crate) const LIFTING: &str = "A full comb hive is heavy and combs break off when it is tilted: lift with two, keep it level, move slowly.";
pub(crate) const STINGS: &str = "Stings can kill. With a swollen face or throat, trouble breathing or faintness, call an ambulance at once; do not work alone where there is no signal.";
pub(crate) const LADDER: &str = "Swarms in trees, on buildings or near wires are for people trained for it: no bees are worth a fall or a shock.";
pub(crate) const SMOKER: &str =
    "A smoker in dry grass starts fires: stand it on bare ground, with water at hand.";
const HOT_WAX: &str = "Melt wax in a water bath alone, never over an open flame, and never leave it. Above 85 °C it is too hot: take it off.";
const BURNING_WAX: &str = "Never put water on burning wax: cover it and turn off the heat.";
const ALCOHOL: &str = "Alcohol burns: keep it away from the smoker and from any flame.";
const QUEEN_FIRST: &str = "Find the queen first and put her aside: the bees of a wash do not come back.";
pub(crate) const SAWS: &str = "Saws: keep the guard on, use a push stick, protect eyes, ears and lungs.";
pub(crate) const TIMBER: &str =
    "No treated timber and no old paint inside a hive or near it: both poison, and so does their dust.";
pub(crate) const DRUM: &str = "Only a food-grade drum becomes a hive. Never cut or heat a drum that has held anything flammable: its vapour explodes.";
const INFANTS: &str = "No honey for infants under one year: tell the buyer, and say so on the label.";
const INSPECTOR: &str = "Close up, move nothing, clean your tools and hands, and call your bee inspector. A symptom is written down here, never a diagnosis.";
const COSMETICS: &str = "What is sold for skin or lips falls under the law on cosmetics: ask your authority about the safety assessment and the label before the first sale, and claim no healing.";
const CANDLES: &str = "Candles are sold with a warning of fire.";
const ROBBING: &str = "Feeding starts robbing: feed towards evening, spill nothing, narrow the entrance. Give only honey and combs from your own healthy colonies.";
const VEHICLE: &str =
    "Bees on the road: close them in with air, tie the hive down, and drive with the combs along the way.";

/// What to take care of, by the verb.
pub(crate) fn cautions(word: &str) -> &'static [&'static str] {
    match word {
        "cut" | "add" | "store" => &[LIFTING],
        "unite" => &[LIFTING, STINGS],
        "carry" => &[LIFTING, VEHICLE],
        "look" => &[STINGS, SMOKER],
        "install" | "split" => &[STINGS],
        "swarm" | "bait" => &[STINGS, LADDER],
        "visit" => &[STINGS],
        "melt" | "warm" => &[HOT_WAX, BURNING_WAX],
        "cast" => &[HOT_WAX, BURNING_WAX, CANDLES],
        "wash" => &[ALCOHOL, QUEEN_FIRST],
        "build" | "offcut" | "sawn" => &[SAWS, TIMBER],
        "pattern" => &[DRUM],
        "sell" | "fill" => &[INFANTS],
        "sign" | "quarantine" => &[INSPECTOR],
        "make" | "pack" => &[COSMETICS],
        "feed" => &[ROBBING],
        _ => &[],
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_verb_that_carries_a_danger_says_so() {
        let table = apiary::note::table();
        let told = table
            .entries()
            .iter()
            .filter(|entry| !cautions(entry.verb.word).is_empty());
        assert_eq!(told.count(), 26, "a verb that is cautioned about is gone");
    }
}
