//! How sure a fault is, weighed from what was measured of it.
//!
//! A logistic model for each kind (Cox, "The regression analysis of binary
//! sequences", 1958), trained on photographs with known truth by
//! `cargo run --release -p proving -- --train`, which prints the table below.

use stock::ZoneKind;

mod table;

/// The model of one kind.
struct Weights {
    /// The usual value of each trait, and its spread.
    usual: &'static [f64],
    spread: &'static [f64],
    /// What a spread more of each trait adds.
    weights: &'static [f64],
    /// What is added for its square.
    squares: &'static [f64],
    bias: f64,
}

/// Traits farther than this many spreads from what is usual count no more.
const FARTHEST: f64 = 4.0;

/// From 0 to 1; 0 for a kind that no model was trained for.
pub(super) fn sure(kind: ZoneKind, traits: &[f64]) -> f64 {
    let Some(model) = table::of(kind).filter(|it| it.weights.len() == traits.len()) else { return 0.0 };
    let sum = traits.iter().enumerate().fold(model.bias, |sum, (index, value)| {
        let off = ((value - model.usual[index]) / model.spread[index]).clamp(-FARTHEST, FARTHEST);
        sum + model.weights[index] * off + model.squares[index] * off * off
    });
    1.0 / (1.0 + (-sum).exp())
}
