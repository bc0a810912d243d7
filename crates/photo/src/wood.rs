//! The line round a slab's top face, from the rough to the fine.

use measure::{Angle, Length, Problem};
use outline::{Outline, Point};

use crate::arris;
use crate::body::{self, Body};
use crate::bridge::{self, Bridged};
use crate::cells::{self, Plane};
use crate::clean::Mask;
use crate::ground::Ground;
use crate::mask::{self, On};
use crate::rectify::{self, Frame};
use crate::sheets::SeenSheet;
use crate::side::Lean;
use crate::top::{BESIDE_SHEET, Found};
use crate::{Picture, SheetsLie, contours, edge};

/// What the wood lies like.
#[derive(Clone, Copy)]
pub(crate) struct Lying {
    pub(crate) thickness: Length,
    /// How high the top face lies above the sheets.
    pub(crate) height: Length,
    pub(crate) sheets: SheetsLie,
}

/// The slab is looked for in cells of this size, each the mean of so many squared places.
const ROUGH_CELL: Length = Length::mm(4.0);
const ROUGH_SAMPLES: u32 = 3;

/// Its line is drawn in cells no finer than this, and no more than so many.
const FINE_CELL: Length = Length::mm(1.2);
const FINE_SAMPLES: u32 = 2;
const MOST_CELLS: f64 = 900_000.0;

/// Round the slab this much is looked at.
const ROUND_IT: Length = Length::mm(30.0);

/// In fine cells the line lies at most this many cells off where coarser ones put it.
const NEAR: f32 = 4.0;

/// The edge is smoothed over about this: a saw follows nothing finer.
const SMOOTHING: Length = Length::mm(1.5);

/// A simplified edge strays at most this far from the one that was found.
const TOLERANCE: Length = Length::mm(0.3);

/// The top face in the scene's millimetres, with what makes its line unsure.
pub(crate) fn face(
    picture: &Picture,
    ground: &Ground,
    lying: Lying,
) -> Result<(Outline, Vec<Problem>), Problem> {
    let rough =
        cells::whole(picture, ground, lying.height, lying.sheets, (ROUGH_CELL, ROUGH_SAMPLES))?.uncovered();
    let body = body::body(&rough.cells, rough.frame.pixel)?;
    let frame = frame_round(&body.mask, &rough.frame).ok_or_else(mask::nothing)?;
    let fine = cells::framed(picture, ground, frame, lying.sheets, FINE_SAMPLES).uncovered();
    let mask = wood(&fine, ground, lying, (&body, &rough.frame));
    let shares = edge::settled(&fine.light, &mask, On::Bench.opening());
    let smoothing = SMOOTHING / fine.frame.pixel;
    let line = contours::line_round(&shares, smoothing, TOLERANCE, |at| fine.frame.place_of(at))?;
    let hides = |at: Point| lying.sheets == SheetsLie::OnTop && ground.sheet_at(at, beside_sheet);
    let line = bridge::bridged(line, TOLERANCE, hides);
    let problems = hidden_problem(&line).into_iter().chain(second_problem(body.second)).collect();
    Ok((line.outline, problems))
}

/// The wood of the top face, first in cells twice as large.
fn wood(fine: &Plane, ground: &Ground, lying: Lying, rough: (&Body, &Frame)) -> Mask {
    let coarser = fine.halved();
    let lean = Lean::of(ground.camera(), &coarser.frame, lying.thickness);
    let mut found = found(&coarser, &lean, rough);
    let Some(materials) = found.materials() else { return carried(&rough.0.mask, rough.1, &fine.frame) };
    let clean = |mask: Mask| mask.opened(On::Bench.opening() / 2.0).largest().filled();
    let (mut line, mut materials) = (clean(found.wood(&materials, None)), materials);
    found.side = arris::sides(&coarser.cells, coarser.frame.pixel, &line, &lean);
    if found.side.cells.contains(&true) {
        materials = found.materials().unwrap_or(materials);
        line = clean(found.wood(&materials, None));
    }
    let lean = Lean::of(ground.camera(), &fine.frame, lying.thickness);
    let mut close = self::found(fine, &lean, rough);
    close.side = carried(&found.side, &coarser.frame, &fine.frame);
    let line = carried(&line, &coarser.frame, &fine.frame);
    close.wood(&materials, Some((&line, NEAR))).opened(On::Bench.opening()).largest().filled()
}

