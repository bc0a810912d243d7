//! A part's line as one blade saws it: the way, its breaks, its holes.

use measure::Length;
use outline::{Outline, Ring, union};
use stock::SawHole;

use crate::fence::Fence;
use crate::pivot::{self, Pivot};
use crate::way::{Tight, Way};
use crate::{BladeSize, Wanted};

/// Inside bends that no blade follows are sawn on a circle so much wider than
/// the blade's least.
const WIDER: f64 = 1.15;

/// How exactly such a circle is drawn.
const EXACT: Length = Length::mm(0.05);

/// As much wood as may be left outside a line, from the line itself (common
/// practice, no source): more is a job for the saw, not for the sander.
pub const MOST_LEFT: Length = Length::inches(1.0 / 8.0);

/// A part's line as one blade saws it.
#[derive(Clone, Debug)]
pub(crate) struct Line<'a> {
    pub(crate) wanted: Wanted<'a>,
    pub(crate) blade: BladeSize,
    /// Around the part, off its line by half the kerf and the spare stock.
    pub(crate) fence: Fence,
    pub(crate) way: Way,
    /// Where the blade leaves the line and comes back: outside corners.
    pub(crate) breaks: Vec<Tight>,
    /// Where it turns in a hole: inside corners.
    pub(crate) pivots: Vec<Pivot>,
}

impl<'a> Line<'a> {
    /// None if the blade can follow nothing of it.
    pub(crate) fn new(
        wanted: Wanted<'a>,
        blade: BladeSize,
        spare: Length,
        widest_bit: Length,
    ) -> Option<Line<'a>> {
        let off = blade.off(spare);
        let fence = Fence::around(wanted.outline, off)?;
        let way = Way::along(&fence.ring, &blade);
        let tight = way.tight(&blade)?;
        let (inside, breaks): (Vec<Tight>, Vec<Tight>) = tight.into_iter().partition(|it| it.inside);
        let mut line = Line { wanted, blade, fence, way, breaks, pivots: Vec::new() };
        if inside.is_empty() {
            return Some(line);
        }
        let part = wanted.outline.outer();
        let filled = filled(&[line.fence.ring.clone().into()], &blade);
        let left = filled.as_ref().map_or(Length::mm(f64::MAX), |it| farthest(it, part) - blade.kerf / 2.0);
        let holes = if left > MOST_LEFT { pivot::all(&line, &inside, off, widest_bit) } else { None };
        if let Some(pivots) = holes {
            line.pivots = pivots;
        } else {
            let ring = filled?;
            line.way = Way::along(&ring, &blade);
            line.breaks = line.way.tight(&blade)?;
        }
        Some(line)
    }

    /// A way without holes; none if the blade can follow nothing of it.
    pub(crate) fn plain(wanted: Wanted<'a>, blade: BladeSize, fence: Fence, way: Way) -> Option<Line<'a>> {
        let breaks = way.tight(&blade)?;
        Some(Line { wanted, blade, fence, way, breaks, pivots: Vec::new() })
    }

    /// The holes to drill for it.
    pub(crate) fn holes(&self) -> impl Iterator<Item = SawHole> + '_ {
        self.pivots.iter().map(|it| it.hole(self.wanted.part))
    }

    /// The fewest cuts along the line: one between two breaks.
    pub(crate) fn least_cuts(&self) -> usize {
        self.breaks.len().max(1)
    }
}

/// The line around outlines with its inside bends filled, so far that the blade
/// follows them: what a disc of that radius cannot reach from outside. None if
/// that does not join them.
pub(crate) fn filled(outlines: &[Outline], blade: &BladeSize) -> Option<Ring> {
    let radius = Length::mm(blade.planned_radius() * WIDER);
    let grown: Vec<Outline> = outlines.iter().flat_map(|it| it.offset(radius, EXACT)).collect();
    let [grown] = &union(&grown)[..] else { return None };
    let grown = Outline::from(grown.outer().clone());
    Some(grown.offset(-radius, EXACT).first()?.outer().clone())
}

/// The farthest that a ring lies from another.
fn farthest(ring: &Ring, from: &Ring) -> Length {
    ring.corners().iter().map(|it| from.distance(*it)).fold(Length::ZERO, Length::max)
}
