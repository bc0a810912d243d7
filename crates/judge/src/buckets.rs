//! What lies near a place: lists of numbers in square buckets.

use measure::Length;
use outline::{Bounds, Point};

/// Square buckets over a box. What lies outside the box is not kept.
pub(crate) struct Buckets {
    low: Point,
    side: f64,
    across: usize,
    up: usize,
    lists: Vec<Vec<u32>>,
}

/// No box has more buckets along a side.
const MOST_ALONG: f64 = 1000.0;

impl Buckets {
    /// Buckets with sides of at least so many millimetres.
    pub(crate) fn over(area: Bounds, side: f64) -> Buckets {
        let longest = area.width().max(area.height()).to_mm();
        let side = side.max(longest / MOST_ALONG);
        let count = |long: Length| (long.to_mm() / side).floor() as usize + 1;
        let (across, up) = (count(area.width()), count(area.height()));
        Buckets { low: area.low, side, across, up, lists: vec![Vec::new(); across * up] }
    }

    /// Puts a number into every bucket that the box meets; tells how full the
    /// fullest of these is.
    pub(crate) fn put(&mut self, area: Bounds, number: u32) -> usize {
        let mut fullest = 0;
        let Some((columns, rows)) = self.range(area) else { return 0 };
        for row in rows {
            for column in columns.clone() {
                let list = &mut self.lists[row * self.across + column];
                if list.last() != Some(&number) {
                    list.push(number);
                }
                fullest = fullest.max(list.len());
            }
        }
        fullest
    }

    /// Everything in the bucket of a point.
    pub(crate) fn at(&self, point: Point) -> &[u32] {
        let (x, y) = ((point.x - self.low.x) / self.side, (point.y - self.low.y) / self.side);
        if x >= 0.0 && y >= 0.0 && x < self.across as f64 && y < self.up as f64 {
            &self.lists[y as usize * self.across + x as usize]
        } else {
            &[]
        }
    }

    /// Everything in the buckets that the box meets; some of it more than once.
    pub(crate) fn near(&self, area: Bounds) -> impl Iterator<Item = u32> + '_ {
        let (columns, rows) = self.range(area).unwrap_or((0..0, 0..0));
        rows.flat_map(move |row| {
            let lists = &self.lists[row * self.across + columns.start..row * self.across + columns.end];
            lists.iter().flatten().copied()
        })
    }

    fn range(&self, area: Bounds) -> Option<(std::ops::Range<usize>, std::ops::Range<usize>)> {
        let along = |from: f64, to: f64, low: f64, count: usize| {
            let (first, last) = ((from - low) / self.side, (to - low) / self.side);
            (last >= 0.0 && first < count as f64)
                .then(|| first.max(0.0) as usize..(last as usize + 1).min(count))
        };
        let columns = along(area.low.x, area.high.x, self.low.x, self.across)?;
        Some((columns, along(area.low.y, area.high.y, self.low.y, self.up)?))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_put_is_found_near_and_not_far() {
        let area = Bounds { low: Point::new(0.0, 0.0), high: Point::new(100.0, 50.0) };
        let mut buckets = Buckets::over(area, 5.0);
        let spot = Bounds { low: Point::new(11.0, 11.0), high: Point::new(12.0, 12.0) };
        assert_eq!(buckets.put(spot, 7), 1);
        assert_eq!(buckets.at(Point::new(14.0, 10.5)), [7]);
        assert!(buckets.at(Point::new(16.0, 10.5)).is_empty());
        assert!(buckets.at(Point::new(-1.0, 10.5)).is_empty());
        assert_eq!(buckets.near(spot.grown(Length::mm(20.0))).collect::<Vec<_>>(), [7]);
        assert_eq!(buckets.near(area).count(), 1);
    }
}
