//! The bench and the plan, turned so that no usual edge runs along the rows.
//!
//! Most boards and most cuts lie square on their face. Rows that lay square too
//! would take all of such an edge or nothing of it; at a slant the errors of the
//! rows cancel out along every edge.

use measure::Angle;
use outline::{Outline, Place, Point};
use stock::{CutPlan, PartKey, SawLeg};

use crate::hearing::{self, Scene};
use crate::ruling::{Bench, Ruling};

/// No usual angle, and far from all of them.
const SLANT: Angle = Angle::degrees(21.3);

/// Saws the plan, and says what is wrong with it.
pub fn judge(bench: &Bench, plan: &CutPlan) -> Ruling {
    if let Some(refusal) = hearing::too_much(bench, plan) {
        return hearing::nothing_sawn(bench, plan, refusal);
    }
    let slant = Place { turn: SLANT, ..Place::default() };
    let wood = slant.outline(bench.wood);
    let parts: Vec<(PartKey, Outline)> =
        bench.parts.iter().map(|(key, it)| (*key, slant.outline(it))).collect();
    let scene =
        Scene { wood: &wood, parts: &parts, saw: bench.saw, thickness: bench.thickness, spare: bench.spare };
    let ruling = hearing::hear(&scene, &turned(plan, slant));
    turned_back(ruling, slant.inverse())
}

fn turned(plan: &CutPlan, slant: Place) -> CutPlan {
    let mut plan = plan.clone();
    plan.holes.iter_mut().for_each(|it| it.at = slant.point(it.at));
    for leg in plan.cuts.iter_mut().flat_map(|cut| &mut cut.legs) {
        match leg {
            SawLeg::Sawn { way } => way.iter_mut().for_each(|it| *it = slant.point(*it)),
            SawLeg::Turned { about, by: _ } => *about = slant.point(*about),
        }
    }
    plan
}

fn turned_back(mut ruling: Ruling, back: Place) -> Ruling {
    let turn = |it: &mut Point| *it = back.point(*it);
    ruling.refusals.iter_mut().for_each(|it| turn(&mut it.at));
    ruling.cuts.iter_mut().flat_map(|it| &mut it.falls).for_each(|it| turn(&mut it.middle));
    ruling.parts.iter_mut().for_each(|it| turn(&mut it.left_most_at));
    ruling
}
