//! The scene under the camera: fitted to the sheets, then cut into cells.

use measure::{Figure, Length, Problem};
use nalgebra::Vector2;
use outline::Point;

use crate::camera::Camera;
use crate::fit::{self, Fit, Lens};
use crate::sheets::{self, SeenSheet};
use crate::{Picture, tags};

/// Focal lengths in a file are rounded to whole millimetres and a little off.
const STATED_FOCAL_DOUBT: f64 = 0.01;

/// The main camera of most pocket telephones, for pictures that state nothing.
/// Common practice, no source.
const USUAL_FOCAL_35_MM: f64 = 26.0;

/// A picture that states nothing may come from a zoomed lens.
const USUAL_FOCAL_DOUBT: f64 = 0.2;

/// Corners farther off than this: a sheet is bent, or was moved.
const MOST_RMS_PX: f64 = 0.7;

/// A steeper sight makes every error of height count for more.
const MOST_TILT_DEGREES: f64 = 30.0;

/// The scene with the sheets in it.
pub(crate) struct Ground {
    pub(crate) sheets: Vec<SeenSheet>,
    pub(crate) fit: Fit,
}

/// Finds the sheets and fits the camera to them.
///
/// # Errors
/// No sheet can be read, or the sheets fit no camera.
pub(crate) fn ground(picture: &Picture, check_line: Option<Length>) -> Result<Ground, Problem> {
    let scale = sheets::printed_scale(check_line)?;
    let sheets = sheets::sort_by_sheet(&tags::find_tags(picture)?, scale)?;
    let stated = picture.focal_35_mm();
    let lens = Lens {
        focal: picture.focal_px(stated.unwrap_or(USUAL_FOCAL_35_MM)),
        focal_doubt: if stated.is_some() { STATED_FOCAL_DOUBT } else { USUAL_FOCAL_DOUBT },
        centre: Vector2::new(f64::from(picture.width_px()) / 2.0, f64::from(picture.height_px()) / 2.0),
    };
    let fit = fit::fit(&sheets, lens)?;
    Ok(Ground { sheets, fit })
}

impl Ground {
    /// The camera.
    pub(crate) fn camera(&self) -> &Camera {
        &self.fit.scene.camera
    }

    /// Whether a place on the sheets' plane is on one of them, as `covers` says of its paper.
    pub(crate) fn sheet_at(&self, at: Point, covers: fn(&SeenSheet, Point) -> bool) -> bool {
        self.sheets.iter().zip(&self.fit.scene.places).any(|(sheet, place)| {
            let (dx, dy) = (at.x - place.at.x, at.y - place.at.y);
            let (sin, cos) = (place.turn.sin(), place.turn.cos());
            covers(sheet, Point::new(dx * cos + dy * sin, dy * cos - dx * sin))
        })
    }

    /// Whether a sheet may show at a place of a plane.
    pub(crate) fn sheet_shows(&self, at: Point, height: Length) -> bool {
        let low = self.camera().behind(at, height, Length::ZERO);
        self.sheet_at(low, SeenSheet::may_cover)
    }

    /// What the fit rests on, as figures and problems.
    pub(crate) fn told(&self, picture: &Picture) -> (Vec<Figure>, Vec<Problem>) {
        let (rms, tilt) = (self.fit.rms_px, self.camera().tilt().to_degrees());
        let tags: usize = self.sheets.iter().map(|it| it.tags).sum();
        let numbers: Vec<String> = self.sheets.iter().map(|it| it.sheet.number().to_string()).collect();
        let focal = picture.focal_35_mm();
        let figures = vec![
            Figure::new("coded squares found", tags.to_string())
                .by(
                    "squares read without doubt, on sheets with four or more",
                    "tag family 36h11 (Olson 2011)",
                )
                .from("scale sheets", numbers.join(", ")),
            Figure::new("fit of the sheets", format!("{rms:.2} px"))
                .by("root of the mean squared distance between corners seen and drawn", "least squares")
                .from("corners", (tags * 4).to_string())
                .from(
                    "focal length for a 36 mm frame",
                    match focal {
                        Some(focal) => format!("{focal:.0} mm, as the file states"),
                        None => format!("about {USUAL_FOCAL_35_MM:.0} mm, a guess"),
                    },
                ),
            Figure::new("tilt of the camera", format!("{tilt:.0}°"))
                .by("angle between the camera's axis and plumb", "the fitted camera"),
        ];
        (figures, self.problems(focal, rms, tilt))
    }

    fn problems(&self, focal: Option<f64>, rms: f64, tilt: f64) -> Vec<Problem> {
        let mut problems = Vec::new();
        if let [only] = self.sheets.as_slice() {
            let number = only.sheet.number();
            problems.push(
                Problem::new(format!("only one scale sheet was read, number {number}"))
                    .hint("lay one at each end of the wood; two are about ten times surer than one"),
            );
        }
        if tilt > MOST_TILT_DEGREES {
            problems.push(
                Problem::new(format!(
                    "the camera was tilted by {tilt:.0}°; up to {MOST_TILT_DEGREES:.0}° is sure"
                ))
                .hint("stand over the wood and hold the camera level"),
            );
        }
        if rms > MOST_RMS_PX {
            problems.push(
                Problem::new(format!(
                    "the sheets fit only to {rms:.1} px, not to {MOST_RMS_PX} px: one is bent or was moved"
                ))
                .hint("tape them down flat, on one plane, and take the picture again"),
            );
        }
        if focal.is_none() {
            problems.push(
                Problem::new("the picture does not state its focal length")
                    .hint("send the file as the camera wrote it, not a copy from a message"),
            );
        }
        problems
    }
}
