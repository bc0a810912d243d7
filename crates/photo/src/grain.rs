//! Which way the fibres run over a face.

use std::collections::BTreeMap;

use image::RgbImage;
use measure::{Angle, Length};
use outline::{Outline, Point};
use rayon::prelude::*;
use stock::{GrainField, GrainSample};

use crate::{Pixel, fibre};

/// From one sample to the next.
const SPACING: Length = Length::mm(20.0);

/// Nearer to the edge than this, the edge itself is seen.
const FROM_EDGE: Length = Length::mm(12.0);

/// Under this coherence there is no direction to speak of.
const LEAST_SURE: f64 = 0.08;

/// Directions over the face. `seen` tells where the photograph shows a point of
/// the face's plane, `hidden` where something else lies on the face.
pub(crate) fn grain(
    photograph: &RgbImage,
    outline: &Outline,
    seen: impl Fn(Point) -> Option<Pixel> + Sync,
    hidden: impl Fn(Point) -> bool + Sync,
) -> GrainField {
    let samples = places(outline).into_par_iter().filter_map(|at| {
        let clear = outline.contains(at) && outline.outer().distance(at) > FROM_EDGE && !hidden(at);
        let (direction, sure) = clear.then(|| fibre::direction(photograph, at, &seen)).flatten()?;
        (sure > LEAST_SURE).then_some(GrainSample { at, direction, sure: sure.min(0.99) })
    });
    let samples: Vec<GrainSample> = samples.collect();
    GrainField { overall: overall(&samples), samples: gathered(settled(samples), outline) }
}

/// Rounds of weighing samples by how well they agree with the rest.
const ROUNDS: usize = 5;

/// A sample this far off the field round it counts half: a ring's edge was seen,
/// not the fibre, which turns little within a hand's breadth.
const AGREES: Angle = Angle::degrees(2.0);

/// Samples weighed down where they disagree with the field that all make
/// together (iteratively reweighted least squares with Cauchy's weights; Holland
/// and Welsch, 1977).
fn settled(seen: Vec<GrainSample>) -> Vec<GrainSample> {
    let mut field = GrainField { overall: overall(&seen), samples: seen.clone() };
    for _ in 0..ROUNDS {
        let weighed = seen.par_iter().map(|sample| {
            let off = field.at(sample.at).between_lines(sample.direction) / AGREES;
            GrainSample { sure: sample.sure / (1.0 + off * off), ..*sample }
        });
        field.samples = weighed.collect();
    }
    field.samples
}

/// Samples within a square of this side are kept as one: a field of samples
/// changes little over it.
const SQUARE: Length = Length::mm(40.0);

/// No face keeps many more samples than this; on a very large one the squares
/// are larger.
const MOST: f64 = 1500.0;

/// The samples of each square as one, where they are, as sure as all of them
/// would be of a full square.
fn gathered(samples: Vec<GrainSample>, outline: &Outline) -> Vec<GrainSample> {
    let side = SQUARE.max(Length::mm((outline.area().to_mm2() / MOST).sqrt()));
    let full = (side / SPACING).powi(2);
    let mut squares: BTreeMap<[i64; 2], Vec<GrainSample>> = BTreeMap::new();
    for sample in samples {
        let square = [sample.at.x, sample.at.y].map(|it| (it / side.to_mm()).floor() as i64);
        squares.entry(square).or_default().push(sample);
    }
    let one = |of: &Vec<GrainSample>| {
        let sure = of.iter().map(|it| it.sure).sum::<f64>();
        let middle = |along: fn(&Point) -> f64| {
            of.iter().map(|it| it.sure * along(&it.at)).sum::<f64>() / sure.max(f64::MIN_POSITIVE)
        };
        let at = Point::new(middle(|it| it.x), middle(|it| it.y));
        GrainSample { at, direction: overall(of), sure: (sure / full).min(0.99) }
    };
    squares.values().map(one).collect()
}

/// The mean over doubled angles, the surer the heavier.
fn overall(samples: &[GrainSample]) -> Angle {
    let sum = samples.iter().fold((0.0, 0.0), |(east, north), it| {
        let twice = it.direction * 2.0;
        (east + it.sure * twice.cos(), north + it.sure * twice.sin())
    });
    if sum == (0.0, 0.0) { Angle::ZERO } else { Angle::radians(sum.1.atan2(sum.0) / 2.0) }
}

/// A lattice of places over the face.
fn places(outline: &Outline) -> Vec<Point> {
    let bounds = outline.bounds();
    let count = |side: Length| (side / SPACING).ceil() as usize;
    let (columns, rows) = (count(bounds.width()), count(bounds.height()));
    let at = |low: f64, number: usize| low + (number as f64 + 0.5) * SPACING.to_mm();
    let row = |y: usize| (0..columns).map(move |x| Point::new(at(bounds.low.x, x), at(bounds.low.y, y)));
    (0..rows).flat_map(row).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use outline::Ring;

    /// Fine streaks under a known angle, as a face 300 mm by 150 mm.
    fn check(degrees: f64) {
        let pixel = Length::mm(0.5);
        let (sin, cos) = (Angle::degrees(degrees).sin(), Angle::degrees(degrees).cos());
        let face = RgbImage::from_fn(600, 300, |x, y| {
            let (x, y) = (f64::from(x) * 0.5, -f64::from(y) * 0.5);
            let (along, across) = (x * cos + y * sin, y * cos - x * sin);
            let streak = (across * 2.1 + (along / 23.0).sin()).sin() + (across * 3.7).sin();
            image::Rgb([(120.0 + 25.0 * streak) as u8; 3])
        });
        let whole = Outline::from(Ring::rectangle(Length::mm(300.0), Length::mm(150.0)).unwrap());
        let mm = pixel.to_mm();
        let seen = |at: Point| Some(Pixel::new(at.x / mm, (150.0 - at.y) / mm));
        let field = grain(&face, &whole, seen, |_| false);
        let off = field.overall.between_lines(Angle::degrees(degrees));
        assert!(off.to_degrees() < 1.5 && field.samples.len() > 20, "{degrees}: off by {off:?}");
    }

    #[test]
    fn streaks_drawn_at_an_angle_are_read_at_it() {
        check(0.0);
        check(12.0);
        check(-35.0);
        check(80.0);
    }
}
