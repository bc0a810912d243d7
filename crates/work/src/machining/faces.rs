//! One face flat, then the other parallel to it and to thickness.

use measure::{Figure, Length, Minutes, Units};

use super::blank::{Blank, Until};
use super::limits::{self, Way};
use super::{SET_UP, hand, snipe};
use crate::making::Making;
use crate::{Machine, Operation, OperationKind};

// What goes in one pass, and the time of one over a square metre with the walking
// back and the checking in it (common practice, no source).
const JOINTER_PASS: Length = Length::inches(1.0 / 32.0);
const JOINTER_PER_M2: Minutes = Minutes::minutes(12.0);
const PLANER_PASS: Length = Length::inches(1.0 / 32.0);
const PLANER_PER_M2: Minutes = Minutes::minutes(5.0);
const SLED_PASS: Length = Length::inches(1.0 / 16.0);
const SLED_PER_M2: Minutes = Minutes::minutes(45.0);

/// No wood on the rack takes more: a limit for absurd figures.
const MOST_PASSES: f64 = 200.0;

/// Under this width or thickness hands come too near to the cutters (machine manual).
const PUSH_BLOCKS: Length = Length::inches(3.0);

/// Under this length push blocks hold it (machine manual).
const PUSH_BLOCKS_LENGTH: Length = Length::inches(12.0);

/// How deep each pass goes, and what one over a square metre takes.
#[derive(Clone, Copy)]
struct Pace {
    pass: Length,
    per_m2: Minutes,
    set_up: Minutes,
}

const JOINTER: Pace = Pace { pass: JOINTER_PASS, per_m2: JOINTER_PER_M2, set_up: SET_UP };
const PLANER: Pace = Pace { pass: PLANER_PASS, per_m2: PLANER_PER_M2, set_up: SET_UP };
/// Shimming and taping it on takes as long as the planer's own setting.
const CARRIER: Pace = Pace { pass: PLANER_PASS, per_m2: PLANER_PER_M2, set_up: Minutes::minutes(10.0) };
const SLED: Pace = Pace { pass: SLED_PASS, per_m2: SLED_PER_M2, set_up: Minutes::minutes(15.0) };

/// Passes that a depth takes, one at least.
fn passes(depth: Length, each: Length) -> f64 {
    // A depth that is a whole number of passes but for rounding takes no more of them.
    (depth / each - 1e-6).ceil().clamp(1.0, MOST_PASSES)
}

/// Brings a blank flat and to thickness, and tells where a machine does not take it.
pub(super) fn flat_and_to_thickness(making: &mut Making, blank: &Blank) {
    limits::feed(making, blank);
    flatten(making, blank);
    plane(making, blank);
}

fn flatten(making: &mut Making, blank: &Blank) {
    let units = making.units();
    let depth = blank.for_first_face();
    let operation = Operation::begin(OperationKind::Flatten, format!("Flatten one face of {}", blank.name))
        .working_on(vec![blank.workpiece])
        .set("thickness after it", format!("{} or more", units.fine_length(blank.after_first_face())));
    let operation = match limits::to_flat(&making.brief.kit.machines, blank) {
        Way::Machine => on_jointer(paced(operation, units, blank, depth, JOINTER), blank),
        Way::Carrier => paced(operation, units, blank, depth, CARRIER)
            .at(Machine::Planer)
            .step("Shim it on a flat carrier board so that it cannot rock, with a stop at its tail")
            .step("Feed board and all, light cuts, until the face is bare and flat")
            .minding(["first", "planer", "carrier_board", "eyes_ears_lungs", "no_gloves"]),
        Way::Sled => sled(operation, units, blank, depth, "Shim it on the flat bed so that it cannot rock"),
        Way::Hand => hand::flat(operation, blank),
    };
    making.add(
        operation
            .step("This face comes first: the planer copies whatever lies on its table")
            .step("Check with a straightedge, corner to corner"),
    );
}

fn on_jointer(operation: Operation, blank: &Blank) -> Operation {
    let operation = operation
        .at(Machine::Jointer)
        .step("Lay the hollow face down, take light cuts until it is bare and flat")
        .minding(["first", "jointer", "eyes_ears_lungs", "no_gloves"]);
    let low = blank.width < PUSH_BLOCKS || blank.now < PUSH_BLOCKS;
    if low || blank.length < PUSH_BLOCKS_LENGTH { operation.minding(["push_blocks"]) } else { operation }
}

