//! Shapes and lines laid on a grid of cells.

use measure::Length;
use outline::{Bounds, Outline, Point, Segment};

use crate::Pixel;
use crate::field::Field;

/// A grid of cells on a face.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Grid {
    /// The upper left corner, in the face's millimetres with y up.
    pub(crate) left_top: Point,
    /// The side of one cell.
    pub(crate) cell: Length,
    pub(crate) width: usize,
    pub(crate) height: usize,
}

/// A cell's share is summed over this many level lines through it.
const LINES: usize = 4;

impl Grid {
    /// Where on the face a place on the grid is, counted in cells, y down.
    pub(crate) fn place_of(&self, at: Pixel) -> Point {
        let cell = self.cell.to_mm();
        Point::new(self.left_top.x + at.x * cell, self.left_top.y - at.y * cell)
    }

    fn pixel_of(&self, at: Point) -> Pixel {
        let cell = self.cell.to_mm();
        Pixel::new((at.x - self.left_top.x) / cell, (self.left_top.y - at.y) / cell)
    }

    /// How much of each cell the shape covers, from 0 to 1.
    pub(crate) fn covered(&self, shape: &Outline) -> Field {
        let mut values = vec![0.0; self.width * self.height];
        let mut crossings = vec![Vec::new(); self.height * LINES];
        for edge in shape.rings().flat_map(|it| it.edges()) {
            let (from, to) = (self.pixel_of(edge.from), self.pixel_of(edge.to));
            let (upper, lower) = if from.y < to.y { (from, to) } else { (to, from) };
            let line = |y: f64| (y * LINES as f64 - 0.5).ceil().clamp(0.0, crossings.len() as f64) as usize;
            let (first, last) = (line(upper.y), line(lower.y));
            for (index, crossings) in crossings.iter_mut().enumerate().take(last).skip(first) {
                let y = (index as f64 + 0.5) / LINES as f64;
                crossings.push(upper.x + (lower.x - upper.x) * (y - upper.y) / (lower.y - upper.y));
            }
        }
        for (index, crossings) in crossings.iter_mut().enumerate() {
            crossings.sort_by(f64::total_cmp);
            let start = index / LINES * self.width;
            let row = &mut values[start..start + self.width];
            crossings.chunks_exact(2).for_each(|pair| fill(row, pair[0], pair[1]));
        }
        Field::new(self.width, self.height, values)
    }

    /// Calls for every cell that a line passes, again and again.
    pub(crate) fn along(&self, line: &[Point], mut each: impl FnMut(usize)) {
        let (width, height) = (self.width as f64, self.height as f64);
        let ends = line.iter().zip(line.iter().skip(1).chain(line.last()));
        for (from, to) in ends {
            let Some((from, to)) = clipped(self.pixel_of(*from), self.pixel_of(*to), width, height) else {
                continue;
            };
            let steps = (from.distance(to) * 2.0).ceil().max(1.0);
            for step in 0..=steps as usize {
                let share = step as f64 / steps;
                let at = Pixel::new(from.x + (to.x - from.x) * share, from.y + (to.y - from.y) * share);
                let column = (at.x.max(0.0) as usize).min(self.width - 1);
                let row = (at.y.max(0.0) as usize).min(self.height - 1);
                each(row * self.width + column);
            }
        }
    }
}

/// Adds a stretch of a level line to a row of cells.
fn fill(row: &mut [f32], from: f64, to: f64) {
    let (from, to) = (from.clamp(0.0, row.len() as f64), to.clamp(0.0, row.len() as f64));
    let (first, last) = (from as usize, (to.ceil() as usize).min(row.len()));
    for (index, value) in row.iter_mut().enumerate().take(last).skip(first) {
        let covered = to.min(index as f64 + 1.0) - from.max(index as f64);
        *value += covered.max(0.0) as f32 / LINES as f32;
    }
}

/// The part of a line within a box from the origin (Liang, Barsky, "A new
/// concept and method for line clipping", 1984).
fn clipped(from: Pixel, to: Pixel, width: f64, height: f64) -> Option<(Pixel, Pixel)> {
    let (dx, dy) = (to.x - from.x, to.y - from.y);
    let (mut start, mut end) = (0.0_f64, 1.0_f64);
    for (toward, room) in [(-dx, from.x), (dx, width - from.x), (-dy, from.y), (dy, height - from.y)] {
        if toward == 0.0 && room < 0.0 {
            return None;
        }
        if toward < 0.0 {
            start = start.max(room / toward);
        } else if toward > 0.0 {
            end = end.min(room / toward);
        }
    }
    let at = |share: f64| Pixel::new(from.x + dx * share, from.y + dy * share);
    (start <= end).then(|| (at(start), at(end)))
}

/// The box around the parts of lines that lie within a box; `None` if none do.
pub(crate) fn bounds_within<'a>(lines: impl Iterator<Item = &'a [Point]>, within: Bounds) -> Option<Bounds> {
    let (width, height) = (within.width().to_mm(), within.height().to_mm());
    let low = within.low;
    let pixel = |at: Point| Pixel::new(at.x - low.x, at.y - low.y);
    let parts = lines.flat_map(|line| {
        let next = line.iter().skip(1).chain(line.last());
        line.iter().zip(next).map(|(from, to)| Segment { from: *from, to: *to })
    });
    let parts = parts.filter_map(|it| clipped(pixel(it.from), pixel(it.to), width, height));
    Bounds::around(parts.flat_map(|(a, b)| [a, b]).map(|it| Point::new(it.x + low.x, it.y + low.y)))
}

#[cfg(test)]
mod tests {
    use outline::Ring;

    use super::*;

    const GRID: Grid = Grid { left_top: Point::new(0.0, 20.0), cell: Length::mm(2.0), width: 10, height: 10 };

    #[test]
    fn a_shape_covers_its_area_and_not_its_opening() {
        let outer =
            Ring::new([(1.0, 3.0), (19.0, 3.0), (15.0, 19.0), (3.0, 16.0)].map(point).to_vec()).unwrap();
        let hole = Ring::new([(6.0, 6.0), (11.0, 6.0), (11.0, 10.0)].map(point).to_vec()).unwrap();
        let shape = Outline::new(outer, vec![hole]).unwrap();
        let sum: f32 = GRID.covered(&shape).values.iter().sum();
        assert!((f64::from(sum) * 4.0 - shape.area().to_mm2()).abs() < 0.5, "{sum} cells");
    }

    fn point((x, y): (f64, f64)) -> Point {
        Point::new(x, y)
    }

    #[test]
    fn a_line_from_far_outside_is_walked_only_on_the_grid() {
        let mut cells = Vec::new();
        GRID.along(&[point((-1e9, 11.0)), point((1e9, 11.0))], |at| cells.push(at));
        cells.dedup();
        assert_eq!(cells, (40..50).collect::<Vec<usize>>());
        let mut none = true;
        GRID.along(&[point((-5.0, 30.0)), point((40.0, 30.0))], |_| none = false);
        assert!(none, "a line beside the grid is walked");
    }
}
