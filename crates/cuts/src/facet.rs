//! Straight cuts across outside corners, where the blade left too much wood.

use measure::Length;
use outline::Point;
use stock::{SawCut, SawCutKind};

use crate::heading::Heading;
use crate::lead::{BEYOND, Ground};
use crate::line::MOST_LEFT;
use crate::part::{Sawn, Setting};
use crate::straight::Straight;

/// No part gets more of them.
const MOST: usize = 12;

/// A part that lies loose in the hands is not led to the blade if it is shorter
/// than this (common practice, no source).
const LEAST_LOOSE: Length = Length::inches(6.0);

/// Facets are cut while too much stands out anywhere.
pub(crate) fn corners(setting: &Setting, sawn: &mut Sawn) {
    let bounds = setting.line.wanted.outline.bounds();
    if bounds.width().max(bounds.height()) < LEAST_LOOSE {
        return;
    }
    for _ in 0..MOST {
        let (left, at) = setting.left(&sawn.wood);
        if left <= MOST_LEFT {
            return;
        }
        let Some(cut) = across(setting, sawn, at) else { return };
        let before = sawn.clone();
        if setting.apply(sawn, cut).is_none() || setting.left(&sawn.wood).1 == at {
            *sawn = before;
            return;
        }
    }
}

/// A straight cut that takes a corner off: square to the way from the part's
/// line to the corner, as near to the line as any cut comes.
fn across(setting: &Setting, sawn: &Sawn, corner: Point) -> Option<SawCut> {
    let line = setting.line;
    let part = line.wanted.outline.outer();
    let nearest = part.edges().map(|it| it.nearest(corner));
    let foot = nearest.min_by(|a, b| a.distance(corner).to_mm().total_cmp(&b.distance(corner).to_mm()))?;
    let outward = Heading::toward(foot, corner)?;
    let off = line.fence.off();
    let place = outward.from(foot, off);
    let ground = setting.ground(&sawn.wood);
    let straight = straight(&ground, place, outward.left())?;
    Some(straight.cut(SawCutKind::Facet, vec![line.wanted.part], line.blade.id))
}

/// A straight way through the wood at a place, as far as it goes on each side;
/// none if it would come too near to a part or the column.
fn straight(ground: &Ground, at: Point, heading: Heading) -> Option<Straight> {
    let side =
        |direction: Heading| direction.from(at, ground.wood.way_out(at, direction, ground.room()) + BEYOND);
    let (from, to) = (side(heading.back()), side(heading));
    ground.is_free(from, to, heading).then_some(Straight { from, to })
}
