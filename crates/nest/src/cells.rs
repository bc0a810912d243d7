//! A shape cut into convex cells: what overlap is measured on.

use earcut::Earcut;
use outline::{Bounds, Outline, Point};

/// The convex cells of a shape, anti-clockwise, that together cover just it.
///
/// Triangles by ear clipping (Meisters 1975), joined across every side that is
/// not needed (Hertel and Mehlhorn 1983): at most four times as many as needed.
pub(crate) fn cells(outline: &Outline) -> Vec<Vec<Point>> {
    let corners: Vec<Point> = outline.rings().flat_map(|ring| ring.corners().iter().copied()).collect();
    let mut holes = Vec::new();
    let mut start = outline.outer().corners().len() as u32;
    for opening in outline.openings() {
        holes.push(start);
        start += opening.corners().len() as u32;
    }
    let mut found: Vec<u32> = Vec::new();
    Earcut::new().earcut(corners.iter().map(|it| [it.x, it.y]), &holes, &mut found);
    let triangles = found.as_chunks::<3>().0.iter().map(|it| it.map(|index| index as usize));
    let mut cells: Vec<Vec<usize>> = triangles
        .map(|[a, b, c]| match turn(corners[a], corners[b], corners[c]) > 0.0 {
            true => vec![a, b, c],
            false => vec![a, c, b],
        })
        .filter(|it| turn(corners[it[0]], corners[it[1]], corners[it[2]]) > 0.0)
        .collect();
    join(&mut cells, &corners);
    cells.into_iter().map(|cell| cell.into_iter().map(|it| corners[it]).collect()).collect()
}

/// Joins cells that share a side as long as what comes of it is convex; the
/// longest sides go first, so that cells become round rather than thin.
fn join(cells: &mut Vec<Vec<usize>>, corners: &[Point]) {
    let length = |a: usize, b: usize| (corners[a].x - corners[b].x).hypot(corners[a].y - corners[b].y);
    let mut sides: Vec<(usize, usize)> = cells
        .iter()
        .flat_map(|cell| (0..cell.len()).map(move |it| (cell[it], cell[(it + 1) % cell.len()])))
        .filter(|(a, b)| a < b)
        .collect();
    sides.sort_by(|one, other| length(other.0, other.1).total_cmp(&length(one.0, one.1)));
    for (a, b) in sides {
        let with = |from: usize, to: usize| {
            move |cell: &Vec<usize>| {
                (0..cell.len()).any(|it| cell[it] == from && cell[(it + 1) % cell.len()] == to)
            }
        };
        let (Some(one), Some(other)) = (cells.iter().position(with(a, b)), cells.iter().position(with(b, a)))
        else {
            continue;
        };
        if let Some(joined) = joined(&cells[one], &cells[other], a, b, corners) {
            cells[one] = joined;
            cells.swap_remove(other);
        }
    }
}

/// Two cells as one, if it is convex: the one has a side from `a` to `b`, the
/// other from `b` to `a`.
fn joined(one: &[usize], other: &[usize], a: usize, b: usize, corners: &[Point]) -> Option<Vec<usize>> {
    let around = |cell: &[usize], first: usize| -> Option<Vec<usize>> {
        let start = cell.iter().position(|&it| it == first)?;
        Some(cell[start..].iter().chain(&cell[..start]).copied().collect())
    };
    // b … a of the one, then what the other has between a and b.
    let mut ring = around(one, b)?;
    let tail = around(other, a)?;
    ring.extend(tail[1..].iter().filter(|&&it| it != b));
    let count = ring.len();
    let corner = |it: usize| corners[ring[it % count]];
    let convex = (0..count).all(|it| turn(corner(it), corner(it + 1), corner(it + 2)) >= -1e-9);
    convex.then_some(ring)
}

/// Twice the area of a triangle, above zero where it goes anti-clockwise.
fn turn(a: Point, b: Point, c: Point) -> f64 {
    (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x)
}

/// Convex cells where they lie, all of one thing, side after side in one row:
/// what the search asks thousands of times a second. In single precision, which
/// tells ten-thousandths of a millimetre on a slab of some metres.
#[derive(Clone, Debug, Default)]
pub(crate) struct Laid {
    // Invariant: all five are of one length, a side's start, its outward normal,
    // and how far it lies along that. Each cell's sides are filled up to whole
    // lanes by repeating the last.
    x: Vec<f32>,
    y: Vec<f32>,
    normal_x: Vec<f32>,
    normal_y: Vec<f32>,
    along: Vec<f32>,
    cells: Vec<Cell>,
    /// Around all cells.
    pub(crate) around: Box2,
}

/// One convex cell of a thing.
#[derive(Clone, Copy, Debug)]
struct Cell {
    start: usize,
    /// After its last side, and after what fills up its lanes.
    sides: usize,
    end: usize,
    around: Box2,
}

