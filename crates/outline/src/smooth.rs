//! Smoothing a traced line.

use measure::{Length, Problem};

use crate::{Point, Ring};

/// Points per `sigma` along the smoothed line: enough that the bell curve is
/// well sampled.
const POINTS_PER_SIGMA: f64 = 4.0;

/// The bell curve is cut off this many `sigma` from its middle (0.01 % of its
/// height).
const REACH: f64 = 4.0;

/// A line must be at least this many `sigma` long to keep any shape.
const LEAST_LENGTH: f64 = 24.0;

impl Ring {
    /// Smoothed along the line by a bell curve of width `sigma`; points come
    /// out evenly spaced, a quarter of `sigma` apart.
    ///
    /// Smoothing once would shrink a round by `sigma`² / 2 r; what the first
    /// pass took off is smoothed and given back, so that a round of 10 mm
    /// smoothed by 2 mm keeps its radius within 0.01 mm.
    ///
    /// # Errors
    /// `sigma` at or below zero, or too large for the line; too many points; a
    /// line that crosses itself afterwards.
    pub fn smoothed(&self, sigma: Length) -> Result<Ring, Problem> {
        let (length, width) = (self.perimeter().to_mm(), sigma.to_mm());
        if width <= 0.0 || width * LEAST_LENGTH > length {
            let most = length / LEAST_LENGTH;
            return Err(Problem::new(format!(
                "cannot smooth a line of {length:.1} mm by {width} mm; between 0 and {most:.2} mm work"
            )));
        }
        let count = (length / width * POINTS_PER_SIGMA).ceil() as usize;
        if count > Ring::MOST_CORNERS {
            let message = format!(
                "smoothing by {width} mm needs {count} points; at most {} are kept",
                Ring::MOST_CORNERS
            );
            return Err(Problem::new(message).hint("smooth by more"));
        }
        let drawn = self.evenly(count);
        let bell = bell(width / (length / count as f64));
        let once = blurred(&drawn, &bell);
        let lost: Vec<Point> =
            drawn.iter().zip(&once).map(|(a, b)| Point::new(a.x - b.x, a.y - b.y)).collect();
        let back = blurred(&lost, &bell);
        Ring::new(once.iter().zip(&back).map(|(a, b)| Point::new(a.x + b.x, a.y + b.y)).collect())
    }

    /// Points evenly spaced along the line, the first at the first corner.
    pub fn evenly(&self, count: usize) -> Vec<Point> {
        let pace = self.perimeter().to_mm() / count as f64;
        let mut points = Vec::with_capacity(count);
        let mut done = 0.0;
        for edge in self.edges() {
            let length = edge.length().to_mm();
            while points.len() < count && points.len() as f64 * pace <= done + length {
                let share = (points.len() as f64 * pace - done) / length;
                points.push(edge.from.toward(edge.to, share));
            }
            done += length;
        }
        points
    }
}

/// One half of a bell curve, from its middle outwards; the whole sums to one.
fn bell(width: f64) -> Vec<f64> {
    let reach = (width * REACH).ceil() as usize;
    let heights: Vec<f64> = (0..=reach).map(|step| (-0.5 * (step as f64 / width).powi(2)).exp()).collect();
    let sum = 2.0 * heights.iter().sum::<f64>() - heights[0];
    heights.iter().map(|height| height / sum).collect()
}

/// Points of a closed line moved to the weighted mean of their neighbours: a bell
/// curve so many of the line's points wide. Shrinks a round by the square of that
/// over twice its radius.
pub fn blurred_by(line: &[Point], width: f64) -> Vec<Point> {
    blurred(line, &bell(width))
}

fn blurred(line: &[Point], bell: &[f64]) -> Vec<Point> {
    let count = line.len();
    (0..count)
        .map(|index| {
            let start = Point::new(line[index].x * bell[0], line[index].y * bell[0]);
            bell.iter().enumerate().skip(1).fold(start, |sum, (step, weight)| {
                let (a, b) = (line[(index + step) % count], line[(index + count - step % count) % count]);
                Point::new(sum.x + (a.x + b.x) * weight, sum.y + (a.y + b.y) * weight)
            })
        })
        .collect()
}
