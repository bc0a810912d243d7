//! The line round a thing, finer than the cells it was found on.

use contour::ContourBuilder;
use measure::{Length, Problem};
use outline::{Outline, Point, Ring};

use crate::Pixel;
use crate::field::Field;

/// Between neighbouring points of a smoothed line, in cells.
const STEP: f64 = 0.5;

/// The smoothing window ends at this many sigmas.
const WINDOW: f64 = 3.0;

/// Smoothing is doubled at most this often before a line that crosses itself is given up.
const SMOOTHINGS: usize = 4;

/// The line round the largest part of a field above one half.
///
/// # Errors
/// Nothing is above one half, or the line crosses itself whatever is done.
pub(crate) fn line_round(
    field: &Field,
    smoothing: f64,
    tolerance: Length,
    place: impl Fn(Pixel) -> Point,
) -> Result<Outline, Problem> {
    let rough = longest(field)?;
    let mut trouble = Problem::new("the line round the thing has no area");
    for round in 0..SMOOTHINGS {
        let line = smoothed(&rough, smoothing * f64::from(1 << round));
        match Ring::new(line.into_iter().map(&place).collect()) {
            Ok(ring) => return Ok(Outline::from(ring).simplified(tolerance)),
            Err(problem) => trouble = problem,
        }
    }
    Err(trouble)
}

/// Points about so many cells apart on the line round the largest part of a field
/// above one half; none if there is no line.
pub(crate) fn steps(field: &Field, step: f64) -> Vec<Pixel> {
    longest(field).map(|ring| evenly(&ring, step)).unwrap_or_default()
}

/// All shapes of a field above one half, with their openings; those whose line
/// crosses itself are left out.
pub(crate) fn shapes(
    field: &Field,
    smoothing: f64,
    tolerance: Length,
    place: impl Fn(Pixel) -> Point,
) -> Vec<Outline> {
    let values: Vec<f64> = field.values.iter().map(|it| f64::from(*it)).collect();
    let lines = ContourBuilder::new(field.width, field.height, true).contours(&values, &[0.5]);
    let ring = |mut ring: Vec<Pixel>| {
        ring.pop();
        let smooth = (ring.len() >= 3).then(|| smoothed(&ring, smoothing))?;
        Ring::new(smooth.into_iter().map(&place).collect()).ok()
    };
    let shapes = lines.iter().flatten().flat_map(|it| it.geometry().iter());
    let shapes = shapes.filter_map(|it| {
        let inner = it.interiors().iter().map(|it| it.coords().map(|at| Pixel::new(at.x, at.y)).collect());
        let openings = inner.filter_map(ring).collect();
        let outer = ring(it.exterior().coords().map(|at| Pixel::new(at.x, at.y)).collect())?;
        Some(Outline::new(outer, openings).ok()?.simplified(tolerance))
    });
    shapes.collect()
}

fn longest(field: &Field) -> Result<Vec<Pixel>, Problem> {
    let values: Vec<f64> = field.values.iter().map(|it| f64::from(*it)).collect();
    let lines = ContourBuilder::new(field.width, field.height, true).contours(&values, &[0.5]);
    let lines = lines.map_err(|_| Problem::new("nothing stands out from its ground"))?;
    let rings = lines.iter().flat_map(|it| it.geometry().iter()).map(|it| {
        let mut ring: Vec<Pixel> = it.exterior().coords().map(|at| Pixel::new(at.x, at.y)).collect();
        ring.pop();
        ring
    });
    let most = rings.max_by(|a, b| area(a).total_cmp(&area(b)));
    most.filter(|ring| ring.len() >= 3).ok_or_else(|| Problem::new("nothing stands out from its ground"))
}

fn area(ring: &[Pixel]) -> f64 {
    let next = ring.iter().cycle().skip(1);
    ring.iter().zip(next).map(|(a, b)| a.x * b.y - b.x * a.y).sum::<f64>().abs() / 2.0
}

/// Points at even steps along the line, each the mean of its neighbourhood
/// weighted by a Gaussian of this many cells. A bow of radius R comes in by
/// sigma² / 2 R.
fn smoothed(ring: &[Pixel], sigma: f64) -> Vec<Pixel> {
    let even = evenly(ring, STEP);
    let reach = (WINDOW * sigma / STEP).ceil() as usize;
    let weights: Vec<f64> = (0..=2 * reach)
        .map(|index| {
            let far = (index as f64 - reach as f64) * STEP / sigma;
            (-far * far / 2.0).exp()
        })
        .collect();
    let sum: f64 = weights.iter().sum();
    let count = even.len();
    let back = count - reach % count;
    (0..count)
        .map(|middle| {
            let near = weights.iter().enumerate().map(|(index, weight)| {
                let at = even[(middle + back + index) % count];
                (at.x * weight, at.y * weight)
            });
            let (x, y) = near.fold((0.0, 0.0), |so_far, it| (so_far.0 + it.0, so_far.1 + it.1));
            Pixel::new(x / sum, y / sum)
        })
        .collect()
}

fn evenly(ring: &[Pixel], step: f64) -> Vec<Pixel> {
    let sides = || ring.iter().zip(ring.iter().cycle().skip(1));
    let around: f64 = sides().map(|(a, b)| a.distance(*b)).sum();
    let count = (around / step).ceil().max(3.0);
    let step = around / count;
    let (mut points, mut behind) = (Vec::new(), 0.0);
    for (a, b) in sides() {
        let side = a.distance(*b);
        while points.len() < count as usize && points.len() as f64 * step < behind + side {
            let share = (points.len() as f64 * step - behind) / side;
            points.push(Pixel::new(a.x + (b.x - a.x) * share, a.y + (b.y - a.y) * share));
        }
        behind += side;
    }
    points
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_disc_keeps_its_area_and_its_place() {
        let (side, radius) = (200, 70.3);
        let cell = |index: usize| {
            let (x, y) = ((index % side) as f64 + 0.5 - 99.2, (index / side) as f64 + 0.5 - 101.7);
            (radius + 0.5 - x.hypot(y)).clamp(0.0, 1.0) as f32
        };
        let field = Field::new(side, side, (0..side * side).map(cell).collect());
        let place = |at: Pixel| Point::new(at.x, side as f64 - at.y);
        let disc = line_round(&field, 1.0, Length::mm(0.05), place).unwrap();
        let off = disc.area().to_mm2() / (std::f64::consts::PI * radius * radius) - 1.0;
        assert!(off.abs() < 0.002, "{off}");
        assert!(disc.outer().centroid().distance(Point::new(99.2, 98.3)) < Length::mm(0.02));
    }
}
