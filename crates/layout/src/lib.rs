//! Where each part lies on which piece.
//!
//! [`lay_out`] searches, [`judge`] checks; the two share the figures they go
//! by and no geometry. Reads no clock: a search is as long as its tries.

mod answer;
mod asks;
mod field;
mod goods;
mod ground;
mod hand;
mod judge;
mod leftover;
mod near;
mod part;
mod plain;
mod pool;
mod press;
mod reasons;
mod room;
mod rules;
mod score;
mod search;
mod shape;
mod suits;
mod taste;
mod uses;

use std::sync::Mutex;

use measure::{Checked, Length, Problem};
use rayon::prelude::*;
use stock::{Brief, Layout};

pub use hand::{GapRule, HandRules, StripRule, Verdict, VerdictFault, ZoneRule, hand_rules, verdict};
pub use judge::judge;
pub use suits::{Suit, Suits, suits};
pub use uses::{PieceUse, uses};

use crate::goods::{Goods, Name};
use crate::pool::Pool;
use crate::press::Press;
use crate::reasons::Reasons;
use crate::room::Room;
use crate::score::Score;
use crate::search::Search;

/// How long the search may go on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Config {
    /// Tries, each from a start of its own. More tries never give a worse layout.
    pub effort: u32,
    /// Kept between parts beyond their kerf and the room to steer.
    pub room: Length,
}

impl Default for Config {
    /// Enough for a few slabs and a handful of parts.
    fn default() -> Config {
        Config { effort: 16, room: Length::ZERO }
    }
}

/// Looks of the first layout, which is there before any seat is worked out.
const FIRST_LOOKS: u32 = 24;
/// Looks for each try of the search, to press in what it left over.
const LOOKS: u32 = 100;
/// The share of the way that the tries are; the rest presses in what is left.
const SEARCHED: f64 = 0.6;

/// Lays all parts and strips of a brief on its pieces and panels.
///
/// The same brief gives the same layout, on however many threads. `progress`
/// gets the best so far (its offcuts are worked out at the end only) with the
/// share of the tries that are done; once `stop` says so, the best so far is
/// the answer. Pinned parts stay where they are; what is wrong there, and why a
/// part or strip found no place, is told in the problems.
pub fn lay_out(
    brief: &Brief,
    config: &Config,
    progress: &(dyn Fn(&Layout, f64) + Sync),
    stop: &(dyn Fn() -> bool + Sync),
) -> Checked<Layout> {
    let goods = Goods::read(brief, config.room.to_mm());
    let empty = Room::new(&goods);
    let bare = Room::bare(&goods);
    let keep = brief.kit.allowances.keep_offcut.to_mm();
    let press = Press::new(&goods, brief);
    let first = press.press(&empty, &empty, FIRST_LOOKS, stop).unwrap_or_else(|| empty.clone());
    let first = Stood::of(brief, first);
    progress(&first.layout, 0.0);
    let pools = pools(&bare, stop);
    let begun = begun(&empty, &first.room);
    let search = Search { empty: &begun, pools: &pools, seed: brief.job.seed, keep, stop };
    let so_far: Mutex<(u32, Score, Layout)> = Mutex::new((0, first.score, first.layout.clone()));
    let full = search.run(config.effort, &|room, score| {
        let Ok(mut so_far) = so_far.lock() else { return };
        so_far.0 += 1;
        if score.beats(&so_far.1) {
            let stood = Stood::of(brief, room.clone());
            if stood.score.beats(&so_far.1) {
                (so_far.1, so_far.2) = (stood.score, stood.layout);
            }
        }
        progress(&so_far.2, SEARCHED * f64::from(so_far.0) / f64::from(config.effort.max(1)));
    });
    let mut best = Stood::of(brief, full).or(first);
    let pressed = press.press(&best.room, &empty, LOOKS * config.effort.max(1), stop);
    if let Some(pressed) = pressed {
        best = Stood::of(brief, pressed).or(best);
    }
    let Stood { room: full, mut layout, mut problems, .. } = best;
    progress(&layout, 1.0);
    layout.offcuts = leftover::offcuts(brief, &goods, &layout);
    let stopped = stop();
    let reasons = Reasons { brief, goods: &goods, pools: &pools, empty: &bare, full: &full, stopped };
    problems.extend(reasons.all(&layout));
    Checked { value: layout, problems }
}

/// A room in which the judge lets everything stand that the maker has not pinned.
struct Stood<'a> {
    room: Room<'a>,
    score: Score,
    layout: Layout,
    /// What is wrong with pinned parts alone.
    problems: Vec<Problem>,
}

impl<'a> Stood<'a> {
    /// Takes out of a room what the judge does not let stand.
    fn of(brief: &Brief, mut room: Room<'a>) -> Stood<'a> {
        let goods = room.goods;
        let item_of = |name: &Name| goods.items.iter().position(|item| item.name == *name);
        loop {
            let layout = answer::layout(&room);
            let faults = judge::faults(brief, &layout);
            let names = faults.iter().flat_map(|fault| &fault.names);
            let loose = names
                .filter_map(item_of)
                .find(|&item| room.spots[item].is_some() && goods.items[item].pin.is_none());
            let Some(loose) = loose else {
                let score = Score::of(&room, brief.kit.allowances.keep_offcut.to_mm());
                let problems = faults.into_iter().map(|fault| fault.problem).collect();
                return Stood { room, score, layout, problems };
            };
            room.lift(loose);
        }
    }

    /// The better of two; of equals the second.
    fn or(self, other: Stood<'a>) -> Stood<'a> {
        if self.score.beats(&other.score) { self } else { other }
    }
}

/// What the search begins with: the pins, and the parts that only the pressing
/// search lays.
fn begun<'a>(empty: &Room<'a>, first: &Room<'a>) -> Room<'a> {
    let mut begun = empty.clone();
    for item in 0..empty.goods.items.len() {
        if let Some(spot) = first.spots[item]
            && empty.spots[item].is_none()
            && empty.goods.kind(item).asked.is_pressed_only()
        {
            begun.lay(item, spot);
        }
    }
    begun
}

/// The seats of every kind on every face that it may lie on.
fn pools(bare: &Room, stop: &(dyn Fn() -> bool + Sync)) -> Vec<Vec<Pool>> {
    let goods = bare.goods;
    let pairs: Vec<(usize, usize)> = (0..goods.kinds.len())
        .flat_map(|kind| goods.kinds[kind].grounds.iter().map(move |&ground| (kind, ground)))
        .collect();
    let spots = pool::spots(pairs.len());
    let wanted = |kind: usize| {
        !goods.kinds[kind].asked.is_pressed_only()
            && goods.items.iter().any(|item| item.kind == kind && item.pin.is_none())
    };
    let made: Vec<(usize, Pool)> = pairs
        .into_par_iter()
        .filter(|&(kind, _)| wanted(kind) && !stop())
        .map(|(kind, ground)| (kind, pool::seats(bare, &goods.kinds[kind], ground, spots)))
        .collect();
    let mut pools: Vec<Vec<Pool>> = goods.kinds.iter().map(|_| Vec::new()).collect();
    made.into_iter().for_each(|(kind, pool)| pools[kind].push(pool));
    pools
}
