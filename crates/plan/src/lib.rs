//! Operations, findings, dates and the bill of one job.
//!
//! Planning is a pure function of the brief: the same brief gives the same
//! plan, to the byte.

mod answer;
mod bill;
mod calendar;
mod care;
mod greedy;
mod parts;
mod placing;
mod planning;
mod room;
mod schedule;
mod words;

pub use answer::{Bill, BillGroup, BillLine, CareCard, Plan, PlannedPart, Schedule, Slot};
pub use bill::{bill, board_feet};
pub use planning::{Progress, plan, plan_on};
pub use schedule::schedule;
