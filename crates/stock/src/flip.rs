//! How the far face of a piece lies under its near one.

use measure::{Angle, Length, Problem};
use outline::{Outline, Place, Point, Ring, Segment};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::SameMark;

/// How a far face lies, and how well that fits.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Registered {
    /// Where the far face's points lie on the near one; mirrored, as seen
    /// through the wood.
    pub place: Place,
    /// How far the two do not agree: the root of the mean square over the marks,
    /// or over the edge where there are none.
    pub miss: Length,
    /// Why that is doubtful.
    pub problem: Option<Problem>,
}

/// Farther off than this, the two faces are not those of one piece, or a mark
/// is wrong: a slab's edge leans by a few millimetres from face to face.
const MOST_MISS: Length = Length::mm(6.0);

/// Marks are touched to a millimetre or two.
const MOST_MARK_MISS: Length = Length::mm(4.0);

/// Marks nearer to each other than this do not tell how the face is turned.
const LEAST_APART: Length = Length::mm(30.0);

/// Another way of turning it over that fits nearly as well could be the true one.
const NEARLY: f64 = 1.3;
const NEARLY_MM: f64 = 0.8;

/// Spots along the edge: few to choose the way it was turned over, more to fit it.
const FEW_SPOTS: usize = 90;
const MANY_SPOTS: usize = 300;
/// The near edge is followed by so many short straight lines.
const LINES: usize = 1200;
const FEW_ROUNDS: usize = 14;
const MANY_ROUNDS: usize = 30;

/// The spots that fit worst are left out: a corner may be broken off one face only.
const KEPT: f64 = 0.85;

/// Finds how the far face lies under the near one: by the marks where there are
/// two or more, else by the outlines alone.
///
/// Both are rigid least squares fits with the mirroring fixed (Umeyama,
/// Least-squares estimation of transformation parameters between two point
/// patterns, 1991, without its scale). Along the edge, each spot is paired with
/// the nearest of the other edge over and over (Besl and McKay, A method for
/// registration of 3-D shapes, 1992) and the worst pairs are left out
/// (Chetverikov et al., The trimmed iterative closest point algorithm, 2002),
/// from each of the four ways in which a slab can come to lie when turned over.
pub fn register(near: &Outline, far: &Outline, marks: &[SameMark]) -> Registered {
    if marks.len() >= 2 { by_marks(near, far, marks) } else { by_edges(near, far) }
}

fn by_marks(near: &Outline, far: &Outline, marks: &[SameMark]) -> Registered {
    let pairs: Vec<(Point, Point)> = marks.iter().map(|it| (it.far, it.near)).collect();
    let place = fit(&pairs);
    let miss = off(&pairs, place);
    let apart = marks.iter().map(|it| it.near.distance(marks[0].near)).fold(Length::ZERO, Length::max);
    let edge = Edge::of(near);
    let beside = edge.off(&spots(far.outer(), FEW_SPOTS), place);
    let problem = if apart < LEAST_APART {
        Some(
            Problem::new("the marks lie too near to each other to tell how the other face is turned")
                .hint("touch marks that lie far apart, best at both ends"),
        )
    } else if miss > MOST_MARK_MISS {
        let message =
            format!("the marks of the two faces do not fit: they are off by {:.0} mm", miss.to_mm());
        Some(Problem::new(message).hint("touch the same corner or pencil mark on both faces"))
    } else if beside > MOST_MISS * 3.0 {
        let message =
            format!("laid by the marks, the edges of the two faces are {:.0} mm apart", beside.to_mm());
        Some(Problem::new(message).hint("look whether each mark is the same place on both faces"))
    } else {
        None
    };
    Registered { place, miss, problem }
}

fn by_edges(near: &Outline, far: &Outline) -> Registered {
    let edge = Edge::of(near);
    let (few, many) = (spots(far.outer(), FEW_SPOTS), spots(far.outer(), MANY_SPOTS));
    let mut ways: Vec<(Length, Place)> = [0.0, 90.0, 180.0, 270.0]
        .map(|turn| {
            let place = edge.settled(&few, start(near, far, Angle::degrees(turn)), FEW_ROUNDS);
            (edge.off(&few, place), place)
        })
        .to_vec();
    ways.sort_by(|a, b| a.0.to_mm().total_cmp(&b.0.to_mm()));
    let mut best: Vec<(Length, Place)> = ways[..2]
        .iter()
        .map(|&(_, place)| {
            let place = edge.settled(&many, place, MANY_ROUNDS);
            (edge.off(&many, place), place)
        })
        .collect();
    best.sort_by(|a, b| a.0.to_mm().total_cmp(&b.0.to_mm()));
    let [(miss, place), (second, _)] = best[..] else { unreachable!("two ways were kept") };
    let problem = if miss > MOST_MISS {
        let message =
            format!("the edges of the two faces do not fit: they are off by {:.0} mm", miss.to_mm());
        Some(Problem::new(message).hint("touch two marks that can be seen on both faces"))
    } else if second.to_mm() < miss.to_mm() * NEARLY + NEARLY_MM {
        let message = "the edge looks much the same whichever way the wood was turned over";
        Some(Problem::new(message).hint("touch two marks that can be seen on both faces"))
    } else {
        None
    };
    Registered { place, miss, problem }
}

