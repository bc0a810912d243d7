//! Holes, feet and screws.

mod checks;
mod feet;
mod hole;
mod standing;

use handbook::{SAFE_PULL, lead_source};
use measure::{Figure, Length, Minutes};
use stock::FeatureKind;

use crate::fit::feet::{Fastening, Foot, feet};
use crate::making::{Laid, Making};
use crate::{Machine, Mark, MarkKind, Operation, OperationKind, Supply};

// Rates of hands (common practice, no source).
const SET_UP: Minutes = Minutes::minutes(10.0);
const EACH_HOLE: Minutes = Minutes::minutes(3.0);
const MAKE_FOOT: Minutes = Minutes::minutes(8.0);
const EACH_SCREW: Minutes = Minutes::minutes(3.0);
const EACH_PLUG: Minutes = Minutes::minutes(4.0);

/// Drills every part that has a hole or a foot, and makes its feet.
pub(crate) fn drill(making: &mut Making, parts: &[Laid]) {
    checks::parts(making, parts);
    for part in parts {
        let held = held(part);
        let holes = hanging(part);
        if !held.is_empty() || !holes.is_empty() {
            let operation = drilling(making, part, &held, &holes);
            making.add(operation);
        }
        if !held.is_empty() {
            let operation = making_feet(making, part, &held);
            making.add(operation);
        }
    }
}

/// The feet of a part that a screw can hold; the others have their finding.
fn held(part: &Laid) -> Vec<(Foot, Fastening)> {
    let each = feet(&part.pattern.features);
    each.filter_map(|foot| Some((foot, foot.fastening(part).ok()?))).collect()
}

fn hanging(part: &Laid) -> Vec<Mark> {
    let each = part.pattern.features.iter().filter_map(|it| match it.kind {
        FeatureKind::HangingHole { at, diameter } => {
            Some(Mark { part: part.key, at, diameter, is: MarkKind::HangingHole })
        }
        FeatureKind::Stem { .. }
        | FeatureKind::FoodArea { .. }
        | FeatureKind::Hollow { .. }
        | FeatureKind::FootSeat { .. } => None,
    });
    each.collect()
}

fn drilling(making: &Making, part: &Laid, held: &[(Foot, Fastening)], holes: &[Mark]) -> Operation {
    let units = making.units();
    let pilots: u32 = held.iter().map(|(_, it)| it.count).sum();
    let count = holes.len() as f64 + f64::from(pilots);
    let mut operation = Operation::begin(OperationKind::Drill, format!("Drill {}", part.name))
        .working_on(vec![part.workpiece()])
        .at(Machine::DrillPress)
        .taking(SET_UP + EACH_HOLE * count)
        .minding(["first", "drill_press", "blade_change", "eyes_ears_lungs", "no_gloves"]);
    operation.marks = holes.to_vec();
    for hole in holes {
        let wide = units.length(hole.diameter);
        operation = operation
            .set("hanging hole", wide.clone())
            .step(format!("Drill the hanging hole, {wide}, on a waste board"))
            .step("Round its edges on both faces");
    }
    for (foot, it) in held {
        let depth = units.fine_length(it.bite);
        operation.marks.extend(foot.screws(it).map(|at| Mark {
            part: part.key,
            at,
            diameter: it.pilot,
            is: MarkKind::Pilot,
        }));
        operation = operation
            .set(&format!("pilot for foot {}", foot.id), units.fine_length(it.pilot))
            .set(&format!("stop for foot {}", foot.id), depth.clone())
            .step(format!(
                "Turn the underside up, set the stop to {depth} and drill {} pilot for foot {}",
                it.count, foot.id
            ))
            .figure(stop_figure(making, foot, it))
            .figure(pilot_figure(making, part, it));
    }
    operation
}

fn stop_figure(making: &Making, foot: &Foot, it: &Fastening) -> Figure {
    let units = making.units();
    Figure::new("stop of the drill", units.fine_length(it.bite))
        .by("screw - (height of the foot - counterbore)", "common practice, no source")
        .from("screw", format!("No. {} by {}", it.screw.number, units.length(it.length)))
        .from("height of the foot", units.length(foot.height))
        .from("counterbore", units.length(it.counterbore))
        .from("wood above the foot", units.length(it.top))
        .from("left over the tip", units.length(it.top - it.bite))
}

/// What each screw of a foot bears, in the lightest of the part's woods.
fn hold_figure(making: &Making, part: &Laid, it: &Fastening) -> Figure {
    let units = making.units();
    let lighter = part.woods.iter().min_by(|a, b| a.gravity().value.total_cmp(&b.gravity().value));
    let thread = it.bite.min(it.screw.thread(it.length));
    let pull = lighter.map(|wood| it.screw.pull_out(wood, thread)).unwrap_or_default();
    let figure = Figure::new("each screw bears", units.force(pull * SAFE_PULL))
        .by("108.25 G² D L · 0.18", "Wood Handbook FPL-GTR-282 (2021), eq. 8-10; design rule for wood screws")
        .from("shank D", units.fine_length(it.screw.shank))
        .from("thread in the top L", units.fine_length(thread))
        .from("tears out at", units.force(pull));
    match lighter {
        Some(wood) => {
            figure.from(format!("specific gravity of {}", wood.name), format!("{:.2}", wood.gravity().value))
        }
        None => figure,
    }
}

