//! Which blade saws which part.

use std::collections::BTreeSet;

use measure::{Length, Minutes};
use stock::{BladeId, PartKey, SawWish};

use crate::fence::Fence;
use crate::line::{Line, MOST_LEFT};
use crate::pivot;
use crate::way::{Tight, Way};
use crate::{BladeSize, Task, TroubleKind, Wanted};

// What things take (common practice, no source).
const CHANGE: Minutes = Minutes::minutes(12.0);
const CUT: Minutes = Minutes::minutes(1.5);
const HOLE: Minutes = Minutes::minutes(4.0);
/// What is lost to torn or burnt edges.
const UNSUITED: Minutes = Minutes::minutes(10.0);
/// What the sander and the rasp take where the blade could not go.
const UNFOLLOWED: Minutes = Minutes::minutes(40.0);

/// A way of sawing a part that was refused.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Avoided {
    pub(crate) part: PartKey,
    pub(crate) blade: BladeId,
    pub(crate) with_holes: bool,
}

/// A part with the blades that may saw it, best first.
#[derive(Clone, Debug)]
pub(crate) struct Chosen<'a> {
    pub(crate) wanted: Wanted<'a>,
    /// Around the part, by the widest kerf: what other cuts keep clear of.
    pub(crate) fence: Fence,
    pub(crate) blades: Vec<Candidate>,
    /// What was refused of it.
    avoided: Vec<Avoided>,
}

/// A blade for a part.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Candidate {
    pub(crate) blade: BladeSize,
    /// What it takes beside the sawing itself.
    minutes: f64,
    /// Whether it follows every inside bend.
    follows: bool,
}

impl<'a> Chosen<'a> {
    /// The blade that comes first.
    pub(crate) fn best(&self) -> Option<BladeSize> {
        self.blades.first().map(|it| it.blade)
    }

    /// The part's line as each blade saws it, best first.
    pub(crate) fn lines(&self, task: &Task) -> impl Iterator<Item = Line<'a>> {
        let (spare, widest_bit) = (task.spare, task.widest_bit);
        self.blades.iter().filter_map(move |it| {
            let refused = self.avoided.iter().any(|avoided| avoided.blade == it.blade.id);
            // Where holes were the fault, the same blade is tried without.
            let widest_bit = if refused { Length::ZERO } else { widest_bit };
            Line::new(self.wanted, it.blade, spare, widest_bit)
        })
    }

    /// Why no blade is left.
    pub(crate) fn nothing_left(&self) -> TroubleKind {
        if self.avoided.is_empty() { TroubleKind::NoBlade } else { TroubleKind::Refused }
    }
}

/// Chooses for every part whose outline can be read.
pub(crate) fn choose<'a>(task: &Task<'a>, avoided: &[Avoided]) -> Vec<Chosen<'a>> {
    let mut blades: Vec<BladeSize> = task.blades.iter().filter(|it| it.is_sound()).copied().collect();
    blades.sort_by(|a, b| b.width.to_mm().total_cmp(&a.width.to_mm()));
    let widest = blades.iter().map(|it| it.off(task.spare)).fold(task.spare.to_mm(), f64::max);
    let parts = task.parts.iter().filter_map(|wanted| {
        let fence = Fence::around(wanted.outline, widest)?;
        let avoided: Vec<Avoided> = avoided.iter().filter(|it| it.part == wanted.part).copied().collect();
        let refused =
            |it: &BladeSize| avoided.iter().any(|avoided| avoided.blade == it.id && !avoided.with_holes);
        let named = blades.iter().filter(|it| wanted.blade.is_none_or(|blade| blade == it.id));
        let blades = named
            .filter(|it| !refused(it))
            .filter_map(|it| candidate(*it, &fence, task.widest_bit))
            .collect();
        Some(Chosen { wanted: *wanted, fence, blades, avoided })
    });
    let mut chosen: Vec<Chosen> = parts.collect();
    match task.wish {
        SawWish::Smooth => chosen.iter_mut().for_each(|it| it.blades.sort_by_key(|blade| !blade.follows)),
        SawWish::Quick => quickest(&mut chosen),
        SawWish::OneBlade => one_blade(&mut chosen),
    }
    chosen
}

