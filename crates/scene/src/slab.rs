//! A slab that grows from a seed: its edges, knots and checks, known exactly.

use measure::{Angle, Length, Problem};
use outline::{Point, Ring};
use serde::{Deserialize, Serialize};

use crate::distance::Distance;
use crate::edges::{Edges, edges};
use crate::faults::Faults;
use crate::grow::Growth;
use crate::nature::Nature;
use crate::noise::Dice;

/// What slab to grow.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct SlabAsk {
    /// The same seed grows the same slab.
    pub seed: u32,
    /// What wood it looks like.
    pub look: Look,
    /// Along the log, between the ends.
    pub length: Length,
    /// Across, bark and all; a live edge wanders about it.
    pub width: Length,
    /// How thick it is.
    pub thickness: Length,
    /// Whether bark is left on both long edges; else it is sawn square.
    pub live_edge: bool,
    /// Pale sapwood, measured in from the wood line (a live edge, both sides) or
    /// from the far long edge (square-sawn).
    pub sapwood: Length,
    /// How many knots.
    pub knots: usize,
    /// How many drying checks run in from the ends.
    pub checks: usize,
}

/// What wood a slab looks like. Looks only: no property is meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Look {
    /// Dark brown, pale sapwood.
    Walnut,
    /// Cream, faint rings.
    Maple,
    /// Reddish brown, fine.
    Cherry,
    /// Straw, coarse pores.
    Oak,
    /// Pale yellow, with dark late wood in sharp stripes.
    Pine,
    /// Pale, coarse pores in the early wood only.
    Ash,
    /// Pale pinkish brown with short dark flecks, faint rings.
    Beech,
    /// Nearly black, with fine paler stripes.
    Wenge,
}

impl Look {
    /// Every look.
    pub const ALL: [Look; 8] =
        [Look::Walnut, Look::Maple, Look::Cherry, Look::Oak, Look::Pine, Look::Ash, Look::Beech, Look::Wenge];

    /// Whether its knots are hardly darker than its rings.
    pub const fn is_dark(self) -> bool {
        matches!(self, Look::Walnut | Look::Wenge)
    }
}

/// A slab and all that is known of it.
///
/// Its frame: millimetres, x along it, y across it, z up from its lower face;
/// the origin is its middle.
#[derive(Clone, Debug)]
pub struct Slab {
    ask: SlabAsk,
    nature: Nature,
    outline: Ring,
    wood_line: Ring,
    knots: Vec<Knot>,
    checks: Vec<Ring>,
    faults: Faults,
    growth: Growth,
    pub(crate) to_outline: Distance,
    /// To the log's wood line, which goes on beyond the ends.
    pub(crate) to_log: Distance,
    /// To the same, smooth as the yearly rings are.
    pub(crate) to_smooth: Distance,
}

/// A knot on the upper face.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Knot {
    /// Its rim.
    pub ring: Ring,
    /// Its middle.
    pub centre: Point,
    /// Whether it is dead: a black rim, wood not grown together.
    pub dead: bool,
}

impl Slab {
    /// Grows the slab.
    ///
    /// # Errors
    /// A size that is no slab: shorter than 100 mm, narrower than 60 mm,
    /// thinner than 5 mm, or longer than 4 m.
    pub fn grow(ask: &SlabAsk) -> Result<Slab, Problem> {
        Slab::grow_as(ask, &Nature::CLEAN)
    }

    /// Grows a slab that is not as clean.
    ///
    /// # Errors
    /// See [`Slab::grow`].
    pub fn grow_as(ask: &SlabAsk, nature: &Nature) -> Result<Slab, Problem> {
        let [length, width, thickness] = [ask.length, ask.width, ask.thickness].map(Length::to_mm);
        if !(100.0..=4000.0).contains(&length) || !(60.0..=1500.0).contains(&width) || thickness < 5.0 {
            let message = format!("a slab of {length} by {width} by {thickness} mm cannot be grown");
            return Err(Problem::new(message).hint("ask for 100 by 60 by 5 mm or more"));
        }
        let mut dice = Dice::new(ask.seed);
        let Edges { outline, wood_line, log_line, smooth_line } = edges(ask, &mut dice)?;
        let [to_outline, to_log, to_smooth] = [&outline, &log_line, &smooth_line].map(Distance::to);
        let mut growth = Growth::start(ask, &mut dice);
        growth.add_knots(ask, nature, &to_log, &mut dice);
        let knots = growth.knots_on_face()?;
        let checks = growth.checks(ask, &to_outline, &mut dice)?;
        let faults = Faults::grown(ask, nature, &growth, &to_outline)?;
        let (ask, nature) = (ask.clone(), *nature);
        Ok(Slab {
            ask,
            nature,
            outline,
            wood_line,
            knots,
            checks,
            faults,
            growth,
            to_outline,
            to_log,
            to_smooth,
        })
    }

