//! How far every spot of a plane lies from a line, with a sign: a grid that is
//! worked out once and read millions of times.

use outline::{Point, Ring, Segment};

/// A grid of signed distances, in millimetres: above zero inside.
pub(crate) struct Field {
    low: Point,
    cell: f64,
    per_mm: f64,
    wide: usize,
    high: usize,
    // Invariant: `wide * high` values, row by row from the lowest.
    values: Vec<f32>,
}

/// A cell is never finer than this: no saw cut is.
const FINEST: f64 = 0.5;
/// An edge that no cell has met yet.
const NONE: u32 = u32::MAX;

impl Field {
    /// Works out the field of closed lines, on about `cells` cells that reach
    /// `margin` past them. A spot is inside if it lies inside an odd number of
    /// `solid` lines and inside none of the `cut` lines.
    pub(crate) fn around(solid: &[&Ring], cut: &[&Ring], margin: f64, cells: usize) -> Field {
        let corners = solid.iter().flat_map(|ring| ring.corners().iter().copied());
        let bounds = outline::Bounds::around(corners).expect("a ring has corners");
        let (width, height) = (bounds.width().to_mm() + 2.0 * margin, bounds.height().to_mm() + 2.0 * margin);
        let cell = (width * height / cells as f64).sqrt().max(FINEST);
        let mut field = Field {
            low: Point::new(bounds.low.x - margin, bounds.low.y - margin),
            cell,
            per_mm: 1.0 / cell,
            wide: (width / cell).ceil() as usize + 1,
            high: (height / cell).ceil() as usize + 1,
            values: Vec::new(),
        };
        let edges: Vec<Segment> = solid.iter().chain(cut).flat_map(|ring| ring.edges()).collect();
        let mut inside = vec![false; field.wide * field.high];
        for ring in solid {
            field.sweep(ring, |index| inside[index] = !inside[index]);
        }
        for ring in cut {
            field.sweep(ring, |index| inside[index] = false);
        }
        let nearest = field.nearest(&edges);
        field.values = nearest
            .iter()
            .zip(&inside)
            .enumerate()
            .map(|(index, (&edge, &inside))| {
                let far = field.far(&edges, edge, index) as f32;
                if inside { far } else { -far }
            })
            .collect();
        field
    }

    /// The signed distance at a spot, between the grid's values; past the grid
    /// it falls by the way to the grid.
    #[inline]
    pub(crate) fn at(&self, spot: Point) -> f64 {
        let (x, y) = ((spot.x - self.low.x) * self.per_mm, (spot.y - self.low.y) * self.per_mm);
        let (last_x, last_y) = ((self.wide - 1) as f64, (self.high - 1) as f64);
        if x >= 0.0 && y >= 0.0 && x <= last_x && y <= last_y {
            return self.within(x, y);
        }
        let (held_x, held_y) = (x.clamp(0.0, last_x), y.clamp(0.0, last_y));
        let past = ((x - held_x).powi(2) + (y - held_y).powi(2)).sqrt() * self.cell;
        self.within(held_x, held_y) - past
    }

    /// The value at a spot of the grid, counted in cells.
    #[inline]
    fn within(&self, x: f64, y: f64) -> f64 {
        let (column, row) = ((x as usize).min(self.wide - 2), (y as usize).min(self.high - 2));
        let (right, up) = ((x - column as f64) as f32, (y - row as f64) as f32);
        let first = row * self.wide + column;
        let (below, above) =
            (&self.values[first..first + 2], &self.values[first + self.wide..first + self.wide + 2]);
        let below = below[0] + (below[1] - below[0]) * right;
        let above = above[0] + (above[1] - above[0]) * right;
        f64::from(below + (above - below) * up)
    }

    /// The side of a cell, in millimetres.
    pub(crate) fn cell(&self) -> f64 {
        self.cell
    }

    /// The way that leads inward fastest: a unit vector, or zero on a ridge.
    pub(crate) fn inward(&self, spot: Point) -> (f64, f64) {
        let step = self.cell;
        let x = self.at(Point::new(spot.x + step, spot.y)) - self.at(Point::new(spot.x - step, spot.y));
        let y = self.at(Point::new(spot.x, spot.y + step)) - self.at(Point::new(spot.x, spot.y - step));
        let length = x.hypot(y);
        if length < 1e-9 { (0.0, 0.0) } else { (x / length, y / length) }
    }

    /// The deepest spot and how deep it lies.
    pub(crate) fn deepest(&self) -> (Point, f64) {
        let start = (0, f32::NEG_INFINITY);
        let (index, value) = self
            .values
            .iter()
            .enumerate()
            .fold(start, |best, (index, &value)| if value > best.1 { (index, value) } else { best });
        (self.spot(index), f64::from(value))
    }

    fn spot(&self, index: usize) -> Point {
        let (row, column) = (index / self.wide, index % self.wide);
        Point::new(self.low.x + column as f64 * self.cell, self.low.y + row as f64 * self.cell)
    }

    fn far(&self, edges: &[Segment], edge: u32, index: usize) -> f64 {
        match edges.get(edge as usize) {
            Some(edge) => edge.distance(self.spot(index)).to_mm(),
            None => f64::INFINITY,
        }
    }

