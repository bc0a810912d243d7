//! The most valuable things that find room on a few beds.

use measure::Length;
use outline::Place;
use rand::seq::IndexedRandom;
use rand::{RngExt, SeedableRng};
use rand_pcg::Pcg64Mcg;

use crate::bed::Bed;
use crate::kind::{Kind, Shape};
use crate::pile::{Effort, Gaps, Pile, Setup, Thing};

/// A thing that found room.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lying {
    /// The number of its kind.
    pub kind: usize,
    /// The number of its bed.
    pub bed: usize,
    /// Where it lies there.
    pub place: Place,
}

/// Things that found room, and what they are worth together.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Filling {
    /// Where each lies.
    pub lying: Vec<Lying>,
    /// The sum of their values.
    pub value: f64,
}

/// What is to be laid where.
pub struct Task<'a> {
    /// The kinds, and how many of each there are.
    pub kinds: &'a [(Kind, usize)],
    /// What they are laid on.
    pub beds: &'a [Bed],
    /// The clear way that two kinds keep between them, by their numbers.
    pub gap: &'a (dyn Fn(usize, usize) -> Length + Sync),
}

/// Fills beds with the most valuable things, until told to stop; each better
/// filling is told.
pub fn fill(
    task: &Task,
    seed: u64,
    share_done: &(dyn Fn() -> f64 + Sync),
    better: &(dyn Fn(&Filling) + Sync),
) -> Filling {
    let shapes: Vec<Shape> = task.kinds.iter().map(|it| Shape::new(it.0.clone())).collect();
    let kinds = shapes.len();
    let ways = (0..kinds * kinds).map(|it| (task.gap)(it / kinds, it % kinds).to_mm() + GRAZE).collect();
    let gaps = Gaps { kinds, ways };
    let setup = Setup { shapes: &shapes, gaps: &gaps };
    let best = std::sync::Mutex::new(Filling::default());
    let tell = |found: &Filling| {
        let Ok(mut best) = best.lock() else { return };
        if found.value > best.value {
            *best = found.clone();
            better(&best);
        }
    };
    let walk = |number: u64| {
        Walk::new(&setup, task, seed.wrapping_mul(2).wrapping_add(number), share_done).run(&tell);
    };
    rayon::join(|| walk(0), || walk(1));
    best.into_inner().unwrap_or_default()
}

/// Kept between things, so that no rounding lets them touch.
const GRAZE: f64 = 0.004;

/// One way through the fillings.
struct Walk<'a> {
    setup: &'a Setup<'a>,
    task: &'a Task<'a>,
    piles: Vec<Pile<'a>>,
    /// How many of each kind lie nowhere.
    left: Vec<usize>,
    value: f64,
    rng: Pcg64Mcg,
    share_done: &'a (dyn Fn() -> f64 + Sync),
}

/// For a thing that is to lie in a hole that is there.
const LOOK: Effort = Effort { rounds: 1, strikes: 1, samples: (60, 0) };
/// For things that make room for one more.
const PRESS: Effort = Effort { rounds: 25, strikes: 1, samples: (30, 15) };
/// How often a thing of one bed is tried on another.
const LENT: f64 = 0.4;
/// The worst value that is gone on from, below the best, as a share of it.
const LOSS: f64 = 0.02;

