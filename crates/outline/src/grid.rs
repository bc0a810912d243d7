//! Outlines on a grid of micrometres, where every question has one exact answer.
//!
//! Corners are whole micrometres, products are taken in 128 bits, and no
//! quotient or root is ever rounded: lengths are compared by their squares.
//! Rounding to the grid moves a corner by 0.71 µm at most.

use measure::Length;

use crate::Outline;

/// Grid steps in a millimetre.
const STEPS: f64 = 1000.0;
/// Corners beyond a kilometre are held there, so that no product overflows.
const FARTHEST: f64 = 1e9;

/// A corner, in micrometres.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Node {
    x: i64,
    y: i64,
}

/// An edge with the inside on its left.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Edge {
    from: Node,
    to: Node,
}

/// An outline whose corners lie on the grid.
#[derive(Clone, Debug)]
pub struct OnGrid {
    edges: Vec<Edge>,
    low: Node,
    high: Node,
}

/// Where a piece of one line lies to another outline.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Lies {
    Inside,
    Outside,
    /// On its line, with both insides on the same side.
    Along,
    /// On its line, the insides on opposite sides.
    Against,
}

impl From<&Outline> for OnGrid {
    fn from(outline: &Outline) -> OnGrid {
        let mut edges = Vec::new();
        for (index, ring) in outline.rings().enumerate() {
            let mut nodes: Vec<Node> = ring.corners().iter().map(|it| Node::near(it.x, it.y)).collect();
            nodes.dedup();
            // Rings run counter-clockwise: the wood lies left of an outer line, right of an opening's.
            if index > 0 {
                nodes.reverse();
            }
            let next = nodes.iter().cycle().skip(1);
            edges.extend(
                nodes.iter().zip(next).filter(|it| it.0 != it.1).map(|(&from, &to)| Edge { from, to }),
            );
        }
        let nodes = || edges.iter().map(|it| it.from);
        let low = Node {
            x: nodes().map(|it| it.x).min().unwrap_or(0),
            y: nodes().map(|it| it.y).min().unwrap_or(0),
        };
        let high = Node {
            x: nodes().map(|it| it.x).max().unwrap_or(0),
            y: nodes().map(|it| it.y).max().unwrap_or(0),
        };
        OnGrid { edges, low, high }
    }
}

impl OnGrid {
    /// Whether the other lies inside this, out of its openings. Touching the
    /// line from inside is allowed. Nothing is held that lies beyond the
    /// grid.
    pub fn holds(&self, other: &OnGrid) -> bool {
        if other.edges.is_empty() || self.crosses(other) {
            return false;
        }
        let within = other.pieces(self).all(|it| matches!(self.lies(it), Lies::Inside | Lies::Along));
        // An opening of this may lie free inside the other's wood.
        within && self.pieces(other).all(|it| other.lies(it) != Lies::Inside)
    }

    /// Whether the two share no area. Touching is allowed.
    pub fn clear_of(&self, other: &OnGrid) -> bool {
        if !self.is_near(other, 0) {
            return true;
        }
        let out = |lies: Lies| matches!(lies, Lies::Outside | Lies::Against);
        !self.crosses(other)
            && self.pieces(other).all(|it| out(other.lies(it)))
            && other.pieces(self).all(|it| out(self.lies(it)))
    }

    /// Whether no place of one line is nearer to the other than this, which is
    /// rounded to the grid.
    pub fn lines_apart(&self, other: &OnGrid, way: Length) -> bool {
        let way = (way.to_mm() * STEPS).round().clamp(0.0, FARTHEST) as i64;
        if !self.is_near(other, way) {
            return true;
        }
        let mut near = self.edges.iter().filter(|it| it.is_near(other.low, other.high, way));
        near.all(|one| {
            let mut others = other.edges.iter().filter(|it| one.is_near(it.low(), it.high(), way));
            others.all(|it| one.is_apart(*it, way))
        })
    }

    /// Whether the two share no area and keep this much wood between them.
    pub fn apart(&self, other: &OnGrid, way: Length) -> bool {
        self.clear_of(other) && self.lines_apart(other, way)
    }

    fn is_near(&self, other: &OnGrid, way: i64) -> bool {
        boxes_near((self.low, self.high), (other.low, other.high), way)
    }

    /// Whether an edge of one runs clean through an edge of the other.
    fn crosses(&self, other: &OnGrid) -> bool {
        let mut near = self.edges.iter().filter(|it| it.is_near(other.low, other.high, 0));
        near.any(|one| other.edges.iter().any(|it| one.is_near(it.low(), it.high(), 0) && one.crosses(*it)))
    }

    /// The edges, cut wherever a corner of the other lies on them.
    fn pieces<'a>(&'a self, other: &'a OnGrid) -> impl Iterator<Item = Edge> + 'a {
        self.edges.iter().flat_map(move |edge| {
            let mut cuts = vec![edge.from, edge.to];
            if edge.is_near(other.low, other.high, 0) {
                cuts.extend(other.edges.iter().map(|it| it.from).filter(|it| edge.holds(*it)));
            }
            // Along an edge both coordinates go one way only.
            cuts.sort_by_key(|it| (it.x - edge.from.x).abs() + (it.y - edge.from.y).abs());
            cuts.dedup();
            cuts.windows(2).map(|it| Edge { from: it[0], to: it[1] }).collect::<Vec<Edge>>()
        })
    }

