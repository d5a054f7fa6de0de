//! Templates at full size, measured on what a printer would put on paper, and read back by another reader.

use std::io::Write as _;
use std::process::{Command, Stdio};

use page::{Figure, Meaning, Template};

use super::{around, in_order, sizes, words};
use crate::{Paper, dxf, full_size};

/// Dots for an inch.
const DPI: f64 = 300.0;
/// Darker than this is a line of ours; the frame of a sheet is lighter.
const DARK: u8 = 90;

/// A follower board as large as they get, with two holes.
fn board() -> Template {
    Template {
        title: "Follower board of snug".into(),
        says: vec!["Saw from board 22 mm thick, the grain across the hive.".into()],
        figures: vec![
            Figure::Outline {
                corners: vec![(-210.0, 0.0), (210.0, 0.0), (110.0, 270.0), (-110.0, 270.0)],
                meaning: Meaning::Cut,
            },
            Figure::Line {
                from: (0.0, 0.0),
                to: (0.0, 270.0),
                meaning: Meaning::Mark,
            },
            Figure::Circle {
                middle: (-60.0, 230.0),
                radius: 8.0,
                meaning: Meaning::Drill,
            },
            Figure::Words {
                at: (0.0, 140.0),
                text: "this side to the bees".into(),
                height: 6.0,
            },
        ],
    }
}

/// A sheet as a printer would put it on paper, in grey.
struct Sheet {
    width: usize,
    height: usize,
    dots: Vec<u8>,
}

impl Sheet {
    /// Drawn by Poppler.
    fn of(pdf: &[u8], number: usize) -> Self {
        let number = number.to_string();
        let mut poppler = Command::new("pdftoppm")
            .args(["-r", "300", "-gray", "-f", &number, "-l", &number, "-"])
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .expect("Poppler is there: cargo xtask test provides it");
        let mut into = poppler.stdin.take().expect("a pipe");
        let pdf = pdf.to_vec();
        let writer = std::thread::spawn(move || into.write_all(&pdf));
        let drawn = poppler.wait_with_output().expect("Poppler ends");
        writer.join().expect("no panic").expect("it reads all");
        Self::read(&drawn.stdout)
    }

    /// A picture in the format PGM: `P5 width height 255` and a byte for each dot.
    fn read(bytes: &[u8]) -> Self {
        let mut at = 0;
        let mut word = || {
            let end = bytes[at..]
                .iter()
                .position(u8::is_ascii_whitespace)
                .expect("a word")
                + at;
            let word = std::str::from_utf8(&bytes[at..end]).expect("text").to_owned();
            at = end + 1;
            word
        };
        assert_eq!(word(), "P5");
        let (width, height) = (
            word().parse().expect("a width"),
            word().parse().expect("a height"),
        );
        assert_eq!(word(), "255");
        let dots = bytes[at..].to_vec();
        assert_eq!(dots.len(), width * height);
        Self { width, height, dots }
    }

    /// The middles of dark runs along a level line, in mm from the left edge.
    fn across(&self, y_mm: f64) -> Vec<f64> {
        let row = (y_mm / 25.4 * DPI).round() as usize;
        runs((0..self.width).map(|x| self.dots[row * self.width + x]))
    }

    /// The middles of dark runs along an upright line, in mm from the upper edge.
    fn down(&self, x_mm: f64) -> Vec<f64> {
        let column = (x_mm / 25.4 * DPI).round() as usize;
        runs((0..self.height).map(|y| self.dots[y * self.width + column]))
    }

    /// The longest dark runs of all rows, in dots, longest first.
    fn longest(&self) -> Vec<usize> {
        let mut longest: Vec<usize> = (0..self.height)
            .flat_map(|y| {
                let row = &self.dots[y * self.width..][..self.width];
                row.split(|dot| *dot >= DARK).map(<[u8]>::len).max()
            })
            .collect();
        longest.sort_unstable_by(|a, b| b.cmp(a));
        longest
    }
}

fn runs(dots: impl Iterator<Item = u8>) -> Vec<f64> {
    let (mut runs, mut begun) = (Vec::new(), None);
    for (place, dot) in dots.chain([u8::MAX]).enumerate() {
        match (begun, dot < DARK) {
            (None, true) => begun = Some(place),
            (Some(from), false) => {
                runs.push((from + place) as f64 / 2.0 / DPI * 25.4);
                begun = None;
            }
            _ => {}
        }
    }
    runs
}

#[test]
fn both_bars_measure_what_they_say_on_every_sheet() {
    for paper in [Paper::A4, Paper::Letter] {
        let printed = full_size(&board(), &around(paper)).expect("it is set");
        assert!(printed.sheets >= 5, "{} sheets", printed.sheets);
        for number in 1..=printed.sheets {
            let sheet = Sheet::of(&printed.pdf, number);
            let longest = sheet.longest();
            // 100 mm are 1181 dots, 4 in are 1200; each bar is 3 mm or 35 rows high.
            let rows = |wanted: usize| longest.iter().filter(|run| run.abs_diff(wanted) <= 1).count();
            assert!(rows(1181) >= 33, "sheet {number}: {:?}", &longest[..80]);
            assert!(rows(1200) >= 33, "sheet {number}: {:?}", &longest[..80]);
        }
    }
}

