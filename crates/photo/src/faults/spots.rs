//! Where a field is highest: spots of a size, the strongest of those that crowd.

use crate::field::Field;

/// A place of some size, in cells.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Spot {
    pub(super) x: usize,
    pub(super) y: usize,
    /// Its radius.
    pub(super) size: f64,
    /// How strongly it stands out.
    pub(super) strength: f32,
}

/// Places higher than all within two cells, and than `least`.
pub(super) fn peaks(field: &Field, wood: &Field, size: f64, least: f32) -> Vec<Spot> {
    const REACH: usize = 2;
    let (width, height) = (field.width, field.height);
    let mut spots = Vec::new();
    for y in REACH..height.saturating_sub(REACH) {
        for x in REACH..width.saturating_sub(REACH) {
            let strength = field.values[y * width + x];
            if strength < least || wood.values[y * width + x] < 0.5 {
                continue;
            }
            let highest = (y - REACH..=y + REACH)
                .flat_map(|row| (x - REACH..=x + REACH).map(move |column| row * width + column))
                .all(|at| field.values[at] <= strength);
            if highest {
                spots.push(Spot { x, y, size, strength });
            }
        }
    }
    spots
}

/// Spots of sizes farther apart than this are looked at both: a knot may hold dark specks.
const ALIKE: f64 = 1.6;

/// The strongest, without those whose middle lies in a stronger one of about
/// their size, at most `most`.
pub(super) fn apart(mut spots: Vec<Spot>, most: usize) -> Vec<Spot> {
    spots.sort_by(|a, b| b.strength.total_cmp(&a.strength));
    let mut kept: Vec<Spot> = Vec::new();
    for spot in spots {
        let crowded = kept.iter().any(|it| {
            let far = (it.x as f64 - spot.x as f64).hypot(it.y as f64 - spot.y as f64);
            let ratio = it.size / spot.size;
            far < it.size.max(spot.size) && (1.0 / ALIKE..ALIKE).contains(&ratio)
        });
        if !crowded {
            kept.push(spot);
            if kept.len() == most {
                break;
            }
        }
    }
    kept
}
