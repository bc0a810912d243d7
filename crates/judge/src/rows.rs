//! Wood on scan lines: what hangs together, what it covers, where it reaches.
//!
//! Each row is a line across the face; along it the wood is known exactly, from
//! row to row it is not. The rows lie closer than half a kerf, so a kerf always
//! parts what lies on its two sides. A splinter between two rows is not seen: it
//! is taken to break away.

use outline::{Bounds, Outline, Point, Ring};

use crate::flat::{Heading, hull, moved};

/// Where the rows lie.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Ruled {
    /// The height of the lower edge of row 0, millimetres.
    low: f64,
    /// From row to row, millimetres.
    pub(crate) pitch: f64,
    count: usize,
}

/// A stretch of wood on one row, from left to right, in millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Span {
    pub(crate) from: f64,
    pub(crate) to: f64,
}

/// Wood on every row.
#[derive(Clone, Debug)]
pub(crate) struct Rows {
    pub(crate) ruled: Ruled,
    /// The number of the first row that is kept.
    first: usize,
    // Invariant: the spans of a row are in order and do not touch.
    rows: Vec<Vec<Span>>,
}

/// Anything shorter on a row is dust, in millimetres.
const DUST: f64 = 0.05;

impl Ruled {
    pub(crate) fn over(area: Bounds, pitch: f64) -> Ruled {
        let height = area.height().to_mm();
        let count = (height / pitch).ceil().max(1.0);
        Ruled { low: area.low.y, pitch: height / count, count: count as usize }
    }

    pub(crate) fn height(self, row: usize) -> f64 {
        self.low + (row as f64 + 0.5) * self.pitch
    }

    /// The first row above one height and the last below another.
    fn between(self, low: f64, high: f64) -> (i64, i64) {
        let row = |y: f64| (y - self.low) / self.pitch - 0.5;
        (row(low).ceil() as i64, row(high).floor() as i64)
    }
}

