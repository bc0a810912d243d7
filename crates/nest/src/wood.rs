//! The signed way to a wood's edge, exact at every spot and quick to ask.

use outline::{Outline, Point};

use crate::cells::{Laid, deepest};

/// A wood's outline in a grid: each cell knows the sides that can be nearest to
/// a spot in it.
pub(crate) struct Wood {
    low: [f64; 2],
    high_end: [f64; 2],
    cell: f64,
    wide: usize,
    high: usize,
    sides: Vec<[f64; 4]>,
    /// Where each cell's sides end in `near`.
    ends: Vec<usize>,
    near: Vec<u32>,
    /// The way from each cell's middle to the nearest edge, below zero outside
    /// the wood.
    ways: Vec<f64>,
    /// The sides as cells, some neighbours together: a crack can run in between
    /// a thing's corners.
    line: Vec<Laid>,
}

/// Cells along the longer side of the box around a wood.
const CELLS: f64 = 96.0;
/// Sides that lie one behind the other, looked at together.
const TOGETHER: usize = 12;
/// The grid reaches past the wood by this share of its size.
const PAST: f64 = 0.06;

impl Wood {
    pub(crate) fn new(outline: &Outline) -> Wood {
        let bounds = outline.bounds();
        let (width, height) = (bounds.width().to_mm(), bounds.height().to_mm());
        let past = PAST * width.max(height);
        let cell = (width.max(height) + 2.0 * past) / CELLS;
        let low = [bounds.low.x - past, bounds.low.y - past];
        let (wide, high) =
            (((width + 2.0 * past) / cell).ceil() as usize, ((height + 2.0 * past) / cell).ceil() as usize);
        let mut wood = Wood {
            low,
            high_end: [low[0] + wide as f64 * cell, low[1] + high as f64 * cell],
            cell,
            wide,
            high,
            sides: outline
                .rings()
                .flat_map(outline::Ring::edges)
                .map(|it| [it.from.x, it.from.y, it.to.x, it.to.y])
                .collect(),
            ends: Vec::with_capacity(wide * high),
            near: Vec::new(),
            ways: Vec::with_capacity(wide * high),
            line: Vec::new(),
        };
        wood.take_cells(outline);
        wood.line = wood.sides.chunks(TOGETHER).map(Laid::of_sides).collect();
        wood
    }

    fn middle(&self, index: usize) -> [f64; 2] {
        let (row, column) = ((index / self.wide) as f64, (index % self.wide) as f64);
        [self.low[0] + (column + 0.5) * self.cell, self.low[1] + (row + 0.5) * self.cell]
    }

    fn take_cells(&mut self, outline: &Outline) {
        let reach = self.cell * std::f64::consts::SQRT_2 * 1.01;
        for index in 0..self.wide * self.high {
            let middle = self.middle(index);
            let ways: Vec<f64> = self.sides.iter().map(|side| square_way(*side, middle).sqrt()).collect();
            let least = ways.iter().copied().fold(f64::INFINITY, f64::min);
            let near = ways.iter().enumerate().filter(|(_, way)| **way <= least + reach);
            self.near.extend(near.map(|(side, _)| side as u32));
            self.ends.push(self.near.len());
            let inside = outline.contains(Point::new(middle[0], middle[1]));
            self.ways.push(if inside { least } else { -least });
        }
    }

    fn column(&self, x: f64) -> usize {
        (((x - self.low[0]) / self.cell).max(0.0) as usize).min(self.wide - 1)
    }

    fn row(&self, y: f64) -> usize {
        (((y - self.low[1]) / self.cell).max(0.0) as usize).min(self.high - 1)
    }

    fn cell_at(&self, spot: [f64; 2]) -> usize {
        self.row(spot[1]) * self.wide + self.column(spot[0])
    }

    /// The way from a spot to the nearest edge, below zero outside the wood.
    pub(crate) fn way(&self, spot: [f64; 2]) -> f64 {
        let held = [0, 1].map(|axis| spot[axis].clamp(self.low[axis], self.high_end[axis]));
        let off = (spot[0] - held[0]).hypot(spot[1] - held[1]);
        let index = self.cell_at(held);
        let start = if index == 0 { 0 } else { self.ends[index - 1] };
        let middle = self.middle(index);
        let (mut least, mut inside) = (f64::INFINITY, self.ways[index] > 0.0);
        for &side in &self.near[start..self.ends[index]] {
            let side = self.sides[side as usize];
            least = least.min(square_way(side, held));
            inside ^= crosses(side, middle, held);
        }
        if inside { least.sqrt() - off } else { -least.sqrt() - off }
    }

    /// A spot on the wood's line, this share of all its sides along, and the way
    /// that the side runs there, in radians.
    pub(crate) fn spot_on_edge(&self, share: f64) -> ([f64; 2], f64) {
        let length = |it: &[f64; 4]| (it[2] - it[0]).hypot(it[3] - it[1]);
        let mut left = share * self.sides.iter().map(length).sum::<f64>();
        let found = self.sides.iter().find(|it| {
            left -= length(it);
            left <= 0.0
        });
        let [ax, ay, bx, by] = *found.unwrap_or(&self.sides[0]);
        let back = (-left / length(&[ax, ay, bx, by]).max(1e-9)).clamp(0.0, 1.0);
        ([bx - back * (bx - ax), by - back * (by - ay)], (by - ay).atan2(bx - ax))
    }

