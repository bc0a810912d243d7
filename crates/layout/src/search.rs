//! The search: many tries, each a greedy fill that is torn open and mended.

use std::collections::BTreeSet;

use rand::seq::SliceRandom;
use rand::{RngExt, SeedableRng};
use rand_pcg::Pcg64Mcg;
use rayon::prelude::*;

use crate::goods::Name;
use crate::pool::{Pool, Seat};
use crate::room::{Room, Spot};
use crate::score::{Score, is_piece};
use crate::taste::Taste;

/// What every try shares.
pub(crate) struct Search<'a> {
    /// Nothing laid but the pins, and what only the pressing search lays.
    pub(crate) empty: &'a Room<'a>,
    /// The pools of each kind, by kind.
    pub(crate) pools: &'a [Vec<Pool>],
    pub(crate) seed: u32,
    /// The side of the smallest square that is kept, in millimetres.
    pub(crate) keep: f64,
    pub(crate) stop: &'a (dyn Fn() -> bool + Sync),
}

/// Mendings of one try for a small job; large jobs get fewer, so that a try
/// takes about the same time.
const MOST_MENDINGS: usize = 24;
/// Mendings times items of one try.
const MENDED_ITEMS: usize = 500;
/// Seats that are slid home before the best is taken.
const COMPARED: usize = 2;

