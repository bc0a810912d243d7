//! Takes the fall of the light off a scene: brighter near the window, darker
//! in the picture's corners.

use nalgebra::{SMatrix, SVector};

use crate::colour::{self, Lab};
use crate::mask::Cells;

/// Terms of a surface of the second degree over the scene.
type Terms = SVector<f64, 6>;

/// Rounds of fitting and weighing down what does not fit.
const ROUNDS: usize = 6;

/// What is off by more than this share of the light counts little: a seam, a
/// shadow, another plank.
const FITS: f64 = 0.08;

/// At most about this many cells are fitted to.
const MOST_SAMPLES: usize = 8000;

/// The light changes by no more than this factor over a scene.
const MOST_FALL: f64 = 4.0;

/// The colours as they were if the whole scene lay in the same light as the
/// middle of its `ground`: a surface of the second degree through the logarithm
/// of the ground's light, by iteratively reweighted least squares.
pub(crate) fn evened(cells: &Cells, ground: impl Fn(usize) -> bool) -> Vec<Lab> {
    let own: Vec<usize> = (0..cells.lab.len()).filter(|&at| ground(at)).collect();
    let some = own.iter().step_by(own.len().div_ceil(MOST_SAMPLES).max(1));
    let samples: Vec<(Terms, f64)> = some.map(|&at| (terms(cells, at), logarithm(cells.lab[at]))).collect();
    let Some(surface) = fitted(&samples) else { return cells.lab.clone() };
    let middle = samples.iter().map(|(it, _)| surface.dot(it)).sum::<f64>() / samples.len() as f64;
    let most = MOST_FALL.ln();
    let even = |(at, lab): (usize, &Lab)| {
        let off = (middle - surface.dot(&terms(cells, at))).clamp(-most, most);
        colour::shaded(*lab, off.exp() as f32)
    };
    cells.lab.iter().enumerate().map(even).collect()
}

/// The logarithm of the light of a colour (L*a*b*'s cube root undone).
fn logarithm(lab: Lab) -> f64 {
    3.0 * f64::from(lab[0] + 16.0).ln()
}

/// A place from -1 to 1 over the scene, and its powers.
fn terms(cells: &Cells, at: usize) -> Terms {
    let share = |it: usize, of: usize| 2.0 * (it as f64 + 0.5) / of as f64 - 1.0;
    let (x, y) = (share(at % cells.width, cells.width), share(at / cells.width, cells.height));
    Terms::from([1.0, x, y, x * x, x * y, y * y])
}

fn fitted(samples: &[(Terms, f64)]) -> Option<Terms> {
    let mut surface: Option<Terms> = None;
    for _ in 0..ROUNDS {
        let (mut normal, mut right) = (SMatrix::<f64, 6, 6>::identity() * 1e-9, Terms::zeros());
        for (terms, light) in samples {
            let off = surface.map_or(0.0, |it| (light - it.dot(terms)) / FITS);
            let weight = 1.0 / (1.0 + off * off);
            normal += terms * terms.transpose() * weight;
            right += terms * (light * weight);
        }
        surface = Some(normal.cholesky()?.solve(&right));
    }
    surface
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::mask::Known;

    #[test]
    fn a_bench_darker_to_its_corners_becomes_even() {
        let (width, height) = (60, 40);
        let seen = |at: usize| {
            let (x, y) = ((at % width) as f32 / 30.0 - 1.0, (at / width) as f32 / 20.0 - 1.0);
            colour::shaded([70.0, 8.0, 22.0], (-0.3 * (x * x + y * y) - 0.2 * x).exp())
        };
        let cells = Cells {
            width,
            height,
            known: vec![Known::Open; width * height],
            lab: (0..width * height).map(seen).collect(),
        };
        let rim = |at: usize| !(6..54).contains(&(at % width)) || !(4..36).contains(&(at / width));
        let even = evened(&cells, rim);
        let light = |it: &Lab| it[0];
        let (least, most) =
            (even.iter().map(light).fold(100.0, f32::min), even.iter().map(light).fold(0.0, f32::max));
        assert!(most - least < 1.0, "{least} to {most}");
    }
}