/// Brings the other face parallel to the first one.
pub(super) fn plane(making: &mut Making, blank: &Blank) {
    let units = making.units();
    let way = limits::to_thickness(&making.brief.kit.machines, blank);
    // Sixteenths are too coarse where a quarter of a millimetre is left to sand.
    let to = units.fine_length(blank.to);
    let depth = blank.for_planing();
    let operation = Operation::begin(OperationKind::Plane, format!("Plane {} to {to}", blank.name))
        .working_on(vec![blank.workpiece])
        .set(blank.until.label(), to.clone());
    let planer = || ["first", "planer", "eyes_ears_lungs", "no_gloves"];
    let operation = match way {
        Way::Machine => paced(operation, units, blank, depth, PLANER)
            .at(Machine::Planer)
            .step("Feed with the grain rising toward the tail, the flat face down")
            .minding(planer()),
        Way::Carrier => paced(operation, units, blank, depth, CARRIER)
            .at(Machine::Planer)
            .step("Lay it on a flat carrier board with a stop at its tail, the flat face down")
            .step("Feed board and all with the grain rising toward the tail, the lightest cuts last")
            .minding(planer())
            .minding(["carrier_board"]),
        Way::Sled => sled(operation, units, blank, depth, "Turn it over onto the flat face"),
        Way::Hand => hand::thickness(operation, units, blank),
    };
    let operation = match way {
        Way::Machine | Way::Carrier => {
            snipe::check(making, blank);
            snipe::told(operation, units, blank)
        }
        Way::Sled | Way::Hand => operation,
    };
    let operation = left_on(operation, making, blank);
    making.add(
        operation
            .step("Once it is parallel, turn it over at each pass, so that both faces lose alike")
            .step(format!("Stop at {to} and measure in three places"))
            .figure(blank.ladder.figure(units)),
    );
}

/// What stays on for later, and until when.
fn left_on(operation: Operation, making: &Making, blank: &Blank) -> Operation {
    let units = making.units();
    let allowances = making.brief.kit.allowances;
    match blank.until {
        Until::Sanding => operation
            .set("left on for sanding", format!("{} on each face", units.fine_length(allowances.sanding))),
        Until::GlueUp => operation
            .set(
                "left on until the panel is planed",
                format!("{} on each face", units.fine_length(allowances.planing / 2.0)),
            )
            .step(
                "Plane all strips of a panel at one setting: what is left on takes the steps of the glue-up",
            ),
    }
}

/// Passes and their time.
fn paced(operation: Operation, units: Units, blank: &Blank, depth: Length, pace: Pace) -> Operation {
    let passes = passes(depth, pace.pass);
    let each = units.fine_length((depth / passes).max(Length::ZERO));
    let hands = pace.set_up + pace.per_m2 * (blank.area.to_m2() * passes);
    let cuts = format!("{passes:.0} of {each}");
    let figure = Figure::new("cuts", cuts.as_str())
        .by("depth to take / depth of one pass, rounded up", "common practice, no source")
        .from("depth to take", units.fine_length(depth))
        .from("one pass at most", units.fine_length(pace.pass))
        .from("one pass over a square metre", format!("{} min", pace.per_m2.to_minutes()))
        .from("area", units.area(blank.area))
        .from("getting ready", pace.set_up.to_words());
    let operation = operation.taking(hands).set("cuts", cuts).figure(figure);
    match blank.count {
        1 => operation,
        count => operation.set("lengths", format!("{count}, all at each setting")),
    }
}

fn sled(operation: Operation, units: Units, blank: &Blank, depth: Length, first: &str) -> Operation {
    paced(operation, units, blank, depth, SLED)
        .at(Machine::Router)
        .step(first)
        .step(format!(
            "Run the router on its sled across the whole face, {} deeper with each round at most",
            units.length(SLED_PASS)
        ))
        .minding(["first", "router", "eyes_ears_lungs", "no_gloves"])
}

