//! From a picture to a face at true scale.
//!
//! Fences the picture decoders and the tag reader: no type of theirs leaves
//! this crate, and none of their panics.

mod camera;
mod fit;
mod picture;
mod pixel;
mod rectify;
mod sheets;
mod survey;
mod tags;
mod trace;

pub use picture::{Picture, read_picture};
pub use pixel::Pixel;
pub use survey::{SheetsLie, Survey, SurveyAsk, survey};
pub use trace::{TraceAsk, Traced, trace};
