//! A part of a face's picture, as a picture of its own.

use measure::{Length, Problem};
use outline::{Bounds, Place};
use stock::FacePicture;

use crate::picture::{LEAST_SIDE, MOST_PIXELS, guarded};
use crate::rectify::{Frame, bilinear, drawn};
use crate::survey::to_jpeg;
use crate::{Picture, Pixel};

/// A part of a face's picture, at the same scale.
#[derive(Clone, Debug)]
pub struct CutOut {
    /// Upright. Its lower left corner is that of the box that was asked for.
    pub jpeg: Vec<u8>,
    /// Pixels from left to right.
    pub width_px: u32,
    /// Pixels from top to bottom.
    pub height_px: u32,
}

/// A JPEG can have no longer side (ITU-T T.81, B.2.2: sixteen bits).
const LONGEST_SIDE: f64 = 65_535.0;

/// A side that is this share of a pixel longer takes no pixel more.
const HAIR: f64 = 1e-6;

impl Picture {
    /// The part of a face's picture in a box on the face, a little more where the
    /// box ends within a pixel or is very small. The picture's own size rules the
    /// scale, should it have been kept smaller than the face knows.
    ///
    /// # Errors
    /// The face says of its picture what cannot be, or the part would be too large.
    pub fn cut_out(&self, known: &FacePicture, part: Bounds) -> Result<CutOut, Problem> {
        let pixel = known.pixel.to_mm();
        let scale = |told: u32, is: u32| f64::from(told) * pixel / f64::from(is);
        let across = scale(known.width_px, self.width_px());
        let upright = scale(known.height_px, self.height_px());
        if !(across > 0.0 && upright > 0.0 && across.is_finite() && upright.is_finite()) {
            let message = format!(
                "the face says that its picture has {} by {} pixels of {pixel} mm; expected more than 0",
                known.width_px, known.height_px
            );
            return Err(Problem::new(message));
        }
        let count = |side: Length| (side.to_mm() / pixel - HAIR).ceil().max(f64::from(LEAST_SIDE));
        let (wide, high) = (count(part.width()), count(part.height()));
        if wide.max(high) > LONGEST_SIDE || wide * high > MOST_PIXELS as f64 {
            return Err(Problem::new(format!(
                "this part of the picture would have {wide} by {high} pixels; at most {} million are kept",
                MOST_PIXELS / 1_000_000
            )));
        }
        let frame = Frame {
            place: Place { at: part.low, ..Place::default() },
            height: Length::ZERO,
            pixel: known.pixel,
            width_px: wide as u32,
            height_px: high as u32,
        };
        let shown = |middle: Pixel| {
            let at = frame.place_of(middle);
            bilinear(self, Pixel::new(at.x / across, f64::from(self.height_px()) - at.y / upright))
        };
        let image = guarded("the picture could not be cut", || drawn(&frame, shown))?;
        Ok(CutOut { jpeg: to_jpeg(&image)?, width_px: frame.width_px, height_px: frame.height_px })
    }
}

#[cfg(test)]
mod tests {
    use image::{Rgb, RgbImage};
    use outline::Point;
    use stock::PictureId;

    use super::*;
    use crate::read_picture;

    /// A picture of 300 by 200 pixels that gets redder to the right and greener upward.
    fn sloping() -> Picture {
        let image = RgbImage::from_fn(300, 200, |x, y| {
            Rgb([(x * 255 / 299) as u8, ((199 - y) * 255 / 199) as u8, 90])
        });
        read_picture(&to_jpeg(&image).unwrap()).unwrap()
    }

    fn known(pixel: f64) -> FacePicture {
        FacePicture {
            picture: PictureId("0".repeat(64)),
            width_px: 300,
            height_px: 200,
            pixel: Length::mm(pixel),
            original: None,
        }
    }

    fn part(x: f64, y: f64, wide: f64, high: f64) -> Bounds {
        Bounds { low: Point::new(x, y), high: Point::new(x + wide, y + high) }
    }

    /// The colour that the whole picture has at a place of its face, by how it was made.
    fn truth(x_mm: f64, y_mm: f64, pixel: f64) -> [f64; 2] {
        [(x_mm / pixel - 0.5) * 255.0 / 299.0, (y_mm / pixel - 0.5) * 255.0 / 199.0]
    }

    #[test]
    fn a_part_shows_the_same_wood_at_the_same_scale() {
        let (whole, pixel) = (sloping(), 0.4);
        for (x, y) in [(20.0, 12.0), (33.33, 17.77), (0.0, 0.0)] {
            let cut = whole.cut_out(&known(pixel), part(x, y, 60.0, 30.1)).unwrap();
            assert_eq!((cut.width_px, cut.height_px), (150, 76), "75.25 pixels high take one more");
            let read = read_picture(&cut.jpeg).unwrap();
            for (column, row) in [(5_u32, 5_u32), (75, 40), (140, 70)] {
                let Rgb([red, green, _]) = *read.image.get_pixel(column, row);
                let at_x = x + (f64::from(column) + 0.5) * pixel;
                let at_y = y + (f64::from(cut.height_px - row) - 0.5) * pixel;
                let [r, g] = truth(at_x, at_y, pixel);
                let off = (f64::from(red) - r).abs().max((f64::from(green) - g).abs());
                assert!(off < 4.0, "{off} off at {at_x}, {at_y} mm");
            }
        }
    }

    #[test]
    fn the_stored_size_rules_where_the_face_knows_another() {
        let said = FacePicture { width_px: 600, height_px: 400, ..known(0.2) };
        let cut = sloping().cut_out(&said, part(20.0, 12.0, 60.0, 30.0)).unwrap();
        let read = read_picture(&cut.jpeg).unwrap();
        let Rgb([red, ..]) = *read.image.get_pixel(150, 75);
        let [r, _] = truth(20.0 + 150.5 * 0.2, 0.0, 0.4);
        assert!((f64::from(red) - r).abs() < 4.0, "{red} is not {r}");
    }

    #[test]
    fn a_very_small_part_can_still_be_read_and_the_far_side_of_the_edge_is_white() {
        let cut = sloping().cut_out(&known(1.0), part(290.0, 190.0, 12.0, 3.0)).unwrap();
        assert_eq!((cut.width_px, cut.height_px), (LEAST_SIDE, LEAST_SIDE));
        let read = read_picture(&cut.jpeg).unwrap();
        assert!(read.image.get_pixel(60, 5).0.iter().all(|it| *it > 245));
    }

    #[test]
    fn what_cannot_be_is_refused_with_its_numbers() {
        let told = |known: FacePicture, part: Bounds| sloping().cut_out(&known, part).unwrap_err().message;
        for pixel in [0.0, -1.0] {
            assert!(told(known(pixel), part(0.0, 0.0, 50.0, 50.0)).contains("300 by 200 pixels"));
        }
        assert!(told(known(1e-9), part(0.0, 0.0, 50.0, 50.0)).contains("at most 64 million"));
        assert!(told(known(0.01), part(0.0, 0.0, 900.0, 300.0)).contains("at most 64 million"));
    }
}
