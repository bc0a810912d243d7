//! Makes the change that a finding offers.

use measure::Problem;
use stock::{Change, FeatureKind, FinishedFaces, Job, JobId, PatternId, Want, WantId};
use store::Edit;

use crate::{Shop, Trouble};

impl Shop {
    /// Makes a change to a job or to one of its patterns; it can be undone.
    ///
    /// # Errors
    /// There is no such job, want, pattern or feature.
    pub fn mend(&self, job: JobId, change: &Change) -> Result<(), Trouble> {
        let seen = Some(self.version()?);
        let mut it = self.job(job)?;
        let label = match change {
            Change::Due { to } => {
                it.due = *to;
                format!("move the day of {} to {to}", it.name)
            }
            Change::Finish { to } => {
                it.finish = to.clone();
                format!("finish {} with {to}", it.name)
            }
            Change::FinishBothFaces => {
                it.choices.finished = FinishedFaces::Both;
                format!("finish both faces in {}", it.name)
            }
            Change::Thickness { want: id, to } => {
                want(&mut it, *id)?.thickness = *to;
                format!("change a thickness in {}", it.name)
            }
            Change::Count { want: id, to } => {
                want(&mut it, *id)?.count = *to;
                format!("change a count in {}", it.name)
            }
            Change::Blade { pattern, to } => {
                it.choices.blades.insert(*pattern, *to);
                format!("choose another blade in {}", it.name)
            }
            Change::Unpin { part } => {
                it.choices.pins.retain(|pin| pin.part != *part);
                format!("let a part of {} find its place", it.name)
            }
            Change::Turn { .. } | Change::Hole { .. } | Change::Depth { .. } => {
                return self.mend_pattern(change);
            }
        };
        crate::limits::check_job(&it)?;
        self.change(&label, &[Edit::put(&it)?.seen(seen)])
    }

    fn mend_pattern(&self, change: &Change) -> Result<(), Trouble> {
        match change {
            Change::Turn { pattern, feature, to } => self.change_feature(*pattern, *feature, |kind| {
                let (along, label) = match kind {
                    FeatureKind::FootSeat { along, .. } => (along, "turn a foot"),
                    FeatureKind::Batten { along, .. } => (along, "turn a batten"),
                    FeatureKind::Handle { along, .. } => (along, "turn the handle"),
                    _ => return None,
                };
                *along = *to;
                Some(label)
            }),
            Change::Hole { pattern, hole, at: to, diameter: wide } => {
                self.change_feature(*pattern, *hole, |kind| {
                    let FeatureKind::HangingHole { at, diameter } = kind else { return None };
                    (*at, *diameter) = (*to, *wide);
                    Some("mend the hanging hole")
                })
            }
            Change::Depth { pattern, feature, to } => self.change_feature(*pattern, *feature, |kind| {
                let (depth, label) = match kind {
                    FeatureKind::Hollow { depth, .. } => (depth, "make the hollow less deep"),
                    FeatureKind::Pocket { depth, .. } => (depth, "make the pocket less deep"),
                    _ => return None,
                };
                *depth = *to;
                Some(label)
            }),
            Change::Due { .. }
            | Change::Finish { .. }
            | Change::FinishBothFaces
            | Change::Thickness { .. }
            | Change::Count { .. }
            | Change::Blade { .. }
            | Change::Unpin { .. } => Err(Problem::new("this change is the job's, not a pattern's").into()),
        }
    }

    fn change_feature(
        &self,
        pattern: PatternId,
        feature: stock::FeatureId,
        alter: impl FnOnce(&mut FeatureKind) -> Option<&'static str>,
    ) -> Result<(), Trouble> {
        let seen = Some(self.version()?);
        let mut it = self.pattern(pattern)?;
        let found = it.features.iter_mut().find(|it| it.id == feature);
        let found = found.ok_or_else(|| Trouble::missing("feature", feature))?;
        let label = alter(&mut found.kind).ok_or_else(|| Trouble::missing("such feature", feature))?;
        let label = format!("{label} of {}", it.name);
        crate::limits::check_pattern(&it)?;
        self.change(&label, &[Edit::put(&it)?.seen(seen)])
    }
}

fn want(job: &mut Job, id: WantId) -> Result<&mut Want, Trouble> {
    job.wants.iter_mut().find(|want| want.id == id).ok_or_else(|| Trouble::missing("want", id))
}
