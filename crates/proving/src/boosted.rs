//! Many small trees, each grown on what those before it left (Friedman, "Greedy
//! function approximation: a gradient boosting machine", 2001, and "Stochastic
//! gradient boosting", 2002).

use std::fmt::Write as _;

use crate::train::{Learned, Lesson};

/// How many trees, and how much of its answer each may add.
const TREES: usize = 150;
const PACE: f64 = 0.08;
/// Each tree sees this share of the lessons.
const SEEN: f64 = 0.6;
/// Neither side of a question has fewer lessons than this.
const LEAST: usize = 10;
/// An answer is held small by this much likelihood.
const HELD: f64 = 1.0;
/// Questions and answers of one tree.
const ASKS: usize = 7;
const LEAVES: usize = 8;

/// Trees that were grown.
pub(crate) struct Boosted {
    traits: usize,
    bias: f64,
    trees: Vec<Tree>,
}

/// Questions one after another, and what each last answer adds.
struct Tree {
    asks: [(usize, f32); ASKS],
    adds: [f32; LEAVES],
}

/// A lesson's slope and curvature of the likelihood.
#[derive(Clone, Copy, Default)]
struct Pull {
    slope: f64,
    curve: f64,
}

impl Boosted {
    pub(crate) fn grow(lessons: &[Lesson]) -> Boosted {
        let faults = lessons.iter().filter(|it| it.is_fault).count() as f64;
        let bias = (faults / (lessons.len() as f64 - faults)).ln();
        let mut all = Boosted { traits: lessons[0].traits.len(), bias, trees: Vec::with_capacity(TREES) };
        let mut sums = vec![bias; lessons.len()];
        for round in 0..TREES {
            let pulls: Vec<Pull> =
                sums.iter().zip(lessons).map(|(sum, it)| Pull::of(*sum, it.is_fault)).collect();
            let seen: Vec<usize> = (0..lessons.len()).filter(|it| chance(round, *it) < SEEN).collect();
            let tree = Tree::grow(lessons, &pulls, seen);
            for (sum, lesson) in sums.iter_mut().zip(lessons) {
                *sum += f64::from(tree.adds(&lesson.traits));
            }
            all.trees.push(tree);
        }
        all
    }
}

impl Learned for Boosted {
    fn sure(&self, traits: &[f64]) -> f64 {
        let sum = self.trees.iter().fold(self.bias, |sum, it| sum + f64::from(it.adds(traits)));
        1.0 / (1.0 + (-sum).exp())
    }

    fn written(&self, name: &str) -> String {
        let Boosted { traits, bias, .. } = self;
        let mut out = format!(
            "\n#[rustfmt::skip]\nstatic {name}: Trees = Trees {{\n    traits: {traits},\n    bias: {bias:.5},\n    trees: &[\n"
        );
        for tree in &self.trees {
            let asks = tree.asks.map(|(index, mark)| format!("({index}, {mark:?})")).join(", ");
            let adds = tree.adds.map(|it| format!("{it:?}")).join(", ");
            let _ = writeln!(out, "        Tree {{ asks: [{asks}], adds: [{adds}] }},");
        }
        out.push_str("    ],\n};\n");
        out
    }
}

impl Pull {
    fn of(sum: f64, is_fault: bool) -> Pull {
        let sure = 1.0 / (1.0 + (-sum).exp());
        Pull { slope: f64::from(u8::from(is_fault)) - sure, curve: (sure * (1.0 - sure)).max(1e-6) }
    }

    fn and(self, other: Pull) -> Pull {
        Pull { slope: self.slope + other.slope, curve: self.curve + other.curve }
    }

    fn without(self, other: Pull) -> Pull {
        Pull { slope: self.slope - other.slope, curve: self.curve - other.curve }
    }

    /// What is gained where all of these get one answer.
    fn gain(self) -> f64 {
        self.slope * self.slope / (self.curve + HELD)
    }
}

impl Tree {
    fn grow(lessons: &[Lesson], pulls: &[Pull], seen: Vec<usize>) -> Tree {
        let mut tree = Tree { asks: [(0, f32::MAX); ASKS], adds: [0.0; LEAVES] };
        let mut groups = std::collections::VecDeque::from([seen]);
        for at in 0..ASKS {
            let group = groups.pop_front().unwrap_or_default();
            // Where no question is worth asking, all go on together.
            tree.asks[at] = best_ask(lessons, pulls, &group).unwrap_or((0, f32::MAX));
            let (index, mark) = tree.asks[at];
            let (above, below) =
                group.into_iter().partition(|&it| lessons[it].traits[index] > f64::from(mark));
            groups.extend::<[Vec<usize>; 2]>([below, above]);
        }
        for (adds, group) in tree.adds.iter_mut().zip(groups) {
            let sum = group.iter().fold(Pull::default(), |sum, &it| sum.and(pulls[it]));
            *adds = (PACE * sum.slope / (sum.curve + HELD)) as f32;
        }
        tree
    }

    fn adds(&self, traits: &[f64]) -> f32 {
        let mut at = 0;
        while let Some(&(index, mark)) = self.asks.get(at) {
            at = 2 * at + if traits[index] > f64::from(mark) { 2 } else { 1 };
        }
        self.adds[at - ASKS]
    }
}

/// The trait and the mark that part these lessons best.
fn best_ask(lessons: &[Lesson], pulls: &[Pull], group: &[usize]) -> Option<(usize, f32)> {
    let all = group.iter().fold(Pull::default(), |sum, &it| sum.and(pulls[it]));
    let mut best: Option<(f64, (usize, f32))> = None;
    for index in 0..lessons.first()?.traits.len() {
        let mut sorted = group.to_vec();
        sorted.sort_by(|a, b| lessons[*a].traits[index].total_cmp(&lessons[*b].traits[index]));
        let mut below = Pull::default();
        for (count, pair) in (1..).zip(sorted.windows(2)) {
            below = below.and(pulls[pair[0]]);
            let (low, high) = (lessons[pair[0]].traits[index], lessons[pair[1]].traits[index]);
            let mark = f64::midpoint(low, high) as f32;
            let parts = low <= f64::from(mark) && high > f64::from(mark);
            if count < LEAST || group.len() - count < LEAST || !parts {
                continue;
            }
            let gain = below.gain() + all.without(below).gain() - all.gain();
            if best.is_none_or(|it| gain > it.0) {
                best = Some((gain, (index, mark)));
            }
        }
    }
    best.map(|it| it.1)
}

/// From 0 to 1, the same for the same lesson and round every time (Steele, Lea and
/// Flood, "Fast splittable pseudorandom number generators", 2014).
fn chance(round: usize, lesson: usize) -> f64 {
    let mut bits = ((round as u64) << 32 | lesson as u64).wrapping_mul(0x9e37_79b9_7f4a_7c15);
    bits = (bits ^ (bits >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    bits = (bits ^ (bits >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    ((bits ^ (bits >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
}