impl<'a> Search<'a> {
    /// Runs all tries and keeps the best; of equals the first. `ended` hears of
    /// every try that ends, in any order.
    pub(crate) fn run(&self, tries: u32, ended: &(dyn Fn(&Room, &Score) + Sync)) -> Room<'a> {
        let all = (0..tries.max(1)).into_par_iter().map(|number| {
            let found = self.one(number);
            ended(&found.0, &found.1);
            (found, number)
        });
        let best = all.reduce_with(|one, other| {
            let order = one.0.1.order(&other.0.1).then(other.1.cmp(&one.1));
            if order.is_ge() { one } else { other }
        });
        best.map_or_else(|| self.empty.clone(), |((room, _), _)| room)
    }

    fn one(&self, number: u32) -> (Room<'a>, Score) {
        let mut rng = Pcg64Mcg::seed_from_u64(u64::from(self.seed) << 32 | u64::from(number));
        let faces = self.empty.goods.grounds.len();
        let mut taste = if number == 0 { Taste::plain(faces) } else { Taste::drawn(faces, &mut rng) };
        let mut room = self.empty.clone();
        let mut open = self.open(&room);
        self.sort(&mut open, number, &mut rng);
        self.fill(&mut room, &open, &taste, None);
        let mut score = Score::of(&room, self.keep);
        let items = room.goods.items.len();
        for _ in 0..(MENDED_ITEMS / items.max(1)).clamp(2, MOST_MENDINGS) {
            if (self.stop)() {
                break;
            }
            if rng.random_bool(0.25) {
                taste = Taste::drawn(faces, &mut rng);
            }
            let mut mended = room.clone();
            let homeless = self.open(&mended);
            let banned = self.tear_open(&mut mended, &mut rng);
            let mut open = self.open(&mended);
            self.sort(&mut open, rng.random_range(0..4), &mut rng);
            if rng.random_bool(0.5) {
                open.sort_by_key(|item| !homeless.contains(item));
            }
            self.fill(&mut mended, &open, &taste, banned);
            let found = Score::of(&mended, self.keep);
            if !score.beats(&found) {
                (room, score) = (mended, found);
            }
        }
        (room, score)
    }

    /// What has no place yet.
    fn open(&self, room: &Room) -> Vec<usize> {
        (0..room.spots.len()).filter(|&item| room.spots[item].is_none()).collect()
    }

    /// Brings what is to be laid into an order: large first, worthy first, most
    /// worth for its size first, or any.
    fn sort(&self, open: &mut [usize], way: u32, rng: &mut Pcg64Mcg) {
        let goods = self.empty.goods;
        let shake = if way < 3 { 0.0 } else { 0.4 };
        let mut keys: Vec<(f64, usize)> = Vec::with_capacity(open.len());
        for &item in open.iter() {
            let kind = goods.kind(item);
            let area = kind.shape.outline.area().to_mm2();
            let worth = match goods.items[item].name {
                Name::Strip(_) => f64::from(u32::MAX),
                Name::Part(_) => f64::from(kind.worth),
            };
            let key = match way % 3 {
                0 => area,
                1 => worth * 1e9 + area,
                _ => (worth + 1.0) / area,
            };
            keys.push((key * rng.random_range(1.0 - shake..=1.0 + shake), item));
        }
        keys.sort_by(|one, other| other.0.total_cmp(&one.0).then(one.1.cmp(&other.1)));
        open.iter_mut().zip(keys).for_each(|(item, key)| *item = key.1);
    }

    fn fill(&self, room: &mut Room<'a>, open: &[usize], taste: &Taste, banned: Option<usize>) {
        let mut full = BTreeSet::new();
        for &item in open {
            let number = room.goods.items[item].kind;
            if full.contains(&number) || (self.stop)() {
                continue;
            }
            match self.find(room, number, taste, banned) {
                Some(spot) => room.lay(item, spot),
                None => {
                    full.insert(number);
                }
            }
        }
    }

    /// The best spot for one more of a kind, on the first face that has room.
    fn find(&self, room: &Room<'a>, number: usize, taste: &Taste, banned: Option<usize>) -> Option<Spot> {
        let kind = &room.goods.kinds[number];
        let slack = kind.shape.slack();
        taste.faces(room, kind, banned).into_iter().find_map(|face| {
            let pool = self.pools[number].iter().find(|pool| pool.ground == face)?;
            let mut keys: Vec<(f64, usize)> = pool
                .seats
                .iter()
                .enumerate()
                .map(|(index, seat)| (taste.key(room, kind, seat), index))
                .collect();
            keys.sort_unstable_by(|one, other| one.0.total_cmp(&other.0).then(one.1.cmp(&other.1)));
            let free = keys.iter().filter_map(|&(_, index)| {
                let pose = pool.seats[index].spot.pose;
                let pose = room.settle(kind, face, pose, slack, pool.step * 0.6)?;
                let home = taste.slide(room, kind, Seat::at(kind, room.spot(kind, face, pose)), pool.step);
                let pose = room.confirm(kind, face, home.spot.pose)?;
                let seat = Seat::at(kind, room.spot(kind, face, pose));
                Some((taste.key(room, kind, &seat), seat.spot))
            });
            let best = free.take(COMPARED).min_by(|one, other| one.0.total_cmp(&other.0));
            best.map(|(_, spot)| spot)
        })
    }

    /// Lifts a few things: any, neighbours, or all from one face, which is then
    /// banned from being filled again.
    fn tear_open(&self, room: &mut Room<'a>, rng: &mut Pcg64Mcg) -> Option<usize> {
        let goods = room.goods;
        let mut loose: Vec<usize> = (0..goods.items.len())
            .filter(|&item| room.spots[item].is_some() && goods.items[item].pin.is_none())
            .filter(|&item| !goods.kind(item).asked.is_pressed_only())
            .collect();
        loose.shuffle(rng);
        let first = *loose.first()?;
        let spot = room.spots[first]?;
        let used = (0..goods.grounds.len()).filter(|&it| is_piece(goods, it) && !room.on(it).is_empty());
        let several = used.count() > 1;
        let (taken, banned) = match rng.random_range(0..if several { 5 } else { 4 }) {
            0 | 1 => (loose.into_iter().take(rng.random_range(1..=3)).collect::<Vec<_>>(), None),
            2 | 3 => {
                let near = |item: &usize| {
                    room.spots[*item]
                        .filter(|it| it.ground == spot.ground)
                        .map(|it| it.centre.distance(spot.centre))
                };
                let mut near: Vec<(f64, usize)> =
                    loose.iter().filter_map(|item| Some((near(item)?.to_mm(), *item))).collect();
                near.sort_by(|one, other| one.0.total_cmp(&other.0).then(one.1.cmp(&other.1)));
                let many = rng.random_range(2..=5);
                (near.into_iter().take(many).map(|(_, item)| item).collect(), None)
            }
            _ => {
                let on = |item: &usize| room.spots[*item].is_some_and(|it| it.ground == spot.ground);
                (loose.into_iter().filter(on).collect(), Some(spot.ground))
            }
        };
        taken.into_iter().for_each(|item| room.lift(item));
        banned
    }
}
