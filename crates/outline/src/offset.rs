//! Growing and shrinking, cleaning up raw lines, thinning out corners.

use measure::{Length, Problem};

use crate::crossing::count_crossings;
use crate::engine::{Lines, Operation};
use crate::{Outline, Point, Ring};

/// The most points that all raw lines together may have.
const MOST_POINTS: usize = 30_000;

/// The most places where raw lines may cross: a scribble with more is not a
/// part, and every crossing costs memory.
pub(crate) const MOST_CROSSINGS: usize = 20_000;

/// A line with more corners is grown or shrunk in steps.
const FINE: usize = 64;

/// The first of those steps: the roughness of a traced line is gone after it.
const FIRST_STEP: Length = Length::mm(0.25);

/// Makes valid outlines of any closed lines, largest first. Lines may cross
/// themselves and each other; a line that runs the other way round inside
/// another is an opening, one that runs the same way vanishes in it.
///
/// # Errors
/// Too many points, too many crossings, a point too far off, or nothing left.
pub fn clean(lines: Vec<Vec<Point>>) -> Result<Vec<Outline>, Problem> {
    let points: usize = lines.iter().map(Vec::len).sum();
    if points > MOST_POINTS {
        return Err(Problem::new(format!("the lines have {points} points; at most {MOST_POINTS} are read"))
            .hint("simplify the lines first"));
    }
    let limit = Point::FARTHEST.to_mm();
    let far = |it: &&Point| !(it.x.abs() <= limit && it.y.abs() <= limit);
    if let Some(at) = lines.iter().flatten().find(far) {
        let message = format!("a point lies at {}, {}; at most {limit} mm are read", at.x, at.y);
        return Err(Problem::new(message).hint("check the drawing's scale"));
    }
    if count_crossings(&lines, MOST_CROSSINGS) >= MOST_CROSSINGS {
        let message = format!("the lines cross each other {MOST_CROSSINGS} times or more");
        return Err(Problem::new(message).hint("draw a plain outline without hatching"));
    }
    let found = Lines::raw(&lines).outlines(Operation::Keep, &Lines::default());
    if found.is_empty() {
        return Err(Problem::new("the closed lines have no area"));
    }
    Ok(found)
}

impl Outline {
    /// Grown by a length (shrunk, if it is below zero) with round joins; the
    /// line stays within the tolerance. Openings shrink as the outside grows.
    /// May give several shapes, or none; largest first.
    pub fn offset(&self, by: Length, tolerance: Length) -> Vec<Outline> {
        if by == Length::ZERO {
            return vec![self.clone()];
        }
        let corners: usize = self.rings().map(|it| it.corners().len()).sum();
        if corners <= FINE {
            return Lines::of([self]).offset(by, tolerance);
        }
        self.offset_in_steps(by, tolerance)
    }

    /// A long way at once makes each edge of a fine line cross hundreds of
    /// others. Growing by one length and then by another is growing by both, so
    /// it goes in steps that double but never reach the middle of what shrinks;
    /// each step has its share of the tolerance, and the corners it needs.
    fn offset_in_steps(&self, by: Length, tolerance: Length) -> Vec<Outline> {
        let mut shapes = vec![self.clone()];
        let (mut left, mut longest) = (by, FIRST_STEP);
        while left != Length::ZERO {
            shapes = shapes.into_iter().filter_map(|it| it.without_vanishing(left)).collect();
            let depth = shapes.iter().filter_map(|it| it.depth(left)).fold(Length::ZERO, Length::max);
            let most = if depth > Length::ZERO { longest.min(depth / 2.0) } else { longest };
            let step = left.max(-most).min(most);
            let share = tolerance * ((step / by) / 2.0);
            shapes = shapes.iter().map(|it| it.simplified(share)).collect();
            shapes = Lines::of(&shapes).offset(step, share);
            left = left - step;
            longest = longest * 2.0;
        }
        shapes
    }

    /// What is left of it at most after an offset: a ring is gone once it has
    /// shrunk by half the smaller side of its box.
    fn without_vanishing(self, by: Length) -> Option<Outline> {
        if by < Length::ZERO {
            return (half_side(self.outer()) > by.abs()).then_some(self);
        }
        let stay = self.openings().iter().filter(|it| half_side(it) > by).cloned().collect();
        Some(Outline::sound(self.outer().clone(), stay))
    }

    /// How far whatever shrinks in an offset can shrink at most.
    fn depth(&self, by: Length) -> Option<Length> {
        if by < Length::ZERO {
            return Some(half_side(self.outer()));
        }
        self.openings().iter().map(half_side).reduce(Length::max)
    }

    /// With fewer corners: none of the corners that go lies farther from the
    /// new line than the tolerance. A ring that would cross or lose its shape
    /// stays as it was.
    #[must_use]
    pub fn simplified(&self, tolerance: Length) -> Outline {
        let outer = self.outer().simplified(tolerance);
        let openings: Vec<Ring> = self.openings().iter().map(|it| it.simplified(tolerance)).collect();
        Outline::new(outer, openings).unwrap_or_else(|_| self.clone())
    }
}

impl Ring {
    /// With fewer corners: none of the corners that go lies farther from the
    /// new line than the tolerance (Ramer, Douglas and Peucker). Stays as it
    /// was if the new line would cross itself.
    #[must_use]
    pub fn simplified(&self, tolerance: Length) -> Ring {
        let corners = self.corners();
        let far = farthest_from(corners, 0);
        let mut closed = corners.to_vec();
        closed.push(corners[0]);
        let mut keep = vec![false; closed.len()];
        keep[0] = true;
        keep[far] = true;
        thin(&closed, 0, far, tolerance, &mut keep);
        thin(&closed, far, corners.len(), tolerance, &mut keep);
        let kept = corners.iter().zip(&keep).filter(|(_, keep)| **keep).map(|(&corner, _)| corner);
        Ring::new(kept.collect()).unwrap_or_else(|_| self.clone())
    }
}

fn half_side(ring: &Ring) -> Length {
    let sides = ring.bounds();
    sides.width().min(sides.height()) / 2.0
}

fn farthest_from(corners: &[Point], start: usize) -> usize {
    let way = |index: &usize| corners[start].distance(corners[*index]).to_mm();
    (0..corners.len()).max_by(|a, b| way(a).total_cmp(&way(b))).unwrap_or(start)
}

/// Marks the corners to keep between two kept ones.
fn thin(line: &[Point], from: usize, to: usize, tolerance: Length, keep: &mut [bool]) {
    let mut open = vec![(from, to)];
    while let Some((from, to)) = open.pop() {
        let chord = crate::Segment { from: line[from], to: line[to] };
        let worst = (from + 1..to)
            .map(|index| (index, chord.distance(line[index])))
            .fold((from, tolerance), |worst, it| if it.1 > worst.1 { it } else { worst });
        if worst.0 != from {
            keep[worst.0] = true;
            open.push((from, worst.0));
            open.push((worst.0, to));
        }
    }
}
