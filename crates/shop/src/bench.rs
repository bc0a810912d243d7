//! The steps of a job at the bench, checked off and kept.

use std::collections::BTreeMap;

use plan::Plan;
use stock::JobId;
use store::Mark;
use work::{Machine, Operation, Workpiece};

use crate::view::{BenchOperation, BenchStep, BenchView, DoneMark, Tick};
use crate::{Shop, Trouble, clock};

impl Shop {
    /// The steps of a job, in the order of the dates.
    ///
    /// # Errors
    /// There is no such job, or it was never planned.
    pub fn bench(&self, job: JobId) -> Result<BenchView, Trouble> {
        let name = self.job(job)?.name;
        let plan = self.plan(job)?.plan;
        let marks = self.reading(|store| store.marks(job))?;
        Ok(BenchView { name, operations: operations(plan, &marks) })
    }

    /// Checks a step off, or opens it again.
    ///
    /// # Errors
    /// There is no such job or step.
    pub fn tick(&self, job: JobId, tick: &Tick) -> Result<BenchView, Trouble> {
        let bench = self.bench(job)?;
        let known = bench.operations.iter().flat_map(|it| &it.steps).any(|step| step.key == tick.key);
        if !known {
            return Err(Trouble::missing("step", &tick.key));
        }
        let note: String = tick.note.chars().take(2000).collect();
        let mark = tick.done.then(|| Mark { at: clock::now().to_string(), note });
        self.writing(|store| store.mark(job, &tick.key, mark.as_ref()))?;
        self.bench(job)
    }
}

fn operations(plan: Plan, marks: &BTreeMap<String, Mark>) -> Vec<BenchOperation> {
    let keys = operation_keys(&plan.operations);
    let mut all: Vec<BenchOperation> = plan
        .operations
        .into_iter()
        .zip(keys)
        .map(|(operation, key)| {
            let slot = plan.schedule.slots.iter().find(|slot| slot.operation == operation.id).cloned();
            let steps = (1..).zip(&operation.steps).map(|(number, step)| {
                let key = format!("{key}/{number}");
                let done = marks.get(&key).map(|it| DoneMark { at: it.at.clone(), note: it.note.clone() });
                BenchStep { key, text: step.text.clone(), timer: step.timer, done }
            });
            BenchOperation { steps: steps.collect(), operation, slot }
        })
        .collect();
    // A stable sort: operations without a date stay where the route has them.
    all.sort_by_key(|it| it.slot.as_ref().map(|slot| slot.from));
    all
}

/// A name for each operation that stays the same when the job is planned
/// again: what is done to which workpieces, and the how many-eth time.
pub(crate) fn operation_keys(operations: &[Operation]) -> Vec<String> {
    let mut times: BTreeMap<String, u32> = BTreeMap::new();
    operations
        .iter()
        .map(|operation| {
            let on: Vec<String> = operation.outputs.iter().map(|&it| workpiece_key(it)).collect();
            let name = format!(
                "{}:{}:{}",
                operation.kind.word(),
                operation.machine.map_or("hand", Machine::word),
                on.join("+")
            );
            let time = times.entry(name.clone()).and_modify(|it| *it += 1).or_insert(1);
            format!("{name}:{time}")
        })
        .collect()
}

fn workpiece_key(it: Workpiece) -> String {
    match it {
        Workpiece::Piece(id) => format!("piece{id}"),
        Workpiece::Strips(id) => format!("strips{id}"),
        Workpiece::Panel(id) => format!("panel{id}"),
        Workpiece::Part(part) => format!("part{}.{}", part.want, part.copy),
    }
}
