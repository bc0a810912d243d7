//! What lies about on a bench beside the wood: a pencil, a steel rule.

use measure::Angle;
use outline::Point;

use crate::noise::step;
use crate::wood::Colour;

/// Something that lies on the bench.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Thing {
    /// What it is.
    pub kind: ThingKind,
    /// Its middle.
    pub at: Point,
    /// Its length's direction, counter-clockwise from x.
    pub turn: Angle,
}

/// What lies about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ThingKind {
    /// A six-sided pencil of 175 mm, sharpened.
    Pencil,
    /// A steel rule of 300 mm, 30 wide.
    Rule,
}

/// The sharpened part of a pencil, and its lead, in millimetres.
const POINT: f64 = 22.0;
const LEAD: f64 = 6.0;
/// A thing darkens the bench out to this far beside it, in millimetres.
const SHADE: f64 = 7.0;

impl ThingKind {
    /// Half its length and half its width, in millimetres.
    pub(crate) const fn half(self) -> [f64; 2] {
        match self {
            ThingKind::Pencil => [87.5, 3.7],
            ThingKind::Rule => [150.0, 15.0],
        }
    }
}

impl Thing {
    /// What a place on the bench looks like with the thing there.
    pub(crate) fn over(&self, bench: Colour, x: f64, y: f64) -> Colour {
        let (dx, dy) = (x - self.at.x, y - self.at.y);
        let [half_long, half_wide] = self.kind.half();
        if dx * dx + dy * dy > (half_long + 2.0 * SHADE).powi(2) {
            return bench;
        }
        let (sin, cos) = (self.turn.sin(), self.turn.cos());
        let (along, across) = (dx * cos + dy * sin, dy * cos - dx * sin);
        let wide = match self.kind {
            ThingKind::Pencil => half_wide * ((half_long - along) / POINT).clamp(0.08, 1.0),
            ThingKind::Rule => half_wide,
        };
        let outside = (across.abs() - wide).max(along.abs() - half_long);
        if outside > 0.0 {
            let strength = if self.kind == ThingKind::Pencil { 0.5 } else { 0.25 };
            return bench.map(|it| it * (1.0 - strength * step(SHADE * 0.6, 0.0, outside)));
        }
        match self.kind {
            ThingKind::Pencil => pencil(half_long - along, across / half_wide),
            ThingKind::Rule => rule(along + half_long, half_wide - across),
        }
    }
}

/// `from_tip` in millimetres; `across` from -1 to 1.
fn pencil(from_tip: f64, across: f64) -> Colour {
    let facet = if across.abs() < 0.5 { 1.0 } else { 0.72 - 0.2 * across.signum() };
    let colour = if from_tip < LEAD {
        [0.03, 0.03, 0.035]
    } else if from_tip < POINT {
        [0.60, 0.42, 0.24]
    } else {
        [0.55, 0.07, 0.045]
    };
    colour.map(|it| it * facet)
}

/// `along` from the zero line and `from_edge` in millimetres.
fn rule(along: f64, from_edge: f64) -> Colour {
    let nearest = along.round();
    let long = match nearest as i32 % 10 {
        0 => 9.0,
        5 => 6.5,
        _ => 4.5,
    };
    let tick = (along - nearest).abs() < 0.1 && from_edge < long;
    if tick { [0.05; 3] } else { [0.40, 0.41, 0.42] }
}
