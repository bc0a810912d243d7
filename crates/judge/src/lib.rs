//! Whether a plan of bandsaw cuts can be sawn, found out by sawing it.
//!
//! The plan is believed nothing. A rigid blade goes along every cut in small
//! steps, and has to stand in what has truly been sawn away by then; what comes
//! off falls; the column, the table and the parts stay where they are. No radius
//! and no other formula of a planner is known here, and no code of one is shared.
//!
//! What is known how well: kerfs, holes, the wood's line and the parts' lines
//! are exact. What hangs together is found on scan lines that lie closer than
//! half a kerf; a splinter thinner than that is taken to break away.

mod blade;
mod buckets;
mod cut;
mod flat;
mod hearing;
mod kerf;
mod leaving;
mod left;
mod lines;
mod rows;
mod ruling;
mod slant;
mod way;

pub use ruling::{Bench, CutRuling, Fall, Fault, PartRuling, Refusal, Ruling};
pub use slant::judge;
