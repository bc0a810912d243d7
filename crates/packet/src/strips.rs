//! A panel's strips on its drawing: order, width, wood, grain.

use std::ops::Range;

use measure::Angle;
use outline::{Place, Point, Ring, Segment};
use serde::Serialize;
use stock::{Brief, FaceKey, Panel, PieceId, StripKey};

use crate::drawing::{Drawing, Line};
use crate::words;

/// Words level with a strip, on either side of the panel; millimetres of paper.
#[derive(Serialize)]
pub(crate) struct StripWords {
    at: f64,
    number: String,
    told: String,
}

/// Lower strips than this have no words of their own, in millimetres of paper.
const LOWEST: f64 = 2.9;
/// Half the length of a strip's grain mark, in millimetres of paper.
const MARK: f64 = 5.0;
/// Where the marks stand along the panel: out of the way of a part's number.
const MARKS_AT: [f64; 2] = [0.14, 0.86];

/// Draws the strips of a panel; the words beside them.
pub(crate) fn draw(brief: &Brief, panel: &Panel, drawing: &mut Drawing, scale: f64) -> Vec<StripWords> {
    let mut woods: Vec<PieceId> = Vec::new();
    let mut out: Vec<StripWords> = Vec::new();
    let long = panel.length.to_mm();
    for (index, ((piece, width), span)) in panel.strips().zip(spans(panel)).enumerate() {
        let wood = woods.iter().position(|it| *it == piece).unwrap_or(woods.len());
        if wood == woods.len() {
            woods.push(piece);
        }
        if let Ok(strip) = Ring::rectangle(panel.length, width) {
            let place = Place { at: Point::new(0.0, span.start), turn: Angle::ZERO, mirrored: false };
            let strip = place.ring(&strip);
            drawing.wood(&strip, wood);
            drawing.ring(&strip, Line::Rim);
        }
        let middle = (span.start + span.end) / 2.0;
        let [_, at] = drawing.on_paper(Point::new(0.0, middle));
        if out.last().is_some_and(|it| it.at - at < LOWEST) {
            continue;
        }
        for share in MARKS_AT {
            let x = long * share;
            let reach = MARK / scale;
            drawing.grain(Segment { from: Point::new(x - reach, middle), to: Point::new(x + reach, middle) });
        }
        let key = StripKey { panel: panel.id, strip: index as u32 + 1 };
        let told = format!("{} {}", brief.units().length(width), brief.face_name(FaceKey::Piece(piece)));
        out.push(StripWords { at, number: words::strip_number(brief, key), told });
    }
    out
}

/// From which height to which each strip reaches.
fn spans(panel: &Panel) -> impl Iterator<Item = Range<f64>> + '_ {
    panel.strips().scan(0.0, |top, (_, width)| {
        let low = *top;
        *top += width.to_mm();
        Some(low..*top)
    })
}
