//! Glue-up: strips to a panel.

use handbook::{Glue, glue};
use measure::{Length, Minutes};
use stock::{FaceKey, Panel, PieceId, Spot};

use crate::making::{Laid, Making};
use crate::{Operation, OperationKind, Supply, Workpiece};

// Rates of hands (common practice, no source).
const DRY_FIT: Minutes = Minutes::minutes(10.0);
const SPREAD_EACH: Minutes = Minutes::minutes(0.75);
const CLAMP_EACH: Minutes = Minutes::minutes(0.75);
const SCRAPE: Minutes = Minutes::minutes(10.0);

/// Squeezed-out glue is scraped when it has gelled (common practice, no source).
const GELLED: Minutes = Minutes::minutes(30.0);

/// Glues every panel that parts lie on.
pub(crate) fn panels(making: &mut Making, parts: &[Laid]) {
    let glue = glue(&making.brief.job.glue);
    for panel in &making.brief.job.panels {
        let key = FaceKey::Panel(panel.id);
        if !parts.iter().any(|it| it.placement.face == key) {
            continue;
        }
        let spot = Spot::Panel { panel: panel.id };
        match (&glue, &panel.face()) {
            (Ok(glue), Ok(_)) => glue_up(making, panel, glue),
            (Err(problem), _) | (_, Err(problem)) => making.cannot(spot, problem),
        }
    }
}

fn glue_up(making: &mut Making, panel: &Panel, glue: &Glue) {
    let strips: Vec<(PieceId, Length)> = panel.strips().collect();
    let joints = strips.len().saturating_sub(1);
    let area = panel.length * panel.thickness * joints as f64;
    let litres = glue.quantity(area).to_litres();
    let operation = Operation::begin(OperationKind::Glue, format!("Glue up {}", panel.name))
        .turning(vec![Workpiece::Strips(panel.id)], vec![Workpiece::Panel(panel.id)])
        .taking(DRY_FIT + SPREAD_EACH * joints as f64)
        .then_waiting(glue.clamp)
        .step("Clamp it up dry: every joint closes without force")
        .step(format!("Spread glue on one side of all {joints} joints and close them"))
        .timed_step("Scrape off the squeezed-out glue when it has gelled", GELLED)
        .minding(["first", "clamps"])
        .minding(glue.cautions.iter().map(|it| it.0.as_str()))
        .using(Supply::Glue, litres);
    making.add(operation);
    let rest = Operation::begin(OperationKind::Glue, format!("Take {} out of the clamps", panel.name))
        .working_on(vec![Workpiece::Panel(panel.id)])
        .taking(SCRAPE)
        .then_waiting(glue.machine - glue.clamp.min(glue.machine))
        .step("Scrape off what is left of the glue")
        .step("Stand it on edge so that air reaches both faces, and do not plane it yet")
        .minding(["first", "clamps"]);
    making.add(rest);
}
