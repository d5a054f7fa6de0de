//! Wedmore's relation against all 61 rows of the printed table, both ways, and what surrounds it.

use quantity::Doubt;
use reckon::refractometry::{
    BRIX_AND_WATER, HUNDRED_MINUS_BRIX_OVERSTATES, INDEX_PER_CELSIUS, INTERCEPT, Instrument, Moisture,
    MoistureError, SLOPE, Scale, Shown, index, index_at_20, moisture, moisture_shown,
};

use crate::{celsius, check, number, percent, rows};

const TABLE: &str = include_str!("honey-moisture-refraction/table.csv");

/// The index is printed to 0.0001, so each row may be out by half of that.
const HALF_STEP_OF_INDEX: f64 = 0.000_05;

const COMPENSATING: Instrument = Instrument::Compensating;

fn printed() -> impl Iterator<Item = (f64, f64)> {
    rows(TABLE).map(|row| (number(row[0]), number(row[1])))
}

fn water_at(index: f64) -> f64 {
    moisture(index, celsius(20.0))
        .expect("the index is within the fit")
        .percent
}

fn plain(degrees: f64) -> Instrument {
    Instrument::Plain { at: celsius(degrees) }
}

fn shown(scale: Scale, resolution: f64, instrument: Instrument) -> Moisture {
    moisture_shown(Shown {
        scale,
        resolution,
        instrument,
    })
    .expect("the reading is within the fit")
}

/// Half the last digit of the intercept and of the slope, pushed through the relation at so much water.
fn rounding_of_coefficients(water: f64) -> f64 {
    let half = |doubt| match doubt {
        Doubt::RoundedTo(step) => step / 2.0,
        _ => f64::NAN,
    };
    (half(INTERCEPT.doubt) + half(SLOPE.doubt) * water) / SLOPE.value
}

/// How far a row may be off: half a step of the index, and the rounding of the coefficients.
fn allowed(water: f64, index: f64) -> f64 {
    let spread = (water_at(index - HALF_STEP_OF_INDEX) - water_at(index + HALF_STEP_OF_INDEX)) / 2.0;
    spread + rounding_of_coefficients(water)
}

#[test]
fn the_table_has_61_rows_from_13_to_25_per_cent() {
    for (place, (water, _)) in printed().enumerate() {
        check("row", water, 13.0 + 0.2 * place as f64, 1e-9);
    }
    assert_eq!(printed().count(), 61);
}

#[test]
fn moisture_agrees_with_every_printed_row() {
    for (water, index) in printed() {
        check(
            &format!("row {water} %"),
            water_at(index),
            water,
            allowed(water, index),
        );
    }
}

#[test]
fn index_agrees_with_every_printed_row() {
    for (water, printed_index) in printed() {
        let slope = (index(percent(water - 0.05)).unwrap() - index(percent(water + 0.05)).unwrap()) / 0.1;
        let allowed = HALF_STEP_OF_INDEX + slope * rounding_of_coefficients(water);
        check(
            &format!("row {water} %"),
            index(percent(water)).unwrap(),
            printed_index,
            allowed,
        );
    }
}

#[test]
fn the_residuals_are_those_that_were_reviewed() {
    let residuals: Vec<(f64, f64)> = printed()
        .map(|(water, index)| (water, water_at(index) - water))
        .collect();
    let count = residuals.len() as f64;
    let worst = residuals
        .iter()
        .copied()
        .max_by(|one, other| one.1.abs().total_cmp(&other.1.abs()))
        .unwrap();
    let mean = residuals.iter().map(|(_, off)| off).sum::<f64>() / count;
    let rms = libm::sqrt(residuals.iter().map(|(_, off)| off * off).sum::<f64>() / count);
    let summary = format!(
        "rows {count}\nworst {:+.4} at {:.1} %\nmean {mean:+.4}\nrms {rms:.4}\n",
        worst.1, worst.0
    );
    assert_eq!(summary, include_str!("honey-moisture-refraction/residuals.snap"));
}

