//! Hand planes and saws, for work that no machine takes safely.

use measure::{Area, Length, Minutes, Units};

use super::blank::Blank;
use crate::Operation;

// Rates of hands (common practice, no source): hardwood, sharp irons, a careful
// hobby pace with the looking and the sharpening in it.
const GET_READY: Minutes = Minutes::minutes(15.0);
const FLAT_PER_M2: Minutes = Minutes::minutes(200.0);
const GAUGE: Minutes = Minutes::minutes(5.0);
const SMOOTH_PER_M2: Minutes = Minutes::minutes(90.0);
const PER_M2_AND_MM: Minutes = Minutes::minutes(45.0);
const EDGE_PER_M: Minutes = Minutes::minutes(12.0);
const END: Minutes = Minutes::minutes(10.0);

/// The scrub plane stops so far above the line (common practice, no source).
const SCRUB_STOPS: Length = Length::mm(1.0);

/// An edge is shot on the board up to this length; a longer one is planed in
/// the vice (common practice, no source).
const LONGEST_SHOT: Length = Length::inches(24.0);

/// Hands' time for one flat face.
pub(super) fn flat_time(area: Area) -> Minutes {
    GET_READY + FLAT_PER_M2 * area.to_m2()
}

/// Hands' time for the other face, this deep.
pub(super) fn thickness_time(area: Area, depth: Length) -> Minutes {
    GET_READY + GAUGE + (SMOOTH_PER_M2 + PER_M2_AND_MM * depth.to_mm()) * area.to_m2()
}

/// One face flat, by eye and plane.
pub(super) fn flat(operation: Operation, blank: &Blank) -> Operation {
    operation
        .taking(flat_time(blank.area))
        .set("tools", "winding sticks, jack plane, jointer plane, straightedge")
        .step("Hold it against a stop on the flat bench, wedges under what hangs free")
        .step("Lay the winding sticks across both ends and sight over them: mark the two high corners")
        .step("Plane the high corners down, then jack across the grain until the sticks lie level")
        .step("Plane along the grain with the jointer plane until a shaving comes off the whole length")
        .minding(["first", "hand_tools"])
}

/// The other face parallel to the first, down to a line.
pub(super) fn thickness(operation: Operation, units: Units, blank: &Blank) -> Operation {
    let depth = blank.for_planing();
    let operation = operation
        .taking(thickness_time(blank.area, depth))
        .set("tools", "marking gauge, scrub plane, jack plane, jointer plane")
        .step(format!(
            "Scribe {} from the flat face all round with the gauge: that line is the end",
            units.fine_length(blank.to)
        ));
    let operation = match depth > SCRUB_STOPS * 2.0 {
        true => operation.step(format!(
            "{} have to go: scrub across and slantwise, and stop {} above the line",
            units.fine_length(depth),
            units.fine_length(SCRUB_STOPS)
        )),
        false => operation,
    };
    operation
        .step("Bevel all four edges down to the line, so that the far edge does not break out")
        .step("Jack across the grain, then along it with the jointer plane, until the line is just split")
        .minding(["first", "hand_tools"])
}

/// One edge straight and square.
pub(super) fn edge(operation: Operation, length: Length) -> Operation {
    let operation = operation
        .taking(GET_READY + EDGE_PER_M * (length / Length::mm(1000.0)))
        .minding(["first", "hand_tools"]);
    if length <= LONGEST_SHOT {
        return operation
            .set("tools", "shooting board, jointer plane")
            .step("Shoot one edge straight on the shooting board, the flat face down");
    }
    operation
        .set("tools", "vice, jointer plane, square")
        .step("Plane one edge straight in the vice; hold the square against the flat face often")
}

/// Both ends square and to length.
pub(super) fn ends(operation: Operation, to: &str) -> Operation {
    operation
        .taking(GET_READY + END * 2.0)
        .set("tools", "bench hook, fine saw, shooting board")
        .step(format!("Knife a line all round at {to} and saw just outside of it on the bench hook"))
        .step("Shoot both ends to the line, a scrap behind the far edge so that it does not break out")
        .minding(["first", "hand_tools"])
}

#[cfg(test)]
mod tests {
    use measure::Length;

    use super::*;
    use crate::fixture::{brief, of_kind, routed};
    use crate::{Machine, OperationKind};

    #[test]
    fn what_neither_machine_nor_sled_takes_is_planed_by_hand() {
        let mut brief = brief();
        let by_hand = |route: &crate::Route, kind| {
            of_kind(route, kind).iter().filter(|it| it.machine.is_none()).count()
        };
        let route = routed(&brief);
        let kinds = [OperationKind::Flatten, OperationKind::Plane, OperationKind::Joint];
        assert!(kinds.iter().all(|&it| by_hand(&route, it) == 0));
        brief.kit.machines.planer_width = Length::mm(250.0);
        let sled = routed(&brief);
        assert_eq!(of_kind(&sled, OperationKind::Plane)[0].machine, Some(Machine::Router), "24 in of sled");
        brief.kit.machines.sled_width = None;
        let route = routed(&brief);
        assert_eq!((by_hand(&route, kinds[0]), by_hand(&route, kinds[1])), (1, 1), "the slab alone");
        let slab = of_kind(&route, OperationKind::Plane)[0];
        assert!(slab.steps.iter().any(|it| it.text.contains("scrub")), "6 mm have to go");
        // By hand: 0.62 · 0.29 m² · (90 + 45 · 6) min, and 20 min: 85 min.
        assert!((slab.hands.to_minutes() - 84.7).abs() < 0.1, "{:?}", slab.hands);
    }

    #[test]
    fn a_short_edge_is_shot_and_a_long_one_planed_in_the_vice() {
        let edge = |mm| edge(Operation::begin(OperationKind::Joint, "edge"), Length::mm(mm));
        assert!(edge(250.0).steps[0].text.contains("shooting board"));
        assert!(edge(900.0).steps[0].text.contains("vice"));
    }
}
