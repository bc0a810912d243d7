//! What an instance of placing asks for, in millimetres.

use measure::{Angle, Length};
use nest::{Bed, Grain, Kind};
use outline::{Outline, Point, Ring};

/// One instance.
pub(crate) struct Instance {
    pub(crate) name: String,
    /// The kinds, and how many there are of each.
    pub(crate) kinds: Vec<(Kind, usize)>,
    /// What they are laid on; none for a strip.
    pub(crate) faces: Vec<Face>,
    /// The clear way that things keep between them.
    pub(crate) gap: Length,
    pub(crate) aim: Aim,
}

/// What makes a layout good.
pub(crate) enum Aim {
    /// Everything on a strip of this width, as short as can be; a millimetre is
    /// so many of the instance's own units.
    Strip { width: Length, units: f64 },
    /// The most value; what others reached, or what is known to be possible.
    Value { known: f64, of: Known },
    /// Everything, on as few faces as can be.
    Faces,
}

/// What a known value is.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Known {
    /// A peer reached it.
    Peer,
    /// Nothing better is possible.
    Best,
    /// The things were cut from the wood so.
    Cut,
}

/// One face that things are laid on.
pub(crate) struct Face {
    pub(crate) outline: Outline,
    pub(crate) edge: Length,
    /// Places for some kinds only, with the bit of their class.
    pub(crate) bad: Vec<(Ring, u64)>,
    /// The way the grain runs.
    pub(crate) grain: Option<fn(Point) -> Angle>,
}

/// Kept more than asked for, so that no rounding makes a layout that the judge
/// refuses.
const SURE: Length = Length::mm(0.002);

impl Face {
    pub(crate) fn bed(&self) -> Bed<'_> {
        let bed = Bed::new(&self.outline, self.edge + SURE);
        let bed = self.bad.iter().fold(bed, |bed, (area, class)| {
            bed.with_bad(&Outline::from(area.clone()), *class, self.edge + SURE)
        });
        match self.grain {
            Some(grain) => bed.with_grain(Box::new(grain) as Grain),
            None => bed,
        }
    }
}

impl Instance {
    pub(crate) fn area(&self) -> f64 {
        self.kinds.iter().map(|(kind, count)| kind.outline.area().to_mm2() * *count as f64).sum()
    }

    pub(crate) fn value(&self) -> f64 {
        self.kinds.iter().map(|(kind, count)| kind.value * *count as f64).sum()
    }

    /// The fewest faces whose area is no less than that of all things; none is
    /// possible with fewer.
    pub(crate) fn fewest_faces(&self) -> usize {
        let mut areas: Vec<f64> = self.faces.iter().map(|it| it.outline.area().to_mm2()).collect();
        areas.sort_by(|one, other| other.total_cmp(one));
        let mut left = self.area();
        let needed = areas.iter().take_while(|area| {
            let open = left > 0.0;
            left -= **area;
            open
        });
        needed.count()
    }
}
