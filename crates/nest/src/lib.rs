//! How shapes lie close together on irregular wood.
//!
//! Works in double precision and answers quickly; whether a layout may stand is
//! for an exact judge to say.

mod bed;
mod cells;
mod fill;
mod kind;
mod pile;
mod room;
mod strip;
mod wood;

pub use bed::{Bed, Grain};
pub use fill::{Filling, Lying, Task, fill, fill_looking};
pub use kind::{Asks, Kind, Live, Turns};
pub use pile::May;
pub use room::find_room;
pub use strip::{Strip, shortest_strip};
