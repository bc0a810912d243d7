//! What the wood looks like: light given back, in linear red, green and blue.

use outline::Ring;
use rayon::prelude::*;

use crate::grow::{Cone, InCone};
use crate::noise::{Noise, blend, mix, step};
use crate::palette::{Palette, palette};
use crate::slab::Slab;

/// Light given back: linear red, green and blue, from 0 to 1.
pub(crate) type Colour = [f64; 3];

/// How a slab's inside looks, wherever it is cut.
pub(crate) struct Wood<'a> {
    slab: &'a Slab,
    palette: Palette,
    streak: Noise,
    pore: Noise,
    blotch: Noise,
    rough: Noise,
}

impl Wood<'_> {
    pub(crate) fn of(slab: &Slab) -> Wood<'_> {
        let layer = |it| Noise::new(slab.ask().seed, it);
        let palette = palette(slab.ask().look);
        Wood { slab, palette, streak: layer(40), pore: layer(41), blotch: layer(42), rough: layer(43) }
    }

    /// The wood, or bark, at a place. `end_grain` shows pores as dots, not as lines.
    pub(crate) fn colour(&self, [x, y, z]: [f64; 3], end_grain: bool) -> Colour {
        let in_wood = self.slab.to_log.at(x, y);
        let live = self.slab.ask().live_edge;
        if live && in_wood < 0.0 {
            return self.bark(x, y, z, in_wood);
        }
        let growth = self.slab.growth();
        let palette = &self.palette;
        let age = growth.age([x, y, z]);
        let (year, share) = (age.floor(), age.fract());
        let darker = 1.0 + 0.22 * self.rough.line(year * 0.83);
        let [begins, full] = palette.late_rise;
        let late = (step(begins, full, share) * step(1.0, 0.955, share) * darker).clamp(0.0, 1.0);
        let fibre = growth.fibre(x, y) + 0.37 * (z - growth.thickness().to_mm());
        let sap_depth =
            self.slab.ask().sapwood.to_mm() * (1.0 + 0.16 * self.blotch.plane(x / 130.0, y / 60.0));
        let from_bark =
            if live { self.slab.to_smooth.at(x, y) } else { self.slab.ask().width.to_mm() / 2.0 - fibre };
        let sap = if sap_depth > 0.0 { step(sap_depth + 1.6, sap_depth - 1.6, from_bark) } else { 0.0 };
        let heart = mixed(palette.early, palette.late, late);
        let mut colour = mixed(heart, mixed(palette.sap_early, palette.sap_late, late), sap);
        let streak = if end_grain { 0.0 } else { self.streak.rough(x / 24.0, fibre / 0.55, 3) };
        let broad = self.streak.rough(x / 190.0, fibre / 6.5, 2);
        let blotch = self.blotch.rough(x / 90.0, y / 38.0, 2);
        let tone = 1.0 + palette.streaks * streak + 0.055 * broad + 0.04 * blotch;
        // Pores crowd in the early wood.
        let crowd = step(0.62, 0.05, share) * (1.0 - palette.scattered) + palette.scattered;
        let pore = if end_grain {
            self.pore.plane(y / 0.5, z / 0.5)
        } else {
            self.pore.plane(x / 7.5, fibre / 0.45)
        };
        let pore = (pore - 1.05).max(0.0) * palette.pores * crowd * (1.0 - 0.5 * sap);
        colour = colour.map(|it| it * tone.max(0.3) * (1.0 - pore.min(0.75)));
        if palette.flecks > 0.0 && !end_grain {
            let fleck = step(1.0, 1.5, self.streak.plane(x / 3.4, fibre / 0.55 + 31.0));
            colour = colour.map(|it| it * (1.0 - palette.flecks * fleck));
        }
        if let Some((cone, place)) = growth.branch([x, y, z]) {
            colour = self.knot(colour, cone, place);
        }
        if !end_grain {
            for stain in &self.slab.faults().stains {
                let tint = stain.tint(x, fibre);
                colour = [0, 1, 2].map(|it| colour[it] * tint[it]);
            }
        }
        // The inner bark leaves a thin dark line.
        if live && in_wood < 1.4 {
            colour = mixed(colour, palette.bark, step(1.4, 0.2, in_wood) * 0.7);
        }
        if end_grain { colour.map(|it| it * 0.62) } else { colour }
    }

    /// The round of the log where bark has fallen off, with some of it left.
    fn round(&self, x: f64, y: f64, drop: f64) -> Colour {
        let palette = &self.palette;
        let left = step(-0.2, 0.9, self.rough.rough(x / 38.0, drop / 7.0, 3));
        let furrow = 1.0 + 0.16 * self.rough.rough(x / 9.0, drop / 1.6 + y / 40.0, 2);
        let bare = palette.sap_late.map(|it| it * 0.8);
        mixed(bare, palette.bark.map(|it| it * 1.3), left).map(|it| it * furrow.max(0.3))
    }

    /// The bark on a live edge's side.
    pub(crate) fn bark_at(&self, [x, y, z]: [f64; 3]) -> Colour {
        self.bark(x, y, z, -6.0)
    }

    fn knot(&self, wood: Colour, cone: &Cone, place: InCone) -> Colour {
        let palette = &self.palette;
        // The wood round a knot is dense and darker.
        let halo = (-(place.share - 1.0).max(0.0) / 0.35).exp();
        let firm = 1.0 - cone.faint;
        let around = mixed(wood, palette.knot.map(|it| it * 1.6), 0.5 * halo * firm);
        let share = place.share;
        let wobble = cone.wobble.plane(place.turn.cos() * 2.0, place.turn.sin() * 2.0 + 5.0);
        let year = (place.radius / (1.25 + 0.15 * wobble)).fract();
        let rings = step(0.2, 0.85, year) * step(1.0, 0.93, year);
        let core = step(0.35, 0.0, share);
        let body = mixed(wood, palette.knot, (0.52 + 0.26 * rings + 0.2 * core) * firm);
        let split = (2.5 * (place.turn + 0.5 * wobble)).sin().abs();
        let cracked =
            share < 0.75 && split * place.radius < 0.3 && cone.wobble.line(place.turn.round() * 9.0) > -0.2;
        let body = if cracked { body.map(|it| it * 0.3) } else { body };
        let edge = if cone.dead {
            step(0.16, 0.03, (share - 1.0).abs()) * 0.85
        } else {
            step(0.22, 0.0, (share - 1.0).abs()) * 0.4 * firm
        };
        let seen = mixed(around, body, step(1.03, 0.97, share));
        mixed(seen, palette.knot.map(|it| it * 0.35), edge)
    }

    fn bark(&self, x: f64, y: f64, z: f64, in_wood: f64) -> Colour {
        let lower = z - self.slab.ask().thickness.to_mm();
        // Plates with furrows along the log; the inner bark is redder.
        let plate = self.rough.rough(x / 14.0, (y + 1.3 * lower) / 3.6, 3);
        let furrow = step(0.1, 0.9, self.rough.plane(x / 26.0 + 9.0, (y + 1.6 * lower) / 5.0).abs());
        let fleck = self.pore.plane(x / 1.7, (y + lower) / 1.1);
        let inner = step(-2.6, 0.0, in_wood);
        let tone = (0.55 + 0.6 * furrow) * (1.0 + 0.24 * plate + 0.12 * fleck);
        let red = [1.45, 0.95, 0.72];
        [0, 1, 2].map(|it| self.palette.bark[it] * tone.max(0.15) * blend(1.0, red[it], inner))
    }
}

