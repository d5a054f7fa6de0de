//! A template as a DXF file, for a program that draws or a machine that cuts.

use ::dxf::entities::{Circle, Entity, EntityType, Line, LwPolyline, Text};
use ::dxf::enums::{AcadVersion, HorizontalTextJustification, Units};
use ::dxf::tables::Layer;
use ::dxf::{Drawing, LwPolylineVertex, Point};
use page::{Figure, Meaning, Template};

use crate::Unset;

/// The template as a DXF file in millimetres, a layer each for what is cut, drilled and marked; y upwards, as such
/// files have it.
///
/// # Errors
/// The file could not be written: a mistake of the program.
pub fn dxf(template: &Template) -> Result<Vec<u8>, Unset> {
    let mut drawing = Drawing::new();
    drawing.header.version = AcadVersion::R2000;
    drawing.header.default_drawing_units = Units::Millimeters;
    for meaning in [Meaning::Cut, Meaning::Drill, Meaning::Mark] {
        drawing.add_layer(Layer {
            name: meaning.word().to_owned(),
            ..Layer::default()
        });
    }
    for figure in &template.figures {
        let (specific, meaning) = entity(figure);
        let mut entity = Entity::new(specific);
        entity.common.layer = meaning.word().to_owned();
        drawing.add_entity(entity);
    }
    let mut bytes = Vec::new();
    drawing
        .save(&mut bytes)
        .map_err(|error| Unset(error.to_string()))?;
    Ok(without_clock(&bytes))
}

/// The library writes the time of the clock into the head; the same template is to give the same bytes.
fn without_clock(bytes: &[u8]) -> Vec<u8> {
    let text = String::from_utf8_lossy(bytes);
    let mut out = String::with_capacity(text.len());
    // A variable's name, the code of its value, its value: a line each.
    let mut until_value = 0;
    for line in text.split_inclusive('\n') {
        if line.starts_with("$TD") {
            until_value = 2;
        } else if until_value > 0 {
            until_value -= 1;
            if until_value == 0 {
                out.push_str("0.0\r\n");
                continue;
            }
        }
        out.push_str(line);
    }
    out.into_bytes()
}

fn entity(figure: &Figure) -> (EntityType, Meaning) {
    let point = |(x, y): (f64, f64)| Point::new(x, -y, 0.0);
    match figure {
        Figure::Outline { corners, meaning } => {
            let mut outline = LwPolyline {
                vertices: corners
                    .iter()
                    .map(|(x, y)| LwPolylineVertex {
                        x: *x,
                        y: -*y,
                        ..LwPolylineVertex::default()
                    })
                    .collect(),
                ..LwPolyline::default()
            };
            outline.set_is_closed(true);
            (EntityType::LwPolyline(outline), *meaning)
        }
        Figure::Line { from, to, meaning } => {
            (EntityType::Line(Line::new(point(*from), point(*to))), *meaning)
        }
        Figure::Circle {
            middle,
            radius,
            meaning,
        } => (EntityType::Circle(Circle::new(point(*middle), *radius)), *meaning),
        Figure::Words { at, text, height } => {
            let words = Text {
                location: point(*at),
                second_alignment_point: point(*at),
                text_height: *height,
                value: text.clone(),
                horizontal_text_justification: HorizontalTextJustification::Center,
                ..Text::default()
            };
            (EntityType::Text(words), Meaning::Mark)
        }
    }
}
