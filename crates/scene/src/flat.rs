//! A shape lying flat under the camera, exact to the part of a pixel.

use image::ImageFormat;
use measure::Problem;
use outline::{Outline, Point, Ring};

use crate::develop;

/// How a flat shape is photographed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FlatAsk {
    /// The picture's size in pixels.
    pub width_px: u32,
    /// The picture's size in pixels.
    pub height_px: u32,
    /// Linear light of the shape, and of the ground it lies on.
    pub shape: [f32; 3],
    /// See `shape`.
    pub ground: [f32; 3],
    /// How strong the sensor's noise is; 1 is a pocket camera's by day.
    pub noise: f32,
}

/// The light falls off by this share from one side of the picture to the other.
const FALL_OFF: f32 = 0.25;

/// A picture of a shape whose unit is a pixel, from the picture's lower left
/// corner, y up; through a soft lens and with noise, as a PNG.
///
/// # Errors
/// The picture cannot be written.
pub fn photograph_flat(shape: &Outline, ask: &FlatAsk) -> Result<Vec<u8>, Problem> {
    let (width, height) = (ask.width_px as usize, ask.height_px as usize);
    let mut share = vec![0.0_f64; width * height];
    for ring in shape.rings() {
        let sign = if ring == shape.outer() { 1.0 } else { -1.0 };
        cover(ring, sign, width, height, &mut share);
    }
    let linear = share.iter().enumerate().map(|(at, share)| {
        let lit = 1.0 - FALL_OFF * (at % width) as f32 / width as f32;
        [0, 1, 2].map(|it| (ask.ground[it] + (ask.shape[it] - ask.ground[it]) * *share as f32) * lit)
    });
    let image = develop::picture(&linear.collect::<Vec<_>>(), [ask.width_px, ask.height_px], ask.noise)?;
    let mut png = std::io::Cursor::new(Vec::new());
    image
        .write_to(&mut png, ImageFormat::Png)
        .map_err(|error| Problem::new(format!("the picture cannot be written: {error}")))?;
    Ok(png.into_inner())
}

/// Adds to every pixel the share of it that a ring covers: each edge adds the
/// area between itself and the picture's right side, cell by cell.
fn cover(ring: &Ring, sign: f64, width: usize, height: usize, share: &mut [f64]) {
    let down = |it: Point| (it.x, height as f64 - it.y);
    for edge in ring.edges() {
        let (a, b) = (down(edge.from), down(edge.to));
        // A ring that runs counter-clockwise goes up on its right side.
        let (sign, top, low) = if a.1 < b.1 { (sign, a, b) } else { (-sign, b, a) };
        if low.1 <= top.1 {
            continue;
        }
        let x_at = |y: f64| top.0 + (low.0 - top.0) * (y - top.1) / (low.1 - top.1);
        let rows = top.1.floor().max(0.0) as usize..(low.1.ceil().max(0.0) as usize).min(height);
        for row in rows {
            let (from, to) = (top.1.max(row as f64), low.1.min(row as f64 + 1.0));
            if to > from {
                let line = &mut share[row * width..(row + 1) * width];
                right_of(line, (x_at(from), x_at(to)), sign * (to - from));
            }
        }
    }
}

/// Adds, to the cells of one row, the area right of a slanted piece of edge of
/// this height.
fn right_of(line: &mut [f64], (from, to): (f64, f64), height: f64) {
    let (left, right) = (from.min(to), from.max(to));
    for (column, cell) in line.iter_mut().enumerate().skip(left.max(0.0) as usize) {
        let (start, end) = (column as f64, column as f64 + 1.0);
        *cell += height * (after(left, right, end) - after(left, right, start));
    }
}

/// How much of the way to `x` lies right of an edge that spreads evenly over
/// `left` to `right`, on the mean.
fn after(left: f64, right: f64, x: f64) -> f64 {
    if x <= left {
        0.0
    } else if x >= right {
        x - (left + right) / 2.0
    } else {
        (x - left).powi(2) / (2.0 * (right - left))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slanted_shape_covers_its_own_area() {
        let corners = [(3.2, 4.1), (37.7, 9.3), (30.4, 41.9), (8.8, 30.5)];
        let ring = Ring::new(corners.map(|(x, y)| Point::new(x, y)).to_vec()).unwrap();
        let mut share = vec![0.0; 50 * 50];
        cover(&ring, 1.0, 50, 50, &mut share);
        let sum: f64 = share.iter().sum();
        assert!((sum - ring.area().to_mm2()).abs() < 1e-9, "{sum} of {}", ring.area().to_mm2());
        assert!(share.iter().all(|it| (-1e-12..=1.0 + 1e-12).contains(it)));
        assert_eq!((share[25 * 50 + 20], share[2 * 50 + 2]), (1.0, 0.0));
    }
}