/// The upper face's looks, worked out once.
pub(crate) struct Skin {
    /// Between two places, in millimetres.
    grain: f64,
    low: [f64; 2],
    columns: usize,
    rows: usize,
    colours: Vec<[f32; 3]>,
}

/// Places of the skin to a pixel of the picture: a little finer, so that the
/// blending between places takes nothing away.
const PLACES_PER_PIXEL: f64 = 1.15;
/// The finest and the coarsest skin, in millimetres.
const GRAINS: [f64; 2] = [0.25, 2.0];
/// What little light a check or a hole gives back.
const CHECK_SHADE: f64 = 0.07;

impl Skin {
    /// `pixel` is the size of the camera's pixel on the face, in millimetres.
    pub(crate) fn of(slab: &Slab, wood: &Wood<'_>, pixel: f64) -> Skin {
        let grain = (pixel / PLACES_PER_PIXEL).clamp(GRAINS[0], GRAINS[1]);
        let bounds = slab.outline().bounds();
        let low = [bounds.low.x - 2.0, bounds.low.y - 2.0];
        let cells = |size: f64| ((size + 4.0) / grain).ceil() as usize + 2;
        let (columns, rows) = (cells(bounds.width().to_mm()), cells(bounds.height().to_mm()));
        let top = slab.ask().thickness.to_mm();
        let mut colours = vec![[0.0_f32; 3]; columns * rows];
        colours.par_chunks_mut(columns).enumerate().for_each(|(row, out)| {
            let y = low[1] + row as f64 * grain;
            for (column, colour) in out.iter_mut().enumerate() {
                let x = low[0] + column as f64 * grain;
                if slab.to_outline.at(x, y) > -2.0 {
                    let drop = slab.fallen(x, y);
                    let face = wood.colour([x, y, top - drop], false);
                    let round = step(0.0, 1.2, drop);
                    let seen = if drop > 0.0 { mixed(face, wood.round(x, y, drop), round) } else { face };
                    *colour = seen.map(|it| it as f32);
                }
            }
        });
        let mut skin = Skin { grain, low, columns, rows, colours };
        slab.checks().iter().chain(slab.worms()).for_each(|it| skin.darken(it));
        skin
    }

