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
        let does =
            wood.dust.as_ref().map_or("nothing is known of it; take it for an irritant", |it| &it.value);
        operation.cautions.push(format!("Dust of {}: {does}", wood.name));
    }
    for (index, grit) in grits.iter().enumerate() {
        let before = if index == 0 { "all saw and planer marks" } else { "all scratches of the grit before" };
        operation = operation.step(format!("Sand faces and edges with {grit} until {before} are gone"));
    }
    operation.step("Break every edge, wipe with a damp cloth, let it dry and sand the raised fibres lightly")
}

#[cfg(test)]
mod tests {
    use measure::{Length, Minutes};
    use outline::{Outline, Ring};
    use stock::SandingTool;

    use super::*;
    use crate::fixture::{brief, of_kind, routed};

    #[test]
    fn a_large_hand_sanded_board_takes_about_three_hours() {
        // Common practice, no source: about three hours for one large hand-shaped
        // serving board, 80, 100, 150 from a planed face.
        let mut brief = brief();
        brief.kit.sanding = SandingTool::Block;
        let large = Ring::rectangle(Length::mm(560.0), Length::mm(270.0)).unwrap();
        brief.patterns[0].outline = Outline::from(large);
        brief.patterns[0].features.clear();
        let route = routed(&brief);
        let sanded = of_kind(&route, OperationKind::Sand)[0];
        let off = sanded.hands - Minutes::hours(3.0);
        assert!(off.abs() <= Minutes::minutes(30.0), "{:?}", sanded.hands);
        assert_eq!(sanded.machine, None);
        let grits = sanded.set_up.iter().find(|it| it.label == "grits").unwrap();
        assert_eq!(grits.value, "80, 100, 150");
        assert_eq!(sanded.uses[0].supply, Supply::Abrasive);
        assert!(sanded.uses[0].amount >= 3.0);
    }

    #[test]
    fn a_machine_sands_faster() {
        let mut brief = brief();
        let orbital = of_kind(&routed(&brief), OperationKind::Sand)[0].clone();
        brief.kit.sanding = SandingTool::Block;
        let block = of_kind(&routed(&brief), OperationKind::Sand)[0].clone();
        assert!(orbital.hands < block.hands);
        assert_eq!(orbital.machine, Some(Machine::Sander));
    }
}
