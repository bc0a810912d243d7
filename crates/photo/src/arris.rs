//! Finds the upper arris of sawn edges, whose side is bare wood like the top.

use measure::Length;

use crate::clean::Mask;
use crate::colour::Lab;
use crate::field::Field;
use crate::mask::Cells;
use crate::side::Lean;
use crate::{Pixel, contours};

/// The line is walked in steps of about so many millimetres.
const STEP: f64 = 2.0;

/// An edge is sawn where it is straight for this long, to within this (root of
/// the mean square; cells of a few millimetres leave a part of it).
const STRAIGHT: Length = Length::mm(90.0);
const OFF: Length = Length::mm(1.1);

/// A side that shows less wide than this cannot be told from the edge's own doubt.
const NARROWEST: Length = Length::mm(3.5);

/// So far on either side of the arris the colours are compared.
const BESIDE: Length = Length::mm(3.5);

/// Top and side differ at least by this, in L*a*b* units, on the mean of a stretch.
const STEP_LEAST: f32 = 2.5;

/// And at least so many times as much as the top does elsewhere beside the edge.
const STEP_OVER: f32 = 1.6;

/// Where the arris is compared with: so many widths of the side in from the line.
const ELSEWHERE: [f64; 6] = [0.5, 0.7, 1.4, 1.8, 2.2, 2.6];

/// A place on the line round the slab.
struct Stop {
    at: Pixel,
    /// Which way the line runs, the slab on its left as the grid is seen.
    sawn: bool,
    /// From the upper to the lower arris, in cells.
    down: (f64, f64),
    /// How wide the side shows across the line, in cells.
    wide: f64,
}

/// The cells of a mask that show the side of a sawn edge: as wide as the camera
/// must see it, and parted from the top by a step of colour.
pub(crate) fn sides(cells: &Cells, cell: Length, mask: &Mask, lean: &Lean) -> Mask {
    let stops = stops(cell, mask, lean);
    let mut lower = vec![false; mask.cells.len()];
    let mut other = vec![false; mask.cells.len()];
    for run in runs(&stops) {
        let shows = run[0].sawn && has_arris(cells, cell, run);
        for stop in run {
            if let Some(at) = spot(mask, stop.at) {
                (if shows { &mut lower } else { &mut other })[at] = true;
            }
        }
    }
    if !lower.contains(&true) {
        return Mask { cells: lower, ..*mask };
    }
    let far = |marks: Vec<bool>| Mask { cells: marks, ..*mask }.inverted().depth();
    let (lower, other) = (far(lower), far(other));
    let down: Field = lean.down_side(mask);
    let shows = |at: usize| down.values[at] > 0.5 && lower.values[at] < other.values[at];
    Mask { cells: (0..mask.cells.len()).map(shows).collect(), ..*mask }
}

/// The line round the mask in even steps, with what would show of the side.
fn stops(cell: Length, mask: &Mask, lean: &Lean) -> Vec<Stop> {
    let line = contours::steps(&mask.solid().smeared(1.0), STEP / cell.to_mm());
    let reach = (STRAIGHT.to_mm() / STEP) as usize;
    if line.len() < 3 * reach {
        return Vec::new();
    }
    let count = line.len();
    let stop = |at: usize| {
        let ahead: Vec<Pixel> = (0..reach).map(|by| line[(at + by) % count]).collect();
        let behind: Vec<Pixel> = (0..reach).map(|by| line[(at + count - by) % count]).collect();
        let middle: Vec<Pixel> = (0..reach).map(|by| line[(at + count + by - reach / 2) % count]).collect();
        let ways = [ahead, behind, middle].map(|it| straightness(&it));
        let (off, (dx, dy)) = ways.into_iter().min_by(|a, b| a.0.total_cmp(&b.0))?;
        let down = lean.down_at(line[at]);
        let wide = (down.0 * dy - down.1 * dx).abs();
        let outward = spot(
            mask,
            Pixel::new(line[at].x + 3.0 * sign(down.0, down.1).0, line[at].y + 3.0 * sign(down.0, down.1).1),
        )
        .is_none_or(|it| !mask.cells[it]);
        let shows = outward && wide > NARROWEST / cell;
        Some(Stop { at: line[at], sawn: shows && off < OFF / cell, down, wide })
    };
    (0..count).filter_map(stop).collect()
}

