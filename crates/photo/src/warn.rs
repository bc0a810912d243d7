//! What makes a survey less sure than it could be, and what to do about it.

use measure::{Length, Problem};
use stock::ScaleSheet;

use crate::fit::Fit;
use crate::ground::Ground;
use crate::lens::Lens;
use crate::sharp::Sharpness;
use crate::sheets::{LEAST_TAGS, SeenSheet};
use crate::stated::Focal;
use crate::tags::Tags;
use crate::{Picture, sheets};

/// Corners farther off than this: a sheet is bent, or lies wrong.
const MOST_RMS_PX: f64 = 0.7;

/// A steeper sight makes every error of height count for more.
const MOST_TILT_DEGREES: f64 = 30.0;

/// Paper that stands off farther than this no longer counts as lying flat.
const MOST_BEND: Length = Length::mm(2.0);

/// Sheets on one bench lie no farther above or below each other.
const MOST_STEP: Length = Length::mm(1.5);

/// Squares with shorter sides are read by fewer than three pixels a module.
const LEAST_SIDE_PX: f64 = 25.0;

/// Edges wider than this put the corners off by more than sheets do.
const MOST_EDGE_PX: f64 = 5.0;

/// A hand that shook draws edges across its way so many times as wide as along it.
const SHAKEN: f64 = 1.5;

/// Fewer tags than half of a sheet's are told.
const HALF_A_SHEET: usize = (ScaleSheet::COLUMNS * ScaleSheet::ROWS / 2) as usize;

/// All that is to be told of the scene.
pub(crate) fn problems(picture: &Picture, ground: &Ground) -> Vec<Problem> {
    let mut problems: Vec<Problem> =
        [no_sheet(ground), only_one(ground), tilted(ground)].into_iter().flatten().collect();
    problems.extend(few_tags(&ground.tags));
    problems.extend(twice(&ground.tags));
    problems.extend(lying(&ground.sheets, &ground.fit));
    problems.extend(ground.sharpness.and_then(blurred));
    problems.extend(ground.sharpness.and_then(small));
    problems.extend(focal_length(picture, ground));
    problems
}

/// Measured lengths farther off than this many of their doubts contradict each other.
const MOST_LENGTH_OFF: f64 = 3.0;

fn no_sheet(ground: &Ground) -> Option<Problem> {
    if !ground.sheets.is_empty() {
        return None;
    }
    if ground.lengths_off > MOST_LENGTH_OFF {
        return Some(
            Problem::new("the lengths that were measured contradict each other")
                .hint("measure them again, and mark their ends on the wood's top face"),
        );
    }
    Some(
        Problem::new("no scale sheet was read: the scale is from the lengths that were measured")
            .hint("lay a scale sheet at each end of the wood; they are several times surer"),
    )
}

fn only_one(ground: &Ground) -> Option<Problem> {
    let [only] = ground.sheets.as_slice() else { return None };
    let message = format!("only one scale sheet was read, number {}", only.sheet.number());
    let hint = "lay one at each end of the wood; two are about ten times surer than one";
    Some(Problem::new(message).hint(hint))
}

fn tilted(ground: &Ground) -> Option<Problem> {
    let tilt = ground.camera().tilt().to_degrees();
    (tilt > MOST_TILT_DEGREES).then(|| {
        Problem::new(format!("the camera was tilted by {tilt:.0}°; up to {MOST_TILT_DEGREES:.0}° is sure"))
            .hint("stand over the wood and hold the camera level")
    })
}

/// Sheets of which less than half could be read.
fn few_tags(tags: &Tags) -> Vec<Problem> {
    let few = sheets::by_sheet(tags).into_iter().filter(|it| it.1.len() < HALF_A_SHEET);
    let each = few.map(|(sheet, seen)| {
        let (number, count) = (sheet.number(), seen.len());
        let used = if count < LEAST_TAGS { "; it was not used" } else { "" };
        let message =
            format!("only {count} of the 24 coded squares of scale sheet {number} could be read{used}");
        Problem::new(message).hint("lay it in full view, clear of the picture's border, glare and shadow")
    });
    each.collect()
}

