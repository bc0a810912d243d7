//! Draws a plane of the scene anew, seen from straight above and at true scale.

use image::RgbImage;
use measure::{Angle, Length};
use outline::{Place, Point};
use rayon::prelude::*;

use crate::camera::Camera;
use crate::{Picture, Pixel};

/// A picture frame laid on a plane of the scene.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Frame {
    /// Brings the frame's own millimetres, from its lower left corner with y up,
    /// to the scene's.
    pub(crate) place: Place,
    /// How high the plane is above the bench.
    pub(crate) height: Length,
    /// The side of one pixel.
    pub(crate) pixel: Length,
    pub(crate) width_px: u32,
    pub(crate) height_px: u32,
}

/// What is drawn where the photograph shows nothing.
const BLANK: [f32; 3] = [255.0; 3];

impl Frame {
    /// The scene's place of a place in the frame.
    pub(crate) fn place_of(&self, at: Pixel) -> Point {
        self.place.point(self.point_of(at))
    }

    /// A place in the frame in its own millimetres.
    pub(crate) fn point_of(&self, at: Pixel) -> Point {
        let pixel = self.pixel.to_mm();
        Point::new(at.x * pixel, (f64::from(self.height_px) - at.y) * pixel)
    }

    /// A place of the scene in the frame's own millimetres.
    pub(crate) fn own(&self, at: Point) -> Point {
        let (dx, dy) = (at.x - self.place.at.x, at.y - self.place.at.y);
        let (sin, cos) = (self.place.turn.sin(), self.place.turn.cos());
        Point::new(dx * cos + dy * sin, dy * cos - dx * sin)
    }

    /// Whole pixels in the frame.
    pub(crate) fn pixels(&self) -> usize {
        self.width_px as usize * self.height_px as usize
    }

    /// One answer for every pixel, row by row.
    pub(crate) fn map<T: Send>(&self, each: impl Fn(Pixel) -> T + Sync) -> Vec<T> {
        let width = self.width_px as usize;
        (0..self.pixels())
            .into_par_iter()
            .with_min_len(width.max(1))
            .map(|index| each(Pixel::new((index % width) as f64 + 0.5, (index / width) as f64 + 0.5)))
            .collect()
    }
}

/// The colours of the frame's pixels; `None` where the photograph ends. Each is
/// the mean of `samples` by `samples` places in it.
pub(crate) fn colours(
    picture: &Picture,
    camera: &Camera,
    frame: &Frame,
    samples: u32,
) -> Vec<Option<[f32; 3]>> {
    let share = 1.0 / f64::from(samples);
    frame.map(|middle| {
        let mut sum = [0.0; 3];
        for index in 0..samples * samples {
            let (column, row) = (f64::from(index % samples), f64::from(index / samples));
            let at =
                Pixel::new(middle.x - 0.5 + (column + 0.5) * share, middle.y - 0.5 + (row + 0.5) * share);
            let colour = bilinear(picture, camera.pixel(frame.place_of(at), frame.height)?)?;
            for (sum, colour) in sum.iter_mut().zip(colour) {
                *sum += colour;
            }
        }
        Some(sum.map(|it| it / (samples * samples) as f32))
    })
}

/// The plane seen from straight above.
pub(crate) fn rectify(picture: &Picture, camera: &Camera, frame: &Frame) -> RgbImage {
    drawn(frame, |middle| bilinear(picture, camera.pixel(frame.place_of(middle), frame.height)?))
}

/// A picture of a frame, from the colour of each of its pixels.
pub(crate) fn drawn(frame: &Frame, colour: impl Fn(Pixel) -> Option<[f32; 3]> + Sync) -> RgbImage {
    let colours = frame.map(colour);
    let bytes: Vec<u8> = colours
        .into_iter()
        .flat_map(|it| it.unwrap_or(BLANK).map(|channel| (channel + 0.5).clamp(0.0, 255.0) as u8))
        .collect();
    RgbImage::from_raw(frame.width_px, frame.height_px, bytes)
        .unwrap_or_else(|| unreachable!("three bytes were written for every pixel"))
}

/// The colour between four pixels, from 0 to 255; `None` outside of the picture.
pub(crate) fn bilinear(picture: &Picture, at: Pixel) -> Option<[f32; 3]> {
    let (width, height) = (picture.width_px() as usize, picture.height_px() as usize);
    let (x, y) = (at.x - 0.5, at.y - 0.5);
    if !(x > -0.5 && y > -0.5 && x < width as f64 - 0.5 && y < height as f64 - 0.5) {
        return None;
    }
    let (x, y) = (x.max(0.0), y.max(0.0));
    let (left, top) = (x as usize, y as usize);
    let (right, bottom) = ((left + 1).min(width - 1), (top + 1).min(height - 1));
    let (u, v) = ((x - left as f64) as f32, (y - top as f64) as f32);
    let raw = picture.image.as_raw();
    let (above, below) = (top * width, bottom * width);
    Some(std::array::from_fn(|channel| {
        let value = |row: usize, column: usize| f32::from(raw[(row + column) * 3 + channel]);
        let upper = value(above, left) * (1.0 - u) + value(above, right) * u;
        let lower = value(below, left) * (1.0 - u) + value(below, right) * u;
        upper * (1.0 - v) + lower * v
    }))
}

/// The smallest frame, turned by `turn`, around points of the scene, with an edge round it.
pub(crate) fn frame_around(
    points: &[Point],
    turn: Angle,
    height: Length,
    pixel: Length,
    edge: Length,
) -> Option<Frame> {
    let back = Place { at: Point::default(), turn: -turn, mirrored: false };
    let bounds = outline::Bounds::around(points.iter().map(|&it| back.point(it)))?;
    let edge = edge.to_mm();
    let low = Point::new(bounds.low.x - edge, bounds.low.y - edge);
    let count = |side: Length| ((side.to_mm() + 2.0 * edge) / pixel.to_mm()).ceil().max(1.0) as u32;
    let place = Place { at: Place { turn, ..Place::default() }.point(low), turn, mirrored: false };
    let (width_px, height_px) = (count(bounds.width()), count(bounds.height()));
    Some(Frame { place, height, pixel, width_px, height_px })
}
