//! Facts of wood, finish, glue and fasteners, each with its source.
//!
//! Knows no shapes. Tables are data files beside the code, one source per row.

mod key;

pub use key::{FinishKey, GlueKey, SpeciesKey};
