//! Things on a bed, or on a few together, that may still lie in each other, and
//! how they are moved until none does.
//!
//! Guided local search (Voudouris and Tsang 1999; for packing Egeblad, Nielsen
//! and Odgaard 2007): every pair has a weight that grows while the two overlap,
//! and one thing after the other moves to where it overlaps least.

use rand::seq::{IndexedRandom, SliceRandom};
use rand::{RngExt, SeedableRng};
use rand_pcg::Pcg64Mcg;

use crate::bed::Bed;
use crate::cells::{Laid, depth};
use crate::kind::{Pose, Shape};

/// The clear way that two kinds keep, by their numbers, in millimetres.
pub(crate) struct Gaps {
    pub(crate) kinds: usize,
    pub(crate) ways: Vec<f64>,
}

impl Gaps {
    pub(crate) fn between(&self, one: usize, other: usize) -> f64 {
        self.ways[one * self.kinds + other]
    }
}

/// What a search goes by.
pub(crate) struct Setup<'a> {
    pub(crate) shapes: &'a [Shape],
    pub(crate) gaps: &'a Gaps,
}

#[derive(Clone)]
pub(crate) struct Thing {
    pub(crate) shape: usize,
    pub(crate) pose: Pose,
    /// Whether it stays where it is.
    pub(crate) fixed: bool,
    laid: Laid,
    corners: Vec<[f64; 2]>,
}

/// Whether a kind may lie on a bed, by their numbers.
pub type May<'a> = &'a (dyn Fn(usize, usize) -> bool + Sync);

/// Things on one bed, or on a few together.
#[derive(Clone)]
pub(crate) struct Pile<'a> {
    setup: &'a Setup<'a>,
    beds: Vec<&'a Bed<'a>>,
    may: May<'a>,
    pub(crate) things: Vec<Thing>,
    /// How deep each pair lies in each other; row by row.
    deep: Vec<f64>,
    /// How far each is from lying as the bed allows.
    short: Vec<f64>,
    weight: Vec<f64>,
    bed_weight: Vec<f64>,
}

/// Kept between things, so that no rounding lets them touch, in millimetres.
pub(crate) const GRAZE: f64 = 0.004;
/// Less than this is none, in millimetres.
const NOTHING: f64 = 1e-6;

/// How hard a pile is tried.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Effort {
    /// Rounds without a better overlap before a strike.
    pub(crate) rounds: usize,
    /// Strikes without a better overlap before it is given up.
    pub(crate) strikes: usize,
    /// Any spots tried for a thing, and spots near where it lies.
    pub(crate) samples: (usize, usize),
}

