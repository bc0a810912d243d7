//! What the search left over is pressed in: things that lie already make room.

use measure::Length;
use nest::{Bed, Lying, Task, fill_looking};
use outline::Outline;
use stock::Brief;

use crate::goods::{Goods, Kind};
use crate::ground::Ground;
use crate::plain::{SURE, bed, plain, turns};
use crate::room::Room;
use crate::shape::Pose;

/// A room in which more lies, if that was found: what lay before still does, or
/// something that is worth more.
pub(crate) fn press<'a>(
    room: &Room<'a>,
    empty: &Room<'a>,
    brief: &Brief,
    looks: u32,
    stop: &(dyn Fn() -> bool + Sync),
) -> Option<Room<'a>> {
    let goods = room.goods;
    let open = |item: usize| room.spots[item].is_none() && !goods.kind(item).grounds.is_empty();
    if !(0..goods.items.len()).any(open) {
        return None;
    }
    let plain: Vec<(Outline, Length)> = goods.kinds.iter().map(|it| plain(&it.shape.outline)).collect();
    let off = |kind: usize| plain[kind].1;
    let kinds: Vec<(nest::Kind, usize)> =
        plain.iter().enumerate().map(|(number, it)| kind_of(goods, number, &it.0)).collect();
    let widest = (0..goods.kinds.len()).map(off).fold(Length::ZERO, Length::max);
    let edge = Length::mm(goods.edge);
    let bed = |ground: &'a Ground| bed(&ground.face, &brief.job.choices, edge, widest, |at| ground.grain(at));
    let beds: Vec<Bed> = goods.grounds.iter().map(bed).collect();
    let gap = |one: usize, other: usize| {
        Length::mm(goods.gap(&goods.kinds[one], &goods.kinds[other])) + off(one) + off(other) + SURE
    };
    let may = |kind: usize, bed: usize| goods.kinds[kind].grounds.contains(&bed);
    let task = Task { kinds: &kinds, beds: &beds, gap: &gap, may: &may };
    let lying = (0..goods.items.len()).filter_map(|item| {
        let spot = room.spots[item]?;
        let fixed = goods.items[item].pin.is_some();
        Some(Lying { kind: goods.items[item].kind, bed: spot.ground, place: spot.pose.place, fixed })
    });
    let lying: Vec<Lying> = lying.collect();
    let found = fill_looking(&task, &lying, u64::from(brief.job.seed), looks, stop);
    Some(laid(empty, &found.lying))
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

fn kind_of(goods: &Goods, number: usize, outline: &Outline) -> (nest::Kind, usize) {
    let kind = &goods.kinds[number];
    let turns = turns(&kind.shape.stems);
    let count = goods.items.iter().filter(|item| item.kind == number).count();
    (nest::Kind { outline: outline.clone(), turns, mirrors: false, value: value(kind), bears: 0 }, count)
}

/// What one is worth: parts as their maker says; strips of a panel more than
/// any part, as whole panels hang on them.
fn value(kind: &Kind) -> f64 {
    let size = kind.shape.outline.area().to_mm2() / 1e9;
    if kind.straight { 1e6 } else { f64::from(kind.worth) + 0.1 + size }
}
