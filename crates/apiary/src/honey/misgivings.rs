//! What is odd or impossible about notes of the honey house.

use quantity::Mass;
use reckon::refractometry::{self, Scale};

use super::state::{Stuff, full_comb_g, shown_of, stated_mass, weighed_net, with_residue};
use crate::complaint::{Misgiving, Weight};
use crate::holding::Holding;
use crate::note::{Fact, Goods};

pub(crate) fn misgivings(h: &Holding, fact: &Fact, out: &mut Vec<Misgiving>) {
    match fact.word() {
        "cut" => cut_misgivings(h, fact, out),
        "weigh" => {
            weigh_misgivings(fact, out);
            stated_otherwise(h, fact, out);
        }
        "strain" => {
            same_container(fact, out);
            strain_misgivings(h, fact, out);
        }
        "read" => read_misgivings(fact, out),
        "warm" => warm_misgivings(fact, out),
        "fill" | "cast" => pack_misgivings(h, fact, out),
        "blend" => {
            same_container(fact, out);
            taken_misgivings(h, fact, out);
        }
        "melt" => melt_misgivings(h, fact, out),
        _ => {}
    }
}

fn same_container(fact: &Fact, out: &mut Vec<Misgiving>) {
    if let (Some(from), Some(into)) = (fact.name("container"), fact.name("into"))
        && from == into
    {
        let says = format!("{from} cannot be emptied into itself");
        out.push(Misgiving::new(Weight::Impossible, says).on("into"));
    }
}

/// Pieces of comb honey weigh no more than the comb they are cut from.
fn pieces_misgivings(fact: &Fact, out: &mut Vec<Misgiving>) {
    let pieces = fact.shape().has("pieces").then(|| fact.count("pieces")).flatten();
    let (Some(pieces), Some(size)) = (
        pieces,
        fact.shape().has("size").then(|| fact.mass("size")).flatten(),
    ) else {
        return;
    };
    let total = size.checked_mul(i64::from(pieces));
    let impossible = |says: &str| Some(Misgiving::new(Weight::Impossible, says));
    let doubt = match (total, fact.mass("comb")) {
        (None, _) => impossible("that is more comb honey than any hive holds"),
        (Some(total), _) if total.is_zero() => impossible("no pieces are cut"),
        (Some(total), Some(comb)) => too_much("the comb", comb, total),
        _ => None,
    };
    let field = if size.is_zero() { "size" } else { "pieces" };
    out.extend(doubt.map(|doubt| doubt.on(field)));
}

fn warm_misgivings(fact: &Fact, out: &mut Vec<Misgiving>) {
    if fact
        .reading("to")
        .and_then(|at| at.celsius())
        .is_some_and(|at| at.get() > 45.0)
    {
        let says = "honey above 45 °C loses enzymes and gains hydroxymethylfurfural fast; in the European Union honey pressed \
                    with heat above 45 °C may not be called pressed honey (Directive 2001/110/EC, Annex I)";
        out.push(Misgiving::new(Weight::Remark, says).on("to"));
    }
}

fn cut_misgivings(h: &Holding, fact: &Fact, out: &mut Vec<Misgiving>) {
    let hung = fact.bars("bars").map(|bars| h.bars_of(bars)).unwrap_or_default();
    let never_seen = hung.iter().filter(|bar| h.bars[bar.bar].comb.is_none()).count();
    if never_seen > 0 {
        let says = "no comb was ever seen there; it is taken to have been a full one";
        out.push(Misgiving::new(Weight::Remark, says).on("bars"));
    }
    pieces_misgivings(fact, out);
    let Some(mass) = stated_mass(fact) else { return };
    let full_g: f64 = hung.iter().map(|bar| full_comb_g(h, bar.hive)).sum();
    if full_g > 0.0 && mass.to_g() > 2.0 * full_g {
        let combs = if hung.len() == 1 {
            "this comb"
        } else {
            "these combs"
        };
        let by_pieces = || (format!("{} kg", mass.to_kg()), "pieces");
        let (said, field) = fact
            .reading("comb")
            .map_or_else(by_pieces, |reading| (reading.to_string(), "comb"));
        let full = full_g / 1000.0;
        let says = format!(
            "{combs} can hold about {full:.1} kg of honey when full, at the very most twice that; {said} was said"
        );
        out.push(
            Misgiving::new(Weight::Impossible, says)
                .hint("did the point of the decimal slip?")
                .on(field),
        );
    }
}

