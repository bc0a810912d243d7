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
    /// Grown by a length (shrunk, if it is below zero) with round joins; arcs
    /// stay within the tolerance. Openings shrink as the outside grows. May
    /// give several shapes, or none; largest first.
    pub fn offset(&self, by: Length, tolerance: Length) -> Vec<Outline> {
        if by == Length::ZERO {
            return vec![self.clone()];
        }
        Lines::of([self]).offset(by, tolerance)
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
