//! Knots: blobs unlike the same streak further along, round which fibres part.

use rayon::prelude::*;
use stock::ZoneKind;

use super::Suspect;
use super::flow::{flow, parting};
use super::model;
use super::rim::{Rim, rim};
use super::spots::{Spot, apart, peaks};
use super::view::View;
use crate::field::Field;

/// Radii that are looked for, in millimetres.
const SIZES: [f64; 6] = [3.0, 4.5, 6.8, 10.0, 15.0, 22.0];
/// A spot this much darker than its streak, in spreads of the face, is looked at.
const DARKER: f32 = 0.7;
/// Fibres that part this strongly, in radians, are looked at.
const PARTED: f32 = 0.05;
/// At most this many spots are looked at closely.
const MOST: usize = 90;
/// A streak's own tone is taken from this many radii along, and across.
const STREAK: [f64; 2] = [3.5, 0.6];
/// How the face's spread of tone is taken: over this many millimetres.
const SPREAD: f64 = 45.0;

/// What a face shows at one size.
struct Sized {
    size: f64,
    /// Darker than the streak, in spreads.
    darker: Field,
    /// Darker than all round, in spreads.
    blob: Field,
    /// Fibres part.
    parting: Field,
}

/// All spots that may be knots.
pub(super) fn knots(view: &View) -> Vec<Suspect> {
    let flow = flow(view);
    let (turned, sure) = (flow.turned.halved(), flow.sure.halved());
    let view = view.halved();
    let spread = spread(&view);
    let sizes: Vec<Sized> = SIZES.par_iter().map(|&size| sized(&view, &turned, &spread, size)).collect();
    let look = Look { view: &view, sure: &sure, turned: &turned, spread: &spread, sizes: &sizes };
    let spots = sizes.iter().enumerate().flat_map(|(index, it)| {
        let cells = view.cells(it.size);
        let dark = peaks(&it.darker, &view.wood, cells, DARKER);
        let parted = peaks(&it.parting, &view.wood, cells, PARTED);
        // Either sign brings a spot in; they are ranked by both together.
        dark.into_iter().chain(parted).map(move |spot| (index, spot))
    });
    let mut indices = std::collections::BTreeMap::new();
    let ranked = spots.map(|(index, spot)| {
        let at = spot.y * view.wood.width + spot.x;
        let strength =
            sizes[index].darker.values[at].max(0.0) + 8.0 * sizes[index].parting.values[at].max(0.0);
        let spot = Spot { strength, ..spot };
        indices.insert((spot.x, spot.y, spot.size.to_bits()), index);
        spot
    });
    let kept = apart(ranked.collect(), MOST);
    kept.par_iter()
        .filter_map(|spot| look.suspect(*spot, *indices.get(&(spot.x, spot.y, spot.size.to_bits()))?))
        .collect()
}

/// The usual difference of tone between a place and its streak.
fn spread(view: &View) -> Field {
    let off = view.tone.with(&view.mean(&view.tone, 12.0, 6.0), |it, mean| (it - mean).clamp(-0.6, 0.6));
    view.mean(&off.map(|it| it * it), SPREAD, SPREAD).map(|it| it.sqrt() + 0.02)
}

fn sized(view: &View, turned: &Field, spread: &Field, size: f64) -> Sized {
    let own = view.mean(&view.tone, 0.5 * size, 0.5 * size);
    let streak = view.mean(&view.tone, STREAK[0] * size, STREAK[1] * size);
    let round = view.mean(&view.tone, 1.8 * size, 1.8 * size);
    let spreads = |far: &Field| far.with(&own, |far, own| far - own).with(spread, |it, spread| it / spread);
    let parting = parting(turned, &view.wood, view.cells(1.3 * size));
    Sized { size, darker: spreads(&streak), blob: spreads(&round), parting }
}

/// Everything that a spot is judged by.
struct Look<'a> {
    view: &'a View,
    sure: &'a Field,
    turned: &'a Field,
    spread: &'a Field,
    sizes: &'a [Sized],
}

impl Look<'_> {
    fn suspect(&self, spot: Spot, index: usize) -> Option<Suspect> {
        let rim = rim(&self.view.tone, spot)?;
        let traits = self.traits(spot, &self.sizes[index], &rim);
        let area = self.view.ring(rim.places())?;
        let sure = model::sure(ZoneKind::Knot, &traits);
        Some(Suspect { kind: ZoneKind::Knot, area, traits, sure })
    }

    fn traits(&self, spot: Spot, sized: &Sized, rim: &Rim) -> Vec<f64> {
        let view = self.view;
        let at = |field: &Field| f64::from(field.values[spot.y * field.width + spot.x]);
        let spread = at(self.spread);
        let ring = |field: &Field, radii: f64, half: bool| {
            // Places round the spot; `half` keeps those beside it along the grain.
            let places = (0..24).map(|it| f64::from(it) * std::f64::consts::TAU / 24.0);
            let places = places.filter(|turn| !half || turn.cos().abs() > 0.85);
            let values: Vec<f64> = places
                .filter_map(|turn| {
                    let far = radii * rim.mean_radius();
                    let (x, y) = (rim.x + far * turn.cos(), rim.y + far * turn.sin());
                    let inside = x >= 0.0 && y >= 0.0 && x < field.width as f64 && y < field.height as f64;
                    let at = y as usize * field.width + x as usize;
                    (inside && view.wood.values[at] > 0.5).then(|| f64::from(field.values[at]))
                })
                .collect();
            (values.len() > 1).then(|| values.iter().sum::<f64>() / values.len() as f64)
        };
        let own = |field: &Field| ring(field, 0.45, false).unwrap_or_else(|| at(field));
        let against =
            |field: &Field, radii: f64, half| ring(field, radii, half).map_or(0.0, |it| it - own(field));
        vec![
            at(&sized.darker),
            at(&sized.blob),
            at(&sized.parting) * 10.0,
            against(&view.tone, 2.2, true) / spread,
            against(&view.tone, 1.7, false) / spread,
            rim.step / spread,
            rim.evenness,
            (view.cell * rim.mean_radius()).ln(),
            rim.roundness,
            against(self.sure, 2.2, false),
            -against(&view.red, 2.0, true) / 3.0,
            -against(&view.yellow, 2.0, true) / 5.0,
            ring(&self.turned.map(f32::abs), 1.5, false).unwrap_or(0.0) * 5.0,
            spread * 5.0,
        ]
    }
}