impl Rows {
    /// The wood of an outline, or of a part with its openings filled.
    pub(crate) fn of<'a>(ruled: Ruled, rings: impl Iterator<Item = &'a Ring>) -> Rows {
        let mut crossings: Vec<Vec<f64>> = vec![Vec::new(); ruled.count];
        for edge in rings.flat_map(Ring::edges) {
            let area = edge.bounds();
            let (first, last) = ruled.between(area.low.y, area.high.y);
            for row in first.max(0)..=last.min(ruled.count as i64 - 1) {
                let y = ruled.height(row as usize);
                if (edge.from.y > y) != (edge.to.y > y) {
                    let share = (y - edge.from.y) / (edge.to.y - edge.from.y);
                    crossings[row as usize].push(edge.from.x + (edge.to.x - edge.from.x) * share);
                }
            }
        }
        let row = |mut xs: Vec<f64>| {
            xs.sort_by(f64::total_cmp);
            xs.chunks_exact(2).map(|it| Span { from: it[0], to: it[1] }).filter(Span::is_wood).collect()
        };
        Rows { ruled, first: 0, rows: crossings.into_iter().map(row).collect() }
    }

    pub(crate) fn wood(ruled: Ruled, wood: &Outline) -> Rows {
        Rows::of(ruled, wood.rings())
    }

    /// How many rows it has.
    pub(crate) fn count(&self) -> usize {
        self.rows.len()
    }

    /// The rows that hold wood, by number.
    pub(crate) fn each(&self) -> impl Iterator<Item = (usize, &[Span])> + '_ {
        (self.first..).zip(self.rows.iter().map(Vec::as_slice))
    }

    pub(crate) fn row(&self, number: usize) -> &[Span] {
        number.checked_sub(self.first).and_then(|it| self.rows.get(it)).map_or(&[], Vec::as_slice)
    }

    fn at(&self, number: i64) -> &[Span] {
        usize::try_from(number).map_or(&[], |it| self.row(it))
    }

    /// Whether there is wood at a place that no cut and no hole has taken: on
    /// the rows next to it, no farther off than from row to row, which is less
    /// than a kerf.
    pub(crate) fn have(&self, it: Point) -> bool {
        let row = (it.y - self.ruled.low) / self.ruled.pitch - 0.5;
        let near = |span: &Span| span.from <= it.x + self.ruled.pitch && span.to >= it.x - self.ruled.pitch;
        let below = row.floor() as i64;
        self.at(below).iter().any(near) || self.at(below + 1).iter().any(near)
    }

    /// Whether a place lies on a span, up or down to the nearest row.
    pub(crate) fn cover(&self, it: Point) -> bool {
        let row = ((it.y - self.ruled.low) / self.ruled.pitch).floor() as i64;
        self.at(row).iter().any(|span| span.from <= it.x && it.x <= span.to)
    }

    /// Takes a convex shape away.
    pub(crate) fn take(&mut self, shape: &[Point]) {
        let height = |pick: fn(f64, f64) -> f64, so_far: f64| shape.iter().map(|it| it.y).fold(so_far, pick);
        let (first, last) =
            self.ruled.between(height(f64::min, f64::INFINITY), height(f64::max, f64::NEG_INFINITY));
        self.take_rows(first, last, |y| across(shape, y));
    }

    /// Takes a disc away.
    pub(crate) fn take_disc(&mut self, middle: Point, radius: f64) {
        let (first, last) = self.ruled.between(middle.y - radius, middle.y + radius);
        self.take_rows(first, last, |y| {
            let half = (radius * radius - (y - middle.y) * (y - middle.y)).max(0.0).sqrt();
            Some(Span { from: middle.x - half, to: middle.x + half })
        });
    }

    fn take_rows(&mut self, first: i64, last: i64, span: impl Fn(f64) -> Option<Span>) {
        let own = self.first as i64;
        for row in first.max(own)..=last.min(own + self.rows.len() as i64 - 1) {
            let Some(gone) = span(self.ruled.height(row as usize)) else { continue };
            let spans = &mut self.rows[(row - own) as usize];
            if spans.iter().any(|it| it.from < gone.to && gone.from < it.to) {
                let left = spans.iter().flat_map(|it| it.minus(gone)).filter(Span::is_wood);
                *spans = left.collect();
            }
        }
    }

    /// How much of a convex shape is wood, along the row where that is most.
    pub(crate) fn most_of(&self, shape: &[Point]) -> f64 {
        self.each()
            .filter_map(|(row, spans)| Some((spans, across(shape, self.ruled.height(row))?)))
            .map(|(spans, found)| spans.iter().map(|it| it.common(found)).sum())
            .fold(0.0, f64::max)
    }

    /// The area that both have.
    pub(crate) fn common(&self, other: &Rows) -> f64 {
        let both = self.each().flat_map(|(row, spans)| {
            spans.iter().flat_map(move |a| other.row(row).iter().map(move |b| a.common(*b)))
        });
        both.sum::<f64>() * self.ruled.pitch
    }

    /// What lies here and not there, row by row.
    pub(crate) fn outside(&self, other: &Rows) -> Vec<(usize, Span)> {
        let mut found = Vec::new();
        for (row, spans) in self.each() {
            for &span in spans {
                let mut left = vec![span];
                for &gone in other.row(row) {
                    left = left.iter().flat_map(|it| it.minus(gone)).collect();
                }
                found.extend(left.into_iter().map(|it| (row, it)));
            }
        }
        found
    }

    /// Square millimetres.
    pub(crate) fn area(&self) -> f64 {
        self.rows.iter().flatten().map(|it| it.to - it.from).sum::<f64>() * self.ruled.pitch
    }

    /// The balance point; the origin of nothing.
    pub(crate) fn middle(&self) -> Point {
        let (mut x, mut y, mut long) = (0.0, 0.0, 0.0);
        for (row, spans) in self.each() {
            for span in spans {
                let it = span.to - span.from;
                x += it * (span.from + span.to) / 2.0;
                y += it * self.ruled.height(row);
                long += it;
            }
        }
        if long > 0.0 { Point::new(x / long, y / long) } else { Point::default() }
    }

    /// The convex line round it; at a slant up to half a row too far out.
    pub(crate) fn hull(&self) -> Vec<Point> {
        let half = self.ruled.pitch / 2.0;
        let mut points = Vec::new();
        for (row, spans) in self.each() {
            if let (Some(first), Some(last)) = (spans.first(), spans.last()) {
                let y = self.ruled.height(row);
                points.extend([first.from, last.to].map(|x| Point::new(x, y - half)));
                points.extend([first.from, last.to].map(|x| Point::new(x, y + half)));
            }
        }
        hull(points)
    }

    /// What hangs together, as pieces of its own.
    pub(crate) fn pieces(&self) -> Vec<Rows> {
        let starts: Vec<usize> = self
            .rows
            .iter()
            .scan(0, |sum, row| {
                let start = *sum;
                *sum += row.len();
                Some(start)
            })
            .collect();
        let mut joins = Joins((0..self.rows.iter().map(Vec::len).sum()).collect());
        for (index, pair) in self.rows.windows(2).enumerate() {
            joins.join_rows((&pair[0], starts[index]), (&pair[1], starts[index + 1]));
        }
        let mut pieces: Vec<Rows> = Vec::new();
        let mut number_of = vec![usize::MAX; joins.0.len()];
        for (index, row) in self.rows.iter().enumerate() {
            for (offset, &span) in row.iter().enumerate() {
                let root = joins.root(starts[index] + offset);
                if number_of[root] == usize::MAX {
                    number_of[root] = pieces.len();
                    pieces.push(Rows { ruled: self.ruled, first: self.first + index, rows: Vec::new() });
                }
                let piece = &mut pieces[number_of[root]];
                piece.rows.resize(self.first + index - piece.first + 1, Vec::new());
                if let Some(last) = piece.rows.last_mut() {
                    last.push(span);
                }
            }
        }
        pieces
    }

    /// What is not wood, in a box a little larger.
    pub(crate) fn around(&self, margin: f64) -> Rows {
        let hull = self.hull();
        let x = |pick: fn(f64, f64) -> f64, from: f64| hull.iter().map(|it| it.x).fold(from, pick);
        let (low, high) = (x(f64::min, f64::INFINITY) - margin, x(f64::max, f64::NEG_INFINITY) + margin);
        let extra = (margin / self.ruled.pitch).ceil() as usize;
        let ruled = Ruled { low: self.ruled.low - extra as f64 * self.ruled.pitch, ..self.ruled };
        let count = self.rows.len() + 2 * extra;
        let whole = vec![vec![Span { from: low, to: high }]; count];
        let mut free = Rows { ruled: Ruled { count, ..ruled }, first: self.first, rows: whole };
        for (index, row) in self.rows.iter().enumerate() {
            let spans = &mut free.rows[index + extra];
            for &gone in row {
                *spans = spans.iter().flat_map(|it| it.minus(gone)).collect();
            }
        }
        free
    }

    /// What a disc of this radius, in millimetres, can have its middle in.
    pub(crate) fn narrowed(&self, by: f64) -> Rows {
        let reach = (by / self.ruled.pitch).floor() as i64;
        let widths: Vec<f64> = (-reach..=reach)
            .map(|it| (by * by - (it as f64 * self.ruled.pitch).powi(2)).max(0.0).sqrt())
            .collect();
        let rows = self.each().map(|(number, spans)| {
            let mut left = spans.to_vec();
            for (offset, half) in (-reach..=reach).zip(&widths) {
                let near = self.at(number as i64 + offset);
                let fits = near.iter().map(|it| Span { from: it.from + half, to: it.to - half });
                let fits: Vec<Span> = fits.filter(Span::is_wood).collect();
                left = left
                    .iter()
                    .flat_map(|a| {
                        fits.iter().map(move |b| Span { from: a.from.max(b.from), to: a.to.min(b.to) })
                    })
                    .filter(Span::is_wood)
                    .collect();
            }
            left
        });
        Rows { ruled: self.ruled, first: self.first, rows: rows.collect() }
    }
}

