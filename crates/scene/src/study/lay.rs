//! How a maker lays the scale sheets: at both ends if there are two.

use measure::{Angle, Problem};
use outline::{Place, Point};
use stock::ScaleSheet;

use crate::noise::Dice;
use crate::paper::HALF_PAPER;
use crate::{LaidSheet, Paper, Rest, Slab};

/// How many sheets, and on what.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Lay {
    TwoOnTop,
    TwoOnBench,
    OneOnTop,
    OneOnBench,
}

/// A maker leaves so much of the wood's end in sight, in millimetres.
const END_SHOWS: [f64; 2] = [12.0, 45.0];

impl Lay {
    pub(super) fn thrown(dice: &mut Dice) -> Lay {
        match dice.between(0.0, 100.0) {
            it if it < 45.0 => Lay::TwoOnTop,
            it if it < 70.0 => Lay::TwoOnBench,
            it if it < 85.0 => Lay::OneOnTop,
            _ => Lay::OneOnBench,
        }
    }

    pub(super) fn on_top(self) -> bool {
        matches!(self, Lay::TwoOnTop | Lay::OneOnTop)
    }

    /// The shortest wood, in millimetres, that a maker would cover in this way.
    pub(super) fn shortest(self) -> f64 {
        match self {
            Lay::TwoOnTop => 720.0,
            Lay::OneOnTop => 460.0,
            Lay::TwoOnBench | Lay::OneOnBench => 400.0,
        }
    }

    /// The narrowest: sheets go beside wood that they would reach over.
    pub(super) fn narrowest(self) -> f64 {
        if self.on_top() { 245.0 } else { 160.0 }
    }

    /// The sheets, from one printer.
    pub(super) fn sheets(self, slab: &Slab, dice: &mut Dice) -> Result<Vec<LaidSheet>, Problem> {
        let ends: &[f64] = match self {
            Lay::TwoOnTop | Lay::TwoOnBench => &[-1.0, 1.0],
            Lay::OneOnTop | Lay::OneOnBench => &[[-1.0], [1.0]][usize::from(dice.chance(0.5))],
        };
        let scale = 1.0 + dice.bell(0.004);
        let first = dice.between(0.0, 3.999) as u8;
        let mut sheets = Vec::new();
        for (index, end) in (0_u8..).zip(ends) {
            let number = (first + index) % ScaleSheet::COUNT + 1;
            let sheet = ScaleSheet::numbered(number).ok_or_else(|| Problem::new("no such sheet"))?;
            let place =
                if self.on_top() { self.upon(slab, *end, dice) } else { self.beside(slab, *end, dice) };
            let lifts_mm = [0; 4].map(|_| if dice.chance(0.33) { dice.between(0.0, 3.0) } else { 0.0 });
            sheets.push(LaidSheet { sheet, place, paper: Paper { scale, lifts_mm, rest: Rest::Wood } });
        }
        Ok(sheets)
    }

    /// On the wood, two as far out as they go while the ends show.
    fn upon(self, slab: &Slab, end: f64, dice: &mut Dice) -> Place {
        let [half, half_width] = [slab.ask().length, slab.ask().width].map(|it| it.to_mm() / 2.0);
        // Lengthwise only where it would reach over both edges across, and not lengthwise.
        let lengthwise = (HALF_PAPER[0]..HALF_PAPER[1] + 15.0).contains(&half_width);
        let (turn, [half_x, _]) = turned(lengthwise, dice);
        let y = dice.bell(6.0);
        let farthest = half - half_x - dice.between(END_SHOWS[0], END_SHOWS[1]);
        let out = match self {
            Lay::TwoOnTop | Lay::TwoOnBench => farthest,
            Lay::OneOnTop | Lay::OneOnBench => farthest * dice.between(0.0, 1.0),
        };
        let from = |inward: f64| Place { at: Point::new(end * (out - inward), y), turn, mirrored: false };
        // Skewed ends and narrow places: a little farther in may do.
        let inward = (0..30).map(|it| from(1.5 * f64::from(it)));
        inward.into_iter().find(|it| is_upon(slab, it)).unwrap_or_else(|| from(0.0))
    }

    /// On the bench, near an end: along a long edge, or now and then past the end.
    fn beside(self, slab: &Slab, end: f64, dice: &mut Dice) -> Place {
        let half = slab.ask().length.to_mm() / 2.0;
        let (turn, [half_x, half_y]) = turned(dice.chance(0.3), dice);
        let gap = dice.between(4.0, 45.0);
        if self == Lay::TwoOnBench && half < 350.0 && dice.chance(0.4) {
            let at = Point::new(end * (half + 25.0 + gap + half_x), dice.between(-30.0, 30.0));
            return Place { at, turn, mirrored: false };
        }
        let out = if self == Lay::OneOnBench { dice.between(0.0, 0.5) } else { 1.0 };
        let x = end * (half - half_x + dice.between(-20.0, 40.0)).max(half_x + 8.0) * out;
        let side = if dice.chance(0.5) { 1.0 } else { -1.0 };
        let near = slab.outline().corners().iter().filter(|it| (it.x - x).abs() < half_x);
        let edge = near.map(|it| it.y * side).fold(0.0, f64::max);
        Place { at: Point::new(x, side * (edge + gap + half_y)), turn, mirrored: false }
    }
}

/// A sheet's turn, and half the room that it takes along and across the wood.
fn turned(lengthwise: bool, dice: &mut Dice) -> (Angle, [f64; 2]) {
    let askew = Angle::degrees(dice.bell(3.0));
    let [x, y] = if lengthwise { [HALF_PAPER[1], HALF_PAPER[0]] } else { HALF_PAPER };
    let (sin, cos) = (askew.sin().abs(), askew.cos());
    let upside_down = if dice.chance(0.3) { 180.0 } else { 0.0 };
    let turn = askew + Angle::degrees(upside_down + if lengthwise { 90.0 } else { 0.0 });
    (turn, [x * cos + y * sin, y * cos + x * sin])
}

/// Whether all of a sheet lies on the wood.
fn is_upon(slab: &Slab, place: &Place) -> bool {
    let [x, y] = HALF_PAPER;
    [[-x, -y], [x, -y], [x, y], [-x, y]].into_iter().all(|[x, y]| {
        let at = place.point(Point::new(x, y));
        slab.to_outline.at(at.x, at.y) > 1.0
    })
}
