//! How sure a fault is, weighed from what was measured of it.
//!
//! Where there was much to learn from, by many small trees that each mend what those
//! before it left (Friedman, "Greedy function approximation: a gradient boosting
//! machine", 2001); elsewhere by a logistic model (Cox, "The regression analysis of
//! binary sequences", 1958). Both were trained on photographs with known truth by
//! `cargo run --release -p proving -- --train`, which prints the table below.

use stock::ZoneKind;

mod table;

/// What was learned of one kind.
enum Model {
    Weights(&'static Weights),
    Trees(&'static Trees),
}

/// A logistic model.
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

/// Trees whose answers are added up.
struct Trees {
    /// How many traits they ask about.
    traits: usize,
    bias: f64,
    trees: &'static [Tree],
}

/// Three questions one after another: after question `n` comes `2n + 1` for a trait
/// at or below its mark, `2n + 2` for one above.
struct Tree {
    /// Which trait, and its mark.
    asks: [(usize, f32); 7],
    adds: [f32; 8],
}

/// Traits farther than this many spreads from what is usual count no more.
const FARTHEST: f64 = 4.0;

/// From 0 to 1; 0 for a kind that no model was trained for.
pub(super) fn sure(kind: ZoneKind, traits: &[f64]) -> f64 {
    let sum = match table::of(kind) {
        Some(Model::Weights(it)) if it.weights.len() == traits.len() => it.sum(traits),
        Some(Model::Trees(it)) if it.traits == traits.len() => it.sum(traits),
        _ => return 0.0,
    };
    1.0 / (1.0 + (-sum).exp())
}

impl Weights {
    fn sum(&self, traits: &[f64]) -> f64 {
        traits.iter().enumerate().fold(self.bias, |sum, (index, value)| {
            let off = ((value - self.usual[index]) / self.spread[index]).clamp(-FARTHEST, FARTHEST);
            sum + self.weights[index] * off + self.squares[index] * off * off
        })
    }
}

impl Trees {
    fn sum(&self, traits: &[f64]) -> f64 {
        self.trees.iter().fold(self.bias, |sum, it| sum + f64::from(it.adds(traits)))
    }
}

impl Tree {
    fn adds(&self, traits: &[f64]) -> f32 {
        let mut at = 0;
        while let Some(&(index, mark)) = self.asks.get(at) {
            at = 2 * at + if traits[index] > f64::from(mark) { 2 } else { 1 };
        }
        self.adds[at - self.asks.len()]
    }
}