/// Sides that are looked at together.
const LANES: usize = 4;

/// An upright box.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Box2 {
    pub(crate) low: [f32; 2],
    pub(crate) high: [f32; 2],
}

impl Default for Box2 {
    fn default() -> Box2 {
        Box2 { low: [f32::INFINITY; 2], high: [f32::NEG_INFINITY; 2] }
    }
}

impl Box2 {
    fn take(&mut self, x: f32, y: f32) {
        self.low = [less(self.low[0], x), less(self.low[1], y)];
        self.high = [more(self.high[0], x), more(self.high[1], y)];
    }

    /// The middle of the disc around it, and its radius.
    pub(crate) fn disc(&self) -> ([f64; 2], f64) {
        let half = |axis: usize| f64::from(self.high[axis] - self.low[axis]) / 2.0;
        let middle = [0, 1].map(|axis| f64::from(self.low[axis]) + half(axis));
        (middle, half(0).hypot(half(1)))
    }

    /// Whether two boxes are nearer to each other than `gap` along both axes.
    fn is_near(&self, other: &Box2, gap: f32) -> bool {
        (self.low[0] < other.high[0] + gap)
            & (other.low[0] < self.high[0] + gap)
            & (self.low[1] < other.high[1] + gap)
            & (other.low[1] < self.high[1] + gap)
    }
}

/// The lesser of two numbers; unlike `min`, one instruction.
fn less(one: f32, other: f32) -> f32 {
    if one < other { one } else { other }
}

fn more(one: f32, other: f32) -> f32 {
    if one > other { one } else { other }
}

impl From<Bounds> for Box2 {
    fn from(it: Bounds) -> Box2 {
        Box2 { low: [it.low.x as f32, it.low.y as f32], high: [it.high.x as f32, it.high.y as f32] }
    }
}

impl Laid {
    /// Cells of a shape in its own drawing.
    pub(crate) fn of(outline: &Outline) -> Laid {
        Laid::of_all(std::slice::from_ref(outline))
    }

    /// Cells of a few shapes that are one thing.
    pub(crate) fn of_all(outlines: &[Outline]) -> Laid {
        let mut laid = Laid::default();
        outlines.iter().flat_map(cells).for_each(|cell| laid.take(&cell));
        laid
    }

    /// Sides of a line, each a cell of no width.
    pub(crate) fn of_sides(sides: &[[f64; 4]]) -> Laid {
        let mut laid = Laid::default();
        for [ax, ay, bx, by] in sides {
            laid.take(&[Point::new(*ax, *ay), Point::new(*bx, *by)]);
        }
        laid
    }

    fn take(&mut self, cell: &[Point]) {
        let mut around = Box2::default();
        let start = self.x.len();
        for (index, from) in cell.iter().enumerate() {
            let to = cell[(index + 1) % cell.len()];
            let (dx, dy) = (to.x - from.x, to.y - from.y);
            let length = dx.hypot(dy);
            if length == 0.0 {
                continue;
            }
            let normal = [dy / length, -dx / length];
            self.x.push(from.x as f32);
            self.y.push(from.y as f32);
            self.normal_x.push(normal[0] as f32);
            self.normal_y.push(normal[1] as f32);
            self.along.push((normal[0] * from.x + normal[1] * from.y) as f32);
            around.take(from.x as f32, from.y as f32);
        }
        let sides = self.x.len();
        if sides == start {
            return;
        }
        let end = start + (sides - start).next_multiple_of(LANES);
        for row in [&mut self.x, &mut self.y, &mut self.normal_x, &mut self.normal_y, &mut self.along] {
            row.resize(end, row[sides - 1]);
        }
        self.cells.push(Cell { start, sides, end, around });
        self.around.take(around.low[0], around.low[1]);
        self.around.take(around.high[0], around.high[1]);
    }

    /// Lays the cells of `drawing` at a place: turned by a cosine and sine,
    /// mirrored before that if told to, and moved.
    pub(crate) fn lay(&mut self, drawing: &Laid, (cos, sin): (f64, f64), mirrored: bool, at: [f64; 2]) {
        let flip = if mirrored { -1.0 } else { 1.0 };
        let (cos, sin, dx, dy) = (cos as f32, sin as f32, at[0] as f32, at[1] as f32);
        let sides = drawing.x.len();
        for row in [&mut self.x, &mut self.y, &mut self.normal_x, &mut self.normal_y, &mut self.along] {
            row.resize(sides, 0.0);
        }
        turned(&mut self.x, &mut self.y, &drawing.x, &drawing.y, (cos, sin, flip), (dx, dy));
        turned(
            &mut self.normal_x,
            &mut self.normal_y,
            &drawing.normal_x,
            &drawing.normal_y,
            (cos, sin, flip),
            (0.0, 0.0),
        );
        let normals = self.normal_x.iter().zip(&self.normal_y);
        for ((along, drawn), (x, y)) in self.along.iter_mut().zip(&drawing.along).zip(normals) {
            *along = drawn + x * dx + y * dy;
        }
        self.cells.clone_from(&drawing.cells);
        self.around = Box2::default();
        for cell in &mut self.cells {
            let mut around = Box2::default();
            for (x, y) in self.x[cell.start..cell.sides].iter().zip(&self.y[cell.start..cell.sides]) {
                around.take(*x, *y);
            }
            cell.around = around;
            self.around.take(around.low[0], around.low[1]);
            self.around.take(around.high[0], around.high[1]);
        }
    }