    /// Visits every cell whose middle lies inside one closed line.
    fn sweep(&self, ring: &Ring, mut visit: impl FnMut(usize)) {
        let mut crossings: Vec<Vec<f64>> = vec![Vec::new(); self.high];
        for Segment { from, to } in ring.edges() {
            let (low, high) = if from.y < to.y { (from, to) } else { (to, from) };
            let first = ((low.y - self.low.y) / self.cell).floor().max(0.0) as usize;
            for (row, found) in crossings.iter_mut().enumerate().skip(first) {
                let y = self.low.y + row as f64 * self.cell;
                if y >= high.y {
                    break;
                }
                if y >= low.y {
                    found.push(low.x + (high.x - low.x) * (y - low.y) / (high.y - low.y));
                }
            }
        }
        for (row, found) in crossings.iter_mut().enumerate() {
            found.sort_by(f64::total_cmp);
            for pair in found.chunks_exact(2) {
                let from = ((pair[0] - self.low.x) / self.cell).ceil().max(0.0) as usize;
                let to = ((pair[1] - self.low.x) / self.cell).floor().min((self.wide - 1) as f64);
                if to >= 0.0 {
                    (from..=to as usize).for_each(|column| visit(row * self.wide + column));
                }
            }
        }
    }

    /// The nearest edge of every cell: edges mark the cells they pass, and the
    /// marks spread to all neighbours in sweeps from both ends.
    fn nearest(&self, edges: &[Segment]) -> Vec<u32> {
        let mut nearest = vec![NONE; self.wide * self.high];
        let mut least = vec![f64::INFINITY; self.wide * self.high];
        let mut offer = |nearest: &mut Vec<u32>, index: usize, edge: u32| {
            if edge != NONE && nearest[index] != edge {
                let far = self.far(edges, edge, index);
                if far < least[index] {
                    (least[index], nearest[index]) = (far, edge);
                }
            }
        };
        for (number, edge) in edges.iter().enumerate() {
            let steps = (edge.length().to_mm() / self.cell * 2.0).ceil() as usize + 1;
            for step in 0..=steps {
                let spot = edge.from.toward(edge.to, step as f64 / steps as f64);
                let column = (((spot.x - self.low.x) / self.cell) as usize).min(self.wide - 2);
                let row = (((spot.y - self.low.y) / self.cell) as usize).min(self.high - 2);
                let first = row * self.wide + column;
                for index in [first, first + 1, first + self.wide, first + self.wide + 1] {
                    offer(&mut nearest, index, number as u32);
                }
            }
        }
        for turn in 0..4 {
            let cells = self.wide * self.high;
            for step in 0..cells {
                let index = if turn % 2 == 0 { step } else { cells - 1 - step };
                for next in self.neighbours(index) {
                    let edge = nearest[next];
                    offer(&mut nearest, index, edge);
                }
            }
        }
        nearest
    }

    fn neighbours(&self, index: usize) -> impl Iterator<Item = usize> + use<> {
        let (row, column, wide, high) = (index / self.wide, index % self.wide, self.wide, self.high);
        let rows = row.saturating_sub(1)..=(row + 1).min(high - 1);
        rows.flat_map(move |row| {
            let columns = column.saturating_sub(1)..=(column + 1).min(wide - 1);
            columns.map(move |column| row * wide + column)
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use measure::Length;

    #[test]
    fn a_rectangles_field_is_the_way_to_its_nearest_side() {
        let ring = Ring::rectangle(Length::mm(100.0), Length::mm(60.0)).unwrap();
        let field = Field::around(&[&ring], &[], 20.0, 10_000);
        let check = |x: f64, y: f64, expected: f64| {
            let found = field.at(Point::new(x, y));
            assert!((found - expected).abs() < 0.15, "at {x}, {y}: {found}, not {expected}");
        };
        check(50.0, 27.0, 27.0);
        check(50.0, 10.0, 10.0);
        check(-15.0, 30.0, -15.0);
        check(-12.0, -16.0, -20.0);
        check(50.0, -120.0, -120.0);
        let (x, y) = field.inward(Point::new(5.0, 30.0));
        assert!(x > 0.99 && y.abs() < 0.1, "{x} {y}");
    }

    #[test]
    fn a_cut_line_is_outside_even_where_it_reaches_past_the_solid_one() {
        let ring = Ring::rectangle(Length::mm(100.0), Length::mm(60.0)).unwrap();
        let knot = [[80.0, 10.0], [140.0, 10.0], [140.0, 50.0], [80.0, 50.0]];
        let knot = Ring::new(knot.iter().map(|&[x, y]| Point::new(x, y)).collect()).unwrap();
        let field = Field::around(&[&ring], &[&knot], 20.0, 10_000);
        assert!(field.at(Point::new(90.0, 30.0)) < 0.0, "in the knot");
        assert!(field.at(Point::new(110.0, 30.0)) < 0.0, "past the end");
        assert!((field.at(Point::new(70.0, 30.0)) - 10.0).abs() < 0.3, "beside the knot");
    }
}
