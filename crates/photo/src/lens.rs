//! The lens, as far as it is known before the picture is looked at.

use nalgebra::Vector2;

use crate::Picture;
use crate::stated::{FRAME_DIAGONAL_MM, Focal};

/// What is known of a lens; all doubts are standard deviations.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Lens {
    /// In pixels.
    pub(crate) focal: f64,
    /// How far off the focal length may be, as a share.
    pub(crate) focal_doubt: f64,
    /// Where the optical axis should meet the picture: its middle.
    pub(crate) centre: Vector2<f64>,
    /// In pixels.
    pub(crate) centre_doubt: f64,
}

/// How far a stated focal length is off beside its rounding: makers state the
/// lens's, not that of the picture with its distortion taken out and its border
/// cut, and lenses focus closer by drawing larger. Common practice, no source.
const STATED_DOUBT: f64 = 0.008;

/// A number rounded to whole millimetres is off by half at most, each way alike:
/// an even spread's standard deviation (JCGM 100:2008, 4.3.7).
const ROUNDED_MM: f64 = 0.288_675;

/// The main camera of most pocket telephones, for pictures that state nothing.
/// Common practice, no source.
const USUAL_35_MM: f64 = 26.0;

/// A picture that states nothing may come from a zoomed lens, and a statement
/// that does not fit counts for no more.
const UNKNOWN_DOUBT: f64 = 0.25;

/// How far the optical axis passes by the picture's middle, as a share of the
/// picture's longer side: sensors are moved to steady the picture and glued a
/// little off (0.3 to 0.5 % seen on pocket telephones).
const CENTRE_DOUBT: f64 = 0.003;

/// A picture that was cut may have its axis anywhere in its middle half.
const CUT_CENTRE_DOUBT: f64 = 0.08;

impl Lens {
    /// As the picture's file states it, or as most are.
    pub(crate) fn of(picture: &Picture) -> Lens {
        let sides = [f64::from(picture.width_px()), f64::from(picture.height_px())];
        let stated = picture.stated;
        let cut = stated.is_cut(sides);
        let focal_doubt = match stated.focal {
            _ if cut => UNKNOWN_DOUBT,
            Focal::Whole(mm) => STATED_DOUBT.hypot(ROUNDED_MM / mm),
            Focal::Worked(_) => STATED_DOUBT,
            Focal::Unstated | Focal::Absurd(_) => UNKNOWN_DOUBT,
        };
        let focal_35_mm = stated.focal_35_mm().unwrap_or(USUAL_35_MM);
        let centre_doubt = if cut { CUT_CENTRE_DOUBT } else { CENTRE_DOUBT };
        Lens {
            focal: focal_35_mm * stated.diagonal_px(sides) / FRAME_DIAGONAL_MM,
            focal_doubt,
            centre: Vector2::new(sides[0] / 2.0, sides[1] / 2.0),
            centre_doubt: centre_doubt * sides[0].max(sides[1]),
        }
    }

    /// The same lens if nothing had been stated of its focal length.
    pub(crate) fn unstated(self) -> Lens {
        Lens { focal_doubt: UNKNOWN_DOUBT, ..self }
    }

    /// A focal length in pixels as that for a 36 by 24 mm frame.
    pub(crate) fn equivalent_mm(picture: &Picture, focal_px: f64) -> f64 {
        let sides = [f64::from(picture.width_px()), f64::from(picture.height_px())];
        focal_px * FRAME_DIAGONAL_MM / picture.stated.diagonal_px(sides)
    }
}
