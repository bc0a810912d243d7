//! How a board hangs from its hole.

use measure::{Angle, Figure};
use outline::Point;
use stock::{Change, FeatureId, Finding, Grade, Mending};

use super::checks::spot;
use super::hole::{far, needs};
use super::standing::weight;
use crate::making::{Laid, Making};
use measure::Length;

/// An eye sees a board hang crooked from here on (common practice, no source).
const CROOKED: Angle = Angle::degrees(4.0);

/// Finding `hangs crooked`: its weight does not lie under the hole on the line
/// of the board's length or width.
pub(super) fn check(making: &mut Making, part: &Laid, hole: FeatureId, at: Point, diameter: Length) {
    let Some(weight) = weight(part) else { return };
    let down = at.direction(weight.at);
    let axes = [Angle::ZERO, Angle::degrees(90.0)];
    let nearer = |a: &Angle, b: &Angle| {
        down.between_lines(*a).to_degrees().total_cmp(&down.between_lines(*b).to_degrees())
    };
    let Some(axis) = axes.into_iter().min_by(nearer) else { return };
    let off = down.between_lines(axis);
    if off <= CROOKED {
        return;
    }
    let units = making.units();
    let straight =
        if axis == Angle::ZERO { Point::new(at.x, weight.at.y) } else { Point::new(weight.at.x, at.y) };
    let aside = straight.distance(at);
    let mut mendings = Vec::new();
    if far(part, straight) >= needs(diameter) {
        let change = Change::Hole { pattern: part.pattern.id, hole, at: straight, diameter };
        mendings.push(Mending::by(change, format!("move the hole {} sideways", units.length(aside))));
    }
    mendings.push(Mending::by_hand("leave it so, if it is to hang at a slant"));
    making.find(Finding {
        grade: Grade::Note,
        rule: "hangs crooked".to_owned(),
        what: format!("{} hangs {:.0}° off straight", part.name, off.to_degrees()),
        spot: spot(part, at),
        figure: Figure::new("off straight", format!("{:.1}°", off.to_degrees()))
            .by("angle between the board's length or width and the line from the hole to its middle of gravity", "statics: a body hangs with its weight under the hook")
            .from("hole to the middle of gravity", units.length(at.distance(weight.at)))
            .from("of it sideways", units.length(aside)),
        limit: format!("{:.0}°", CROOKED.to_degrees()),
        why: "it looks like a mistake on the wall".to_owned(),
        mendings,
    });
}

#[cfg(test)]
mod tests {
    use stock::{Feature, FeatureKind};

    use super::*;
    use crate::fixture::{brief, routed, told};

    #[test]
    fn a_hole_in_line_with_the_weight_hangs_straight_and_another_is_moved_there() {
        // The board is 380 by 220 mm, its middle of gravity at (190, 110).
        let mut brief = brief();
        let hole = |y| FeatureKind::HangingHole { at: Point::new(350.0, y), diameter: Length::mm(10.0) };
        brief.patterns[1].features = vec![Feature { id: FeatureId(1), kind: hole(115.0) }];
        assert!(told(&routed(&brief), "hangs crooked").is_empty(), "5 in 160 is 1.8°");
        brief.patterns[1].features[0].kind = hole(140.0);
        let route = routed(&brief);
        let [finding] = told(&route, "hangs crooked")[..] else { panic!() };
        assert_eq!(finding.figure.value, "10.6°", "atan(30 / 160)");
        let Some(Change::Hole { at, diameter, .. }) = finding.mendings[0].change else { panic!() };
        brief.patterns[1].features[0].kind = FeatureKind::HangingHole { at, diameter };
        assert!(told(&routed(&brief), "hangs crooked").is_empty());
    }
}