fn sign(x: f64, y: f64) -> (f64, f64) {
    let way = x.hypot(y).max(f64::MIN_POSITIVE);
    (x / way, y / way)
}

/// Stretches of stops that are alike.
fn runs(stops: &[Stop]) -> impl Iterator<Item = &[Stop]> {
    stops.chunk_by(|a, b| a.sawn == b.sawn)
}

/// How far points stray from a straight line, and which way it runs.
fn straightness(points: &[Pixel]) -> (f64, (f64, f64)) {
    let share = 1.0 / points.len() as f64;
    let (x, y) = points.iter().fold((0.0, 0.0), |sum, it| (sum.0 + it.x * share, sum.1 + it.y * share));
    let (mut xx, mut xy, mut yy) = (0.0, 0.0, 0.0);
    for it in points {
        xx += (it.x - x).powi(2) * share;
        xy += (it.x - x) * (it.y - y) * share;
        yy += (it.y - y).powi(2) * share;
    }
    let turn = 0.5 * (2.0 * xy).atan2(xx - yy);
    let way = measure::Angle::radians(turn);
    let least = (xx + yy - ((xx - yy).powi(2) + 4.0 * xy * xy).sqrt()) / 2.0;
    (least.max(0.0).sqrt(), (way.cos(), way.sin()))
}

/// Whether the colours step where the arris of this stretch must be.
fn has_arris(cells: &Cells, cell: Length, run: &[Stop]) -> bool {
    let step = |share: f64| {
        let both = [-1.0, 1.0].map(|side| mean(cells, run, share, side * (BESIDE / cell)));
        let [inner, outer] = both;
        inner
            .zip(outer)
            .map(|(a, b)| ((a[0] - b[0]).powi(2) + (a[1] - b[1]).powi(2) + (a[2] - b[2]).powi(2)).sqrt())
    };
    let Some(arris) = step(1.0) else { return false };
    let mut elsewhere: Vec<f32> = ELSEWHERE.iter().filter_map(|it| step(*it)).collect();
    elsewhere.sort_by(f32::total_cmp);
    let usual = elsewhere.get(elsewhere.len() / 2).copied().unwrap_or(0.0);
    arris > STEP_LEAST && arris > STEP_OVER * usual
}

/// The mean colour along a stretch, so many widths of the side in from the line
/// and then so many cells toward the lower arris.
fn mean(cells: &Cells, run: &[Stop], share: f64, beside: f64) -> Option<Lab> {
    let places = run.iter().filter_map(|stop| {
        let more = beside / stop.wide - share;
        let at = Pixel::new(stop.at.x + stop.down.0 * more, stop.at.y + stop.down.1 * more);
        let inside = at.x >= 0.0 && at.y >= 0.0 && at.x < cells.width as f64 && at.y < cells.height as f64;
        let at = inside.then(|| at.y as usize * cells.width + at.x as usize)?;
        (!cells.known[at].is_sheet()).then(|| cells.lab[at])
    });
    let (sum, count) = places.fold(([0.0; 3], 0.0), |(sum, count), it| {
        (std::array::from_fn(|channel| sum[channel] + it[channel]), count + 1.0)
    });
    (count > 0.0).then(|| sum.map(|it: f32| it / count))
}

fn spot(mask: &Mask, at: Pixel) -> Option<usize> {
    let inside = at.x >= 0.0 && at.y >= 0.0 && at.x < mask.width as f64 && at.y < mask.height as f64;
    inside.then(|| at.y as usize * mask.width + at.x as usize)
}
