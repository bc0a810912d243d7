//! How sharp a picture is, by the edges of the sheets' coded squares.

use crate::Pixel;
use crate::sheets::SeenSheet;

/// How wide the edges of the coded squares are drawn, from a tenth of the step
/// between black and white to nine tenths.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Sharpness {
    /// In pixels, across the edges that are widest.
    pub(crate) widest_px: f64,
    /// In pixels, across those at right angles to them.
    pub(crate) narrowest_px: f64,
    /// The middle length of a square's side, in pixels.
    pub(crate) side_px: f64,
}

/// Places along a side whose profiles are averaged, as shares of it: away from
/// its ends, which a corner rounds off.
const ALONG: [f64; 9] = [0.2, 0.275, 0.35, 0.425, 0.5, 0.575, 0.65, 0.725, 0.8];

/// A profile reaches this far to each side, as a share of the square's side: less
/// than the black border and the white round it are wide (an eighth each).
const REACH: f64 = 0.115;

/// Places of a profile.
const PLACES: usize = 41;

/// Fainter edges, in levels of gray, are shadow or glare and tell nothing.
const LEAST_STEP: f64 = 30.0;

impl Sharpness {
    /// Measures the edges of all tags in a gray picture; `None` without any.
    pub(crate) fn of(sheets: &[SeenSheet], gray: &[u8], width_px: usize) -> Option<Sharpness> {
        let (mut upright, mut level, mut sides) = (Vec::new(), Vec::new(), Vec::new());
        for quad in sheets.iter().flat_map(|it| it.corners.chunks_exact(4)) {
            for side in 0..4 {
                let (from, to) = (quad[side].1, quad[(side + 1) % 4].1);
                sides.push(from.distance(to));
                let Some(width) = edge_width(gray, width_px, from, to) else { continue };
                let steep = (to.y - from.y).abs() > (to.x - from.x).abs();
                if steep { upright.push(width) } else { level.push(width) }
            }
        }
        let (upright, level) = (middle(&mut upright)?, middle(&mut level)?);
        let side_px = middle(&mut sides)?;
        Some(Sharpness { widest_px: upright.max(level), narrowest_px: upright.min(level), side_px })
    }
}

/// How wide an edge is drawn, in pixels.
fn edge_width(gray: &[u8], width_px: usize, from: Pixel, to: Pixel) -> Option<f64> {
    let long = from.distance(to);
    let (x, y) = ((to.x - from.x) / long, (to.y - from.y) / long);
    let step = 2.0 * REACH * long / (PLACES - 1) as f64;
    let profile: Vec<f64> = (0..PLACES)
        .map(|place| {
            let out = (place as f64 - (PLACES - 1) as f64 / 2.0) * step;
            let values = ALONG.iter().map(|share| {
                let at = Pixel::new(from.x + x * share * long - y * out, from.y + y * share * long + x * out);
                value(gray, width_px, at)
            });
            Some(values.sum::<Option<f64>>()? / ALONG.len() as f64)
        })
        .collect::<Option<_>>()?;
    let (first, last) = (profile[0], profile[PLACES - 1]);
    let share = |value: f64| (value - first) / (last - first);
    // Where the profile passes a share of the step, between two of its places.
    let passes = |asked: f64| {
        let pairs = profile.windows(2).enumerate();
        let mut found = pairs.map(|(at, pair)| (at as f64, share(pair[0]), share(pair[1])));
        found.find(|(_, a, b)| *a < asked && *b >= asked).map(|(at, a, b)| at + (asked - a) / (b - a))
    };
    if (last - first).abs() < LEAST_STEP {
        return None;
    }
    Some((passes(0.9)? - passes(0.1)?) * step).filter(|it| *it > 0.0)
}

/// The gray value between four pixels; `None` at the picture's border.
fn value(gray: &[u8], width_px: usize, at: Pixel) -> Option<f64> {
    let (x, y) = (at.x - 0.5, at.y - 0.5);
    let height_px = gray.len() / width_px.max(1);
    if !(x >= 0.0 && y >= 0.0 && x < width_px as f64 - 1.0 && y < height_px as f64 - 1.0) {
        return None;
    }
    let (left, top) = (x as usize, y as usize);
    let (u, v) = (x - left as f64, y - top as f64);
    let value = |row: usize, column: usize| f64::from(gray[row * width_px + column]);
    let upper = value(top, left) * (1.0 - u) + value(top, left + 1) * u;
    let lower = value(top + 1, left) * (1.0 - u) + value(top + 1, left + 1) * u;
    Some(upper * (1.0 - v) + lower * v)
}

fn middle(values: &mut [f64]) -> Option<f64> {
    values.sort_by(f64::total_cmp);
    values.get(values.len() / 2).copied()
}