#[test]
fn a_measure_is_true_across_sheets_that_are_joined_at_their_crosses() {
    let rectangle = Template {
        title: "A rectangle".into(),
        says: Vec::new(),
        figures: vec![Figure::Outline {
            corners: vec![(0.0, 0.0), (300.0, 0.0), (300.0, 200.0), (0.0, 200.0)],
            meaning: Meaning::Cut,
        }],
    };
    for (paper, wide, high) in [(Paper::A4, 186.0, 249.0), (Paper::Letter, 191.9, 231.4)] {
        let printed = full_size(&rectangle, &around(paper)).expect("it is set");
        assert_eq!(printed.sheets, 3, "a map and two sheets");
        let (left, right) = (Sheet::of(&printed.pdf, 2), Sheet::of(&printed.pdf, 3));
        // Crosses are 5 mm within the window, which begins 12 mm within the paper; their arms reach 4 mm.
        let row = 12.0 + high * 0.2 - 3.0;
        let (on_left, on_right) = (left.across(row), right.across(row));
        let [line, cross] = on_left[..] else {
            panic!("{on_left:?}")
        };
        let [same_cross, last_line] = on_right[..] else {
            panic!("{on_right:?}")
        };
        assert!((cross - (12.0 + wide - 5.0)).abs() < 0.1, "{cross}");
        let width = (cross - line) + (last_line - same_cross);
        assert!((width - 300.0).abs() < 0.2, "{width}");
        let upright = left.down(line + 40.0);
        let [above, below] = upright[..2] else {
            panic!("{upright:?}")
        };
        assert!((below - above - 200.0).abs() < 0.2, "{upright:?}");
    }
}

#[test]
fn the_map_names_the_sheets_and_empty_ones_are_left_out() {
    let printed = full_size(&board(), &around(Paper::A4)).expect("it is set");
    assert!(
        sizes(&printed.pdf)
            .iter()
            .all(|(wide, high)| (wide - 595.28).abs() < 0.02 && (high - 841.89).abs() < 0.02)
    );
    let text = words(&printed.pdf);
    in_order(
        &text,
        &[
            "Follower board of snug",
            "420.0 × 270.0 mm",
            "Print at 100 %",
            "Saw from board 22 mm",
        ],
    );
    // A ring that leaves the middle sheet of nine empty.
    let ring = Template {
        title: "Ring".into(),
        says: Vec::new(),
        figures: vec![Figure::Outline {
            corners: vec![(0.0, 0.0), (520.0, 0.0), (520.0, 700.0), (0.0, 700.0)],
            meaning: Meaning::Cut,
        }],
    };
    let printed = full_size(&ring, &around(Paper::A4)).expect("it is set");
    assert_eq!(printed.sheets, 1 + 8);
    assert!(!words(&printed.pdf).contains("B2 Ring"));
}

#[test]
fn the_same_template_gives_the_same_bytes_whatever_it_is_called() {
    for name in super::HOSTILE {
        let template = Template {
            title: name.to_owned(),
            ..board()
        };
        let one = full_size(&template, &around(Paper::Letter))
            .expect("it is set")
            .pdf;
        let other = full_size(&template, &around(Paper::Letter))
            .expect("it is set")
            .pdf;
        assert_eq!(one, other, "{name}");
    }
    assert_eq!(
        full_size(&Template::default(), &around(Paper::A4))
            .expect("it is set")
            .sheets,
        1
    );
}

#[test]
fn a_dxf_file_is_read_back_with_equal_measures() {
    use ::dxf::entities::EntityType;
    use ::dxf::enums::Units;
    let bytes = dxf(&board()).expect("it is written");
    let read = ::dxf::Drawing::load(&mut bytes.as_slice()).expect("a file that can be read");
    assert_eq!(read.header.default_drawing_units, Units::Millimeters);
    let mut seen = Vec::new();
    for entity in read.entities() {
        let layer = entity.common.layer.as_str();
        match &entity.specific {
            EntityType::LwPolyline(outline) => {
                assert!(outline.is_closed());
                let corners: Vec<(f64, f64)> = outline.vertices.iter().map(|at| (at.x, at.y)).collect();
                // Upwards is the other way round.
                assert_eq!(
                    corners,
                    [(-210.0, 0.0), (210.0, 0.0), (110.0, -270.0), (-110.0, -270.0)]
                );
                seen.push(("outline", layer.to_owned()));
            }
            EntityType::Circle(circle) => {
                let found = (circle.center.x, circle.center.y, circle.radius);
                assert_eq!(found, (-60.0, -230.0, 8.0));
                seen.push(("circle", layer.to_owned()));
            }
            EntityType::Line(line) => {
                assert_eq!((line.p1.x, line.p2.y), (0.0, -270.0));
                seen.push(("line", layer.to_owned()));
            }
            EntityType::Text(text) => {
                assert_eq!(text.value, "this side to the bees");
                seen.push(("words", layer.to_owned()));
            }
            other => panic!("{other:?}"),
        }
    }
    let expected = [
        ("outline", "cut"),
        ("line", "mark"),
        ("circle", "drill"),
        ("words", "mark"),
    ];
    assert_eq!(seen, expected.map(|(what, layer)| (what, layer.to_owned())));
    let text = String::from_utf8(bytes).expect("letters");
    for time in ["$TDCREATE", "$TDUPDATE", "$TDUSRTIMER"] {
        assert!(
            text.contains(&format!("{time}\r\n 40\r\n0.0\r\n")),
            "{time}: the same bytes each time"
        );
    }
}
