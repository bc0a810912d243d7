//! What is left of the faces that are used, and worth keeping.

use measure::{Area, Length};
use outline::{Outline, Point};
use stock::{Brief, FaceKey, Layout, Offcut, Side};

use crate::answer::{shapes_on, widest_kerf};
use crate::goods::Goods;

/// Arcs of grown lines may be this much off; an offcut is not a fit.
const ARC: Length = Length::mm(0.5);
/// Corners that lie within this of the line are left out: an offcut is sawn
/// again anyway, and few corners are quick to grow and shrink.
const PLAIN: Length = Length::mm(1.0);

/// Every offcut that holds a square of the size worth keeping, largest first.
pub(crate) fn offcuts(brief: &Brief, goods: &Goods, layout: &Layout) -> Vec<Offcut> {
    let keep = brief.kit.allowances.keep_offcut;
    let kerf = widest_kerf(goods);
    let mut offcuts: Vec<(Area, Offcut)> = Vec::new();
    for &(face, _) in &layout.used {
        let Some(ground) = goods.ground(face).map(|it| &goods.grounds[it]) else { continue };
        let faults = ground.kept_out.iter().filter(|it| it.side == Side::Near);
        let mut gone: Vec<Outline> = faults.map(|it| Outline::from(it.area.clone())).collect();
        gone.extend(shapes_on(layout, face).flat_map(|it| it.simplified(PLAIN).offset(kerf + PLAIN, ARC)));
        let left = ground.face.outline.simplified(PLAIN).minus(&gone);
        let left = left.iter().flat_map(|it| wide_parts(it, keep));
        offcuts.extend(left.filter(|it| holds_square(it, keep)).map(|outline| {
            let area = outline.area();
            (area, Offcut { face, outline })
        }));
    }
    let key = |it: &(Area, Offcut)| (it.1.face, it.1.outline.bounds().low.x, it.1.outline.bounds().low.y);
    offcuts.sort_by(|one, other| {
        let (a, b): ((FaceKey, f64, f64), (FaceKey, f64, f64)) = (key(one), key(other));
        (other.0.to_mm2().total_cmp(&one.0.to_mm2()))
            .then(a.0.cmp(&b.0))
            .then(a.1.total_cmp(&b.1))
            .then(a.2.total_cmp(&b.2))
    });
    offcuts.into_iter().map(|(_, offcut)| offcut).collect()
}

/// The parts of a shape that are at least so wide: necks and spikes go.
fn wide_parts(shape: &Outline, width: Length) -> Vec<Outline> {
    let half = width / 2.0;
    let core = shape.offset(-half, ARC);
    core.iter().flat_map(|it| it.offset(half, ARC)).map(|it| it.simplified(PLAIN)).collect()
}

/// Whether an upright square of this side has room in a shape.
fn holds_square(shape: &Outline, side: Length) -> bool {
    /// Steps in which the square is moved over one of its own sides.
    const STEPS: f64 = 8.0;
    let bounds = shape.bounds();
    let (step, side) = (side.to_mm() / STEPS, side.to_mm());
    let along = |from: f64, length: f64| {
        let room = length - side;
        let count = if room < -1e-9 { 0 } else { (room / step).ceil() as usize + 1 };
        (0..count).map(move |index| from + (index as f64 * step).min(room.max(0.0)))
    };
    along(bounds.low.x, bounds.width().to_mm()).any(|x| {
        along(bounds.low.y, bounds.height().to_mm()).any(|y| {
            let corners = [(x, y), (x + side, y), (x + side, y + side), (x, y + side)];
            let corners = corners.map(|(x, y)| Point::new(x, y));
            corners.iter().all(|&it| shape.contains(inward(it, x, y, side)))
                && outline::Ring::new(corners.to_vec()).is_ok_and(|it| shape.holds(&Outline::from(it)))
        })
    })
}

/// A hair inside the square: a corner on the line may count either way.
fn inward(it: Point, x: f64, y: f64, side: f64) -> Point {
    it.toward(Point::new(x + side / 2.0, y + side / 2.0), 1e-6)
}
