//! Shapes drawn by parameters.

use measure::{Angle, Length, Problem};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::relate::TOUCH;
use crate::{Outline, Point, Ring, Segment};

/// A family of shapes with its parameters. Length runs along x.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case", tag = "family")]
pub enum Family {
    /// A disc.
    Round {
        /// Across.
        diameter: Length,
    },
    /// A rectangle with rounded corners.
    Rectangle {
        /// Along x.
        length: Length,
        /// Along y.
        width: Length,
        /// The corners' radius; zero is square.
        corner: Length,
    },
    /// A board with a handle at its right end.
    Handled {
        /// The whole length, handle and all.
        length: Length,
        /// The board's width.
        width: Length,
        /// The corners' radius, at both ends of the board.
        corner: Length,
        /// How long the handle is.
        handle_length: Length,
        /// How wide the handle is.
        handle_width: Length,
        /// The radius where the handle meets the board.
        neck: Length,
    },
    /// An ellipse, longer than wide.
    LongOval {
        /// Along x.
        length: Length,
        /// Along y.
        width: Length,
    },
}

/// The smallest side of a shape drawn by parameters: less is no part.
pub const LEAST_SIDE: Length = Length::mm(5.0);

/// The largest side of a shape drawn by parameters: no bench is longer.
pub const MOST_SIDE: Length = Length::mm(5_000.0);

/// The farthest that a chord strays from its curve; a fine saw cut wanders ten
/// times as far.
const FLATTEN: Length = Length::mm(0.02);

/// A quarter round has this many chords at least, so that it looks round.
const LEAST_CHORDS: f64 = 6.0;

impl Family {
    /// The shape, its long side along x, the lower left corner of its box at
    /// the origin. Chords stray at most 0.02 mm from the curve.
    ///
    /// # Errors
    /// A parameter out of its range; the message has the figure and the limit.
    pub fn outline(self) -> Result<Outline, Problem> {
        let ring = match self {
            Family::Round { diameter } => {
                side("the diameter", diameter)?;
                Ring::new(ellipse(diameter, diameter))
            }
            Family::Rectangle { length, width, corner } => {
                side("the length", length)?;
                side("the width", width)?;
                longer(length, width)?;
                between("the corner radius", corner, Length::ZERO, width / 2.0, "half the width")?;
                rectangle(length, width, corner)
            }
            Family::Handled { length, width, corner, handle_length, handle_width, neck } => {
                Handled { length, width, corner, handle_length, handle_width, neck }.ring()
            }
            Family::LongOval { length, width } => {
                side("the length", length)?;
                side("the width", width)?;
                longer(length, width)?;
                Ring::new(ellipse(length, width))
            }
        };
        Ok(Outline::from(ring?))
    }

    /// The middle line of its handle, if it has one: from the board to just
    /// before the rounded tip, where a hand still holds it.
    pub fn handle(&self) -> Option<Segment> {
        let Family::Handled { length, width, handle_length, handle_width, .. } = *self else { return None };
        let middle = width.to_mm() / 2.0;
        let from = Point::new((length - handle_length).to_mm(), middle);
        Some(Segment { from, to: Point::new((length - handle_width / 4.0).to_mm(), middle) })
    }
}

fn side(name: &str, found: Length) -> Result<(), Problem> {
    between(name, found, LEAST_SIDE, MOST_SIDE, "the longest that is drawn")
}

fn between(name: &str, found: Length, least: Length, most: Length, why: &str) -> Result<(), Problem> {
    let (figure, low, high) = (tenths(found), tenths(least), tenths(most));
    if found < least {
        return Err(Problem::new(format!("{name} is {figure} mm; at least {low} mm is needed")));
    }
    if found > most {
        return Err(Problem::new(format!("{name} is {figure} mm; at most {high} mm ({why}) fits")));
    }
    Ok(())
}

/// Millimetres to the tenth, for words.
fn tenths(it: Length) -> f64 {
    (it.to_mm() * 10.0).round() / 10.0
}

fn longer(length: Length, width: Length) -> Result<(), Problem> {
    if length >= width {
        return Ok(());
    }
    let message = format!("the length is {} mm, less than the width of {} mm", tenths(length), tenths(width));
    Err(Problem::new(message).hint("swap length and width"))
}

/// A board with its handle, once its parameters are known to fit.
struct Handled {
    length: Length,
    width: Length,
    corner: Length,
    handle_length: Length,
    handle_width: Length,
    neck: Length,
}