    /// The square of the way from a spot to a cell's line.
    fn square_way(&self, cell: &Cell, x: f32, y: f32) -> f32 {
        let mut least = f32::INFINITY;
        for it in cell.start..cell.sides {
            let next = if it + 1 == cell.sides { cell.start } else { it + 1 };
            let (dx, dy) = (self.x[next] - self.x[it], self.y[next] - self.y[it]);
            let (px, py) = (x - self.x[it], y - self.y[it]);
            let share = ((px * dx + py * dy) / (dx * dx + dy * dy)).clamp(0.0, 1.0);
            least = less(least, (px - share * dx).powi(2) + (py - share * dy).powi(2));
        }
        least
    }
}

/// Turns and moves a row of spots.
fn turned(
    to_x: &mut [f32],
    to_y: &mut [f32],
    x: &[f32],
    y: &[f32],
    (cos, sin, flip): (f32, f32, f32),
    (dx, dy): (f32, f32),
) {
    for (((to_x, to_y), x), y) in to_x.iter_mut().zip(to_y).zip(x).zip(y) {
        let x = x * flip;
        *to_x = cos * x - sin * y + dx;
        *to_y = sin * x + cos * y + dy;
    }
}

/// How deep two things lie in each other, gap included: the sum over their
/// cells; zero just where every way between them is at least `gap` long. Stops
/// summing beyond `enough`.
pub(crate) fn depth(one: &Laid, other: &Laid, gap: f64, enough: f64) -> f64 {
    over_cells(one, other, gap, enough, |sum, deep| sum + deep)
}

/// The same for the two cells that lie deepest in each other.
pub(crate) fn deepest(one: &Laid, other: &Laid, gap: f64, enough: f64) -> f64 {
    over_cells(one, other, gap, enough, more)
}

fn over_cells(one: &Laid, other: &Laid, gap: f64, enough: f64, fold: impl Fn(f32, f32) -> f32) -> f64 {
    let (gap, enough) = (gap as f32, enough as f32);
    if !one.around.is_near(&other.around, gap) {
        return 0.0;
    }
    let mut all = 0.0;
    for a in &one.cells {
        if !a.around.is_near(&other.around, gap) {
            continue;
        }
        for b in &other.cells {
            if a.around.is_near(&b.around, gap) {
                all = fold(all, cell_depth(one, a, other, b, gap));
                if all > enough {
                    return f64::from(all);
                }
            }
        }
    }
    f64::from(all)
}

/// How far one of two convex cells has to move for a gap between them, by the
/// separating axis theorem.
fn cell_depth(one: &Laid, a: &Cell, other: &Laid, b: &Cell, gap: f32) -> f32 {
    let first = clearance(one, a, other, b);
    if first >= gap {
        return 0.0;
    }
    let second = clearance(other, b, one, a);
    if second >= gap {
        return 0.0;
    }
    let apart = more(first, second);
    // Corner against corner, the way is longer than any side's normal tells.
    if apart > 0.0 {
        return (gap - way(one, a, other, b)).max(0.0);
    }
    gap - apart
}

/// The widest clearance that a side of one cell keeps from the other cell.
fn clearance(one: &Laid, a: &Cell, other: &Laid, b: &Cell) -> f32 {
    let (xs, ys) = (&other.x[b.start..b.sides], &other.y[b.start..b.sides]);
    let nx = one.normal_x[a.start..a.end].as_chunks::<LANES>().0;
    let ny = one.normal_y[a.start..a.end].as_chunks::<LANES>().0;
    let along = one.along[a.start..a.end].as_chunks::<LANES>().0;
    let mut widest = [f32::NEG_INFINITY; LANES];
    for ((nx, ny), along) in nx.iter().zip(ny).zip(along) {
        let mut nearest = [f32::INFINITY; LANES];
        for (x, y) in xs.iter().zip(ys) {
            for lane in 0..LANES {
                nearest[lane] = less(nx[lane] * x + ny[lane] * y, nearest[lane]);
            }
        }
        for lane in 0..LANES {
            widest[lane] = more(nearest[lane] - along[lane], widest[lane]);
        }
    }
    more(more(widest[0], widest[1]), more(widest[2], widest[3]))
}

