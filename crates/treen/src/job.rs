//! What is wanted, planned and printed.

use std::path::PathBuf;

use clap::Subcommand;
use jiff::civil::Date;
use measure::Problem;
use shop::{NewJob, Shop, Trouble};
use stock::{JobId, PatternId, Want, WantId};

use crate::say::say;
use crate::told;

/// What can be done with jobs.
#[derive(Subcommand)]
pub(crate) enum Jobs {
    /// List the jobs
    List,
    /// Start a job; all the wood on the rack may go into it
    New {
        /// What you call it
        name: String,
        /// The day on which food may touch it: 2026-12-24
        #[arg(long)]
        due: Date,
    },
    /// Want a pattern, so many times
    Want {
        /// The job's number
        job: u32,
        /// The pattern's number
        pattern: u32,
        /// Finished thickness
        #[arg(long)]
        thickness: String,
        /// How many
        #[arg(long, default_value_t = 1)]
        count: u32,
        /// They may be made as mirror images
        #[arg(long)]
        may_mirror: bool,
        /// Their underside shows, so the wood has to be clear there too
        #[arg(long)]
        underside_shows: bool,
    },
    /// Work out the whole plan
    Plan {
        /// The job's number
        job: u32,
    },
    /// Show the plan again
    Show {
        /// The job's number
        job: u32,
    },
    /// Make the mending that a finding offers
    Mend {
        /// The job's number
        job: u32,
        /// The finding's number, as listed
        finding: usize,
    },
    /// Write the packet for the shop
    Packet {
        /// The job's number
        job: u32,
        /// The PDF to write
        file: PathBuf,
    },
    /// Say that its wood is sawn: what is left of it goes back on the rack
    Sawn {
        /// The job's number
        job: u32,
    },
    /// Take a job away
    Remove {
        /// Its number
        id: u32,
    },
}

impl Jobs {
    pub(crate) fn run(self, shop: &Shop) -> Result<(), Trouble> {
        match self {
            Jobs::List => list(shop),
            Jobs::New { name, due } => {
                let job = shop.add_job(NewJob { name, due })?;
                say!("job {} is started: {}", job.id, job.name);
                Ok(())
            }
            Jobs::Want { job, pattern, thickness, count, may_mirror, underside_shows } => {
                let seen = Some(shop.version()?);
                let mut job = shop.job(JobId(job))?;
                let pattern = shop.pattern(PatternId(pattern))?.id;
                let id = WantId(job.wants.iter().map(|it| it.id.0).max().unwrap_or(0) + 1);
                let thickness = crate::length(shop, &thickness)?;
                let want = Want::new(id, pattern, count, thickness);
                job.wants.push(Want { may_mirror, underside_shows, ..want });
                shop.put_job(&job, seen)
            }
            Jobs::Plan { job } => plan(shop, JobId(job)),
            Jobs::Show { job } => {
                told::plan(&shop.brief(JobId(job))?, &shop.plan(JobId(job))?);
                Ok(())
            }
            Jobs::Mend { job, finding } => mend(shop, JobId(job), finding),
            Jobs::Packet { job, file } => {
                crate::keep(&file, &shop.packet(JobId(job))?)?;
                say!("wrote {}: print it at full size, and measure a check bar first", file.display());
                Ok(())
            }
            Jobs::Sawn { job } => sawn(shop, JobId(job)),
            Jobs::Remove { id } => shop.remove_job(JobId(id)),
        }
    }
}

/// Plans a job and tells the plan.
pub(crate) fn plan(shop: &Shop, job: JobId) -> Result<(), Trouble> {
    let view =
        shop.plan_job(job, &|label, share, _| eprintln!("{:>4.0} %  {label}", share * 100.0), &|| false)?;
    told::plan(&shop.brief(job)?, &view);
    Ok(())
}

fn mend(shop: &Shop, job: JobId, number: usize) -> Result<(), Trouble> {
    let plan = shop.plan(job)?.plan;
    let finding = number.checked_sub(1).and_then(|index| plan.findings.get(index));
    let finding = finding.ok_or_else(|| {
        let message = format!("there is no finding {number}; the plan has {}", plan.findings.len());
        Trouble::Missing(Problem::new(message).hint("list them with `treen job show`"))
    })?;
    let offered = finding.mendings.iter().find_map(|it| Some((&it.label, it.change.as_ref()?)));
    let (label, change) = offered.ok_or_else(|| {
        let hint = finding.mendings.first().map_or("change the job", |it| it.label.as_str());
        Trouble::Conflict(Problem::new("this finding is yours to mend").hint(hint))
    })?;
    shop.mend(job, change)?;
    say!("done: {label}; plan the job again");
    Ok(())
}

fn sawn(shop: &Shop, job: JobId) -> Result<(), Trouble> {
    let sawing = shop.saw(job)?;
    say!("{}", sawing.told);
    for piece in &sawing.pieces {
        for id in shop.piece(*piece)?.sawn.into_iter().flat_map(|it| it.leftovers) {
            say!("piece {id} is on the rack: {}", shop.piece(id)?.name);
        }
    }
    told::problems(&sawing.notes);
    say!("if that was too soon, take it back with `treen undo`");
    Ok(())
}

fn list(shop: &Shop) -> Result<(), Trouble> {
    let view = shop.view()?;
    for it in &view.jobs {
        let sawn = it.sawn.map(|on| format!("  sawn on {on}")).unwrap_or_default();
        let state = match &it.plan {
            None => "not planned yet".to_owned(),
            Some(plan) if plan.stale => "to be planned again".to_owned(),
            Some(plan) => format!("{} stop, {} mend, ready on {}", plan.stops, plan.mends, plan.ready_on),
        };
        say!(
            "{:>4}  {:<28} due {}  {state}{sawn}  {} of {} steps",
            it.job.id.0,
            it.job.name,
            it.job.due,
            it.steps_done,
            it.steps
        );
    }
    if view.jobs.is_empty() {
        say!("there is no job yet: start one with `treen job new`");
    }
    Ok(())
}
