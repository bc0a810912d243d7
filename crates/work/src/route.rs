//! The one verb: from a brief and a layout to a route.

use stock::{Brief, Layout};

use crate::Route;
use crate::making::Making;
use crate::{finish, fit, glue, hold, hollow, machining, moisture, sand, saw};

/// The operations from rough wood to boards that may touch food, in an order
/// that can be carried out, and everything wrong on the way.
///
/// Answers always: what cannot be worked out leaves a finding and no operation.
pub fn route(brief: &Brief, layout: &Layout) -> Route {
    let mut making = Making::new(brief, layout);
    let parts = making.laid_parts();
    moisture::pieces(&mut making);
    hold::parts(&mut making, &parts);
    machining::pieces(&mut making, &parts);
    glue::panels(&mut making, &parts);
    machining::panels(&mut making, &parts);
    saw::parts(&mut making, &parts);
    machining::thin_parts(&mut making, &parts);
    hollow::parts(&mut making, &parts);
    fit::drill(&mut making, &parts);
    sand::parts(&mut making, &parts);
    let last_coat = finish::coats(&mut making, &parts);
    fit::screw_on(&mut making, &parts);
    if let Some(last_coat) = last_coat {
        finish::cure(&mut making, &parts, last_coat);
    }
    making.finished()
}

#[cfg(test)]
mod tests {
    use stock::{Layout, PartKey, WantId};

    use super::*;
    use crate::fixture::{brief, layout, routed};
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
}