impl Handled {
    fn ring(&self) -> Result<Ring, Problem> {
        self.check()?;
        let body = (self.length - self.handle_length).to_mm();
        let (width, length) = (self.width.to_mm(), self.length.to_mm());
        let (corner, neck, tip) = (self.corner.to_mm(), self.neck.to_mm(), self.handle_width.to_mm() / 2.0);
        let middle = width / 2.0;
        let mut line = Line::default();
        line.arc(Point::new(corner, corner), self.corner, 180.0, 90.0);
        line.arc(Point::new(body - corner, corner), self.corner, 270.0, 90.0);
        line.arc(Point::new(body + neck, middle - tip - neck), self.neck, 180.0, -90.0);
        line.arc(Point::new(length - tip, middle), self.handle_width / 2.0, 270.0, 180.0);
        line.arc(Point::new(body + neck, middle + tip + neck), self.neck, 270.0, -90.0);
        line.arc(Point::new(body - corner, width - corner), self.corner, 0.0, 90.0);
        line.arc(Point::new(corner, width - corner), self.corner, 90.0, 90.0);
        line.ring()
    }

    fn check(&self) -> Result<(), Problem> {
        let sides = [
            ("the length", self.length),
            ("the width", self.width),
            ("the handle's length", self.handle_length),
            ("the handle's width", self.handle_width),
        ];
        for (name, found) in sides {
            side(name, found)?;
        }
        let body = self.length - LEAST_SIDE;
        between("the handle's length", self.handle_length, LEAST_SIDE, body, "the length less 5 mm")?;
        let body = self.length - self.handle_length;
        let shorter = (body / 2.0).min(self.width / 2.0);
        between(
            "the corner radius",
            self.corner,
            Length::ZERO,
            shorter,
            "half the board without its handle",
        )?;
        let flat = self.width - self.corner * 2.0;
        between(
            "the handle's width",
            self.handle_width,
            LEAST_SIDE,
            flat,
            "the board's end between its corners",
        )?;
        let shoulder = (flat - self.handle_width).max(Length::ZERO) / 2.0;
        let straight = self.handle_length - self.handle_width / 2.0;
        between(
            "half the handle's width",
            self.handle_width / 2.0,
            Length::ZERO,
            self.handle_length,
            "the handle's length",
        )?;
        between("the neck radius", self.neck, Length::ZERO, shoulder, "what the shoulder leaves")?;
        between("the neck radius", self.neck, Length::ZERO, straight, "the straight part of the handle")
    }
}

fn rectangle(length: Length, width: Length, corner: Length) -> Result<Ring, Problem> {
    let (x, y, r) = (length.to_mm(), width.to_mm(), corner.to_mm());
    let mut line = Line::default();
    line.arc(Point::new(r, r), corner, 180.0, 90.0);
    line.arc(Point::new(x - r, r), corner, 270.0, 90.0);
    line.arc(Point::new(x - r, y - r), corner, 0.0, 90.0);
    line.arc(Point::new(r, y - r), corner, 90.0, 90.0);
    line.ring()
}

/// An ellipse in its box. Even steps of the parameter keep every chord within
/// what the circle around it would have.
fn ellipse(length: Length, width: Length) -> Vec<Point> {
    let (a, b) = (length.to_mm() / 2.0, width.to_mm() / 2.0);
    let count = 4 * chords(length / 2.0);
    let place = |index: usize| {
        let turn = Angle::degrees(360.0 * index as f64 / count as f64);
        Point::new(a + a * turn.cos(), b + b * turn.sin())
    };
    (0..count).map(place).collect()
}

/// How many chords a quarter round needs: one that turns by t rises
/// r (1 − cos(t / 2)). Whole quarters end in a point, so a shape has its full size.
fn chords(radius: Length) -> usize {
    if radius <= Length::ZERO {
        return 0;
    }
    let step = 2.0 * (1.0 - (FLATTEN / radius).min(1.0)).acos();
    (std::f64::consts::FRAC_PI_2 / step).max(LEAST_CHORDS).ceil() as usize
}

#[derive(Default)]
struct Line(Vec<Point>);

impl Line {
    /// Adds an arc about a middle, from an angle on by whole quarter turns (in
    /// degrees); with no radius just the corner.
    fn arc(&mut self, middle: Point, radius: Length, from: f64, turn: f64) {
        let count = chords(radius) * (turn.abs() / 90.0).round() as usize;
        for index in 0..=count {
            let at = Angle::degrees(from + turn * index as f64 / count.max(1) as f64);
            let r = radius.to_mm();
            self.push(Point::new(middle.x + r * at.cos(), middle.y + r * at.sin()));
        }
    }

    fn ring(mut self) -> Result<Ring, Problem> {
        if self.0.first().is_some_and(|first| self.0.last().is_some_and(|it| it.distance(*first) <= TOUCH)) {
            self.0.pop();
        }
        Ring::new(self.0)
    }

    /// Adds a point unless the line is there already (two arcs that meet).
    fn push(&mut self, it: Point) {
        if self.0.last().is_none_or(|last| last.distance(it) > TOUCH) {
            self.0.push(it);
        }
    }
}
