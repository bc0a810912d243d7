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

/// Where the mask's own edge stands it is rounded by this many cells.
const ROUNDED: f64 = 1.0;

/// How much of each cell belongs, from 0 to 1. A cell on the edge shows a mix of
/// the two sides' light, and the share is read off that (the compositing
/// equation of matting).
pub(crate) fn shares(light: &[Light], mask: &Mask) -> Field {
    let outside = mask.inverted();
    let (within, without) = (mask.depth(), outside.depth());
    let own = side(light, &within);
    let other = side(light, &without);
    let soft = solid(mask).smeared(ROUNDED);
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

fn solid(mask: &Mask) -> Field {
    let values = mask.cells.iter().map(|it| if *it { 1.0 } else { 0.0 });
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

fn mixed(light: Light, own: Option<Light>, other: Option<Light>) -> Option<f32> {
    let (own, other) = (own?, other?);
    let (mut along, mut square) = (0.0, 0.0);
    for channel in 0..3 {
        let apart = own[channel] - other[channel];
        along += (light[channel] - other[channel]) * apart;
        square += apart * apart;
    }
    (square > ALIKE * ALIKE).then(|| (along / square).clamp(0.0, 1.0))
}
