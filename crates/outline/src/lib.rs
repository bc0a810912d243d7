//! Plane shapes in millimetres, y up: area, offset, boolean, curvature, SVG in.
//!
//! Knows nothing of wood. Fences the geometry libraries: no type of theirs
//! leaves this crate.

mod band;
mod boolean;
mod corners;
mod crossing;
mod cubics;
mod curvature;
mod engine;
mod family;
mod fitted;
mod grid;
mod hull;
mod mirror;
mod narrow;
mod offset;
mod place;
mod point;
mod relate;
mod ring;
mod scale;
mod shape;
mod smooth;
mod stretch;
mod svg_guard;
mod svg_in;
mod svg_out;
mod svg_paths;
mod svg_style;

pub use band::band;
pub use boolean::union;
pub use curvature::Bend;
pub use family::{Family, LEAST_SIDE, MOST_SIDE};
pub use fitted::{Fit, Fitted};
pub use grid::OnGrid;
pub use hull::hull;
pub use narrow::Section;
pub use offset::clean;
pub use place::Place;
pub use point::{Bounds, Point, Segment};
pub use ring::Ring;
pub use shape::Outline;
pub use smooth::blurred_by;
pub use svg_guard::MOST_SVG_BYTES;
pub use svg_in::read_svg;
