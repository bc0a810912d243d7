//! Which way the fibres run at one place, read in the photograph's own pixels.
//!
//! Fibres and pores are about as fine as those pixels. Drawing the face anew at
//! true scale first would blend them away, and leave growth rings to be read.

use image::RgbImage;
use measure::{Angle, Length};
use nalgebra::{Matrix2, Vector2};
use outline::Point;

use crate::Pixel;
use crate::field::Field;

/// A rotation-true pair for slopes: a smoother and its derivative (Farid and
/// Simoncelli, "Differentiation of discrete multidimensional signals", 2004, 5
/// taps). Plain differences turn fine slanting lines toward the pixels' rows.
const SMOOTH: [f32; 5] = [0.037_659, 0.249_153, 0.426_375, 0.249_153, 0.037_659];
const SLOPE: [f32; 5] = [-0.109_604, -0.276_691, 0.0, 0.276_691, 0.109_604];

/// Pixels: what is coarser is figure and light, not fibre.
const FIBRE: f64 = 1.5;

/// Pixels: growth rings are looked for in what is coarser.
const RING: f64 = 2.4;

/// Where the slope of what is coarse is this share of the mean, a place counts half.
const RINGS_COUNT: f32 = 0.5;

/// Contrast stronger than this many times its own spread is cut off: pores count
/// as much as knots.
const CLIP: f32 = 0.7;

/// One direction is taken from so much face to every side.
const HALF: Length = Length::mm(10.0);

/// The same at least, in pixels: fewer hold no direction.
const LEAST_HALF: f64 = 12.0;

/// Pixels beyond, so that nothing is held on from a border.
const MARGIN: usize = 8;

/// Pixels to a millimetre: where there are more, four are taken as one.
const FINEST: f64 = 8.0;

/// How a face's plane is drawn round one of its places.
struct Drawn {
    at: Pixel,
    /// Pixels to the right and down for a millimetre along x, and along y.
    steps: Matrix2<f64>,
}

impl Drawn {
    fn at(place: Point, seen: &impl Fn(Point) -> Option<Pixel>) -> Option<Drawn> {
        let step = |dx: f64, dy: f64| {
            let ends = [0.5, -0.5].map(|it| seen(Point::new(place.x + it * dx, place.y + it * dy)));
            let [Some(to), Some(from)] = ends else { return None };
            Some(Vector2::new(to.x - from.x, to.y - from.y))
        };
        let steps = Matrix2::from_columns(&[step(1.0, 0.0)?, step(0.0, 1.0)?]);
        Some(Drawn { at: seen(place)?, steps })
    }

    /// Pixels to a millimetre, in the mean.
    fn scale(&self) -> f64 {
        self.steps.determinant().abs().sqrt()
    }
}

/// The direction at a place, and how clear it is, from 0 to 1: the coherence of
/// a structure tensor (Bigun and Granlund, "Optimal orientation detection of
/// linear symmetry", 1987) of the fine texture. The edges of growth rings, which
/// cross the fibres around a cathedral's tip, count less. `seen` tells where the
/// photograph shows a point of the face's plane. `None` where it does not.
pub(crate) fn direction(
    photograph: &RgbImage,
    place: Point,
    seen: &impl Fn(Point) -> Option<Pixel>,
) -> Option<(Angle, f64)> {
    let drawn = Drawn::at(place, seen)?;
    let mut scale = drawn.scale();
    let half = (HALF.to_mm() * scale).max(LEAST_HALF);
    let mut tone = tone(photograph, drawn.at, half as usize + MARGIN)?;
    while scale > FINEST {
        tone = tone.halved();
        scale /= 2.0;
    }
    let in_pixels = tensor(&tone);
    let on_face = drawn.steps.transpose() * in_pixels * drawn.steps;
    let (east, north) = (on_face.m11 - on_face.m22, 2.0 * on_face.m12);
    let sure = east.hypot(north) / on_face.trace().max(f64::MIN_POSITIVE);
    // The slope runs across the fibres.
    Some((Angle::radians((-north).atan2(-east) / 2.0), sure))
}

/// A square of the photograph in gray as it is stored, which is nearly as the
/// eye feels contrast (luma as in ITU-R BT.601); `None` where it is not whole.
fn tone(photograph: &RgbImage, middle: Pixel, half: usize) -> Option<Field> {
    let (width, height) = (photograph.width() as usize, photograph.height() as usize);
    let begin = |at: f64, end: usize| {
        let begin = at.round() - half as f64;
        (begin >= 0.0 && begin + (2 * half) as f64 <= end as f64).then_some(begin as usize)
    };
    let (left, top) = (begin(middle.x, width)?, begin(middle.y, height)?);
    let raw = photograph.as_raw();
    let values = (top..top + 2 * half).flat_map(|row| {
        let row = &raw[3 * (row * width + left)..3 * (row * width + left + 2 * half)];
        row.chunks_exact(3)
            .map(|it| 0.299 * f32::from(it[0]) + 0.587 * f32::from(it[1]) + 0.114 * f32::from(it[2]))
    });
    Some(Field::new(2 * half, 2 * half, values.collect()))
}

