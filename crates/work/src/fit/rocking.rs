//! Whether a board without feet still lies flat through the year.

use handbook::{Species, cup, percent};
use measure::{Figure, Length};
use stock::{FaceKey, Finding, Grade, Mending};

use crate::making::{Laid, Making};
use crate::moisture::{PITH, SWING, across, year};

/// A board rocks when its middle stands so far off its edges (common practice,
/// no source: a thick card slips under).
const ROCKS: Length = Length::mm(0.8);

/// Finding `may rock on the table`: a board sawn from one piece, without feet,
/// cups from winter to summer. A panel's strips are turned against each other;
/// it is looked at as a whole.
pub(super) fn check(making: &mut Making, part: &Laid) {
    let FaceKey::Piece(piece) = part.placement.face else { return };
    let Ok(face) = making.brief.face(FaceKey::Piece(piece)) else { return };
    let width = across(part.placement.outline.outer(), face.grain.overall);
    let (dry, wet) = year(making);
    let cups = |it: &Species| cup(it, width, PITH, wet, dry).abs();
    let Some(worst) = part.woods.iter().map(|it| cups(it)).reduce(Length::max) else { return };
    if worst <= ROCKS {
        return;
    }
    let units = making.units();
    making.find(Finding {
        grade: Grade::Note,
        rule: "may rock on the table".to_owned(),
        what: format!(
            "{} is {} wide across the grain and has no feet: flat-sawn, its middle moves {} against its edges through the year",
            part.name,
            units.length(width),
            units.fine_length(worst)
        ),
        spot: part.spot_within(),
        figure: Figure::new("cup through a year", units.fine_length(worst))
            .by("rings that stay round as the wood shrinks along them more than across", "closed form, checked against finite elements; distance of the pith: estimate")
            .from("width across the grain", units.length(width))
            .from("distance of the pith", units.length(PITH))
            .from("swing of moisture in a year", percent(SWING)),
        limit: units.fine_length(ROCKS),
        why: "a board that rocks slides under the knife".to_owned(),
        mendings: vec![
            Mending::by_hand("put feet or battens under its edges"),
            Mending::by_hand("take a quarter-sawn piece, whose rings stand upright at the end"),
            Mending::by_hand("put the bark side down: as it dries it then stands on its edges"),
        ],
    });
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixture::{PADDLE, brief, routed, told};
    use measure::Angle;
    use outline::{Outline, Point, Ring};
    use stock::{Feature, FeatureId, FeatureKind};

    #[test]
    fn a_wide_board_without_feet_may_rock_and_one_with_feet_is_left_alone() {
        let mut brief = brief();
        assert!(told(&routed(&brief), "may rock on the table").is_empty(), "200 mm of walnut");
        // Hard maple, 320 mm wide: half of it seen from the pith 58°; 100 · 1.01 · tan
        // 58° · (0.00353 - 0.00165) · 4 = 1.2 mm (coefficients: table 13-5).
        brief.pieces[0].species = handbook::SpeciesKey::from("hard_maple");
        let paddle = brief.patterns.iter_mut().find(|it| it.id == PADDLE).unwrap();
        paddle.features.clear();
        let wide = Ring::rectangle(Length::mm(300.0), Length::mm(320.0)).unwrap();
        paddle.outline = Outline::from(wide);
        let route = routed(&brief);
        let [finding] = told(&route, "may rock on the table")[..] else { panic!("{:?}", route.findings) };
        assert_eq!(finding.grade, Grade::Note);
        let side = Length::mm(40.0);
        let kind = FeatureKind::FootSeat {
            at: Point::new(150.0, 160.0),
            along: Angle::ZERO,
            length: side,
            width: side,
            height: Length::mm(15.0),
        };
        let paddle = brief.patterns.iter_mut().find(|it| it.id == PADDLE).unwrap();
        paddle.features = vec![Feature { id: FeatureId(1), kind }];
        assert!(told(&routed(&brief), "may rock on the table").is_empty());
    }
}