impl Span {
    fn is_wood(&self) -> bool {
        self.to - self.from > DUST
    }

    pub(crate) fn long(self) -> f64 {
        self.to - self.from
    }

    /// How long the stretch is that both have.
    pub(crate) fn common(self, other: Span) -> f64 {
        (self.to.min(other.to) - self.from.max(other.from)).max(0.0)
    }

    fn minus(self, gone: Span) -> impl Iterator<Item = Span> {
        let left = Span { from: self.from, to: self.to.min(gone.from) };
        let right = Span { from: self.from.max(gone.to), to: self.to };
        [left, right].into_iter().filter(|it| it.to > it.from)
    }
}

/// The stretch of a convex shape at a height.
fn across(shape: &[Point], y: f64) -> Option<Span> {
    let mut span = Span { from: f64::INFINITY, to: f64::NEG_INFINITY };
    for (index, a) in shape.iter().enumerate() {
        let b = shape[(index + 1) % shape.len()];
        if (a.y > y) != (b.y > y) {
            let x = a.x + (b.x - a.x) * (y - a.y) / (b.y - a.y);
            span = Span { from: span.from.min(x), to: span.to.max(x) };
        }
    }
    (span.to > span.from).then_some(span)
}

/// The rectangle from a point on, so long and so wide to each side.
pub(crate) fn strip(from: Point, heading: Heading, long: f64, half: f64) -> [Point; 4] {
    let (right, to) = (heading.right(), moved(from, heading, long));
    [moved(from, right, half), moved(to, right, half), moved(to, right, -half), moved(from, right, -half)]
}

