//! Cuts that have been sawn through before anybody sees them.

use std::cell::RefCell;

use cuts::{Planned, Task};
use judge::{Bench, Fault, Refusal, Ruling, judge};
use stock::PartKey;

/// Plans the cuts of a face and has them judged, until the judge refuses none of
/// them; what comes back has stood.
///
/// The wood's thickness under the guide is no matter of cuts and is not asked
/// about here.
pub fn plan_cuts(task: &Task, bench: &Bench) -> (Planned, Ruling) {
    // A plan that stands is the last one that is judged.
    let last = RefCell::new(None);
    let planned = cuts::plan(task, &|planned| {
        let ruling = judge(bench, &planned.plan);
        let refused = refused_part(&ruling, planned, bench);
        *last.borrow_mut() = refused.is_none().then_some(ruling);
        refused
    });
    let ruling = last.into_inner().unwrap_or_else(|| judge(bench, &planned.plan));
    (planned, ruling)
}

/// The part at whose cuts a plan fails when it is sawn through; none if it stands.
pub fn refused_part(ruling: &Ruling, planned: &Planned, bench: &Bench) -> Option<PartKey> {
    Some(part_of(&refusal(ruling, planned)?, planned, bench))
}

/// The first refusal that the cuts are to blame for: a part that no cut was
/// found for hangs on.
pub fn refusal(ruling: &Ruling, planned: &Planned) -> Option<Refusal> {
    let is_whole = planned.troubles.is_empty();
    ruling.refusals.iter().copied().find(|it| match it.fault {
        Fault::NotFreed | Fault::HangsTogether => is_whole,
        Fault::TooThick => false,
        _ => true,
    })
}

/// The part at whose cuts a plan fails: the one that the cut is for, or the one
/// nearest to the fault.
fn part_of(refusal: &Refusal, planned: &Planned, bench: &Bench) -> PartKey {
    let cut = refusal.cut.and_then(|it| planned.plan.cuts.get(it));
    let far = |it: &&(PartKey, &outline::Outline)| it.1.outer().distance(refusal.at).to_mm();
    let nearest = || bench.parts.iter().min_by(|a, b| far(a).total_cmp(&far(b))).map(|it| it.0);
    let none = PartKey { want: stock::WantId(0), copy: 0 };
    cut.and_then(|it| it.parts.first().copied()).or_else(nearest).unwrap_or(none)
}
