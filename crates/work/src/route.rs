//! The one verb: from a brief and a layout to a route.

use stock::{Brief, Layout};

use crate::Route;
use crate::making::Making;
use crate::saw::SawnFaces;
use crate::{finish, fit, glue, hold, hollow, irritant, machining, moisture, sand, saw, unanswered, unknown};

/// The operations from rough wood to boards that may touch food, in an order
/// that can be carried out, and everything wrong on the way.
///
/// Answers always: what cannot be worked out leaves a finding and no operation.
pub fn route(brief: &Brief, layout: &Layout) -> Route {
    route_sawn(brief, layout, &SawnFaces::of(brief, layout))
}

/// The same with the cuts that are known already: they hang on wood, parts, saw
/// and thicknesses, and on nothing else of the brief.
pub fn route_sawn(brief: &Brief, layout: &Layout, sawn: &SawnFaces) -> Route {
    let mut making = Making::new(brief, layout);
    let parts = making.laid_parts();
    moisture::pieces(&mut making);
    unknown::woods(&mut making);
    irritant::woods(&mut making);
    unanswered::pieces(&mut making);
    hold::parts(&mut making, &parts);
    machining::pieces(&mut making, &parts);
    glue::panels(&mut making, &parts);
    machining::panels(&mut making, &parts);
    let hollows = hollow::looked_at(&mut making, &parts);
    hollow::in_faces(&mut making, &hollows);
    saw::parts(&mut making, &parts, sawn);
    machining::thin_parts(&mut making, &parts);
    hollow::in_thin_parts(&mut making, &hollows);
    let fixed = fit::looked_at(&mut making, &parts);
    fit::drill(&mut making, &fixed);
    sand::parts(&mut making, &parts, &hollows);
    let last_coat = finish::coats(&mut making, &parts, &hollows);
    fit::screw_on(&mut making, &fixed);
    if let Some(last_coat) = last_coat {
        finish::cure(&mut making, &parts, last_coat);
    }
    making.finished()
}

#[cfg(test)]
mod tests {
    use measure::{Angle, Force, Length};
    use outline::{Point, Segment};
    use stock::{Feature, FeatureId, FeatureKind, Layout, LetIn, PartKey, WantId};

    use super::*;
    use crate::fixture::{brief, disc, layout, routed};
    use crate::{OperationKind, Workpiece};

    #[test]
    fn every_operation_comes_after_those_before_it() {
        let route = routed(&brief());
        for (index, operation) in route.operations.iter().enumerate() {
            assert_eq!(operation.id.0 as usize, index + 1);
            assert!(operation.after.iter().all(|it| *it < operation.id), "{operation:?}");
            assert!(!operation.cautions.is_empty(), "{} has no cautions", operation.title);
            assert!(!operation.steps.is_empty(), "{} has no steps", operation.title);
            assert!(operation.hands.to_minutes() > 0.0, "{} takes no time", operation.title);
        }
    }

    #[test]
    fn a_panel_is_ripped_glued_planed_sawn_sanded_finished_and_cured_in_this_order() {
        let route = routed(&brief());
        let board = Workpiece::Part(PartKey { want: WantId(2), copy: 1 });
        let mut chain = Vec::new();
        let mut at = route.operations.iter().rfind(|it| it.inputs.contains(&board));
        while let Some(operation) = at {
            chain.push(operation.kind);
            at = route.operations.iter().rfind(|it| operation.after.contains(&it.id));
        }
        chain.reverse();
        chain.dedup();
        let end = [
            OperationKind::Rip,
            OperationKind::Glue,
            OperationKind::Flatten,
            OperationKind::Plane,
            OperationKind::Crosscut,
            OperationKind::Saw,
            OperationKind::Sand,
            OperationKind::Finish,
            OperationKind::Cure,
        ];
        assert!(chain.ends_with(&end), "{chain:?}");
    }

    #[test]
    fn no_part_makes_no_work_and_a_lost_pattern_leaves_a_finding() {
        let mut brief = brief();
        assert!(route(&brief, &Layout::default()).operations.is_empty());
        let layout = layout(&brief);
        brief.patterns.clear();
        brief.pieces.clear();
        let route = route(&brief, &layout);
        assert!(route.findings.iter().any(|it| it.rule == "cannot be worked out"));
        assert!(route.operations.is_empty(), "{:?}", route.operations);
    }

    #[test]
    fn absurd_numbers_leave_findings_and_never_a_panic() {
        type Set = fn(&mut Brief, Length);
        let sets: [Set; 14] = [
            |brief, it| brief.job.wants[0].thickness = it,
            |brief, it| brief.job.panels[0].thickness = it,
            |brief, it| brief.job.panels[0].length = it,
            |brief, it| brief.job.panels[0].runs[0].width = it,
            |brief, it| brief.pieces[0].thickness = it,
            |brief, it| brief.kit.allowances.planing = it,
            |brief, it| brief.kit.allowances.sanding = it,
            |brief, it| brief.kit.allowances.joint = it,
            |brief, it| brief.kit.bandsaw.blades.iter_mut().for_each(|blade| blade.width = it),
            |brief, it| brief.kit.bandsaw.blades.iter_mut().for_each(|blade| blade.kerf = it),
            |brief, it| brief.kit.machines.planer_width = it,
            |brief, it| brief.kit.clamps[0].reach = it,
            |brief, it| brief.patterns[1].features.iter_mut().for_each(|feature| resize(feature, it)),
            |brief, it| brief.kit.clamps[0].force = measure::Force::newtons(it.to_mm()),
        ];
        for (index, set) in sets.iter().enumerate() {
            for number in [0.0, -1.0, 1e-300, 1e9, 1e300, -1e300, f64::MAX] {
                let mut brief = brief();
                brief.patterns[1].features = every_feature();
                let layout = layout(&brief);
                set(&mut brief, Length::mm(number));
                let route = route(&brief, &layout);
                assert!(route.operations.len() > 5 || !route.findings.is_empty(), "{index}: {number}");
            }
        }
    }

