//! How much wood there is across a shape.

use measure::{Angle, Length};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::{Outline, Point, Ring, Segment};

/// A section through a stem or a handle.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Section {
    /// Where it crosses the axis.
    pub at: Point,
    /// The wood across, openings taken off.
    pub width: Length,
    /// How far from the start of the axis it lies.
    pub along: Length,
}

/// No stem is looked at in more places than this, however small the step.
const MOST_SECTIONS: usize = 4_000;

/// How often the place of the narrowest section is refined tenfold.
const REFINEMENTS: usize = 2;

impl Outline {
    /// The wood across the shape through a point, from outer line to outer line
    /// with the openings between them taken off; `None` if the point is not
    /// within the outer line. Works for a point inside an opening too: then it
    /// is the wood left and right of it.
    pub fn width_across(&self, at: Point, direction: Angle) -> Option<Length> {
        let ray = Ray { at, cos: direction.cos(), sin: direction.sin() };
        let outer = ray.crossings(self.outer());
        let (from, to) =
            outer.chunks_exact(2).map(|it| (it[0], it[1])).find(|it| it.0 <= 0.0 && it.1 >= 0.0)?;
        let mut wood = to - from;
        for opening in self.openings() {
            for gap in ray.crossings(opening).chunks_exact(2) {
                wood -= (gap[1].min(to) - gap[0].max(from)).max(0.0);
            }
        }
        Some(Length::mm(wood.max(0.0)))
    }

    /// The narrowest section square to an axis, looked for at every `step` and
    /// then closer; `None` if the axis has no length or lies outside.
    pub fn narrowest_along(&self, axis: Segment, step: Length) -> Option<Section> {
        let length = axis.length().to_mm();
        if length <= 0.0 || step <= Length::ZERO {
            return None;
        }
        let count = ((length / step.to_mm()).ceil() as usize).clamp(1, MOST_SECTIONS);
        let mut pace = 1.0 / count as f64;
        let mut best = self.narrowest_of(axis, (0..=count).map(|index| index as f64 * pace))?;
        for _ in 0..REFINEMENTS {
            let middle = best.along.to_mm() / length;
            pace /= 10.0;
            let shares = (-10..=10).map(|index| (middle + f64::from(index) * pace).clamp(0.0, 1.0));
            best = self.narrowest_of(axis, shares).filter(|it| it.width < best.width).unwrap_or(best);
        }
        Some(best)
    }

    fn narrowest_of(&self, axis: Segment, shares: impl Iterator<Item = f64>) -> Option<Section> {
        let across = axis.direction() + Angle::degrees(90.0);
        let sections = shares.filter_map(|share| {
            let at = axis.from.toward(axis.to, share);
            let width = self.width_across(at, across)?;
            Some(Section { at, width, along: axis.length() * share })
        });
        sections.fold(None, |best: Option<Section>, it| match best {
            Some(best) if best.width <= it.width => Some(best),
            Some(_) | None => Some(it),
        })
    }
}

/// A line through a point.
struct Ray {
    at: Point,
    cos: f64,
    sin: f64,
}

impl Ray {
    /// Where the line crosses a ring: how far ahead (or behind) of the point,
    /// in order. Always an even number: in and out by turns.
    fn crossings(&self, ring: &Ring) -> Vec<f64> {
        let ahead = |it: Point| (it.x - self.at.x) * self.cos + (it.y - self.at.y) * self.sin;
        let aside = |it: Point| (it.y - self.at.y) * self.cos - (it.x - self.at.x) * self.sin;
        let mut found: Vec<f64> = ring
            .edges()
            .filter_map(|edge| {
                let (from, to) = (aside(edge.from), aside(edge.to));
                let spans = (from > 0.0) != (to > 0.0);
                spans.then(|| ahead(edge.from.toward(edge.to, from / (from - to))))
            })
            .collect();
        found.sort_by(f64::total_cmp);
        found
    }
}
