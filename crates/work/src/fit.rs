//! Holes, feet and screws.

use measure::Minutes;
use stock::FeatureKind;

use crate::making::{Laid, Making};
use crate::{Machine, Operation, OperationKind, Supply};

// Rates of hands (common practice, no source).
const SET_UP: Minutes = Minutes::minutes(10.0);
const EACH_HOLE: Minutes = Minutes::minutes(4.0);
const EACH_FOOT: Minutes = Minutes::minutes(6.0);

/// Drills every part that has a hole or a foot.
pub(crate) fn drill(making: &mut Making, parts: &[Laid]) {
    for part in parts {
        let holes = part.pattern.features.iter().filter(|it| is_drilled(&it.kind)).count();
        if holes == 0 {
            continue;
        }
        let operation = Operation::begin(OperationKind::Drill, format!("Drill {}", part.name))
            .working_on(vec![part.workpiece()])
            .at(Machine::DrillPress)
            .taking(SET_UP + EACH_HOLE * holes as f64)
            .minding(["first", "drill_press", "eyes_ears_lungs", "no_gloves"]);
        making.add(operation);
    }
}

/// Screws on the feet, once the finish may be handled.
pub(crate) fn screw_on(making: &mut Making, parts: &[Laid]) {
    for part in parts {
        let feet = feet(part);
        if feet == 0 {
            continue;
        }
        let operation = Operation::begin(OperationKind::Fit, format!("Screw on the feet of {}", part.name))
            .working_on(vec![part.workpiece()])
            .taking(EACH_FOOT * f64::from(feet))
            .step("Rub wax on each screw and drive it by hand")
            .using(Supply::Screw, f64::from(feet))
            .minding(["first", "hand_tools"]);
        making.add(operation);
    }
}

fn feet(part: &Laid) -> u32 {
    let feet = part.pattern.features.iter().filter(|it| match it.kind {
        FeatureKind::FootSeat { .. } => true,
        FeatureKind::Stem { .. }
        | FeatureKind::FoodArea { .. }
        | FeatureKind::Hollow { .. }
        | FeatureKind::HangingHole { .. } => false,
    });
    u32::try_from(feet.count()).unwrap_or(u32::MAX)
}

fn is_drilled(kind: &FeatureKind) -> bool {
    match kind {
        FeatureKind::HangingHole { .. } | FeatureKind::FootSeat { .. } => true,
        FeatureKind::Stem { .. } | FeatureKind::FoodArea { .. } | FeatureKind::Hollow { .. } => false,
    }
}