    /// No less and no more than the way from a spot to the nearest edge: the way
    /// from its cell's middle, give or take that between the two.
    fn way_about(&self, spot: [f64; 2]) -> (f64, f64) {
        let index = self.cell_at(spot);
        let middle = self.middle(index);
        let off = (spot[0] - middle[0]).abs() + (spot[1] - middle[1]).abs();
        (self.ways[index] - off, self.ways[index] + off)
    }

    /// How far a thing with these corners is from lying in the wood, `edge` away
    /// from its line: the most that is missing anywhere; zero if nothing is.
    pub(crate) fn short(&self, corners: &[[f64; 2]], laid: &Laid, edge: f64, enough: f64) -> f64 {
        let (middle, reach) = laid.around.disc();
        if self.way_about(middle).0 - reach >= edge {
            return 0.0;
        }
        let mut short = 0.0_f64;
        for &corner in corners {
            let (least, most) = self.way_about(corner);
            // Most corners lie so deep in the wood, or so far out, that their cell tells enough.
            if edge - most > enough {
                return edge - most;
            }
            if edge - least > short {
                short = short.max(edge - self.way(corner));
            }
            if short > enough {
                return short;
            }
        }
        for line in &self.line {
            short = short.max(deepest(laid, line, edge, enough));
            if short > enough {
                return short;
            }
        }
        short
    }
}

fn square_way([ax, ay, bx, by]: [f64; 4], [x, y]: [f64; 2]) -> f64 {
    let (dx, dy) = (bx - ax, by - ay);
    let (px, py) = (x - ax, y - ay);
    let share = ((px * dx + py * dy) / (dx * dx + dy * dy)).clamp(0.0, 1.0);
    (px - share * dx).powi(2) + (py - share * dy).powi(2)
}

/// Whether a side lies between two spots; an end on the line counts for one of
/// two sides that meet there.
fn crosses([ax, ay, bx, by]: [f64; 4], from: [f64; 2], to: [f64; 2]) -> bool {
    let (dx, dy) = (to[0] - from[0], to[1] - from[1]);
    let left = |x: f64, y: f64| dx * (y - from[1]) - dy * (x - from[0]) >= 0.0;
    if left(ax, ay) == left(bx, by) {
        return false;
    }
    let (ex, ey) = (bx - ax, by - ay);
    let side = |spot: [f64; 2]| ex * (spot[1] - ay) - ey * (spot[0] - ax) >= 0.0;
    side(from) != side(to)
}

#[cfg(test)]
mod tests {
    use super::*;
    use outline::Ring;
    use rand::{RngExt, SeedableRng};
    use rand_pcg::Pcg64Mcg;

    fn slab() -> Outline {
        let edge = |it: i32| {
            let turn = f64::from(it) * std::f64::consts::TAU / 90.0;
            let reach = 1.0 + 0.07 * (turn * 11.0).sin() + 0.04 * (turn * 23.0).cos();
            Point::new(500.0 * reach * turn.cos(), 240.0 * reach * turn.sin())
        };
        let hole = [(-20.0, -60.0), (-10.0, -60.0), (-10.0, 70.0), (-20.0, 70.0)];
        let hole = Ring::new(hole.map(|(x, y)| Point::new(x, y)).to_vec()).unwrap();
        Outline::new(Ring::new((0..90).map(edge).collect()).unwrap(), vec![hole]).unwrap()
    }

    #[test]
    fn the_way_to_the_edge_is_the_true_one_everywhere() {
        let outline = slab();
        let wood = Wood::new(&outline);
        let mut rng = Pcg64Mcg::seed_from_u64(3);
        for _ in 0..5000 {
            let spot = [rng.random_range(-560.0..560.0), rng.random_range(-290.0..290.0)];
            let at = Point::new(spot[0], spot[1]);
            let way = outline.to_line(at).to_mm();
            let way = if outline.contains(at) { way } else { -way };
            assert!((wood.way(spot) - way).abs() < 1e-6, "{} for {way} at {spot:?}", wood.way(spot));
            let (least, most) = wood.way_about(spot);
            assert!((least..=most).contains(&way), "{least} to {most} for {way} at {spot:?}");
        }
    }

    #[test]
    fn a_slit_between_the_corners_of_a_thing_is_seen() {
        let wood = Wood::new(&slab());
        let short = |x: f64| {
            let corners = [(x - 80.0, -10.0), (x + 80.0, -10.0), (x + 80.0, 10.0), (x - 80.0, 10.0)];
            let ring = Ring::new(corners.map(|(x, y)| Point::new(x, y)).to_vec()).unwrap();
            wood.short(&corners.map(|(x, y)| [x, y]), &Laid::of(&Outline::from(ring)), 4.0, f64::INFINITY)
        };
        assert!(short(-15.0) > 14.0, "the slit is crossed: {}", short(-15.0));
        assert_eq!(short(100.0), 0.0);
        assert!((short(73.0) - 1.0).abs() < 1e-3, "3 mm beside it, of 4: {}", short(73.0));
    }
}
