//! Parts cells along the line that costs least.

use crate::colour::Lab;
use crate::flow::{NOWHERE, Net, WAYS};

/// Whole units of flow for one unit of what is said.
const FINENESS: f32 = 512.0;

/// Between cells as unlike as can be, this share of a tie is left: of two
/// lines along equal edges the shorter one is cut.
const LEAST_TIE: f32 = 0.02;

/// What is known and seen of the cells, row by row from the top.
pub(crate) struct Parting<'a> {
    pub(crate) width: usize,
    pub(crate) lab: &'a [Lab],
    /// How much likelier each belongs to the thing than to its ground: a
    /// logarithm. Infinite if it is known.
    pub(crate) said: &'a [f32],
    /// How much alike neighbours stand together, in the same unit.
    pub(crate) strength: f32,
}

impl Parting<'_> {
    /// Which cells belong to the thing: the least of what is said against it, and
    /// of what neighbours on either side of the line are alike (Boykov, Jolly,
    /// "Interactive graph cuts", 2001; contrast as in Rother, Kolmogorov, Blake,
    /// "GrabCut", 2004, equation 11).
    pub(crate) fn parted(&self) -> Vec<bool> {
        let open: Vec<usize> = (0..self.said.len()).filter(|&at| self.said[at].is_finite()).collect();
        let mut nodes = vec![NOWHERE; self.said.len()];
        for (node, &at) in open.iter().enumerate() {
            nodes[at] = node as u32;
        }
        let sharpness = self.sharpness(&open);
        let (mut beside, mut ties) = (vec![[NOWHERE; 8]; open.len()], vec![[0; 8]; open.len()]);
        let mut pulls = Vec::with_capacity(open.len());
        for (node, &at) in open.iter().enumerate() {
            let mut pull = whole(self.said[at]);
            for way in 0..8 {
                let Some(next) = self.next(at, way) else { continue };
                let tie = whole(self.tie(at, next, way, sharpness));
                match nodes[next] {
                    NOWHERE if self.said[next] > 0.0 => pull += tie,
                    NOWHERE => pull -= tie,
                    other => (beside[node][way], ties[node][way]) = (other, tie),
                }
            }
            pulls.push(pull);
        }
        let mut belongs: Vec<bool> = self.said.iter().map(|it| *it > 0.0).collect();
        for (at, thing) in open.iter().zip(Net::new(beside, ties, pulls).cut()) {
            belongs[*at] = thing;
        }
        belongs
    }

    /// The cell on a way, if there is one.
    fn next(&self, at: usize, way: usize) -> Option<usize> {
        let (right, down) = WAYS[way];
        let column = (at % self.width).checked_add_signed(right).filter(|it| *it < self.width)?;
        let row = (at / self.width).checked_add_signed(down)?;
        Some(row * self.width + column).filter(|it| *it < self.said.len())
    }

    fn tie(&self, at: usize, next: usize, way: usize, sharpness: f32) -> f32 {
        let alike = (-sharpness * unlike(self.lab[at], self.lab[next])).exp();
        let far = if way < 4 { 1.0 } else { std::f32::consts::SQRT_2 };
        self.strength * (LEAST_TIE + (1.0 - LEAST_TIE) * alike) / far
    }

    /// One over twice the mean squared difference between neighbours.
    fn sharpness(&self, open: &[usize]) -> f32 {
        let pairs = open.iter().flat_map(|&at| [0, 2].map(|way| (at, self.next(at, way))));
        let (sum, count) = pairs
            .filter_map(|(at, next)| Some(unlike(self.lab[at], self.lab[next?])))
            .fold((0.0_f64, 0.0_f64), |(sum, count), it| (sum + f64::from(it), count + 1.0));
        if sum > 0.0 { (count / (2.0 * sum)) as f32 } else { 1.0 }
    }
}

fn whole(it: f32) -> i32 {
    (it * FINENESS).round() as i32
}

fn unlike(a: Lab, b: Lab) -> f32 {
    (a[0] - b[0]).powi(2) + (a[1] - b[1]).powi(2) + (a[2] - b[2]).powi(2)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A row of cells with one bright step; what is said at either end.
    fn row(lights: &[f32], said: &[f32]) -> Vec<bool> {
        let lab: Vec<Lab> = lights.iter().map(|it| [*it, 0.0, 0.0]).collect();
        Parting { width: lights.len(), lab: &lab, said, strength: 1.0 }.parted()
    }

    #[test]
    fn the_line_runs_where_neighbours_are_least_alike() {
        let (thing, ground) = (f32::INFINITY, f32::NEG_INFINITY);
        let lights = [50.0, 51.0, 50.0, 52.0, 80.0, 81.0, 80.0];
        let found = row(&lights, &[thing, 0.0, 0.0, 0.0, 0.0, 0.0, ground]);
        assert_eq!(found, [true, true, true, true, false, false, false]);
    }

    #[test]
    fn one_odd_cell_stays_with_its_neighbours() {
        let found = row(&[50.0; 5], &[3.0, 3.0, -0.5, 3.0, f32::NEG_INFINITY]);
        assert_eq!(found, [true, true, true, true, false]);
    }
}
