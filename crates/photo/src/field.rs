//! Numbers on a grid, and how they are smeared.

use rayon::prelude::*;

/// One number for every cell, row by row from the top.
#[derive(Clone, Debug)]
pub(crate) struct Field {
    pub(crate) width: usize,
    pub(crate) height: usize,
    pub(crate) values: Vec<f32>,
}

/// Boxes laid over each other; three come within 3 % of a Gaussian (Wells,
/// "Efficient synthesis of Gaussian filters by cascaded uniform filters", 1986).
const BOXES: usize = 3;

impl Field {
    /// Takes values row by row.
    pub(crate) fn new(width: usize, height: usize, values: Vec<f32>) -> Field {
        debug_assert_eq!(values.len(), width * height, "one value for every cell");
        Field { width, height, values }
    }

    /// The value of the cell that holds a place, or of the nearest cell.
    pub(crate) fn near(&self, x: f64, y: f64) -> f32 {
        let (column, row) = (x.max(0.0) as usize, y.max(0.0) as usize);
        self.values[row.min(self.height - 1) * self.width + column.min(self.width - 1)]
    }

    /// Every value anew.
    pub(crate) fn map(&self, each: impl Fn(f32) -> f32 + Sync) -> Field {
        Field { values: self.values.par_iter().map(|&it| each(it)).collect(), ..*self }
    }

    /// Two fields of one size, cell by cell.
    pub(crate) fn with(&self, other: &Field, each: impl Fn(f32, f32) -> f32 + Sync) -> Field {
        let pairs = self.values.par_iter().zip(&other.values);
        Field { values: pairs.map(|(&a, &b)| each(a, b)).collect(), ..*self }
    }

    /// The extreme value within a square that reaches so far to every side.
    pub(crate) fn extreme(&self, reach: usize, of: fn(f32, f32) -> f32) -> Field {
        let (width, height) = (self.width, self.height);
        let line = |values: &[f32], (first, step, count): (usize, usize, usize), at: usize| {
            let near = at.saturating_sub(reach)..=(at + reach).min(count - 1);
            near.map(|it| values[first + it * step]).reduce(of).unwrap_or_default()
        };
        let along: Vec<f32> = (0..width * height)
            .into_par_iter()
            .map(|at| line(&self.values, (at / width * width, 1, width), at % width))
            .collect();
        let both = (0..width * height).into_par_iter();
        Field::new(
            width,
            height,
            both.map(|at| line(&along, (at % width, width, height), at / width)).collect(),
        )
    }

    /// Smeared by about a Gaussian of this many cells; the edge is held on outward.
    pub(crate) fn smeared(&self, sigma: f64) -> Field {
        self.smeared_by(sigma, sigma)
    }

    /// The same with another number of cells along the rows than across them.
    pub(crate) fn smeared_by(&self, along: f64, across: f64) -> Field {
        self.boxed_rows(reaches(along)).turned().boxed_rows(reaches(across)).turned()
    }

    /// Every value with its neighbours, weighed along the row, and that down the column.
    pub(crate) fn crossed<const TAPS: usize>(&self, along: [f32; TAPS], down: [f32; TAPS]) -> Field {
        self.weighed_rows(along).turned().weighed_rows(down).turned()
    }

    fn weighed_rows<const TAPS: usize>(&self, weights: [f32; TAPS]) -> Field {
        let (width, half) = (self.width, TAPS / 2);
        let mut values = vec![0.0; self.values.len()];
        let rows = values.par_chunks_mut(width.max(1)).zip(self.values.par_chunks(width.max(1)));
        rows.for_each(|(out, row)| {
            for (middle, taps) in out.iter_mut().skip(half).zip(row.windows(TAPS)) {
                *middle = taps.iter().zip(weights).map(|(it, weight)| it * weight).sum();
            }
            for column in (0..half.min(width)).chain(width.saturating_sub(half)..width) {
                let tap = |at: usize| row[held(column, at as isize - half as isize, width)] * weights[at];
                out[column] = (0..TAPS).map(tap).sum();
            }
        });
        Field { values, ..*self }
    }

