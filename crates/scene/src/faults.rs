//! Faults beside knots and checks: stains, worm holes and a missing edge.

use measure::Problem;
use outline::{Point, Ring};

use crate::distance::Distance;
use crate::grow::Growth;
use crate::nature::Nature;
use crate::noise::{Dice, Noise, blend, step};
use crate::slab::SlabAsk;
use crate::wood::Colour;

/// A slab's faults on its upper face.
#[derive(Clone, Debug, Default)]
pub(crate) struct Faults {
    pub(crate) stains: Vec<Stain>,
    /// Rims of the worm holes.
    pub(crate) worms: Vec<Ring>,
    pub(crate) wane: Option<Wane>,
}

/// A colour that does not belong, along the fibres.
#[derive(Clone, Debug)]
pub(crate) struct Stain {
    at: Point,
    /// The fibre through its middle.
    fibre: f64,
    half_long: f64,
    half_wide: f64,
    /// What it leaves of red, green and blue.
    tint: Colour,
    edge: Noise,
    pub(crate) ring: Ring,
}

/// The round of the log along the far long edge of a sawn plank.
#[derive(Clone, Debug)]
pub(crate) struct Wane {
    /// Where along the plank it is widest, and half its length.
    middle: f64,
    half_long: f64,
    /// How far in from the edge it reaches at most.
    wide: f64,
    slope: f64,
    /// The far edge's distance from the plank's middle line.
    edge: f64,
    wobble: Noise,
    pub(crate) ring: Ring,
}

/// Tries before a fault is left out for want of room.
const TRIES: usize = 60;

impl Faults {
    pub(crate) fn grown(
        ask: &SlabAsk,
        nature: &Nature,
        growth: &Growth,
        inside: &Distance,
    ) -> Result<Faults, Problem> {
        let mut dice = Dice::new(ask.seed ^ 0xfa17);
        let mut faults = Faults::default();
        for number in 0..nature.stains {
            let noise = Noise::new(ask.seed, 100 + number as u32);
            faults.stains.extend(Stain::thrown(ask, growth, inside, noise, &mut dice)?);
        }
        for _ in 0..nature.worms {
            faults.worms.extend(group(ask, inside, &mut dice)?);
        }
        if nature.wane && !ask.live_edge {
            faults.wane = Some(Wane::thrown(ask, &mut dice)?);
        }
        Ok(faults)
    }
}

fn somewhere(ask: &SlabAsk, dice: &mut Dice) -> Point {
    let (half_x, half_y) = (ask.length.to_mm() / 2.0, ask.width.to_mm() / 2.0);
    Point::new(dice.between(-half_x, half_x), dice.between(-half_y, half_y))
}

/// Holes of one brood, 1 to 3 mm wide.
fn group(ask: &SlabAsk, inside: &Distance, dice: &mut Dice) -> Result<Vec<Ring>, Problem> {
    const CORNERS: u32 = 14;
    let middle = somewhere(ask, dice);
    let (count, spread) = (dice.between(2.0, 9.0) as usize, dice.between(8.0, 28.0));
    let wide = dice.between(1.0, 2.2);
    let mut rings = Vec::new();
    for _ in 0..count {
        let at = Point::new(middle.x + dice.bell(1.5 * spread), middle.y + dice.bell(0.7 * spread));
        let half = 0.5 * (wide * dice.between(0.8, 1.4)).clamp(1.0, 3.0);
        let (stretch, turn) = (dice.between(1.0, 1.4), dice.between(0.0, 3.2));
        let corner = |it: u32| {
            let way = f64::from(it) * std::f64::consts::TAU / f64::from(CORNERS);
            let (u, v) = (half * stretch * way.cos(), half * way.sin());
            Point::new(at.x + u * turn.cos() - v * turn.sin(), at.y + u * turn.sin() + v * turn.cos())
        };
        if inside.at(at.x, at.y) > 12.0 {
            rings.push(Ring::new((0..CORNERS).map(corner).collect())?);
        }
    }
    Ok(rings)
}

/// How deep in a stain a place is where half of its colour is reached.
const STAIN_RIM: f64 = 0.1;
/// The colour comes in over this much on both sides of that.
const STAIN_SOFT: f64 = 0.4;

impl Stain {
    fn thrown(
        ask: &SlabAsk,
        growth: &Growth,
        inside: &Distance,
        edge: Noise,
        dice: &mut Dice,
    ) -> Result<Option<Stain>, Problem> {
        let tints = [[0.50, 0.52, 0.56], [0.62, 0.50, 0.38], [0.66, 0.62, 0.52]];
        for _ in 0..TRIES {
            let at = somewhere(ask, dice);
            let half_wide = dice.between(5.0, 0.09 * ask.width.to_mm());
            let half_long = half_wide * dice.between(1.6, 4.5);
            let strength = dice.between(0.55, 1.0);
            let tint = tints[dice.between(0.0, 2.999) as usize].map(|it| blend(1.0, it, strength));
            let fibre = growth.fibre(at.x, at.y);
            let ring = Ring::new(vec![at, Point::new(at.x + 1.0, at.y), Point::new(at.x, at.y + 1.0)])?;
            let mut stain = Stain { at, fibre, half_long, half_wide, tint, edge, ring };
            let rim = stain.rim(growth);
            if rim.iter().all(|it| inside.at(it.x, it.y) > 6.0) {
                stain.ring = Ring::new(rim)?;
                return Ok(Some(stain));
            }
        }
        Ok(None)
    }

