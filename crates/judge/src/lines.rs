//! Closed lines, asked for the nearest place on them and for their inside.

use measure::Length;
use outline::{Bounds, Point, Ring, Segment};

use crate::buckets::Buckets;

/// The rings of one shape, with what lies near a place at hand.
pub(crate) struct Lines {
    pub(crate) bounds: Bounds,
    pub(crate) edges: Vec<Segment>,
    buckets: Buckets,
    /// Edges by the height at which they lie, to count how often one is crossed.
    bands: Vec<Vec<u32>>,
    band: f64,
}

/// A long edge goes into the buckets in stretches of this, in millimetres.
const STRETCH: f64 = 4.0;

impl Lines {
    pub(crate) fn of<'a>(rings: impl Iterator<Item = &'a Ring>) -> Lines {
        let edges: Vec<Segment> = rings.flat_map(Ring::edges).collect();
        let bounds = Bounds::around(edges.iter().map(|it| it.from)).unwrap_or(NOWHERE);
        let mut buckets = Buckets::over(bounds.grown(Length::mm(1.0)), STRETCH);
        let count = (bounds.height().to_mm() / STRETCH).floor() as usize + 1;
        let band = bounds.height().to_mm() / count as f64;
        let mut bands = vec![Vec::new(); count];
        for (number, edge) in (0..).zip(&edges) {
            let pieces = (edge.length().to_mm() / STRETCH).ceil().max(1.0);
            for piece in 0..pieces as usize {
                let at = |it: usize| edge.from.toward(edge.to, it as f64 / pieces);
                buckets.put(Segment { from: at(piece), to: at(piece + 1) }.bounds(), number);
            }
            let of = |y: f64| band_of(y, bounds, band, count);
            let area = edge.bounds();
            bands[of(area.low.y)..=of(area.high.y)]
                .iter_mut()
                .for_each(|list: &mut Vec<u32>| list.push(number));
        }
        Lines { bounds, edges, buckets, bands, band }
    }

    /// Whether a point lies inside (on the line it may fall either way).
    pub(crate) fn hold(&self, it: Point) -> bool {
        if it.y < self.bounds.low.y || it.y > self.bounds.high.y {
            return false;
        }
        let band = &self.bands[band_of(it.y, self.bounds, self.band, self.bands.len())];
        band.iter().fold(false, |inside, &number| {
            let Segment { from, to } = self.edges[number as usize];
            let spans = (from.y > it.y) != (to.y > it.y);
            let left = || (to.x - from.x) * (it.y - from.y) / (to.y - from.y) + from.x > it.x;
            if spans && left() { !inside } else { inside }
        })
    }

    /// The edges that come near a box; some of them more than once.
    pub(crate) fn edges_near(&self, area: Bounds) -> impl Iterator<Item = Segment> + '_ {
        self.buckets.near(area).map(|number| self.edges[number as usize])
    }

    /// The way to the line, in millimetres, if that is no more than the reach.
    pub(crate) fn distance_within(&self, it: Point, reach: f64) -> Option<f64> {
        let area = Bounds { low: it, high: it }.grown(Length::mm(reach));
        let ways = self.edges_near(area).map(|edge| edge.distance(it).to_mm());
        let least = ways.fold(f64::INFINITY, f64::min);
        (least <= reach).then_some(least)
    }

    /// The way to the line, in millimetres, and the edge and the place on it
    /// that is nearest.
    pub(crate) fn nearest(&self, it: Point) -> (f64, usize, Point) {
        let all = || 0..self.edges.len() as u32;
        let mut reach = STRETCH;
        while reach < 15.0 {
            let area = Bounds { low: it, high: it }.grown(Length::mm(reach));
            let found = self.nearest_of(it, self.buckets.near(area));
            if found.0 <= reach {
                return found;
            }
            reach *= 3.0;
        }
        self.nearest_of(it, all())
    }

    fn nearest_of(&self, it: Point, numbers: impl Iterator<Item = u32>) -> (f64, usize, Point) {
        let places = numbers.map(|number| {
            let on = self.edges[number as usize].nearest(it);
            (on.distance(it).to_mm(), number as usize, on)
        });
        places.fold((f64::INFINITY, 0, it), |best, it| if it.0 < best.0 { it } else { best })
    }
}

const NOWHERE: Bounds = Bounds { low: Point::new(0.0, 0.0), high: Point::new(0.0, 0.0) };

fn band_of(y: f64, bounds: Bounds, band: f64, count: usize) -> usize {
    (((y - bounds.low.y) / band).max(0.0) as usize).min(count - 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn inside_and_distance_are_those_of_the_ring() {
        let corners = [[0.0, 0.0], [90.0, 5.0], [70.0, 60.0], [40.0, 20.0], [10.0, 80.0]];
        let ring = Ring::new(corners.iter().map(|&[x, y]| Point::new(x, y)).collect()).unwrap();
        let lines = Lines::of(std::iter::once(&ring));
        for step in 0..400 {
            let it = Point::new(f64::from(step % 20) * 6.1 - 12.0, f64::from(step / 20) * 5.3 - 9.0);
            assert_eq!(lines.hold(it), ring.contains(it), "{it:?}");
            let true_way = ring.distance(it).to_mm();
            assert!((lines.nearest(it).0 - true_way).abs() < 1e-9, "{it:?}");
            assert_eq!(lines.distance_within(it, 3.0).is_some(), true_way <= 3.0, "{it:?}");
        }
    }
}
