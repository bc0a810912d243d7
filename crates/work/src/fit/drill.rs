//! Drilling a part, and making its feet.

use handbook::lead_source;
use measure::{Figure, Length, Minutes};

use crate::fit::Fixed;
use crate::fit::feet::{Fastening, Foot};
use crate::fit::handle::Handle;
use crate::fit::pocket::Pocket;
use crate::machining::counted;
use crate::making::{Laid, Making};
use crate::{Machine, Mark, MarkKind, Operation, OperationKind};

// Rates of hands (common practice, no source).
const SET_UP: Minutes = Minutes::minutes(10.0);
const EACH_HOLE: Minutes = Minutes::minutes(3.0);
const EACH_SLOT: Minutes = Minutes::minutes(6.0);
const MAKE_FOOT: Minutes = Minutes::minutes(8.0);

/// Every hole of a part, with its stop.
pub(super) fn drilling(making: &Making, fixed: &Fixed) -> Operation {
    let part = fixed.part;
    let units = making.units();
    let pilots: u32 = fixed.feet.iter().map(|(_, it)| it.count).sum();
    let slots = fixed.handles.iter().filter(|it| it.slot.is_some()).count();
    let plain = fixed.holes.len() + fixed.pockets.len() + fixed.handles.len() * 2;
    let count = plain as f64 + f64::from(pilots);
    let mut operation = Operation::begin(OperationKind::Drill, format!("Drill {}", part.name))
        .working_on(vec![part.workpiece()])
        .at(Machine::DrillPress)
        .taking(SET_UP + EACH_HOLE * count + EACH_SLOT * slots as f64)
        .minding(["first", "drill_press", "blade_change", "eyes_ears_lungs", "no_gloves"]);
    operation.marks = fixed.holes.clone();
    for hole in &fixed.holes {
        let wide = units.length(hole.diameter);
        operation = operation
            .set("hanging hole", wide.clone())
            .step(format!("Drill the hanging hole, {wide}, on a waste board"))
            .step("Round its edges on both faces");
    }
    for (foot, it) in &fixed.feet {
        operation = pilots_of(making, part, operation, foot, it);
    }
    for handle in &fixed.handles {
        operation = holes_of(making, part, operation, handle);
    }
    for pocket in &fixed.pockets {
        operation = pocket_of(making, part, operation, pocket);
    }
    operation
}

fn pilots_of(
    making: &Making,
    part: &Laid,
    mut operation: Operation,
    foot: &Foot,
    it: &Fastening,
) -> Operation {
    let units = making.units();
    let (name, depth) = (foot.name(), units.fine_length(it.bite));
    let pilot = |at| Mark { part: part.key, at, diameter: it.pilot, is: MarkKind::Pilot };
    operation.marks.extend(foot.screws(it).map(pilot));
    operation
        .set(&format!("pilot for {name}"), units.fine_length(it.pilot))
        .set(&format!("stop for {name}"), depth.clone())
        .step(format!(
            "Turn the underside up, set the stop to {depth} and drill {} for {name}",
            counted(it.count, "pilot")
        ))
        .figure(stop_figure(making, foot, it))
        .figure(pilot_figure(making, part, it))
}

fn holes_of(making: &Making, part: &Laid, mut operation: Operation, handle: &Handle) -> Operation {
    let units = making.units();
    let hole = units.fine_length(handle.hole);
    let through = |at| Mark { part: part.key, at, diameter: handle.hole, is: MarkKind::Through };
    operation.marks.extend(handle.holes().map(through));
    operation = operation.set(&format!("holes for handle {}", handle.id), hole.clone()).step(format!(
        "Drill the two holes for handle {}, {hole}, through from the food side onto a waste board",
        handle.id
    ));
    if let Some(slot) = handle.slot {
        let slot = units.fine_length(slot);
        operation = operation
            .set(&format!("slot for handle {}", handle.id), format!("{hole} by {slot}"))
            .step(format!("File one of them to a slot {slot} long, in line with the other"));
    }
    match handle.slot_figure(making) {
        Some(figure) => operation.figure(figure),
        None => operation,
    }
}

fn pocket_of(making: &Making, part: &Laid, mut operation: Operation, pocket: &Pocket) -> Operation {
    let units = making.units();
    let (wide, deep) = (units.fine_length(pocket.diameter), units.fine_length(pocket.depth));
    operation.marks.push(Mark {
        part: part.key,
        at: pocket.at,
        diameter: pocket.diameter,
        is: MarkKind::Pocket,
    });
    operation
        .set(&format!("pocket {} for a {}", pocket.id, pocket.word()), format!("{wide} wide, {deep} deep"))
        .step(format!(
            "Underside up, set the stop to {deep} and drill pocket {}, {wide}, with a flat-bottomed bit",
            pocket.id
        ))
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

fn pilot_figure(making: &Making, part: &Laid, it: &Fastening) -> Figure {
    let units = making.units();
    Figure::new("pilot hole", units.fine_length(it.pilot))
        .by("share of the screw's root", lead_source())
        .from("root of the screw", units.fine_length(it.screw.root))
        .from("wood", part.wood_words())
}

/// Sawing and boring the feet and battens.
pub(super) fn making_feet(making: &Making, fixed: &Fixed) -> Operation {
    let (part, held) = (fixed.part, &fixed.feet);
    let units = making.units();
    let battens = held.iter().filter(|it| it.0.batten).count() as u32;
    let feet = held.len() as u32 - battens;
    let words = match (feet, battens) {
        (_, 0) => format!("{feet} {}", if feet == 1 { "foot" } else { "feet" }),
        (0, _) => counted(battens, "batten"),
        _ => format!("{feet} {} and {}", if feet == 1 { "foot" } else { "feet" }, counted(battens, "batten")),
    };
    let mut operation = Operation::begin(OperationKind::Crosscut, format!("Make {words} for {}", part.name))
        .turning(Vec::new(), vec![part.workpiece()])
        .at(Machine::TableSaw)
        .taking(SET_UP + MAKE_FOOT * held.len() as f64)
        .step("Saw them from an offcut, the grain along the length; crosscut with a stop, never against the fence")
        .minding(["first", "table_saw", "drill_press", "eyes_ears_lungs", "no_gloves"]);
    for (foot, it) in held {
        let name = foot.name();
        let size = [foot.length, foot.width, foot.height].map(|it| units.length(it)).join(" by ");
        operation =
            operation.set(&name, size).set(&format!("hole in {name}"), units.fine_length(it.clearance));
        let capital = if foot.batten { "Batten" } else { "Foot" };
        if it.counterbore > Length::ZERO {
            let bore = format!("{} wide, {} deep", units.length(it.screw.plug), units.length(it.counterbore));
            operation = operation
                .set(&format!("counterbore of {name}"), bore.clone())
                .step(format!("{capital} {}: counterbore first, {bore}, then the hole through", foot.id));
        } else {
            operation =
                operation.step(format!("{capital} {}: drill through and countersink for the head", foot.id));
        }
        let off = foot.off_the_grain(making, part);
        let slot = off.and_then(|(off, _)| it.slot(making, part, off));
        if let (true, 2.., Some((slot, figure))) = (foot.batten, it.count, slot) {
            let slot = units.fine_length(slot);
            operation = operation
                .set(&format!("slots in {name}"), slot.clone())
                .step(format!("Batten {}: leave the middle hole round and make the others slots, {slot} along the batten", foot.id))
                .figure(figure.from("slot: shank + movement + 1 mm", slot));
        }
    }
    operation
}