/// The structure tensor of a square's fine texture, in its own pixels.
fn tensor(tone: &Field) -> Matrix2<f64> {
    let fine = fine_texture(tone);
    let (x, y) = (fine.crossed(SLOPE, SMOOTH), fine.crossed(SMOOTH, SLOPE));
    let ring = ring_edges(tone);
    let mut sum = Matrix2::zeros();
    for row in MARGIN..tone.height - MARGIN {
        for at in row * tone.width + MARGIN..(row + 1) * tone.width - MARGIN {
            let slope = Vector2::new(f64::from(x.values[at]), f64::from(y.values[at]));
            let weight = 1.0 / (1.0 + (ring.values[at] / RINGS_COUNT).powi(4));
            sum += f64::from(weight) * slope * slope.transpose();
        }
    }
    sum
}

fn fine_texture(tone: &Field) -> Field {
    let soft = tone.crossed(SMOOTH, SMOOTH);
    let fine = soft.with(&soft.smeared(FIBRE), |it, mean| it - mean);
    let spread = root_mean(&fine);
    fine.map(|it| (it / spread).clamp(-CLIP, CLIP))
}

/// How much a growth ring's edge stands out, over what is usual in the square.
fn ring_edges(tone: &Field) -> Field {
    let (x, y) = tone.smeared(RING).slopes();
    let steep = x.with(&y, f32::hypot);
    let usual = steep.values.iter().sum::<f32>() / steep.values.len() as f32 + LEAST;
    steep.map(|it| it / usual)
}

/// In levels of gray, so that a square all of one gray is divided by something.
const LEAST: f32 = 1e-3;

fn root_mean(field: &Field) -> f32 {
    (field.values.iter().map(|it| it * it).sum::<f32>() / field.values.len() as f32).sqrt() + LEAST
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Fine lines seen aslant, each pixel the mean of 16 places, and what is read of them.
    fn read(degrees: f64, steps: Matrix2<f64>) -> f64 {
        let across = Vector2::new(-Angle::degrees(degrees).sin(), Angle::degrees(degrees).cos());
        let back = steps.try_inverse().unwrap();
        let middle = Vector2::new(100.0, 100.0);
        let photograph = RgbImage::from_fn(200, 200, |x, y| {
            let places = (0..16).map(|it| {
                let within = Vector2::new(f64::from(it % 4) + 0.5, f64::from(it / 4) + 0.5) / 4.0;
                let off = (back * (Vector2::new(f64::from(x), f64::from(y)) + within - middle)).dot(&across);
                (off * 8.0).sin() + (off * 5.3).sin() + (off * 2.9).sin()
            });
            image::Rgb([(120.0 + 25.0 * places.sum::<f64>() / 16.0) as u8; 3])
        });
        let seen = |at: Point| {
            let at = middle + steps * Vector2::new(at.x, at.y);
            Some(Pixel::new(at.x, at.y))
        };
        let (found, sure) = direction(&photograph, Point::default(), &seen).unwrap();
        assert!(sure > 0.9, "{degrees}: {sure}");
        found.between_lines(Angle::degrees(degrees)).to_degrees()
    }

    #[test]
    fn lines_as_fine_as_the_pixels_are_read_at_their_slant() {
        let straight = Matrix2::new(4.0, 0.0, 0.0, -4.0);
        let tilted = Matrix2::new(3.6, 0.5, -0.3, -4.3);
        for (degrees, steps) in
            [-40.0, -3.0, 2.0, 20.0, 63.0, 88.0].into_iter().flat_map(|it| [(it, straight), (it, tilted)])
        {
            let off = read(degrees, steps);
            assert!(off < 0.5, "{degrees}: off by {off:.2}");
        }
    }

    #[test]
    fn nothing_is_read_beyond_the_photograph() {
        let photograph = RgbImage::from_pixel(100, 100, image::Rgb([90; 3]));
        let seen = |at: Point| Some(Pixel::new(at.x * 2.0, 100.0 - at.y * 2.0));
        assert!(direction(&photograph, Point::new(2.0, 25.0), &seen).is_none());
        let even = direction(&photograph, Point::new(29.0, 25.0), &seen);
        assert!(even.is_none_or(|(_, sure)| sure < 1e-6), "{even:?}");
    }
}
