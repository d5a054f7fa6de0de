//! Whether nine of ten intervals hold the truth, on looks simulated by another model than the estimator's.
//!
//! The estimator multiplies and adds relative doubts. Here nothing is done so:
//! - *The eye* errs on the scale of odds, so that a nearly full or nearly empty face cannot be seen beyond
//!   full or empty. Its leaning is drawn once for a hive (all contents together, and each content), its slip
//!   for every face; then each face is written in eighths, or the whole comb in steps of five per cent.
//! - *Cells* are normal around 5.25 mm, standard deviation 0.15, within 4.6 to 5.8, drawn for a hive: what is
//!   told of natural comb. Its combs differ by 0.05 mm.
//! - *Thickness* is normal around 25 mm, standard deviation 2.2, within 21 to 32, drawn for a hive (Baudoux gives
//!   20 to 23 mm of worker comb, and combs spaced at 32 to 38 mm leave 23 to 30); its combs differ by 1.2 mm, and
//!   sealed honey is up to 3 mm thicker towards the bar.
//! - *Bees* covering densely are a triangle from 105 to 140 with its top at 130 to a dm², drawn for a hive:
//!   from one layer to packed, as published; combs differ by 6 %.
//! - *Fullness* of capped cells is even between 0.76 and 0.97, drawn for a hive; combs differ by 4 %. Beebread is
//!   normal around 98 g, standard deviation 17, and combs differ by 12 %.
//! - *Outline*: the bee space is even between 6 and 10 mm where 8 are assumed; combs differ by 2 %.
//!
//! How far the eye errs is the weakest of these. It is set for keepers, not for people trained together: odds
//! that lean by e^0.2 and slip by e^0.35 on a face, which at half a face is 10 % and 17 %. Regimes change it; the
//! hasty eye leans by e^0.22, about the most that the intervals bear.

use quantity::{Area, Estimate, Length};
use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;

use super::{Measured, Seen, Strength, WIDENING, hive, widened};

/// Contents that are looked for, in the order of [`Hive::shares`].
const KINDS: [&str; 4] = ["bees", "worker cells", "honey", "pollen"];

/// How a hive is, and how it is looked at.
#[derive(Clone, Copy)]
struct Regime {
    name: &'static str,
    combs: usize,
    /// The mean odds of a face's being covered by bees, as a logarithm.
    bees: f64,
    /// How far the brood reaches from the first comb, in parts of the nest.
    brood: f64,
    leaning: f64,
    slip: f64,
    in_eighths: bool,
    measured: bool,
    section_cm2: f64,
}

const USUAL: Regime = Regime {
    name: "spring, in eighths, nothing measured",
    combs: 12,
    bees: 0.0,
    brood: 0.5,
    leaning: 0.20,
    slip: 0.35,
    in_eighths: true,
    measured: false,
    section_cm2: 825.0,
};

const REGIMES: [Regime; 6] = [
    USUAL,
    Regime {
        name: "summer, crowded",
        combs: 22,
        bees: 1.0,
        brood: 0.6,
        ..USUAL
    },
    Regime {
        name: "a nucleus on small combs",
        combs: 5,
        bees: 0.5,
        brood: 0.7,
        section_cm2: 450.0,
        ..USUAL
    },
    Regime {
        name: "autumn, mostly honey",
        combs: 16,
        bees: -0.5,
        brood: 0.25,
        ..USUAL
    },
    Regime {
        name: "cells and thickness measured, in per cent",
        in_eighths: false,
        measured: true,
        ..USUAL
    },
    Regime {
        name: "a hasty eye",
        leaning: 0.22,
        slip: 0.45,
        ..USUAL
    },
];

struct Dice(ChaCha8Rng);

impl Dice {
    fn even(&mut self, from: f64, to: f64) -> f64 {
        self.0.random_range(from..to)
    }

    fn normal(&mut self, mean: f64, deviation: f64) -> f64 {
        let radius = libm::sqrt(-2.0 * libm::log(self.even(f64::MIN_POSITIVE, 1.0)));
        mean + deviation * radius * libm::cos(self.even(0.0, std::f64::consts::TAU))
    }

    fn normal_within(&mut self, (mean, deviation): (f64, f64), (least, most): (f64, f64)) -> f64 {
        loop {
            let drawn = self.normal(mean, deviation);
            if (least..=most).contains(&drawn) {
                return drawn;
            }
        }
    }

