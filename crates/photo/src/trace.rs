//! A leaf, or another flat thing, traced from its photograph.

use measure::{Figure, Length, Problem};
use outline::Outline;

use crate::Picture;

/// What is asked of the photograph of a flat thing on plain ground.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct TraceAsk {
    /// How long the thing shall be; without it a scale sheet must be in the picture.
    pub length: Option<Length>,
    /// The sheet's 200 mm line as it came out of the printer, if it was measured.
    pub check_line: Option<Length>,
}

/// A traced line.
#[derive(Clone, Debug)]
pub struct Traced {
    /// The longest way through it lies along x, its lower left corner at the origin.
    pub outline: Outline,
    /// What the tracing rests on.
    pub figures: Vec<Figure>,
    /// What makes it less sure than it could be.
    pub problems: Vec<Problem>,
}

/// Traces the largest thing that stands out from plain ground. `progress` hears
/// what is being done and which share of the whole is behind it.
///
/// # Errors
/// Nothing stands out, or there is neither a length nor a scale sheet.
pub fn trace(picture: &Picture, ask: &TraceAsk, progress: &dyn Fn(&str, f64)) -> Result<Traced, Problem> {
    let _ = (picture, ask, progress);
    Err(Problem::new("photographs cannot be traced yet").hint("bring the line in as a drawing"))
}