    /// Where a piece lies that no edge of this crosses and no corner of this cuts.
    fn lies(&self, piece: Edge) -> Lies {
        if !piece.is_near(self.low, self.high, 0) {
            return Lies::Outside;
        }
        let shared = self.edges.iter().find(|it| it.holds(piece.from) && it.holds(piece.to));
        if let Some(edge) = shared {
            let along = edge.way().0 * piece.way().0 + edge.way().1 * piece.way().1 > 0;
            return if along { Lies::Along } else { Lies::Against };
        }
        // Twice the middle, against twice the corners, stays on whole numbers.
        let middle = Node { x: piece.from.x + piece.to.x, y: piece.from.y + piece.to.y };
        let crossed = self.edges.iter().map(|it| it.doubled()).filter(|edge| {
            let spans = (edge.from.y > middle.y) != (edge.to.y > middle.y);
            spans && (edge.side(middle) > 0) == (edge.to.y > edge.from.y)
        });
        if crossed.count() % 2 == 1 { Lies::Inside } else { Lies::Outside }
    }
}

impl Node {
    fn near(x: f64, y: f64) -> Node {
        let step = |mm: f64| (mm * STEPS).round().clamp(-FARTHEST, FARTHEST) as i64;
        Node { x: step(x), y: step(y) }
    }
}

impl Edge {
    fn doubled(&self) -> Edge {
        let twice = |it: Node| Node { x: it.x * 2, y: it.y * 2 };
        Edge { from: twice(self.from), to: twice(self.to) }
    }

    fn low(&self) -> Node {
        Node { x: self.from.x.min(self.to.x), y: self.from.y.min(self.to.y) }
    }

    fn high(&self) -> Node {
        Node { x: self.from.x.max(self.to.x), y: self.from.y.max(self.to.y) }
    }

    fn is_near(&self, low: Node, high: Node, way: i64) -> bool {
        boxes_near((self.low(), self.high()), (low, high), way)
    }

    fn way(&self) -> (i128, i128) {
        (i128::from(self.to.x - self.from.x), i128::from(self.to.y - self.from.y))
    }

    /// Above zero left of it, below right of it, zero on its line: twice an area.
    fn side(&self, at: Node) -> i128 {
        let (dx, dy) = self.way();
        dx * i128::from(at.y - self.from.y) - dy * i128::from(at.x - self.from.x)
    }

    /// Whether a corner lies on it, its ends with it.
    fn holds(&self, at: Node) -> bool {
        let (low, high) = (self.low(), self.high());
        let within = low.x <= at.x && at.x <= high.x && low.y <= at.y && at.y <= high.y;
        within && self.side(at) == 0
    }

    /// Whether the two run clean through each other.
    fn crosses(self, other: Edge) -> bool {
        let parts = |line: Edge, ends: Edge| {
            let (from, to) = (line.side(ends.from), line.side(ends.to));
            (from > 0 && to < 0) || (from < 0 && to > 0)
        };
        parts(self, other) && parts(other, self)
    }

    /// Whether no place of one is nearer to the other than this.
    fn is_apart(self, other: Edge, way: i64) -> bool {
        let ends = [(self, other.from), (self, other.to), (other, self.from), (other, self.to)];
        (way == 0 || !self.crosses(other)) && ends.iter().all(|(edge, end)| edge.is_off(*end, way))
    }

    /// Whether a corner is no nearer than this.
    fn is_off(&self, at: Node, way: i64) -> bool {
        let (dx, dy) = self.way();
        let (px, py) = (i128::from(at.x - self.from.x), i128::from(at.y - self.from.y));
        let (along, square) = (px * dx + py * dy, dx * dx + dy * dy);
        let way = i128::from(way);
        if along <= 0 {
            return px * px + py * py >= way * way;
        }
        if along >= square {
            let (qx, qy) = (px - dx, py - dy);
            return qx * qx + qy * qy >= way * way;
        }
        // side² / square ≥ way², without the quotient. Corners within a kilometre keep
        // both sides below 10³⁸, where 128 bits end at 1.7 · 10³⁸.
        let side = self.side(at);
        side * side >= way * way * square
    }
}

