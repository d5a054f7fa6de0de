//! Rates against half the quantiles of chi-square, as tables print them (they stand in every printed table of
//! chi-square; the digits are *from memory*), and against what is arithmetic.

use quantity::Fraction;
use reckon::rate::per_time;

use crate::{check, percent};

/// Seen so often, then chi-square at 5 % for twice as many degrees of freedom, and at 95 % for two more.
const CHI_SQUARE: &str = "seen,low,high
0,0,5.991
1,0.103,9.488
2,0.711,12.592
5,3.940,21.026
10,10.851,33.924
15,18.493,46.194";

#[test]
fn the_interval_is_half_the_printed_chi_square() {
    for row in crate::rows(CHI_SQUARE) {
        let [seen, low, high] = [0, 1, 2].map(|at| crate::number(row[at]));
        let rate = per_time(seen, 1.0, percent(90.0)).expect("a rate");
        // Half the last digit of the printed value, halved as the value is.
        check(&format!("least of {seen}"), rate.lo(), low / 2.0, 0.000_25);
        check(&format!("most of {seen}"), rate.hi(), high / 2.0, 0.000_25);
        check("seen", rate.value(), seen, 0.0);
    }
}

#[test]
fn of_nothing_seen_the_most_is_known_in_closed_form() {
    // e^(−x) = 0.05 for nothing seen; the time divides all three.
    let rate = per_time(0.0, 4.0, percent(90.0)).expect("a rate");
    check("most", rate.hi(), -libm::log(0.05) / 4.0, 1e-12);
    assert_eq!((rate.value(), rate.lo()), (0.0, 0.0));
}

#[test]
fn halves_lie_between_their_neighbours_and_a_surer_interval_is_wider() {
    let at = |seen, sure| per_time(seen, 1.0, percent(sure)).expect("a rate");
    let (one, half, two) = (at(1.0, 90.0), at(1.5, 90.0), at(2.0, 90.0));
    assert!(one.lo() < half.lo() && half.lo() < two.lo());
    assert!(one.hi() < half.hi() && half.hi() < two.hi());
    assert!(at(1.5, 95.0).lo() < half.lo() && half.hi() < at(1.5, 95.0).hi());
}

#[test]
fn what_cannot_be_is_none() {
    for (seen, time, sure) in [
        (1.0, 0.0, 0.9),
        (1.0, -1.0, 0.9),
        (-0.1, 1.0, 0.9),
        (f64::NAN, 1.0, 0.9),
        (1.0, f64::INFINITY, 0.9),
        (1.0, 1.0, 0.0),
        (1.0, 1.0, 1.0),
    ] {
        let sure = Fraction::new(sure).expect("a part");
        assert_eq!(per_time(seen, time, sure), None, "{seen} in {time}");
    }
}
