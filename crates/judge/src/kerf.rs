//! What has been sawn and drilled so far, exactly.

use measure::Length;
use outline::{Bounds, Point};

use crate::buckets::Buckets;
use crate::flat::Heading;
use crate::lines::Lines;

/// A straight stretch of kerf. Its ends are flat, as the teeth leave them, or
/// round where the way bends and goes on.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Stroke {
    /// Of which cut.
    pub(crate) cut: usize,
    pub(crate) from: Point,
    pub(crate) heading: Heading,
    pub(crate) long: f64,
    /// Half the kerf.
    pub(crate) half: f64,
    pub(crate) round_from: bool,
    pub(crate) round_to: bool,
}

impl Stroke {
    pub(crate) fn to(&self) -> Point {
        crate::flat::moved(self.from, self.heading, self.long)
    }

    /// How far a point may go to the side without leaving it, in millimetres;
    /// below zero for a point outside, by no more than it is off.
    fn room(&self, it: Point) -> f64 {
        let along = self.heading.along(self.from, it);
        let aside = self.heading.right().along(self.from, it).abs();
        let past = |over: f64, round: bool| match round {
            true => self.half - over.hypot(aside),
            false => -over.hypot((aside - self.half).max(0.0)),
        };
        if along < 0.0 {
            past(-along, self.round_from)
        } else if along > self.long {
            past(along - self.long, self.round_to)
        } else {
            self.half - aside
        }
    }
}

/// A drilled hole.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Drilled {
    pub(crate) at: Point,
    pub(crate) radius: f64,
}

/// The wood's own line, and all that has been taken from it: here a point is
/// known to lie in wood or in the open, and how far it could go.
pub(crate) struct Taken {
    pub(crate) wood: Lines,
    pub(crate) holes: Vec<Drilled>,
    pub(crate) strokes: Vec<Stroke>,
    buckets: Buckets,
    /// Which cuts what is in the hands has been through, by number.
    through: Vec<bool>,
    /// So many strokes lie in one place that it cannot be told in time.
    pub(crate) crowded: bool,
}

/// The side of a bucket of kerfs, in millimetres.
const BUCKET: f64 = 2.0;

/// Strokes are found this far from their sides, in millimetres.
const REACH: f64 = 0.3;

/// A plan for a saw has never more strokes in one bucket: the way would have
/// to go to and fro there.
const MOST_IN_A_BUCKET: usize = 400;

/// What lies farther outside the wood than this is in the open, in millimetres.
const MARGIN: f64 = 1.0;

impl Taken {
    pub(crate) fn nothing_of(wood: Lines, holes: Vec<Drilled>) -> Taken {
        let buckets = Buckets::over(wood.bounds.grown(Length::mm(MARGIN)), BUCKET);
        Taken { wood, holes, strokes: Vec::new(), buckets, through: Vec::new(), crowded: false }
    }

    /// From now on it is asked for wood that has been through these cuts: where
    /// others went, it did not lie.
    pub(crate) fn sawn_by(&mut self, cuts: &[usize]) {
        self.through.fill(false);
        for &cut in cuts {
            self.through.resize(self.through.len().max(cut + 1), false);
            self.through[cut] = true;
        }
    }

    /// Begins a stroke of no length.
    pub(crate) fn begin(&mut self, stroke: Stroke) {
        self.strokes.push(Stroke { long: 0.0, ..stroke });
    }

    /// Saws the last stroke on, until it is so long.
    pub(crate) fn lengthen(&mut self, long: f64) {
        let Some(last) = self.strokes.last_mut() else { return };
        let before = last.to();
        last.long = long;
        let after = last.to();
        let area = Bounds::around([before, after]).map(|it| it.grown(Length::mm(last.half + REACH)));
        let number = self.strokes.len() as u32 - 1;
        let fullest = area.map_or(0, |area| self.buckets.put(area, number));
        self.crowded |= fullest > MOST_IN_A_BUCKET;
    }

    /// The way bends here: the last stroke's end is round from now on.
    pub(crate) fn bend(&mut self) {
        if let Some(last) = self.strokes.last_mut() {
            last.round_to = true;
        }
    }

