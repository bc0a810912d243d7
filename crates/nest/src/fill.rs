//! The most valuable things that find room on a few beds.

use std::sync::Mutex;
use std::sync::atomic::{AtomicU32, Ordering};

use measure::Length;
use outline::Place;
use rand::seq::IndexedRandom;
use rand::{RngExt, SeedableRng};
use rand_pcg::Pcg64Mcg;

use crate::bed::Bed;
use crate::kind::{Kind, Pose, Shape};
use crate::pile::{Effort, GRAZE, Gaps, May, Pile, Setup, Thing};

/// A thing that found room.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lying {
    /// The number of its kind.
    pub kind: usize,
    /// The number of its bed.
    pub bed: usize,
    /// Where it lies there.
    pub place: Place,
    /// Whether it stays there.
    pub fixed: bool,
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
    pub beds: &'a [Bed<'a>],
    /// Whether a kind may lie on a bed, by their numbers.
    pub may: May<'a>,
    /// The clear way that two kinds keep between them, by their numbers.
    pub gap: &'a (dyn Fn(usize, usize) -> Length + Sync),
}

/// Fills beds with the most valuable things, until all its share is done; each
/// better filling is told. What lies there already may be moved or taken out for
/// better things, unless it is fixed.
///
/// Takes two threads, each with a way of its own.
pub fn fill(
    task: &Task,
    lying: &[Lying],
    seed: u64,
    share_done: &(dyn Fn() -> f64 + Sync),
    better: &(dyn Fn(&Filling) + Sync),
) -> Filling {
    let best = Mutex::new(Filling { value: f64::NEG_INFINITY, ..Filling::default() });
    let tell = |found: &Filling| {
        let Ok(mut best) = best.lock() else { return };
        if found.value > best.value {
            *best = found.clone();
            better(&best);
        }
    };
    both_ways(task, lying, seed, &|walk: &mut Walk| {
        walk.run(share_done, &tell);
    });
    best.into_inner().unwrap_or_default()
}

/// The same for a number of looks instead of a time: the same task gives the
/// same filling, on however many threads, unless it is stopped.
pub fn fill_looking(
    task: &Task,
    lying: &[Lying],
    seed: u64,
    looks: u32,
    stop: &(dyn Fn() -> bool + Sync),
) -> Filling {
    let (one, other) = both_ways(task, lying, seed, &|walk: &mut Walk| {
        let seen = AtomicU32::new(0);
        let share_done = || match stop() {
            true => 1.0,
            false => f64::from(seen.fetch_add(1, Ordering::Relaxed)) / f64::from(looks.max(1)),
        };
        walk.run(&share_done, &|_| {})
    });
    if other.value > one.value { other } else { one }
}

/// Goes two ways at once, each with its own luck.
fn both_ways<T: Send>(
    task: &Task,
    lying: &[Lying],
    seed: u64,
    go: &(dyn Fn(&mut Walk) -> T + Sync),
) -> (T, T) {
    let shapes: Vec<Shape> = task.kinds.iter().map(|it| Shape::new(it.0.clone())).collect();
    let kinds = shapes.len();
    let ways = (0..kinds * kinds).map(|it| (task.gap)(it / kinds, it % kinds).to_mm() + GRAZE).collect();
    let gaps = Gaps { kinds, ways };
    let setup = Setup { shapes: &shapes, gaps: &gaps };
    let way = |number: u64| {
        let mut walk = Walk::new(&setup, task, seed.wrapping_mul(2).wrapping_add(number));
        lying.iter().for_each(|it| walk.lay(it));
        go(&mut walk)
    };
    rayon::join(|| way(0), || way(1))
}

/// One way through the fillings.
struct Walk<'a> {
    setup: &'a Setup<'a>,
    task: &'a Task<'a>,
    piles: Vec<Pile<'a>>,
    /// How many of each kind lie nowhere.
    left: Vec<usize>,
    value: f64,
    rng: Pcg64Mcg,
}

/// How much of the time for a filling is gone.
type ShareDone<'a> = &'a (dyn Fn() -> f64 + Sync);

/// For a thing that is to lie in a hole that is there.
const LOOK: Effort = Effort { rounds: 1, strikes: 1, samples: (60, 0) };
/// For things that make room for one more.
const PRESS: Effort = Effort { rounds: 25, strikes: 1, samples: (30, 15) };
/// For the last few things, on which the whole hangs.
const PRESS_LAST: Effort = Effort { rounds: 120, strikes: 1, samples: (50, 25) };
/// For things on all beds that make room for one more.
const PRESS_TOGETHER: Effort = Effort { rounds: 80, strikes: 1, samples: (40, 15) };
/// For the last few of them.
const PRESS_TOGETHER_LAST: Effort = Effort { rounds: 300, strikes: 2, samples: (40, 15) };
/// How often all beds together make room for one more, and for one of the last few.
const TOGETHER: f64 = 0.2;
const TOGETHER_LAST: f64 = 0.6;
/// Things left that are the last few.
const LAST: usize = 2;
/// A bed with no more things is now and then filled anew.
const FEW: usize = 8;
/// How often a thing of one bed is tried on another.
const LENT: f64 = 0.4;
/// The worst value that is gone on from, below the best, as a share of it.
const LOSS: f64 = 0.02;

