//! Lengths on the wood that the maker measured, in place of a scale sheet.

use measure::{Length, Problem};
use nalgebra::{Rotation3, Vector3};

use crate::camera::Camera;
use crate::fit::{self, Fit};
use crate::lens::Lens;
use crate::{KnownLength, Picture, Pixel};

/// A length that was measured, with its doubt.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Known {
    from: Pixel,
    to: Pixel,
    mm: f64,
    /// A standard deviation, in millimetres.
    doubt: f64,
}

/// How well a tape is read, in millimetres. Common practice, no source.
const READ_MM: f64 = 0.5;

/// An end is marked on a screen that shows the picture this many of its points
/// wide, and to about one of them. Common practice, no source.
const SCREEN_POINTS: f64 = 1000.0;

/// How far from straight down a camera is held by hand, in degrees about each
/// axis. Common practice, no source.
const HELD_DEGREES: f64 = 8.0;

/// The fewest lengths: one along and one across tell a slant.
const LEAST: usize = 2;

/// Lengths that were measured are on wood that fits a bench.
const LENGTHS: std::ops::RangeInclusive<f64> = 10.0..=5000.0;

/// The ends of a length lie at least this share of the picture's width apart.
const LEAST_APART: f64 = 0.03;

/// The camera, from lengths on the plane that is measured.
///
/// # Errors
/// Too few lengths, or one that cannot be: of no size, or out of the picture.
pub(crate) fn fit_to(picture: &Picture, lengths: &[KnownLength]) -> Result<Fit, Problem> {
    if lengths.len() < LEAST {
        return Err(Problem::new("one length alone does not tell how the camera was held")
            .hint("measure two on the top face, one along and one across, or lay a scale sheet"));
    }
    let lens = Lens::of(picture);
    let known =
        lengths.iter().map(|it| Known::checked(picture, it)).collect::<Result<Vec<Known>, Problem>>()?;
    let far = known.iter().map(|it| lens.focal * it.mm / it.from.distance(it.to)).sum::<f64>();
    let camera = Camera {
        focal: lens.focal,
        centre: lens.centre,
        bend: [0.0; 2],
        turn: Rotation3::from_axis_angle(&Vector3::x_axis(), std::f64::consts::PI),
        shift: Vector3::new(0.0, 0.0, far / known.len() as f64),
    };
    fit::fit_lengths(&known, camera, lens)
}

/// How far the worst of the lengths is from what the camera makes of it, in doubts.
pub(crate) fn worst(picture: &Picture, lengths: &[KnownLength], camera: &Camera) -> f64 {
    let known = lengths.iter().filter_map(|it| Known::checked(picture, it).ok());
    known.map(|it| it.miss(camera).abs()).fold(0.0, f64::max)
}

impl Known {
    fn checked(picture: &Picture, asked: &KnownLength) -> Result<Known, Problem> {
        let (width, height) = (f64::from(picture.width_px()), f64::from(picture.height_px()));
        let mm = asked.length.to_mm();
        let inside = |it: Pixel| (0.0..=width).contains(&it.x) && (0.0..=height).contains(&it.y);
        if !LENGTHS.contains(&mm) {
            let message = format!("a length of {mm:.1} mm cannot be measured on a slab");
            return Err(Problem::new(message).hint("type it in millimetres, as the tape tells it"));
        }
        if !(inside(asked.from) && inside(asked.to)) {
            let message = format!("an end of the length of {mm:.1} mm lies outside of the picture");
            return Err(Problem::new(message).hint("mark both ends on the wood's top face"));
        }
        if asked.from.distance(asked.to) < LEAST_APART * width {
            let message = format!("the ends of the length of {mm:.1} mm are marked on one spot");
            return Err(Problem::new(message).hint("mark one end, then the other"));
        }
        let marked = mm / asked.from.distance(asked.to) * width / SCREEN_POINTS;
        // Both ends are marked, each about as well.
        let doubt = READ_MM.hypot(marked * std::f64::consts::SQRT_2);
        Ok(Known { from: asked.from, to: asked.to, mm, doubt })
    }

    /// How far the camera's length is from the tape's, in doubts.
    pub(crate) fn miss(self, camera: &Camera) -> f64 {
        let place = |at| camera.place(at, Length::ZERO);
        let found = place(self.from).zip(place(self.to)).map(|(a, b)| a.distance(b).to_mm());
        found.map_or(f64::MAX.sqrt(), |it| (it - self.mm) / self.doubt)
    }

    /// How the camera was held, in doubts: about straight down. Where it stood
    /// and which way up, no length depends on; these hold it in place.
    pub(crate) fn pose_misses(camera: &Camera) -> [f64; 5] {
        let up = camera.turn * Vector3::z();
        let right = camera.turn * Vector3::x();
        let held = HELD_DEGREES.to_radians();
        [up.x / held, up.y / held, right.y, camera.shift.x, camera.shift.y]
    }
}
