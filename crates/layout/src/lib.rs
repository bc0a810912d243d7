//! Where each part lies on which piece.
//!
//! [`lay_out`] searches, [`judge`] checks; the two share the figures they go
//! by and no geometry. Reads no clock: a search is as long as its tries.

mod answer;
mod field;
mod goods;
mod ground;
mod near;
mod pool;
mod reasons;
mod room;
mod rules;
mod score;
mod search;
mod shape;
mod taste;

use std::sync::Mutex;

use measure::{Checked, Problem};
use rayon::prelude::*;
use stock::{Brief, Layout};

use crate::goods::Goods;
use crate::pool::Pool;
use crate::reasons::Reasons;
use crate::room::Room;
use crate::score::Score;
use crate::search::Search;

/// How long the search may go on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Config {
    /// Tries, each from a start of its own. More tries never give a worse layout.
    pub effort: u32,
}

impl Default for Config {
    /// Enough for a few slabs and a handful of parts.
    fn default() -> Config {
        Config { effort: 16 }
    }
}

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
    let goods = Goods::read(brief);
    let lines = room::lines(&goods, brief);
    let empty = Room::new(&goods, &lines);
    let pools = pools(&goods, &lines, stop);
    let keep = brief.kit.allowances.keep_offcut.to_mm();
    let search = Search { empty: &empty, pools: &pools, seed: brief.job.seed, keep, stop };
    let so_far: Mutex<(u32, Option<Score>, Layout)> = Mutex::new((0, None, Layout::default()));
    let full = search.run(config.effort, &|room, score| {
        let Ok(mut so_far) = so_far.lock() else { return };
        so_far.0 += 1;
        if so_far.1.is_none_or(|best| score.beats(&best)) {
            (so_far.1, so_far.2) = (Some(*score), answer::layout(room));
        }
        progress(&so_far.2, f64::from(so_far.0) / f64::from(config.effort.max(1)));
    });
    let layout = answer::layout(&full);
    let reasons = Reasons { brief, goods: &goods, pools: &pools, empty: &empty, full: &full };
    let problems: Vec<Problem> = reasons.all(&layout);
    Checked { value: layout, problems }
}

/// The seats of every kind on every face that it may lie on.
fn pools(goods: &Goods, lines: &[Vec<outline::Segment>], stop: &(dyn Fn() -> bool + Sync)) -> Vec<Vec<Pool>> {
    let bare = Room::bare(goods, lines);
    let pairs: Vec<(usize, usize)> = (0..goods.kinds.len())
        .flat_map(|kind| goods.kinds[kind].grounds.iter().map(move |&ground| (kind, ground)))
        .collect();
    let wanted = |kind: usize| goods.items.iter().any(|item| item.kind == kind && item.pin.is_none());
    let made: Vec<(usize, Pool)> = pairs
        .into_par_iter()
        .filter(|&(kind, _)| wanted(kind) && !stop())
        .map(|(kind, ground)| (kind, pool::seats(&bare, &goods.kinds[kind], ground)))
        .collect();
    let mut pools: Vec<Vec<Pool>> = goods.kinds.iter().map(|_| Vec::new()).collect();
    made.into_iter().for_each(|(kind, pool)| pools[kind].push(pool));
    pools
}
