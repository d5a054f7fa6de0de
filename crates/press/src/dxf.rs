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
    Ok(bytes)
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