/// Computed from the relation in another language, so that no coefficient can change unseen.
#[test]
fn the_relation_keeps_its_coefficients() {
    for (index, computed) in [
        (1.5044, 12.984_806_999_088_722),
        (1.4992, 14.991_272_102_377_325),
        (1.4940, 17.018_747_693_425_393),
        (1.4915, 18.001_104_695_428_27),
        (1.4890, 18.988_471_188_756),
        (1.4865, 19.980_898_526_807_56),
        (1.4740, 25.020_801_750_296_467),
    ] {
        check("water", water_at(index), computed, 1e-9);
    }
    for (water, computed) in [
        (13.0, 1.504_360_422_663_336_2),
        (18.0, 1.491_502_804_221_276_3),
        (25.0, 1.474_050_926_814_555_4),
    ] {
        check("index", index(percent(water)).unwrap(), computed, 1e-13);
    }
}

#[test]
fn the_equation_as_it_is_often_printed_gives_nonsense_and_is_not_ours() {
    let literal = (INTERCEPT.value - libm::log10(1.4915 - 1.0)) / SLOPE.value;
    check("the logarithm of n - 1 itself", literal, 909.7, 0.05);
    check("ours", water_at(1.4915), 18.0, allowed(18.0, 1.4915));
}

#[test]
fn a_reading_at_32_degrees_is_moved_to_20() {
    check(
        "index",
        index_at_20(1.482, celsius(32.0)).unwrap(),
        1.484_76,
        1e-12,
    );
    let read = moisture(1.482, celsius(32.0)).unwrap();
    check("the worked example, to one row", read.percent, 20.8, 0.2);
    check("computed", read.percent, 20.674_642_531_498, 1e-9);
    check("index at 20", read.index_at_20, 1.484_76, 1e-12);
}

#[test]
fn index_is_added_above_20_degrees_and_taken_off_below() {
    check(
        "25 °C",
        moisture(1.4915, celsius(25.0)).unwrap().percent,
        17.548_601_370_599,
        1e-9,
    );
    check(
        "15 °C",
        moisture(1.4915, celsius(15.0)).unwrap().percent,
        18.454_668_017_811,
        1e-9,
    );
    check("coefficient", INDEX_PER_CELSIUS.value, 0.000_23, 1e-12);
}

#[test]
fn an_instrument_that_compensates_is_not_corrected_again() {
    for scale in [Scale::Index(1.4915), Scale::Brix(81.0), Scale::Water(17.8)] {
        assert_eq!(shown(scale, 0.0, COMPENSATING), shown(scale, 0.0, plain(20.0)));
    }
    let twice = shown(Scale::Index(1.4915), 0.0, plain(30.0)).percent - water_at(1.4915);
    check("correcting twice at 30 °C, in points", twice, -0.9, 0.05);
}

#[test]
fn a_honey_scale_is_corrected_by_way_of_the_index() {
    let read = shown(Scale::Water(17.8), 0.0, plain(30.0));
    check("water", read.percent, 16.896_984_617_544, 1e-9);
    check("index", read.index_at_20, 1.494_310_759_265, 1e-12);
    check(
        "as shown",
        shown(Scale::Water(17.8), 0.0, COMPENSATING).percent,
        17.8,
        1e-9,
    );
}

#[test]
fn brix_and_water_add_up_to_98_4() {
    let read = shown(Scale::Brix(78.0), 0.0, COMPENSATING);
    check("78 °Bx beside 20.4 %", read.percent, 20.4, 1e-9);
    check("driest", read.lo, 20.2, 1e-9);
    check("wettest", read.hi, 20.6, 1e-9);
    let ripe = shown(Scale::Brix(81.0), 0.0, COMPENSATING);
    check("index at 20", ripe.index_at_20, 1.493_028_244_769_871, 1e-12);
    check(
        "at 30 °C",
        shown(Scale::Brix(81.0), 0.0, plain(30.0)).percent,
        16.498_843_882_682,
        1e-9,
    );
    // The index of sucrose at 80 °Bx, from memory, is 18.34 % of water by the relation.
    check(
        "80 °Bx",
        shown(Scale::Brix(80.0), 0.0, COMPENSATING).percent,
        water_at(1.490_71),
        0.2,
    );
}

#[test]
fn a_hundred_minus_brix_is_too_wet_by_1_6() {
    let taught = 100.0 - 78.0;
    let ours = shown(Scale::Brix(78.0), 0.0, COMPENSATING).percent;
    check(
        "too wet by",
        taught - ours,
        HUNDRED_MINUS_BRIX_OVERSTATES.value,
        1e-9,
    );
    check(
        "the line",
        BRIX_AND_WATER.value + HUNDRED_MINUS_BRIX_OVERSTATES.value,
        100.0,
        1e-12,
    );
}

