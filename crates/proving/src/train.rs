//! Trains the models that weigh faults, on photographs with known truth.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};

use measure::Problem;
use photo::Suspect;
use scene::marks::FaultMark;
use stock::ZoneKind;

use crate::judged::{is_same, lies_along, measured, touch, true_faults};
use outline::Ring;

/// What was measured of a suspect, and whether it truly is a fault of its kind.
struct Lesson {
    traits: Vec<f64>,
    is_fault: bool,
}

/// Where the table is kept.
const TABLE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../photo/src/faults/model/table.rs");

/// Weights are held small by this much: one lesson more for each.
const HELD: f64 = 1.0;
/// The bias is hardly held: most spots are no faults.
const HELD_BIAS: f64 = 0.05;
/// With fewer faults, or fewer others, no model is learned.
const LEAST: usize = 10;
/// Rounds of Newton's method; it settles in about ten.
const ROUNDS: usize = 25;
/// Traits farther than this many spreads count no more, as in the model.
const FARTHEST: f64 = 4.0;

/// Learns from every picture, and writes the table of weights.
pub(crate) fn train(pictures: &[PathBuf]) -> Result<(), Problem> {
    let mut lessons = BTreeMap::<ZoneKind, Vec<Lesson>>::new();
    for picture in pictures {
        for (kind, lesson) in lessons_of(picture)? {
            lessons.entry(kind).or_default().push(lesson);
        }
    }
    let mut table = HEAD.to_owned();
    let mut arms = String::new();
    for (kind, lessons) in &lessons {
        let faults = lessons.iter().filter(|it| it.is_fault).count();
        println!("{}: {} spots, of which {faults} are", kind.word(), lessons.len());
        if faults < LEAST || lessons.len() - faults < LEAST {
            continue;
        }
        let model = Model::learn(lessons);
        model.tell(lessons);
        let name = format!("{kind:?}").to_uppercase();
        let _ = writeln!(arms, "        ZoneKind::{kind:?} => Some(&{name}),");
        table.push_str(&model.written(&name));
    }
    let _ = write!(table, "{MATCH}{arms}        _ => None,\n    }}\n}}\n");
    fs::write(TABLE, table).map_err(|it| Problem::new(format!("{TABLE}: {it}")))
}

const HEAD: &str = "//! Written by `cargo run --release -p proving -- --train`: not to be changed by hand.

use stock::ZoneKind;

use super::Weights;
";
const MATCH: &str = "
/// The model of a kind, if one was trained.
pub(super) fn of(kind: ZoneKind) -> Option<&'static Weights> {
    match kind {
";

fn lessons_of(picture: &Path) -> Result<Vec<(ZoneKind, Lesson)>, Problem> {
    let it = measured(picture)?;
    let Ok(found) = it.found else { return Ok(Vec::new()) };
    let faults = true_faults(&found, &it.marks);
    let lesson = |suspect: &Suspect| {
        let is_fault = is_it(suspect, &faults);
        // What touches another fault is neither right nor wrong.
        let unclear = !is_fault && faults.iter().any(|it| touch(&suspect.area, &it.1));
        (!unclear).then(|| (suspect.kind, Lesson { traits: suspect.traits.clone(), is_fault }))
    };
    Ok(found.suspects.iter().filter_map(lesson).collect())
}

fn is_it(suspect: &Suspect, faults: &[(&FaultMark, Ring)]) -> bool {
    faults.iter().filter(|it| it.0.kind == suspect.kind).any(|(_, truth)| match suspect.kind {
        ZoneKind::Check => lies_along(&suspect.area, truth),
        ZoneKind::Wane | ZoneKind::Stain => touch(&suspect.area, truth),
        _ => is_same(&suspect.area, truth),
    })
}

/// A logistic model being learned: bias first, then traits, then their squares.
struct Model {
    usual: Vec<f64>,
    spread: Vec<f64>,
    weights: Vec<f64>,
}

impl Model {
    /// Newton's method on the penalised likelihood.
    fn learn(lessons: &[Lesson]) -> Model {
        let count = lessons[0].traits.len();
        let column = |index: usize| lessons.iter().map(move |it| it.traits[index]);
        let usual: Vec<f64> = (0..count).map(|it| column(it).sum::<f64>() / lessons.len() as f64).collect();
        let spread = (0..count).map(|it| {
            let square: f64 = column(it).map(|value| (value - usual[it]).powi(2)).sum();
            (square / lessons.len() as f64).sqrt().max(1e-3)
        });
        let spread = spread.collect();
        let mut model = Model { usual, spread, weights: vec![0.0; 2 * count + 1] };
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

    fn sure(&self, input: &[f64]) -> f64 {
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
            let sure = self.sure(input);
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

    /// How it does on its own lessons: recall and wrong ones at one half, and
    /// how true its sureness is.
    fn tell(&self, lessons: &[Lesson]) {
        let judged: Vec<(f64, bool)> =
            lessons.iter().map(|it| (self.sure(&self.input(&it.traits)), it.is_fault)).collect();
        let (mut right, mut all, mut wrong) = (0, 0, 0);
        for &(sure, is_fault) in &judged {
            all += usize::from(is_fault);
            right += usize::from(is_fault && sure >= 0.5);
            wrong += usize::from(!is_fault && sure >= 0.5);
        }
        println!("  at one half: {right} of {all} found, {wrong} wrong");
        for tenth in 0..5 {
            let (low, high) = (f64::from(tenth) * 0.2, f64::from(tenth) * 0.2 + 0.2);
            let within = judged.iter().filter(|it| it.0 >= low && it.0 < high + 1e-12);
            let (count, are) = within.fold((0, 0), |sum, it| (sum.0 + 1, sum.1 + usize::from(it.1)));
            println!("  sure {low:.1} to {high:.1}: {are} of {count}");
        }
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
