//! The whole of it: from a brief to a plan.

use layout::Config;
use measure::Checked;
use stock::{Brief, Change, Finding, Layout, Mending};
use work::{Route, SawnFaces};

use crate::bill::bill;
use crate::care::care_card;
use crate::parts::planned_parts;
use crate::room::LaidOut;
use crate::schedule::{is_late, schedule};
use crate::words::day;
use crate::{Plan, placing};

/// What is being done, how much of it (0 to 1), and the best layout so far.
pub type Progress<'a> = &'a (dyn Fn(&str, f64, Option<&Layout>) + Sync);

/// Plans a job: places its parts, and works out all the rest.
///
/// The same brief gives the same plan, to the byte, unless `stop` ends the
/// search for places; then the best so far is planned.
pub fn plan(brief: &Brief, progress: Progress<'_>, stop: &(dyn Fn() -> bool + Sync)) -> Plan {
    progress("placing the parts", 0.0, None);
    let placing = |best: &Layout, share: f64| progress("placing the parts", 0.7 * share, Some(best));
    let laid = layout::lay_out(brief, &Config::default(), &placing, stop);
    progress("finding the cuts of the saw", 0.7, Some(&laid.value));
    let more_room = |best: &Layout, share: f64| {
        progress("making room for the saw", 0.7 + 0.2 * share, Some(best));
    };
    let laid_out = LaidOut::of(brief, laid).with_room(brief, &more_room, stop);
    progress("working out operations, dates and bill", 0.9, Some(&laid_out.laid.value));
    let plan = planned(brief, laid_out);
    progress("planned", 1.0, None);
    plan
}

/// Plans the job on a layout: route, findings, dates, bill and care card.
///
/// The same brief and layout give the same plan, to the byte.
pub fn plan_on(brief: &Brief, laid: Checked<Layout>) -> Plan {
    planned(brief, LaidOut::of(brief, laid))
}

/// The same on a layout with its cuts.
fn planned(brief: &Brief, LaidOut { laid, sawn }: LaidOut) -> Plan {
    let unplaced = placing::findings(brief, &laid);
    let layout = laid.value;
    let Route { operations, findings: on_the_way, cut_sheets } = work::route_sawn(brief, &layout, &sawn);
    let (schedule, mut late) = schedule(brief, &operations);
    if let Some(finding) = late.iter_mut().find(|it| is_late(it)) {
        finding.mendings.splice(1..1, quicker_finish(brief, &layout, &sawn));
    }
    let (bill, unpriced) = bill(brief, &layout, &operations);
    let mut findings: Vec<Finding> = unplaced;
    findings.extend(on_the_way);
    findings.extend(late);
    findings.extend(unpriced);
    findings.sort_by_key(|it| it.grade);
    let parts = planned_parts(brief, &layout);
    let care = care_card(brief, &layout, schedule.ready_on);
    Plan { layout, parts, operations, cut_sheets, findings, schedule, bill, care }
}

/// The finish that is ready first, if with it the day is held.
fn quicker_finish(brief: &Brief, layout: &Layout, sawn: &SawnFaces) -> Option<Mending> {
    let sound = brief.facts().sound_finishes().map(|it| it.finish).filter(|it| it.key != brief.job.finish);
    let tried = sound.map(|it| {
        let mut otherwise = brief.clone();
        otherwise.job.finish = it.key.clone();
        (schedule(&otherwise, &work::route_sawn(&otherwise, layout, sawn).operations).0, it)
    });
    let (schedule, finish) =
        tried.filter(|(schedule, _)| schedule.holds).min_by_key(|(it, _)| it.ready_on)?;
    let label = format!("finish it with {}: ready on {}", finish.name, day(schedule.ready_on));
    Some(Mending::by(Change::Finish { to: finish.key.clone() }, label))
}