/// The middles on each other, the far face turned by so much.
fn start(near: &Outline, far: &Outline, turn: Angle) -> Place {
    let turned = Place { at: Point::default(), turn, mirrored: true };
    let (to, from) = (near.centroid(), turned.point(far.centroid()));
    Place { at: Point::new(to.x - from.x, to.y - from.y), ..turned }
}

/// The mirrored rigid way that brings the first of each pair nearest to the second.
fn fit(pairs: &[(Point, Point)]) -> Place {
    let count = pairs.len() as f64;
    let mean = |of: &dyn Fn(&(Point, Point)) -> Point| {
        let sum = pairs.iter().map(of).fold(Point::default(), |a, b| Point::new(a.x + b.x, a.y + b.y));
        Point::new(sum.x / count, sum.y / count)
    };
    let (from, to) = (mean(&|it| it.0), mean(&|it| it.1));
    let (mut along, mut across) = (0.0, 0.0);
    for (far, near) in pairs {
        let (fx, fy) = (from.x - far.x, far.y - from.y);
        let (nx, ny) = (near.x - to.x, near.y - to.y);
        along += fx * nx + fy * ny;
        across += fx * ny - fy * nx;
    }
    let turned = Place { at: Point::default(), turn: Angle::radians(across.atan2(along)), mirrored: true };
    let middle = turned.point(from);
    Place { at: Point::new(to.x - middle.x, to.y - middle.y), ..turned }
}

fn off(pairs: &[(Point, Point)], place: Place) -> Length {
    let squares = pairs.iter().map(|&(far, near)| place.point(far).distance(near).to_mm().powi(2));
    Length::mm((squares.sum::<f64>() / pairs.len() as f64).sqrt())
}

/// So many places evenly along a closed line.
fn spots(ring: &Ring, count: usize) -> Vec<Point> {
    let step = ring.perimeter() / count as f64;
    let mut left = Length::ZERO;
    let mut found = Vec::with_capacity(count + 1);
    for Segment { from, to } in ring.edges() {
        let long = from.distance(to);
        while left < long && found.len() < count {
            found.push(from.toward(to, left / long));
            left += step;
        }
        left = left - long;
    }
    found
}

/// The near face's edge, ready to be asked for its nearest place.
struct Edge {
    lines: Vec<Segment>,
}

impl Edge {
    fn of(near: &Outline) -> Edge {
        let spots = spots(near.outer(), LINES);
        let next = spots.iter().cycle().skip(1);
        Edge { lines: spots.iter().zip(next).map(|(&from, &to)| Segment { from, to }).collect() }
    }

    fn nearest(&self, to: Point) -> Point {
        let feet = self.lines.iter().map(|line| line.nearest(to));
        let far = |it: &Point| (it.x - to.x).powi(2) + (it.y - to.y).powi(2);
        feet.min_by(|a, b| far(a).total_cmp(&far(b))).unwrap_or(to)
    }

    /// Moved until the spots lie on the edge as nearly as they can.
    fn settled(&self, spots: &[Point], start: Place, rounds: usize) -> Place {
        let kept = ((spots.len() as f64 * KEPT) as usize).max(3);
        let mut place = start;
        for _ in 0..rounds {
            let mut pairs: Vec<(Point, Point)> =
                spots.iter().map(|&it| (it, self.nearest(place.point(it)))).collect();
            let miss = |it: &(Point, Point)| place.point(it.0).distance(it.1).to_mm();
            pairs.sort_by(|a, b| miss(a).total_cmp(&miss(b)));
            pairs.truncate(kept);
            place = fit(&pairs);
        }
        place
    }

