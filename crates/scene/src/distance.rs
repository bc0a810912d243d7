//! How far a place is from a closed line, held on a grid for speed.

use outline::{Point, Ring};
use rayon::prelude::*;

/// Signed distances to a ring (positive inside), in millimetres.
#[derive(Clone, Debug)]
pub(crate) struct Distance {
    /// Between two places of the grid, in millimetres.
    cell: f64,
    low: Point,
    columns: usize,
    rows: usize,
    values: Vec<f32>,
}

/// Between two places of the fine grid, in millimetres. A fraction of the width of the finest
/// wobble of an edge, so that the straight line between two places stays on it.
const CELL: f64 = 1.0;
/// Between two places of the coarse grid, which serves far from the line.
const COARSE_CELL: f64 = 6.0;
/// Within this of the line the fine grid is exact: nothing sharp is drawn
/// farther from it.
const NEAR: f64 = 32.0;
/// Distances are kept up to here, in millimetres: past every bark, sapwood,
/// side face and soft shadow.
const REACH: f64 = 90.0;

impl Distance {
    pub(crate) fn to(ring: &Ring) -> Distance {
        let edges = Edges::of(ring);
        let exact = |at: Point, crossings: &[f64]| edges.signed(at, crossings);
        let coarse = Distance::filled(ring, COARSE_CELL, &edges, &exact);
        let near = |at: Point, crossings: &[f64]| {
            let about = coarse.at(at.x, at.y);
            if about.abs() > NEAR { about } else { edges.signed(at, crossings) }
        };
        Distance::filled(ring, CELL, &edges, &near)
    }

    fn filled(
        ring: &Ring,
        cell: f64,
        edges: &Edges,
        value: &(dyn Fn(Point, &[f64]) -> f64 + Sync),
    ) -> Distance {
        let bounds = ring.bounds();
        let low = Point::new(bounds.low.x - REACH, bounds.low.y - REACH);
        let cells = |size: f64| ((size + 2.0 * REACH) / cell).ceil() as usize + 2;
        let (columns, rows) = (cells(bounds.width().to_mm()), cells(bounds.height().to_mm()));
        let mut values = vec![0.0_f32; columns * rows];
        values.par_chunks_mut(columns).enumerate().for_each(|(row, out)| {
            let y = low.y + row as f64 * cell;
            let crossings = edges.crossings(y);
            for (column, to) in out.iter_mut().enumerate() {
                *to = value(Point::new(low.x + column as f64 * cell, y), &crossings) as f32;
            }
        });
        Distance { cell, low, columns, rows, values }
    }

    /// The distance at a place; far outside it is as far as is kept.
    pub(crate) fn at(&self, x: f64, y: f64) -> f64 {
        let (across, up) = ((x - self.low.x) / self.cell, (y - self.low.y) / self.cell);
        if across < 0.0 || up < 0.0 {
            return -REACH;
        }
        let (column, row) = (across as usize, up as usize);
        if column + 1 >= self.columns || row + 1 >= self.rows {
            return -REACH;
        }
        let (u, v) = (across - column as f64, up - row as f64);
        let value = |row: usize, column: usize| f64::from(self.values[row * self.columns + column]);
        let lower = value(row, column) * (1.0 - u) + value(row, column + 1) * u;
        let upper = value(row + 1, column) * (1.0 - u) + value(row + 1, column + 1) * u;
        lower * (1.0 - v) + upper * v
    }
}

/// The edges of a ring in strips along x, so that near ones are found at once.
struct Edges {
    left: f64,
    strips: Vec<Vec<[f64; 4]>>,
    all: Vec<[f64; 4]>,
}

/// Width of a strip, in millimetres.
const STRIP: f64 = 5.0;

impl Edges {
    fn of(ring: &Ring) -> Edges {
        let bounds = ring.bounds();
        let left = bounds.low.x - 2.0 * REACH;
        let count = ((bounds.width().to_mm() + 4.0 * REACH) / STRIP).ceil() as usize + 1;
        let all: Vec<[f64; 4]> = ring.edges().map(|it| [it.from.x, it.from.y, it.to.x, it.to.y]).collect();
        let mut strips = vec![Vec::new(); count];
        for edge in &all {
            let strip = |x: f64| ((x - left) / STRIP) as usize;
            let (first, last) = (strip(edge[0].min(edge[2])), strip(edge[0].max(edge[2])));
            strips[first..=last].iter_mut().for_each(|it| it.push(*edge));
        }
        Edges { left, strips, all }
    }

    fn crossings(&self, y: f64) -> Vec<f64> {
        let spans = self.all.iter().filter(|[_, a, _, b]| (*a > y) != (*b > y));
        spans.map(|[ax, ay, bx, by]| ax + (bx - ax) * (y - ay) / (by - ay)).collect()
    }

    /// Positive inside; `crossings` are those at the height of the place.
    fn signed(&self, at: Point, crossings: &[f64]) -> f64 {
        let inside = crossings.iter().filter(|&&x| x > at.x).count() % 2 == 1;
        let away = self.distance(at);
        if inside { away } else { -away }
    }

    fn distance(&self, at: Point) -> f64 {
        let own = ((at.x - self.left) / STRIP) as usize;
        let mut nearest = REACH * REACH;
        for away in 0..=(REACH / STRIP) as usize + 1 {
            // No edge in a strip so far off can be nearer than this.
            let gap = (away as f64 - 1.0).max(0.0) * STRIP;
            if gap * gap > nearest {
                break;
            }
            let sides = [own.checked_sub(away), Some(own + away)];
            for strip in sides.into_iter().flatten().filter_map(|it| self.strips.get(it)) {
                nearest = strip.iter().map(|edge| square_to(edge, at)).fold(nearest, f64::min);
            }
        }
        nearest.sqrt()
    }
}

fn square_to([ax, ay, bx, by]: &[f64; 4], at: Point) -> f64 {
    let (dx, dy) = (bx - ax, by - ay);
    let share = (((at.x - ax) * dx + (at.y - ay) * dy) / (dx * dx + dy * dy)).clamp(0.0, 1.0);
    let (x, y) = (ax + share * dx - at.x, ay + share * dy - at.y);
    x * x + y * y
}

#[cfg(test)]
mod tests {
    use super::*;
    use measure::Length;

    #[test]
    fn the_grid_agrees_with_the_ring() {
        let turned = |it: f64| Point::new(300.0 * (it * 0.01).cos(), 90.0 * (it * 0.01).sin());
        let ring = Ring::new((0..628).map(|it| turned(f64::from(it))).collect()).unwrap();
        let grid = Distance::to(&ring);
        for it in 0..500 {
            let at = Point::new(f64::from(it % 37) * 17.3 - 310.0, f64::from(it % 23) * 8.1 - 95.0);
            let away = ring.distance(at).min(Length::mm(REACH)).to_mm();
            let truth = if ring.contains(at) { away } else { -away };
            let limit = if truth.abs() < NEAR - COARSE_CELL { 0.3 } else { COARSE_CELL / 2.0 };
            assert!((grid.at(at.x, at.y) - truth).abs() < limit, "{at:?} {truth}");
        }
    }
}
