//! The demo pictures; also small and fast, for tests.

use measure::{Angle, Length, Problem};
use outline::{Place, Point};
use stock::ScaleSheet;

use crate::{
    Bench, Camera, Exif, Film, LaidSheet, Leaf, LeafAsk, Light, Look, Paper, Shot, Slab, SlabAsk, Subject,
};

/// Pixels across a full-size demo picture (4 : 3).
pub const FULL_PX: u32 = 3000;
/// Pixels across a picture for tests.
pub const SMALL_PX: u32 = 1600;
/// What the demo's camera says its focal length is, on a 36 x 24 mm frame.
const FOCAL_35MM: u16 = 26;
/// The lens is this much longer than it says, as lenses are.
const FOCAL_ERROR: f64 = 1.003;

/// A walnut slab with live edges on a concrete floor, sheets 1 and 2 on the floor
/// beside its two ends.
///
/// # Errors
/// None for a slab that grows, as this one does.
pub fn walnut_slab(width_px: u32) -> Result<Shot, Problem> {
    let ask = SlabAsk {
        seed: 11,
        look: Look::Walnut,
        length: Length::mm(1150.0),
        width: Length::mm(330.0),
        thickness: Length::mm(40.0),
        live_edge: true,
        sapwood: Length::mm(20.0),
        knots: 3,
        checks: 3,
    };
    let sheets = vec![laid(1, -430.0, 366.0, 2.0), laid(2, 425.0, -352.0, -3.0)];
    let camera = camera(width_px).look_at(
        [5.0, 10.0, 0.0],
        Length::mm(1150.0),
        Angle::degrees(10.0),
        Angle::degrees(-80.0),
        Angle::degrees(1.2),
    );
    shot(Subject::Slab(Box::new(Slab::grow(&ask)?)), Bench::Concrete, sheets, camera)
}

/// A square-sawn cherry offcut on a bench, sheet 3 on a block level with its top.
///
/// # Errors
/// None for a slab that grows, as this one does.
pub fn cherry_offcut(width_px: u32) -> Result<Shot, Problem> {
    let ask = SlabAsk {
        seed: 23,
        look: Look::Cherry,
        length: Length::mm(620.0),
        width: Length::mm(240.0),
        thickness: Length::mm(24.0),
        live_edge: false,
        sapwood: Length::mm(18.0),
        knots: 2,
        checks: 1,
    };
    let sheets = vec![laid(3, 20.0, 300.0, 91.5)];
    let camera = camera(width_px).look_at(
        [10.0, 100.0, 0.0],
        Length::mm(735.0),
        Angle::degrees(15.0),
        Angle::degrees(-95.0),
        Angle::degrees(-0.8),
    );
    let shot = shot(Subject::Slab(Box::new(Slab::grow(&ask)?)), Bench::Planks, sheets, camera)?;
    Ok(Shot { sheets_level: ask.thickness, ..shot })
}

/// A lobed leaf on pale paper with sheet 4.
///
/// # Errors
/// None for a leaf that grows, as this one does.
pub fn leaf(width_px: u32) -> Result<Shot, Problem> {
    let place = Place { at: Point::new(-265.0, -40.0), turn: Angle::degrees(14.0), mirrored: false };
    let leaf = Leaf::grow(&LeafAsk { seed: 5, length: Length::mm(235.0), place })?;
    let sheets = vec![laid(4, 145.0, 0.0, -1.5)];
    let camera = camera(width_px).look_at(
        [-30.0, 0.0, 0.0],
        Length::mm(520.0),
        Angle::degrees(5.0),
        Angle::degrees(-90.0),
        Angle::degrees(0.7),
    );
    shot(Subject::Leaf(Box::new(leaf)), Bench::Paper, sheets, camera)
}

fn camera(width_px: u32) -> Camera {
    let height_px = width_px * 3 / 4;
    let plain = Camera::new(width_px, height_px, Length::mm(f64::from(FOCAL_35MM)));
    let [x, y] = plain.principal_px;
    let size = f64::from(width_px);
    Camera {
        focal_px: plain.focal_px * FOCAL_ERROR,
        principal_px: [x + 0.0021 * size, y - 0.0017 * size],
        k1: 0.018,
        k2: -0.022,
        ..plain
    }
}

fn laid(number: u8, x: f64, y: f64, degrees: f64) -> LaidSheet {
    let sheet = ScaleSheet::numbered(number).expect("the demo's sheets are among the four");
    let paper = Paper::PLAIN;
    LaidSheet {
        sheet,
        paper,
        place: Place { at: Point::new(x, y), turn: Angle::degrees(degrees), mirrored: false },
    }
}

fn shot(subject: Subject, bench: Bench, sheets: Vec<LaidSheet>, camera: Camera) -> Result<Shot, Problem> {
    let light = Light {
        azimuth: Angle::degrees(125.0),
        elevation: Angle::degrees(52.0),
        exposure: 1.08,
        warmth: 1.03,
        ..Light::PLAIN
    };
    let exif = Some(Exif { focal_35mm: FOCAL_35MM, orientation: 1 });
    let sheets_level = Length::ZERO;
    let (film, things) = (Film::PLAIN, Vec::new());
    let (noise, jpeg_quality) = (0.8, 90);
    Ok(Shot { subject, bench, sheets, sheets_level, camera, light, noise, jpeg_quality, film, things, exif })
}
