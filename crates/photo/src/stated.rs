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
        let read = exif::Reader::new().read_from_container(&mut Cursor::new(bytes));
        read.map_or_else(|_| Stated::default(), |told| Stated::by(&told))
    }

    fn by(told: &Exif) -> Stated {
        let sides = [Tag::PixelXDimension, Tag::PixelYDimension].map(|tag| number(told, tag));
        let sides_px = sides[0].zip(sides[1]).filter(|(x, y)| x.min(*y) >= 1.0);
        let sides_px = sides_px.map(|(x, y)| [x.max(y), x.min(y)]);
        Stated { focal: focal(told, sides_px), sides_px }
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
    (mm.is_finite() && mm > 0.0).then_some(mm)
}

fn number(told: &Exif, tag: Tag) -> Option<f64> {
    let value = &told.get_field(tag, In::PRIMARY)?.value;
    let rational = || match value {
        exif::Value::Rational(those) => those.first().map(exif::Rational::to_f64),
        _ => None,
    };
    value.get_uint(0).map(f64::from).or_else(rational).filter(|it| it.is_finite())
}

#[cfg(test)]
mod tests {
    use exif::{Field, Rational, Value};

    use super::*;

    fn short(tag: Tag, it: u16) -> Field {
        Field { tag, ifd_num: In::PRIMARY, value: Value::Short(vec![it]) }
    }

    fn ratio(tag: Tag, num: u32, denom: u32) -> Field {
        Field { tag, ifd_num: In::PRIMARY, value: Value::Rational(vec![Rational { num, denom }]) }
    }

    fn stated(fields: &[Field]) -> Stated {
        let (mut writer, mut block) = (exif::experimental::Writer::new(), Cursor::new(Vec::new()));
        fields.iter().for_each(|it| writer.push_field(it));
        writer.write(&mut block, false).unwrap();
        Stated::by(&exif::Reader::new().read_raw(block.into_inner()).unwrap())
    }

    fn size() -> [Field; 2] {
        [short(Tag::PixelXDimension, 6000), short(Tag::PixelYDimension, 4000)]
    }

    #[test]
    fn the_equivalent_focal_length_comes_first() {
        let focal = stated(&[short(Tag::FocalLengthIn35mmFilm, 26), ratio(Tag::FocalLength, 425, 100)]).focal;
        assert_eq!(focal, Focal::Whole(26.0));
        assert_eq!(stated(&[short(Tag::FocalLengthIn35mmFilm, 0)]).focal, Focal::Unstated);
        assert_eq!(stated(&[short(Tag::FocalLengthIn35mmFilm, 3)]).focal, Focal::Absurd(3.0));
    }

    #[test]
    fn without_it_the_sensor_tells() {
        // 23.5 mm wide and 6000 px across: 2553.19 px to the 10 mm of unit 3.
        let sensor = [
            ratio(Tag::FocalLength, 35, 1),
            ratio(Tag::FocalPlaneXResolution, 255_319, 100),
            short(Tag::FocalPlaneResolutionUnit, 3),
        ];
        let all: Vec<Field> = size().into_iter().chain(sensor).collect();
        // By hand: 35 mm over a diagonal of 23.5 by 15.667 mm, 28.24 mm, is 53.6 mm on 43.27 mm.
        let Focal::Worked(mm) = stated(&all).focal else { panic!("{:?}", stated(&all)) };
        assert!((mm - 53.62).abs() < 0.02, "{mm}");
        assert_eq!(stated(&all[2..]).focal, Focal::Unstated);
        let broken = [ratio(Tag::FocalLength, 35, 0), ratio(Tag::FocalPlaneXResolution, 0, 0)];
        let broken: Vec<Field> = size().into_iter().chain(broken).collect();
        assert_eq!(stated(&broken).focal, Focal::Unstated);
    }

    #[test]
    fn a_picture_of_another_shape_was_cut() {
        let whole = stated(&size());
        // Made smaller, or turned upright, it has the same shape.
        assert!(!whole.is_cut([3000.0, 2000.0]) && !whole.is_cut([2000.0, 3000.0]));
        assert!((whole.diagonal_px([3000.0, 2000.0]) - 3605.55).abs() < 0.01);
        assert!(whole.is_cut([4000.0, 4000.0]));
        assert!((whole.diagonal_px([4000.0, 4000.0]) - 7211.10).abs() < 0.01);
        assert!(!Stated::default().is_cut([4000.0, 4000.0]));
    }
}