    fn off(&self, spots: &[Point], place: Place) -> Length {
        let pairs: Vec<(Point, Point)> =
            spots.iter().map(|&it| (it, self.nearest(place.point(it)))).collect();
        off(&pairs, place)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A slab with a bulge and a skewed end: no two ways of turning it over are alike.
    fn slab() -> Outline {
        let lower = (0..=60).map(|it| {
            let x = 15.0 * f64::from(it);
            Point::new(x, 20.0 * Angle::radians(x / 140.0).sin())
        });
        let upper = (0..=60).rev().map(|it| {
            let x = 15.0 * f64::from(it);
            let bulge = 60.0 * (-((x - 250.0) / 90.0).powi(2)).exp();
            Point::new(x + 25.0, 300.0 + bulge + 9.0 * Angle::radians(x / 60.0).cos())
        });
        Outline::from(Ring::new(lower.chain(upper).collect()).unwrap())
    }

    /// The far face of a slab whose points lie at `place` on the near one.
    fn turned_over(near: &Outline, place: Place, stray: f64) -> Outline {
        let mut state = 7_u32;
        let mut noise = move || {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            stray * (f64::from(state >> 8) / f64::from(1 << 24) * 2.0 - 1.0)
        };
        let own = near.outer().corners().iter().map(|&it| {
            let (sin, cos) = (place.turn.sin(), place.turn.cos());
            let (x, y) = (it.x - place.at.x, it.y - place.at.y);
            Point::new(-(x * cos + y * sin) + noise(), y * cos - x * sin + noise())
        });
        Outline::from(Ring::new(own.collect()).unwrap())
    }

    fn place(x: f64, y: f64, turn: f64) -> Place {
        Place { at: Point::new(x, y), turn: Angle::degrees(turn), mirrored: true }
    }

    #[test]
    fn pairs_are_fitted_as_umeyamas_example_is() {
        // Umeyama 1991, his example of three points, the first pattern mirrored
        // beforehand as ours are: R = [0.832 0.555; -0.555 0.832] (from memory;
        // worked by hand: atan2(-4/3, 2)).
        let first = [[0.0, 0.0], [1.0, 0.0], [0.0, 2.0]].map(|[x, y]: [f64; 2]| Point::new(-x, y));
        let second = [[0.0, 0.0], [-1.0, 0.0], [0.0, 2.0]].map(|[x, y]| Point::new(x, y));
        let pairs: Vec<(Point, Point)> = first.into_iter().zip(second).collect();
        let turn = fit(&pairs).turn;
        assert!((turn.cos() - 0.832).abs() < 5e-4 && (turn.sin() + 0.555).abs() < 5e-4, "{turn:?}");
    }

    #[test]
    fn a_face_is_found_whichever_way_it_was_turned_over() {
        let near = slab();
        for turn in [-2.0, 88.0, 181.5, 272.0] {
            let truth = place(430.0, 170.0, turn);
            let far = turned_over(&near, truth, 0.0);
            let found = register(&near, &far, &[]);
            for &at in far.outer().corners() {
                let off = found.place.point(at).distance(truth.point(at));
                assert!(off < Length::mm(0.3), "turned by {turn}: {off:?} off");
            }
            assert_eq!(found.problem, None, "turned by {turn}");
        }
    }

    #[test]
    fn noise_averages_out_and_a_broken_corner_does_not_pull() {
        let near = slab();
        let truth = place(880.0, 10.0, 1.0);
        let noisy = turned_over(&near, truth, 1.5);
        let found = register(&near, &noisy, &[]);
        let off = |found: &Registered, it: Point| found.place.point(it).distance(truth.point(it)).to_mm();
        let ends = [Point::new(-860.0, 30.0), Point::new(880.0, 300.0)];
        assert!(ends.iter().all(|&it| off(&found, it) < 1.0), "{found:?}");
        assert!(found.miss < Length::mm(1.5) && found.problem.is_none(), "{found:?}");
        let broken: Vec<Point> = noisy.outer().corners().iter().copied().skip(4).collect();
        let found = register(&near, &Outline::from(Ring::new(broken).unwrap()), &[]);
        assert!(ends.iter().all(|&it| off(&found, it) < 1.5), "{found:?}");
    }

    #[test]
    fn a_plank_is_doubtful_until_it_is_marked() {
        let plank = Outline::from(Ring::rectangle(Length::mm(900.0), Length::mm(200.0)).unwrap());
        let found = register(&plank, &plank, &[]);
        assert!(found.problem.unwrap().message.contains("much the same"), "{:?}", found.place);
        // Turned over about its width: what was left is left still, top and bottom change.
        let mark = |x, y| SameMark { near: Point::new(x, y), far: Point::new(x, 200.0 - y) };
        let found = register(&plank, &plank, &[mark(10.0, 20.0), mark(890.0, 190.0)]);
        assert_eq!(found.problem, None);
        assert!(found.miss < Length::mm(1e-6), "{:?}", found.miss);
        let lies = found.place.point(Point::new(300.0, 50.0));
        assert!(lies.distance(Point::new(300.0, 150.0)) < Length::mm(1e-6), "{lies:?}");
    }

    #[test]
    fn what_does_not_fit_is_told() {
        let plank = Outline::from(Ring::rectangle(Length::mm(900.0), Length::mm(200.0)).unwrap());
        let told = |it: Registered| it.problem.unwrap().message;
        assert!(told(register(&slab(), &plank, &[])).contains("do not fit"));
        let mark = |x: f64, far: f64| SameMark { near: Point::new(x, 0.0), far: Point::new(far, 0.0) };
        assert!(
            told(register(&plank, &plank, &[mark(0.0, 900.0), mark(900.0, 60.0)])).contains("off by 30 mm")
        );
        assert!(told(register(&plank, &plank, &[mark(0.0, 900.0), mark(9.0, 891.0)])).contains("too near"));
    }
}