    fn boxed_rows(&self, reaches: [usize; BOXES]) -> Field {
        let mut values = self.values.clone();
        values.par_chunks_mut(self.width.max(1)).for_each(|row| {
            let mut before = row.to_vec();
            for reach in reaches {
                boxed(&before, row, reach);
                before.copy_from_slice(row);
            }
        });
        Field { values, ..*self }
    }

    fn turned(&self) -> Field {
        let (width, height) = (self.width, self.height);
        let mut values = vec![0.0; self.values.len()];
        values.par_chunks_mut(height.max(1)).enumerate().for_each(|(column, out)| {
            for (row, value) in out.iter_mut().enumerate() {
                *value = self.values[row * width + column];
            }
        });
        Field { width: height, height: width, values }
    }

    /// Half as many cells each way, each the mean of four; an odd row or column is left out.
    pub(crate) fn halved(&self) -> Field {
        let (width, height) = (self.width / 2, self.height / 2);
        let mut values = vec![0.0; width * height];
        values.par_chunks_mut(width.max(1)).enumerate().for_each(|(row, out)| {
            let (upper, lower) = (2 * row * self.width, (2 * row + 1) * self.width);
            for (column, value) in out.iter_mut().enumerate() {
                let four = [upper, upper + 1, lower, lower + 1].map(|it| self.values[it + 2 * column]);
                *value = four.iter().sum::<f32>() / 4.0;
            }
        });
        Field { width, height, values }
    }

    /// Slope to the right and downward, by five-point differences: central
    /// ones turn fine slanting lines towards the diagonal.
    pub(crate) fn slopes(&self) -> (Field, Field) {
        let (width, height) = (self.width, self.height);
        let slope = |along: bool| {
            let values = (0..self.values.len()).into_par_iter().with_min_len(width.max(1)).map(|index| {
                let (x, y) = (index % width, index / width);
                let at = |by: isize| match along {
                    true => self.values[y * width + held(x, by, width)],
                    false => self.values[held(y, by, height) * width + x],
                };
                (8.0 * (at(1) - at(-1)) - (at(2) - at(-2))) / 12.0
            });
            Field { width, height, values: values.collect() }
        };
        (slope(true), slope(false))
    }
}

/// The cell this far along, or the last before the edge.
fn held(at: usize, by: isize, count: usize) -> usize {
    at.saturating_add_signed(by).min(count - 1)
}

/// How far each box reaches to either side, so that their spreads, r (r + 1) / 3
/// each, sum to that of the Gaussian as closely as whole cells allow.
fn reaches(sigma: f64) -> [usize; BOXES] {
    let spread = |reach: usize| (reach * (reach + 1)) as f64 / 3.0;
    let each = sigma * sigma / BOXES as f64;
    let short = (0..).take_while(|&reach| spread(reach) <= each).last().unwrap_or(0);
    let longer = (BOXES as f64 * (each - spread(short)) / (spread(short + 1) - spread(short))).round();
    std::array::from_fn(|index| if index < longer as usize { short + 1 } else { short })
}

/// The mean over a window that slides along the row.
fn boxed(before: &[f32], after: &mut [f32], reach: usize) {
    let value = |at: usize, by: isize| f64::from(before[held(at, by, before.len())]);
    let share = 1.0 / (2 * reach + 1) as f64;
    let reach = reach as isize;
    let mut sum: f64 = (-reach..=reach).map(|by| value(0, by)).sum();
    for (index, out) in after.iter_mut().enumerate() {
        *out = (sum * share) as f32;
        sum += value(index, reach + 1) - value(index, -reach);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_smeared_spike_keeps_its_sum_and_has_the_spread_asked() {
        let mut field = Field::new(81, 81, vec![0.0; 81 * 81]);
        field.values[40 * 81 + 40] = 1.0;
        let out = field.smeared(5.0);
        let sum: f32 = out.values.iter().sum();
        let spread: f32 = (0..81 * 81).map(|at| out.values[at] * ((at % 81) as f32 - 40.0).powi(2)).sum();
        assert!((sum - 1.0).abs() < 1e-3, "{sum}");
        assert!((spread.sqrt() - 5.0).abs() < 0.4, "{spread}");
    }
}
