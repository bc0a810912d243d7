//! A scale sheet as it is printed: black squares on white paper.

use outline::{Place, Point};
use stock::{ScaleSheet, Tag};

/// A scale sheet, and where it lies: its middle and its turn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LaidSheet {
    /// Which one.
    pub sheet: ScaleSheet,
    /// How it lies, seen from above.
    pub place: Place,
}

/// Half an A4 sheet, in millimetres.
const HALF_PAPER: [f64; 2] = [105.0, 148.5];
/// Light that plain office paper gives back.
const WHITE: f64 = 0.84;
/// Light that laser print gives back.
const INK: f64 = 0.035;
/// Half the width of the check line and its end ticks, in millimetres.
const HALF_LINE: f64 = 0.3;
/// Half the length of an end tick.
const HALF_TICK: f64 = 4.0;

impl LaidSheet {
    /// Whether its paper lies over a place.
    pub(crate) fn covers(&self, at: Point) -> bool {
        Printed::of(self).inside(at.x, at.y, 0.0) > 0.0
    }
}

/// A sheet ready to be asked about millions of places.
pub(crate) struct Printed {
    middle: Point,
    sin: f64,
    cos: f64,
    mirrored: bool,
    /// Modules of the sheet's tags, row by row; true is ink.
    ink: Vec<[bool; Tag::MODULES * Tag::MODULES]>,
}

impl Printed {
    pub(crate) fn of(laid: &LaidSheet) -> Printed {
        let modules =
            |tag: Tag| std::array::from_fn(|it| !tag.is_white(it / Tag::MODULES, it % Tag::MODULES));
        Printed {
            middle: laid.place.at,
            sin: laid.place.turn.sin(),
            cos: laid.place.turn.cos(),
            mirrored: laid.place.mirrored,
            ink: laid.sheet.tags().map(modules).collect(),
        }
    }

    /// How far inside the paper's edge a place on the bench is, less `inset`.
    pub(crate) fn inside(&self, x: f64, y: f64, inset: f64) -> f64 {
        let own = self.own(x, y);
        (HALF_PAPER[0] - inset - own.x.abs()).min(HALF_PAPER[1] - inset - own.y.abs())
    }

    /// Light that the print gives back at a place on the bench.
    pub(crate) fn light(&self, x: f64, y: f64) -> f64 {
        let own = self.own(x, y);
        if self.black(own) || check_line(own) { INK } else { WHITE }
    }

    /// From the bench to the sheet's own coordinates.
    fn own(&self, x: f64, y: f64) -> Point {
        let (dx, dy) = (x - self.middle.x, y - self.middle.y);
        let across = dx * self.cos + dy * self.sin;
        Point::new(if self.mirrored { -across } else { across }, dy * self.cos - dx * self.sin)
    }

    fn black(&self, at: Point) -> bool {
        let (columns, rows) = (f64::from(ScaleSheet::COLUMNS), f64::from(ScaleSheet::ROWS));
        let pitch = ScaleSheet::PITCH.to_mm();
        let (across, down) = (at.x / pitch + columns / 2.0, rows / 2.0 - at.y / pitch);
        if !(0.0..columns).contains(&across) || !(0.0..rows).contains(&down) {
            return false;
        }
        // The tag's black square is in the middle of its place of the grid.
        let share = pitch / ScaleSheet::TAG.to_mm();
        let module = |it: f64| (it - it.trunc() - 0.5) * share + 0.5;
        let (u, v) = (module(across), module(down));
        if !(0.0..1.0).contains(&u) || !(0.0..1.0).contains(&v) {
            return false;
        }
        let modules = Tag::MODULES as f64;
        let tag = &self.ink[down as usize * usize::from(ScaleSheet::COLUMNS) + across as usize];
        tag[(v * modules) as usize * Tag::MODULES + (u * modules) as usize]
    }
}

fn check_line(at: Point) -> bool {
    let off = (at.x + ScaleSheet::CHECK_LINE_LEFT.to_mm()).abs();
    let half = ScaleSheet::CHECK_LINE.to_mm() / 2.0;
    let shaft = off < HALF_LINE && at.y.abs() < half;
    let tick = off < HALF_TICK && (at.y.abs() - half).abs() < HALF_LINE;
    shaft || tick
}
