//! Where exactly the edge runs within its cells.

use rayon::prelude::*;

use crate::clean::Mask;
use crate::colour::Light;
use crate::field::Field;

/// The edge may lie this many cells off the mask's.
const REACH: f32 = 3.0;

/// Colours on either side are taken as the mean within about this many cells.
const SIDE: f64 = 5.0;

/// Below this difference in linear light the two sides look alike, and the
/// mask's own edge stands.
const ALIKE: f32 = 0.02;

/// Two colours of the same hue are told by their brightness: below this squared
/// sine of the angle between them (10 degrees).
const SAME_HUE: f32 = 0.03;

/// Where the mask's own edge stands it is rounded by this many cells.
const ROUNDED: f64 = 1.0;

/// After cleaning, the edge may lie this many cells off the mask's: thinner
/// notches and spikes are seams of the bench and lines of the grain.
const STRAY: f32 = 1.5;

/// How much of each cell belongs, from 0 to 1, read anew where the edge turns out
/// to lie elsewhere than in the mask, without notches and spikes narrower than
/// twice `opening` cells.
pub(crate) fn settled(light: &[Light], mask: &Mask, opening: f32) -> Field {
    let first = cleaned(&shares(light, mask), opening);
    let found = shares(light, &first);
    let clean = cleaned(&found, opening);
    let (within, without) = (clean.depth(), clean.inverted().depth());
    let held = found.with(&within, |share, depth| if depth > STRAY { 1.0 } else { share });
    held.with(&without, |share, depth| if depth > STRAY { 0.0 } else { share })
}

fn cleaned(found: &Field, opening: f32) -> Mask {
    let cells = found.values.iter().map(|it| *it > 0.5).collect();
    let mask = Mask { width: found.width, height: found.height, cells };
    let mask = mask.opened(opening).largest().filled();
    mask.inverted().opened(opening).inverted()
}

/// How much of each cell belongs, from 0 to 1. A cell on the edge shows a mix of
/// the two sides' light, and the share is read off that (the compositing
/// equation of matting).
pub(crate) fn shares(light: &[Light], mask: &Mask) -> Field {
    let outside = mask.inverted();
    let (within, without) = (mask.depth(), outside.depth());
    let own = side(light, &within);
    let other = side(light, &without);
    let soft = mask.solid().smeared(ROUNDED);
    let values = (0..light.len()).into_par_iter().with_min_len(mask.width.max(1)).map(|at| {
        if within.values[at] > REACH {
            return 1.0;
        }
        if without.values[at] > REACH {
            return 0.0;
        }
        mixed(light[at], own[at], other[at]).unwrap_or(soft.values[at])
    });
    Field::new(mask.width, mask.height, values.collect())
}

/// The mean light of one side about every cell, from cells well within it.
fn side(light: &[Light], depth: &Field) -> Vec<Option<Light>> {
    let weight = depth.map(|it| if it > REACH - 1.0 { 1.0 } else { 0.0 });
    let sum = weight.smeared(SIDE);
    let channel = |index: usize| {
        let values = light.par_iter().zip(&weight.values).map(|(light, weight)| light[index] * weight);
        Field::new(depth.width, depth.height, values.collect()).smeared(SIDE)
    };
    let [red, green, blue] = [0, 1, 2].map(channel);
    let mean = |at: usize| {
        let share = sum.values[at];
        let all = [red.values[at], green.values[at], blue.values[at]];
        (share > 1e-3).then(|| all.map(|it| it / share))
    };
    (0..light.len()).map(mean).collect()
}

/// The share of one's own light in a mix of both sides'.
fn mixed(light: Light, own: Option<Light>, other: Option<Light>) -> Option<f32> {
    let (own, other) = (own?, other?);
    let (hue, light) = (by_hue(light, own, other), by_light(light, own, other));
    // Shadow fools the second and bark the first, and both towards more.
    hue.into_iter().chain(light).min_by(f32::total_cmp)
}

/// By hue: how much of either side's light must be added to give this light,
/// however brightly either is lit here. Shadow beside the edge then counts as ground.
fn by_hue(light: Light, own: Light, other: Light) -> Option<f32> {
    let (oo, nn, on) = (dot(own, own), dot(other, other), dot(own, other));
    let apart = oo * nn - on * on;
    if apart <= SAME_HUE * oo * nn {
        return None;
    }
    let (lo, ln) = (dot(light, own), dot(light, other));
    let ours = ((lo * nn - ln * on) / apart).max(0.0);
    let others = ((ln * oo - lo * on) / apart).max(0.0);
    (ours + others > 0.0).then(|| ours / (ours + others))
}

/// By brightness and hue alike.
fn by_light(light: Light, own: Light, other: Light) -> Option<f32> {
    let apart = std::array::from_fn(|channel| own[channel] - other[channel]);
    let square = dot(apart, apart);
    let from_other = std::array::from_fn(|channel| light[channel] - other[channel]);
    (square > ALIKE * ALIKE).then(|| (dot(from_other, apart) / square).clamp(0.0, 1.0))
}

fn dot(a: Light, b: Light) -> f32 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}