/// The slab on a plane's cells.
fn found<'a>(plane: &'a Plane, lean: &Lean, (body, from): (&'a Body, &Frame)) -> Found<'a> {
    let mask = carried(&body.mask, from, &plane.frame);
    Found {
        cells: &plane.cells,
        cell: plane.frame.pixel,
        pale: carried(&body.pale, from, &plane.frame),
        side: Mask { cells: vec![false; mask.cells.len()], ..mask },
        most_side: lean.most(&mask),
        body: mask,
        bench: &body.bench,
    }
}

/// A mask on another frame's cells. Both frames lie square to the scene.
fn carried(mask: &Mask, from: &Frame, to: &Frame) -> Mask {
    let cells = to.map(|at| {
        let own = from.own(to.place_of(at));
        let column = own.x / from.pixel.to_mm();
        let row = f64::from(from.height_px) - own.y / from.pixel.to_mm();
        let on = column >= 0.0 && row >= 0.0 && column < mask.width as f64 && row < mask.height as f64;
        on && mask.cells[row as usize * mask.width + column as usize]
    });
    Mask { width: to.width_px as usize, height: to.height_px as usize, cells }
}

fn frame_round(mask: &Mask, frame: &Frame) -> Option<Frame> {
    let spots = mask.cells.iter().enumerate().filter(|(_, own)| **own).map(|(at, _)| {
        let (x, y) = ((at % mask.width) as f64 + 0.5, (at / mask.width) as f64 + 0.5);
        frame.place_of(crate::Pixel::new(x, y))
    });
    let spots: Vec<Point> = spots.collect();
    let bounds = outline::Bounds::around(spots.iter().copied())?.grown(ROUND_IT);
    let area = bounds.width().to_mm() * bounds.height().to_mm();
    let pixel = FINE_CELL.max(Length::mm((area / MOST_CELLS).sqrt()));
    rectify::frame_around(&spots, Angle::ZERO, frame.height, pixel, ROUND_IT)
}

fn beside_sheet(sheet: &SeenSheet, at: Point) -> bool {
    let inward = |it: f64| it - BESIDE_SHEET.to_mm().copysign(it);
    sheet.may_cover(Point::new(inward(at.x), inward(at.y)))
}

/// A second thing smaller than this share of the wood is clutter.
const SECOND_TOLD: f64 = 0.3;

fn second_problem(second: f64) -> Option<Problem> {
    (second > SECOND_TOLD).then(|| {
        let message = format!("another thing in the picture is {:.0} % as large as the wood", second * 100.0);
        Problem::new(message).hint("if that is the piece that you mean, photograph it alone")
    })
}

/// Shorter hidden parts of the edge than this are drawn well enough.
const HIDDEN_TOLD: Length = Length::mm(40.0);

fn hidden_problem(line: &Bridged) -> Option<Problem> {
    let hidden = line.hidden;
    if line.end_lost {
        let message = "an end of the wood lies wholly under a scale sheet; it is drawn at the sheet's edge";
        return Some(
            Problem::new(message).hint("lay the sheet so that the wood's end shows, and take it again"),
        );
    }
    (hidden > HIDDEN_TOLD).then(|| {
        let message = format!(
            "{:.0} mm of the wood's edge lie under scale sheets; it is drawn straight on there",
            hidden.to_mm()
        );
        Problem::new(message).hint("lay the sheets so that the edge shows, or mend it by hand")
    })
}
