//! The grain of a real chevron floor, whose two directions its joints show.

use image::RgbImage;
use measure::{Angle, Length};
use outline::{Outline, Point, Ring};

use crate::grain::grain;
use crate::{Pixel, read_picture};

/// The floor's strips, side by side.
const STRIPS: u32 = 8;

/// Rise of a joint over the width of its strip, and of the fibres too: of all
/// slants, rows of pixels along this one differ most from each other (by numpy,
/// to half a degree, for the joints and for what is finer than two pixels).
const RISE: f64 = 0.5;

/// How wide a strip is taken to be, so that a pixel is about as large as that of
/// a face in a telephone's photograph; the floor's own scale is not known.
const STRIP: Length = Length::mm(60.0);

/// The rise is known to half a degree.
const MOST_OFF: f64 = 0.5;

fn strip(floor: &RgbImage, number: u32) -> RgbImage {
    let width = floor.width() / STRIPS;
    image::imageops::crop_imm(floor, number * width, 0, width, floor.height()).to_image()
}

#[test]
fn both_directions_of_a_chevron_floor_are_told() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../cases/pictures/wood");
    let bytes = std::fs::read(format!("{folder}/WoodFloor052_1K-JPG_Color.jpg")).unwrap();
    let floor = read_picture(&bytes).unwrap().image;
    let pixel = STRIP / f64::from(floor.width() / STRIPS);
    let high = (pixel * f64::from(floor.height())).to_mm();
    let corners = [(0.0, 0.0), (STRIP.to_mm(), 0.0), (STRIP.to_mm(), high), (0.0, high)];
    let outline = Outline::from(Ring::new(corners.map(|(x, y)| Point::new(x, y)).to_vec()).unwrap());
    for number in 0..STRIPS {
        let seen = |at: Point| Some(Pixel::new(at.x / pixel.to_mm(), (high - at.y) / pixel.to_mm()));
        let found = grain(&strip(&floor, number), &outline, seen, |_| false);
        // Every other strip rises, the rest fall.
        let rises = if number % 2 == 0 { RISE } else { -RISE };
        let joint = Angle::radians(rises.atan());
        let off = found.overall.between_lines(joint).to_degrees();
        assert!(off < MOST_OFF, "strip {number}: {off:.2} degrees from its joints");
    }
}
