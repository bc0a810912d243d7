//! Quantities, ids, figures and problems: the words every other crate speaks.
//!
//! Uses nothing else of ours. A quantity is a type of its own; its unit is in
//! the way in and in the way out, and no quantity is ever NaN or infinite.

mod figure;
mod id;
mod length;
mod length_text;
mod problem;
mod quantity;
mod units;

pub use figure::{Figure, Input};
pub use length::Length;
pub use problem::{Checked, Problem};
pub use quantity::{Angle, Area, Force, Mass, Minutes, Moisture, Money, Stress, Temperature, Volume};
pub use units::{System, Units};
