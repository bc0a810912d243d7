//! Shapes as the pressing search takes them: fine bends simplified, and as much
//! more kept clear.

use measure::{Angle, Length};
use nest::{Bed, Turns};
use outline::{Outline, Point, Segment};
use stock::Face;

use crate::asks::class_of;
use crate::rules::KeptOut;

/// Fine bends are laid simplified by up to so much.
const PLAIN: Length = Length::mm(0.15);
/// Kept more than the judge asks for, which rounds.
pub(crate) const SURE: Length = Length::mm(0.006);
/// Stems keep so much more to the grain, which bends between where it is looked at.
const HELD: Angle = Angle::degrees(0.6);

/// An outline without its fine bends, and what that may be off.
pub(crate) fn plain(outline: &Outline) -> (Outline, Length) {
    let plain = outline.simplified(PLAIN);
    let corners = |it: &Outline| it.rings().map(|ring| ring.corners().len()).sum::<usize>();
    let off = if corners(outline) == corners(&plain) { Length::ZERO } else { PLAIN };
    (plain, off)
}

/// How a thing with these stems may be turned; in a matching set its length runs
/// with the grain too.
pub(crate) fn turns(stems: &[(Segment, Angle)]) -> Turns {
    let held = |within: Angle| (within - HELD).max(within * 0.5);
    match stems {
        [] => Turns::Any,
        stems => Turns::Grain(stems.iter().map(|&(line, within)| (line, held(within))).collect()),
    }
}

/// What is true of all things that are laid on a face.
#[derive(Clone, Copy)]
pub(crate) struct Things {
    /// The way that they keep from its edge.
    pub(crate) edge: Length,
    /// What their plain shapes may be off.
    pub(crate) off: Length,
    /// Whether some have a live edge.
    pub(crate) live: bool,
}

/// A face ready for the pressing search.
pub(crate) fn bed<'a>(
    face: &Face,
    kept_out: &[KeptOut],
    Things { edge, off, live }: Things,
    grain: impl Fn(Point) -> Angle + Send + Sync + 'a,
) -> Bed<'a> {
    let (outline, wood_off) = plain(&face.outline);
    let edge = edge + off + wood_off + SURE;
    let bed = if live { Bed::with_live_edges(&outline, edge) } else { Bed::new(&outline, edge) };
    let with = |bed: Bed<'a>, fault: &KeptOut| {
        let (area, fault_off) = plain(&Outline::from(fault.area.clone()));
        bed.with_bad(&area, class_of(fault), fault.clear + off + fault_off + SURE)
    };
    kept_out.iter().fold(bed, with).with_grain(Box::new(grain))
}
