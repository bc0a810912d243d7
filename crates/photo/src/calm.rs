//! Evens out what a material's own figure does to its colour.

use rayon::prelude::*;

use crate::colour::Lab;
use crate::mask::{Cells, Spot};

/// Rounds of evening out; together they reach about four cells far.
const ROUNDS: usize = 40;

/// How much of the difference to each neighbour goes in a round.
const SHARE: f32 = 0.2;

/// A difference much larger than this, in L*a*b* units, is an edge and stays.
const EDGE: f32 = 4.0;

const SIDES: [Spot; 4] = [(-1, 0), (1, 0), (0, -1), (0, 1)];

/// The cells with colours that flow between neighbours, but not over edges
/// (Perona and Malik, "Scale-space and edge detection using anisotropic
/// diffusion", 1990), nor between sheets and what lies beside them.
pub(crate) fn calmed(cells: &Cells) -> Vec<Lab> {
    let mut now = cells.lab.clone();
    for _ in 0..ROUNDS {
        let next = (0..now.len()).into_par_iter().map(|at| {
            if cells.known[at].is_sheet() {
                return now[at];
            }
            let mut sum = now[at];
            let beside = SIDES.iter().filter_map(|side| cells.at(at, *side));
            for other in beside.filter(|&it| !cells.known[it].is_sheet()) {
                let off: Lab = std::array::from_fn(|channel| now[other][channel] - now[at][channel]);
                let far = off.iter().map(|it| it * it).sum::<f32>() / (EDGE * EDGE);
                let flows = SHARE * (-far).exp();
                for (sum, off) in sum.iter_mut().zip(off) {
                    *sum += flows * off;
                }
            }
            sum
        });
        now = next.collect();
    }
    now
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::mask::Known;

    #[test]
    fn figure_is_evened_out_and_an_edge_stays() {
        let light = |x: usize| if x < 20 { 50.0 } else { 80.0 } + (x % 2) as f32 * 3.0;
        let lab = (0..40 * 8).map(|at| [light(at % 40), 5.0, 20.0]).collect();
        let calm = calmed(&Cells { width: 40, height: 8, known: vec![Known::Open; 320], lab });
        let row: Vec<f32> = calm[160..200].iter().map(|it| it[0]).collect();
        assert!(row[4..16].iter().all(|it| (it - 51.5).abs() < 0.5), "{row:?}");
        assert!(row[20] - row[19] > 25.0, "{row:?}");
    }
}