impl<'a> Pile<'a> {
    pub(crate) fn new(setup: &'a Setup<'a>, bed: &'a Bed<'a>) -> Pile<'a> {
        Pile::over(setup, vec![bed], &|_, _| true)
    }

    /// On a few beds together: things move from one to the other.
    pub(crate) fn over(setup: &'a Setup<'a>, beds: Vec<&'a Bed<'a>>, may: May<'a>) -> Pile<'a> {
        let none = (Vec::new(), Vec::new(), Vec::new(), Vec::new());
        Pile {
            setup,
            beds,
            may,
            things: Vec::new(),
            deep: none.0,
            short: none.1,
            weight: none.2,
            bed_weight: none.3,
        }
    }

    pub(crate) fn on(mut self, bed: &'a Bed<'a>) -> Pile<'a> {
        self.beds = vec![bed];
        self
    }

    /// Lays one more thing.
    pub(crate) fn add(&mut self, shape: usize, pose: Pose, fixed: bool) {
        let mut thing = Thing { shape, pose, fixed, laid: Laid::default(), corners: Vec::new() };
        self.setup.shapes[shape].lay(pose, &mut thing.laid, &mut thing.corners);
        self.things.push(thing);
        let count = self.things.len();
        let grow = |row: &Vec<f64>, with: f64| -> Vec<f64> {
            let old = count - 1;
            let mut grown = vec![with; count * count];
            for it in 0..old {
                grown[it * count..it * count + old].copy_from_slice(&row[it * old..(it + 1) * old]);
            }
            grown
        };
        self.deep = grow(&self.deep, 0.0);
        self.weight = grow(&self.weight, 1.0);
        self.short.push(0.0);
        self.bed_weight.push(1.0);
        self.measure(count - 1);
    }

    /// Takes a thing away; the last takes its number.
    pub(crate) fn remove(&mut self, number: usize) -> Thing {
        let count = self.things.len();
        let shrink = |row: &Vec<f64>| -> Vec<f64> {
            let from = |it: usize| if it == number { count - 1 } else { it };
            let left = count - 1;
            (0..left * left).map(|it| row[from(it / left) * count + from(it % left)]).collect()
        };
        self.deep = shrink(&self.deep);
        self.weight = shrink(&self.weight);
        self.short.swap_remove(number);
        self.bed_weight.swap_remove(number);
        self.things.swap_remove(number)
    }

    /// Works out anew what a thing overlaps.
    fn measure(&mut self, number: usize) {
        let count = self.things.len();
        let thing = &self.things[number];
        let shape = &self.setup.shapes[thing.shape];
        // Where its maker put it, a thing lies as it may.
        self.short[number] = match thing.fixed {
            true => 0.0,
            false => {
                self.beds[thing.pose.bed].short(shape, thing.pose, &thing.laid, &thing.corners, f64::INFINITY)
            }
        };
        for other in 0..count {
            let near = &self.things[other];
            if other == number || (thing.fixed && near.fixed) {
                continue;
            }
            let gap = self.setup.gaps.between(thing.shape, near.shape);
            let deep = match thing.pose.bed == near.pose.bed {
                true => depth(&thing.laid, &near.laid, gap, f64::INFINITY),
                false => 0.0,
            };
            self.deep[number * count + other] = deep;
            self.deep[other * count + number] = deep;
        }
    }

    /// Works out everything anew, as for another bed.
    pub(crate) fn measure_all(&mut self) {
        (0..self.things.len()).for_each(|it| self.measure(it));
    }

    pub(crate) fn forget_weights(&mut self) {
        self.weight.fill(1.0);
        self.bed_weight.fill(1.0);
    }

    pub(crate) fn move_to(&mut self, number: usize, pose: Pose) {
        let thing = &mut self.things[number];
        thing.pose = pose;
        self.setup.shapes[thing.shape].lay(pose, &mut thing.laid, &mut thing.corners);
        self.measure(number);
    }

    /// The overlap of one thing, unweighted.
    pub(crate) fn overlap(&self, number: usize) -> f64 {
        let count = self.things.len();
        self.short[number] + self.deep[number * count..(number + 1) * count].iter().sum::<f64>()
    }

    pub(crate) fn overlaps(&self) -> f64 {
        self.short.iter().sum::<f64>() + self.deep.iter().sum::<f64>() / 2.0
    }

    fn weighted(&self) -> f64 {
        let pairs: f64 = self.deep.iter().zip(&self.weight).map(|(deep, weight)| deep * weight).sum();
        let bed: f64 = self.short.iter().zip(&self.bed_weight).map(|(short, weight)| short * weight).sum();
        bed + pairs / 2.0
    }

    /// What a thing would weigh at a pose; stops looking beyond `enough`.
    fn weigh(&self, number: usize, pose: Pose, hand: &mut Hand, enough: f64) -> f64 {
        let count = self.things.len();
        let kind = self.things[number].shape;
        let shape = &self.setup.shapes[kind];
        shape.lay(pose, &mut hand.laid, &mut hand.corners);
        let bed_weight = self.bed_weight[number];
        let mut sum = bed_weight
            * self.beds[pose.bed].short(shape, pose, &hand.laid, &hand.corners, enough / bed_weight);
        for (other, near) in self.things.iter().enumerate() {
            if sum > enough {
                return sum;
            }
            if other != number && near.pose.bed == pose.bed {
                let weight = self.weight[number * count + other];
                let gap = self.setup.gaps.between(kind, near.shape);
                sum += weight * depth(&hand.laid, &near.laid, gap, (enough - sum) / weight);
            }
        }
        sum
    }

    /// The place at which a thing weighs least, of many that are tried.
    fn best_place(&self, number: usize, effort: &Effort, hand: &mut Hand, rng: &mut Pcg64Mcg) -> (Pose, f64) {
        let thing = &self.things[number];
        let shape = &self.setup.shapes[thing.shape];
        let now = self.weigh(number, thing.pose, hand, f64::INFINITY);
        let mut best = (thing.pose, now);
        let reach = 0.2 * shape.radius;
        for sample in 0..effort.samples.0 + effort.samples.1 {
            let pose = match sample < effort.samples.0 {
                true => self.draw_pose(thing.shape, rng),
                false => self.held(shape, self.near(shape, thing.pose, reach, rng), hand),
            };
            let weight = self.weigh(number, pose, hand, best.1);
            if weight < best.1 {
                best = (pose, weight);
            }
        }
        let rough = self.slide(number, best, &ROUGH, hand, rng);
        self.slide(number, rough, &FINE, hand, rng)
    }

    /// Any pose on a bed that the kind may lie on.
    pub(crate) fn draw_pose(&self, kind: usize, rng: &mut Pcg64Mcg) -> Pose {
        let shape = &self.setup.shapes[kind];
        if self.beds.len() == 1 {
            return self.beds[0].draw_pose(shape, rng);
        }
        let open: Vec<usize> = (0..self.beds.len()).filter(|&bed| (self.may)(kind, bed)).collect();
        let bed = open.choose(rng).copied().unwrap_or(0);
        Pose { bed, ..self.beds[bed].draw_pose(shape, rng) }
    }

    /// A pose close to another.
    fn near(&self, shape: &Shape, pose: Pose, reach: f64, rng: &mut Pcg64Mcg) -> Pose {
        let at = pose.at.map(|it| it + rng.random_range(-reach..reach));
        let turn = match rng.random_bool(0.5) {
            true => pose.turn,
            false => shape.draw_turn(self.beds[pose.bed].grain_at(at), rng),
        };
        Pose { at, turn, ..pose }
    }

    /// Brings a pose into an upright frame; other beds say how far it is out.
    fn held(&self, shape: &Shape, pose: Pose, hand: &mut Hand) -> Pose {
        if !self.beds[pose.bed].is_frame() {
            return pose;
        }
        shape.lay(pose, &mut hand.laid, &mut hand.corners);
        self.beds[pose.bed].held(&hand.laid, pose)
    }

    /// Slides a thing to where it weighs less, step by step, each half of the
    /// last that was in vain; steps are shares of its radius, and degrees.
    fn slide(
        &self,
        number: usize,
        from: (Pose, f64),
        steps: &Steps,
        hand: &mut Hand,
        rng: &mut Pcg64Mcg,
    ) -> (Pose, f64) {
        let shape = &self.setup.shapes[self.things[number].shape];
        let (mut pose, mut least) = from;
        let mut step = [shape.radius * steps.first; 2];
        let mut turn = steps.first_turn.to_radians();
        let wiggles = shape.wiggles();
        while least > NOTHING {
            let go_on = |step: &[f64; 2], turn: f64| {
                step.iter().any(|it| *it > shape.radius * steps.last)
                    || (wiggles && turn > steps.last_turn.to_radians())
            };
            if !go_on(&step, turn) {
                break;
            }
            let way: u32 = rng.random_range(0..if wiggles { 5 } else { 4 });
            let sign = if rng.random_bool(0.5) { 1.0 } else { -1.0 };
            let mut found = None;
            for sign in [sign, -sign] {
                let tried =
                    self.held(shape, stepped(shape, pose, way, step.map(|it| it * sign), turn * sign), hand);
                let weight = self.weigh(number, tried, hand, least);
                if weight < least {
                    found = Some((tried, weight));
                    break;
                }
            }
            let factor = if found.is_some() { 1.1 } else { 0.5 };
            match way {
                0 => step[0] *= factor,
                1 => step[1] *= factor,
                2 | 3 => step = step.map(|it| it * factor.sqrt()),
                _ => turn *= factor,
            }
            if let Some((better, weight)) = found {
                (pose, least) = (better, weight);
            }
        }
        (pose, least)
    }

    /// Moves every thing that overlaps once, in any order.
    fn round(&mut self, effort: &Effort, rng: &mut Pcg64Mcg) {
        let mut numbers: Vec<usize> = (0..self.things.len()).collect();
        numbers.shuffle(rng);
        let mut hand = Hand::default();
        for number in numbers {
            if self.things[number].fixed || self.overlap(number) <= NOTHING {
                continue;
            }
            let now = self.weigh(number, self.things[number].pose, &mut hand, f64::INFINITY);
            let (pose, weight) = self.best_place(number, effort, &mut hand, rng);
            if weight < now {
                self.move_to(number, pose);
            }
        }
    }

    /// Lets what overlaps weigh more, and what does not a little less.
    fn learn(&mut self) {
        let worst = self.deep.iter().chain(&self.short).copied().fold(0.0, f64::max);
        if worst <= 0.0 {
            return;
        }
        let learnt = |weight: f64, deep: f64| match deep > NOTHING {
            true => weight * (1.2 + 0.8 * deep / worst),
            false => (weight * 0.95).max(1.0),
        };
        self.weight.iter_mut().zip(&self.deep).for_each(|(weight, deep)| *weight = learnt(*weight, *deep));
        let bed = self.bed_weight.iter_mut().zip(&self.short);
        bed.for_each(|(weight, short)| *weight = learnt(*weight, *short));
    }

    /// Moves one thing to where it overlaps least; whether that is not at all.
    pub(crate) fn settle(&mut self, number: usize, effort: &Effort, rng: &mut Pcg64Mcg) -> bool {
        let (pose, _) = self.best_place(number, effort, &mut Hand::default(), rng);
        self.move_to(number, pose);
        self.overlap(number) <= NOTHING
    }

    /// Moves things until none overlaps; ends with the least overlap that was
    /// found, and tells whether there is none. Takes two threads.
    pub(crate) fn part(
        &mut self,
        effort: &Effort,
        rng: &mut Pcg64Mcg,
        stop: &(dyn Fn() -> bool + Sync),
    ) -> bool {
        self.part_by(effort, rng, stop, &|pile: &mut Pile<'a>, rng: &mut Pcg64Mcg| {
            let seeds: [u64; 2] = [rng.random(), rng.random()];
            let one = |seed: u64| {
                let mut tried = pile.clone();
                tried.round(effort, &mut Pcg64Mcg::seed_from_u64(seed));
                (tried.weighted(), tried)
            };
            let (a, b) = rayon::join(|| one(seeds[0]), || one(seeds[1]));
            *pile = if b.0 < a.0 { b.1 } else { a.1 };
        })
    }

    /// The same on one thread.
    pub(crate) fn part_alone(
        &mut self,
        effort: &Effort,
        rng: &mut Pcg64Mcg,
        stop: &(dyn Fn() -> bool + Sync),
    ) -> bool {
        self.part_by(effort, rng, stop, &|pile: &mut Pile<'a>, rng: &mut Pcg64Mcg| pile.round(effort, rng))
    }

    fn part_by(
        &mut self,
        effort: &Effort,
        rng: &mut Pcg64Mcg,
        stop: &(dyn Fn() -> bool + Sync),
        round: &dyn Fn(&mut Pile<'a>, &mut Pcg64Mcg),
    ) -> bool {
        let mut best = (self.overlaps(), self.poses());
        if best.0 <= NOTHING {
            return true;
        }
        let mut strikes = 0;
        while strikes < effort.strikes {
            let begun = best.0;
            let mut vain = 0;
            while vain < effort.rounds {
                round(self, rng);
                let overlaps = self.overlaps();
                if overlaps <= NOTHING {
                    return true;
                }
                vain = if overlaps < 0.98 * best.0 { 0 } else { vain + 1 };
                if overlaps < best.0 {
                    best = (overlaps, self.poses());
                }
                self.learn();
                if stop() {
                    self.take(&best.1);
                    return false;
                }
            }
            strikes = if best.0 < 0.98 * begun { 0 } else { strikes + 1 };
            self.take(&best.1);
        }
        false
    }

    pub(crate) fn poses(&self) -> Vec<Pose> {
        self.things.iter().map(|it| it.pose).collect()
    }

    pub(crate) fn take(&mut self, poses: &[Pose]) {
        for (number, &pose) in poses.iter().enumerate() {
            if self.things[number].pose != pose {
                self.move_to(number, pose);
            }
        }
    }
}

/// One step along an axis, aslant, or a turn.
fn stepped(shape: &Shape, pose: Pose, way: u32, [dx, dy]: [f64; 2], turn: f64) -> Pose {
    let [x, y] = pose.at;
    match way {
        0 => Pose { at: [x + dx, y], ..pose },
        1 => Pose { at: [x, y + dy], ..pose },
        2 => Pose { at: [x + dx, y + dy], ..pose },
        3 => Pose { at: [x - dx, y + dy], ..pose },
        _ => Pose { turn: shape.held(pose.turn + turn), ..pose },
    }
}

/// From which step to which a thing is slid: shares of its radius, and degrees.
struct Steps {
    first: f64,
    last: f64,
    first_turn: f64,
    last_turn: f64,
}

const ROUGH: Steps = Steps { first: 0.25, last: 0.02, first_turn: 5.0, last_turn: 1.0 };
const FINE: Steps = Steps { first: 0.01, last: 0.001, first_turn: 0.5, last_turn: 0.05 };

/// What a thing is held in while its places are tried.
#[derive(Default)]
struct Hand {
    laid: Laid,
    corners: Vec<[f64; 2]>,
}
