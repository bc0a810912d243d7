//! A scale sheet as it is printed: black squares on white paper.

use outline::{Place, Point};
use serde::{Deserialize, Serialize};
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
pub(crate) const HALF_PAPER: [f64; 2] = [105.0, 148.5];
/// Light that plain office paper gives back.
const WHITE: f64 = 0.84;
/// Light that laser print gives back.
const INK: f64 = 0.035;
/// Half the width of the check line and its end ticks, in millimetres.
const HALF_LINE: f64 = 0.3;
/// Half the length of an end tick.
const HALF_TICK: f64 = 4.0;

/// What a place on a sheet is made of.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub(crate) enum Print {
    Off,
    White,
    Ink,
}

impl LaidSheet {
    /// From the bench to the sheet's own coordinates.
    pub(crate) fn own(&self, x: f64, y: f64) -> Point {
        let (sin, cos) = (self.place.turn.sin(), self.place.turn.cos());
        let (dx, dy) = (x - self.place.at.x, y - self.place.at.y);
        let across = dx * cos + dy * sin;
        Point::new(if self.place.mirrored { -across } else { across }, dy * cos - dx * sin)
    }

    pub(crate) fn print(&self, own: Point) -> Print {
        if own.x.abs() > HALF_PAPER[0] || own.y.abs() > HALF_PAPER[1] {
            return Print::Off;
        }
        if black(self.sheet, own) { Print::Ink } else { Print::White }
    }
}

impl Print {
    /// Light given back.
    pub(crate) fn light(self) -> f64 {
        match self {
            Print::Off => 0.0,
            Print::White => WHITE,
            Print::Ink => INK,
        }
    }
}

fn black(sheet: ScaleSheet, at: Point) -> bool {
    let pitch = ScaleSheet::PITCH.to_mm();
    let column = (at.x / pitch + f64::from(ScaleSheet::COLUMNS) / 2.0).floor();
    let row = (f64::from(ScaleSheet::ROWS) / 2.0 - at.y / pitch).floor();
    let on_grid = (0.0..f64::from(ScaleSheet::COLUMNS)).contains(&column)
        && (0.0..f64::from(ScaleSheet::ROWS)).contains(&row);
    if on_grid {
        let index = row as usize * usize::from(ScaleSheet::COLUMNS) + column as usize;
        return sheet.tags().nth(index).is_some_and(|tag| inked(tag, at));
    }
    check_line(at)
}

fn inked(tag: Tag, at: Point) -> bool {
    let module = ScaleSheet::TAG.to_mm() / Tag::MODULES as f64;
    let [upper_left, ..] = tag.corners();
    let (column, row) = (((at.x - upper_left.x) / module).floor(), ((upper_left.y - at.y) / module).floor());
    let on_tag = 0.0..Tag::MODULES as f64;
    on_tag.contains(&column) && on_tag.contains(&row) && !tag.is_white(row as usize, column as usize)
}

fn check_line(at: Point) -> bool {
    let off = (at.x + ScaleSheet::CHECK_LINE_LEFT.to_mm()).abs();
    let half = ScaleSheet::CHECK_LINE.to_mm() / 2.0;
    let shaft = off < HALF_LINE && at.y.abs() < half;
    let tick = off < HALF_TICK && (at.y.abs() - half).abs() < HALF_LINE;
    shaft || tick
}
