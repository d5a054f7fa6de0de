//! What a gap of still air resists.

use quantity::Length;

use super::Flow;

/// By thickness in millimetres what a closed gap resists, in m²·K/W: flow upwards, level, downwards.
static GAPS: [(f64, [f64; 3]); 9] = [
    (0.0, [0.0, 0.0, 0.0]),
    (5.0, [0.11, 0.11, 0.11]),
    (7.0, [0.13, 0.13, 0.13]),
    (10.0, [0.15, 0.15, 0.15]),
    (15.0, [0.16, 0.17, 0.17]),
    (25.0, [0.16, 0.18, 0.19]),
    (50.0, [0.16, 0.18, 0.21]),
    (100.0, [0.16, 0.18, 0.22]),
    (300.0, [0.16, 0.18, 0.23]),
];

/// What a gap of still air resists, without the surfaces of the whole wall.
///
/// # What it gives
/// m²·K/W, warmth by conduction, convection and radiation together; `None` for no thickness or more than 300 mm.
///
/// # Equation
/// Between the rows of the table in a straight line.
///
/// # Holds for
/// A gap that is closed, much wider than thick, between surfaces that are not polished metal. One that air blows
/// through resists nothing.
///
/// # Source
/// ISO 6946, its table for unventilated air layers, quoted at 100gon.de.
///
/// # Checked against
/// Its own rows.
pub fn air_gap_m2k_per_w(thickness: Length, flow: Flow) -> Option<f64> {
    let mm = thickness.to_mm();
    let column = match flow {
        Flow::Up => 0,
        Flow::Level => 1,
        Flow::Down => 2,
    };
    let pair = GAPS.windows(2).find(|pair| mm > pair[0].0 && mm <= pair[1].0)?;
    let ((thinner, less), (thicker, more)) = (pair[0], pair[1]);
    let (less, more) = (less[column], more[column]);
    Some(less + (more - less) * (mm - thinner) / (thicker - thinner))
}
