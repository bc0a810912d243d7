//! Procedural slabs and a camera: demo pictures with their exact truth.
//!
//! For tests and for the demo only. Everything follows from seeds, so the same
//! ask gives the same picture, and nothing is read from outside.

mod camera;
pub mod demos;
mod develop;
mod distance;
mod edges;
mod exif;
mod faults;
mod flat;
mod grid;
mod grow;
mod leaf;
mod light;
pub mod marks;
mod nature;
mod noise;
mod palette;
mod paper;
mod shot;
mod slab;
pub mod study;
mod surface;
mod things;
mod truth;
mod wood;
mod world;

pub use camera::{Camera, FULL_FRAME_DIAGONAL, Pose};
pub use exif::Exif;
pub use flat::{FlatAsk, photograph_flat};
pub use leaf::{Leaf, LeafAsk};
pub use nature::Nature;
pub use paper::{LaidSheet, Paper, Rest};
pub use shot::{Bench, Film, Light, SecondLight, Shade, Shot, Subject, photograph};
pub use slab::{Knot, Look, Slab, SlabAsk};
pub use things::{Thing, ThingKind};
pub use truth::{FibreTruth, SheetTruth, SlabTruth, TagTruth, Truth};
