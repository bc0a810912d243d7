//! Holes, feet, battens, handles and what is let in.

mod checks;
mod drill;
mod edges;
mod feet;
mod fitting;
mod handle;
mod hang;
mod hole;
mod pocket;
mod rocking;
mod standing;

use crate::fit::feet::{Fastening, Foot, feet};
use crate::fit::handle::Handle;
use crate::fit::pocket::Pocket;
use crate::making::{Laid, Making};
use crate::{Mark, MarkKind};

/// What is held on or in a part, or hung by.
pub(crate) struct Fixed<'a> {
    part: &'a Laid<'a>,
    /// The feet and battens that a screw can hold; the others have their finding.
    feet: Vec<(Foot, Fastening)>,
    handles: Vec<Handle>,
    pockets: Vec<Pocket>,
    /// Its hanging holes.
    holes: Vec<Mark>,
}

impl<'a> Fixed<'a> {
    fn of(making: &Making, part: &'a Laid<'a>) -> Fixed<'a> {
        let features = &part.pattern.features;
        let held = |foot: Foot| Some((foot, foot.fastening(part).ok()?));
        let hole = |(_, at, diameter)| Mark { part: part.key, at, diameter, is: MarkKind::HangingHole };
        Fixed {
            part,
            feet: feet(features).filter_map(held).collect(),
            handles: features.iter().filter_map(|it| Handle::of(making, part, it)).collect(),
            pockets: features.iter().filter_map(Pocket::of).collect(),
            holes: part.pattern.hanging_holes().map(hole).collect(),
        }
    }

    /// Whether anything is put on or in once the part is finished.
    fn holds_anything(&self) -> bool {
        !(self.feet.is_empty() && self.handles.is_empty() && self.pockets.is_empty())
    }
}

