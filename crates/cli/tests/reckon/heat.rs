//! Walls of layers, and the warmth that a hive loses.

use crate::{answer, check, has_note, has_source, number, refused};

#[test]
fn a_wall_resists_what_its_layers_and_surfaces_do() {
    // ISO 6946: 0.13 + 0.022 / 0.12 + 0.05 / 0.04 + 0.04, with what conducts written out.
    let found = answer(&["wall", "--layer", "0.12 W/mK 22mm", "--layer", "0.04 W/mK 50 mm"]);
    let r = 0.13 + 0.022 / 0.12 + 0.05 / 0.04 + 0.04;
    check(&found, "r_m2k_per_w", r, 1e-5);
    check(&found, "u_w_per_m2k", 1.0 / r, 1e-5);
    assert!(has_source(&found, "iso-6946-2017"));
    assert!(has_note(&found, "20 per cent"));
    let up = answer(&["wall", "--layer", "0.12 W/mK 22mm", "--flow", "up"]);
    check(&up, "r_m2k_per_w", 0.10 + 0.022 / 0.12 + 0.04, 1e-5);
    let down = answer(&["wall", "--layer", "0.12 W/mK 22mm", "--flow", "down"]);
    check(&down, "r_m2k_per_w", 0.17 + 0.022 / 0.12 + 0.04, 1e-5);
}

#[test]
fn wood_follows_the_equation_of_the_handbook_and_names_it() {
    // λ = G (0.1941 + 0.004064 M) + 0.01864; Douglas fir of 0.48 at 12 % has 0.135.
    let found = answer(&["wall", "--layer", "douglas fir 25mm"]);
    check(&found, "r_m2k_per_w", 0.13 + 0.025 / 0.135_2 + 0.04, 2e-4);
    assert!(has_source(&found, "wood-handbook"));
    let wet = answer(&["wall", "--layer", "douglas fir 20% 25mm"]);
    assert!(number(&wet, "r_m2k_per_w") < number(&found, "r_m2k_per_w"));
}

#[test]
fn every_material_that_is_listed_is_read() {
    let found = answer(&["wall", "--materials"]);
    let all = found["materials"].as_array().expect("a list");
    assert_eq!(all.len(), reckon_materials());
    for material in all {
        let name = material["material"].as_str().expect("a name");
        let density = material["density_from_kg_per_m3"].as_u64();
        let layer = match density {
            Some(density) => format!("{name} {density}kg/m3 20mm"),
            None => format!("{name} 20mm"),
        };
        assert!(
            number(&answer(&["wall", "--layer", &layer]), "r_m2k_per_w") > 0.17,
            "{layer}"
        );
    }
}

fn reckon_materials() -> usize {
    reckon::wall::MATERIALS.len()
}

const BOX: [&str; 7] = [
    "heat",
    "--upright",
    "width=300mm,depth=210mm",
    "--length",
    "300mm",
    "--layer",
    "0.13 W/mK 25mm",
];

#[test]
fn a_heated_box_of_larch_loses_about_what_was_measured() {
    // Two boxes of 25 mm larch under a quilt of shavings lost 12.5 W for 14.6 to 16.0 K: 0.78 to 0.86 W/K.
    let quilt = [
        "--roof-layer",
        "0.06 W/mK 100mm",
        "--floor-layer",
        "0.06 W/mK 300mm",
    ];
    let found = answer(&[&BOX[..], &quilt[..]].concat());
    let ua = number(&found, "ua_w_per_k");
    assert!((0.78 * 0.85..0.86 * 1.15).contains(&ua), "{ua}");
    let shares = ["share_walls", "share_roof", "share_floor", "share_ends"].map(|key| number(&found, key));
    assert!((shares.iter().sum::<f64>() - 1.0).abs() < 2e-4, "{shares:?}");
    let (lo, hi) = (number(&found, "ua_lo_w_per_k"), number(&found, "ua_hi_w_per_k"));
    assert!(lo < ua && ua < hi);
}

#[test]
fn bees_and_honey_follow_from_the_loss() {
    let more = ["--bees", "2kg", "--outside", "2C"];
    let found = answer(&[&BOX[..], &more[..]].concat());
    let ua = number(&found, "ua_w_per_k");
    check(&found, "mass_conductance_kg_k_per_w", 2.0 / ua, 2e-4);
    // 18 K for 30 days, honey of 12.7 MJ/kg.
    check(
        &found,
        "honey_kg_per_30_days",
        ua * 18.0 * 30.0 * 86_400.0 / 12.7e6,
        2e-3,
    );
    assert!(has_note(&found, "cluster without brood does not do that"));
    assert!(has_note(&found, "no --roof-layer is given"));
    assert!(has_source(&found, "mitchell-2016"));
}

#[test]
fn what_cannot_be_is_refused_with_its_flag() {
    for (line, flag) in [
        (vec!["wall"], "--layer"),
        (vec!["wall", "--layer", "pin 22mm"], "--layer"),
        (vec!["wall", "--layer", "pine"], "--layer"),
        (vec!["wall", "--layer", "pine 22m"], "--layer"),
        (
            vec!["wall", "--layer", "pine 22mm", "--flow", "sideways"],
            "--flow",
        ),
        (
            vec![
                "heat",
                "--upright",
                "width=30cm,depth=20cm",
                "--layer",
                "pine 22mm",
            ],
            "--length",
        ),
        (
            vec!["heat", "--upright", "width=30cm,depth=20cm", "--length", "1m"],
            "--layer",
        ),
        (vec!["heat", "--length", "1m", "--layer", "pine 22mm"], "--slope"),
        ([&BOX[..], &["--bees", "0kg"]].concat(), "--bees"),
        ([&BOX[..], &["--inside", "20C"]].concat(), "--outside"),
        ([&BOX[..], &["--outside", "25C"]].concat(), "--outside"),
        (
            [&BOX[..], &["--roof-layer", "clay 40mm"]].concat(),
            "--roof-layer",
        ),
    ] {
        refused(flag, &line);
    }
}
