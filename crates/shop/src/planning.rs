//! Plans a job, keeps the plan, and puts it on paper.

use jiff::civil::Date;
use measure::Problem;
use plan::Plan;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use stock::{Brief, FaceKey, Grade, Job, JobId, Layout, Paper, Pattern, Piece, ShopKit};
use store::KeptPlan;

use crate::view::{PlanState, PlanView};
use crate::{Shop, Trouble, clock};

/// What a list of jobs tells of a plan.
#[derive(Serialize, Deserialize)]
struct Short {
    stops: u32,
    mends: u32,
    ready_on: Date,
    steps: u32,
}

impl Shop {
    /// All that a planning of this job reads.
    ///
    /// # Errors
    /// There is no such job.
    pub fn brief(&self, job: JobId) -> Result<Brief, Trouble> {
        let job = self.job(job)?;
        let kit = self.kit()?;
        let (pieces, patterns) = self.reading(|store| Ok((store.all()?, store.all()?)))?;
        let first = clock::first_day(&kit.people, clock::now());
        Ok(brief(&job, &pieces, &patterns, &kit, first))
    }

    /// Plans a job and keeps the plan. `progress` gets the best layout so far;
    /// `stop` ends the search and keeps it.
    ///
    /// # Errors
    /// There is no such job, or its wood was sawn: what was made of it is then
    /// told by the plan that it was sawn by.
    pub fn plan_job(
        &self,
        job: JobId,
        progress: &(dyn Fn(&str, f64, Option<&Layout>) + Sync),
        stop: &(dyn Fn() -> bool + Sync),
    ) -> Result<PlanView, Trouble> {
        let brief = self.brief(job)?;
        self.check_unsawn(&brief.job, "it keeps the plan that it was sawn by")?;
        let mut plan = plan::plan(&brief, progress, stop);
        plan.findings.extend(self.sawn_elsewhere(&brief.job)?);
        plan.findings.sort_by_key(|it| it.grade);
        // It may have been sawn while this went on.
        self.check_unsawn(&brief.job, "it keeps the plan that it was sawn by")?;
        self.keep(&brief, &plan)?;
        Ok(PlanView { stale: false, plan })
    }

    /// A job's plan.
    ///
    /// # Errors
    /// There is no such job, or it was never planned.
    pub fn plan(&self, job: JobId) -> Result<PlanView, Trouble> {
        self.plan_of(&self.brief(job)?)
    }

    /// The plan that is kept for a brief, and whether it was made from this very one.
    pub(crate) fn plan_of(&self, brief: &Brief) -> Result<PlanView, Trouble> {
        let job = brief.job.id;
        let kept = self.reading(|store| store.plan(job))?.ok_or_else(|| {
            let message = format!("“{}” has no plan yet", brief.job.name);
            Trouble::Missing(Problem::new(message).hint("plan it first"))
        })?;
        let plan: Plan = serde_json::from_str(&kept.body).map_err(|_| {
            let message = format!("the plan of “{}” was made by another version of Treen", brief.job.name);
            Trouble::Missing(Problem::new(message).hint("plan it again"))
        })?;
        Ok(PlanView { stale: kept.made_from != fingerprint(brief)?, plan })
    }

    /// The packet of a job's plan, as PDF.
    ///
    /// # Errors
    /// The job was never planned, or its plan is older than its wood, patterns
    /// or wishes: paper from such a plan would spoil wood.
    pub fn packet(&self, job: JobId) -> Result<Vec<u8>, Trouble> {
        let brief = self.brief(job)?;
        let view = self.plan_of(&brief)?;
        check_current(&brief.job, &view)?;
        let picture = |id: &stock::PictureId| self.picture(id).ok();
        Ok(packet::packet(&brief, &view.plan, &picture)?)
    }

    /// The first so many scale sheets to lay on the wood, as PDF.
    ///
    /// # Errors
    /// There are not so many.
    pub fn scale_sheets(&self, paper: Paper, count: u8) -> Result<Vec<u8>, Trouble> {
        Ok(packet::scale_sheets(paper, count)?)
    }

    /// A job's plan in short, with the number of its steps.
    pub(crate) fn plan_in_short(
        &self,
        job: &Job,
        pieces: &[Piece],
        patterns: &[Pattern],
        kit: &ShopKit,
    ) -> Result<Option<(PlanState, u32)>, Trouble> {
        let Some((made_from, short)) = self.reading(|store| store.plan_in_short(job.id))? else {
            return Ok(None);
        };
        let Ok(short) = serde_json::from_str::<Short>(&short) else { return Ok(None) };
        let stale = made_from != fingerprint(&brief(job, pieces, patterns, kit, clock::today()))?;
        let state = PlanState { stale, stops: short.stops, mends: short.mends, ready_on: short.ready_on };
        Ok(Some((state, short.steps)))
    }

    fn keep(&self, brief: &Brief, plan: &Plan) -> Result<(), Trouble> {
        let count = |grade| plan.findings.iter().filter(|it| it.grade == grade).count() as u32;
        let short = Short {
            stops: count(Grade::Stop),
            mends: count(Grade::Mend),
            ready_on: plan.schedule.ready_on,
            steps: plan.operations.iter().map(|it| it.steps.len() as u32).sum(),
        };
        let kept = KeptPlan { made_from: fingerprint(brief)?, short: json(&short)?, body: json(plan)? };
        self.writing(|store| store.keep_plan(brief.job.id, &kept))
    }
}

/// # Errors
/// What a plan was made from has changed since.
pub(crate) fn check_current(job: &Job, view: &PlanView) -> Result<(), Trouble> {
    if !view.stale {
        return Ok(());
    }
    let message = format!("the plan of “{}” is older than its wood, patterns or wishes", job.name);
    Err(Trouble::Conflict(Problem::new(message).hint("plan it again, or undo what was changed since")))
}

/// What the job can reach of the shop: its own pieces and patterns only, so
/// that other wood on the rack does not make its plan old. Wood that was sawn
/// for another job is gone; its own is there as it was when it was whole.
pub(crate) fn brief(job: &Job, pieces: &[Piece], patterns: &[Pattern], kit: &ShopKit, today: Date) -> Brief {
    let of_panels = || job.panels.iter().flat_map(|panel| &panel.runs).map(|run| run.piece);
    let pinned = |id| job.choices.pins.iter().any(|pin| pin.face == FaceKey::Piece(id));
    let reached = |id| job.pieces.contains(&id) || of_panels().any(|it| it == id) || pinned(id);
    let theirs = |piece: &Piece| piece.sawn.as_ref().is_none_or(|it| it.job == job.id);
    let whole = |piece: &Piece| Piece { sawn: None, ..piece.seen_from_near() };
    Brief {
        job: job.clone(),
        pieces: pieces.iter().filter(|it| reached(it.id) && theirs(it)).map(whole).collect(),
        patterns: patterns
            .iter()
            .filter(|it| job.wants.iter().any(|want| want.pattern == it.id))
            .cloned()
            .collect(),
        kit: kit.clone(),
        today,
    }
}

/// Names a brief by what it holds, whatever the day.
fn fingerprint(brief: &Brief) -> Result<String, Trouble> {
    let timeless = Brief { today: Date::constant(2000, 1, 1), ..brief.clone() };
    let digest = Sha256::digest(json(&timeless)?.as_bytes());
    Ok(digest.iter().map(|byte| format!("{byte:02x}")).collect())
}

fn json(it: &impl Serialize) -> Result<String, Trouble> {
    serde_json::to_string(it).map_err(|why| Problem::new(format!("cannot write the plan down: {why}")).into())
}
