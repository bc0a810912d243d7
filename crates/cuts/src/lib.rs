//! Which cuts of a bandsaw free the parts of a face, in which order.
//!
//! Plane geometry of a blade that turns no tighter than its least radius and of
//! wood that has to clear the column. Knows nothing of grain, faults or hands.

mod between;
mod blade;
mod choice;
mod face;
mod facet;
mod fence;
mod heading;
mod lead;
mod line;
mod opening;
mod part;
mod pivot;
mod straight;
mod task;
mod trouble;
mod way;
mod wood;

pub use blade::{RadiusSource, least_radius};
pub use choice::{CHANGE, CUT, Outlook, outlook};
pub use face::{Planned, plan, straight_between};
pub use line::MOST_LEFT;
pub use opening::{JIG_SAW_HOLE, start_in};
pub use task::{BladeSize, Task, Wanted};
pub use trouble::{Trouble, TroubleKind};
