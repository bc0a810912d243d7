//! From the search's room to the layout that others read.

use measure::{Area, Length};
use outline::Outline;
use stock::{FaceKey, Layout, Placement, StripPlacement};

use crate::goods::{Goods, Name};
use crate::room::Room;

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
        let outline = place.outline(&goods.kinds[item.kind].shape.outline);
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

/// Takes a part or strip out of a layout and lists it as unplaced.
pub(crate) fn take_out(layout: &mut Layout, name: Name) {
    match name {
        Name::Part(part) => layout.placements.retain(|it| it.part != part),
        Name::Strip(strip) => layout.strips.retain(|it| it.strip != strip),
    }
    leave_out(layout, name);
}

/// Sorts everything and works out which faces are used.
pub(crate) fn in_order(layout: &mut Layout, goods: &Goods) {
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
