//! Blind holes in the underside for magnets and threaded inserts.

use measure::{Figure, Length};
use outline::Point;
use stock::{Change, Feature, FeatureId, FeatureKind, Finding, Grade, LetIn, Mending};

use super::checks::spot;
use crate::making::{Laid, Making};
use crate::{Fixing, Held};

/// Left over a pocket, so that neither the bit's point nor wear opens it (common
/// practice, no source).
const COVER: Length = Length::mm(3.0);

/// A pocket as the pattern has it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Pocket {
    pub(super) id: FeatureId,
    pub(super) at: Point,
    pub(super) diameter: Length,
    pub(super) depth: Length,
    pub(super) holds: LetIn,
}

impl Pocket {
    pub(super) fn of(feature: &Feature) -> Option<Pocket> {
        let FeatureKind::Pocket { at, diameter, depth, holds } = feature.kind else { return None };
        Some(Pocket { id: feature.id, at, diameter, depth, holds })
    }

    /// What is let in: `magnet`.
    pub(super) const fn word(&self) -> &'static str {
        match self.holds {
            LetIn::Magnet => "magnet",
            LetIn::ThreadedInsert => "threaded insert",
        }
    }

    /// The wood above its mouth: a hollow over any of it takes its depth away.
    fn top(&self, part: &Laid) -> Length {
        let over = part
            .pattern
            .hollows()
            .filter(|(_, area, ..)| area.contains(self.at) || area.distance(self.at) < self.diameter / 2.0);
        part.want.thickness - over.map(|it| it.2).fold(Length::ZERO, Length::max)
    }

    pub(super) fn fixing(&self, part: &Laid) -> Fixing {
        Fixing {
            part: part.key,
            pattern: part.pattern.id,
            feature: self.id,
            at: self.at,
            along: measure::Angle::ZERO,
            holes: vec![self.at],
            top: self.top(part),
            held: Held::Sunk { diameter: self.diameter, depth: self.depth, holds: self.holds },
        }
    }
}

/// Finding `pocket comes through`.
pub(super) fn check(making: &mut Making, part: &Laid, pocket: &Pocket) {
    let top = pocket.top(part);
    let left = top - pocket.depth;
    if left >= COVER {
        return;
    }
    let units = making.units();
    let mut mendings = Vec::new();
    let to = top - COVER;
    if to > Length::ZERO {
        let change = Change::Depth { pattern: part.pattern.id, feature: pocket.id, to };
        mendings.push(Mending::by(change, format!("make the pocket {} deep", units.length(to))));
    }
    mendings.push(Mending::by_hand(format!(
        "take a shorter {}, or move it to where the top is thicker",
        pocket.word()
    )));
    making.find(Finding {
        grade: if left <= Length::ZERO { Grade::Stop } else { Grade::Mend },
        rule: "pocket comes through".to_owned(),
        what: format!("{} of wood are left over the {} of {}", units.length(left), pocket.word(), part.name),
        spot: spot(part, pocket.at),
        figure: Figure::new("wood over the pocket", units.length(left))
            .by("thickness - hollow above - depth", "common practice, no source")
            .from("wood above its mouth", units.length(top))
            .from("depth", units.length(pocket.depth)),
        limit: units.length(COVER),
        why: "a thin skin breaks under a knife or a cup, and water gets in".to_owned(),
        mendings,
    });
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixture::{brief, disc, of_kind, routed, told};
    use crate::{MarkKind, OperationKind};

    fn pocket(depth: f64) -> Feature {
        let (at, diameter) = (Point::new(190.0, 110.0), Length::mm(12.0));
        let kind = FeatureKind::Pocket { at, diameter, depth: Length::mm(depth), holds: LetIn::Magnet };
        Feature { id: FeatureId(1), kind }
    }

    #[test]
    fn a_pocket_keeps_its_cover_and_is_offered_the_depth_that_does() {
        let mut brief = brief();
        brief.patterns[1].features = vec![pocket(10.0)];
        let route = routed(&brief);
        assert!(told(&route, "pocket comes through").is_empty());
        let mut marks = of_kind(&route, OperationKind::Drill).into_iter().flat_map(|it| &it.marks);
        assert!(marks.any(|it| it.is == MarkKind::Pocket && it.diameter == Length::mm(12.0)));
        // Thickness 19 mm, a hollow of 8 mm over it: 11 mm, 1 mm left of 3.
        let area = disc(Point::new(190.0, 110.0), 60.0, 48);
        let kind = FeatureKind::Hollow { area, depth: Length::mm(8.0), wall: measure::Angle::degrees(60.0) };
        brief.patterns[1].features.push(Feature { id: FeatureId(2), kind });
        let route = routed(&brief);
        let [finding] = told(&route, "pocket comes through")[..] else { panic!() };
        assert_eq!(finding.grade, Grade::Mend);
        let Some(Change::Depth { to, .. }) = finding.mendings[0].change else { panic!() };
        assert!((to - Length::mm(8.0)).abs() < Length::mm(1e-9), "{to:?}");
        brief.patterns[1].features[0] = pocket(to.to_mm());
        assert!(told(&routed(&brief), "pocket comes through").is_empty());
        brief.patterns[1].features[0] = pocket(12.0);
        assert_eq!(told(&routed(&brief), "pocket comes through")[0].grade, Grade::Stop);
    }
}
