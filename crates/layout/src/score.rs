//! How good a layout is: what the maker would ask first comes first.

use std::cmp::Ordering;

use outline::Point;
use stock::{FaceKey, Saving};

use crate::goods::{Goods, Name};
use crate::room::Room;

/// A layout's worth; a larger score is better.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Score {
    /// Worth of the parts that can be made.
    worth: u64,
    /// Parts and strips that have a place.
    laid: usize,
    /// Pieces that have to be sawn.
    pieces: usize,
    /// What these pieces cost.
    cost: f64,
    /// The largest clear rectangle that is left, in squares that are worth keeping;
    /// where leftovers come first, the sum of its squares over all pieces.
    keepable: u64,
    /// How badly grain and colour suit.
    misfit: f64,
    /// What comes first of the last four.
    saving: Saving,
}

impl Score {
    /// Looks at a room.
    pub(crate) fn of(room: &Room, keep: f64) -> Score {
        let goods = room.goods;
        let items = || (0..goods.items.len()).filter(|&item| room.spots[item].is_some());
        let makeable = |item: &usize| match (goods.items[*item].name, goods.kind(*item).panel) {
            (Name::Part(_), Some(panel)) => panel_is_whole(room, panel),
            (Name::Part(_), None) => true,
            (Name::Strip(_), _) => false,
        };
        let used: Vec<usize> = (0..goods.grounds.len())
            .filter(|&ground| !room.on(ground).is_empty() && is_piece(goods, ground))
            .collect();
        Score {
            worth: items().filter(makeable).map(|item| u64::from(goods.kind(item).worth)).sum(),
            laid: items().count(),
            pieces: used.len(),
            cost: used.iter().map(|&ground| goods.grounds[ground].cost).sum(),
            keepable: match goods.saving {
                // What is not touched is left over too.
                Saving::Leftover => {
                    let pieces = (0..goods.grounds.len()).filter(|&it| is_piece(goods, it));
                    // By the square: one large is good for more than two small.
                    pieces.map(|it| keepable(room, it, keep, SQUARE_CM).pow(2)).sum()
                }
                Saving::Pieces | Saving::Grain => {
                    let square = (keep * keep).max(1.0);
                    used.iter().map(|&it| keepable(room, it, keep, square)).max().unwrap_or(0)
                }
            },
            misfit: items().filter_map(|item| room.spots[item]).map(|spot| spot.misfit).sum(),
            saving: goods.saving,
        }
    }

    /// Whether this is better than the other.
    pub(crate) fn beats(&self, other: &Score) -> bool {
        self.order(other) == Ordering::Greater
    }

    /// From worse to better.
    pub(crate) fn order(&self, other: &Score) -> Ordering {
        let pieces = other.pieces.cmp(&self.pieces).then(other.cost.total_cmp(&self.cost));
        let keepable = self.keepable.cmp(&other.keepable);
        let fit = other.misfit.total_cmp(&self.misfit);
        let saved = match self.saving {
            Saving::Pieces => pieces.then(keepable).then(fit),
            Saving::Leftover => keepable.then(pieces).then(fit),
            Saving::Grain => fit.then(pieces).then(keepable),
        };
        self.worth.cmp(&other.worth).then(self.laid.cmp(&other.laid)).then(saved)
    }
}

/// Whether a face is a piece on the rack.
pub(crate) fn is_piece(goods: &Goods, ground: usize) -> bool {
    match goods.grounds[ground].key {
        FaceKey::Piece(_) => true,
        FaceKey::Panel(_) => false,
    }
}

/// Whether every strip of a panel has a place.
pub(crate) fn panel_is_whole(room: &Room, panel: stock::PanelId) -> bool {
    let lost = room.goods.lost.iter().any(|name| matches!(name, Name::Strip(strip) if strip.panel == panel));
    let mut strips = room.goods.items.iter().zip(&room.spots).filter(|(item, _)| match item.name {
        Name::Strip(strip) => strip.panel == panel,
        Name::Part(_) => false,
    });
    !lost && strips.all(|(_, spot)| spot.is_some())
}

/// Cells along the longer side of the grid that leftovers are measured on.
const CELLS: f64 = 110.0;

/// A square centimetre, in square millimetres.
const SQUARE_CM: f64 = 100.0;

/// The largest clear upright rectangle on a face, as wide as an offcut has to
/// be or wider, counted in squares of a size.
fn keepable(room: &Room, ground: usize, keep: f64, square: f64) -> u64 {
    largest_clear(room, ground).filter(|&(x, y)| x.min(y) >= keep).map_or(0, |(x, y)| (x * y / square) as u64)
}

/// The sides of the largest clear upright rectangle on a face.
pub(crate) fn largest_clear(room: &Room, ground: usize) -> Option<(f64, f64)> {
    let face = &room.goods.grounds[ground];
    let bounds = face.bounds;
    let cell = bounds.width().to_mm().max(bounds.height().to_mm()) / CELLS;
    let columns = (bounds.width().to_mm() / cell).ceil() as usize;
    let rows = (bounds.height().to_mm() / cell).ceil() as usize;
    let mut heights = vec![0_usize; columns];
    let mut best = (0, 0);
    for row in 0..rows {
        for (column, height) in heights.iter_mut().enumerate() {
            let x = bounds.low.x + (column as f64 + 0.5) * cell;
            let spot = Point::new(x, bounds.low.y + (row as f64 + 0.5) * cell);
            *height = if is_clear(room, ground, spot, cell) { *height + 1 } else { 0 };
        }
        best = widest(&heights, best);
    }
    (best.0 > 0).then_some((best.0 as f64 * cell, best.1 as f64 * cell))
}

fn is_clear(room: &Room, ground: usize, spot: Point, cell: f64) -> bool {
    let goods = room.goods;
    goods.grounds[ground].field.at(spot) >= cell / 2.0
        && room.on(ground).iter().filter_map(|&item| room.spots[item].map(|lies| (item, lies))).all(
            |(item, lies)| {
                let kind = goods.kind(item);
                let reach = kind.kerf.to_mm() + cell / 2.0;
                let (x, y) = (lies.centre.x - spot.x, lies.centre.y - spot.y);
                x * x + y * y > (kind.shape.radius + reach).powi(2)
                    || kind.shape.field.at(lies.pose.to_drawing(spot)) <= -reach
            },
        )
}

/// The largest rectangle under a row of columns, or the best so far.
fn widest(heights: &[usize], so_far: (usize, usize)) -> (usize, usize) {
    let mut best = so_far;
    let mut open: Vec<(usize, usize)> = Vec::new();
    for (column, &height) in heights.iter().chain(std::iter::once(&0)).enumerate() {
        let mut from = column;
        while let Some(&(start, tall)) = open.last() {
            if tall < height {
                break;
            }
            if (column - start) * tall > best.0 * best.1 {
                best = (column - start, tall);
            }
            from = start;
            open.pop();
        }
        open.push((from, height));
    }
    best
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_widest_rectangle_under_columns_is_found() {
        assert_eq!(widest(&[2, 1, 5, 6, 2, 3], (0, 0)), (2, 5));
        assert_eq!(widest(&[3, 3, 3, 3], (0, 0)), (4, 3));
        assert_eq!(widest(&[0, 0], (1, 1)), (1, 1));
    }
}
