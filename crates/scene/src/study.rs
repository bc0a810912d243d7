//! The pictures that the measuring of photographs is measured by: photo number
//! N follows from the number alone.

use measure::{Angle, Length, Problem};
use outline::{Place, Point};
use stock::ScaleSheet;

use crate::noise::Dice;
use crate::{Bench, Camera, Exif, LaidSheet, Light, Look, Shot, Slab, SlabAsk, Subject};

/// Pixels across a picture of 12 megapixels (4 : 3).
pub const FULL_PX: u32 = 4032;

/// Which simulator the pictures come from: another name for every change that shows in them.
pub const EDITION: &str = "1";

/// The shot with this number.
///
/// # Errors
/// None for a slab that grows, as all of these do.
pub fn shot(number: u32, width_px: u32) -> Result<Shot, Problem> {
    let mut dice = Dice::new(number.wrapping_mul(7919));
    let looks = [Look::Walnut, Look::Maple, Look::Cherry, Look::Oak];
    let length = dice.between(450.0, 1200.0);
    let width = dice.between(190.0, 400.0).min(length * 0.6);
    let ask = SlabAsk {
        seed: number,
        look: looks[number as usize % looks.len()],
        length: Length::mm(length),
        width: Length::mm(width),
        thickness: Length::mm(dice.between(20.0, 60.0)),
        live_edge: dice.chance(0.75),
        sapwood: Length::mm(dice.between(10.0, 26.0)),
        knots: dice.between(1.0, 6.0) as usize,
        checks: dice.between(0.0, 5.0) as usize,
    };
    let two = dice.chance(0.7);
    let on_top = dice.chance(0.6);
    let sheets = laid(&ask, two, on_top, &mut dice)?;
    let reach = length + if on_top { 100.0 } else { 300.0 };
    let camera = lens(width_px, &mut dice).look_at(
        [dice.between(-20.0, 20.0), dice.between(-20.0, 20.0), 0.0],
        Length::mm(reach * dice.between(0.95, 1.15)),
        Angle::degrees(dice.between(0.0, 30.0)),
        Angle::degrees(dice.between(-180.0, 180.0)),
        Angle::degrees(dice.between(-4.0, 4.0)),
    );
    let light = Light {
        azimuth: Angle::degrees(dice.between(0.0, 360.0)),
        elevation: Angle::degrees(dice.between(35.0, 75.0)),
        exposure: dice.between(0.85, 1.3),
        warmth: dice.between(0.92, 1.12),
    };
    let bench = if dice.chance(0.5) { Bench::Concrete } else { Bench::Planks };
    let sheets_level = if on_top { ask.thickness } else { Length::ZERO };
    let subject = Subject::Slab(Box::new(Slab::grow(&ask)?));
    let exif = Some(Exif { focal_35mm: 26, orientation: 1 });
    let (noise, jpeg_quality) = (dice.between(0.5, 1.5), dice.between(84.0, 96.0) as u8);
    Ok(Shot { subject, bench, sheets, sheets_level, camera, light, noise, jpeg_quality, exif })
}

fn lens(width_px: u32, dice: &mut Dice) -> Camera {
    let plain = Camera::new(width_px, width_px * 3 / 4, Length::mm(26.0));
    let size = f64::from(width_px);
    let [x, y] = plain.principal_px;
    Camera {
        focal_px: plain.focal_px * (1.0 + dice.between(-0.015, 0.015)),
        principal_px: [x + size * dice.between(-0.004, 0.004), y + size * dice.between(-0.004, 0.004)],
        k1: dice.between(-0.02, 0.04),
        k2: dice.between(-0.04, 0.02),
        ..plain
    }
}

fn laid(ask: &SlabAsk, two: bool, on_top: bool, dice: &mut Dice) -> Result<Vec<LaidSheet>, Problem> {
    let (half, across) = (ask.length.to_mm() / 2.0, ask.width.to_mm() / 2.0);
    let count = if two { 2 } else { 1 };
    (0..count)
        .map(|index| {
            let end = if index == 0 { -1.0 } else { 1.0 };
            let at = if on_top {
                Point::new(end * (half - dice.between(110.0, 160.0)), dice.between(-20.0, 20.0))
            } else {
                let side = if dice.chance(0.5) { -1.0 } else { 1.0 };
                let out =
                    if two { end * (half - dice.between(60.0, 120.0)) } else { dice.between(-60.0, 60.0) };
                Point::new(out, side * (across * 1.12 + dice.between(125.0, 170.0)))
            };
            let turn = if on_top { 90.0 } else { 0.0 } + dice.between(-8.0, 8.0);
            let sheet = ScaleSheet::numbered(1 + index).ok_or_else(|| Problem::new("no such sheet"))?;
            Ok(LaidSheet { sheet, place: Place { at, turn: Angle::degrees(turn), mirrored: false } })
        })
        .collect()
}
