//! Operations and findings: machining, saw, hold, glue, hollow, fit, sand, finish.
//!
//! Reads a brief and a layout; answers with a route: the operations from rough
//! wood to a board that may touch food, and everything wrong on the way.

mod cut_sheet;
mod draft;
mod finish;
mod fit;
mod fixing;
mod glue;
mod hold;
mod hollow;
mod irritant;
mod machining;
mod making;
mod moisture;
mod operation;
mod route;
mod sand;
mod saw;
mod skin;
mod unanswered;
mod unknown;

pub use cut_sheet::{CutFigures, CutSheet, Falling, HandCut, StockLeft};
pub use fixing::{Fixing, Held, WoodScrew};
pub use operation::{
    Machine, Mark, MarkKind, Operation, OperationId, OperationKind, Route, Setting, Step, Supply, Use,
    Workpiece,
};
pub use route::{route, route_sawn};
pub use saw::{SawnFaces, plan_cuts, refusal, refused_part};

#[cfg(test)]
mod fixture;
