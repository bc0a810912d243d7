//! One kind of thing that is laid, and how it may be turned.

use measure::Angle;
use outline::{Outline, Place, Point, Ring, Segment};
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
    /// What else it asks of its place.
    pub asks: Asks,
}

/// What a kind asks of its place beside clear wood all over; each is left out
/// by most kinds.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Asks {
    /// Of bad places of these classes, a bit for each, only so much of its
    /// shape keeps off.
    pub keeps_off: Vec<(u64, Vec<Outline>)>,
    /// A spot of its drawing that comes to lie in an area of the bed.
    pub shows: Option<(Point, Ring)>,
    /// The wood's own edge is one of its edges.
    pub live: Option<Live>,
}

/// A shape one edge of which is the wood's own.
#[derive(Clone, Debug, PartialEq)]
pub struct Live {
    /// As much of the shape as lies in the wood.
    pub core: Outline,
    /// Spots in rows along each such edge as it is drawn, anti-clockwise about the
    /// shape, that come to lie past the wood's.
    pub past: Vec<Vec<Point>>,
}

/// Where one thing lies: the middle of its shape, its turn in radians.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Pose {
    /// The number of its bed in its pile.
    pub(crate) bed: usize,
    pub(crate) at: [f64; 2],
    pub(crate) turn: f64,
    pub(crate) mirrored: bool,
}

impl Pose {
    /// The cosine and the sine of its turn.
    fn way(self) -> (f64, f64) {
        (self.turn.cos(), self.turn.sin())
    }

    /// Where corners about the middle come to lie.
    fn lays(self, corners: &[[f64; 2]]) -> impl Iterator<Item = [f64; 2]> + '_ {
        let (cos, sin) = self.way();
        let flip = if self.mirrored { -1.0 } else { 1.0 };
        corners.iter().map(move |&[x, y]| {
            let x = x * flip;
            [cos * x - sin * y + self.at[0], sin * x + cos * y + self.at[1]]
        })
    }
}

/// A kind made ready for the search: its drawing lies around the origin.
pub(crate) struct Shape {
    pub(crate) kind: Kind,
    middle: Point,
    pub(crate) drawing: Laid,
    corners: Vec<[f64; 2]>,
    /// What keeps off bad places of some classes, in place of the whole.
    keeps_off: Vec<(u64, Laid)>,
    /// What lies in the wood, in place of the whole.
    core: Option<(Laid, Vec<[f64; 2]>)>,
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
        let corners = outer_corners(&moved);
        let radius = corners.iter().map(|it| it[0].hypot(it[1])).fold(0.0, f64::max);
        let (drawing, area) = (Laid::of(&moved), moved.area().to_mm2());
        let at_home =
            |shapes: &[Outline]| -> Vec<Outline> { shapes.iter().map(|it| home.outline(it)).collect() };
        let keeps_off = kind.asks.keeps_off.iter();
        let keeps_off = keeps_off.map(|(of, it)| (*of, Laid::of_all(&at_home(it)))).collect();
        let core = kind.asks.live.as_ref().map(|it| home.outline(&it.core));
        let core = core.map(|it| (Laid::of(&it), outer_corners(&it)));
        Shape { kind, middle, drawing, corners, keeps_off, core, area, radius }
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
        Pose { bed: 0, at: [at.x, at.y], turn: place.turn.to_radians(), mirrored: place.mirrored }
    }

    /// The pose with which a spot of the drawing lies on one of the bed.
    pub(crate) fn with_spot_on(&self, spot: Point, on: Point, turn: f64, mirrored: bool) -> Pose {
        let own = self.pose(Place { at: Point::default(), turn: Angle::radians(turn), mirrored });
        let lies = self.place(own).point(spot);
        Pose { at: [own.at[0] + on.x - lies.x, own.at[1] + on.y - lies.y], ..own }
    }

    pub(crate) fn lay(&self, pose: Pose, laid: &mut Laid, corners: &mut Vec<[f64; 2]>) {
        laid.lay(&self.drawing, pose.way(), pose.mirrored, pose.at);
        corners.clear();
        corners.extend(pose.lays(&self.corners));
    }

    /// What of the shape has to lie in the wood, where that is not all of it.
    pub(crate) fn core(&self, pose: Pose) -> Option<(Laid, Vec<[f64; 2]>)> {
        let (core, corners) = self.core.as_ref()?;
        let mut laid = Laid::default();
        laid.lay(core, pose.way(), pose.mirrored, pose.at);
        Some((laid, pose.lays(corners).collect()))
    }

    /// What of the shape keeps off bad places of a class, where that is not all of it.
    pub(crate) fn keeps_off(&self, class: u64, pose: Pose) -> Option<Laid> {
        let (_, drawing) = self.keeps_off.iter().find(|it| it.0 & class != 0)?;
        let mut laid = Laid::default();
        laid.lay(drawing, pose.way(), pose.mirrored, pose.at);
        Some(laid)
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
        for spot in (Pose { bed: 0, at: [0.0; 2], turn, mirrored }).lays(&self.corners) {
            for axis in [0, 1] {
                low[axis] = low[axis].min(spot[axis]);
                high[axis] = high[axis].max(spot[axis]);
            }
        }
        (low, high)
    }
}

fn outer_corners(outline: &Outline) -> Vec<[f64; 2]> {
    outline.outer().corners().iter().map(|it| [it.x, it.y]).collect()
}