impl<'a> Walk<'a> {
    fn new(setup: &'a Setup<'a>, task: &'a Task<'a>, seed: u64) -> Walk<'a> {
        Walk {
            setup,
            task,
            piles: task.beds.iter().map(|bed| Pile::new(setup, bed)).collect(),
            left: task.kinds.iter().map(|it| it.1).collect(),
            value: 0.0,
            rng: Pcg64Mcg::seed_from_u64(seed),
        }
    }

    /// Begins with a thing where it lies.
    fn lay(&mut self, it: &Lying) {
        self.piles[it.bed].add(it.kind, self.setup.shapes[it.kind].pose(it.place), it.fixed);
        self.left[it.kind] = self.left[it.kind].saturating_sub(1);
        self.value += self.worth(it.kind);
    }

    fn is_over(&self, share_done: ShareDone) -> bool {
        share_done() >= 1.0 || self.left.iter().all(|&it| it == 0)
    }

    /// Whether only a few things lie nowhere.
    fn is_last(&self) -> bool {
        self.left.iter().sum::<usize>() <= LAST
    }

    fn worth(&self, kind: usize) -> f64 {
        self.task.kinds[kind].0.value
    }

    /// Fills, and goes on changing what lies; ends with the best filling.
    fn run(&mut self, share_done: ShareDone, tell: &dyn Fn(&Filling)) -> Filling {
        let mut filling = self.filling();
        let mut order = self.by_density(0.1);
        order.retain(|&kind| self.left[kind] > 0);
        for bed in 0..self.piles.len() {
            self.top_up(bed, &order, share_done);
            filling = self.filling();
            tell(&filling);
        }
        while !self.is_over(share_done) {
            let bed = self.rng.random_range(0..self.piles.len());
            let lender = self.rng.random_range(0..self.piles.len());
            let piles = (self.piles[bed].clone(), self.piles[lender].clone());
            let (left, value) = (self.left.clone(), self.value);
            let often = if self.is_last() { TOGETHER_LAST } else { TOGETHER };
            let together = lender != bed && self.rng.random_bool(often);
            if together && let Some(&kind) = self.open().choose(&mut self.rng) {
                self.press_together(kind, share_done);
                self.note_better(&mut filling, tell);
                continue;
            }
            if lender != bed && self.rng.random_bool(LENT) {
                self.lend(lender, bed, share_done);
            } else {
                let Some(&kind) = self.open().choose(&mut self.rng) else { break };
                self.change(bed, kind, share_done);
            }
            let share = LOSS * (1.0 - share_done()).max(0.0) * self.rng.random_range(0.0..1.0);
            if self.value < value && self.value < filling.value * (1.0 - share) {
                (self.piles[lender], self.piles[bed]) = (piles.1, piles.0);
                (self.left, self.value) = (left, value);
            }
            self.note_better(&mut filling, tell);
        }
        filling
    }

    /// Keeps and tells what lies now, if it is better than the best so far.
    fn note_better(&self, best: &mut Filling, tell: &dyn Fn(&Filling)) {
        if self.value > best.value {
            *best = self.filling();
            tell(best);
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
    fn top_up(&mut self, bed: usize, order: &[usize], share_done: ShareDone) {
        for &kind in order {
            while self.left[kind] > 0 && !self.is_over(share_done) && self.look(bed, kind) {}
        }
    }

    fn look(&mut self, bed: usize, kind: usize) -> bool {
        if !(self.task.may)(kind, bed) {
            return false;
        }
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
    fn lend(&mut self, lender: usize, bed: usize, share_done: ShareDone) {
        let Some(&number) = self.loose(lender).choose(&mut self.rng) else { return };
        let kind = self.take_out(lender, number).shape;
        self.change(bed, kind, share_done);
        let order = self.by_density(0.3);
        self.top_up(lender, &order, share_done);
    }

    fn take_out(&mut self, bed: usize, number: usize) -> Thing {
        let thing = self.piles[bed].remove(number);
        self.left[thing.shape] += 1;
        self.value -= self.worth(thing.shape);
        thing
    }

    /// Takes nothing or something out, and presses something else in.
    fn change(&mut self, bed: usize, kind: usize, share_done: ShareDone) {
        let loose = self.loose(bed);
        let all = if loose.len() <= FEW { loose.len() } else { 3 };
        let out = [0, 0, 0, 1, 1, 2, all][self.rng.random_range(0..7)].min(loose.len());
        let mut pose = self.task.beds[bed].draw_pose(&self.setup.shapes[kind], &mut self.rng);
        if out > 0
            && let Some(&first) = loose.choose(&mut self.rng)
        {
            pose.at = self.take_out(bed, first).pose.at;
            for _ in 1..out {
                let Some(next) = self.nearest(bed, pose.at) else { break };
                pose.at = self.take_out(bed, next).pose.at;
            }
        }
        let mut order: Vec<usize> = vec![kind];
        let mut rest = self.by_density(0.5);
        rest.retain(|&it| it != kind);
        order.extend(rest);
        let mut pressed = 0;
        for kind in order {
            if self.left[kind] == 0 || self.is_over(share_done) {
                continue;
            }
            while self.left[kind] > 0 && self.look(bed, kind) {}
            if self.left[kind] > 0 && pressed < 1 + out.min(3) {
                pressed += 1;
                self.press(bed, kind, share_done);
            }
        }
    }

    /// What lies on a bed and may be moved.
    fn loose(&self, bed: usize) -> Vec<usize> {
        let things = &self.piles[bed].things;
        (0..things.len()).filter(|&it| !things[it].fixed).collect()
    }

    fn nearest(&self, bed: usize, at: [f64; 2]) -> Option<usize> {
        let far = |number: &usize| {
            let pose = self.piles[bed].things[*number].pose;
            (pose.at[0] - at[0]).hypot(pose.at[1] - at[1])
        };
        self.loose(bed).into_iter().min_by(|one, other| far(one).total_cmp(&far(other)))
    }

    /// Presses one more thing in, which the others make room for if they can.
    fn press(&mut self, bed: usize, kind: usize, share_done: ShareDone) {
        if !(self.task.may)(kind, bed) {
            return;
        }
        let before = self.piles[bed].clone();
        let pose = self.task.beds[bed].draw_pose(&self.setup.shapes[kind], &mut self.rng);
        let effort = if self.is_last() { &PRESS_LAST } else { &PRESS };
        let pile = &mut self.piles[bed];
        pile.forget_weights();
        pile.add(kind, pose, false);
        let last = pile.things.len() - 1;
        pile.settle(last, &LOOK, &mut self.rng);
        if pile.part_alone(effort, &mut self.rng, &|| share_done() >= 1.0) {
            self.left[kind] -= 1;
            self.value += self.worth(kind);
        } else {
            self.piles[bed] = before;
        }
    }

    /// Kinds of which something lies nowhere.
    fn open(&self) -> Vec<usize> {
        (0..self.left.len()).filter(|&kind| self.left[kind] > 0).collect()
    }

    /// Presses one more thing in somewhere, which the things on all beds make
    /// room for if they can, moving from bed to bed.
    fn press_together(&mut self, kind: usize, share_done: ShareDone) {
        if !(0..self.piles.len()).any(|bed| (self.task.may)(kind, bed)) {
            return;
        }
        let mut all = Pile::over(self.setup, self.task.beds.iter().collect(), self.task.may);
        for (bed, pile) in self.piles.iter().enumerate() {
            pile.things.iter().for_each(|it| all.add(it.shape, Pose { bed, ..it.pose }, it.fixed));
        }
        all.add(kind, all.draw_pose(kind, &mut self.rng), false);
        let effort = if self.is_last() { &PRESS_TOGETHER_LAST } else { &PRESS_TOGETHER };
        all.settle(all.things.len() - 1, effort, &mut self.rng);
        if all.part_alone(effort, &mut self.rng, &|| share_done() >= 1.0) {
            self.piles = self.task.beds.iter().map(|bed| Pile::new(self.setup, bed)).collect();
            for it in &all.things {
                self.piles[it.pose.bed].add(it.shape, Pose { bed: 0, ..it.pose }, it.fixed);
            }
            self.left[kind] -= 1;
            self.value += self.worth(kind);
        }
    }

    fn filling(&self) -> Filling {
        let on = |(bed, pile): (usize, &Pile)| -> Vec<Lying> {
            let lies = |it: &Thing| {
                let place = self.setup.shapes[it.shape].place(it.pose);
                Lying { kind: it.shape, bed, place, fixed: it.fixed }
            };
            pile.things.iter().map(lies).collect()
        };
        Filling { lying: self.piles.iter().enumerate().flat_map(on).collect(), value: self.value }
    }
}