    /// What was asked.
    pub fn ask(&self) -> &SlabAsk {
        &self.ask
    }

    /// The edge of the upper face, bark and all.
    pub fn outline(&self) -> &Ring {
        &self.outline
    }

    /// The edge of the wood on the upper face; the same as the outline if it is
    /// sawn square.
    pub fn wood_line(&self) -> &Ring {
        &self.wood_line
    }

    /// The knots on the upper face.
    pub fn knots(&self) -> &[Knot] {
        &self.knots
    }

    /// The checks on the upper face.
    pub fn checks(&self) -> &[Ring] {
        &self.checks
    }

    /// Rims of the stains on the upper face.
    pub fn stains(&self) -> impl Iterator<Item = &Ring> {
        self.faults.stains.iter().map(|it| &it.ring)
    }

    /// Rims of the worm holes on the upper face.
    pub fn worms(&self) -> &[Ring] {
        &self.faults.worms
    }

    /// The missing part of a sawn plank's edge.
    pub fn wane(&self) -> Option<&Ring> {
        self.faults.wane.as_ref().map(|it| &it.ring)
    }

    /// The direction of the fibres on the upper face, counter-clockwise from x.
    pub fn fibre_at(&self, at: Point) -> Angle {
        self.growth.fibre_at(at)
    }

    /// From end to end.
    pub fn length(&self) -> Length {
        self.outline.bounds().width()
    }

    /// From edge to edge at the widest, bark and all.
    pub fn width(&self) -> Length {
        self.outline.bounds().height()
    }

    /// A place of the upper face in the world: how high it is, too.
    pub fn on_top(&self, at: Point) -> [f64; 3] {
        [at.x, at.y, self.height(at.x, at.y)]
    }

    /// How high above the bench the upper face is at a place, in millimetres.
    pub(crate) fn height(&self, x: f64, y: f64) -> f64 {
        let top = self.ask.thickness.to_mm();
        if self.is_flat() {
            return top;
        }
        // A parabola across, less its mean; it flattens toward one end.
        let across = (2.0 * y / self.ask.width.to_mm()).clamp(-1.2, 1.2);
        let along = 1.0 - 0.25 * (0.5 - x / self.ask.length.to_mm()).clamp(0.0, 1.0);
        let cup = self.nature.cup.to_mm() * along * (across * across - 1.0 / 3.0);
        top + cup - self.fallen(x, y)
    }

    /// Whether the upper face is a plane.
    pub(crate) fn is_flat(&self) -> bool {
        self.nature.cup == Length::ZERO && self.faults.wane.is_none()
    }

    /// How far the face has fallen to the round of the log at a place.
    pub(crate) fn fallen(&self, x: f64, y: f64) -> f64 {
        self.faults.wane.as_ref().map_or(0.0, |it| it.fallen(x, y))
    }

    pub(crate) fn faults(&self) -> &Faults {
        &self.faults
    }

    pub(crate) fn growth(&self) -> &Growth {
        &self.growth
    }
}

impl Slab {
    /// How far the side at this height lies in from the upper face's edge: a log
    /// is round, so a live edge falls back; a sawn one does not.
    pub(crate) fn undercut(&self, z: f64) -> f64 {
        if !self.ask.live_edge {
            return 0.0;
        }
        let thickness = self.ask.thickness.to_mm();
        3.0 * (std::f64::consts::PI * z / thickness).sin() + 0.22 * (thickness - z)
    }

    /// Whether a place on a side face is on a sawn end.
    pub(crate) fn is_end(&self, x: f64, y: f64) -> bool {
        let field = |x: f64, y: f64| self.to_outline.at(x, y);
        let along = (field(x + 1.0, y) - field(x - 1.0, y)).abs();
        along > (field(x, y + 1.0) - field(x, y - 1.0)).abs()
    }
}
