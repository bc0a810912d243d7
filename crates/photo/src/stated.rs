//! What a picture's file states of the lens that took it (CIPA DC-008 / JEITA
//! CP-3451, the EXIF standard), for as much as it is worth.

use std::io::Cursor;

use exif::{Exif, In, Tag};

/// The diagonal of a 36 by 24 mm frame, for which the equivalent focal length is stated.
pub(crate) const FRAME_DIAGONAL_MM: f64 = 43.266_615_3;

/// Equivalent focal lengths outside of this no lens has that makes pictures to measure by.
const FOCAL_35_MM: std::ops::RangeInclusive<f64> = 8.0..=400.0;

/// A picture's shape is another than the stated one if the ratios of its sides
/// are farther apart than this share.
const SAME_SHAPE: f64 = 0.01;

/// What the file states.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Stated {
    pub(crate) focal: Focal,
    /// Longer and shorter side of the picture that the camera took, in pixels.
    sides_px: Option<[f64; 2]>,
}

/// What is stated of the focal length, as that for a 36 by 24 mm frame.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) enum Focal {
    /// Nothing.
    #[default]
    Unstated,
    /// In whole millimetres.
    Whole(f64),
    /// Worked out from the lens's own and the sensor's size.
    Worked(f64),
    /// What cannot be.
    Absurd(f64),
}

impl Stated {
    /// Reads the file's EXIF block, if it has one that can be read.
    pub(crate) fn in_file(bytes: &[u8]) -> Stated {
        let read = exif::Reader::new().read_from_container(&mut Cursor::new(bytes)).ok();
        read.map_or_else(Stated::default, |told| {
            let sides = [Tag::PixelXDimension, Tag::PixelYDimension].map(|tag| number(&told, tag));
            let sides_px = sides[0].zip(sides[1]).filter(|(x, y)| x.min(*y) >= 1.0);
            let sides_px = sides_px.map(|(x, y)| [x.max(y), x.min(y)]);
            Stated { focal: focal(&told, sides_px), sides_px }
        })
    }

    /// The focal length for a 36 by 24 mm frame, if one is stated that can be.
    pub(crate) fn focal_35_mm(self) -> Option<f64> {
        match self.focal {
            Focal::Whole(mm) | Focal::Worked(mm) => Some(mm),
            Focal::Unstated | Focal::Absurd(_) => None,
        }
    }

    /// The diagonal in pixels that the equivalent focal length is for: that of a
    /// picture with these sides, which may have been made smaller, or of the one
    /// that it was cut from.
    pub(crate) fn diagonal_px(self, sides: [f64; 2]) -> f64 {
        match self.sides_px {
            Some(taken) if self.is_cut(sides) => taken[0].hypot(taken[1]),
            _ => sides[0].hypot(sides[1]),
        }
    }

    /// Whether a picture with these sides was cut from one of another shape.
    pub(crate) fn is_cut(self, sides: [f64; 2]) -> bool {
        let shape = |[x, y]: [f64; 2]| x.max(y) / x.min(y);
        self.sides_px.is_some_and(|taken| (shape(taken) / shape(sides) - 1.0).abs() > SAME_SHAPE)
    }
}

fn focal(told: &Exif, sides_px: Option<[f64; 2]>) -> Focal {
    let checked = |of: fn(f64) -> Focal, mm: f64| {
        if FOCAL_35_MM.contains(&mm) { of(mm) } else { Focal::Absurd(mm) }
    };
    // The standard has 0 for an unknown equivalent focal length.
    match number(told, Tag::FocalLengthIn35mmFilm).filter(|mm| *mm > 0.0) {
        Some(mm) => checked(Focal::Whole, mm),
        None => worked(told, sides_px).map_or(Focal::Unstated, |mm| checked(Focal::Worked, mm)),
    }
}

/// The lens's own focal length over the sensor's diagonal, brought to the frame's.
fn worked(told: &Exif, sides_px: Option<[f64; 2]>) -> Option<f64> {
    let unit_mm = match number(told, Tag::FocalPlaneResolutionUnit) {
        Some(3.0) => 10.0,
        Some(2.0) | None => 25.4,
        Some(_) => return None,
    };
    let px_per_mm = number(told, Tag::FocalPlaneXResolution)? / unit_mm;
    let [long, short] = sides_px?;
    let mm = number(told, Tag::FocalLength)? * FRAME_DIAGONAL_MM * px_per_mm / long.hypot(short);
    mm.is_finite().then_some(mm)
}

fn number(told: &Exif, tag: Tag) -> Option<f64> {
    let value = &told.get_field(tag, In::PRIMARY)?.value;
    let rational = || match value {
        exif::Value::Rational(those) => those.first().map(exif::Rational::to_f64),
        _ => None,
    };
    value.get_uint(0).map(f64::from).or_else(rational).filter(|it| it.is_finite())
}
