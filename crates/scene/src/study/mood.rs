//! Light, ground, what lies about, and what the camera makes of it all.

use measure::Angle;
use outline::Point;

use crate::noise::Dice;
use crate::shot::{Shot, Subject};
use crate::{Bench, Film, Light, SecondLight, Shade, Thing, ThingKind};

pub(super) fn light(dice: &mut Dice) -> Light {
    let side = |dice: &mut Dice| Angle::degrees(dice.between(0.0, 360.0));
    let second = SecondLight {
        azimuth: side(dice),
        elevation: Angle::degrees(dice.between(42.0, 75.0)),
        warmth: dice.between(0.88, 1.16),
        share: dice.between(0.15, 0.5),
    };
    let shade = Shade {
        at: Point::new(dice.between(-500.0, 500.0), dice.between(-400.0, 150.0)),
        half: [dice.between(110.0, 260.0), dice.between(110.0, 260.0)],
        depth: dice.between(0.12, 0.38),
    };
    Light {
        azimuth: side(dice),
        elevation: Angle::degrees(dice.between(45.0, 78.0)),
        exposure: dice.between(0.8, 1.25),
        warmth: dice.between(0.92, 1.12),
        second: dice.chance(0.5).then_some(second),
        shade: dice.chance(0.25).then_some(shade),
        gloss: dice.between(0.5, 2.5),
    }
}

pub(super) fn bench(dice: &mut Dice) -> Bench {
    match dice.between(0.0, 100.0) {
        it if it < 28.0 => Bench::Concrete,
        it if it < 52.0 => Bench::Planks,
        it if it < 74.0 => Bench::Plywood,
        it if it < 90.0 => Bench::Sawdust,
        _ => Bench::Boards,
    }
}

pub(super) fn film(dice: &mut Dice) -> Film {
    let (way, long) = (Angle::degrees(dice.between(0.0, 360.0)), dice.between(0.3, 1.5));
    let moved = dice.chance(0.1);
    Film {
        contrast: dice.between(0.0, 0.45),
        sharpening: dice.between(0.0, 0.8),
        motion_px: if moved { [long * way.cos(), long * way.sin()] } else { [0.0; 2] },
    }
}

/// A thing is laid at least this far from the wood, in millimetres.
const CLEAR: f64 = 10.0;
/// Tries before a bench is left as it is.
const TRIES: usize = 40;

/// A pencil or a rule beside the wood, in three pictures of ten.
pub(super) fn things(shot: &Shot, dice: &mut Dice) -> Vec<Thing> {
    let Subject::Slab(slab) = &shot.subject else { return Vec::new() };
    if !dice.chance(0.3) {
        return Vec::new();
    }
    let kind = if dice.chance(0.5) { ThingKind::Pencil } else { ThingKind::Rule };
    let sheets = shot.printed();
    let [half_long, half_wide] = kind.half();
    let clear = |it: &Thing| {
        (-6..=6).all(|part| {
            let along = half_long * f64::from(part) / 6.0;
            let (x, y) = (it.at.x + along * it.turn.cos(), it.at.y + along * it.turn.sin());
            let from_wood = -slab.to_outline.at(x, y);
            from_wood > half_wide + CLEAR && sheets.iter().all(|it| it.inside(x, y, 0.0) < -half_wide - CLEAR)
        })
    };
    let (half_x, half_y) = (slab.length().to_mm() / 2.0, slab.width().to_mm() / 2.0);
    let mut thrown = || Thing {
        kind,
        at: Point::new(dice.between(-half_x, half_x), dice.between(-1.0, 1.0) * (half_y + 110.0)),
        turn: Angle::degrees(dice.between(-180.0, 180.0)),
    };
    (0..TRIES).map(|_| thrown()).find(clear).into_iter().collect()
}
