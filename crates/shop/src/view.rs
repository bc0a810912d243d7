//! What the command line and the page ask for and get.

mod facts;
mod photographs;

use handbook::SpeciesKey;
use jiff::civil::Date;
use measure::{Length, Minutes, Problem};
use outline::Family;
use serde::{Deserialize, Serialize};
use stock::{Form, Job, JobId, Layout, Pattern, PatternId, Piece, PieceId, Price, ShopKit};
use ts_rs::TS;
use work::Operation;

pub use facts::{
    BoardAsk, BoardYear, CityYears, CoatTime, FactLine, Facts, FinishSheet, FinishTimes, MeterAsk, RowSheet,
    SeasonLine, TownLine, WoodSheet, YearLine,
};

pub use photographs::{
    Answer, EdgeAsk, EdgeStroke, FarPhotoAsk, KeennessLine, KnownLength, PhotoAsk, SheetsAt,
};

measure::id!(
    /// Long work under way.
    TaskId
);

/// The whole shop at one moment.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct ShopView {
    /// Grows with every change, so that two devices see each other's.
    pub version: u32,
    /// The day, by the shop's clock.
    #[ts(type = "string")]
    pub today: Date,
    /// Machines, people, prices, units.
    pub kit: ShopKit,
    /// The rack.
    pub pieces: Vec<Piece>,
    /// The patterns.
    pub patterns: Vec<Pattern>,
    /// The jobs.
    pub jobs: Vec<JobView>,
    /// What undo would take back: `move the knot on the walnut slab`.
    pub undo: Option<String>,
    /// What redo would do again.
    pub redo: Option<String>,
    /// What the maker's answers about faults have come to, for each kind answered.
    pub keenness: Vec<KeennessLine>,
}

/// A job and how far it has come.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct JobView {
    /// The job.
    pub job: Job,
    /// Its plan in short, if it has one.
    pub plan: Option<PlanState>,
    /// The day on which its wood was sawn, if it was.
    #[ts(type = "string | null")]
    pub sawn: Option<Date>,
    /// Steps checked off at the bench.
    pub steps_done: u32,
    /// All steps at the bench.
    pub steps: u32,
}

/// A plan in short.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct PlanState {
    /// Whether what it was made from has changed since.
    pub stale: bool,
    /// Findings that stop the job.
    pub stops: u32,
    /// Findings to mend.
    pub mends: u32,
    /// The day from which food may touch the boards.
    #[ts(type = "string")]
    pub ready_on: Date,
}

/// A job's plan in full.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct PlanView {
    /// Whether what it was made from has changed since.
    pub stale: bool,
    /// The plan.
    pub plan: plan::Plan,
}

/// A piece brought in by measures alone.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct NewPiece {
    /// What the maker calls it.
    pub name: String,
    /// What it is of.
    pub species: SpeciesKey,
    /// Slab, plank or offcut.
    pub form: Form,
    /// Along the grain.
    pub length: Length,
    /// Across the grain.
    pub width: Length,
    /// As it lies there.
    pub thickness: Length,
    /// What it cost.
    pub price: Option<Price>,
}

/// A pattern drawn by parameters.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct NewPattern {
    /// What the maker calls it.
    pub name: String,
    /// The family with its parameters.
    pub family: Family,
}

/// A pattern traced from a photograph or brought in from a drawing.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct TraceAsk {
    /// What the maker calls it.
    pub name: String,
    /// Its overall length; without it a drawing keeps its own size, and a
    /// photograph needs a scale sheet in it.
    pub length: Option<Length>,
}

/// A job to start.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct NewJob {
    /// What the maker calls it.
    pub name: String,
    /// The day on which food may touch it.
    #[ts(type = "string")]
    pub due: Date,
}

/// Long work that was started.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Task {
    /// Where its events come from.
    pub task: TaskId,
}

/// What long work tells while it goes on.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case", tag = "event")]
pub enum TaskEvent {
    /// It goes on.
    Progress {
        /// What is being done: `finding the tags`.
        label: String,
        /// How much of it is done, 0 to 1.
        share: f64,
        /// The best layout so far, while placing.
        best: Option<Layout>,
    },
    /// It has ended well.
    Done {
        /// With this.
        result: TaskResult,
        /// What the maker should know about it.
        problems: Vec<Problem>,
    },
    /// It has failed; nothing was changed.
    Failed {
        /// Why.
        problem: Problem,
    },
}

/// What long work has made.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case", tag = "made", content = "id")]
pub enum TaskResult {
    /// A piece on the rack.
    Piece(PieceId),
    /// A pattern.
    Pattern(PatternId),
    /// A job's plan.
    Plan(JobId),
}

/// A job's steps at the bench.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct BenchView {
    /// The job's name.
    pub name: String,
    /// In the order of the dates.
    pub operations: Vec<BenchOperation>,
}

/// One operation at the bench.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct BenchOperation {
    /// The operation.
    pub operation: Operation,
    /// When it is to be done.
    pub slot: Option<plan::Slot>,
    /// Its steps.
    pub steps: Vec<BenchStep>,
}

/// One step at the bench.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct BenchStep {
    /// Names it, also in the next plan.
    pub key: String,
    /// What to do.
    pub text: String,
    /// A timer to set afterwards.
    pub timer: Option<Minutes>,
    /// When it was checked off.
    pub done: Option<DoneMark>,
}

/// A step was checked off.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct DoneMark {
    /// When, in the shop's time: `2026-11-25T14:05`.
    pub at: String,
    /// What really happened.
    pub note: String,
}

/// A step to check off, or to open again.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Tick {
    /// Which step.
    pub key: String,
    /// Checked off, or open again.
    pub done: bool,
    /// What really happened.
    pub note: String,
}
