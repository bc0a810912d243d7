//! Bought handles, held by two screws through the part.

use measure::{Angle, Figure, Length};
use outline::Point;
use stock::{Change, Feature, FeatureId, FeatureKind, Finding, Grade, Mending};

use super::checks::spot;
use super::feet::{PLAY, SLOT_PLAY, movement_between, off_the_grain};
use crate::hold::height;
use crate::making::{Laid, Making};
use crate::{Fixing, Held};

/// A washer covers a slot up to so many times the screw's diameter (common
/// practice, no source: usual washers are a little over twice the screw).
const WASHER: f64 = 2.0;

/// A handle as the pattern has it, and its holes.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Handle {
    pub(super) id: FeatureId,
    at: Point,
    along: Angle,
    apart: Length,
    pub(super) screw: Length,
    /// The round hole.
    pub(super) hole: Length,
    /// The other one's length, if the wood moves more than the play.
    pub(super) slot: Option<Length>,
    /// How far the wood moves between the screws.
    moved: Option<(Length, Figure)>,
    /// The wood that its screws go through.
    pub(super) grip: Length,
}

impl Handle {
    pub(super) fn of(making: &Making, part: &Laid, feature: &Feature) -> Option<Handle> {
        let FeatureKind::Handle { at, along, apart, screw } = feature.kind else { return None };
        let off = off_the_grain(making, part, at, along).map(|it| it.0);
        let moved = off.and_then(|off| movement_between(making, part, apart, off));
        let more = moved.as_ref().map(|it| it.0).filter(|it| *it > PLAY);
        let slot = more.map(|moved| screw + moved + SLOT_PLAY);
        let grip = height(part, at);
        Some(Handle { id: feature.id, at, along, apart, screw, hole: screw + PLAY, slot, moved, grip })
    }

    /// Where its holes are on the pattern.
    pub(super) fn holes(&self) -> [Point; 2] {
        let (half, sin, cos) = (self.apart.to_mm() / 2.0, self.along.sin(), self.along.cos());
        [-half, half].map(|it| Point::new(self.at.x + it * cos, self.at.y + it * sin))
    }

    /// How far the wood moves between its screws, if that asks for a slot.
    pub(super) fn slot_figure(&self, making: &Making) -> Option<Figure> {
        let (slot, (_, figure)) = (self.slot?, self.moved.clone()?);
        Some(figure.from("slot: screw + movement + 1 mm", making.units().fine_length(slot)))
    }

    pub(super) fn fixing(&self, part: &Laid) -> Fixing {
        Fixing {
            part: part.key,
            pattern: part.pattern.id,
            feature: self.id,
            at: self.at,
            along: self.along,
            holes: self.holes().to_vec(),
            top: self.grip,
            held: Held::Bolted { screw: self.screw, hole: self.hole, slot: self.slot },
        }
    }
}

/// Finding `handle across the grain`: its slot is longer than a washer covers.
pub(super) fn check(making: &mut Making, part: &Laid, handle: &Handle) {
    let most = handle.screw * WASHER;
    let (Some(slot), Some((moved, figure))) = (handle.slot, handle.moved.clone()) else { return };
    let Some((off, to)) = off_the_grain(making, part, handle.at, handle.along) else { return };
    if slot <= most {
        return;
    }
    let units = making.units();
    let change = Change::Turn { pattern: part.pattern.id, feature: handle.id, to };
    making.find(Finding {
        grade: Grade::Mend,
        rule: "handle across the grain".to_owned(),
        what: format!(
            "the handle of {} lies {:.0}° off the grain: the wood moves {} between its screws and would take a slot of {}",
            part.name,
            off.to_degrees(),
            units.fine_length(moved),
            units.fine_length(slot)
        ),
        spot: spot(part, handle.at),
        figure: Figure { name: "slot".to_owned(), value: units.fine_length(slot), ..figure }
            .from("movement between the screws", units.fine_length(moved))
            .from("screw", units.fine_length(handle.screw)),
        limit: units.fine_length(most),
        why: "metal holds the wood where it wants to move, and splits it; a longer slot shows beside its washer"
            .to_owned(),
        mendings: vec![
            Mending::by(change, "turn the handle to run with the grain"),
            Mending::by_hand("take a shorter handle, or washers that cover the slot"),
        ],
    });
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::OperationKind;
    use crate::fixture::{brief, of_kind, routed, told};

    fn handle(along: f64, apart: f64) -> Feature {
        let kind = FeatureKind::Handle {
            at: Point::new(190.0, 110.0),
            along: Angle::degrees(along),
            apart: Length::mm(apart),
            screw: Length::mm(3.5),
        };
        Feature { id: FeatureId(1), kind }
    }

    #[test]
    fn a_handle_along_the_grain_has_round_holes_and_one_across_a_slot() {
        let mut brief = brief();
        brief.kit.units = measure::Units::MILLIMETRES;
        brief.patterns[1].features = vec![handle(0.0, 160.0)];
        let route = routed(&brief);
        assert!(told(&route, "handle across the grain").is_empty());
        let settings = |route: &crate::Route| {
            let drilled = of_kind(route, OperationKind::Drill).into_iter();
            drilled
                .flat_map(|it| &it.set_up)
                .map(|it| format!("{}: {}", it.label, it.value))
                .collect::<Vec<_>>()
        };
        assert!(
            settings(&route).contains(&"holes for handle 1: 3.9 mm".to_owned()),
            "{:?}",
            settings(&route)
        );
        // Hard maple: 160 mm · 0.00353 · 4 = 2.26 mm (table 13-5); 3.5 + 2.26 + 1 = 6.76
        // mm, and a washer covers 7; at 200 mm it would be 7.32.
        brief.patterns[1].features = vec![handle(90.0, 160.0)];
        let route = routed(&brief);
        assert!(told(&route, "handle across the grain").is_empty());
        let slot = settings(&route).into_iter().find(|it| it.starts_with("slot for handle 1")).unwrap();
        assert!(slot.starts_with("slot for handle 1: 3.9 mm by 6.7"), "{slot}");
        brief.patterns[1].features = vec![handle(90.0, 200.0)];
        let route = routed(&brief);
        let [finding] = told(&route, "handle across the grain")[..] else { panic!() };
        let Some(Change::Turn { to, .. }) = finding.mendings[0].change else { panic!() };
        assert!(to.between_lines(Angle::ZERO).to_degrees() < 1e-9);
    }
}
