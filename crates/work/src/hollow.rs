//! Hollowing: a recess with a flat floor and sloping walls.

use measure::Minutes;
use stock::FeatureKind;

use crate::making::{Laid, Making};
use crate::{Machine, Operation, OperationKind};

// Rate of hands (common practice, no source).
const TEMPLATE: Minutes = Minutes::minutes(30.0);

/// Hollows every part that has a recess.
pub(crate) fn parts(making: &mut Making, parts: &[Laid]) {
    for part in parts {
        for feature in &part.pattern.features {
            match feature.kind {
                FeatureKind::Hollow { depth, .. } => {
                    let operation = Operation::begin(OperationKind::Hollow, format!("Hollow {}", part.name))
                        .working_on(vec![part.workpiece()])
                        .at(Machine::Router)
                        .taking(TEMPLATE)
                        .set("depth", making.units().length(depth))
                        .minding(["first", "router", "eyes_ears_lungs", "no_gloves"]);
                    making.add(operation);
                }
                FeatureKind::Stem { .. }
                | FeatureKind::FoodArea { .. }
                | FeatureKind::HangingHole { .. }
                | FeatureKind::FootSeat { .. } => {}
            }
        }
    }
}
