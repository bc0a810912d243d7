//! Bark or wane within the line: a strip along the edge, darker than the wood.

use stock::ZoneKind;

use super::Suspect;
use super::model;
use super::patch::{Patch, patches};
use super::view::View;
use crate::clean::Mask;
use crate::field::Field;

/// Such strips lie no deeper in than this, in millimetres.
const DEEPEST: f32 = 22.0;
/// Darker than the wood further in by this, as a logarithm of the light.
const DARKER: f32 = 0.35;
/// Smaller strips are the line's own slips, in square millimetres.
const LEAST_AREA: f64 = 120.0;
/// At most this many strips.
const MOST: usize = 12;

/// All strips that may be wane.
pub(super) fn bark_left(view: &View) -> Vec<Suspect> {
    let view = view.halved();
    let own = view.mean(&view.tone, 4.0, 1.2);
    let wood = view.mean(&view.tone, 60.0, 30.0);
    let darker = wood.with(&own, |wood, own| wood - own);
    let strip = |at: usize| {
        view.wood.values[at] > 0.5 && view.depth.values[at] < DEEPEST && darker.values[at] > DARKER
    };
    let cells = (0..darker.values.len()).map(strip).collect();
    let mask = Mask { width: darker.width, height: darker.height, cells };
    let patches = patches(&view, &mask.opened(1.0), LEAST_AREA, MOST);
    patches.iter().filter_map(|it| suspect(&view, &darker, it)).collect()
}

fn suspect(view: &View, darker: &Field, patch: &Patch) -> Option<Suspect> {
    let area = patch.ring(view)?;
    let (mm2, around) = (area.area().to_mm2(), area.perimeter().to_mm());
    let outermost = patch.values(&view.depth).fold(f64::MAX, f64::min);
    let compact = 4.0 * mm2 / (around * around);
    let traits = vec![mm2.ln(), patch.mean(darker), outermost, patch.mean(&view.depth), compact];
    let sure = model::sure(ZoneKind::Wane, &traits);
    Some(Suspect { kind: ZoneKind::Wane, area, traits, sure })
}
