//! Sawing to the outline.

use measure::{Length, Minutes};
use stock::FaceKey;

use crate::making::{Laid, Making};
use crate::{Machine, Operation, OperationKind, Workpiece};

// Rates of hands (common practice, no source).
const SET_UP: Minutes = Minutes::minutes(10.0);
const PER_M: Minutes = Minutes::minutes(4.0);

/// Saws every part out of its face.
pub(crate) fn parts(making: &mut Making, parts: &[Laid]) {
    for part in parts {
        let face = part.placement.face;
        let from = match face {
            FaceKey::Piece(id) => Workpiece::Piece(id),
            FaceKey::Panel(id) => Workpiece::Panel(id),
        };
        let title = format!("Saw {} out of {}", part.name, making.brief.face_name(face));
        let around: Length = part.placement.outline.outer().perimeter();
        let operation = Operation::begin(OperationKind::Saw, title)
            .turning(vec![from], vec![part.workpiece()])
            .at(Machine::Bandsaw)
            .taking(SET_UP + PER_M * (around.to_mm() / 1000.0))
            .step("Lay the template on the face as the layout drawing shows and draw round it")
            .step("Saw on the waste side of the line")
            .minding(["first", "bandsaw", "blade_change", "eyes_ears_lungs", "no_gloves"]);
        making.add(operation);
    }
}