#[test]
fn the_resolution_of_a_reading_is_its_interval() {
    let read = shown(Scale::Index(1.4915), 0.000_5, plain(20.0));
    check("driest", read.lo, 17.902_644_408_661, 1e-9);
    check("wettest", read.hi, 18.099_615_076_468, 1e-9);
    let honey_scale = shown(Scale::Water(17.8), 0.2, COMPENSATING);
    check("driest", honey_scale.lo, 17.7, 1e-9);
    check("wettest", honey_scale.hi, 17.9, 1e-9);
    let brix = shown(Scale::Brix(81.0), 0.5, COMPENSATING);
    check("driest", brix.lo, 17.4 - 0.25 - 0.2, 1e-9);
    check("wettest", brix.hi, 17.4 + 0.25 + 0.2, 1e-9);
    let exact = moisture(1.4915, celsius(20.0)).unwrap();
    check("no resolution", exact.hi - exact.lo, 0.0, 1e-12);
    let unknown = shown(Scale::Index(1.4915), 0.0, COMPENSATING);
    check("no interval", unknown.hi - unknown.lo, 0.0, 1e-12);
}

#[test]
fn outside_the_fit_is_refused_with_what_it_would_have_been() {
    let refused = |scale| {
        moisture_shown(Shown {
            scale,
            resolution: 0.1,
            instrument: COMPENSATING,
        })
    };
    for (scale, would_be) in [
        (Scale::Water(12.8), 12.8),
        (Scale::Water(25.2), 25.2),
        (Scale::Brix(70.0), 28.4),
        (Scale::Index(1.3330), 93.381_973),
    ] {
        let Err(MoistureError::OutsideFit { would_be_percent }) = refused(scale) else {
            panic!("{scale:?} was not refused");
        };
        check("would be", would_be_percent, would_be, 1e-3);
    }
    assert!(refused(Scale::Water(12.9)).is_ok() && refused(Scale::Water(25.1)).is_ok());
    assert!(index(percent(12.9)).is_ok() && index(percent(25.1)).is_ok());
    for outside in [12.899, 25.101] {
        let shown = refused(Scale::Water(outside));
        assert!(
            matches!(shown, Err(MoistureError::OutsideFit { .. })),
            "{outside}: {shown:?}"
        );
        let error = index(percent(outside)).unwrap_err();
        assert!(
            matches!(error, MoistureError::OutsideFit { .. }),
            "{outside}: {error:?}"
        );
    }
}

#[test]
fn what_no_instrument_shows_is_refused() {
    let refused = |scale, resolution| {
        moisture_shown(Shown {
            scale,
            resolution,
            instrument: COMPENSATING,
        })
    };
    for scale in [f64::NAN, f64::INFINITY, 1.0, 0.5, -3.0].map(Scale::Index) {
        assert_eq!(refused(scale, 0.0), Err(MoistureError::NotAReading), "{scale:?}");
    }
    for number in [f64::NAN, f64::NEG_INFINITY, -1e9] {
        assert_eq!(
            refused(Scale::Brix(number), 0.0).map(|read| read.percent),
            refused(Scale::Water(-number), 0.0).map(|read| read.percent)
        );
        assert!(refused(Scale::Brix(number), 0.0).is_err());
    }
    for resolution in [f64::NAN, f64::INFINITY, -0.1] {
        assert_eq!(
            refused(Scale::Water(18.0), resolution),
            Err(MoistureError::NotAReading)
        );
    }
}

#[test]
fn honey_is_read_between_0_and_60_degrees() {
    for degrees in [-0.1, 60.1] {
        assert_eq!(
            index_at_20(1.4915, celsius(degrees)),
            Err(MoistureError::OutsideTemperature { degrees })
        );
    }
    assert!(index_at_20(1.4915, celsius(0.0)).is_ok() && index_at_20(1.4915, celsius(60.0)).is_ok());
}

#[test]
fn refusals_are_told_in_words() {
    for (error, told) in [
        (
            MoistureError::OutsideFit {
                would_be_percent: 28.4,
            },
            "the relation holds from 12.9 to 25.1 % water only, and would have given 28.40 %",
        ),
        (
            MoistureError::OutsideTemperature { degrees: 61.0 },
            "honey is read between 0 and 60 °C, not at 61 °C",
        ),
        (MoistureError::NotAReading, "no refractometer can show this"),
    ] {
        assert_eq!(error.to_string(), told);
    }
}