/// Which spans hang together.
struct Joins(Vec<usize>);

impl Joins {
    fn root(&mut self, mut it: usize) -> usize {
        while self.0[it] != it {
            self.0[it] = self.0[self.0[it]];
            it = self.0[it];
        }
        it
    }

    fn join_rows(&mut self, below: (&[Span], usize), above: (&[Span], usize)) {
        let (mut a, mut b) = (0, 0);
        while let (Some(one), Some(other)) = (below.0.get(a), above.0.get(b)) {
            if one.common(*other) > 0.0 {
                let (one, other) = (self.root(below.1 + a), self.root(above.1 + b));
                self.0[one.max(other)] = one.min(other);
            }
            if one.to < other.to { a += 1 } else { b += 1 }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use measure::Length;

    fn board() -> Rows {
        let ring = Ring::rectangle(Length::mm(100.0), Length::mm(40.0)).unwrap();
        let ruled = Ruled::over(ring.bounds(), 0.4);
        Rows::of(ruled, std::iter::once(&ring))
    }

    #[test]
    fn a_slit_parts_what_it_goes_through_and_no_other() {
        let mut rows = board();
        let slant = Heading { x: 0.8, y: 0.6 };
        rows.take(&strip(Point::new(20.0, -10.0), slant, 40.0, 0.5));
        assert_eq!(rows.pieces().len(), 1, "it ends inside");
        rows.take(&strip(Point::new(20.0, -10.0), slant, 120.0, 0.5));
        let pieces = rows.pieces();
        assert_eq!(pieces.len(), 2);
        let sum: f64 = pieces.iter().map(Rows::area).sum();
        assert!((sum - (4000.0 - 40.0 / 0.6)).abs() < 0.5, "{sum}");
        assert!(pieces[0].common(&pieces[1]) == 0.0);
    }

    #[test]
    fn the_figures_of_a_board_are_exact() {
        let rows = board();
        assert!((rows.area() - 4000.0).abs() < 1e-6);
        assert!(rows.middle().distance(Point::new(50.0, 20.0)).to_mm() < 1e-6);
        let (long, across) = crate::flat::sides(&rows.hull());
        assert!((long - 100.0).abs() < 1e-6 && (across - 40.0).abs() < 1e-6);
    }

    #[test]
    fn a_disc_is_taken_and_a_smaller_one_fits_it() {
        let mut rows = board();
        rows.take_disc(Point::new(50.0, 20.0), 10.0);
        assert!((rows.area() - (4000.0 - 314.159)).abs() < 1.0);
        let free = rows.around(5.0);
        let inside = |it: &Rows| it.pieces().len();
        assert_eq!((inside(&free.narrowed(8.0)), inside(&free.narrowed(11.0))), (1, 0));
        assert_eq!(inside(&free.narrowed(2.0)), 2, "the hole and what lies round the board");
        assert!(!rows.have(Point::new(50.0, 20.0)) && rows.have(Point::new(70.0, 20.0)));
    }
}
