//! Which way the fibres run, seen in a rectified picture.

use std::collections::BTreeMap;

use image::RgbImage;
use measure::{Angle, Length};
use outline::{Outline, Point};
use rayon::prelude::*;
use stock::{GrainField, GrainSample};

use crate::field::Field;
use crate::{Pixel, colour};

/// What is coarser than this is figure and light, not fibre.
const FIBRE: Length = Length::mm(0.9);

/// Lines finer than pixels are rounded off by about this many: their direction
/// is the grid's.
const ROUNDED: f64 = 0.8;

/// Light and dark are evened out over about this.
const EVEN: Length = Length::mm(8.0);

/// One direction is taken from about this much face.
const WINDOW: Length = Length::mm(9.0);

/// From one sample to the next.
const SPACING: Length = Length::mm(20.0);

/// Nearer to the edge than this, the edge itself is seen.
const FROM_EDGE: Length = Length::mm(12.0);

/// Contrast stronger than this many times its own spread is cut off: pores count
/// as much as knots.
const CLIP: f32 = 1.5;

/// Under this coherence there is no direction to speak of.
const LEAST_SURE: f64 = 0.08;

/// Directions over the face. `hidden` tells where something else lies on it.
///
/// A structure tensor (Bigun and Granlund, "Optimal orientation detection of
/// linear symmetry", 1987) of the fine texture; the edges of growth rings,
/// which cross the fibres around a cathedral's tip, count less.
pub(crate) fn grain(
    face: &RgbImage,
    pixel: Length,
    outline: &Outline,
    hidden: impl Fn(Point) -> bool + Sync,
) -> GrainField {
    let fine = fine_texture(face, pixel);
    let (x, y) = fine.smeared(ROUNDED).slopes();
    let ring = ring_edges(face, pixel);
    let weigh = |product: Field| product.with(&ring, |it, ring| it / (1.0 + ring * ring));
    let window = WINDOW / pixel;
    let [xx, xy, yy] =
        [(&x, &x), (&x, &y), (&y, &y)].map(|(a, b)| weigh(a.with(b, |a, b| a * b)).smeared(window));
    let samples = places(face, pixel)
        .into_par_iter()
        .filter_map(|(at, place)| {
            let clear = outline.contains(place) && outline.outer().distance(place) > FROM_EDGE;
            if !clear || hidden(place) {
                return None;
            }
            let (east, north) = (f64::from(xx.values[at] - yy.values[at]), f64::from(2.0 * xy.values[at]));
            let sure = east.hypot(north) / f64::from(xx.values[at] + yy.values[at]).max(1e-12);
            // The slope runs across the fibres, and the picture's y runs down.
            let direction = Angle::radians(-(-north).atan2(-east) / 2.0);
            (sure > LEAST_SURE).then_some(GrainSample { at: place, direction, sure: sure.min(0.99) })
        })
        .collect::<Vec<GrainSample>>();
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

/// The middle of every window: its index and its place.
fn places(face: &RgbImage, pixel: Length) -> Vec<(usize, Point)> {
    let (width, height) = (face.width() as usize, face.height() as usize);
    let step = ((SPACING / pixel).round() as usize).max(1);
    let rows = (step / 2..height).step_by(step);
    rows.flat_map(|y| (step / 2..width).step_by(step).map(move |x| (x, y)))
        .map(|(x, y)| {
            let at = Pixel::new(x as f64 + 0.5, y as f64 + 0.5);
            let mm = pixel.to_mm();
            (y * width + x, Point::new(at.x * mm, (height as f64 - at.y) * mm))
        })
        .collect()
}

/// The logarithm of the light, as the eye feels contrast.
fn tone(face: &RgbImage) -> Field {
    let table: Vec<f32> = (0..=255).map(|it| colour::light([it as f32; 3])[0]).collect();
    let raw = face.as_raw();
    let values = raw.par_chunks_exact(3).map(|it| {
        let light = 0.2126 * table[usize::from(it[0])]
            + 0.7152 * table[usize::from(it[1])]
            + 0.0722 * table[usize::from(it[2])];
        (light + 0.01).ln()
    });
    Field::new(face.width() as usize, face.height() as usize, values.collect())
}

fn fine_texture(face: &RgbImage, pixel: Length) -> Field {
    let tone = tone(face);
    let fine = tone.with(&tone.smeared(FIBRE / pixel), |it, mean| it - mean);
    let spread = fine.map(|it| it * it).smeared(EVEN / pixel).map(|it| it.max(0.0).sqrt() + 1e-4);
    fine.with(&spread, |it, spread| (it / spread).clamp(-CLIP, CLIP))
}

/// How much a growth ring's edge stands out, over what is usual on this face.
fn ring_edges(face: &RgbImage, pixel: Length) -> Field {
    let (x, y) = tone(face).smeared(FIBRE / pixel).slopes();
    let steep = x.with(&y, f32::hypot);
    let usual = steep.values.iter().map(|it| f64::from(*it)).sum::<f64>() / steep.values.len().max(1) as f64;
    let usual = usual as f32 + 1e-6;
    steep.map(|it| it / usual)
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
        let field = grain(&face, pixel, &whole, |_| false);
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
