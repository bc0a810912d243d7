//! Which part of a full-size drawing falls on which sheet of paper.

use measure::Length;
use outline::{Bounds, Point};
use stock::Paper;

/// A grid of sheets that overlap, laid over a drawing at full size.
///
/// Own coordinates: millimetres from the upper left of the whole, y down.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Tiling {
    /// The part of each sheet that is printed on.
    pub(crate) window: [f64; 2],
    /// Sheets from left to right.
    pub(crate) columns: usize,
    /// Sheets from top to bottom.
    pub(crate) rows: usize,
}

/// Where two or four sheets meet: a cross that is printed on each of them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Cross {
    pub(crate) number: usize,
    pub(crate) at: [f64; 2],
}

impl Tiling {
    /// How far neighbouring sheets overlap.
    pub(crate) const OVERLAP: f64 = 12.0;
    /// Kept free of the drawing left and right: no printer reaches the edge;
    /// common ones keep a quarter of an inch free.
    pub(crate) const SIDE: f64 = 8.0;
    /// Above the window: name, key map.
    pub(crate) const HEAD: f64 = 34.0;
    /// Below the window: check bar, page number.
    pub(crate) const FOOT: f64 = 27.0;
    /// Kept free around the shape.
    const PAD: f64 = 4.0;
    /// A template with more sheets than this is not printed: nobody pastes it.
    const MOST: usize = 80;

    /// Lays sheets over a shape; `None` if it would take more than is sensible.
    pub(crate) fn over(shape: Bounds, paper: Paper) -> Option<Tiling> {
        let (width, height) = paper.size();
        let window = [
            (width.to_mm() - 2.0 * Tiling::SIDE).floor(),
            (height.to_mm() - Tiling::HEAD - Tiling::FOOT).floor(),
        ];
        let count = |length: Length, window: f64| {
            let beyond = length.to_mm() + 2.0 * Tiling::PAD - Tiling::OVERLAP;
            (beyond / (window - Tiling::OVERLAP)).ceil().max(1.0) as usize
        };
        let tiling = Tiling {
            window,
            columns: count(shape.width(), window[0]),
            rows: count(shape.height(), window[1]),
        };
        (tiling.sheets() <= Tiling::MOST).then_some(tiling)
    }

    /// How many sheets it takes.
    pub(crate) fn sheets(&self) -> usize {
        self.columns.saturating_mul(self.rows)
    }

    /// From one sheet's window to the next one's.
    pub(crate) fn step(&self) -> [f64; 2] {
        self.window.map(|side| side - Tiling::OVERLAP)
    }

    /// All sheets together, pasted.
    pub(crate) fn whole(&self) -> [f64; 2] {
        let [x, y] = self.step();
        [self.columns as f64 * x + Tiling::OVERLAP, self.rows as f64 * y + Tiling::OVERLAP]
    }

    /// The same area on the drawing. A shape that fits between two sides lies
    /// in the middle of them; a larger one begins at the upper left, so that no
    /// seam runs along its middle line.
    pub(crate) fn area(&self, shape: Bounds) -> Bounds {
        let ([width, height], middle) = (self.whole(), shape.centre());
        let left = if self.columns == 1 { middle.x - width / 2.0 } else { shape.low.x - Tiling::PAD };
        let top = if self.rows == 1 { middle.y + height / 2.0 } else { shape.high.y + Tiling::PAD };
        Bounds { low: Point::new(left, top - height), high: Point::new(left + width, top) }
    }

    /// Upper left corner of a sheet's window.
    pub(crate) fn corner(&self, row: usize, column: usize) -> [f64; 2] {
        let [x, y] = self.step();
        [column as f64 * x, row as f64 * y]
    }

    /// The printed window of a sheet, on the drawing.
    pub(crate) fn seen(&self, area: Bounds, row: usize, column: usize) -> Bounds {
        let ([x, y], [width, height]) = (self.corner(row, column), self.window);
        let (left, top) = (area.low.x + x, area.high.y - y);
        Bounds { low: Point::new(left, top - height), high: Point::new(left + width, top) }
    }

