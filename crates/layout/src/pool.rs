//! Where a kind of thing could lie on an empty face: worked out once, and
//! thinned by the search as the face fills.

use measure::Angle;
use outline::Point;

use crate::goods::Kind;
use crate::ground::Ground;
use crate::room::{Room, Spot, stem_share};
use crate::shape::{Pose, Turned};

/// A spot with the box that the thing takes there.
#[derive(Clone, Copy)]
pub(crate) struct Seat {
    pub(crate) spot: Spot,
    pub(crate) low: Point,
    pub(crate) high: Point,
}

/// Seats of one kind on one face.
pub(crate) struct Pool {
    pub(crate) ground: usize,
    /// From one tried spot to the next, in millimetres.
    pub(crate) step: f64,
    pub(crate) seats: Vec<Seat>,
}

/// Spots tried on a face, for a job of few kinds and faces.
const SPOTS: f64 = 1100.0;
/// Past so many pairs of kind and face, each pair gets fewer spots.
const MANY_PAIRS: f64 = 50.0;
/// Each pair gets so many spots at least.
const FEWEST_SPOTS: f64 = 120.0;
/// Spots are never closer than this, in millimetres; the search slides things
/// together afterwards.
const FINEST_STEP: f64 = 4.0;
/// Seats kept of one pool.
const MOST_SEATS: usize = 4000;
/// Shares of a stem's window at which it is tried.
const WINDOW: [f64; 5] = [0.0, -0.45, 0.45, -0.9, 0.9];
/// Turns away from the grain at which things without a stem are tried.
const TURNS: [f64; 7] = [0.0, -12.0, 12.0, 90.0, -30.0, 30.0, 60.0];

/// How many spots are tried for each of so many pairs of kind and face.
pub(crate) fn spots(pairs: usize) -> f64 {
    (SPOTS * (MANY_PAIRS / pairs.max(1) as f64).min(1.0)).max(FEWEST_SPOTS)
}

/// All seats of a kind on a face, in a fixed order, found from so many spots.
pub(crate) fn seats(empty: &Room, kind: &Kind, ground: usize, spots: f64) -> Pool {
    let face = &empty.goods.grounds[ground];
    let bounds = face.bounds;
    let (width, height) = (bounds.width().to_mm(), bounds.height().to_mm());
    let step = (width * height / spots).sqrt().max(FINEST_STEP);
    let (columns, rows) = ((width / step).ceil() as usize, (height / step).ceil() as usize);
    let mut seats = Vec::new();
    for index in 0..columns * rows {
        let (row, column) = (index / columns, index % columns);
        let centre = Point::new(
            bounds.low.x + width * (column as f64 + 0.5) / columns as f64,
            bounds.low.y + height * (row as f64 + 0.5) / rows as f64,
        );
        let ways: &[bool] = if kind.may_mirror { &[false, true] } else { &[false] };
        for &mirrored in ways {
            for turn in turns(kind, face.grain(centre), mirrored) {
                seats.extend(seat(empty, kind, ground, kind.shape.pose(centre, turn, mirrored), step));
            }
        }
    }
    let every = seats.len().div_ceil(MOST_SEATS).max(1);
    let seats = seats.into_iter().step_by(every).collect();
    Pool { ground, step, seats }
}

fn seat(empty: &Room, kind: &Kind, ground: usize, pose: Pose, step: f64) -> Option<Seat> {
    let pose = empty.settle(kind, ground, pose, kind.shape.slack(), step)?;
    if stem_share(kind, &empty.goods.grounds[ground], pose) > 0.99 {
        return None;
    }
    Some(Seat::at(kind, empty.spot(kind, ground, pose)))
}

impl Seat {
    pub(crate) fn at(kind: &Kind, spot: Spot) -> Seat {
        let spots = kind.shape.samples.iter().map(|&it| spot.pose.to_face(it));
        let bounds = outline::Bounds::around(spots).expect("a shape has spots");
        Seat { spot, low: bounds.low, high: bounds.high }
    }
}

/// The turns at which a kind, mirrored or not, is tried where the grain runs
/// this way.
pub(crate) fn turns(kind: &Kind, grain: Angle, mirrored: bool) -> Vec<Angle> {
    let shape = &kind.shape;
    let drawn = |direction: Angle| if mirrored { Angle::degrees(180.0) - direction } else { direction };
    let along: Vec<Angle> = match shape.stems.is_empty() {
        true if shape.turned == Turned::Alike => vec![Angle::ZERO],
        true => {
            let along = TURNS.map(|off| grain - drawn(shape.long) + Angle::degrees(off));
            // The drawing's own axes, where its straight edges lie.
            let tilted = shape.long.between_lines(Angle::ZERO) > Angle::degrees(1.0);
            let axes = [grain, grain + Angle::degrees(90.0)].into_iter().filter(|_| tilted);
            along.into_iter().chain(axes).collect()
        }
        false => {
            let each = |&(axis, within): &(outline::Segment, Angle)| {
                WINDOW.map(|share| grain - drawn(axis.direction()) + within * share)
            };
            shape.stems.iter().flat_map(each).collect()
        }
    };
    let half = |turn: Angle| match shape.turned {
        Turned::Differs => vec![turn, turn + Angle::degrees(180.0)],
        Turned::HalfTurnAlike | Turned::Alike => vec![turn],
    };
    along.into_iter().flat_map(half).collect()
}

/// The smallest share of its window that a stem could keep to anywhere on a
/// face, were the window open: says how far the grain is from serving.
pub(crate) fn best_stem_share(empty: &Room, kind: &Kind, ground: &Ground, number: usize) -> Option<f64> {
    let bounds = ground.bounds;
    const ACROSS: usize = 24;
    let mut best = None;
    for index in 0..ACROSS * ACROSS {
        let share = |step: usize| (step as f64 + 0.5) / ACROSS as f64;
        let centre = Point::new(
            bounds.low.x + bounds.width().to_mm() * share(index % ACROSS),
            bounds.low.y + bounds.height().to_mm() * share(index / ACROSS),
        );
        for turn in 0..24 {
            let turn = Angle::degrees(f64::from(turn) * 15.0);
            let pose = kind.shape.pose(centre, turn, false);
            let Some(pose) = empty.settle(kind, number, pose, kind.shape.slack(), 20.0) else { continue };
            let found = stem_share(kind, ground, pose);
            best = Some(best.map_or(found, |so_far: f64| so_far.min(found)));
        }
    }
    best
}
