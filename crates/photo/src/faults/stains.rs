//! Stains: soft patches whose colour does not belong.

use stock::ZoneKind;

use super::Suspect;
use super::model;
use super::patch::{Patch, patches};
use super::view::View;
use crate::clean::Mask;
use crate::field::Field;

/// Colours are taken over this, and compared with those over that, in millimetres.
const NEAR: [f64; 2] = [7.0, 4.0];
const WIDE: [f64; 2] = [110.0, 26.0];
/// A patch is off by more than this many spreads of the face.
const OFF: f32 = 1.6;
/// Smaller patches are not looked at, in square millimetres.
const LEAST_AREA: f64 = 350.0;
/// At most this many patches.
const MOST: usize = 25;

/// How far a face's colours are off their neighbourhood's, in spreads.
struct Off {
    tone: Field,
    red: Field,
    yellow: Field,
    all: Field,
}

/// All patches that may be stains.
pub(super) fn stains(view: &View) -> Vec<Suspect> {
    let view = view.halved().halved();
    let [tone, red, yellow] = [&view.tone, &view.red, &view.yellow].map(|it| off(&view, it));
    let all = tone.with(&red, |a, b| a * a + b * b).with(&yellow, |it, c| (it + c * c).sqrt());
    let off = Off { tone, red, yellow, all };
    let dark = |it: &f32| *it > OFF;
    let cells = off.all.values.iter().zip(&view.wood.values).map(|(it, wood)| dark(it) && *wood > 0.5);
    let mask = Mask { width: view.wood.width, height: view.wood.height, cells: cells.collect() };
    let patches = patches(&view, &mask.opened(1.0), LEAST_AREA, MOST);
    patches.iter().filter_map(|it| suspect(&view, &off, it)).collect()
}

fn off(view: &View, field: &Field) -> Field {
    let (near, wide) = (view.mean(field, NEAR[0], NEAR[1]), view.mean(field, WIDE[0], WIDE[1]));
    let off = near.with(&wide, |near, wide| near - wide).with(&view.wood, |it, wood| it * wood);
    let seen = view.wood.values.iter().sum::<f32>().max(1.0);
    let spread = (off.values.iter().map(|it| it * it).sum::<f32>() / seen).sqrt() + 1e-3;
    off.map(|it| it / spread)
}

fn suspect(view: &View, off: &Off, patch: &Patch) -> Option<Suspect> {
    let area = patch.ring(view)?;
    let (long, wide) = (area.bounds().width().to_mm(), area.bounds().height().to_mm());
    let mm2 = area.area().to_mm2();
    let traits = vec![
        mm2.ln(),
        patch.mean(&off.all),
        patch.mean(&off.tone),
        patch.mean(&off.red),
        patch.mean(&off.yellow),
        mm2 / (long * wide),
        (patch.mean(&view.depth) + 1.0).ln(),
    ];
    let sure = model::sure(ZoneKind::Stain, &traits);
    Some(Suspect { kind: ZoneKind::Stain, area, traits, sure })
}
