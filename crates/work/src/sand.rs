//! Sanding: grit steps, time and sheets.

use handbook::{Sander, Surface, sanding_source, sanding_time, sheets, steps, steps_source};
use measure::{Figure, Minutes};
use stock::SandingTool;

use crate::making::{Laid, Making};
use crate::{Machine, Operation, OperationKind, Supply};

/// The last grit before a finish: finer closes the pores against oil, coarser
/// shows under a film (common practice, no source).
const LAST_GRIT: u32 = 150;

/// Breaking the edges of one part by hand.
const BREAK_EDGES: Minutes = Minutes::minutes(10.0);

/// Sands every part.
pub(crate) fn parts(making: &mut Making, parts: &[Laid]) {
    for part in parts {
        let operation = sanding(making, part);
        making.add(operation);
    }
}

fn sanding(making: &Making, part: &Laid) -> Operation {
    let units = making.units();
    let (with, word) = match making.brief.kit.sanding {
        SandingTool::Orbital => (Sander::Orbital, "orbital sander"),
        SandingTool::Block => (Sander::Block, "sanding block"),
    };
    let area = part.surface();
    let grits = steps(Surface::Planed, LAST_GRIT);
    let each = sanding_time(with, area);
    let rounds = grits.len() as f64;
    let used = f64::from(sheets(with, area)) * rounds;
    let hands = each * rounds + BREAK_EDGES;
    let time = Figure::new("time of sanding", format!("{:.0} min", hands.to_minutes()))
        .by("area · minutes for a square metre · grits + edges", sanding_source(with))
        .from("area, both faces and edges", units.area(area))
        .from("each grit", format!("{:.0} min", each.to_minutes()))
        .from("grits", format!("{}", grits.len()))
        .from("breaking the edges", format!("{:.0} min", BREAK_EDGES.to_minutes()));
    let words: Vec<String> = grits.iter().map(u32::to_string).collect();
    let ladder = Figure::new("grits", words.join(", "))
        .by("from a planed face to the last grit, each step at most one grit left out", steps_source());
    let mut operation = Operation::begin(OperationKind::Sand, format!("Sand {}", part.name))
        .working_on(vec![part.workpiece()])
        .taking(hands)
        .set("with", word)
        .set("grits", words.join(", "))
        .minding(["first", "sander", "dust", "eyes_ears_lungs"])
        .using(Supply::Abrasive, used)
        .figure(time)
        .figure(ladder);
    if with == Sander::Orbital {
        operation = operation.at(Machine::Sander);
    }
    for wood in &part.woods {
        operation.cautions.push(format!("Dust of {}: {}", wood.name, wood.dust_note));
    }
    for (index, grit) in grits.iter().enumerate() {
        let before = if index == 0 { "all saw and planer marks" } else { "all scratches of the grit before" };
        operation = operation.step(format!("Sand faces and edges with {grit} until {before} are gone"));
    }
    operation.step("Break every edge, wipe with a damp cloth, let it dry and sand the raised fibres lightly")
}