/// Two copies of one sheet: each is read by itself, as far as they stand apart.
pub(crate) fn twice(tags: &Tags) -> Option<Problem> {
    let number = tags.copies.first()?.first()?.sheet.number();
    let message = format!("two scale sheets with the same number lie in the picture: {number}");
    Some(Problem::new(message).hint("print two with different numbers, and lay one of each"))
}

/// How the sheets lie: bent, or not on one plane.
pub(crate) fn lying(sheets: &[SeenSheet], fit: &Fit) -> Vec<Problem> {
    let mut problems = Vec::new();
    for ((seen, lie), &alone) in sheets.iter().zip(&fit.scene.sheets).zip(&fit.alone_px) {
        let (number, bend) = (seen.sheet.number(), lie.bend().to_mm());
        if lie.bend() > MOST_BEND || alone > MOST_RMS_PX {
            let message = format!(
                "scale sheet {number} is bent: it stands off by about {bend:.1} mm, and its corners fit a \
                 plane to {alone:.1} px"
            );
            problems.push(Problem::new(message).hint("tape it down flat and take the picture again"));
        } else if lie.height.abs() > MOST_STEP.to_mm() {
            let (first, step) = (sheets[0].sheet.number(), lie.height.abs());
            let message =
                format!("scale sheets {first} and {number} do not lie at one height: {step:.1} mm apart");
            problems.push(Problem::new(message).hint("lay both on the bench, or both on the wood"));
        }
    }
    let rms = fit.rms_px;
    if problems.is_empty() && rms > MOST_RMS_PX {
        let message = format!("the scale sheets do not lie on one plane: they fit to {rms:.1} px together");
        problems.push(Problem::new(message).hint("lay both on the bench, or both on the wood"));
    }
    problems
}

fn blurred(sharpness: Sharpness) -> Option<Problem> {
    let Sharpness { widest_px: wide, narrowest_px: narrow, .. } = sharpness;
    if wide <= MOST_EDGE_PX {
        return None;
    }
    if wide > SHAKEN * narrow {
        let message = format!(
            "the camera moved while it took the picture: edges are {wide:.1} px wide one way and \
             {narrow:.1} px the other; up to {MOST_EDGE_PX:.0} px is sharp"
        );
        return Some(Problem::new(message).hint("hold it still, or make more light"));
    }
    let message =
        format!("the picture is blurred: edges are {wide:.1} px wide; up to {MOST_EDGE_PX:.0} px is sharp");
    Some(Problem::new(message).hint("let the camera focus on the wood, and wipe its lens"))
}

fn small(sharpness: Sharpness) -> Option<Problem> {
    let side = sharpness.side_px;
    (side < LEAST_SIDE_PX).then(|| {
        let message = format!(
            "the coded squares are only {side:.0} px wide in the picture; from {LEAST_SIDE_PX:.0} px on they are sure"
        );
        Problem::new(message).hint("send the picture in full size, or go closer")
    })
}

/// What the file states of the lens, and whether it can be.
fn focal_length(picture: &Picture, ground: &Ground) -> Option<Problem> {
    let fitted = Lens::equivalent_mm(picture, ground.camera().focal);
    let sides = [f64::from(picture.width_px()), f64::from(picture.height_px())];
    let original = "send the file as the camera wrote it, not a copy from a message or cut";
    if ground.fit.focal_refuted {
        let stated = picture.focal_35_mm().unwrap_or(fitted);
        let message = format!(
            "the picture states a focal length of {stated:.0} mm, but the sheets are drawn as by {fitted:.0} mm: \
             it was zoomed or cut; measured by the sheets"
        );
        return Some(Problem::new(message).hint(original));
    }
    match picture.stated.focal {
        Focal::Absurd(mm) => Some(
            Problem::new(format!("the picture states a focal length of {mm:.0} mm, which cannot be"))
                .hint(original),
        ),
        Focal::Unstated => Some(Problem::new("the picture does not state its focal length").hint(original)),
        Focal::Whole(_) | Focal::Worked(_) if picture.stated.is_cut(sides) => Some(
            Problem::new("the picture has another shape than the camera took: it was cut").hint(original),
        ),
        Focal::Whole(_) | Focal::Worked(_) => None,
    }
}
