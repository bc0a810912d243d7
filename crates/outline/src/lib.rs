//! Plane shapes in millimetres, y up: area, offset, boolean, curvature, SVG in.
//!
//! Knows nothing of wood. Fences the geometry libraries: no type of theirs
//! leaves this crate.

mod family;
mod place;
mod point;
mod ring;
mod shape;

pub use family::Family;
pub use place::Place;
pub use point::{Bounds, Point, Segment};
pub use ring::Ring;
pub use shape::Outline;
