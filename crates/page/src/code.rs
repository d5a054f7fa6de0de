//! An address as a code that the camera of a phone reads (ISO/IEC 18004), beside the address in words.
//!
//! Holds true: dark stands on light whatever colours the reader prefers, with the quiet border that the standard
//! asks for; what the code says stands beside it in words.

use qrcode::{Color, EcLevel, QrCode};

use crate::drawing::{Drawing, Fill, Shape};

/// How many modules of light stand around a code.
const BORDER: usize = 4;

/// The rows of a code without its border; true is dark.
fn rows(text: &str) -> Vec<Vec<bool>> {
    // Two thousand bytes fit at this level; an address has a hundred.
    let code = QrCode::with_error_correction_level(text, EcLevel::M).expect("BUG: an address is too long");
    let dark: Vec<bool> = code
        .to_colors()
        .iter()
        .map(|color| *color == Color::Dark)
        .collect();
    dark.chunks(code.width()).map(<[bool]>::to_vec).collect()
}

/// The code as a drawing.
pub fn drawing(text: &str, title: &str) -> Drawing {
    let rows = rows(text);
    let side = (rows.len() + 2 * BORDER) as f64;
    let rectangle = |left: f64, top: f64, width: f64, height: f64, fill| {
        Shape::rectangle((left, top), (width, height), fill, 0, false)
    };
    let mut shapes = vec![rectangle(0.0, 0.0, side, side, Fill::Paper)];
    for (down, row) in rows.iter().enumerate() {
        let mut across = 0;
        for run in row.chunk_by(|one, next| one == next) {
            if run[0] {
                let (left, top) = ((across + BORDER) as f64, (down + BORDER) as f64);
                shapes.push(rectangle(left, top, run.len() as f64, 1.0, Fill::Ink));
            }
            across += run.len();
        }
    }
    Drawing {
        title: title.to_owned(),
        says: format!("A code for the camera of a phone. It says: {text}"),
        caption: crate::Words::note(crate::Words::default(), text),
        frame: (0.0, 0.0, side, side),
        shapes,
        wide: false,
        code: true,
    }
}

/// The code in half blocks, two rows a line, light modules drawn and dark ones left out, for a terminal with
/// light letters on dark; phones read the reverse as well.
pub fn half_blocks(text: &str) -> String {
    let rows = rows(text);
    let side = rows.len() + 2 * BORDER;
    let is_light = |down: usize, across: usize| {
        let inner = down.checked_sub(BORDER).zip(across.checked_sub(BORDER));
        let dark = inner.and_then(|(down, across)| rows.get(down)?.get(across).copied());
        down < side && dark != Some(true)
    };
    let mut out = String::new();
    for down in (0..side).step_by(2) {
        for across in 0..side {
            out.push(match (is_light(down, across), is_light(down + 1, across)) {
                (true, true) => '█',
                (true, false) => '▀',
                (false, true) => '▄',
                (false, false) => ' ',
            });
        }
        out.push('\n');
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_code_has_its_border_and_its_three_corners() {
        let text = "https://maple.local:8496/pair#K7QF2-MNPXR";
        let drawing = drawing(text, "Pair a phone");
        let (_, _, width, height) = drawing.frame;
        assert!((width - height).abs() < 0.5 && width >= 29.0);
        assert!(drawing.says.contains(text));
        let blocks = half_blocks(text);
        let lines: Vec<&str> = blocks.lines().collect();
        assert!((lines[0].chars().count() as f64 - width).abs() < 0.5);
        assert!(
            lines[0].chars().chain(lines[1].chars()).all(|block| block == '█'),
            "the border is light"
        );
        // The upper edge of a corner mark: seven dark modules, then a light one.
        let row = rows(text).swap_remove(0);
        let end = row.len() - 7;
        assert!(
            row[..7].iter().all(|dark| *dark)
                && !row[7]
                && !row[end - 1]
                && row[end..].iter().all(|dark| *dark)
        );
    }

    #[test]
    fn both_forms_show_the_same_modules() {
        let text = "http://192.168.1.20:8496/";
        let (rows, blocks) = (rows(text), half_blocks(text));
        let lines: Vec<Vec<char>> = blocks.lines().map(|line| line.chars().collect()).collect();
        for (down, row) in rows.iter().enumerate() {
            for (across, dark) in row.iter().enumerate() {
                let block = lines[(down + BORDER) / 2][across + BORDER];
                let light = match (down + BORDER) % 2 {
                    0 => matches!(block, '█' | '▀'),
                    _ => matches!(block, '█' | '▄'),
                };
                assert_eq!(light, !dark, "{down}, {across}");
            }
        }
        let dark = rows.iter().flatten().filter(|dark| **dark).count();
        let drawn: f64 = drawing(text, "").shapes[1..]
            .iter()
            .map(|shape| match shape {
                Shape::Area { corners, .. } => corners[1].0 - corners[0].0,
                other => panic!("{other:?}"),
            })
            .sum();
        assert_eq!(drawn as usize, dark);
    }
}
