//! How two outlines lie to each other: one inside the other, clear of each
//! other, how far apart. Called thousands of times while parts are placed, so
//! these look at corners and edges first and ask the engine only when lines
//! touch.

use measure::Length;

use crate::crossing::{meet, side};
use crate::{Bounds, Outline, Point, Segment};

/// Lines closer than this touch: ten steps of the engine's grid, more than
/// turning a shape or cutting it moves its corners, and far below any saw.
pub(crate) const TOUCH: Length = Length::mm(1e-5);

/// What two sets of edges do to each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Edges {
    /// They share no point.
    Apart,
    /// They meet, but none is crossed by more than [`TOUCH`].
    Touch,
    /// One runs clean through another.
    Cross,
}

impl Outline {
    /// Whether the other lies inside this, out of its openings. Touching the
    /// line from inside is allowed.
    pub fn holds(&self, other: &Outline) -> bool {
        let (mine, theirs) = (self.bounds(), other.bounds());
        if !mine.grown(TOUCH).covers(theirs) {
            return false;
        }
        match self.edges_against(other, theirs.grown(TOUCH)) {
            Edges::Cross => false,
            Edges::Apart => {
                let inside = self.contains(other.outer().corners()[0]);
                // An opening of this may lie free inside the other's wood.
                inside && self.openings().iter().all(|it| !other.contains(it.corners()[0]))
            }
            Edges::Touch => {
                if other.outer().corners().iter().any(|&it| self.deep_outside(it)) {
                    return false;
                }
                other.area_outside(self) <= TOUCH * other.length_of_lines()
            }
        }
    }

    /// Whether the two share no area. Touching is allowed.
    pub fn clear_of(&self, other: &Outline) -> bool {
        let (mine, theirs) = (self.bounds(), other.bounds());
        if !mine.meets(theirs) {
            return true;
        }
        match self.edges_against(other, theirs.grown(TOUCH)) {
            Edges::Cross => false,
            Edges::Apart => {
                !self.contains(other.outer().corners()[0]) && !other.contains(self.outer().corners()[0])
            }
            Edges::Touch => {
                let deep = |one: &Outline, two: &Outline| {
                    two.outer().corners().iter().any(|&it| one.deep_inside(it))
                };
                if deep(self, other) || deep(other, self) {
                    return false;
                }
                let line = self.length_of_lines().min(other.length_of_lines());
                self.overlap_area(other) <= TOUCH * line
            }
        }
    }

    /// The shortest way from one to the other; zero if they meet or one lies in
    /// the other.
    pub fn distance(&self, other: &Outline) -> Length {
        let (mine, theirs) = (self.bounds(), other.bounds());
        if mine.meets(theirs)
            && (self.contains(other.outer().corners()[0]) || other.contains(self.outer().corners()[0]))
        {
            return Length::ZERO;
        }
        let mut best = f64::INFINITY;
        for edge in self.rings().flat_map(|ring| ring.edges()) {
            let around = edge.bounds();
            if around.distance(theirs).to_mm() >= best {
                continue;
            }
            for across in other.rings().flat_map(|ring| ring.edges()) {
                if around.distance(across.bounds()).to_mm() < best {
                    best = best.min(gap(edge, across));
                }
            }
            if best == 0.0 {
                break;
            }
        }
        Length::mm(best)
    }

    /// The area's middle: where a sheet of this shape balances.
    pub fn centroid(&self) -> Point {
        let (mut x, mut y, mut area) = (0.0, 0.0, 0.0);
        for (index, ring) in self.rings().enumerate() {
            let sign = if index == 0 { 1.0 } else { -1.0 };
            let (middle, part) = (ring.centroid(), sign * ring.area().to_mm2());
            x += middle.x * part;
            y += middle.y * part;
            area += part;
        }
        Point::new(x / area, y / area)
    }

    fn length_of_lines(&self) -> Length {
        self.rings().map(|ring| ring.perimeter()).sum()
    }

    fn deep_outside(&self, point: Point) -> bool {
        !self.contains(point) && self.to_line(point) > TOUCH
    }

    fn deep_inside(&self, point: Point) -> bool {
        self.contains(point) && self.to_line(point) > TOUCH
    }

    /// How this outline's edges lie to the other's, which lie in `theirs`.
    fn edges_against(&self, other: &Outline, theirs: Bounds) -> Edges {
        let mut worst = Edges::Apart;
        for edge in self.rings().flat_map(|ring| ring.edges()) {
            let around = edge.bounds().grown(TOUCH);
            if !around.meets(theirs) {
                continue;
            }
            for across in other.rings().flat_map(|ring| ring.edges()) {
                if !around.meets(across.bounds()) {
                    continue;
                }
                if crosses(edge, across) {
                    return Edges::Cross;
                }
                let touch = || meet(edge.from, edge.to, across.from, across.to) || near(edge, across);
                if worst == Edges::Apart && touch() {
                    worst = Edges::Touch;
                }
            }
        }
        worst
    }
}

/// Whether two edges cross so that all four ends lie farther than [`TOUCH`] from
/// the other edge's line.
pub(crate) fn crosses(one: Segment, other: Segment) -> bool {
    let clear = |line: Segment, ends: Segment| {
        let (from, to) = (side(line.from, line.to, ends.from), side(line.from, line.to, ends.to));
        let least = TOUCH.to_mm() * line.length().to_mm();
        (from > least && to < -least) || (from < -least && to > least)
    };
    clear(one, other) && clear(other, one)
}

fn near(one: Segment, other: Segment) -> bool {
    gap(one, other) <= TOUCH.to_mm()
}

/// The shortest way between two edges, in millimetres.
fn gap(one: Segment, other: Segment) -> f64 {
    if meet(one.from, one.to, other.from, other.to) {
        return 0.0;
    }
    let ends =
        [one.distance(other.from), one.distance(other.to), other.distance(one.from), other.distance(one.to)];
    ends.into_iter().fold(f64::INFINITY, |least, it| least.min(it.to_mm()))
}
