//! The lamp: how bright a place is, and the shadows it throws.

use crate::noise::step;
use crate::shot::Shot;
use crate::wood::Colour;

/// One lamp or window, and light from all round.
pub(crate) struct Lamp {
    /// Toward the lamp, over the bench.
    toward: [f64; 2],
    sin: f64,
    cos: f64,
    tint: Colour,
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
const FARTHEST: f64 = 85.0;

impl Lamp {
    pub(crate) fn of(shot: &Shot) -> Lamp {
        let light = shot.light;
        let tint = [light.warmth, 1.0, 1.0 / light.warmth].map(|it| it * light.exposure);
        Lamp {
            toward: [light.azimuth.cos(), light.azimuth.sin()],
            sin: light.elevation.sin(),
            cos: light.elevation.cos(),
            tint,
        }
    }

    pub(crate) fn lit(&self, colour: Colour, [x, y, _]: [f64; 3], share: f64) -> Colour {
        let (dx, dy) = (x - 420.0 * self.toward[0], y - 420.0 * self.toward[1]);
        let fall = 0.62 + 0.42 / (1.0 + (dx * dx + dy * dy) / (FALL_OFF * FALL_OFF));
        [0, 1, 2].map(|it| colour[it] * fall * share * self.tint[it])
    }

    /// How much of the light reaches the bench.
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
        let close = (here.min(0.0) / (0.7 * it.high + 0.5)).exp();
        (1.0 - DIRECT * shaded) * (1.0 - 0.38 * close)
    }

    /// How far a side face turns to the lamp: 0 away, 1 full on.
    pub(crate) fn facing(&self, outward: [f64; 2]) -> f64 {
        let long = outward[0].hypot(outward[1]).max(1e-9);
        (0.35 + 0.65 * (outward[0] * self.toward[0] + outward[1] * self.toward[1]) / long).clamp(0.0, 1.0)
    }

    /// A faint sheen where the upper face mirrors the lamp to the camera.
    pub(crate) fn gloss(&self, at: [f64; 3], camera: [f64; 3]) -> f64 {
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
