//! A leaf, or another flat thing, traced from its photograph.

use measure::{Figure, Length, Problem};
use outline::{Outline, Place, Point, Ring};

use crate::cells::{self, Plane};
use crate::clean::Mask;
use crate::ground::{self, Ground};
use crate::mask::On;
use crate::{Picture, SheetsLie, alone, contours, edge, mask, turned};

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
    /// Its long axis lies along x with the slim end at the right, its lower left
    /// corner at the origin.
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
    if let Some(length) = ask.length {
        check_length(length)?;
    }
    progress("looking for scale sheets", 0.0);
    let ground = match ground::ground(picture, ask.check_line) {
        Ok(ground) => Some(ground),
        Err(_) if ask.length.is_some() => None,
        Err(problem) => return Err(problem.within("without a length")),
    };
    progress("telling the thing from its ground", 0.3);
    let Found { line: found, cell, doubts } = match &ground {
        Some(ground) => on_sheets_plane(picture, ground)?,
        None => flat(picture)?,
    };
    progress("drawing its line", 0.9);
    let line = lengthwise(&found, ask.length)?;
    let mut told = told(picture, ground.as_ref(), ask);
    told.0.push(cell_figure(&found, cell));
    told.1.extend(doubts);
    progress("done", 1.0);
    Ok(Traced { outline: line, figures: told.0, problems: told.1 })
}

/// The line round the largest thing that stands out from plain ground, one unit
/// to a pixel, from the picture's lower left corner, y up.
///
/// # Errors
/// Nothing stands out.
pub fn silhouette(picture: &Picture) -> Result<Outline, Problem> {
    flat(picture).map(|it| it.line)
}

/// Patterns are not longer than a bench.
const LONGEST: Length = Length::mm(5000.0);

fn check_length(length: Length) -> Result<(), Problem> {
    if length > Length::ZERO && length <= LONGEST {
        return Ok(());
    }
    let (found, most) = (length.to_mm(), LONGEST.to_mm());
    Err(Problem::new(format!("a pattern cannot be {found:.1} mm long; up to {most:.0} mm is drawn"))
        .hint("type the length that the finished thing shall have"))
}

/// A leaf's stalk is a few cells wide.
const FINEST_CELL: Length = Length::mm(0.4);

/// The line is smoothed over this many cells, and simplified to this share of a cell.
const SMOOTHING: f64 = 1.0;
const TOLERANCE: f64 = 0.05;

/// A thing that was found.
struct Found {
    line: Outline,
    /// The side of a cell that its line was found on.
    cell: Length,
    /// What makes it doubtful.
    doubts: Vec<Problem>,
}

/// The thing's line in millimetres, on the plane that the sheets lie on.
fn on_sheets_plane(picture: &Picture, ground: &Ground) -> Result<Found, Problem> {
    let whole = cells::whole(picture, ground, Length::ZERO, SheetsLie::OnBench, (FINEST_CELL, 2))?;
    closer(&whole, |rough| cells::closer(picture, ground, rough))
}

/// The thing's line as it is drawn, one unit to a pixel.
fn flat(picture: &Picture) -> Result<Found, Problem> {
    closer(&cells::flat(picture, None), |rough| Ok(cells::flat(picture, Some(rough.bounds()))))
}

/// Found in the whole picture, then looked at more closely.
fn closer(whole: &Plane, look: impl Fn(&Outline) -> Result<Plane, Problem>) -> Result<Found, Problem> {
    let mask = mask::silhouette(&whole.cells, On::Plain)?;
    let doubts = alone::doubts(&whole.cells, &mask);
    let close = look(&line(whole, &mask)?)?;
    let mask = mask::silhouette(&close.cells, On::Plain)?;
    Ok(Found { line: line(&close, &mask)?, cell: close.frame.pixel, doubts })
}

fn line(plane: &Plane, mask: &Mask) -> Result<Outline, Problem> {
    let shares = edge::settled(&plane.light, mask, On::Plain.opening());
    contours::line_round(&shares, SMOOTHING, plane.frame.pixel * TOLERANCE, |at| plane.frame.place_of(at))
}

/// Turned so that its long axis lies along x with the slim end at the right, its
/// lower left corner at the origin, at the length that was asked.
fn lengthwise(found: &Outline, length: Option<Length>) -> Result<Outline, Problem> {
    let corners = found.outer().corners();
    let turn = turned::slim_end(found.outer());
    let scale = length.map_or(1.0, |it| it / turned::size(corners, turn).0);
    let back = Place { at: Point::default(), turn: -turn, mirrored: false };
    let bounds = back.bounds(found);
    let moved = corners.iter().map(|&at| {
        let at = back.point(at);
        Point::new((at.x - bounds.low.x) * scale, (at.y - bounds.low.y) * scale)
    });
    Ok(Outline::from(Ring::new(moved.collect())?))
}

fn told(picture: &Picture, ground: Option<&Ground>, ask: &TraceAsk) -> (Vec<Figure>, Vec<Problem>) {
    match (ground, ask.length) {
        (Some(ground), None) => ground.told(picture),
        (Some(ground), Some(_)) => (ground.told(picture).0, Vec::new()),
        (None, _) => {
            let slanted = Problem::new("without a scale sheet the picture's slant cannot be taken out")
                .hint("hold the camera straight above, or lay a scale sheet beside the thing");
            (Vec::new(), vec![slanted])
        }
    }
}

fn cell_figure(found: &Outline, cell: Length) -> Figure {
    let bounds = found.bounds();
    let cells = bounds.width().max(bounds.height()) / cell;
    Figure::new("fineness of the line", format!("1 part in {cells:.0} of its length"))
        .by("cells across the thing; its edge is found within a cell", "the picture")
        .from("corners", found.outer().corners().len().to_string())
}