/// Looks at all that is held on the parts or that they hang by.
pub(crate) fn looked_at<'a>(making: &mut Making, parts: &'a [Laid<'a>]) -> Vec<Fixed<'a>> {
    let fixed: Vec<Fixed> = parts.iter().map(|part| Fixed::of(making, part)).collect();
    checks::parts(making, &fixed);
    fixed
}

/// Drills every part that something is held on or hung by, and makes its feet.
pub(crate) fn drill(making: &mut Making, parts: &[Fixed]) {
    for fixed in parts {
        if fixed.holds_anything() || !fixed.holes.is_empty() {
            let operation = drill::drilling(making, fixed);
            making.add(operation);
        }
        if !fixed.feet.is_empty() {
            let operation = drill::making_feet(making, fixed);
            making.add(operation);
        }
    }
}

/// Screws on feet and handles and lets in the rest, once the finish may be handled.
pub(crate) fn screw_on(making: &mut Making, parts: &[Fixed]) {
    for fixed in parts.iter().filter(|it| it.holds_anything()) {
        let operation = fitting::fitting(making, fixed);
        making.add(operation);
    }
}

#[cfg(test)]
mod tests {
    use measure::{Angle, Length};
    use outline::Point;
    use stock::{Change, Feature, FeatureId, FeatureKind};

    use crate::OperationKind;
    use crate::fixture::{brief, disc, of_kind, routed, told};

    fn foot(id: u32, x: f64, y: f64, along: f64) -> Feature {
        let kind = FeatureKind::FootSeat {
            at: Point::new(x, y),
            along: Angle::degrees(along),
            length: Length::mm(150.0),
            width: Length::mm(22.0),
            height: Length::mm(16.0),
        };
        Feature { id: FeatureId(id), kind }
    }

    #[test]
    fn a_screw_never_comes_through_and_the_stop_says_so() {
        let mut brief = brief();
        brief.patterns[1].features = vec![foot(1, 190.0, 30.0, 0.0), foot(2, 190.0, 190.0, 0.0)];
        let route = routed(&brief);
        assert!(told(&route, "screw comes through").is_empty());
        // By hand: foot 16 mm, counterbore 10 mm, 6 mm under the head; top 19 mm,
        // 4 mm left: at most 21 mm. Of the lengths kept, 3/4 in (19.05 mm): 13.05
        // mm into the top.
        let drilled = of_kind(&route, OperationKind::Drill);
        let board = drilled.iter().find(|it| it.title == "Drill board").unwrap();
        let stop = board.set_up.iter().find(|it| it.label == "stop for foot 1").unwrap();
        assert_eq!(stop.value, "0.514 in");
        brief.job.wants[1].thickness = Length::mm(10.0);
        let route = routed(&brief);
        assert_eq!(told(&route, "screw comes through").len(), 2);
        assert!(of_kind(&route, OperationKind::Fit).is_empty());
    }

    #[test]
    fn a_hollow_over_a_foot_is_offered_less_deep() {
        let mut brief = brief();
        brief.patterns[1].features = vec![foot(1, 190.0, 30.0, 0.0), foot(2, 190.0, 190.0, 0.0)];
        let area = disc(Point::new(190.0, 60.0), 50.0, 48);
        let kind = FeatureKind::Hollow { area, depth: Length::mm(10.0), wall: Angle::degrees(45.0) };
        brief.patterns[1].features.push(Feature { id: FeatureId(3), kind });
        let route = routed(&brief);
        let [finding] = told(&route, "screw comes through")[..] else { panic!() };
        let Some(Change::Depth { to, .. }) = finding.mendings[0].change else { panic!() };
        if let FeatureKind::Hollow { depth, .. } = &mut brief.patterns[1].features[2].kind {
            *depth = to;
        }
        assert!(told(&routed(&brief), "screw comes through").is_empty());
    }

    #[test]
    fn feet_run_with_the_top_or_are_offered_a_turn_that_mends_it() {
        let mut brief = brief();
        brief.patterns[1].features = vec![foot(1, 60.0, 110.0, 0.0), foot(2, 320.0, 110.0, 90.0)];
        brief.patterns[1].features[0] = foot(1, 90.0, 110.0, 0.0);
        let route = routed(&brief);
        let [finding] = told(&route, "foot across the grain")[..] else { panic!("{:?}", route.findings) };
        let Some(Change::Turn { to, feature: foot, .. }) = finding.mendings[0].change else { panic!() };
        assert_eq!(foot, FeatureId(2));
        assert!(to.between_lines(Angle::ZERO).to_degrees() < 1e-9);
        // Between screws 150 - 2 · 29.2 = 91.6 mm apart, hard maple: 91.6 · 0.00353
        // · 4 = 1.29 mm (table 13-5), against 0.4 mm of play.
        assert_eq!(finding.figure.value, "0.051 in");
        if let FeatureKind::FootSeat { along, .. } = &mut brief.patterns[1].features[1].kind {
            *along = to;
        }
        assert!(told(&routed(&brief), "foot across the grain").is_empty());
    }

    #[test]
    fn a_batten_holds_in_the_middle_and_slides_at_its_ends() {
        let mut brief = brief();
        brief.kit.units = measure::Units::MILLIMETRES;
        let batten = |along: f64| FeatureKind::Batten {
            at: Point::new(190.0, 110.0),
            along: Angle::degrees(along),
            length: Length::mm(200.0),
            width: Length::mm(25.0),
            height: Length::mm(18.0),
        };
        brief.patterns[1].features = vec![Feature { id: FeatureId(1), kind: batten(90.0) }];
        let route = routed(&brief);
        for rule in ["foot across the grain", "batten along the grain"] {
            assert!(told(&route, rule).is_empty(), "{rule}");
        }
        let fit = of_kind(&route, OperationKind::Fit)[0];
        assert_eq!(fit.fixings[0].holes.len(), 3);
        let crate::Held::Screwed { screw, .. } = fit.fixings[0].held else { panic!() };
        // The outer screws No. 8 stand 200 / 2 - 29.2 = 70.8 mm from the middle: hard
        // maple moves 70.8 · 0.00353 · 4 = 1.00 mm (table 13-5); 4.17 + 1.00 + 1.
        assert!((screw.slot.unwrap().to_mm() - 6.17).abs() < 0.02, "{screw:?}");
        let made = of_kind(&route, OperationKind::Crosscut);
        let card = made.iter().find(|it| it.title == "Make 1 batten for board").unwrap();
        assert!(card.set_up.iter().any(|it| it.label == "slots in batten 1" && it.value.starts_with("6.1")));
        brief.patterns[1].features[0].kind = batten(20.0);
        let route = routed(&brief);
        let [finding] = told(&route, "batten along the grain")[..] else { panic!() };
        let Some(Change::Turn { to, .. }) = finding.mendings[0].change else { panic!() };
        assert!((to.to_degrees() - 90.0).abs() < 1e-9);
    }

    #[test]
    fn feet_close_together_let_it_tip_and_feet_far_apart_do_not() {
        let mut brief = brief();
        brief.patterns[1].features = vec![foot(1, 190.0, 13.0, 0.0), foot(2, 190.0, 207.0, 0.0)];
        brief.patterns[1].features.iter_mut().for_each(|it| {
            if let FeatureKind::FootSeat { length, .. } = &mut it.kind {
                *length = Length::mm(370.0);
            }
        });
        assert!(told(&routed(&brief), "tips on its feet").is_empty());
        brief.patterns[1].features = vec![foot(1, 190.0, 80.0, 0.0), foot(2, 190.0, 140.0, 0.0)];
        assert_eq!(told(&routed(&brief), "tips on its feet").len(), 1);
        brief.patterns[1].features = vec![foot(1, 90.0, 30.0, 0.0), foot(2, 90.0, 190.0, 0.0)];
        assert_eq!(told(&routed(&brief), "does not stand on its feet").len(), 1);
    }

    #[test]
    fn a_hole_keeps_its_rim_and_a_foot_stays_inside() {
        let mut brief = brief();
        let hole = |x| FeatureKind::HangingHole { at: Point::new(x, 110.0), diameter: Length::mm(12.0) };
        brief.patterns[1].features = vec![Feature { id: FeatureId(1), kind: hole(360.0) }];
        let route = routed(&brief);
        assert!(told(&route, "hanging hole near the edge").is_empty());
        assert!(of_kind(&route, OperationKind::Drill).iter().any(|it| it.title == "Drill board"));
        brief.patterns[1].features = vec![Feature { id: FeatureId(1), kind: hole(366.5) }];
        let route = routed(&brief);
        let [finding] = told(&route, "hanging hole near the edge")[..] else { panic!("7.5 mm are left") };
        let offered: Vec<_> = finding.mendings.iter().filter_map(|it| it.change.clone()).collect();
        assert_eq!(offered.len(), 2, "move it or make it smaller: {:?}", finding.mendings);
        // 2 · (13.5 - 10) mm is 4.4 sixteenths of an inch.
        assert_eq!(finding.mendings[1].label, "make the hole 1/4 in wide");
        for change in offered {
            let Change::Hole { at, diameter, .. } = change else { panic!("{change:?}") };
            let mut mended = brief.clone();
            mended.patterns[1].features[0].kind = FeatureKind::HangingHole { at, diameter };
            assert!(told(&routed(&mended), "hanging hole near the edge").is_empty(), "{at:?} {diameter:?}");
        }
        brief.kit.machines.widest_bit = Length::mm(10.0);
        assert_eq!(told(&routed(&brief), "hole wider than the bits").len(), 1);
        brief.patterns[1].features = vec![foot(1, 70.0, 30.0, 0.0)];
        assert_eq!(told(&routed(&brief), "foot beyond the edge").len(), 1);
    }
}
