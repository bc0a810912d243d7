//! What makes a survey less sure than it could be, and what to do about it.

use measure::Problem;

use crate::Picture;
use crate::ground::Ground;
use crate::lens::Lens;
use crate::stated::Focal;

/// Corners farther off than this: a sheet is creased, or lies wrong.
const MOST_RMS_PX: f64 = 0.7;

/// A steeper sight makes every error of height count for more.
const MOST_TILT_DEGREES: f64 = 30.0;

/// All that is to be told of the scene.
pub(crate) fn problems(picture: &Picture, ground: &Ground) -> Vec<Problem> {
    let mut problems: Vec<Problem> =
        [no_sheet(ground), only_one(ground), tilted(ground), loose(ground)].into_iter().flatten().collect();
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

fn loose(ground: &Ground) -> Option<Problem> {
    let rms = ground.fit.rms_px;
    (rms > MOST_RMS_PX).then(|| {
        Problem::new(format!(
            "the sheets fit only to {rms:.1} px, not to {MOST_RMS_PX} px: one is bent or was moved"
        ))
        .hint("tape them down flat, on one plane, and take the picture again")
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