    fn triangle(&mut self, least: f64, top: f64, most: f64) -> f64 {
        let (at, turn) = (self.even(0.0, 1.0), (top - least) / (most - least));
        if at < turn {
            least + libm::sqrt(at * (most - least) * (top - least))
        } else {
            most - libm::sqrt((1.0 - at) * (most - least) * (most - top))
        }
    }

    /// About one, with so much relative deviation.
    fn about_one(&mut self, deviation: f64) -> f64 {
        libm::exp(self.normal(0.0, deviation))
    }
}

/// What all combs of a hive, and all looks at it, have in common.
struct Common {
    cell_mm: f64,
    thickness_mm: f64,
    bees_per_dm2: f64,
    fullness: f64,
    pollen_g: f64,
    outline: f64,
    leaning: [f64; 4],
}

impl Common {
    fn drawn(dice: &mut Dice, regime: &Regime) -> Self {
        let all = dice.normal(0.0, 0.8 * regime.leaning);
        Self {
            cell_mm: dice.normal_within((5.25, 0.15), (4.6, 5.8)),
            thickness_mm: dice.normal_within((25.0, 2.2), (21.0, 32.0)),
            bees_per_dm2: dice.triangle(105.0, 130.0, 140.0),
            fullness: dice.even(0.76, 0.97),
            pollen_g: dice.normal_within((98.0, 17.0), (50.0, 150.0)),
            outline: 1.0 - 0.010 * dice.even(-2.0, 2.0),
            leaning: std::array::from_fn(|_| all + dice.normal(0.0, 0.6 * regime.leaning)),
        }
    }
}

/// A comb: the truth of every kind, and what is estimated.
struct Comb {
    truth: [f64; 4],
    estimated: Strength,
}

/// The true shares of a face, by place in the nest: brood in front, beebread beside it, honey behind and above.
fn face(dice: &mut Dice, regime: &Regime, place: f64) -> [f64; 4] {
    let bees = 1.0 / (1.0 + libm::exp(-dice.normal(regime.bees, 0.9)));
    let is_nest = place < regime.brood;
    let brood = if is_nest { dice.even(0.3, 0.8) } else { 0.0 };
    let is_edge = (place - regime.brood).abs() < 0.25;
    let pollen = if is_edge {
        dice.even(0.08, 0.35) * (1.0 - brood)
    } else {
        0.0
    };
    let room = 1.0 - brood - pollen;
    let honey = room
        * if is_nest {
            dice.even(0.2, 0.7)
        } else {
            dice.even(0.4, 1.0)
        };
    [bees, brood, honey, pollen]
}

fn seen_share(dice: &mut Dice, regime: &Regime, (truth, leaning): (f64, f64)) -> f64 {
    if truth <= 0.0 {
        return 0.0;
    }
    let held = truth.clamp(0.001, 0.999);
    let odds = libm::log(held / (1.0 - held)) + leaning + dice.normal(0.0, regime.slip);
    let seen = 1.0 / (1.0 + libm::exp(-odds));
    if regime.in_eighths {
        (8.0 * seen).round() / 8.0
    } else {
        seen
    }
}

fn comb(dice: &mut Dice, regime: &Regime, (common, place): (&Common, f64), widening: f64) -> Comb {
    let faces = [face(dice, regime, place), face(dice, regime, place)];
    let cell_mm = common.cell_mm + dice.normal(0.0, 0.05);
    let thickness_mm = common.thickness_mm + dice.normal(0.0, 1.2);
    let dm2 = regime.section_cm2 / 100.0 * common.outline * dice.about_one(0.02);
    let deeper = dice.even(0.0, 3.0);
    let share = |kind: usize| faces[0][kind] + faces[1][kind];
    let cells = 2e4 / (libm::sqrt(3.0) * cell_mm * cell_mm);
    let honey_kg = (thickness_mm + deeper - 2.0) * 10.0 * 0.95 * 1.42 / 2.0 / 1_000.0;
    let truth = [
        share(0) * dm2 * common.bees_per_dm2 * dice.about_one(0.06),
        share(1) * dm2 * cells,
        share(2) * dm2 * honey_kg * common.fullness * dice.about_one(0.04),
        share(3) * dm2 * common.pollen_g * dice.about_one(0.12) / 1_000.0,
    ];
    let mut seen = |kind: usize| {
        let of_face =
            |dice: &mut Dice, face: &[f64; 4]| seen_share(dice, regime, (face[kind], common.leaning[kind]));
        let both = (of_face(dice, &faces[0]) + of_face(dice, &faces[1])) / 2.0;
        let written = if regime.in_eighths {
            both
        } else {
            (20.0 * both).round() / 20.0
        };
        Some(written)
    };
    let seen = Seen {
        bees: seen(0),
        brood: seen(1),
        honey: seen(2),
        pollen: seen(3),
        ..Seen::default()
    };
    let length = |mm: f64| Length::from_mm_f64(mm).expect("a length");
    let measured = Measured {
        face: Area::from_cm2(regime.section_cm2).expect("an area"),
        thickness: regime
            .measured
            .then(|| length(thickness_mm + dice.even(-1.0, 1.0))),
        worker_cell: regime.measured.then(|| length(cell_mm + dice.normal(0.0, 0.04))),
        left: 1.0,
    };
    Comb {
        truth,
        estimated: widened(&seen, &measured, widening),
    }
}

