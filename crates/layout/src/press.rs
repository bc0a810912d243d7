//! What the search left over is pressed in: things that lie already make room.

use measure::Length;
use nest::{Bed, Lying, Task, fill_looking};
use stock::Brief;

use crate::goods::{Goods, Kind};
use crate::ground::Ground;
use crate::plain::{SURE, Things, bed, plain, turns};
use crate::room::Room;
use crate::shape::Pose;

/// The shapes and faces of a brief as the pressing search takes them.
pub(crate) struct Press<'a> {
    goods: &'a Goods,
    kinds: Vec<(nest::Kind, usize)>,
    /// What each kind's plain shape may be off.
    off: Vec<Length>,
    beds: Vec<Bed<'a>>,
    seed: u64,
}

impl<'a> Press<'a> {
    pub(crate) fn new(goods: &'a Goods, brief: &Brief) -> Press<'a> {
        let (kinds, off): (Vec<_>, Vec<_>) = (0..goods.kinds.len()).map(|it| kind_of(goods, it)).unzip();
        let things = Things {
            edge: Length::mm(goods.edge),
            off: off.iter().copied().fold(Length::ZERO, Length::max),
            live: goods.kinds.iter().any(|it| it.asked.asks.live.is_some()),
        };
        let bed = |ground: &'a Ground| bed(&ground.face, &ground.kept_out, things, |at| ground.grain(at));
        let beds = goods.grounds.iter().map(bed).collect();
        Press { goods, kinds, off, beds, seed: u64::from(brief.job.seed) }
    }

    /// A room in which more lies, if that was found: what lay before still does,
    /// or something that is worth more.
    pub(crate) fn press(
        &self,
        room: &Room<'a>,
        empty: &Room<'a>,
        looks: u32,
        stop: &(dyn Fn() -> bool + Sync),
    ) -> Option<Room<'a>> {
        let goods = self.goods;
        let open = |item: usize| room.spots[item].is_none() && !goods.kind(item).grounds.is_empty();
        if !(0..goods.items.len()).any(open) {
            return None;
        }
        let gap = |one: usize, other: usize| {
            let gap = Length::mm(goods.gap(&goods.kinds[one], &goods.kinds[other]));
            gap + self.off[one] + self.off[other] + SURE
        };
        let set_grounds: Vec<Option<usize>> = (0..goods.sets)
            .map(|set| room.ground_of_set(set).or_else(|| goods.widest_for_set(set)))
            .collect();
        let may = |kind: usize, bed: usize| {
            let kind = &goods.kinds[kind];
            kind.grounds.contains(&bed) && kind.set.is_none_or(|set| set_grounds[set] == Some(bed))
        };
        let task = Task { kinds: &self.kinds, beds: &self.beds, gap: &gap, may: &may };
        let lying = (0..goods.items.len()).filter_map(|item| {
            let spot = room.spots[item]?;
            let fixed = goods.items[item].pin.is_some();
            Some(Lying { kind: goods.items[item].kind, bed: spot.ground, place: spot.pose.place, fixed })
        });
        let lying: Vec<Lying> = lying.collect();
        let found = fill_looking(&task, &lying, self.seed, looks, stop);
        Some(laid(empty, &found.lying))
    }
}

/// Lays what was found, each as one of its kind; what is pinned lies already.
fn laid<'a>(empty: &Room<'a>, lying: &[Lying]) -> Room<'a> {
    let mut room = empty.clone();
    for it in lying.iter().filter(|it| !it.fixed) {
        let items = &room.goods.items;
        let item = (0..items.len()).find(|&item| items[item].kind == it.kind && room.spots[item].is_none());
        if let Some(item) = item {
            let spot = room.spot(&room.goods.kinds[it.kind], it.bed, Pose::from(it.place));
            room.lay(item, spot);
        }
    }
    room
}

/// A kind with the number of its things, and what its plain shapes may be off.
fn kind_of(goods: &Goods, number: usize) -> ((nest::Kind, usize), Length) {
    let kind = &goods.kinds[number];
    let (outline, off) = plain(&kind.shape.outline);
    let count = goods.items.iter().filter(|item| item.kind == number).count();
    let pressed = nest::Kind {
        outline,
        turns: turns(&kind.shape.stems),
        mirrors: kind.may_mirror,
        value: value(kind),
        bears: kind.asked.bears,
        asks: kind.asked.asks.clone(),
    };
    ((pressed, count), off.max(kind.asked.off))
}

/// What one is worth: parts as their maker says; strips of a panel more than
/// any part, as whole panels hang on them.
fn value(kind: &Kind) -> f64 {
    let size = kind.shape.outline.area().to_mm2() / 1e9;
    if kind.straight { 1e6 } else { f64::from(kind.worth) + 0.1 + size }
}
