//! The one surface for command line and page: joins photo, store, plan and packet.
//!
//! The only place that reads the clock and the shop folder.

mod bench;
mod body;
mod bring_in;
mod clock;
mod demo;
mod faces;
mod facts;
mod hand;
mod keeping;
mod leftover;
mod limits;
mod mend;
mod planning;
mod refit;
mod sawing;
mod suiting;
mod trouble;
mod view;

pub use bring_in::{Progress, Stop};
pub use keeping::Shop;
pub use layout::{HandRules, PieceUse, Suit, Suits, Verdict};
pub use refit::Refit;
pub use sawing::Sawing;
pub use suiting::{SuitAsk, Uses};
pub use trouble::Trouble;
pub use view::{
    Answer, BenchOperation, BenchStep, BenchView, BoardAsk, BoardYear, CityYears, CoatTime, DoneMark,
    EdgeAsk, EdgeStroke, FactLine, Facts, FarPhotoAsk, FinishSheet, FinishTimes, JobView, KeennessLine,
    KnownLength, MeterAsk, NewJob, NewPattern, NewPiece, PhotoAsk, PlanState, PlanView, RowSheet, SeasonLine,
    SheetsAt, ShopView, Task, TaskEvent, TaskId, TaskResult, Tick, TownLine, TraceAsk, WoodSheet, YearLine,
};
