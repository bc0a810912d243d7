//! One kind of thing that is laid, and how it may be turned.

use measure::Angle;
use outline::{Outline, Place, Point, Segment};
use rand::RngExt;

use crate::cells::Laid;

/// How things of a kind may be turned.
#[derive(Clone, Debug, PartialEq)]
pub enum Turns {
    /// At these turns only.
    At(Vec<Angle>),
    /// Within so much of each of these turns.
    Within(Vec<(Angle, Angle)>),
    /// As they like.
    Any,
    /// Lines of the drawing that keep within an angle of the grain, wherever
    /// they come to lie; either way round.
    Grain(Vec<(Segment, Angle)>),
}

/// One kind of thing that is laid.
#[derive(Clone, Debug)]
pub struct Kind {
    /// Its shape, in its own drawing.
    pub outline: Outline,
    /// How it may be turned.
    pub turns: Turns,
    /// Whether it may be turned over.
    pub mirrors: bool,
    /// What one of them is worth.
    pub value: f64,
    /// The classes of bad places that it may lie on, a bit for each.
    pub bears: u64,
}

/// Where one thing lies: the middle of its shape, its turn in radians.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Pose {
    pub(crate) at: [f64; 2],
    pub(crate) turn: f64,
    pub(crate) mirrored: bool,
}

/// A kind made ready for the search: its drawing lies around the origin.
pub(crate) struct Shape {
    pub(crate) kind: Kind,
    middle: Point,
    pub(crate) drawing: Laid,
    corners: Vec<[f64; 2]>,
    /// In square millimetres.
    pub(crate) area: f64,
    /// From the middle to the farthest corner.
    pub(crate) radius: f64,
}

impl Shape {
    pub(crate) fn new(kind: Kind) -> Shape {
        let bounds = kind.outline.bounds();
        let middle = bounds.centre();
        let home = Place { at: Point::new(-middle.x, -middle.y), turn: Angle::ZERO, mirrored: false };
        let moved = home.outline(&kind.outline);
        let corners: Vec<[f64; 2]> = moved.outer().corners().iter().map(|it| [it.x, it.y]).collect();
        let radius = corners.iter().map(|it| it[0].hypot(it[1])).fold(0.0, f64::max);
        let (drawing, area) = (Laid::of(&moved), moved.area().to_mm2());
        Shape { kind, middle, drawing, corners, area, radius }
    }

    /// Where the drawing lies, for those who know nothing of its middle.
    pub(crate) fn place(&self, pose: Pose) -> Place {
        let turn = Angle::radians(pose.turn);
        let turned = Place { at: Point::default(), turn, mirrored: pose.mirrored }.point(self.middle);
        let at = Point::new(pose.at[0] - turned.x, pose.at[1] - turned.y);
        Place { at, turn, mirrored: pose.mirrored }
    }

    pub(crate) fn pose(&self, place: Place) -> Pose {
        let at = place.point(self.middle);
        Pose { at: [at.x, at.y], turn: place.turn.to_radians(), mirrored: place.mirrored }
    }

    pub(crate) fn lay(&self, pose: Pose, laid: &mut Laid, corners: &mut Vec<[f64; 2]>) {
        let (sin, cos) = pose.turn.sin_cos();
        laid.lay(&self.drawing, (cos, sin), pose.mirrored, pose.at);
        corners.clear();
        corners.extend(self.turned(pose.turn, pose.mirrored).map(|[x, y]| [x + pose.at[0], y + pose.at[1]]));
    }

    /// The corners about the middle, mirrored if told to and turned.
    fn turned(&self, turn: f64, mirrored: bool) -> impl Iterator<Item = [f64; 2]> + '_ {
        let (sin, cos) = turn.sin_cos();
        let flip = if mirrored { -1.0 } else { 1.0 };
        self.corners.iter().map(move |&[x, y]| {
            let x = x * flip;
            [cos * x - sin * y, sin * x + cos * y]
        })
    }

    /// A turn that the kind may have where the grain runs so.
    pub(crate) fn draw_turn(&self, grain: f64, rng: &mut impl RngExt) -> f64 {
        match &self.kind.turns {
            Turns::At(turns) if turns.is_empty() => 0.0,
            Turns::At(turns) => turns[rng.random_range(0..turns.len())].to_radians(),
            Turns::Within(windows) if windows.is_empty() => 0.0,
            Turns::Within(windows) => {
                let (middle, half) = windows[rng.random_range(0..windows.len())];
                middle.to_radians() + half.to_radians() * rng.random_range(-1.0..=1.0)
            }
            Turns::Grain(lines) if !lines.is_empty() => {
                let (line, within) = lines[rng.random_range(0..lines.len())];
                let half = if rng.random_bool(0.5) { std::f64::consts::PI } else { 0.0 };
                grain - line.direction().to_radians()
                    + half
                    + within.to_radians() * rng.random_range(-1.0..=1.0)
            }
            Turns::Any | Turns::Grain(_) => rng.random_range(0.0..std::f64::consts::TAU),
        }
    }

    /// Whether the turn can be changed a little.
    pub(crate) fn wiggles(&self) -> bool {
        !matches!(self.kind.turns, Turns::At(_))
    }

    /// The nearest turn that the kind may have, the grain aside.
    pub(crate) fn held(&self, turn: f64) -> f64 {
        let Turns::Within(windows) = &self.kind.turns else { return turn };
        let near = |&(middle, half): &(Angle, Angle)| {
            let off = (turn - middle.to_radians()).sin().atan2((turn - middle.to_radians()).cos());
            middle.to_radians() + off.clamp(-half.to_radians(), half.to_radians())
        };
        let far = |it: f64| 1.0 - (it - turn).cos();
        windows.iter().map(near).min_by(|one, other| far(*one).total_cmp(&far(*other))).unwrap_or(turn)
    }

    /// How far lines of the drawing stray from the grain past what they may, as
    /// a way at their ends, in millimetres.
    pub(crate) fn strays(&self, pose: Pose, grain: impl Fn(Point) -> Angle) -> f64 {
        let Turns::Grain(lines) = &self.kind.turns else { return 0.0 };
        const SPOTS: [f64; 5] = [0.0, 0.25, 0.5, 0.75, 1.0];
        let place = self.place(pose);
        let stray = |&(line, within): &(Segment, Angle)| {
            let lies = place.segment(line);
            let off =
                SPOTS.map(|share| grain(lies.from.toward(lies.to, share)).between_lines(lies.direction()));
            let worst = off.into_iter().fold(Angle::ZERO, Angle::max);
            (worst - within).to_radians().max(0.0) * lies.length().to_mm()
        };
        lines.iter().map(stray).sum()
    }

    /// How far the shape reaches from its middle along both axes at a turn.
    pub(crate) fn reach(&self, turn: f64, mirrored: bool) -> ([f64; 2], [f64; 2]) {
        let (mut low, mut high) = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
        for spot in self.turned(turn, mirrored) {
            for axis in [0, 1] {
                low[axis] = low[axis].min(spot[axis]);
                high[axis] = high[axis].max(spot[axis]);
            }
        }
        (low, high)
    }
}