/// The way between two convex cells that do not touch.
fn way(one: &Laid, a: &Cell, other: &Laid, b: &Cell) -> f32 {
    let from = |one: &Laid, a: &Cell, other: &Laid, b: &Cell| {
        let ways = (b.start..b.sides).map(|it| one.square_way(a, other.x[it], other.y[it]));
        ways.fold(f32::INFINITY, less)
    };
    less(from(one, a, other, b), from(other, b, one, a)).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;
    use measure::{Angle, Length};
    use outline::{Place, Ring};
    use rand::{RngExt, SeedableRng};
    use rand_pcg::Pcg64Mcg;

    fn star(rng: &mut Pcg64Mcg, corners: usize) -> Outline {
        let spot = |it: usize| {
            let (turn, reach) =
                (it as f64 * std::f64::consts::TAU / corners as f64, rng.random_range(20.0..60.0));
            Point::new(reach * turn.cos(), reach * turn.sin())
        };
        Outline::from(Ring::new((0..corners).map(spot).collect()).unwrap())
    }

    fn laid(outline: &Outline, place: Place) -> Laid {
        let mut laid = Laid::default();
        let at = [place.at.x, place.at.y];
        laid.lay(&Laid::of(outline), (place.turn.cos(), place.turn.sin()), place.mirrored, at);
        laid
    }

    #[test]
    fn cells_are_convex_and_cover_the_shape_and_no_more() {
        let mut rng = Pcg64Mcg::seed_from_u64(5);
        for corners in 3..40 {
            let outline = star(&mut rng, corners);
            let cells = cells(&outline);
            let area: f64 =
                cells.iter().map(|it| Ring::new(it.clone()).map_or(0.0, |ring| ring.area().to_mm2())).sum();
            assert!((area - outline.area().to_mm2()).abs() < 1e-6, "{corners} corners");
            for cell in &cells {
                let corner = |it: usize| cell[it % cell.len()];
                assert!((0..cell.len()).all(|it| turn(corner(it), corner(it + 1), corner(it + 2)) > -1e-6));
            }
        }
    }

    #[test]
    fn an_opening_is_no_part_of_any_cell() {
        let square = |low: f64, high: f64| {
            let corners = [(low, low), (high, low), (high, high), (low, high)];
            Ring::new(corners.map(|(x, y)| Point::new(x, y)).to_vec()).unwrap()
        };
        let frame = Outline::new(square(0.0, 100.0), vec![square(20.0, 80.0)]).unwrap();
        let small = Outline::from(square(0.0, 56.0));
        let at = |x: f64, y: f64| Place { at: Point::new(x, y), ..Place::default() };
        let frame = laid(&frame, at(0.0, 0.0));
        assert_eq!(depth(&frame, &laid(&small, at(22.0, 22.0)), 1.99, f64::INFINITY), 0.0);
        assert!(depth(&frame, &laid(&small, at(22.0, 22.0)), 2.01, f64::INFINITY) > 0.0);
    }

    /// The exact ways between outlines, of another crate, as the truth.
    #[test]
    fn things_are_deep_in_each_other_just_where_they_are_nearer_than_the_gap() {
        let mut rng = Pcg64Mcg::seed_from_u64(8);
        for round in 0..2000 {
            let (one, other) = (star(&mut rng, 9), star(&mut rng, 7));
            let place = Place {
                at: Point::new(rng.random_range(20.0..90.0), rng.random_range(20.0..90.0)),
                turn: Angle::radians(rng.random_range(0.0..6.3)),
                mirrored: rng.random_bool(0.5),
            };
            let gap = rng.random_range(0.0..6.0);
            let way = one.distance(&place.outline(&other)).to_mm();
            let deep = depth(&laid(&one, Place::default()), &laid(&other, place), gap, f64::INFINITY);
            if (way - gap).abs() > 1e-3 || way == 0.0 {
                assert_eq!(deep > 0.0, way < gap, "round {round}: {way} apart for {gap}, {deep} deep");
            }
            if way > 0.0 && way < gap - 1e-3 {
                assert!(deep >= gap - way - 1e-3, "round {round}");
            }
        }
    }

    #[test]
    fn squares_that_overlap_are_as_deep_as_the_shorter_way_out() {
        let square = Outline::from(Ring::rectangle(Length::mm(50.0), Length::mm(50.0)).unwrap());
        let at = |x: f64, y: f64| laid(&square, Place { at: Point::new(x, y), ..Place::default() });
        let deep = depth(&at(0.0, 0.0), &at(40.0, 20.0), 3.0, f64::INFINITY);
        assert!((deep - 13.0).abs() < 1e-4, "10 mm out and 3 mm of gap, not {deep}");
    }
}