    #[test]
    fn a_metric_shop_reads_no_inches() {
        let mut brief = brief();
        brief.patterns[1].features = every_feature();
        brief.kit.units = measure::Units::MILLIMETRES;
        brief.kit.clamps[0].count = 1;
        let route = routed(&brief);
        let figures = route.operations.iter().flat_map(|it| &it.figures);
        let figures = figures.chain(route.findings.iter().map(|it| &it.figure));
        let inputs = figures.clone().flat_map(|it| &it.inputs).map(|it| &it.value);
        let settings = route.operations.iter().flat_map(|it| &it.set_up).map(|it| &it.value);
        let limits = route.findings.iter().map(|it| &it.limit);
        for text in figures.map(|it| &it.value).chain(inputs).chain(settings).chain(limits) {
            let imperial = ["lbf", "psi", "°F", "sq in", "ft/min"].iter().any(|it| text.contains(it));
            assert!(!imperial && !text.ends_with(" in"), "{text}");
        }
        assert!(!route.findings.is_empty());
    }

    /// The silent side of every finding that a sound job has no cause for.
    #[test]
    fn a_sound_job_is_told_of_its_dust_and_its_corners_alone() {
        let route = routed(&brief());
        let told: Vec<&str> = route.findings.iter().map(|it| it.rule.as_str()).collect();
        assert_eq!(told, ["irritant wood", "irritant wood", "irritant wood", "inside corner"]);
    }

    fn every_feature() -> Vec<Feature> {
        let area = disc(Point::new(190.0, 110.0), 60.0, 48);
        let (at, along) = (Point::new(190.0, 30.0), Angle::ZERO);
        let (length, width, height) = (Length::mm(120.0), Length::mm(20.0), Length::mm(15.0));
        let axis = Segment { from: at, to: Point::new(300.0, 30.0) };
        let kinds = [
            FeatureKind::FoodArea { area: area.clone() },
            FeatureKind::LiveEdge { area: area.clone() },
            FeatureKind::Hollow { area, depth: Length::mm(8.0), wall: Angle::degrees(60.0) },
            FeatureKind::FootSeat { at, along, length, width, height },
            FeatureKind::HangingHole { at: Point::new(350.0, 110.0), diameter: Length::mm(12.0) },
            FeatureKind::Stem { axis, within: Angle::degrees(10.0), load: Force::newtons(20.0) },
            FeatureKind::Batten { at, along: Angle::degrees(90.0), length, width, height },
            FeatureKind::Handle { at, along, apart: length, screw: Length::mm(4.0) },
            FeatureKind::Pocket { at, diameter: width, depth: height, holds: LetIn::Magnet },
        ];
        kinds.into_iter().zip(1..).map(|(kind, id)| Feature { id: FeatureId(id), kind }).collect()
    }

    fn resize(feature: &mut Feature, to: Length) {
        match &mut feature.kind {
            FeatureKind::Hollow { depth, .. } => *depth = to,
            FeatureKind::FootSeat { length, width, height, .. }
            | FeatureKind::Batten { length, width, height, .. } => {
                (*length, *width, *height) = (to, to, to);
            }
            FeatureKind::HangingHole { diameter, .. } => *diameter = to,
            FeatureKind::Handle { apart, screw, .. } => (*apart, *screw) = (to, to),
            FeatureKind::Pocket { diameter, depth, .. } => (*diameter, *depth) = (to, to),
            FeatureKind::Stem { load, .. } => *load = Force::newtons(to.to_mm()),
            FeatureKind::FoodArea { .. } | FeatureKind::LiveEdge { .. } => {}
        }
    }

    #[test]
    fn the_most_parts_of_a_job_are_planned_and_the_same_twice() {
        let mut brief = brief();
        brief.patterns[1].features = every_feature();
        brief.job.wants[1].count = Brief::MOST_PARTS - 1;
        let mut layout = layout(&brief);
        let first = layout.placements[1].clone();
        for copy in 2..Brief::MOST_PARTS {
            let mut next = first.clone();
            next.part.copy = copy;
            layout.placements.push(next);
        }
        let once = route(&brief, &layout);
        let sawn = once.operations.iter().filter(|it| it.kind == OperationKind::Saw).count();
        assert_eq!(sawn, Brief::MOST_PARTS as usize);
        assert_eq!(once, route(&brief, &layout));
        assert!(once.findings.is_sorted_by_key(|it| it.grade));
    }
}