/// How many of how many intervals held the truth.
#[derive(Clone, Copy, Default)]
struct Held {
    held: u32,
    of: u32,
}

impl Held {
    fn count(&mut self, estimate: Option<Estimate>, truth: f64) {
        let estimate = estimate.expect("everything was said");
        // Nothing seen where nothing is tells nothing of an interval.
        if truth > 0.0 {
            self.of += 1;
            self.held += u32::from((estimate.lo()..=estimate.hi()).contains(&truth));
        }
    }

    fn part(self) -> f64 {
        f64::from(self.held) / f64::from(self.of)
    }
}

fn kinds(strength: &Strength) -> [Option<Estimate>; 4] {
    [
        strength.bees,
        strength.brood_cells,
        strength.honey_kg,
        strength.pollen_kg,
    ]
}

/// The parts of intervals of combs and of hives that held the truth, by kind.
fn held(regime: &Regime, hives: u32, widening: f64) -> [[f64; 4]; 2] {
    let mut dice = Dice(ChaCha8Rng::seed_from_u64(20_260_426));
    let mut counts = [[Held::default(); 4]; 2];
    for _ in 0..hives {
        let common = Common::drawn(&mut dice, regime);
        let combs: Vec<Comb> = (0..regime.combs)
            .map(|place| {
                let place = place as f64 / regime.combs as f64;
                comb(&mut dice, regime, (&common, place), widening)
            })
            .collect();
        let estimated: Vec<Strength> = combs.iter().map(|comb| comb.estimated).collect();
        let whole = kinds(&hive(&estimated));
        for kind in 0..4 {
            for comb in &combs {
                counts[0][kind].count(kinds(&comb.estimated)[kind], comb.truth[kind]);
            }
            counts[1][kind].count(whole[kind], combs.iter().map(|comb| comb.truth[kind]).sum());
        }
    }
    counts.map(|of| of.map(Held::part))
}

/// What lies outside 85 to 95 % with this widening, over all regimes.
fn outside(widening: f64) -> (Vec<String>, Vec<String>) {
    let (mut seldom, mut often) = (Vec::new(), Vec::new());
    for regime in &REGIMES {
        for (parts, of) in held(regime, 1_500, widening).iter().zip(["comb", "hive"]) {
            for (part, kind) in parts.iter().zip(KINDS) {
                let told = format!("{kind} of a {of} ({}): {:.1} %", regime.name, 100.0 * part);
                if *part < 0.85 {
                    seldom.push(told);
                } else if *part > 0.95 {
                    often.push(told);
                }
            }
        }
    }
    (seldom, often)
}

#[test]
fn nine_of_ten_intervals_hold_the_truth_whatever_the_hive_and_the_eye() {
    let (seldom, often) = outside(WIDENING);
    assert!(seldom.is_empty() && often.is_empty(), "{seldom:#?}\n{often:#?}");
}

#[test]
fn without_the_widening_the_truth_is_missed_too_often() {
    let (seldom, _) = outside(1.0);
    assert!(seldom.len() >= 2, "{seldom:#?}");
}

#[test]
fn a_wider_widening_holds_the_truth_too_often_to_mean_90_percent() {
    let (_, often) = outside(1.5);
    assert!(often.len() >= 10, "{often:#?}");
}