    /// A sheet's name: its row as a letter, its column as a number.
    pub(crate) fn name(row: usize, column: usize) -> String {
        format!("{}{}", row_letter(row), column + 1)
    }

    /// The lines in the middle of each overlap: `[x1, y1, x2, y2]`.
    pub(crate) fn seams(&self) -> Vec<[f64; 4]> {
        let ([width, height], [x, y]) = (self.whole(), self.step());
        let middle = Tiling::OVERLAP / 2.0;
        let upright = (1..self.columns).map(|it| it as f64 * x + middle).map(|x| [x, 0.0, x, height]);
        let level = (1..self.rows).map(|it| it as f64 * y + middle).map(|y| [0.0, y, width, y]);
        upright.chain(level).collect()
    }

    /// The crosses at the ends of every seam and where seams meet.
    pub(crate) fn crosses(&self) -> Vec<Cross> {
        let [x, y] = self.step();
        let middle = Tiling::OVERLAP / 2.0;
        let mut out = Vec::new();
        for row in 0..=self.rows {
            for column in 0..=self.columns {
                let seam = (1..self.columns).contains(&column) || (1..self.rows).contains(&row);
                if seam {
                    let at = [column as f64 * x + middle, row as f64 * y + middle];
                    out.push(Cross { number: out.len() + 1, at });
                }
            }
        }
        out
    }
}

/// A, B, ... Z, then AA, AB, ...
pub(crate) fn row_letter(row: usize) -> String {
    let letter = |it: usize| char::from(b'A' + (it % 26) as u8);
    if row < 26 { letter(row).to_string() } else { format!("{}{}", letter(row / 26 - 1), letter(row)) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shape(width: f64, height: f64) -> Bounds {
        Bounds { low: Point::new(-20.0, 7.0), high: Point::new(width - 20.0, height + 7.0) }
    }

    #[test]
    fn the_sheets_cover_the_shape_and_never_more_than_needed() {
        for paper in [Paper::Letter, Paper::A4] {
            for side in [10.0, 170.0, 178.9, 179.1, 400.0, 1200.0] {
                let tiling = Tiling::over(shape(side, 60.0), paper).unwrap();
                let area = tiling.area(shape(side, 60.0));
                assert!(area.low.x <= -20.0 - Tiling::PAD + 1e-9, "{side}");
                assert!(area.high.x >= side - 20.0 + Tiling::PAD - 1e-9, "{side}");
                let fewer = tiling.whole()[0] - tiling.step()[0];
                assert!(tiling.columns == 1 || fewer < side + 2.0 * Tiling::PAD, "{side}");
            }
        }
    }

    #[test]
    fn every_cross_lies_whole_on_each_sheet_that_meets_there() {
        let tiling = Tiling::over(shape(500.0, 600.0), Paper::A4).unwrap();
        let half = Tiling::OVERLAP / 2.0;
        for cross in tiling.crosses() {
            let mut meets = 0;
            for (row, column) in (0..tiling.rows).flat_map(|row| (0..tiling.columns).map(move |it| (row, it)))
            {
                let corner = tiling.corner(row, column);
                let inside = |axis: usize| {
                    let at = cross.at[axis] - corner[axis];
                    at >= half - 1e-9 && at <= tiling.window[axis] - half + 1e-9
                };
                meets += usize::from(inside(0) && inside(1));
            }
            assert!(meets == 2 || meets == 4, "cross {} is on {meets} sheets", cross.number);
        }
    }

    #[test]
    fn a_shape_as_large_as_a_door_is_not_pasted() {
        assert!(Tiling::over(shape(5000.0, 2000.0), Paper::Letter).is_none());
        assert!(Tiling::over(shape(200_000.0, 200_000.0), Paper::Letter).is_none());
    }

    #[test]
    fn rows_go_on_after_z() {
        assert_eq!([0, 25, 26, 53].map(row_letter), ["A", "Z", "AA", "BB"]);
    }
}
