//! From a picture to a face at true scale.
//!
//! Fences the picture decoders and the tag reader: no type of theirs leaves
//! this crate, and none of their panics.

mod alone;
mod arris;
mod body;
mod bridge;
mod calm;
mod camera;
mod cells;
#[cfg(test)]
mod chevron;
mod clean;
mod colour;
mod contours;
mod cover;
mod cut;
mod cut_out;
mod dark_line;
mod edge;
mod faults;
mod fibre;
mod field;
mod fit;
mod flow;
mod girth;
mod grain;
mod ground;
#[cfg(feature = "heic")]
mod heic;
mod homography;
mod known;
mod lens;
mod light;
mod mask;
mod picture;
mod pixel;
mod rectify;
mod scene;
mod sharp;
mod sheets;
mod side;
#[cfg(test)]
mod simulated;
mod stated;
mod strokes;
mod survey;
mod tags;
mod top;
mod trace;
mod turned;
mod uncertain;
mod warn;
mod wood;

pub use cut_out::CutOut;
pub use faults::Suspect;
pub use picture::{Picture, read_picture};
pub use pixel::Pixel;
pub use strokes::{Stroke, mend_edge};
pub use survey::{KnownLength, SheetsLie, Survey, SurveyAsk, survey};
pub use trace::{TraceAsk, Traced, silhouette, trace};
