//! Shapes as the pressing search takes them: fine bends simplified, and as much
//! more kept clear.

use measure::{Angle, Length};
use nest::{Bed, Turns};
use outline::{Outline, Point, Segment};
use stock::{Choices, Face};

use crate::ground::is_kept_out;

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

/// How a thing with these stems may be turned.
pub(crate) fn turns(stems: &[(Segment, Angle)]) -> Turns {
    let held = |within: Angle| (within - HELD).max(within * 0.5);
    match stems {
        [] => Turns::Any,
        stems => Turns::Grain(stems.iter().map(|&(line, within)| (line, held(within))).collect()),
    }
}

/// A face on which things that are off by `off` keep `edge` clear.
pub(crate) fn bed<'a>(
    face: &Face,
    choices: &Choices,
    edge: Length,
    off: Length,
    grain: impl Fn(Point) -> Angle + Send + Sync + 'a,
) -> Bed<'a> {
    let (outline, mut wood_off) = plain(&face.outline);
    let mut hard = Vec::new();
    for zone in face.zones.iter().filter(|zone| is_kept_out(zone, choices)) {
        let (area, zone_off) = plain(&Outline::from(zone.area.clone()));
        wood_off = wood_off.max(zone_off);
        hard.push(area);
    }
    let bed = Bed::new(&outline, edge + off + wood_off + SURE);
    hard.iter().fold(bed, |bed, area| bed.with_bad(area, 1)).with_grain(Box::new(grain))
}