fn weigh_misgivings(fact: &Fact, out: &mut Vec<Misgiving>) {
    if let (Some(gross), Some(tare)) = (fact.mass("gross"), fact.mass("tare"))
        && gross < tare
    {
        out.push(
            Misgiving::new(Weight::Impossible, "the gross mass is less than the tare")
                .hint("are the two the wrong way round?")
                .on("gross"),
        );
    }
}

/// Combs whose masses were said have to weigh as much together.
fn stated_otherwise(h: &Holding, fact: &Fact, out: &mut Vec<Misgiving>) {
    let net = weighed_net(fact);
    let container = fact
        .shape()
        .has("container")
        .then(|| fact.name("container"))
        .flatten();
    let batch = container
        .and_then(|name| h.house.current(name))
        .map(|batch| &h.house.batches[batch]);
    let (Some(net), Some(batch)) = (net, batch.filter(|batch| batch.stuff == Stuff::Comb)) else {
        return;
    };
    let covered = batch.weighings.last().map_or(0, |(_, covered)| *covered);
    if covered > 0 || batch.parts.is_empty() {
        return;
    }
    let stated: Mass = batch.parts.iter().filter_map(|part| part.stated).sum();
    let all_stated = batch.parts.iter().all(|part| part.stated.is_some());
    if stated > net || (all_stated && stated != net) {
        let says = format!(
            "combs of {} kg were said to be in it, and {} kg is weighed",
            stated.to_kg(),
            net.to_kg()
        );
        out.push(
            Misgiving::new(Weight::Odd, says)
                .hint("the net is shared as the masses were said; correct what is wrong, or settle it")
                .on(if fact.shape().has("net") { "net" } else { "gross" }),
        );
    }
}

fn strain_misgivings(h: &Holding, fact: &Fact, out: &mut Vec<Misgiving>) {
    let said = ["honey", "residue", "loss"]
        .into_iter()
        .filter_map(|field| fact.mass(field))
        .sum::<Mass>();
    let Some(batch) = fact.name("container").and_then(|name| h.house.current(name)) else {
        return;
    };
    let Some(net) = h.house.batches[batch].comb_in() else {
        return;
    };
    out.extend(too_much("the pail", net, said).map(|doubt| doubt.on("honey")));
}

/// More than is there: a little is the scales' doing, much is impossible.
pub(crate) fn too_much(what: &str, there: Mass, said: Mass) -> Option<Misgiving> {
    /// A tenth and 200 g: two readings of kitchen scales, honey on the walls of the pail (common practice, no source).
    const SLACK: f64 = 0.1;
    const SLACK_G: f64 = 200.0;
    let over = said.to_g() - there.to_g();
    if over > there.to_g() * SLACK + SLACK_G {
        let says = format!(
            "{what} held {:.2} kg; {:.2} kg cannot come out of it",
            there.to_kg(),
            said.to_kg()
        );
        return Some(Misgiving::new(Weight::Impossible, says).hint("check the masses, or weigh again"));
    }
    (over > 0.0).then(|| {
        let says = format!(
            "{what} held {:.3} kg and {:.3} kg comes out; the rest is shown as unaccounted",
            there.to_kg(),
            said.to_kg()
        );
        Misgiving::new(Weight::Remark, says)
    })
}

