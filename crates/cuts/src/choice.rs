//! Which blade saws which part.

use std::cell::OnceCell;
use std::collections::BTreeSet;
use std::rc::Rc;

use measure::{Length, Minutes};
use stock::{BladeId, PartKey, SawWish};

use crate::fence::Fence;
use crate::line::{Line, MOST_LEFT};
use crate::pivot;
use crate::way::{Tight, Way};
use crate::{BladeSize, Task, TroubleKind, Wanted};

// What things take (common practice, no source).
/// Another blade put on.
pub const CHANGE: Minutes = Minutes::minutes(12.0);
/// One cut more.
pub const CUT: Minutes = Minutes::minutes(1.5);
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
    pub(crate) blades: Vec<Candidate<'a>>,
    /// What was refused of it.
    avoided: Vec<Avoided>,
}

/// A blade for a part.
#[derive(Clone, Debug)]
pub(crate) struct Candidate<'a> {
    pub(crate) blade: BladeSize,
    /// What it takes beside the sawing itself.
    minutes: f64,
    /// Whether it follows every inside bend.
    follows: bool,
    /// The part's line as it saws it, worked out when it is first asked for.
    with_holes: Rc<OnceCell<Option<Line<'a>>>>,
    without: Rc<OnceCell<Option<Line<'a>>>>,
}

impl<'a> Chosen<'a> {
    /// The blade that comes first.
    pub(crate) fn best(&self) -> Option<BladeSize> {
        self.blades.first().map(|it| it.blade)
    }

    /// The blade that takes the least time.
    fn quickest(&self) -> Option<&Candidate<'a>> {
        self.blades.iter().min_by(|a, b| a.minutes.total_cmp(&b.minutes))
    }

    /// The part's line as each blade saws it, best first.
    pub(crate) fn lines(&self, task: &Task) -> impl Iterator<Item = &Line<'a>> {
        let (spare, widest_bit) = (task.spare, task.widest_bit);
        self.blades.iter().filter_map(move |it| {
            let refused = self.avoided.iter().any(|avoided| avoided.blade == it.blade.id);
            // Where holes were the fault, the same blade is tried without.
            let (line, widest_bit) =
                if refused { (&it.without, Length::ZERO) } else { (&it.with_holes, widest_bit) };
            line.get_or_init(|| Line::new(self.wanted, it.blade, spare, widest_bit)).as_ref()
        })
    }

    /// Why no blade is left.
    pub(crate) fn nothing_left(&self) -> TroubleKind {
        if self.avoided.is_empty() { TroubleKind::NoBlade } else { TroubleKind::Refused }
    }
}

/// Every part whose outline can be read, with all blades that may saw it, the
/// widest first.
pub(crate) fn candidates<'a>(task: &Task<'a>) -> Vec<Chosen<'a>> {
    let mut blades: Vec<BladeSize> = task.blades.iter().filter(|it| it.is_sound()).copied().collect();
    blades.sort_by(|a, b| b.width.to_mm().total_cmp(&a.width.to_mm()));
    let widest = blades.iter().map(|it| it.off(task.spare)).fold(task.spare.to_mm(), f64::max);
    let parts = task.parts.iter().filter_map(|wanted| {
        let fence = Fence::around(wanted.outline, widest)?;
        let named = blades.iter().filter(|it| wanted.blade.is_none_or(|blade| blade == it.id));
        let blades = named.filter_map(|it| candidate(*it, &fence, task.widest_bit)).collect();
        Some(Chosen { wanted: *wanted, fence, blades, avoided: Vec::new() })
    });
    parts.collect()
}

/// The same without what was refused, the blades in the order of the task's wish.
pub(crate) fn choose<'a>(task: &Task, candidates: &[Chosen<'a>], avoided: &[Avoided]) -> Vec<Chosen<'a>> {
    let mut chosen = candidates.to_vec();
    for it in &mut chosen {
        it.avoided = avoided.iter().filter(|avoided| avoided.part == it.wanted.part).copied().collect();
        let refused = &it.avoided;
        let stands = |blade: BladeId| !refused.iter().any(|it| it.blade == blade && !it.with_holes);
        it.blades.retain(|candidate| stands(candidate.blade.id));
    }
    if task.wish == SawWish::Smooth {
        chosen.iter_mut().for_each(|it| it.blades.sort_by_key(|blade| !blade.follows));
        return chosen;
    }
    for it in &mut chosen {
        // The quickest first; of equal ones the widest, since they come so.
        it.blades.sort_by(|a, b| a.minutes.total_cmp(&b.minutes));
    }
    let first = task.prefer.or_else(|| Outlook::of(&chosen).one_for_all(task.wish));
    for it in &mut chosen {
        it.blades.sort_by_key(|candidate| Some(candidate.blade.id) != first);
    }
    chosen
}