fn boxes_near(one: (Node, Node), other: (Node, Node), way: i64) -> bool {
    one.0.x - way <= other.1.x
        && other.0.x - way <= one.1.x
        && one.0.y - way <= other.1.y
        && other.0.y - way <= one.1.y
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::{Place, Point, Ring};
    use measure::Angle;

    fn shape(corners: &[[f64; 2]]) -> Outline {
        Outline::from(Ring::new(corners.iter().map(|&[x, y]| Point::new(x, y)).collect()).unwrap())
    }

    fn square(x: f64, y: f64, side: f64) -> Outline {
        shape(&[[x, y], [x + side, y], [x + side, y + side], [x, y + side]])
    }

    fn on(outline: &Outline) -> OnGrid {
        OnGrid::from(outline)
    }

    #[test]
    fn what_lies_beyond_the_grid_is_held_by_nothing() {
        let wood = on(&square(0.0, 0.0, 500.0));
        assert!(wood.holds(&on(&square(10.0, 10.0, 100.0))));
        assert!(!wood.holds(&on(&square(1e12, -1e12, 100.0))), "beyond a kilometre");
    }

    #[test]
    fn what_touches_shares_nothing_and_one_micrometre_more_does() {
        let left = on(&square(0.0, 0.0, 100.0));
        for (x, y) in [(100.0, 0.0), (100.0, 30.0), (100.0, 100.0), (-100.0, 0.0)] {
            assert!(left.clear_of(&on(&square(x, y, 100.0))), "{x} {y}");
        }
        assert!(!left.clear_of(&on(&square(99.999, 0.0, 100.0))));
        assert!(!left.clear_of(&on(&square(0.0, 0.0, 100.0))), "the same place");
        assert!(!left.clear_of(&on(&square(20.0, 20.0, 10.0))), "one inside the other");
    }

    #[test]
    fn what_touches_from_inside_is_held() {
        let whole = on(&square(0.0, 0.0, 100.0));
        assert!(whole.holds(&whole));
        assert!(whole.holds(&on(&square(0.0, 50.0, 50.0))));
        assert!(!whole.holds(&on(&square(50.001, 0.0, 50.0))));
        assert!(!whole.holds(&on(&square(200.0, 0.0, 50.0))));
    }

    #[test]
    fn an_opening_holds_nothing_and_is_not_covered() {
        let hole = square(40.0, 40.0, 20.0);
        let board =
            Outline::new(square(0.0, 0.0, 100.0).outer().clone(), vec![hole.outer().clone()]).unwrap();
        assert!(on(&board).clear_of(&on(&hole)) && on(&board).clear_of(&on(&square(45.0, 45.0, 5.0))));
        assert!(!on(&board).holds(&on(&hole)));
        assert!(!on(&board).holds(&on(&square(30.0, 30.0, 40.0))), "the opening lies in its wood");
        assert!(on(&board).holds(&on(&square(0.0, 0.0, 40.0))));
    }

    #[test]
    fn a_way_is_kept_to_the_micrometre() {
        let (one, other) = (on(&square(0.0, 0.0, 10.0)), on(&square(13.0, 14.0, 10.0)));
        // Three and four apart: five between the corners.
        assert!(one.apart(&other, Length::mm(5.0)));
        assert!(!one.apart(&other, Length::mm(5.001)));
        let beside = on(&shape(&[[15.0, 5.0], [40.0, -5.0], [40.0, 15.0]]));
        assert!(one.apart(&beside, Length::mm(5.0)) && !one.apart(&beside, Length::mm(5.001)));
    }

    #[test]
    fn equal_boards_shifted_along_a_slanted_side_are_seen_to_overlap() {
        let board = Ring::rectangle(Length::mm(400.0), Length::mm(200.0)).unwrap();
        for turn in 0..90 {
            let turn = Angle::degrees(f64::from(turn) + 0.37);
            let lay = |along: f64| {
                let at = Point::new(along * turn.cos(), along * turn.sin());
                on(&Place { at, turn, mirrored: false }.outline(&Outline::from(board.clone())))
            };
            for shift in [1.0, 100.0, 200.0, 399.0, 399.99] {
                assert!(!lay(0.0).clear_of(&lay(shift)), "{turn:?} by {shift}");
            }
            assert!(lay(0.0).clear_of(&lay(400.01)), "{turn:?}");
        }
    }

    proptest! {
        /// Where nothing is close, the plane's own answers in floating point agree.
        #[test]
        fn far_from_touching_it_agrees_with_the_plane(
            x in -120.0..120.0_f64, y in -120.0..120.0_f64, turn in 0.0..360.0_f64, way in 0.5..30.0_f64,
        ) {
            let hook = shape(&[[0.0, 0.0], [90.0, 0.0], [90.0, 20.0], [30.0, 20.0], [30.0, 70.0], [0.0, 70.0]]);
            let place = Place { at: Point::new(x, y), turn: Angle::degrees(turn), mirrored: false };
            let other = place.outline(&hook);
            let apart = hook.distance(&other).to_mm();
            let overlap = hook.overlap_area(&other).to_mm2();
            prop_assume!((apart - way).abs() > 0.01 && (overlap == 0.0 || overlap > 0.5));
            prop_assume!(apart > 0.01 || overlap > 0.5);
            prop_assert_eq!(on(&hook).clear_of(&on(&other)), overlap == 0.0);
            prop_assert_eq!(on(&hook).apart(&on(&other), Length::mm(way)), overlap == 0.0 && apart > way);
        }
    }
}
