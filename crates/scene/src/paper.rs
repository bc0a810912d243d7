//! A scale sheet as it is printed: black squares on white paper, that may be
//! printed a little too large or small and whose corners may curl up.

use outline::{Place, Point};
use stock::{ScaleSheet, Tag};

/// A scale sheet, and where it lies: its middle and its turn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LaidSheet {
    /// Which one.
    pub sheet: ScaleSheet,
    /// How it lies, seen from above.
    pub place: Place,
    /// What paper it is on.
    pub paper: Paper,
}

/// The paper of a scale sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Paper {
    /// The print is larger than it should be by this factor.
    pub scale: f64,
    /// How far each corner has curled up, in millimetres: lower left, lower
    /// right, upper right, upper left as printed.
    pub lifts_mm: [f64; 4],
    /// What holds it up, where it lies higher than the bench.
    pub rest: Rest,
}

/// What holds a raised sheet up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rest {
    /// A block of its own, level with the wood.
    Block,
    /// The wood; where it reaches over the edge it stays flat, as stiff card does.
    Wood,
}

impl Paper {
    /// Printed true, flat, on a block where it is raised.
    pub const PLAIN: Paper = Paper { scale: 1.0, lifts_mm: [0.0; 4], rest: Rest::Block };
}

/// Half an A4 sheet, in millimetres (ISO 216).
pub(crate) const HALF_PAPER: [f64; 2] = [105.0, 148.5];
/// Light that plain office paper gives back.
const WHITE: f64 = 0.84;
/// Light that laser print gives back.
const INK: f64 = 0.035;
/// Half the width of the check line and its end ticks, in millimetres.
const HALF_LINE: f64 = 0.3;
/// Half the length of an end tick.
const HALF_TICK: f64 = 4.0;
/// A curl begins this far from its corner, along the diagonal, in millimetres.
const CURL: f64 = 90.0;
/// Half the diagonal of the paper.
const HALF_DIAGONAL: f64 = 181.871_521;
/// The corners, as signs of x and y, in the order of `Paper::lifts_mm`.
const CORNERS: [[f64; 2]; 4] = [[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]];

/// A sheet ready to be asked about millions of places.
pub(crate) struct Printed {
    laid: LaidSheet,
    /// How high above the bench its flat middle lies.
    level: f64,
    sin: f64,
    cos: f64,
    curls: Vec<Curl>,
    /// Modules of the sheet's tags, row by row; true is ink.
    ink: Vec<[bool; Tag::MODULES * Tag::MODULES]>,
}

impl Printed {
    /// A sheet whose flat middle lies at this height.
    pub(crate) fn of(laid: &LaidSheet, level: f64) -> Printed {
        let modules =
            |tag: Tag| std::array::from_fn(|it| !tag.is_white(it / Tag::MODULES, it % Tag::MODULES));
        Printed {
            laid: *laid,
            level,
            sin: laid.place.turn.sin(),
            cos: laid.place.turn.cos(),
            curls: Curl::of(&laid.paper),
            ink: laid.sheet.tags().map(modules).collect(),
        }
    }

    /// What holds it up.
    pub(crate) fn rest(&self) -> Rest {
        self.laid.paper.rest
    }

    /// How high its flat middle lies.
    pub(crate) fn level(&self) -> f64 {
        self.level
    }

    /// Whether a place is so far off that no part of the paper is near it.
    pub(crate) fn is_far(&self, x: f64, y: f64) -> bool {
        let at = self.laid.place.at;
        (x - at.x).powi(2) + (y - at.y).powi(2) > (HALF_DIAGONAL + 20.0).powi(2)
    }

    /// Whether a corner has curled up.
    pub(crate) fn is_curled(&self) -> bool {
        !self.curls.is_empty()
    }

    /// How high above the bench the paper is at a place.
    pub(crate) fn height(&self, x: f64, y: f64) -> f64 {
        let flat = self.flat(x, y);
        self.level + self.curls.iter().map(|it| it.lift(flat)).sum::<f64>()
    }

    /// How steeply the paper rises at a place, along x and along y.
    pub(crate) fn slope(&self, x: f64, y: f64) -> [f64; 2] {
        const REACH: f64 = 0.5;
        if self.curls.is_empty() {
            return [0.0; 2];
        }
        let rise = |high: f64, low: f64| (high - low) / (2.0 * REACH);
        [
            rise(self.height(x + REACH, y), self.height(x - REACH, y)),
            rise(self.height(x, y + REACH), self.height(x, y - REACH)),
        ]
    }

    /// How far inside the paper's edge a place on the bench is, less `inset`.
    pub(crate) fn inside(&self, x: f64, y: f64, inset: f64) -> f64 {
        let own = self.own(x, y);
        (HALF_PAPER[0] - inset - own.x.abs()).min(HALF_PAPER[1] - inset - own.y.abs())
    }

    /// Light that the print gives back at a place on the bench.
    pub(crate) fn light(&self, x: f64, y: f64) -> f64 {
        let own = self.own(x, y);
        let scale = self.laid.paper.scale;
        let print = Point::new(own.x / scale, own.y / scale);
        if self.black(print) || check_line(print) { INK } else { WHITE }
    }

    /// Whether the print is surely the same all round a place, out to `reach`
    /// millimetres: no edge of a tag's grid is so near.
    pub(crate) fn is_plain(&self, x: f64, y: f64, reach: f64) -> bool {
        let own = self.own(x, y);
        let scale = self.laid.paper.scale;
        let (across, up) = (own.x / scale, own.y / scale);
        let (pitch, tag) = (ScaleSheet::PITCH.to_mm(), ScaleSheet::TAG.to_mm());
        let module = tag / Tag::MODULES as f64;
        let clear = |at: f64, count: u16| {
            let in_place = at + pitch * f64::from(count) / 2.0;
            // From the corner of the black square, in modules.
            let from_corner = (in_place.rem_euclid(pitch) - (pitch - tag) / 2.0) / module;
            let off = (from_corner - from_corner.round()).abs() * module;
            off > reach
        };
        let line = (across + ScaleSheet::CHECK_LINE_LEFT.to_mm()).abs() < HALF_TICK + reach;
        !line && clear(across, ScaleSheet::COLUMNS) && clear(up, ScaleSheet::ROWS)
    }

