//! What belongs to the thing and what does not, cell by cell.

use std::collections::VecDeque;

use crate::field::Field;

/// Which cells belong, row by row from the top.
#[derive(Clone, Debug)]
pub(crate) struct Mask {
    pub(crate) width: usize,
    pub(crate) height: usize,
    pub(crate) cells: Vec<bool>,
}

impl Mask {
    /// How many cells belong.
    pub(crate) fn count(&self) -> usize {
        self.cells.iter().filter(|it| **it).count()
    }

    /// The other cells.
    pub(crate) fn inverted(&self) -> Mask {
        Mask { cells: self.cells.iter().map(|it| !it).collect(), ..*self }
    }

    /// One where a cell belongs, and zero elsewhere.
    pub(crate) fn solid(&self) -> Field {
        let values = self.cells.iter().map(|it| if *it { 1.0 } else { 0.0 });
        Field::new(self.width, self.height, values.collect())
    }

    /// How far every cell is from the nearest one that does not belong, in
    /// cells (chamfer distance with 1 and root 2: at most 8 % too long).
    pub(crate) fn depth(&self) -> Field {
        let (width, height) = (self.width, self.height);
        let far = (width + height) as f32;
        let start = |&belongs: &bool| if belongs { far } else { 0.0 };
        let mut values: Vec<f32> = self.cells.iter().map(start).collect();
        let slant = std::f32::consts::SQRT_2;
        for y in 0..height {
            for x in 0..width {
                let at = y * width + x;
                let mut least = values[at];
                let mut reach = |ok: bool, back: usize, way: f32| {
                    if ok {
                        least = least.min(values[at - back] + way);
                    }
                };
                reach(x > 0, 1, 1.0);
                reach(y > 0, width, 1.0);
                reach(x > 0 && y > 0, width + 1, slant);
                reach(x + 1 < width && y > 0, width.saturating_sub(1), slant);
                values[at] = least;
            }
        }
        for y in (0..height).rev() {
            for x in (0..width).rev() {
                let at = y * width + x;
                let mut least = values[at];
                let mut reach = |ok: bool, ahead: usize, way: f32| {
                    if ok {
                        least = least.min(values[at + ahead] + way);
                    }
                };
                reach(x + 1 < width, 1, 1.0);
                reach(y + 1 < height, width, 1.0);
                reach(x + 1 < width && y + 1 < height, width + 1, slant);
                reach(x > 0 && y + 1 < height, width - 1, slant);
                values[at] = least;
            }
        }
        Field::new(width, height, values)
    }

    /// Without the outermost cells.
    pub(crate) fn shrunk(&self, by: f32) -> Mask {
        Mask { cells: self.depth().values.iter().map(|it| *it > by).collect(), ..*self }
    }

    /// With the cells around it.
    pub(crate) fn grown(&self, by: f32) -> Mask {
        self.inverted().shrunk(by).inverted()
    }

    /// Without bridges and spurs narrower than twice this.
    pub(crate) fn opened(&self, by: f32) -> Mask {
        self.shrunk(by).grown(by)
    }

    /// The largest part that hangs together over the sides of its cells.
    pub(crate) fn largest(&self) -> Mask {
        let (part, sizes) = self.parts();
        let most = sizes.iter().enumerate().max_by_key(|(index, size)| (**size, std::cmp::Reverse(*index)));
        let most = most.map(|(index, _)| index as u32 + 1);
        Mask { cells: part.iter().map(|it| *it != 0 && Some(*it) == most).collect(), ..*self }
    }

    /// With every hole filled that does not reach the border.
    pub(crate) fn filled(&self) -> Mask {
        let outside = self.inverted();
        let (part, sizes) = outside.parts();
        let mut open = vec![false; sizes.len() + 1];
        for (index, &number) in part.iter().enumerate() {
            let (x, y) = (index % self.width, index / self.width);
            if x == 0 || y == 0 || x + 1 == self.width || y + 1 == self.height {
                open[number as usize] = true;
            }
        }
        open[0] = false;
        Mask { cells: part.iter().map(|it| !open[*it as usize]).collect(), ..*self }
    }

    /// The number of the part that each cell is in, from 1, and the parts' sizes.
    pub(crate) fn parts(&self) -> (Vec<u32>, Vec<usize>) {
        let mut part = vec![0; self.cells.len()];
        let mut sizes = Vec::new();
        let mut open = VecDeque::new();
        for start in 0..self.cells.len() {
            if !self.cells[start] || part[start] != 0 {
                continue;
            }
            let number = sizes.len() as u32 + 1;
            let mut size = 0;
            part[start] = number;
            open.push_back(start);
            while let Some(at) = open.pop_front() {
                size += 1;
                for next in self.beside(at).into_iter().flatten() {
                    if self.cells[next] && part[next] == 0 {
                        part[next] = number;
                        open.push_back(next);
                    }
                }
            }
            sizes.push(size);
        }
        (part, sizes)
    }

    /// The cells at its four sides.
    pub(crate) fn beside(&self, at: usize) -> [Option<usize>; 4] {
        let (x, y) = (at % self.width, at / self.width);
        [
            (x > 0).then(|| at - 1),
            (x + 1 < self.width).then(|| at + 1),
            (y > 0).then(|| at - self.width),
            (y + 1 < self.height).then(|| at + self.width),
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(drawn: &[&str], made: impl Fn(&Mask) -> Mask, expected: &[&str]) {
        let cells = drawn.iter().flat_map(|row| row.chars()).map(|it| it == '#').collect();
        let mask = made(&Mask { width: drawn[0].len(), height: drawn.len(), cells });
        let rows = mask.cells.chunks(mask.width);
        let got: Vec<String> =
            rows.map(|row| row.iter().map(|it| if *it { '#' } else { '.' }).collect()).collect();
        assert_eq!(got, expected);
    }

    #[test]
    fn only_the_largest_part_stays() {
        check(&["##..#", "##..#", "....."], Mask::largest, &["##...", "##...", "....."]);
    }

    #[test]
    fn holes_are_filled_but_bays_are_not() {
        check(&[".###.", ".#.#.", ".###.", ".#.#."], Mask::filled, &[".###.", ".###.", ".###.", ".#.#."]);
    }

    #[test]
    fn spurs_go_and_the_body_stays() {
        let rows = ["........", ".####...", ".#######", ".####...", "........"];
        let cells = rows.iter().flat_map(|row| row.chars()).map(|it| it == '#').collect();
        let opened = Mask { width: 8, height: 5, cells }.opened(1.0);
        assert!(!opened.cells[2 * 8 + 7] && !opened.cells[2 * 8 + 6], "the spur stays");
        assert!(opened.cells[2 * 8 + 1] && opened.cells[8 + 2], "the body goes");
    }
}
