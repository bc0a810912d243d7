//! A place in a picture.

/// A place in a picture, in pixels from its upper left corner, y down. The
/// middle of the first pixel is at 0.5, 0.5. Never to be mixed with
/// [`outline::Point`], which is in millimetres with y up.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Pixel {
    /// Pixels to the right.
    pub x: f64,
    /// Pixels down.
    pub y: f64,
}

impl Pixel {
    /// Takes pixels.
    pub const fn new(x: f64, y: f64) -> Pixel {
        Pixel { x, y }
    }

    /// How many pixels it is to the other.
    pub fn distance(self, to: Pixel) -> f64 {
        (to.x - self.x).hypot(to.y - self.y)
    }
}
