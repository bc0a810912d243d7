//! The lamp: how bright a place is, and the shadows it throws.

use measure::Angle;
use outline::Bounds;

use crate::grid::Grid;
use crate::noise::step;
use crate::shot::{Shade, Shot};
use crate::wood::Colour;

/// One lamp or window, and light from all round.
pub(crate) struct Lamp {
    /// Toward the lamp, over the bench.
    toward: [f64; 2],
    sin: f64,
    cos: f64,
    tint: Colour,
    /// How much of its light reaches each place of the bench.
    open: Option<Grid>,
}

/// What may stand between a place on the bench and the lamp.
pub(crate) struct Shadow<'a> {
    pub(crate) x: f64,
    pub(crate) y: f64,
    pub(crate) high: f64,
    pub(crate) inside: &'a (dyn Fn(f64, f64) -> f64 + 'a),
}

/// How far off the lamp's light has halved, in millimetres.
const FALL_OFF: f64 = 1300.0;
/// How much of the light is the lamp's own and can be shaded.
const DIRECT: f64 = 0.58;
/// Shadows farther than this from their thing are not looked for.
pub(crate) const FARTHEST: f64 = 85.0;
/// Shadows are worked out this densely, in millimetres: their softest edge is wider.
const SHADOW_CELL: f64 = 1.25;

/// All the light on a scene.
pub(crate) struct Lights {
    lamps: Vec<Lamp>,
    shade: Option<Shade>,
    gloss: f64,
}

impl Lights {
    pub(crate) fn of(shot: &Shot) -> Lights {
        let light = shot.light;
        let share = light.second.map_or(0.0, |it| it.share);
        let main = Lamp::new(light.azimuth, light.elevation, light.warmth, light.exposure * (1.0 - share));
        let second =
            light.second.map(|it| Lamp::new(it.azimuth, it.elevation, it.warmth, light.exposure * it.share));
        let lamps = std::iter::once(main).chain(second).collect();
        Lights { lamps, shade: light.shade, gloss: light.gloss }
    }

    /// Works out once how much of each lamp's light gets to the bench.
    pub(crate) fn cast(&mut self, within: Bounds, open: impl Fn(&Lamp, f64, f64) -> f64 + Sync) {
        for lamp in &mut self.lamps {
            let grid = Grid::filled(within, SHADOW_CELL, |x, y| open(lamp, x, y));
            lamp.open = Some(grid);
        }
    }

    /// A colour as it is lit at a place; `share` of each lamp's light gets there.
    pub(crate) fn lit(&self, colour: Colour, at: [f64; 3], share: impl Fn(&Lamp) -> f64) -> Colour {
        let sum = self.lamps.iter().fold([0.0; 3], |sum, lamp| {
            let lit = lamp.lit(colour, at, share(lamp));
            [0, 1, 2].map(|it| sum[it] + lit[it])
        });
        let left = self.shade.as_ref().map_or(1.0, |it| unshaded(it, at));
        sum.map(|it| it * left)
    }

    /// A faint sheen where the upper face mirrors a lamp to the camera.
    pub(crate) fn gloss(&self, at: [f64; 3], camera: [f64; 3]) -> f64 {
        self.gloss * self.lamps.iter().map(|it| it.gloss(at, camera)).sum::<f64>()
    }
}

fn unshaded(shade: &Shade, [x, y, _]: [f64; 3]) -> f64 {
    let away = ((x - shade.at.x) / shade.half[0]).hypot((y - shade.at.y) / shade.half[1]);
    1.0 - shade.depth * step(1.3, 0.7, away)
}

impl Lamp {
    fn new(azimuth: Angle, elevation: Angle, warmth: f64, strength: f64) -> Lamp {
        let tint = [warmth, 1.0, 1.0 / warmth].map(|it| it * strength);
        Lamp {
            toward: [azimuth.cos(), azimuth.sin()],
            sin: elevation.sin(),
            cos: elevation.cos(),
            tint,
            open: None,
        }
    }

    /// How much more light a surface gets that leans by this slope, as a share of
    /// what a level one gets.
    pub(crate) fn leaning(&self, slope: [f64; 2]) -> f64 {
        let away = slope[0] * self.toward[0] + slope[1] * self.toward[1];
        1.0 - DIRECT * away * self.cos / self.sin
    }

    fn lit(&self, colour: Colour, [x, y, _]: [f64; 3], share: f64) -> Colour {
        let (dx, dy) = (x - 420.0 * self.toward[0], y - 420.0 * self.toward[1]);
        let fall = 0.62 + 0.42 / (1.0 + (dx * dx + dy * dy) / (FALL_OFF * FALL_OFF));
        [0, 1, 2].map(|it| colour[it] * fall * share * self.tint[it])
    }

    /// How much of the light reaches a place on the bench: 1 is all.
    pub(crate) fn open(&self, x: f64, y: f64) -> f64 {
        self.open.as_ref().and_then(|it| it.at(x, y)).unwrap_or(1.0)
    }

    /// How much of the light one thing lets through to the bench.
    pub(crate) fn shadow(&self, it: &Shadow<'_>) -> f64 {
        const STEPS: usize = 7;
        let here = (it.inside)(it.x, it.y);
        if here < -FARTHEST {
            return 1.0;
        }
        let mut shaded = 0.0_f64;
        for at in 1..=STEPS {
            let height = it.high * at as f64 / STEPS as f64;
            let away = height * self.cos / self.sin;
            let inside = (it.inside)(it.x + away * self.toward[0], it.y + away * self.toward[1]);
            let soft = 2.0 + 0.28 * away;
            shaded = shaded.max(step(-soft, soft, inside));
        }
        // Light from all round is shut out close to the thing.
        let close = (here.min(0.0) / (0.7 * it.high + 0.5)).exp() * step(-FARTHEST, -0.5 * FARTHEST, here);
        (1.0 - DIRECT * shaded) * (1.0 - 0.38 * close)
    }

    /// How far a side face turns to the lamp: 0 away, 1 full on.
    pub(crate) fn facing(&self, outward: [f64; 2]) -> f64 {
        let long = outward[0].hypot(outward[1]).max(1e-9);
        (0.35 + 0.65 * (outward[0] * self.toward[0] + outward[1] * self.toward[1]) / long).clamp(0.0, 1.0)
    }

    fn gloss(&self, at: [f64; 3], camera: [f64; 3]) -> f64 {
        let to = [0, 1, 2].map(|it| camera[it] - at[it]);
        let long = (to[0] * to[0] + to[1] * to[1] + to[2] * to[2]).sqrt();
        let half = [
            to[0] / long + self.cos * self.toward[0],
            to[1] / long + self.cos * self.toward[1],
            to[2] / long + self.sin,
        ];
        let size = (half[0] * half[0] + half[1] * half[1] + half[2] * half[2]).sqrt();
        0.03 * (half[2] / size).powi(40) * self.tint[1]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::demos;
    use crate::shot::SecondLight;

    #[test]
    fn a_second_lamp_like_the_first_changes_nothing() {
        let mut shot = demos::leaf(320).unwrap();
        let lit = |shot: &Shot| Lights::of(shot).lit([0.4, 0.3, 0.2], [90.0, -40.0, 0.0], |_| 0.8);
        let one = lit(&shot);
        let light = shot.light;
        let (azimuth, elevation, warmth) = (light.azimuth, light.elevation, light.warmth);
        shot.light.second = Some(SecondLight { azimuth, elevation, warmth, share: 0.3 });
        let two = lit(&shot);
        assert!((0..3).all(|it| (one[it] - two[it]).abs() < 1e-12), "{one:?} {two:?}");
    }
}
