//! From the search's room to the layout that others read.

use measure::{Area, Length};
use outline::{Outline, Place};
use stock::{FaceKey, Layout, PartKey, Placement, StripPlacement};

use crate::goods::{Goods, Name};
use crate::room::Room;
use crate::rules;

/// The layout of a room, offcuts aside.
pub(crate) fn layout(room: &Room) -> Layout {
    let goods = room.goods;
    let mut layout = Layout::default();
    for (item, spot) in goods.items.iter().zip(&room.spots) {
        let Some(spot) = spot else {
            leave_out(&mut layout, item.name);
            continue;
        };
        let place = spot.pose.place;
        let kind = &goods.kinds[item.kind];
        let outline = as_laid(
            &kind.shape.outline,
            place,
            kind.asked.asks.live.is_some(),
            &goods.grounds[spot.ground].face.outline,
        );
        let face = goods.grounds[spot.ground].key;
        match (item.name, face) {
            (Name::Part(part), face) => {
                let pinned = item.pin.is_some();
                layout.placements.push(Placement { part, face, place, outline, pinned });
            }
            (Name::Strip(strip), FaceKey::Piece(piece)) => {
                layout.strips.push(StripPlacement { strip, piece, outline });
            }
            (Name::Strip(strip), FaceKey::Panel(_)) => layout.unplaced_strips.push(strip),
        }
    }
    goods.lost.iter().for_each(|&name| leave_out(&mut layout, name));
    in_order(&mut layout, goods);
    layout
}

/// A drawing as it lies; one with a live edge ends where its wood does.
pub(crate) fn as_laid(drawing: &Outline, place: Place, live: bool, wood: &Outline) -> Outline {
    let whole = place.outline(drawing);
    match live {
        false => whole,
        true => rules::largest(whole.common(wood)).unwrap_or(whole),
    }
}

/// Takes a part out of a layout, placed or not.
pub(crate) fn remove_part(layout: &mut Layout, part: PartKey) {
    layout.placements.retain(|it| it.part != part);
    layout.unplaced.retain(|it| *it != part);
}

/// Sorts everything and works out which faces are used.
fn in_order(layout: &mut Layout, goods: &Goods) {
    layout.placements.sort_by_key(|it| it.part);
    layout.strips.sort_by_key(|it| it.strip);
    layout.unplaced.sort();
    layout.unplaced_strips.sort();
    let used = goods.grounds.iter().filter_map(|ground| {
        let area: Area = shapes_on(layout, ground.key).map(Outline::area).sum();
        (area > Area::ZERO).then_some((ground.key, area))
    });
    layout.used = used.collect();
}

/// The outlines of all parts and strips on a face.
pub(crate) fn shapes_on(layout: &Layout, face: FaceKey) -> impl Iterator<Item = &Outline> {
    let parts = layout.placements.iter().filter(move |it| it.face == face).map(|it| &it.outline);
    let strips = layout.strips.iter().filter(move |it| FaceKey::Piece(it.piece) == face);
    parts.chain(strips.map(|it| &it.outline))
}

fn leave_out(layout: &mut Layout, name: Name) {
    match name {
        Name::Part(part) => layout.unplaced.push(part),
        Name::Strip(strip) => layout.unplaced_strips.push(strip),
    }
}

/// The kerf that a thing on a face is freed with.
pub(crate) fn widest_kerf(goods: &Goods) -> Length {
    goods.kinds.iter().map(|kind| kind.kerf).fold(Length::ZERO, Length::max)
}
