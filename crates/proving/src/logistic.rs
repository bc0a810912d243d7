//! A logistic model of squares (Cox, "The regression analysis of binary sequences", 1958).

use crate::train::{Learned, Lesson};

/// Weights are held small by this much: one lesson more for each.
const HELD: f64 = 1.0;
/// The bias is hardly held: most spots are no faults.
const HELD_BIAS: f64 = 0.05;
/// Rounds of Newton's method; it settles in about ten.
const ROUNDS: usize = 25;
/// Traits farther than this many spreads count no more, as in the model.
const FARTHEST: f64 = 4.0;

/// What was learned: bias first, then traits, then their squares.
pub(crate) struct Logistic {
    usual: Vec<f64>,
    spread: Vec<f64>,
    weights: Vec<f64>,
}

impl Logistic {
    /// Newton's method on the penalised likelihood.
    pub(crate) fn learn(lessons: &[Lesson]) -> Logistic {
        let count = lessons[0].traits.len();
        let column = |index: usize| lessons.iter().map(move |it| it.traits[index]);
        let usual: Vec<f64> = (0..count).map(|it| column(it).sum::<f64>() / lessons.len() as f64).collect();
        let spread = (0..count).map(|it| {
            let square: f64 = column(it).map(|value| (value - usual[it]).powi(2)).sum();
            (square / lessons.len() as f64).sqrt().max(1e-3)
        });
        let spread = spread.collect();
        let mut model = Logistic { usual, spread, weights: vec![0.0; 2 * count + 1] };
        let inputs: Vec<Vec<f64>> = lessons.iter().map(|it| model.input(&it.traits)).collect();
        for _ in 0..ROUNDS {
            model.step(&inputs, lessons);
        }
        model
    }

    fn input(&self, traits: &[f64]) -> Vec<f64> {
        let off = traits.iter().enumerate().map(|(index, value)| {
            ((value - self.usual[index]) / self.spread[index]).clamp(-FARTHEST, FARTHEST)
        });
        let off: Vec<f64> = off.collect();
        let squares = off.iter().map(|it| it * it);
        std::iter::once(1.0).chain(off.iter().copied()).chain(squares).collect()
    }

    fn chance(&self, input: &[f64]) -> f64 {
        let sum: f64 = input.iter().zip(&self.weights).map(|(a, b)| a * b).sum();
        1.0 / (1.0 + (-sum).exp())
    }

    fn step(&mut self, inputs: &[Vec<f64>], lessons: &[Lesson]) {
        let size = self.weights.len();
        let mut slope: Vec<f64> = self
            .weights
            .iter()
            .enumerate()
            .map(|(it, weight)| if it == 0 { -HELD_BIAS } else { -HELD } * weight)
            .collect();
        let mut square = vec![vec![0.0; size]; size];
        for (input, lesson) in inputs.iter().zip(lessons) {
            let sure = self.chance(input);
            let miss = f64::from(u8::from(lesson.is_fault)) - sure;
            let weight = (sure * (1.0 - sure)).max(1e-6);
            for row in 0..size {
                slope[row] += miss * input[row];
                for column in 0..size {
                    square[row][column] += weight * input[row] * input[column];
                }
            }
        }
        for (index, row) in square.iter_mut().enumerate() {
            row[index] += if index == 0 { HELD_BIAS } else { HELD };
        }
        for (weight, by) in self.weights.iter_mut().zip(solved(square, slope)) {
            *weight += by;
        }
    }
}

impl Learned for Logistic {
    fn sure(&self, traits: &[f64]) -> f64 {
        self.chance(&self.input(traits))
    }

    fn written(&self, name: &str) -> String {
        let count = self.usual.len();
        let list =
            |values: &[f64]| values.iter().map(|it| format!("{it:.5}")).collect::<Vec<String>>().join(", ");
        format!(
            "\n#[rustfmt::skip]\nstatic {name}: Weights = Weights {{\n    usual: &[{}],\n    spread: &[{}],\n    weights: &[{}],\n    squares: &[{}],\n    bias: {:.5},\n}};\n",
            list(&self.usual),
            list(&self.spread),
            list(&self.weights[1..=count]),
            list(&self.weights[count + 1..]),
            self.weights[0]
        )
    }
}

/// Solves a symmetric system by elimination with the largest pivot.
fn solved(mut square: Vec<Vec<f64>>, mut right: Vec<f64>) -> Vec<f64> {
    let size = right.len();
    for column in 0..size {
        let pivot =
            (column..size).max_by(|&a, &b| square[a][column].abs().total_cmp(&square[b][column].abs()));
        let pivot = pivot.unwrap_or(column);
        square.swap(column, pivot);
        right.swap(column, pivot);
        for row in column + 1..size {
            let share = square[row][column] / square[column][column];
            let (upper, lower) = square.split_at_mut(row);
            for (value, from) in lower[0].iter_mut().zip(&upper[column]).skip(column) {
                *value -= share * from;
            }
            right[row] -= share * right[column];
        }
    }
    for row in (0..size).rev() {
        let known: f64 = (row + 1..size).map(|it| square[row][it] * right[it]).sum();
        right[row] = (right[row] - known) / square[row][row];
    }
    right
}