impl<'a> Walk<'a> {
    fn new(
        setup: &'a Setup<'a>,
        task: &'a Task<'a>,
        seed: u64,
        share_done: &'a (dyn Fn() -> f64 + Sync),
    ) -> Walk<'a> {
        Walk {
            setup,
            task,
            piles: task.beds.iter().map(|bed| Pile::new(setup, bed)).collect(),
            left: task.kinds.iter().map(|it| it.1).collect(),
            value: 0.0,
            rng: Pcg64Mcg::seed_from_u64(seed),
            share_done,
        }
    }

    fn is_over(&self) -> bool {
        (self.share_done)() >= 1.0 || self.left.iter().all(|&it| it == 0)
    }

    fn worth(&self, kind: usize) -> f64 {
        self.task.kinds[kind].0.value
    }

    fn run(&mut self, tell: &dyn Fn(&Filling)) {
        let mut order = self.by_density(0.1);
        order.retain(|&kind| self.left[kind] > 0);
        for bed in 0..self.piles.len() {
            self.top_up(bed, &order);
            tell(&self.filling());
        }
        let mut best = self.value;
        while !self.is_over() {
            let bed = self.rng.random_range(0..self.piles.len());
            let lender = self.rng.random_range(0..self.piles.len());
            let piles = (self.piles[bed].clone(), self.piles[lender].clone());
            let (left, value) = (self.left.clone(), self.value);
            if lender != bed && self.rng.random_bool(LENT) {
                self.lend(lender, bed);
            } else {
                let open: Vec<usize> = (0..self.left.len()).filter(|&kind| self.left[kind] > 0).collect();
                let Some(&kind) = open.choose(&mut self.rng) else { return };
                self.change(bed, kind);
            }
            let share = LOSS * (1.0 - (self.share_done)()).max(0.0) * self.rng.random_range(0.0..1.0);
            if self.value < value && self.value < best * (1.0 - share) {
                (self.piles[lender], self.piles[bed]) = (piles.1, piles.0);
                (self.left, self.value) = (left, value);
            }
            if self.value > best {
                best = self.value;
                tell(&self.filling());
            }
        }
    }

    /// Kinds that are left, those first that are worth most for their size.
    fn by_density(&mut self, noise: f64) -> Vec<usize> {
        let mut keys: Vec<(f64, usize)> = Vec::new();
        for kind in 0..self.left.len() {
            let shape = &self.setup.shapes[kind];
            let shaken = self.rng.random_range(1.0 - noise..=1.0 + noise);
            keys.push((self.worth(kind).powf(1.2) * shaken / shape.area.max(1e-9) * shape.area.sqrt(), kind));
        }
        keys.sort_by(|one, other| other.0.total_cmp(&one.0));
        keys.into_iter().map(|it| it.1).collect()
    }

    /// Lays what finds a hole as things lie.
    fn top_up(&mut self, bed: usize, order: &[usize]) {
        for &kind in order {
            while self.left[kind] > 0 && !self.is_over() && self.look(bed, kind) {}
        }
    }

    fn look(&mut self, bed: usize, kind: usize) -> bool {
        let pose = self.task.beds[bed].draw_pose(&self.setup.shapes[kind], &mut self.rng);
        let pile = &mut self.piles[bed];
        pile.add(kind, pose, false);
        let last = pile.things.len() - 1;
        if pile.settle(last, &LOOK, &mut self.rng) {
            self.left[kind] -= 1;
            self.value += self.worth(kind);
            return true;
        }
        self.piles[bed].remove(last);
        false
    }

    /// Takes a thing from one bed to another, and fills what it leaves behind.
    fn lend(&mut self, lender: usize, bed: usize) {
        let lying = self.piles[lender].things.len();
        if lying == 0 {
            return;
        }
        let number = self.rng.random_range(0..lying);
        let kind = self.take_out(lender, number).shape;
        self.change(bed, kind);
        let order = self.by_density(0.3);
        self.top_up(lender, &order);
    }

    fn take_out(&mut self, bed: usize, number: usize) -> Thing {
        let thing = self.piles[bed].remove(number);
        self.left[thing.shape] += 1;
        self.value -= self.worth(thing.shape);
        thing
    }

    /// Takes nothing or something out, and presses something else in.
    fn change(&mut self, bed: usize, kind: usize) {
        let lying = self.piles[bed].things.len();
        let out = [0, 0, 0, 1, 1, 2, lying][self.rng.random_range(0..7)].min(lying);
        let near = self.rng.random_range(0..lying.max(1));
        let mut pose = self.task.beds[bed].draw_pose(&self.setup.shapes[kind], &mut self.rng);
        for turn in 0..out {
            let number = if turn == 0 { near } else { self.nearest(bed, pose.at) };
            pose.at = self.take_out(bed, number).pose.at;
        }
        let mut order: Vec<usize> = vec![kind];
        let mut rest = self.by_density(0.5);
        rest.retain(|&it| it != kind);
        order.extend(rest);
        let mut pressed = 0;
        for kind in order {
            if self.left[kind] == 0 || self.is_over() {
                continue;
            }
            while self.left[kind] > 0 && self.look(bed, kind) {}
            if self.left[kind] > 0 && pressed < 1 + out.min(3) {
                pressed += 1;
                self.press(bed, kind);
            }
        }
    }

    fn nearest(&self, bed: usize, at: [f64; 2]) -> usize {
        let far = |number: &usize| {
            let pose = self.piles[bed].things[*number].pose;
            (pose.at[0] - at[0]).hypot(pose.at[1] - at[1])
        };
        (0..self.piles[bed].things.len()).min_by(|one, other| far(one).total_cmp(&far(other))).unwrap_or(0)
    }

    /// Presses one more thing in, which the others make room for if they can.
    fn press(&mut self, bed: usize, kind: usize) {
        let before = self.piles[bed].clone();
        let pose = self.task.beds[bed].draw_pose(&self.setup.shapes[kind], &mut self.rng);
        let pile = &mut self.piles[bed];
        pile.forget_weights();
        pile.add(kind, pose, false);
        let last = pile.things.len() - 1;
        pile.settle(last, &LOOK, &mut self.rng);
        let share_done = self.share_done;
        if pile.part_alone(&PRESS, &mut self.rng, &|| share_done() >= 1.0) {
            self.left[kind] -= 1;
            self.value += self.worth(kind);
        } else {
            self.piles[bed] = before;
        }
    }

    fn filling(&self) -> Filling {
        let on = |(bed, pile): (usize, &Pile)| -> Vec<Lying> {
            let lies =
                |it: &Thing| Lying { kind: it.shape, bed, place: self.setup.shapes[it.shape].place(it.pose) };
            pile.things.iter().map(lies).collect()
        };
        Filling { lying: self.piles.iter().enumerate().flat_map(on).collect(), value: self.value }
    }
}
