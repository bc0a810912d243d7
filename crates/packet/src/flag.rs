//! The findings' numbers on the drawings of the wood.

use outline::Point;
use plan::Plan;
use serde::Serialize;
use stock::{Brief, FaceKey, Placement, Spot};

use crate::drawing::Drawing;
use crate::words;

/// A finding's number, beside the place that it points at; millimetres of paper.
#[derive(Serialize)]
pub(crate) struct Flag {
    number: usize,
    grade: &'static str,
    at: [f64; 2],
    of: [f64; 2],
}

/// Two flags are at least this far apart, in millimetres of paper.
const APART: f64 = 5.8;
/// A flag and a part's number, which is wider.
const BESIDE: f64 = 8.5;
/// How many rings of places are tried around a taken one.
const RINGS: usize = 6;
/// Places on the first ring.
const AROUND: usize = 8;

/// The flags of a face, clear of each other and of the signs that stand already.
pub(crate) fn flags(
    brief: &Brief,
    plan: &Plan,
    key: FaceKey,
    drawing: &Drawing,
    taken: &[[f64; 2]],
) -> Vec<Flag> {
    let mut out: Vec<Flag> = Vec::new();
    for (index, finding) in plan.findings.iter().enumerate() {
        for place in places(brief, plan, key, &finding.spot) {
            let of = drawing.on_paper(place);
            let free = |at: [f64; 2]| {
                let clear = |other: [f64; 2], apart| (other[0] - at[0]).hypot(other[1] - at[1]) >= apart;
                let [width, height] = drawing.size();
                let inside = (0.0..=width).contains(&at[0]) && (0.0..=height).contains(&at[1]);
                inside
                    && taken.iter().all(|&it| clear(it, BESIDE))
                    && out.iter().all(|it| clear(it.at, APART))
            };
            let at = around(of).find(|&at| free(at)).unwrap_or(of);
            out.push(Flag { number: index + 1, grade: words::grade(finding.grade), at, of });
        }
    }
    out
}

/// A place, then the places on wider and wider rings around it.
fn around([x, y]: [f64; 2]) -> impl Iterator<Item = [f64; 2]> {
    let rings = (1..=RINGS).flat_map(move |ring| {
        let count = AROUND * ring;
        (0..count).map(move |step| {
            let turn = std::f64::consts::TAU * step as f64 / count as f64;
            let reach = APART * 1.02 * ring as f64;
            [x + reach * turn.cos(), y - reach * turn.sin()]
        })
    });
    std::iter::once([x, y]).chain(rings)
}

/// Where a finding points on a face: nowhere, at one place, or at every part of its pattern.
fn places(brief: &Brief, plan: &Plan, key: FaceKey, spot: &Spot) -> Vec<Point> {
    let whole = |face: FaceKey| {
        let bounds = brief.face(face).map(|it| it.outline.bounds()).ok().filter(|_| face == key);
        bounds.map(|it| Point::new(it.low.x, it.high.y)).into_iter().collect()
    };
    match *spot {
        Spot::Job | Spot::Unplaced { .. } => Vec::new(),
        Spot::Piece { piece } => whole(FaceKey::Piece(piece)),
        Spot::Panel { panel } => whole(FaceKey::Panel(panel)),
        Spot::Part { face, at, .. } => (face == key).then_some(at).into_iter().collect(),
        Spot::Pattern { pattern, at } => {
            let mine = |it: &&Placement| {
                it.face == key && brief.pattern_of(it.part).is_ok_and(|other| other.id == pattern)
            };
            let place = |it: &Placement| match at {
                Some(at) => it.place.point(at),
                None => it.outline.outer().centroid(),
            };
            plan.layout.placements.iter().filter(mine).map(place).collect()
        }
    }
}
