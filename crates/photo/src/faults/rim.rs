//! The rim of a blob: the closed line round its middle on which the tone steps
//! up most, found by dynamic programming over directions.

use crate::field::Field;

use super::spots::Spot;

/// Directions round the middle.
const TURNS: usize = 32;
/// Radii that are tried, from this share of the spot's size to that.
const SHARES: [f64; 2] = [0.45, 1.9];
const RADII: usize = 24;
/// From one direction to the next the radius steps by at most this many.
const BENT: usize = 2;
/// Going round twice, the line closes where it began.
const ROUNDS: usize = 2;

/// A rim that was found; places and lengths in cells.
pub(super) struct Rim {
    pub(super) x: f64,
    pub(super) y: f64,
    radii: [f64; TURNS],
    /// The mean step of the tone across it.
    pub(super) step: f64,
    /// Which share of the directions steps up at all.
    pub(super) evenness: f64,
    /// The least radius over the largest.
    pub(super) roundness: f64,
}

impl Rim {
    pub(super) fn mean_radius(&self) -> f64 {
        self.radii.iter().sum::<f64>() / TURNS as f64
    }

    /// The line, counter-clockwise.
    pub(super) fn places(&self) -> impl Iterator<Item = (f64, f64)> {
        self.radii.iter().enumerate().map(|(index, radius)| {
            let turn = angle(index);
            (self.x + radius * turn.cos(), self.y + radius * turn.sin())
        })
    }
}

fn angle(index: usize) -> f64 {
    index as f64 * std::f64::consts::TAU / TURNS as f64
}

/// `None` where the spot lies at the field's very edge.
pub(super) fn rim(tone: &Field, spot: Spot) -> Option<Rim> {
    let (x, y) = (spot.x as f64 + 0.5, spot.y as f64 + 0.5);
    let radius =
        |index: usize| spot.size * (SHARES[0] + (SHARES[1] - SHARES[0]) * index as f64 / (RADII - 1) as f64);
    let steps: Vec<[f64; RADII]> = (0..TURNS)
        .map(|turn| std::array::from_fn(|it| step_at(tone, (x, y), angle(turn), radius(it), spot.size)))
        .collect();
    let chosen = best_line(&steps);
    let radii = chosen.map(radius);
    let found: [f64; TURNS] = std::array::from_fn(|turn| steps[turn][chosen[turn]]);
    let (least, most) =
        radii.iter().fold((f64::MAX, 0.0_f64), |(low, high), it| (low.min(*it), high.max(*it)));
    let step = found.iter().sum::<f64>() / TURNS as f64;
    let evenness = found.iter().filter(|it| **it > 0.3 * step.max(0.02)).count() as f64 / TURNS as f64;
    let inside = x > least && y > least && x + least < tone.width as f64 && y + least < tone.height as f64;
    inside.then_some(Rim { x, y, radii, step, evenness, roundness: least / most })
}

/// By how much the tone rises outward across a radius.
fn step_at(tone: &Field, (x, y): (f64, f64), turn: f64, radius: f64, size: f64) -> f64 {
    let reach = (0.22 * size).max(1.0);
    let along = |far: f64| tone.near(x + far * turn.cos(), y + far * turn.sin());
    let outer = (along(radius + reach) + along(radius + 0.5 * reach)) / 2.0;
    let inner = (along(radius - reach) + along(radius - 0.5 * reach)) / 2.0;
    f64::from(outer - inner)
}

/// The radius in each direction, by their index: the dearest line that bends little.
fn best_line(steps: &[[f64; RADII]]) -> [usize; TURNS] {
    let count = ROUNDS * TURNS;
    let mut gained = vec![[0.0_f64; RADII]; count];
    let mut came = vec![[0_usize; RADII]; count];
    gained[0] = steps[0];
    for turn in 1..count {
        for here in 0..RADII {
            let near = here.saturating_sub(BENT)..=(here + BENT).min(RADII - 1);
            let bent = |from: usize| gained[turn - 1][from] - 0.01 * here.abs_diff(from) as f64;
            let from = near.max_by(|&a, &b| bent(a).total_cmp(&bent(b))).unwrap_or(here);
            came[turn][here] = from;
            gained[turn][here] = bent(from) + steps[turn % TURNS][here];
        }
    }
    let last = &gained[count - 1];
    let mut here = (0..RADII).max_by(|&a, &b| last[a].total_cmp(&last[b])).unwrap_or(0);
    let mut line = [0; TURNS];
    for turn in (count - TURNS..count).rev() {
        line[turn % TURNS] = here;
        here = came[turn][here];
    }
    line
}
