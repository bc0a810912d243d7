//! The plan on paper, at true scale.
//!
//! Turns a brief and its plan into one PDF, and draws the scale sheets. Works
//! out no dimension of its own beyond which part of a drawing falls on which
//! sheet of paper. Fences the typesetter: `world` alone knows it.

mod bench;
mod care;
mod document;
mod drawing;
mod flag;
mod holes;
mod picture;
mod printing;
mod sawing;
mod sheet;
mod strips;
mod summary;
mod template;
mod tile;
mod wood;
mod words;
mod world;

pub use sheet::scale_sheets;

use measure::Problem;
use plan::Plan;
use stock::{Brief, PictureId};

/// The plan on paper: one PDF for the whole job.
///
/// # Errors
/// The typesetter fails.
pub fn packet(
    brief: &Brief,
    plan: &Plan,
    picture: &dyn Fn(&PictureId) -> Option<Vec<u8>>,
) -> Result<Vec<u8>, Problem> {
    document::packet(brief, plan, picture)
}
