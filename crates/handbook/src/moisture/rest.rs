//! How long wood has to lie until it has come to the air around it.

use measure::{Length, Minutes, Moisture};

/// How fast moisture spreads across the grain in a room, square metres in a
/// second, slowest and fastest: set so that a 25 mm board comes within a tenth
/// of its way in two to six weeks (common practice, no source); measured values
/// of hardwoods near 10 % lie about there.
const SPREADS: (f64, f64) = (3.6e-11, 1.1e-10);

/// So many terms of the series are exact to a millionth from the start on.
const TERMS: u32 = 200;

/// The share of its way to the air's moisture that a board has not yet gone,
/// on the mean of its thickness, open on both faces: 8/π² Σ exp(−(2n+1)² π² D t / d²)
/// / (2n+1)² (Crank, The Mathematics of Diffusion, eq. 4.18; a thick board's
/// ends and edges are left out, and the air at its faces counts as still fresh).
pub fn left_to_go(spread: f64, thickness: Length, seconds: f64) -> f64 {
    use std::f64::consts::PI;
    let d = thickness.to_mm() / 1000.0;
    let reach = PI * PI * spread * seconds / (d * d);
    let term = |n: u32| {
        let odd = f64::from(2 * n + 1);
        (-odd * odd * reach).exp() / (odd * odd)
    };
    8.0 / (PI * PI) * (0..TERMS).map(term).sum::<f64>()
}

/// How long a board has to lie, between least and most, until it is within so
/// much of the moisture that it will come to; nothing if it is already.
pub fn resting(thickness: Length, now: Moisture, then: Moisture, within: Moisture) -> (Minutes, Minutes) {
    let way = (now - then).abs().to_percent();
    let left = within.abs().to_percent() / way;
    if thickness <= Length::ZERO || way <= 0.0 || left >= 1.0 || left <= 0.0 {
        return (Minutes::ZERO, Minutes::ZERO);
    }
    (reaching(SPREADS.1, thickness, left), reaching(SPREADS.0, thickness, left))
}

/// When no more than this share is left, by halving.
fn reaching(spread: f64, thickness: Length, left: f64) -> Minutes {
    let d = thickness.to_mm() / 1000.0;
    // The first term alone leaves less than this at the upper end.
    let (mut low, mut high) = (0.0, d * d / spread * (1.0 / left).ln().max(1.0));
    for _ in 0..60 {
        let middle = (low + high) / 2.0;
        if left_to_go(spread, thickness, middle) > left { low = middle } else { high = middle }
    }
    Minutes::minutes(high / 60.0)
}