    /// How far a point is from wood, in millimetres, at the least; below zero
    /// in wood, by no more than the way out of it. Reckons with all wood that
    /// has been through the same cuts, fallen or not.
    pub(crate) fn room(&self, it: Point) -> f64 {
        let area = self.wood.bounds;
        let outside =
            (area.low.x - it.x).max(it.x - area.high.x).max(area.low.y - it.y).max(it.y - area.high.y);
        if outside >= MARGIN {
            return outside;
        }
        let near = self.buckets.at(it).iter().map(|&number| &self.strokes[number as usize]);
        let kerfs = near.filter(|it| self.through[it.cut]).map(|stroke| stroke.room(it));
        let kerf = kerfs.fold(-REACH, f64::max);
        if kerf >= 0.0 {
            return kerf;
        }
        let holes = self.holes.iter().map(|hole| hole.radius - hole.at.distance(it).to_mm());
        let hole = holes.fold(kerf, f64::max);
        if hole >= 0.0 {
            return hole;
        }
        let to_line = self.wood.distance_within(it, MARGIN).unwrap_or(MARGIN);
        if self.wood.hold(it) { hole.max(-to_line) } else { to_line }
    }

    /// Whether a point lies in a kerf, in a hole or outside the wood, or past its
    /// line by no more than a touch. The same as asking for the room, and faster.
    pub(crate) fn is_open(&self, it: Point, touch: f64) -> bool {
        // What was sawn last is most often what is asked for.
        let near = self.buckets.at(it).iter().rev().map(|&number| &self.strokes[number as usize]);
        let mut kerfs = near.filter(|it| self.through[it.cut]);
        let in_hole = |hole: &Drilled| hole.radius - hole.at.distance(it).to_mm() >= -touch;
        kerfs.any(|stroke| stroke.room(it) >= -touch)
            || self.holes.iter().any(in_hole)
            || !self.wood.hold(it)
            || (touch > 0.0 && self.wood.distance_within(it, touch).is_some())
    }

    /// Whether there is or was wood at a point that no kerf and no hole has taken.
    pub(crate) fn is_wood(&self, it: Point) -> bool {
        !self.is_open(it, 0.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use outline::Ring;

    fn slit() -> Taken {
        let ring = Ring::rectangle(Length::mm(100.0), Length::mm(40.0)).unwrap();
        let hole = Drilled { at: Point::new(80.0, 20.0), radius: 3.0 };
        let mut taken = Taken::nothing_of(Lines::of(std::iter::once(&ring)), vec![hole]);
        let heading = Heading { x: 1.0, y: 0.0 };
        let from = Point::new(-5.0, 20.0);
        taken.sawn_by(&[0]);
        taken.begin(Stroke {
            cut: 0,
            from,
            heading,
            long: 0.0,
            half: 0.5,
            round_from: false,
            round_to: false,
        });
        taken.lengthen(30.0);
        taken.lengthen(55.0);
        taken
    }

    #[test]
    fn a_kerf_has_flat_ends_until_it_bends() {
        let mut taken = slit();
        assert!((taken.room(Point::new(20.0, 20.2)) - 0.3).abs() < 1e-12);
        assert!((taken.room(Point::new(20.0, 20.7)) + 0.2).abs() < 1e-12);
        let past = Point::new(50.2, 20.0);
        assert!((taken.room(past) + 0.2).abs() < 1e-12);
        taken.bend();
        assert!((taken.room(past) - 0.3).abs() < 1e-12);
    }

    #[test]
    fn holes_and_the_outside_are_open() {
        let taken = slit();
        assert!((taken.room(Point::new(80.0, 21.0)) - 2.0).abs() < 1e-12);
        assert!((taken.room(Point::new(80.0, 23.2)) + 0.2).abs() < 1e-12);
        assert!((taken.room(Point::new(50.0, 40.5)) - 0.5).abs() < 1e-12);
        assert!((taken.room(Point::new(50.0, 39.9)) + 0.1).abs() < 1e-12);
        assert_eq!(taken.room(Point::new(-50.0, 39.9)), 50.0);
        for step in 0..3_000 {
            let it = Point::new(f64::from(step % 60) * 1.83 - 4.0, f64::from(step / 60) * 0.93 - 2.0);
            assert_eq!(taken.is_open(it, 0.01), taken.room(it) >= -0.01, "{it:?}");
            assert_eq!(taken.is_wood(it), taken.room(it) < 0.0, "{it:?}");
        }
    }
}
