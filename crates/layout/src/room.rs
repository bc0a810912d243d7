//! What lies where while the search is under way, and whether there is room.

use measure::Angle;
use outline::Point;

use crate::goods::{Goods, Kind};
use crate::ground::Ground;
use crate::near::{Laid, stems_run_with_grain};
use crate::shape::Pose;

/// Where one thing lies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Spot {
    pub(crate) ground: usize,
    pub(crate) pose: Pose,
    pub(crate) centre: Point,
    /// How badly grain and colour suit it: 0 is perfect.
    pub(crate) misfit: f64,
}

/// How far a pose is from having room.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Short {
    /// Millimetres that are missing; zero or less if there is room.
    pub(crate) by: f64,
    way: (f64, f64),
}

/// The fields between their cells are off, most near corners; poses keep so many
/// times the usual slack, the later values where true edges still come too close.
const SLACKS: [f64; 3] = [1.0, 8.0, 30.0];

/// Everything that has a place, by item.
#[derive(Clone)]
pub(crate) struct Room<'a> {
    pub(crate) goods: &'a Goods,
    pub(crate) spots: Vec<Option<Spot>>,
    on: Vec<Vec<usize>>,
}

impl<'a> Room<'a> {
    /// Nothing laid at all.
    pub(crate) fn bare(goods: &'a Goods) -> Room<'a> {
        let spots = vec![None; goods.items.len()];
        Room { goods, spots, on: vec![Vec::new(); goods.grounds.len()] }
    }

    /// Nothing laid but what the maker has pinned.
    pub(crate) fn new(goods: &'a Goods) -> Room<'a> {
        let mut room = Room::bare(goods);
        for item in 0..goods.items.len() {
            if let Some((ground, place)) = goods.items[item].pin {
                let spot = room.spot(goods.kind(item), ground, Pose::from(place));
                room.lay(item, spot);
            }
        }
        room
    }

    /// What lies on a face.
    pub(crate) fn on(&self, ground: usize) -> &[usize] {
        &self.on[ground]
    }

    /// The face that a set comes from, once one of its parts lies.
    pub(crate) fn ground_of_set(&self, set: usize) -> Option<usize> {
        let mut spots = self.goods.items.iter().zip(&self.spots);
        spots.find_map(|(item, spot)| {
            spot.filter(|_| self.goods.kinds[item.kind].set == Some(set)).map(|it| it.ground)
        })
    }

    pub(crate) fn lay(&mut self, item: usize, spot: Spot) {
        debug_assert!(self.spots[item].is_none(), "a thing lies in one place only");
        self.spots[item] = Some(spot);
        self.on[spot.ground].push(item);
    }

    pub(crate) fn lift(&mut self, item: usize) {
        if let Some(spot) = self.spots[item].take() {
            self.on[spot.ground].retain(|&other| other != item);
        }
    }

    pub(crate) fn spot(&self, kind: &Kind, ground: usize, pose: Pose) -> Spot {
        let centre = pose.to_face(kind.shape.centre);
        let misfit = misfit(kind, &self.goods.grounds[ground], pose);
        Spot { ground, pose, centre, misfit }
    }

    /// How far a pose is from having room; stops looking once more than
    /// `enough` is missing.
    pub(crate) fn short(&self, kind: &Kind, ground: usize, pose: Pose, slack: f64, enough: f64) -> Short {
        // Neighbours first: on a filling face they say no soonest.
        let mut short = Short { by: f64::NEG_INFINITY, way: (0.0, 0.0) };
        let centre = pose.to_face(kind.shape.centre);
        for &other in &self.on[ground] {
            let Some(spot) = &self.spots[other] else { continue };
            let near = self.goods.kind(other);
            let gap = self.goods.gap(kind, near) + slack;
            if square(spot.centre, centre) >= (kind.shape.radius + near.shape.radius + gap).powi(2) {
                continue;
            }
            between(kind, pose, near, spot.pose, gap, enough, &mut short);
            if short.by > enough {
                return short;
            }
        }
        let wood = short_of_wood(self.goods, kind, ground, pose, slack, enough);
        if wood.by > short.by { wood } else { short }
    }

    /// Pushes a pose to where there is room, if no more than `limit` is missing.
    pub(crate) fn settle(
        &self,
        kind: &Kind,
        ground: usize,
        pose: Pose,
        slack: f64,
        limit: f64,
    ) -> Option<Pose> {
        let mut pose = pose;
        for _ in 0..8 {
            let short = self.short(kind, ground, pose, slack, limit);
            if short.by <= 0.0 {
                return Some(pose);
            }
            if short.by > limit || short.way == (0.0, 0.0) {
                return None;
            }
            let push = short.by + slack;
            pose = pose.moved(short.way.0 * push, short.way.1 * push);
        }
        None
    }

    /// The pose, or one close by, that stands the test on true edges.
    pub(crate) fn confirm(&self, kind: &Kind, ground: usize, pose: Pose) -> Option<Pose> {
        let (slack, cell) = (kind.shape.slack(), kind.shape.field.cell());
        SLACKS.iter().find_map(|times| {
            let pose = self.settle(kind, ground, pose, slack * times, 1.5 * cell)?;
            self.is_true(kind, ground, pose).then_some(pose)
        })
    }

    fn is_true(&self, kind: &Kind, ground: usize, pose: Pose) -> bool {
        if !stems_run_with_grain(kind, &self.goods.grounds[ground], pose.place) {
            return false;
        }
        let laid = Laid::new(&kind.shape.outline, pose.place);
        let centre = pose.to_face(kind.shape.centre);
        let face = &self.goods.grounds[ground];
        laid.is_on(face, self.goods)
            && (!kind.underside_shows || laid.is_clear_below(face, self.goods))
            && self.on[ground].iter().all(|&other| {
                let Some(spot) = &self.spots[other] else { return true };
                let near = self.goods.kind(other);
                let gap = self.goods.gap(kind, near);
                let apart = spot.centre.distance(centre).to_mm();
                apart > kind.shape.radius + near.shape.radius + gap + 1.0
                    || laid.is_clear_of(&Laid::new(&near.shape.outline, spot.pose.place), gap)
            })
    }
}

/// How far a pose is from lying on clear wood of an empty face.
fn short_of_wood(goods: &Goods, kind: &Kind, ground: usize, pose: Pose, slack: f64, enough: f64) -> Short {
    let face = &goods.grounds[ground];
    let need = goods.edge + slack;
    let (core, core_radius) = kind.shape.core;
    let off = kind.shape.field.cell() + face.field.cell();
    let by = need + core_radius - off - face.field.at(pose.to_face(core));
    if by > enough {
        return Short { by, way: (0.0, 0.0) };
    }
    let mut short = Short { by: f64::NEG_INFINITY, way: (0.0, 0.0) };
    let mut worst = None;
    for &spot in &kind.shape.samples {
        let lies = pose.to_face(spot);
        let by = need - face.field.at(lies);
        if by > short.by {
            (short.by, worst) = (by, Some(lies));
            if by > enough {
                return short;
            }
        }
    }
    if let Some(lies) = worst.filter(|_| short.by > 0.0) {
        short.way = face.field.inward(lies);
    }
    let centre = pose.to_face(kind.shape.centre);
    let below = face.below.iter().filter(|_| kind.underside_shows);
    for island in face.islands.iter().chain(below) {
        if square(island.centre, centre) < (island.radius + kind.shape.radius + need).powi(2) {
            push_off(kind, pose, island.spots.iter().copied(), need, enough, &mut short);
        }
        if short.by > enough {
            return short;
        }
    }
    short
}

/// Spots of other things that this one has to keep away from.
fn push_off(
    kind: &Kind,
    pose: Pose,
    spots: impl Iterator<Item = Point>,
    gap: f64,
    enough: f64,
    short: &mut Short,
) {
    let reach = (kind.shape.radius + gap).powi(2);
    for spot in spots {
        let own = pose.to_drawing(spot);
        if square(own, kind.shape.centre) > reach {
            continue;
        }
        let by = gap + kind.shape.field.at(own);
        if by > short.by {
            short.by = by;
            if by > enough {
                return;
            }
            if by > 0.0 {
                short.way = pose.direction_to_face(kind.shape.field.inward(own));
            }
        }
    }
}

/// How far two things are from keeping their gap, seen from both.
fn between(kind: &Kind, pose: Pose, near: &Kind, lies: Pose, gap: f64, enough: f64, short: &mut Short) {
    let (core, core_radius) = kind.shape.core;
    let off = kind.shape.field.cell() + near.shape.field.cell();
    let by = gap + core_radius - off + near.shape.field.at(lies.to_drawing(pose.to_face(core)));
    if by > enough {
        short.by = by;
        return;
    }
    let reach = (near.shape.radius + gap).powi(2);
    let centre = pose.to_drawing(lies.to_face(near.shape.centre));
    for &spot in &kind.shape.samples {
        if square(spot, centre) > reach {
            continue;
        }
        let other = lies.to_drawing(pose.to_face(spot));
        let by = gap + near.shape.field.at(other);
        if by > short.by {
            short.by = by;
            if by > enough {
                return;
            }
            if by > 0.0 {
                let (x, y) = lies.direction_to_face(near.shape.field.inward(other));
                short.way = (-x, -y);
            }
        }
    }
    push_off(kind, pose, near.shape.samples.iter().map(|&spot| lies.to_face(spot)), gap, enough, short);
}

/// The square of the way between two points.
fn square(one: Point, other: Point) -> f64 {
    (one.x - other.x).powi(2) + (one.y - other.y).powi(2)
}

/// The widest angle between a stem and the grain, as a share of what it may be;
/// zero without stems.
pub(crate) fn stem_share(kind: &Kind, ground: &Ground, pose: Pose) -> f64 {
    const SPOTS: [f64; 5] = [0.0, 0.25, 0.5, 0.75, 1.0];
    let shares = kind.shape.stems.iter().map(|&(axis, within)| {
        let direction = pose.place.direction(axis.direction());
        let spots = SPOTS.iter().map(|&share| pose.to_face(axis.from.toward(axis.to, share)));
        let off =
            spots.map(|spot| ground.grain(spot).between_lines(direction).to_degrees()).fold(0.0, f64::max);
        off / within.to_degrees().max(1e-6)
    });
    shares.fold(0.0, f64::max)
}

/// How badly a place suits a thing: stems near their limit, a long shape across
/// the grain, food on sapwood or stain. Zero is perfect, each weighs up to one.
fn misfit(kind: &Kind, ground: &Ground, pose: Pose) -> f64 {
    let stems = stem_share(kind, ground, pose).min(1.0);
    let long = match kind.shape.stems.is_empty() {
        true => {
            let direction = pose.place.direction(kind.shape.long);
            let grain = ground.grain(pose.to_face(kind.shape.centre));
            kind.shape.slim * (direction.between_lines(grain) / Angle::degrees(90.0))
        }
        false => 0.0,
    };
    stems + long + ground.soft_share(&kind.shape, |spot| pose.to_face(spot))
}
