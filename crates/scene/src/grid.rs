//! A smooth quantity of the plane, worked out once at evenly spaced places.

use outline::{Bounds, Point};
use rayon::prelude::*;

/// Values on a grid, straight from one place to the next.
pub(crate) struct Grid {
    cell: f64,
    low: Point,
    columns: usize,
    rows: usize,
    values: Vec<f32>,
}

impl Grid {
    /// Worked out every `cell` millimetres within the bounds.
    pub(crate) fn filled(bounds: Bounds, cell: f64, value: impl Fn(f64, f64) -> f64 + Sync) -> Grid {
        let count = |size: f64| (size / cell).ceil() as usize + 2;
        let (columns, rows) = (count(bounds.width().to_mm()), count(bounds.height().to_mm()));
        let low = bounds.low;
        let mut values = vec![0.0_f32; columns * rows];
        values.par_chunks_mut(columns).enumerate().for_each(|(row, out)| {
            for (column, to) in out.iter_mut().enumerate() {
                *to = value(low.x + column as f64 * cell, low.y + row as f64 * cell) as f32;
            }
        });
        Grid { cell, low, columns, rows, values }
    }

    /// The value at a place; `None` outside the bounds.
    pub(crate) fn at(&self, x: f64, y: f64) -> Option<f64> {
        let (across, up) = ((x - self.low.x) / self.cell, (y - self.low.y) / self.cell);
        let inside = across >= 0.0 && up >= 0.0;
        let (column, row) = (across as usize, up as usize);
        if !inside || column + 1 >= self.columns || row + 1 >= self.rows {
            return None;
        }
        let (u, v) = ((across - column as f64) as f32, (up - row as f64) as f32);
        let at = row * self.columns + column;
        let (lower, upper) =
            (&self.values[at..at + 2], &self.values[at + self.columns..at + self.columns + 2]);
        let low = lower[0] + (lower[1] - lower[0]) * u;
        Some(f64::from(low + (upper[0] + (upper[1] - upper[0]) * u - low) * v))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_plane_comes_back_and_ends_at_its_bounds() {
        let bounds = Bounds { low: Point::new(-3.0, 2.0), high: Point::new(9.0, 7.5) };
        let grid = Grid::filled(bounds, 1.5, |x, y| 0.5 * x - 2.0 * y);
        assert!((grid.at(2.2, 3.3).unwrap() - (1.1 - 6.6)).abs() < 1e-5);
        assert!(grid.at(-3.1, 3.0).is_none() && grid.at(2.0, 12.0).is_none());
    }
}