    /// Where a place of the print lies in the world, in millimetres.
    pub(crate) fn in_world(&self, print: Point) -> [f64; 3] {
        let scale = self.laid.paper.scale;
        let own = Point::new(print.x * scale, print.y * scale);
        // The curl's shortening is far less than its cause: a few rounds undo it.
        let mut flat = own;
        for _ in 0..UNROLL_ROUNDS {
            let by = self.shortened(flat);
            flat = Point::new(own.x - by.x, own.y - by.y);
        }
        let at = self.laid.place.point(flat);
        [at.x, at.y, self.height(at.x, at.y)]
    }

    /// The paper's corners in the world, in millimetres.
    pub(crate) fn corners(&self) -> [[f64; 3]; 4] {
        let scale = self.laid.paper.scale;
        CORNERS.map(|[x, y]| self.in_world(Point::new(x * HALF_PAPER[0] / scale, y * HALF_PAPER[1] / scale)))
    }

    /// From the bench to places of the paper, unrolled.
    fn own(&self, x: f64, y: f64) -> Point {
        let flat = self.flat(x, y);
        if self.curls.is_empty() {
            return flat;
        }
        let by = self.shortened(flat);
        Point::new(flat.x + by.x, flat.y + by.y)
    }

    /// From the bench to the sheet's axes, as seen from above.
    fn flat(&self, x: f64, y: f64) -> Point {
        let place = self.laid.place;
        let (dx, dy) = (x - place.at.x, y - place.at.y);
        let across = dx * self.cos + dy * self.sin;
        Point::new(if place.mirrored { -across } else { across }, dy * self.cos - dx * self.sin)
    }

    /// How much more paper there is up to a place than is seen from above.
    fn shortened(&self, flat: Point) -> Point {
        self.curls.iter().fold(Point::new(0.0, 0.0), |sum, it| {
            let more = it.shortened(flat);
            Point::new(sum.x + more * it.way[0], sum.y + more * it.way[1])
        })
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

/// Rounds that undo a curl: each leaves less than a hundredth of what was left.
const UNROLL_ROUNDS: usize = 8;

/// A corner that stands up, along a parabola.
struct Curl {
    /// From the sheet's middle to the corner, of length 1.
    way: [f64; 2],
    high: f64,
}

impl Curl {
    fn of(paper: &Paper) -> Vec<Curl> {
        let corners = CORNERS.iter().zip(paper.lifts_mm).filter(|(_, high)| *high > 0.0);
        corners
            .map(|(sign, high)| Curl {
                way: [0, 1].map(|it| sign[it] * HALF_PAPER[it] / HALF_DIAGONAL),
                high,
            })
            .collect()
    }

    /// 0 where the curl begins, 1 at the corner.
    fn share(&self, flat: Point) -> f64 {
        let along = flat.x * self.way[0] + flat.y * self.way[1];
        ((along - (HALF_DIAGONAL - CURL)) / CURL).max(0.0)
    }

    fn lift(&self, flat: Point) -> f64 {
        self.high * self.share(flat).powi(2)
    }

    /// Length of the parabola less its base, to the second order of its slope:
    /// the integral of half the slope's square.
    fn shortened(&self, flat: Point) -> f64 {
        2.0 * self.high * self.high * self.share(flat).powi(3) / (3.0 * CURL)
    }
}

fn check_line(at: Point) -> bool {
    let off = (at.x + ScaleSheet::CHECK_LINE_LEFT.to_mm()).abs();
    let half = ScaleSheet::CHECK_LINE.to_mm() / 2.0;
    let shaft = off < HALF_LINE && at.y.abs() < half;
    let tick = off < HALF_TICK && (at.y.abs() - half).abs() < HALF_LINE;
    shaft || tick
}

#[cfg(test)]
mod tests {
    use super::*;
    use measure::Angle;

    /// The length of a parabola by its closed form (any handbook of mathematics):
    /// l = (s sqrt(1 + s²) + asinh s) w² / (4 h), with s = 2 h / w.
    #[test]
    fn a_curled_corner_keeps_its_paper() {
        let place = Place { at: Point::new(30.0, -12.0), turn: Angle::degrees(25.0), mirrored: false };
        let paper = Paper { lifts_mm: [0.0, 0.0, 3.0, 0.0], ..Paper::PLAIN };
        let sheet = ScaleSheet::numbered(1).unwrap();
        let printed = Printed::of(&LaidSheet { sheet, place, paper }, 40.0);
        let slope = 2.0 * 3.0 / CURL;
        let long =
            (slope * slope.hypot(1.0) + slope.asinh()) * CURL * CURL / (4.0 * 3.0) + HALF_DIAGONAL - CURL;
        let corner = Point::new(HALF_PAPER[0] * long / HALF_DIAGONAL, HALF_PAPER[1] * long / HALF_DIAGONAL);
        let [x, y, z] = printed.in_world(corner);
        assert!((Point::new(x, y).distance(place.at).to_mm() - HALF_DIAGONAL).abs() < 1e-3);
        assert!((z - 43.0).abs() < 1e-3, "{z}");
        let back = printed.own(x, y);
        assert!(back.distance(corner).to_mm() < 1e-9);
    }
}
