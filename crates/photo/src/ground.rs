//! The scene under the camera: fitted to the sheets, then cut into cells.

use measure::{Figure, Length, Problem};
use outline::Point;

use crate::camera::Camera;
use crate::fit::{self, Fit};
use crate::lens::Lens;
use crate::sharp::Sharpness;
use crate::sheets::{self, SeenSheet};
use crate::tags::{self, Tags};
use crate::{KnownLength, Picture, known, warn};

/// The scene with the sheets in it.
pub(crate) struct Ground {
    /// None, if the camera was found by lengths that were measured.
    pub(crate) sheets: Vec<SeenSheet>,
    pub(crate) fit: Fit,
    /// By how many of their doubts the measured lengths miss the camera's, at most.
    pub(crate) lengths_off: f64,
    /// All coded squares that were seen.
    pub(crate) tags: Tags,
    /// How sharply they are drawn.
    pub(crate) sharpness: Option<Sharpness>,
}

/// Finds the sheets and fits the camera to them.
///
/// # Errors
/// No sheet can be read, or the sheets fit no camera.
pub(crate) fn ground(picture: &Picture, check_line: Option<Length>) -> Result<Ground, Problem> {
    let scale = sheets::printed_scale(check_line)?;
    let gray = tags::gray(picture);
    let tags = tags::find_tags(picture, &gray)?;
    let sheets = sheets::sort_by_sheet(&tags, scale)?;
    let fit = fit::fit(&sheets, Lens::of(picture))?;
    let sharpness = Sharpness::of(&sheets, &gray, picture.width_px() as usize);
    Ok(Ground { sheets, fit, lengths_off: 0.0, tags, sharpness })
}

/// Finds the camera by lengths that were measured on the plane of the face.
///
/// # Errors
/// Too few lengths, or such as cannot be.
pub(crate) fn by_lengths(picture: &Picture, known: &[KnownLength]) -> Result<Ground, Problem> {
    let fit = known::fit_to(picture, known)?;
    let lengths_off = known::worst(picture, known, &fit.scene.camera);
    Ok(Ground { sheets: Vec::new(), fit, lengths_off, tags: Tags::default(), sharpness: None })
}

impl Ground {
    /// The camera.
    pub(crate) fn camera(&self) -> &Camera {
        &self.fit.scene.camera
    }

    /// Whether a place on the sheets' plane is on one of them, as `covers` says of its paper.
    pub(crate) fn sheet_at(&self, at: Point, covers: fn(&SeenSheet, Point) -> bool) -> bool {
        self.sheets.iter().zip(&self.fit.scene.sheets).any(|(sheet, lie)| {
            let place = lie.place;
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
        let focal = format!("{:.1} mm", Lens::equivalent_mm(picture, self.camera().focal));
        let stated = match picture.focal_35_mm() {
            Some(stated) if self.fit.focal_refuted => format!("{stated:.0} mm, which the sheets refute"),
            Some(stated) => format!("{stated:.0} mm"),
            None => "nothing".to_owned(),
        };
        let sheets = if self.sheets.is_empty() {
            Vec::new()
        } else {
            vec![
                Figure::new("coded squares found", tags.to_string())
                    .by(
                        "squares read without doubt, on sheets with four or more",
                        "tag family 36h11 (Olson 2011)",
                    )
                    .from("scale sheets", numbers.join(", ")),
                Figure::new("fit of the sheets", format!("{rms:.2} px"))
                    .by("root of the mean squared distance between corners seen and drawn", "least squares")
                    .from("corners", (tags * 4).to_string()),
            ]
        };
        let figures = sheets.into_iter().chain([
            Figure::new("focal length for a 36 mm frame", focal)
                .by("fitted with the camera, beginning with what the file states", "least squares")
                .from("the file states", stated),
            Figure::new("tilt of the camera", format!("{tilt:.0}°"))
                .by("angle between the camera's axis and plumb", "the fitted camera"),
        ]);
        (figures.collect(), warn::problems(picture, self))
    }
}
