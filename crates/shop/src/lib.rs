//! The one surface for command line and page: joins photo, store, plan and packet.
//!
//! The only place that reads the clock and the shop folder.

mod view;

pub use view::{
    BenchOperation, BenchStep, BenchView, DoneMark, FactLine, Facts, JobView, NewJob, NewPattern, NewPiece,
    PhotoAsk, PlanState, PlanView, SheetsAt, ShopView, Task, TaskEvent, TaskId, TaskResult, Tick, TraceAsk,
};