fn read_misgivings(fact: &Fact, out: &mut Vec<Misgiving>) {
    let Some((shown, _)) = shown_of(fact) else { return };
    let field = match shown.scale {
        Scale::Index(_) => "index",
        Scale::Water(_) => "water",
        Scale::Brix(_) => "brix",
    };
    if let Err(error) = refractometry::moisture_shown(shown) {
        let says = format!("this reading is none that honey gives: {error}");
        out.push(Misgiving::new(Weight::Impossible, says).on(field));
    }
    if matches!(shown.scale, Scale::Brix(_)) {
        let says = "a scale made for sugar overstates the water by about 1.6 points when it is taken as 100 − Brix; it is corrected here, and the interval is wide";
        out.push(Misgiving::new(Weight::Remark, says).on(field));
    }
}

pub(crate) fn pack_misgivings(h: &Holding, fact: &Fact, out: &mut Vec<Misgiving>) {
    let Some(Goods::Pieces { count, kind, size }) = fact.goods("goods") else {
        out.push(
            Misgiving::new(Weight::Impossible, "say how many pieces and what one holds")
                .hint("for example: 12 jars of 340 g")
                .on("goods"),
        );
        return;
    };
    let Some(net) = size.and_then(|size| size.mass()) else {
        out.push(
            Misgiving::new(Weight::Impossible, "say the net mass of one piece")
                .hint(format!("for example: {count} {kind} of 340 g"))
                .on("goods"),
        );
        return;
    };
    if *count == 0 {
        out.push(Misgiving::new(Weight::Odd, "nothing was filled").on("goods"));
    }
    let Some(total) = net.checked_mul(i64::from(*count)) else {
        let says = format!("{count} {kind} of that size are more than any container holds");
        out.push(Misgiving::new(Weight::Impossible, says).on("goods"));
        return;
    };
    container_misgivings(h, fact, total, "goods", out);
    // Blocks and candles are cast into moulds, which stay.
    if fact.word() != "cast" {
        crate::trade::state::empties_misgivings(h, fact, out);
    }
    crate::trade::state::lot_misgivings(h, fact, net, out);
}

pub(crate) fn taken_misgivings(h: &Holding, fact: &Fact, out: &mut Vec<Misgiving>) {
    if let Some(mass) = fact.mass("mass") {
        container_misgivings(h, fact, mass, "mass", out);
    }
}

/// What is taken out of a container has to be in it; `field` says how much is taken.
fn container_misgivings(h: &Holding, fact: &Fact, mass: Mass, field: &'static str, out: &mut Vec<Misgiving>) {
    let Some(name) = fact.name("container") else {
        return;
    };
    match h.house.current(name).map(|batch| h.house.batches[batch].left()) {
        Some(Some(left)) => out.extend(too_much(name, left, mass).map(|doubt| doubt.on(field))),
        Some(None) => {}
        None => {
            let says = format!("nothing is known to be in {name}; its balance cannot be told");
            out.push(Misgiving::new(Weight::Remark, says).on("container"));
        }
    }
}

fn melt_misgivings(h: &Holding, fact: &Fact, out: &mut Vec<Misgiving>) {
    let Some(crude) = fact.mass(if fact.form == 0 { "residue" } else { "comb" }) else {
        return;
    };
    let out_mass = fact.mass("wax").unwrap_or(Mass::ZERO) + fact.mass("loss").unwrap_or(Mass::ZERO);
    out.extend(too_much("what was melted", crude, out_mass).map(|doubt| doubt.on("wax")));
    let Some(name) = fact.name("container").filter(|_| fact.form == 0) else {
        return;
    };
    match with_residue(h, name) {
        Some(batch) => {
            let left = h.house.batches[batch].residue_left;
            out.extend(too_much("the residue", left, crude).map(|doubt| doubt.on("residue")));
        }
        None => {
            let says = format!("no residue is known to be in {name}");
            out.push(Misgiving::new(Weight::Odd, says).on("container"));
        }
    }
}