/// What a blade takes for a line: one cut between two corners that it cannot
/// follow, more across a corner that is round, a hole for each inside one. None
/// if it can follow nothing of it.
fn candidate(blade: BladeSize, fence: &Fence, widest_bit: Length) -> Option<Candidate> {
    let way = Way::along(&fence.ring, &blade);
    let (inside, outside): (Vec<Tight>, Vec<Tight>) =
        way.tight(&blade)?.into_iter().partition(|it| it.inside);
    let cuts = outside.len().max(1) + outside.iter().map(|it| facets(it, &way)).sum::<usize>();
    let turned = pivot::least(&blade, fence.off()) <= widest_bit.to_mm() / 2.0;
    let inside_ways = match (inside.len(), turned) {
        (0, _) => Minutes::ZERO,
        (holes, true) => HOLE * holes as f64,
        (_, false) => UNFOLLOWED,
    };
    let teeth = if blade.teeth_suit { Minutes::ZERO } else { UNSUITED };
    let minutes = (CUT * cuts as f64 + inside_ways + teeth).to_minutes();
    Some(Candidate { blade, minutes, follows: inside.is_empty() })
}

/// About how many straight cuts a corner takes so that no more than a sander's
/// share is left on it: r (1 / cos(turn / 2) - 1) stands out between two tangents.
fn facets(corner: &Tight, way: &Way) -> usize {
    let radius = corner.enter.saturating_sub(corner.leave) as f64 * way.step() / corner.turn.max(0.01);
    let each = 2.0 * (radius / (radius + MOST_LEFT.to_mm())).acos();
    ((corner.turn / each.max(0.05)).ceil() as usize).saturating_sub(2)
}

/// The quickest first; of equal ones the widest, since they come so.
fn sort(chosen: &mut [Chosen]) {
    for it in chosen {
        it.blades.sort_by(|a, b| a.minutes.total_cmp(&b.minutes));
    }
}

/// Each part's quickest blade first; or one for all, where changing takes longer.
fn quickest(chosen: &mut [Chosen]) {
    sort(chosen);
    let best = || chosen.iter().filter_map(|it| it.blades.first());
    let used: BTreeSet<BladeId> = best().map(|it| it.blade.id).collect();
    let apart: f64 = best().map(|it| it.minutes).sum();
    let changes = CHANGE.to_minutes() * used.len().saturating_sub(1) as f64;
    if let Some((blade, together)) = cheapest_for_all(chosen)
        && together < apart + changes
    {
        put_first(chosen, blade);
    }
}

fn one_blade(chosen: &mut [Chosen]) {
    sort(chosen);
    if let Some((blade, _)) = cheapest_for_all(chosen) {
        put_first(chosen, blade);
    }
}

/// The blade that saws all parts in the fewest minutes, with the minutes.
fn cheapest_for_all(chosen: &[Chosen]) -> Option<(BladeId, f64)> {
    let mut blades: Vec<BladeSize> = chosen.iter().flat_map(|it| &it.blades).map(|it| it.blade).collect();
    blades.sort_by(|a, b| b.width.to_mm().total_cmp(&a.width.to_mm()));
    let all = blades.into_iter().filter_map(|blade| {
        let of_part = |it: &Chosen| it.blades.iter().find(|it| it.blade.id == blade.id).map(|it| it.minutes);
        Some((blade.id, chosen.iter().map(of_part).sum::<Option<f64>>()?))
    });
    all.min_by(|a, b| a.1.total_cmp(&b.1))
}

fn put_first(chosen: &mut [Chosen], blade: BladeId) {
    for it in chosen {
        it.blades.sort_by_key(|candidate| candidate.blade.id != blade);
    }
}