#[cfg(test)]
mod tests {
    use stock::WantId;

    use super::*;
    use crate::fixture::{brief, layout, of_kind, routed};

    #[test]
    fn narrow_wood_goes_over_the_machines_and_wide_wood_under_the_sled() {
        let mut brief = brief();
        let route = routed(&brief);
        let slab = of_kind(&route, OperationKind::Plane)[0];
        assert_eq!(slab.machine, Some(Machine::Planer));
        let level = of_kind(&route, OperationKind::Flatten)[0];
        assert_eq!(level.machine, Some(Machine::Planer), "8 in jointer: on a carrier board");
        assert_eq!(slab.set_up[0].value, "0.768 in", "19 mm and 0.25 mm sanded from each face");
        let plank = of_kind(&route, OperationKind::Flatten)[1];
        assert_eq!(plank.machine, Some(Machine::Jointer));
        brief.kit.machines.planer_width = Length::mm(250.0);
        let route = routed(&brief);
        assert_eq!(of_kind(&route, OperationKind::Plane)[0].machine, Some(Machine::Router));
    }

    #[test]
    fn deeper_planing_takes_more_passes_and_more_time() {
        // By hand: 27 - 1.5 - 19.5 mm are 6 mm, at 1/32 in 7.6 passes, so 8; each
        // over 0.1798 m² takes 0.9 min, and the setting 5.
        let mut brief = brief();
        let planed = |brief: &stock::Brief| {
            let route = routed(brief);
            let it = of_kind(&route, OperationKind::Plane)[0];
            let cuts = it.figures.iter().find(|it| it.name == "cuts").unwrap().value.clone();
            (cuts, it.hands.to_minutes())
        };
        let (cuts, minutes) = planed(&brief);
        assert_eq!(cuts, "8 of 0.03 in");
        assert!((minutes - 12.19).abs() < 0.01, "{minutes}");
        brief.pieces[0].thickness = Length::mm(23.5);
        let (cuts, minutes) = planed(&brief);
        assert_eq!(cuts, "4 of 0.025 in", "2.5 mm");
        assert!((minutes - 8.60).abs() < 0.01, "{minutes}");
        assert_eq!(
            (super::passes(Length::ZERO, PLANER_PASS), super::passes(PLANER_PASS * 3.0, PLANER_PASS)),
            (1.0, 3.0)
        );
    }

    #[test]
    fn strips_stay_thicker_until_their_panel_is_planed() {
        // 20 mm in the panel, and half of 1.5 mm more on each face.
        let route = routed(&brief());
        let planed = of_kind(&route, OperationKind::Plane);
        let labels: Vec<&str> = planed.iter().map(|it| it.set_up[0].label.as_str()).collect();
        let (glue, sand) = ("thickness before glue-up", "thickness before sanding");
        assert_eq!(labels, [sand, glue, glue, sand]);
        assert_eq!(planed[1].set_up[0].value, "0.846 in", "21.5 mm");
    }

    #[test]
    fn push_blocks_are_called_for_at_the_jointer_alone() {
        let route = routed(&brief());
        let level = of_kind(&route, OperationKind::Flatten);
        let blocks = |it: &Operation| it.cautions.iter().any(|it| it.starts_with("Push blocks"));
        assert!(blocks(level[1]) && !blocks(level[0]), "{level:?}");
    }

    #[test]
    fn a_thinner_part_is_planed_after_it_is_sawn() {
        let mut brief = brief();
        let sawn_last = |route: &crate::Route| {
            let last = route.operations.iter().rposition(|it| it.kind == OperationKind::Saw);
            route.operations[last.unwrap()..].iter().filter(|it| it.kind == OperationKind::Plane).count()
        };
        assert_eq!(sawn_last(&routed(&brief)), 0);
        let mut thin = brief.job.wants[0].clone();
        (thin.id, thin.thickness) = (WantId(3), Length::mm(15.0));
        brief.job.wants.push(thin);
        let mut layout = layout(&brief);
        let mut second = layout.placements[0].clone();
        second.part.want = WantId(3);
        layout.placements.push(second);
        assert_eq!(sawn_last(&crate::route(&brief, &layout)), 1);
    }
}
