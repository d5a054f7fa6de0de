//! Jars from a mass of honey: a worked example, computed, and what is refused.

use quantity::Mass;
use reckon::density::DensityError;
use reckon::jars::{JarsError, jars};

use crate::{check, percent};

#[test]
fn twenty_kilos_fill_58_jars_of_340_grams_and_leave_280() {
    let filling = jars(Mass::kg(20), Mass::g(340), percent(17.5)).unwrap();
    assert_eq!((filling.jars, filling.left), (58, Mass::g(280)));
    check("fill, ml", filling.fill_volume.to_ml(), 240.0, 0.5);
    check("fill, computed", filling.fill_volume.to_ml(), 239.800_833, 1e-6);
    check(
        "all of it, litres",
        20.0 / 0.34 * filling.fill_volume.to_l(),
        14.10,
        0.01,
    );
}

#[test]
fn a_pound_jar_is_filled_to_the_nanogram() {
    let filling = jars(Mass::oz(33), Mass::oz(16), percent(18.0)).unwrap();
    assert_eq!((filling.jars, filling.left), (2, Mass::oz(1)));
    assert_eq!(
        jars(Mass::ZERO, Mass::oz(16), percent(18.0)).map(|filling| filling.jars),
        Ok(0)
    );
}

#[test]
fn what_cannot_be_filled_is_refused() {
    let told = |honey, net, water| jars(honey, net, percent(water)).unwrap_err().to_string();
    assert_eq!(
        told(Mass::g(-1), Mass::g(340), 17.0),
        "the honey is less than nothing"
    );
    assert_eq!(
        told(Mass::kg(1), Mass::ZERO, 17.0),
        "a jar must hold more than nothing"
    );
    assert_eq!(
        told(Mass::kg(1), Mass::g(340), 22.0),
        "the table of density covers 13 to 21 % water, not 22.0 %"
    );
    let wet = jars(Mass::kg(1), Mass::g(340), percent(22.0));
    assert!(matches!(
        wet,
        Err(JarsError::Density(DensityError::OutsideTable { .. }))
    ));
}
