//! The steps of a job, checked off.

use clap::Subcommand;
use shop::{BenchView, Shop, Tick, Trouble};
use stock::JobId;

use crate::say::say;

/// What can be done at the bench.
#[derive(Subcommand)]
pub(crate) enum Bench {
    /// List the steps
    Show {
        /// The job's number
        job: u32,
    },
    /// Check a step off
    Check {
        /// The job's number
        job: u32,
        /// The step, as listed
        step: String,
        /// What really happened
        #[arg(long, default_value = "")]
        note: String,
    },
    /// Open a step again
    Open {
        /// The job's number
        job: u32,
        /// The step, as listed
        step: String,
    },
}

impl Bench {
    pub(crate) fn run(self, shop: &Shop) -> Result<(), Trouble> {
        match self {
            Bench::Show { job } => show(&shop.bench(JobId(job))?),
            Bench::Check { job, step, note } => {
                show(&shop.tick(JobId(job), &Tick { key: step, done: true, note })?)
            }
            Bench::Open { job, step } => {
                show(&shop.tick(JobId(job), &Tick { key: step, done: false, note: String::new() })?);
            }
        }
        Ok(())
    }
}

fn show(bench: &BenchView) {
    for it in &bench.operations {
        let from = it.slot.as_ref().map(|slot| slot.from.to_string()).unwrap_or_default();
        say!("{from}  {}", it.operation.title);
        for step in &it.steps {
            let mark = if step.done.is_some() { "x" } else { " " };
            say!("   [{mark}] {}  ({})", step.text, step.key);
        }
    }
}
