//! Where the middle of a kerf must not come: around each part.

use measure::Length;
use outline::{Bounds, Outline, Point, Ring};

/// How exactly a fence is drawn.
const EXACT: Length = Length::mm(0.05);

/// A cut may come so much nearer to a part than its spare stock, millimetres:
/// where it leaves the line or comes to it.
const LEEWAY: f64 = 0.1;

/// The line that the middle of a kerf keeps to or stays outside of.
#[derive(Clone, Debug)]
pub(crate) struct Fence {
    pub(crate) ring: Ring,
    bounds: Bounds,
    off: f64,
}

impl Fence {
    /// Around a part, so many millimetres off; none if nothing is left of it.
    pub(crate) fn around(part: &Outline, off: f64) -> Option<Fence> {
        let filled = Outline::from(part.outer().clone());
        let ring = filled.offset(Length::mm(off), EXACT).first()?.outer().clone();
        Some(Fence { bounds: ring.bounds(), ring, off })
    }

    /// How far it runs off the part's line, millimetres.
    pub(crate) fn off(&self) -> f64 {
        self.off
    }

    /// Whether a place is farther inside than a cut may come.
    pub(crate) fn bars(&self, at: Point) -> bool {
        let (low, high) = (self.bounds.low, self.bounds.high);
        let near = at.x >= low.x && at.x <= high.x && at.y >= low.y && at.y <= high.y;
        near && self.ring.contains(at) && self.ring.distance(at).to_mm() > LEEWAY
    }
}
