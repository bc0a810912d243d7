//! All things on a strip that is as short as can be.

use measure::Length;
use outline::{Outline, Place, Ring};
use rand::{RngExt, SeedableRng};
use rand_pcg::Pcg64Mcg;

use crate::bed::Bed;
use crate::kind::{Kind, Pose, Shape};
use crate::pile::{Effort, GRAZE, Gaps, Pile, Setup};

/// A strip as short as was found, and where everything lies on it.
pub struct Strip {
    /// How long it is.
    pub length: Length,
    /// Where each thing lies, in the order of the kinds.
    pub places: Vec<Vec<Place>>,
}

/// Lays so many of each kind on a strip of a width, as short as can be, until
/// all its share is done; each better length is told. `None` if not even a loose
/// strip was reached, as where a thing is wider than the strip.
///
/// As long as a strip is reached, the next one to be tried is shorter; what was
/// reached is pressed together, and things move until none overlaps. Where that
/// fails, two large things change places and it is tried again; the last fifth
/// of the time only presses. After Gardeyn, Vanden Berghe and Wauters 2025
/// (arXiv 2509.13329), on overlap measured between convex cells.
pub fn shortest_strip(
    kinds: &[(Kind, usize)],
    width: Length,
    seed: u64,
    share_done: &(dyn Fn() -> f64 + Sync),
    better: &dyn Fn(Length),
) -> Option<Strip> {
    let shapes: Vec<Shape> = kinds.iter().map(|it| Shape::new(it.0.clone())).collect();
    let gaps = Gaps { kinds: shapes.len(), ways: vec![GRAZE; shapes.len() * shapes.len()] };
    let setup = Setup { shapes: &shapes, gaps: &gaps };
    let mut rng = Pcg64Mcg::seed_from_u64(seed);
    let mut things: Vec<usize> = (0..kinds.len()).flat_map(|it| vec![it; kinds[it].1]).collect();
    let size = |it: usize| shapes[it].area * shapes[it].radius;
    things.sort_by(|one, other| size(*other).total_cmp(&size(*one)));
    let area: f64 = things.iter().map(|&it| shapes[it].area).sum();
    let longest = shapes.iter().map(|it| 2.0 * it.radius).fold(0.0, f64::max);
    let length = (area / width.to_mm() / BEGUN_FULL).max(longest);
    let bed = frame(length, width);
    let mut pile = Pile::new(&setup, &bed);
    for shape in things {
        pile.add(shape, bed.draw_pose(&shapes[shape], &mut rng), false);
    }
    let stop = || share_done() >= 1.0;
    while !pile.part(&LONG, &mut rng, &stop) {
        if stop() {
            return None;
        }
        pile.forget_weights();
    }
    let mut press = Press { pile, length, width, step: FIRST_STEP, pool: Vec::new(), rng };
    while !stop() {
        if press.shorten(share_done() > EXPLORED, &stop) {
            better(Length::mm(press.length));
        }
        if share_done() > EXPLORED {
            press.step = press.step.min(LAST_STEP * (1.0 - share_done()) / (1.0 - EXPLORED)).max(LEAST_STEP);
        }
    }
    let mut places: Vec<Vec<Place>> = vec![Vec::new(); kinds.len()];
    for thing in &press.pile.things {
        places[thing.shape].push(shapes[thing.shape].place(thing.pose));
    }
    Some(Strip { length: Length::mm(press.length), places })
}

/// The share of the strip that things take at the beginning.
const BEGUN_FULL: f64 = 0.5;
/// The share of the time after which the best strip is only pressed together.
const EXPLORED: f64 = 0.8;
/// Steps by which a strip is made shorter, as shares of its length.
const FIRST_STEP: f64 = 0.03;
/// The shortest step at which things still change places.
const SWAP_STEP: f64 = 0.001;
const LAST_STEP: f64 = 0.0005;
const LEAST_STEP: f64 = 1e-5;
const LONG: Effort = Effort { rounds: 150, strikes: 2, samples: (50, 25) };
const SHORT: Effort = Effort { rounds: 30, strikes: 1, samples: (30, 20) };

/// The best strip so far, and how the next one is tried.
struct Press<'a> {
    pile: Pile<'a>,
    length: f64,
    width: Length,
    step: f64,
    /// What came nearest to a shorter strip: the overlap left, and the poses.
    pool: Vec<(f64, Vec<Pose>)>,
    rng: Pcg64Mcg,
}

impl Press<'_> {
    /// Tries a strip that is a step shorter; whether it was reached.
    fn shorten(&mut self, closing: bool, stop: &(dyn Fn() -> bool + Sync)) -> bool {
        let length = self.length * (1.0 - self.step);
        let next = frame(length, self.width);
        let mut tried = self.pile.clone().on(&next);
        let line = self.length * self.rng.random_range(0.0..1.0);
        push_back(&mut tried, line, self.length - length);
        tried.measure_all();
        tried.forget_weights();
        let swaps = !closing && self.step <= SWAP_STEP;
        if swaps && let Some(start) = self.draw() {
            tried.take(&start);
            swap_two(&mut tried, &mut self.rng);
        }
        let reached = tried.part(if swaps { &LONG } else { &SHORT }, &mut self.rng, stop);
        let (left, poses) = (tried.overlaps(), tried.poses());
        if reached {
            self.pile.take(&poses);
            self.length = length;
            self.pool.clear();
        } else if swaps {
            self.pool.push((left, poses));
            self.pool.sort_by(|one, other| one.0.total_cmp(&other.0));
        } else if !closing {
            self.step = (self.step / 2.0).max(SWAP_STEP);
        }
        reached
    }

    /// One of the pool, mostly of its first few.
    fn draw(&mut self) -> Option<Vec<Pose>> {
        let last = self.pool.len().checked_sub(1)?;
        let share = self.rng.random_range(0.0..1.0_f64).powi(2);
        let index = (share * 0.75 * self.pool.len() as f64) as usize;
        Some(self.pool[index.min(last)].1.clone())
    }
}

fn frame(length: f64, width: Length) -> Bed<'static> {
    let ring = Ring::rectangle(Length::mm(length), width).expect("a strip has a length and a width");
    Bed::new(&Outline::from(ring), Length::mm(GRAZE / 2.0))
}

/// Pushes back what lies past a line.
fn push_back(pile: &mut Pile, line: f64, by: f64) {
    for number in 0..pile.things.len() {
        let mut pose = pile.things[number].pose;
        if pose.at[0] > line {
            pose.at[0] -= by;
            pile.move_to(number, pose);
        }
    }
}

/// Swaps two things that differ.
fn swap_two(pile: &mut Pile, rng: &mut Pcg64Mcg) {
    const TRIES: usize = 50;
    let count = pile.things.len();
    for _ in 0..TRIES {
        let (one, other) = (rng.random_range(0..count), rng.random_range(0..count));
        if pile.things[one].shape != pile.things[other].shape {
            let (a, b) = (pile.things[one].pose, pile.things[other].pose);
            pile.move_to(one, Pose { at: b.at, ..a });
            pile.move_to(other, Pose { at: a.at, ..b });
            return;
        }
    }
}
