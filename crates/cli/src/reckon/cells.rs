//! Cells in a square decimetre of comb.

use quantity::{Length, Reading, UnitKind};
use reckon::comb::{CellsPerDm2, cells_per_dm2};
use reckon::sources::BETTS_1938;
use rust_decimal::Decimal;

use super::Refused;
use super::answer::{Answer, rounded};
use super::quantities::{length, reading, refused};

/// Between these bees build, from the cells of the small Asian kinds to those of drones, with room to spare;
/// *common practice, no source*. Beyond them a slip of the unit is more likely.
const NARROWEST: Length = Length::mm(3);
const WIDEST: Length = Length::mm(10);

#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  combwright reckon cells --width 5.2mm")]
pub(super) struct Flags {
    /// The width of a cell from wall to wall
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    width: Option<String>,
}

pub(super) fn reckon(flags: &Flags) -> Result<Answer, Refused> {
    let width = cell_width("--width", flags.width.as_ref())?;
    let read = reading("--width", flags.width.as_ref(), UnitKind::Length)?;
    let cells = finely(&read).or_else(|| cells_per_dm2(width)).ok_or_else(|| {
        refused(
            "--width",
            "a cell of no width is no cell",
            "a length such as 5.2mm",
        )
    })?;
    Ok(Answer::saying(format!(
        "{:.1} cells on one face of a square decimetre, {:.1} on both faces.",
        cells.one_face, cells.both_faces
    ))
    .with("cells_per_dm2_one_face", rounded(cells.one_face, 2))
    .with("cells_per_dm2_both_faces", rounded(cells.both_faces, 2))
    .noting(["regular cells are assumed; those along the edges of a comb are not".to_owned()])
    .resting_on(&BETTS_1938))
}

/// The width of a cell as bees build it.
pub(super) fn cell_width(flag: &str, given: Option<&String>) -> Result<Length, Refused> {
    let width = length(flag, given)?;
    (NARROWEST..=WIDEST)
        .contains(&width)
        .then_some(width)
        .ok_or_else(|| {
            refused(
                flag,
                "bees build no such cells (common practice, no source)",
                "a width from 3mm to 10mm",
            )
        })
}

/// The cells of a width measured over many cells, such as 5.27 mm.
///
/// A length is whole in steps of 3.125 µm, so hundredths of a millimetre are not exact; a cell a hundred
/// times as wide is, and there are ten thousand times fewer of it.
fn finely(read: &Reading) -> Option<CellsPerDm2> {
    let hundredfold = read.digits().checked_mul(Decimal::ONE_HUNDRED)?;
    let width: Length = Reading::new(hundredfold, read.unit()).length()?;
    let few = cells_per_dm2(width)?;
    Some(CellsPerDm2 {
        one_face: 10_000.0 * few.one_face,
        both_faces: 10_000.0 * few.both_faces,
    })
}
