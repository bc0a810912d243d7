//! Operations, findings, dates and the bill of one job.
//!
//! Planning is a pure function of the brief: the same brief gives the same
//! plan, to the byte.

mod answer;

pub use answer::{Bill, BillGroup, BillLine, CareCard, Plan, PlannedPart, Schedule, Slot};
