//! How often something happens, from how often it was seen to happen.
//!
//! Holds true: the interval is wide where little was seen; nothing seen in a long time still leaves room for a
//! small rate, never for a negative one.
//!
//! Does not: know what is counted, nor whether the times between are alike.
//!
//! Science: the exact interval of a Poisson rate. Start at [`per_time`].

use quantity::{Estimate, Fraction};

/// A rate with its exact central interval.
///
/// # What it gives
/// Happenings for each unit of the time watched: count / time, with the interval that holds the true rate with the
/// confidence asked for.
///
/// # Equation
/// From the quantile of the gamma distribution, with half of what is left of the confidence on each side:
/// lo = G⁻¹((1 − c)/2; k) / T, nothing for k = 0; hi = G⁻¹((1 + c)/2; k + 1) / T.
///
/// # Holds for
/// Happenings that come one by one, at a steady rate, each for itself; where they come in bursts the interval is too
/// narrow. Counts need not be whole: half a comb is half a happening, and the same equation is read between the
/// whole numbers. `None` for a time of nothing, a negative count, no confidence or a full one.
///
/// # Source
/// Garwood 1936, *from memory*.
///
/// # Checked against
/// Half the quantiles of chi-square as they are printed in tables: 90 % of 5 seen once each is 1.970 to 10.513.
pub fn per_time(count: f64, time: f64, confidence: Fraction) -> Option<Estimate> {
    let confidence = confidence.get();
    let can_be = count.is_finite() && count >= 0.0 && time.is_finite() && time > 0.0;
    if !(can_be && confidence > 0.0 && confidence < 1.0) {
        return None;
    }
    let outside = (1.0 - confidence) / 2.0;
    let lo = if count > 0.0 {
        gamma_quantile(count, outside)
    } else {
        0.0
    };
    let hi = gamma_quantile(count + 1.0, 1.0 - outside);
    Estimate::new(count / time, lo.min(count) / time, hi.max(count) / time)
}

/// The value below which a gamma distribution of this shape and scale one has this share.
fn gamma_quantile(shape: f64, share: f64) -> f64 {
    let mut hi = shape + 1.0;
    while gamma_below(shape, hi) < share {
        hi *= 2.0;
    }
    let mut lo = 0.0;
    // Each step halves the bracket: a hundred of them leave nothing between two numbers that can be told apart.
    for _ in 0..100 {
        let middle = f64::midpoint(lo, hi);
        if gamma_below(shape, middle) < share {
            lo = middle;
        } else {
            hi = middle;
        }
    }
    f64::midpoint(lo, hi)
}

/// The share of a gamma distribution of this shape and scale one that lies below a value.
fn gamma_below(shape: f64, value: f64) -> f64 {
    if value <= 0.0 {
        return 0.0;
    }
    let front = libm::exp(shape * libm::log(value) - value - libm::lgamma(shape));
    if value < shape + 1.0 {
        // The power series of the lower incomplete gamma function.
        let (mut term, mut sum, mut n) = (1.0 / shape, 1.0 / shape, shape);
        while term > sum * 1e-16 {
            n += 1.0;
            term *= value / n;
            sum += term;
        }
        return front * sum;
    }
    // The continued fraction of the upper one, by Lentz's method.
    const TINY: f64 = 1e-300;
    let mut b = value + 1.0 - shape;
    let mut c = 1.0 / TINY;
    let mut d = 1.0 / b;
    let mut fraction = d;
    for n in 1..1000 {
        let n = f64::from(n);
        let a = -n * (n - shape);
        b += 2.0;
        d = a.mul_add(d, b);
        d = 1.0 / if d.abs() < TINY { TINY } else { d };
        c = b + a / c;
        c = if c.abs() < TINY { TINY } else { c };
        let step = d * c;
        fraction *= step;
        if (step - 1.0).abs() < 1e-15 {
            break;
        }
    }
    1.0 - front * fraction
}
