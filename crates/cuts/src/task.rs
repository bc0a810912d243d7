//! What is to be sawn, and with what.

use measure::Length;
use outline::{Outline, Point};
use stock::{BladeId, FaceKey, PartKey, SawCut, SawHole, SawWish};

/// A face with its parts, and the saw.
#[derive(Clone, Debug)]
pub struct Task<'a> {
    /// Which face.
    pub face: FaceKey,
    /// The wood.
    pub wood: &'a Outline,
    /// The parts on it.
    pub parts: Vec<Wanted<'a>>,
    /// Places of the wood that no blade should run along; a straight cut takes
    /// them away first, where one can.
    pub faults: Vec<Outline>,
    /// From the blade to the column.
    pub throat: Length,
    /// The blades that may be used.
    pub blades: Vec<BladeSize>,
    /// The widest hole that can be drilled.
    pub widest_bit: Length,
    /// Left on outside of each line, for the sander.
    pub spare: Length,
    /// What the planning is for.
    pub wish: SawWish,
    /// The blade that comes first wherever it can saw, if one does.
    pub prefer: Option<BladeId>,
    /// Cuts that come before all others.
    pub first: Vec<SawCut>,
    /// Holes in openings of the parts, which no cut of the bandsaw needs.
    pub starts: Vec<SawHole>,
}

/// A part to be sawn out.
#[derive(Clone, Copy, Debug)]
pub struct Wanted<'a> {
    /// Which.
    pub part: PartKey,
    /// Its finished outline on the face.
    pub outline: &'a Outline,
    /// The blade that the maker has chosen for it.
    pub blade: Option<BladeId>,
}

impl Wanted<'_> {
    /// A point of the part: where it lies, the part lies.
    pub(crate) fn within(&self) -> Point {
        self.outline.outer().corners()[0]
    }
}

/// What the planning has to know of a blade.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BladeSize {
    /// Which.
    pub id: BladeId,
    /// From the tips of the teeth to the back.
    pub width: Length,
    /// How thick its band is.
    pub band: Length,
    /// The width of the cut that it leaves.
    pub kerf: Length,
    /// The least radius that it turns, of the middle of its kerf.
    pub least_radius: Length,
    /// Whether as many of its teeth stand in the work as should; other blades
    /// come first.
    pub teeth_suit: bool,
}

/// A blade stands askew in its kerf by no more than this, radians: about what the
/// trade's chart asks of the narrowest blade (common practice, no source).
const MOST_ASKEW: f64 = 0.32;

impl BladeSize {
    /// The radius that ways are planned with, millimetres: the least, but no less
    /// than where the blade as a chord stands too far askew (half its width over
    /// the radius). That is more than the chart has for the narrowest blades.
    pub(crate) fn planned_radius(&self) -> f64 {
        self.least_radius.to_mm().max(self.width.to_mm() / (2.0 * MOST_ASKEW))
    }

    /// From a part's line to the middle of the kerf beside it, millimetres.
    pub(crate) fn off(&self, spare: Length) -> f64 {
        (self.kerf / 2.0 + spare).to_mm()
    }

    /// Whether its numbers can be those of a blade.
    pub(crate) fn is_sound(&self) -> bool {
        let sizes = [self.width, self.band, self.kerf, self.least_radius];
        sizes.iter().all(|it| *it > Length::ZERO && *it < Length::mm(1000.0)) && self.kerf > self.band
    }
}
