//! A small drawing of where an operation's holes are.

use std::collections::BTreeMap;

use measure::{Angle, Length};
use outline::Bounds;
use serde::Serialize;
use stock::Brief;
use work::{Mark, MarkKind, Operation};

use crate::drawing::{Drawing, Line};

/// A part with its holes; sizes in millimetres of paper.
#[derive(Serialize)]
pub(crate) struct Holes {
    drawing: String,
    size: [f64; 2],
    told: Vec<String>,
}

/// The widest and highest that a drawing gets on a card.
const ROOM: [f64; 2] = [76.0, 24.0];
/// Kept free around the shape, and how far a cross reaches beyond its hole.
const AROUND: f64 = 1.5;
const ARM: f64 = 1.5;
/// A smaller hole than this on paper is drawn this large.
const SMALLEST: f64 = 1.2;

/// Draws the holes of an operation, if it makes any.
pub(crate) fn holes(
    brief: &Brief,
    number: usize,
    it: &Operation,
    files: &mut BTreeMap<String, Vec<u8>>,
) -> Option<Holes> {
    let part = it.marks.first()?.part;
    let pattern = brief.pattern_of(part).ok()?;
    let own = pattern.outline.bounds();
    let scale = (ROOM[0] / own.width().to_mm()).min(ROOM[1] / own.height().to_mm()).min(1.0);
    let mut drawing = Drawing::new(window(own, scale), scale);
    drawing.outline(&pattern.outline, Line::Rim);
    let mut told: Vec<String> = Vec::new();
    for mark in it.marks.iter().filter(|mark| mark.part == part) {
        let seen = mark.diameter.max(Length::mm(SMALLEST / scale));
        drawing.circle(mark.at, seen, Line::Rim);
        drawing.middle_cross(mark.at, seen.to_mm() / 2.0 + ARM / scale, Angle::ZERO);
        let words = format!("{} {}", brief.units().length(mark.diameter), how_deep(mark));
        if !told.contains(&words) {
            told.push(words);
        }
    }
    let (size, path) = (drawing.size(), format!("/holes{number}.svg"));
    files.insert(path.clone(), drawing.finish().into_bytes());
    Some(Holes { drawing: path, size, told })
}

fn window(own: Bounds, scale: f64) -> Bounds {
    own.grown(Length::mm(AROUND / scale))
}

const fn how_deep(it: &Mark) -> &'static str {
    match it.is {
        MarkKind::HangingHole => "through, to hang it by",
        MarkKind::Through => "through, for the handle",
        MarkKind::Pocket => "to the stop, from the underside; seen from the food side",
        MarkKind::Pilot => "to the stop, from the underside; seen from the food side",
        MarkKind::Corner => "through, in the waste",
        MarkKind::Start => "through, to thread the saw in",
    }
}
