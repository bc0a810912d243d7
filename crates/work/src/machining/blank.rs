//! What goes over the machines in one: its size, and what is taken of it.

use measure::{Area, Length};
use stock::{FaceKey, Panel, Piece, Spot};

use super::ladder::Ladder;
use super::lengths::{Along, Lengths};
use super::{before_glue_up, needed, thickness_when_sawn};
use crate::Workpiece;
use crate::making::{Laid, Making};

const BARE: &str = "to make it bare and flat";
const PARALLEL: &str = "to make it parallel and to thickness";
const SANDED: &str = "sanded away, both faces together";
const THICKNESS: &str = "thickness from rough to finished";

/// Until when a planed thickness stays.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Until {
    /// Strips are planed again as a panel.
    GlueUp,
    /// Faces are only sanded after it.
    Sanding,
}

impl Until {
    /// What the thickness is called on the set-up card.
    pub(super) const fn label(self) -> &'static str {
        match self {
            Until::GlueUp => "thickness before glue-up",
            Until::Sanding => "thickness before sanding",
        }
    }
}

/// A piece in its lengths, a panel or a part, as it is made flat and planed.
pub(super) struct Blank {
    pub(super) name: String,
    pub(super) workpiece: Workpiece,
    pub(super) spot: Spot,
    /// Along the grain, the shortest if there are several.
    pub(super) length: Length,
    /// The longest of them.
    pub(super) longest: Length,
    pub(super) count: usize,
    /// Across the grain.
    pub(super) width: Length,
    /// Of all faces that are fed on one side.
    pub(super) area: Area,
    /// The least wood at an end that is cut away again.
    pub(super) spare: Length,
    /// The thickness before the first face.
    pub(super) now: Length,
    /// The thickness when planed.
    pub(super) to: Length,
    pub(super) until: Until,
    pub(super) ladder: Ladder,
    first: Length,
}

impl Blank {
    /// A piece from the rack, if anything lies on it.
    pub(super) fn piece(making: &Making, wood: &Piece, lengths: &Lengths, parts: &[Laid]) -> Option<Blank> {
        let key = FaceKey::Piece(wood.id);
        let to = needed(making, key, parts)?;
        let holds_parts = parts.iter().any(|it| it.placement.face == key);
        let until = if holds_parts { Until::Sanding } else { Until::GlueUp };
        let first = first_face(making, wood.thickness, to);
        let ladder = Ladder::fine(THICKNESS, "rough", wood.thickness)
            .then("after the first face", wood.thickness - first, BARE)
            .then("after planing", to, PARALLEL);
        let allowances = making.brief.kit.allowances;
        let ladder = match until {
            Until::Sanding => ladder.then("finished", to - allowances.sanding * 2.0, SANDED),
            Until::GlueUp => ladder.then("planed as a panel", to - allowances.planing, "after glue-up"),
        };
        let along = Along::of(wood.face.grain.overall);
        let (length, longest) = lengths.ends();
        Some(Blank {
            name: wood.name.clone(),
            workpiece: Workpiece::Piece(wood.id),
            spot: Spot::Piece { piece: wood.id },
            length,
            longest,
            count: lengths.each.len(),
            width: along.across(wood.face.outline.bounds()),
            area: wood.face.area() * lengths.share(),
            spare: lengths.spare,
            now: wood.thickness,
            to,
            until,
            ladder,
            first,
        })
    }

    /// A glued panel before its ends are trimmed, if any part lies on it.
    pub(super) fn panel(making: &Making, panel: &Panel, parts: &[Laid]) -> Option<Blank> {
        let key = FaceKey::Panel(panel.id);
        let to = needed(making, key, parts)?.min(panel.thickness);
        let allowances = making.brief.kit.allowances;
        let now = before_glue_up(making, panel);
        let first = first_face(making, now, to);
        let ladder = Ladder::fine(THICKNESS, "glued up", now)
            .then("after the first face", now - first, BARE)
            .then("after planing", to, PARALLEL)
            .then("finished", to - allowances.sanding * 2.0, SANDED);
        let bounds = making.brief.face(key).ok()?.outline.bounds();
        let whole = Along::X.span(bounds);
        let own = parts.iter().filter(|it| it.placement.face == key);
        let spans = own.map(|it| Along::X.span(it.placement.outline.bounds()).spare_in(whole));
        let length = panel.length + allowances.trim * 2.0;
        Some(Blank {
            name: panel.name.clone(),
            workpiece: Workpiece::Panel(panel.id),
            spot: Spot::Panel { panel: panel.id },
            length,
            longest: length,
            count: 1,
            width: panel.width(),
            area: length * panel.width(),
            spare: allowances.trim + spans.reduce(Length::min).unwrap_or(Length::ZERO),
            now,
            to,
            until: Until::Sanding,
            ladder,
            first,
        })
    }

    /// A part that was sawn out of a face which is thicker than it.
    pub(super) fn thin_part(making: &Making, part: &Laid, parts: &[Laid]) -> Blank {
        let sanding = making.brief.kit.allowances.sanding;
        let (now, to) = (thickness_when_sawn(making, part, parts), part.planed(sanding));
        let grain = making.brief.face(part.placement.face).map(|it| it.grain.overall);
        let along = Along::of(grain.unwrap_or(measure::Angle::ZERO));
        let bounds = part.placement.outline.bounds();
        let length = along.span(bounds).length();
        Blank {
            name: part.name.clone(),
            workpiece: part.workpiece(),
            spot: part.spot_within(),
            length,
            longest: length,
            count: 1,
            width: along.across(bounds),
            area: part.placement.outline.area(),
            spare: Length::ZERO,
            now,
            to,
            until: Until::Sanding,
            ladder: Ladder::fine(THICKNESS, "when sawn out", now)
                .then("after planing", to, "to its own thickness")
                .then("finished", to - sanding * 2.0, SANDED),
            first: Length::ZERO,
        }
    }

    /// What the first face takes.
    pub(super) fn for_first_face(&self) -> Length {
        self.first
    }

    /// The thickness when one face is flat.
    pub(super) fn after_first_face(&self) -> Length {
        self.now - self.first
    }

    /// What is left for the second face.
    pub(super) fn for_planing(&self) -> Length {
        (self.after_first_face() - self.to).max(Length::ZERO)
    }
}

/// Half of all that goes, so that the wood stays in balance, but no more than
/// the allowance: the rest is planed off.
fn first_face(making: &Making, now: Length, to: Length) -> Length {
    let planing = making.brief.kit.allowances.planing;
    ((now - to) / 2.0).min(planing).max(Length::ZERO)
}