    /// 1 in the middle, less further out.
    fn depth(&self, x: f64, fibre: f64) -> f64 {
        let (along, across) = ((x - self.at.x) / self.half_long, (fibre - self.fibre) / self.half_wide);
        1.0 - along * along - across * across + 0.3 * self.edge.rough(1.6 * along, 1.3 * across, 3)
    }

    /// What it leaves of the wood's colour at a place, on this fibre.
    pub(crate) fn tint(&self, x: f64, fibre: f64) -> Colour {
        if (x - self.at.x).abs() > 2.0 * self.half_long || (fibre - self.fibre).abs() > 2.0 * self.half_wide {
            return [1.0; 3];
        }
        let share = step(STAIN_RIM - STAIN_SOFT, STAIN_RIM + STAIN_SOFT, self.depth(x, fibre));
        self.tint.map(|it| blend(1.0, it, share))
    }

    /// Where half of its colour is reached, coming from its middle.
    fn rim(&self, growth: &Growth) -> Vec<Point> {
        const CORNERS: u32 = 72;
        let corner = |it: u32| {
            let way = f64::from(it) * std::f64::consts::TAU / f64::from(CORNERS);
            let on = |share: f64| {
                let (x, y) = (share * self.half_long * way.cos(), share * self.half_wide * way.sin());
                Point::new(self.at.x + x, self.at.y + y)
            };
            let within = |share: f64| {
                let at = on(share);
                self.depth(at.x, growth.fibre(at.x, at.y)) > STAIN_RIM
            };
            let out = (1..120).map(|it| f64::from(it) * 0.02).find(|&it| !within(it));
            on(out.unwrap_or(2.4))
        };
        (0..CORNERS).map(corner).collect()
    }
}

impl Wane {
    fn thrown(ask: &SlabAsk, dice: &mut Dice) -> Result<Wane, Problem> {
        const PITCH: f64 = 3.0;
        let half = ask.length.to_mm() / 2.0;
        let wide = dice.between(7.0, 17.0);
        let deepest = 0.75 * ask.thickness.to_mm();
        let ring = Ring::new(vec![Point::new(0.0, 0.0), Point::new(1.0, 0.0), Point::new(0.0, 1.0)])?;
        let mut wane = Wane {
            middle: dice.between(-1.0, 1.0) * half,
            half_long: dice.between(0.2, 0.55) * half,
            wide,
            slope: dice.between(0.45, 0.8).min(deepest / (1.2 * wide)),
            edge: ask.width.to_mm() / 2.0,
            wobble: Noise::new(ask.seed, 99),
            ring,
        };
        let from = (wane.middle - wane.half_long).max(-half);
        let to = (wane.middle + wane.half_long).min(half);
        let count = ((to - from) / PITCH).ceil();
        let along = (0..=count as usize).map(|it| blend(from, to, it as f64 / count));
        let inner: Vec<Point> = along.map(|x| Point::new(x, wane.edge - wane.reach(x).max(0.01))).collect();
        let outer = inner.iter().rev().map(|it| Point::new(it.x, wane.edge));
        wane.ring = Ring::new(inner.iter().copied().chain(outer).rev().collect())?;
        Ok(wane)
    }

    /// How far in from the edge it reaches.
    fn reach(&self, x: f64) -> f64 {
        let off = (x - self.middle) / self.half_long;
        let wobble = 1.0 + 0.12 * self.wobble.line(x / 45.0) + 0.05 * self.wobble.line(x / 11.0 + 30.0);
        self.wide * (1.0 - off * off).max(0.0).sqrt() * wobble.clamp(0.6, 1.2)
    }

    /// How far below the face the wood is at a place.
    pub(crate) fn fallen(&self, x: f64, y: f64) -> f64 {
        let from_edge = (self.edge - y).max(0.0);
        if from_edge > 1.2 * self.wide {
            return 0.0;
        }
        let within = (self.reach(x) - from_edge).max(0.0);
        self.slope * within * (1.0 + 0.35 * within / self.wide)
    }

    /// The most that it may drop.
    pub(crate) fn deepest(&self) -> f64 {
        1.2 * self.slope * self.wide * 1.42
    }

    /// Whether a ray that meets the face's level here may meet it within `reach`.
    pub(crate) fn is_near(&self, x: f64, y: f64, reach: f64) -> bool {
        (x - self.middle).abs() < self.half_long + reach && (y - self.edge).abs() < 1.2 * self.wide + reach
    }
}