    fn darken(&mut self, hollow: &Ring) {
        let bounds = hollow.bounds();
        let cell = |at: f64, axis: usize| ((at - self.low[axis]) / self.grain).floor().max(0.0) as usize;
        let across = cell(bounds.low.x, 0)..(cell(bounds.high.x, 0) + 2).min(self.columns);
        let up = cell(bounds.low.y, 1)..(cell(bounds.high.y, 1) + 2).min(self.rows);
        let (grain, low, columns) = (self.grain, self.low, self.columns);
        let rows = self.colours.par_chunks_mut(columns).enumerate().skip(up.start).take(up.len());
        rows.for_each(|(row, out)| {
            for column in across.clone() {
                let inside = (0..9).filter(|it| {
                    let x = low[0] + (column as f64 + f64::from(it % 3 - 1) / 3.0) * grain;
                    let y = low[1] + (row as f64 + f64::from(it / 3 - 1) / 3.0) * grain;
                    hollow.contains(outline::Point::new(x, y))
                });
                let cover = inside.count() as f64 / 9.0;
                out[column] = out[column].map(|it| it * (1.0 - cover * (1.0 - CHECK_SHADE)) as f32);
            }
        });
    }

    pub(crate) fn colour(&self, x: f64, y: f64) -> Colour {
        let across = ((x - self.low[0]) / self.grain).clamp(0.0, (self.columns - 2) as f64);
        let up = ((y - self.low[1]) / self.grain).clamp(0.0, (self.rows - 2) as f64);
        let (column, row) = ((across as usize).min(self.columns - 2), (up as usize).min(self.rows - 2));
        let (u, v) = (across - column as f64, up - row as f64);
        let at = |row: usize, column: usize| self.colours[row * self.columns + column].map(f64::from);
        let lower = mixed(at(row, column), at(row, column + 1), u);
        mixed(lower, mixed(at(row + 1, column), at(row + 1, column + 1), u), v)
    }
}

pub(crate) fn mixed(from: Colour, to: Colour, share: f64) -> Colour {
    [0, 1, 2].map(|it| blend(from[it], to[it], share))
}

/// A seed of its own for each subject of a picture.
pub(crate) fn reseed(seed: u32, layer: u32) -> u32 {
    mix(seed.wrapping_add(layer.wrapping_mul(0x9e37)))
}