/// What sawing some parts takes beside the cutting itself.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Outlook {
    /// Minutes if each part is sawn with the blade that is quickest for it, without
    /// the changes.
    apart: f64,
    /// The blades that takes.
    used: BTreeSet<BladeId>,
    /// Minutes with one blade for all, for each that can saw all of them; widest first.
    together: Vec<(BladeId, f64)>,
}

/// What sawing the parts of a face takes, with which blades.
pub fn outlook(task: &Task) -> Outlook {
    Outlook::of(&candidates(task))
}

impl Outlook {
    fn of(chosen: &[Chosen]) -> Outlook {
        let best: Vec<&Candidate> = chosen.iter().filter_map(Chosen::quickest).collect();
        let mut blades: Vec<BladeSize> = chosen.iter().flat_map(|it| &it.blades).map(|it| it.blade).collect();
        blades.sort_by(|a, b| b.width.to_mm().total_cmp(&a.width.to_mm()).then(a.id.cmp(&b.id)));
        blades.dedup_by_key(|it| it.id);
        let of_part = |it: &Chosen, blade: BladeId| {
            it.blades.iter().find(|candidate| candidate.blade.id == blade).map(|it| it.minutes)
        };
        let together = blades.iter().filter_map(|blade| {
            let minutes: Option<f64> = chosen.iter().map(|it| of_part(it, blade.id)).sum();
            Some((blade.id, minutes?))
        });
        Outlook {
            apart: best.iter().map(|it| it.minutes).sum(),
            used: best.iter().map(|it| it.blade.id).collect(),
            together: together.collect(),
        }
    }

    /// The same for two faces that are sawn one after the other.
    #[must_use]
    pub fn and(&self, other: &Outlook) -> Outlook {
        let both = |(blade, minutes): &(BladeId, f64)| {
            let others = other.together.iter().find(|it| it.0 == *blade)?;
            Some((*blade, minutes + others.1))
        };
        Outlook {
            apart: self.apart + other.apart,
            used: self.used.union(&other.used).copied().collect(),
            together: self.together.iter().filter_map(both).collect(),
        }
    }

    /// The blade for all parts, where one is wished for or takes fewer minutes
    /// than changing it.
    pub fn one_for_all(&self, wish: SawWish) -> Option<BladeId> {
        let (blade, together) = *self.together.iter().min_by(|a, b| a.1.total_cmp(&b.1))?;
        let changes = CHANGE.to_minutes() * self.used.len().saturating_sub(1) as f64;
        let is_first = match wish {
            SawWish::Quick => together < self.apart + changes,
            SawWish::OneBlade => true,
            SawWish::Smooth => false,
        };
        is_first.then_some(blade)
    }
}

/// What a blade takes for a line: one cut between two corners that it cannot
/// follow, more across a corner that is round, a hole for each inside one. None
/// if it can follow nothing of it.
fn candidate<'a>(blade: BladeSize, fence: &Fence, widest_bit: Length) -> Option<Candidate<'a>> {
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
    let (with_holes, without) = (Rc::default(), Rc::default());
    Some(Candidate { blade, minutes, follows: inside.is_empty(), with_holes, without })
}

/// About how many straight cuts a corner takes so that no more than a sander's
/// share is left on it: r (1 / cos(turn / 2) - 1) stands out between two tangents.
fn facets(corner: &Tight, way: &Way) -> usize {
    let radius = corner.enter.saturating_sub(corner.leave) as f64 * way.step() / corner.turn.max(0.01);
    let each = 2.0 * (radius / (radius + MOST_LEFT.to_mm())).acos();
    ((corner.turn / each.max(0.05)).ceil() as usize).saturating_sub(2)
}
