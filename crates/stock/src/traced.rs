//! A line traced from a photograph, and what its maker asks of it.

use measure::{Length, Problem};
use outline::{Fit, Fitted, Point, Ring};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// A traced line as it was found, so that it can be made smooth anew without
/// its photograph.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct TracedLine {
    /// As it was found, at its true size.
    pub drawn: Ring,
    /// Where it keeps corners.
    pub corners: Vec<Point>,
    /// No bend is tighter than this, corners left out; zero for no matter.
    pub least_radius: Length,
    /// How far the smooth line may leave the drawn one.
    pub stray: Length,
    /// Whether both halves are made each other's mirror image.
    pub symmetric: bool,
}

/// A photograph tells a line to about this much: a cell of 1200 along a board.
const PLAIN_STRAY: Length = Length::mm(0.5);

/// A small thing may stray no more than this share of its size.
const STRAY_SHARE: f64 = 0.0025;

impl TracedLine {
    /// A line with nothing asked but that its roughness goes: it strays half a
    /// millimetre, and no bend is tighter than twice that.
    pub fn plain(drawn: Ring) -> TracedLine {
        let size = drawn.bounds().width().max(drawn.bounds().height());
        let stray = PLAIN_STRAY.min(size * STRAY_SHARE);
        TracedLine { drawn, corners: Vec::new(), least_radius: stray * 2.0, stray, symmetric: false }
    }

    /// The smooth line.
    ///
    /// # Errors
    /// Something asked is out of its range, or the line would cross itself.
    pub fn fitted(&self) -> Result<Fitted, Problem> {
        self.drawn.fitted(&Fit {
            corners: self.corners.clone(),
            least_radius: self.least_radius,
            stray: self.stray,
            symmetric: self.symmetric,
        })
    }
}
