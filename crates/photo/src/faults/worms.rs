//! Worm holes: small round dots, nearly black; those that are near each other
//! are offered together.

use outline::Point;
use stock::ZoneKind;

use super::Suspect;
use super::model;
use super::spots::{Spot, apart, peaks};
use super::view::View;
use crate::field::Field;

/// Radius of a hole, in millimetres.
const SIZES: [f64; 2] = [0.7, 1.3];
/// A hole is darker than all round it by this at least, as a logarithm of the light.
const LEAST: f32 = 0.35;
/// At most this many dots.
const MOST: usize = 120;
/// Dots nearer to each other than this are one lot, in millimetres.
const TOGETHER: f64 = 14.0;
/// Shown round a hole, in millimetres.
const ROUND: f64 = 1.2;

/// All lots of dots that may be worm holes.
pub(super) fn worms(view: &View) -> Vec<Suspect> {
    let spots = SIZES.iter().flat_map(|&size| {
        let own = view.mean(&view.tone, 0.4 * size, 0.4 * size);
        peaks(&pit(&own, view.cells(2.1 * size)), &view.wood, view.cells(2.0 * size), LEAST)
    });
    let dots = apart(spots.collect(), MOST);
    lots(view, dots).into_iter().filter_map(|lot| suspect(view, &lot)).collect()
}

/// By how much each place is darker than the darkest of eight places round it.
fn pit(tone: &Field, reach: f64) -> Field {
    let turns: Vec<(isize, isize)> = (0..8)
        .map(|it| f64::from(it) * std::f64::consts::TAU / 8.0)
        .map(|turn| ((reach * turn.cos()).round() as isize, (reach * turn.sin()).round() as isize))
        .collect();
    let (width, height) = (tone.width, tone.height);
    let values = (0..width * height).map(|at| {
        let (x, y) = (at % width, at / width);
        let round = turns.iter().map(|&(dx, dy)| {
            let (column, row) = (x.saturating_add_signed(dx), y.saturating_add_signed(dy));
            tone.values[row.min(height - 1) * width + column.min(width - 1)]
        });
        round.fold(f32::MAX, f32::min) - tone.values[at]
    });
    Field::new(width, height, values.collect())
}

/// Dots that hang together by short ways.
fn lots(view: &View, mut dots: Vec<Spot>) -> Vec<Vec<Spot>> {
    let reach = view.cells(TOGETHER);
    let near = |a: &Spot, b: &Spot| (a.x as f64 - b.x as f64).hypot(a.y as f64 - b.y as f64) < reach;
    let mut lots = Vec::new();
    while let Some(first) = dots.pop() {
        let (mut lot, mut next) = (vec![first], 0);
        while next < lot.len() {
            let (joins, rest) = dots.into_iter().partition(|it| near(it, &lot[next]));
            lot.extend::<Vec<Spot>>(joins);
            dots = rest;
            next += 1;
        }
        lots.push(lot);
    }
    lots
}

fn suspect(view: &View, lot: &[Spot]) -> Option<Suspect> {
    let rim = lot.iter().flat_map(|spot| {
        let reach = spot.size / 2.0 + view.cells(ROUND);
        (0..8).map(move |it| {
            let turn = f64::from(it) * std::f64::consts::TAU / 8.0;
            Point::new(spot.x as f64 + 0.5 + reach * turn.cos(), spot.y as f64 + 0.5 + reach * turn.sin())
        })
    });
    let hull = hull(rim.collect());
    let area = view.ring(hull.iter().map(|it| (it.x, it.y)))?;
    let depths: Vec<f64> = lot.iter().map(|it| f64::from(it.strength)).collect();
    let mean = depths.iter().sum::<f64>() / depths.len() as f64;
    let size = lot.iter().map(|it| it.size * view.cell).sum::<f64>() / lot.len() as f64;
    let depth = f64::from(view.depth.near(lot[0].x as f64, lot[0].y as f64));
    let deepest = depths.iter().copied().fold(0.0, f64::max);
    let traits = vec![(lot.len() as f64).ln(), mean, deepest, size, (depth + 1.0).ln()];
    let sure = model::sure(ZoneKind::Worm, &traits);
    Some(Suspect { kind: ZoneKind::Worm, area, traits, sure })
}

/// The convex line round points, counter-clockwise (Andrew, "Another efficient
/// algorithm for convex hulls in two dimensions", 1979).
fn hull(mut points: Vec<Point>) -> Vec<Point> {
    points.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    let side = |a: Point, b: Point, c: Point| (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
    let half = |points: &mut dyn Iterator<Item = Point>| {
        let mut line: Vec<Point> = Vec::new();
        for point in points {
            while line.len() > 1 && side(line[line.len() - 2], line[line.len() - 1], point) <= 0.0 {
                line.pop();
            }
            line.push(point);
        }
        line.pop();
        line
    };
    let mut line = half(&mut points.iter().copied());
    line.extend(half(&mut points.iter().rev().copied()));
    line
}