fn pilot_figure(making: &Making, part: &Laid, it: &Fastening) -> Figure {
    let units = making.units();
    Figure::new("pilot hole", units.fine_length(it.pilot))
        .by("share of the screw's root", lead_source())
        .from("root of the screw", units.fine_length(it.screw.root))
        .from("wood", part.wood_words())
}

fn making_feet(making: &Making, part: &Laid, held: &[(Foot, Fastening)]) -> Operation {
    let units = making.units();
    let count = held.len();
    let mut operation = Operation::begin(
        OperationKind::Crosscut,
        format!("Make {count} feet for {}", part.name),
    )
    .turning(Vec::new(), vec![part.workpiece()])
    .at(Machine::TableSaw)
    .taking(SET_UP + MAKE_FOOT * count as f64)
    .step(
        "Saw them from an offcut, the grain along the length; crosscut with a stop, never against the fence",
    )
    .minding(["first", "table_saw", "drill_press", "eyes_ears_lungs", "no_gloves"]);
    for (foot, it) in held {
        let size = format!(
            "{} by {} by {}",
            units.length(foot.length),
            units.length(foot.width),
            units.length(foot.height)
        );
        operation = operation
            .set(&format!("foot {}", foot.id), size)
            .set(&format!("hole in foot {}", foot.id), units.fine_length(it.clearance));
        if it.counterbore > Length::ZERO {
            let bore = format!("{} wide, {} deep", units.length(it.screw.plug), units.length(it.counterbore));
            operation = operation
                .set(&format!("counterbore of foot {}", foot.id), bore.clone())
                .step(format!("Foot {}: counterbore first, {bore}, then the hole through", foot.id));
        } else {
            operation =
                operation.step(format!("Foot {}: drill through and countersink for the head", foot.id));
        }
    }
    operation
}

/// Screws on the feet, once the finish may be handled.
pub(crate) fn screw_on(making: &mut Making, parts: &[Laid]) {
    for part in parts {
        let held = held(part);
        if !held.is_empty() {
            let operation = fitting(making, part, &held);
            making.add(operation);
        }
    }
}

fn fitting(making: &Making, part: &Laid, held: &[(Foot, Fastening)]) -> Operation {
    let units = making.units();
    let screws: u32 = held.iter().map(|(_, it)| it.count).sum();
    let plugs: u32 = held.iter().filter(|it| it.1.counterbore > Length::ZERO).map(|(_, it)| it.count).sum();
    let mut operation = Operation::begin(OperationKind::Fit, format!("Screw on the feet of {}", part.name))
        .working_on(vec![part.workpiece()])
        .taking(EACH_SCREW * f64::from(screws) + EACH_PLUG * f64::from(plugs))
        .using(Supply::Screw, f64::from(screws) + f64::from(plugs))
        .minding(["first", "hand_tools"]);
    for (foot, it) in held {
        operation = operation.set(
            &format!("screw for foot {}", foot.id),
            format!("No. {} by {}, {}", it.screw.number, units.length(it.length), it.count),
        );
        operation = operation.figure(hold_figure(making, part, it));
        let figure = foot.off_the_grain(making, part).and_then(|(off, _)| it.movement(making, part, off));
        if let (2.., Some((_, figure))) = (it.count, figure) {
            operation = operation.figure(figure.from("play of the holes", units.fine_length(it.play())));
        }
    }
    let mut operation = operation
        .step("Rub wax on each screw and drive it by hand until the foot just closes")
        .step("Set the board on a flat table: if it rocks, sand the high foot");
    if plugs > 0 {
        let glue = making.brief.facts().glue(&making.brief.job.glue).ok();
        let wait = glue.map_or(Minutes::hours(1.0), |it| it.clamp);
        operation = operation
            .timed_step("Glue in the plugs, their grain along the foot's", wait)
            .step("Pare the plugs flush and put finish on them");
        if let Some(glue) = glue {
            operation = operation.minding(glue.cautions.iter().map(|it| it.0.as_str()));
        }
    }
    operation
}

#[cfg(test)]
mod tests {
    use measure::{Angle, Length};
    use outline::Point;
    use stock::{Change, Feature, FeatureId, FeatureKind};

    use super::*;
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
        let Some(Change::HollowDepth { to, .. }) = finding.mendings[0].change else { panic!() };
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
        let Some(Change::TurnFoot { to, foot, .. }) = finding.mendings[0].change else { panic!() };
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
