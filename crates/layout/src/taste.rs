//! What one try of the search leans to, and how it slides a thing home.

use measure::Angle;
use rand::RngExt;
use rand_pcg::Pcg64Mcg;

use crate::goods::Kind;
use crate::pool::Seat;
use crate::room::{Room, stem_share};
use crate::shape::Pose;

/// What a try leans to: the same taste fills every face from the same corner.
#[derive(Clone, Debug)]
pub(crate) struct Taste {
    /// Whether it fills from the right.
    right: bool,
    /// Whether it fills from the top.
    top: bool,
    /// How much x counts, from 0 to 1; y counts the rest.
    lean: f64,
    /// How much grain and colour count against a tight layout.
    care: f64,
    /// The order in which faces are opened.
    faces: Vec<f64>,
}

/// Less than this is no gain, in millimetres.
const GAIN: f64 = 0.01;
/// The most slides of one thing.
const MOST_SLIDES: usize = 80;

impl Taste {
    /// The first try's: from the lower left along x, cheap faces first.
    pub(crate) fn plain(faces: usize) -> Taste {
        Taste { right: false, top: false, lean: 0.8, care: 0.5, faces: vec![0.0; faces] }
    }

    /// Another one.
    pub(crate) fn drawn(faces: usize, rng: &mut Pcg64Mcg) -> Taste {
        let lean = [0.95, 0.8, 0.5, 0.2, 0.05];
        Taste {
            right: rng.random_bool(0.5),
            top: rng.random_bool(0.5),
            lean: lean[rng.random_range(0..lean.len())],
            care: [0.1, 0.5, 1.5, 4.0][rng.random_range(0..4)],
            faces: (0..faces).map(|_| rng.random_range(0.0..1.0)).collect(),
        }
    }

    /// The faces of a kind in the order in which they are tried: those in use
    /// first, then by this try's order, then the cheaper.
    pub(crate) fn faces(&self, room: &Room, kind: &Kind, banned: Option<usize>) -> Vec<usize> {
        let set = kind.set.and_then(|it| room.ground_of_set(it));
        let may = |it: &usize| Some(*it) != banned && set.is_none_or(|set| set == *it);
        let mut faces: Vec<usize> = kind.grounds.iter().copied().filter(may).collect();
        let cost = |face: usize| room.goods.grounds[face].cost;
        faces.sort_by(|&one, &other| {
            (room.on(one).is_empty().cmp(&room.on(other).is_empty()))
                .then(self.faces[one].total_cmp(&self.faces[other]))
                .then(cost(one).total_cmp(&cost(other)))
                .then(one.cmp(&other))
        });
        faces
    }

    /// How far a seat reaches from this try's corner, and how badly it suits:
    /// less is better.
    pub(crate) fn key(&self, room: &Room, kind: &Kind, seat: &Seat) -> f64 {
        let bounds = room.goods.grounds[seat.spot.ground].bounds;
        let x = if self.right { bounds.high.x - seat.low.x } else { seat.high.x - bounds.low.x };
        let y = if self.top { bounds.high.y - seat.low.y } else { seat.high.y - bounds.low.y };
        self.lean * x + (1.0 - self.lean) * y + self.care * seat.spot.misfit * kind.shape.radius
    }

    /// Slides and turns a thing as far toward the corner as it goes.
    pub(crate) fn slide(&self, room: &Room, kind: &Kind, start: Seat, first_step: f64) -> Seat {
        let mut best = start;
        let mut key = self.key(room, kind, &best);
        let mut step = first_step;
        let finest = (kind.shape.radius / 400.0).max(0.3);
        let mut left = MOST_SLIDES;
        while step > finest && left > 0 {
            left -= 1;
            let slid = self.moves(kind, &best, step).into_iter().find_map(|pose| {
                let pose = room.settle(kind, best.spot.ground, pose, kind.shape.slack(), step)?;
                if stem_share(kind, &room.goods.grounds[best.spot.ground], pose) > 0.99 {
                    return None;
                }
                let seat = Seat::at(kind, room.spot(kind, best.spot.ground, pose));
                let found = self.key(room, kind, &seat);
                (found < key - GAIN).then_some((seat, found))
            });
            match slid {
                Some(found) => (best, key) = found,
                None => step /= 2.0,
            }
        }
        best
    }

    fn moves(&self, kind: &Kind, seat: &Seat, step: f64) -> [Pose; 7] {
        let pose = seat.spot.pose;
        let x = if self.right { step } else { -step };
        let y = if self.top { step } else { -step };
        let by = Angle::radians(step / kind.shape.radius);
        let turned = |by: Angle| kind.shape.pose(seat.spot.centre, pose.place.turn + by, pose.place.mirrored);
        [
            pose.moved(x, y),
            pose.moved(x, 0.0),
            pose.moved(0.0, y),
            pose.moved(x, -y / 2.0),
            pose.moved(-x / 2.0, y),
            turned(by),
            turned(-by),
        ]
    }
}
