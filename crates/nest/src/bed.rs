//! What things are laid on: wood of any outline, or an upright rectangle.

use measure::{Angle, Length};
use outline::{Bounds, Outline, Point};
use rand::RngExt;

use crate::cells::Laid;
use crate::kind::{Pose, Shape};
use crate::wood::Wood;

/// The way that the grain runs at a spot.
pub type Grain<'a> = Box<dyn Fn(Point) -> Angle + Send + Sync + 'a>;

/// One face that things are laid on.
pub struct Bed<'a> {
    region: Region,
    edge: f64,
    /// Places that only some kinds may lie on, with the bit of their class.
    bad: Vec<(Laid, u64)>,
    grain: Option<Grain<'a>>,
}

enum Region {
    Frame(Bounds),
    Wood(Box<Wood>, Bounds),
}

impl<'a> Bed<'a> {
    /// A face with an outline, from whose line things keep an `edge`.
    pub fn new(outline: &Outline, edge: Length) -> Bed<'a> {
        let around = outline.bounds();
        let region = match is_upright(outline) {
            true => Region::Frame(around),
            false => Region::Wood(Box::new(Wood::new(outline)), around),
        };
        Bed { region, edge: edge.to_mm(), bad: Vec::new(), grain: None }
    }

    /// With a place that only kinds that bear its class may lie on; the others
    /// keep the edge from it.
    #[must_use]
    pub fn with_bad(mut self, area: &Outline, class: u64) -> Bed<'a> {
        self.bad.push((Laid::of(area), class));
        self
    }

    /// With the way that its grain runs.
    #[must_use]
    pub fn with_grain(mut self, grain: Grain<'a>) -> Bed<'a> {
        self.grain = Some(grain);
        self
    }

    fn around(&self) -> Bounds {
        match &self.region {
            Region::Frame(around) | Region::Wood(_, around) => *around,
        }
    }

    /// How far a thing is from lying as it may, other things aside; stops
    /// looking beyond `enough`.
    pub(crate) fn short(
        &self,
        shape: &Shape,
        pose: Pose,
        laid: &Laid,
        corners: &[[f64; 2]],
        enough: f64,
    ) -> f64 {
        let mut short = match &self.region {
            Region::Frame(frame) => {
                let over = |axis: usize| {
                    let low = along(frame.low, axis) + self.edge - f64::from(laid.around.low[axis]);
                    let high = f64::from(laid.around.high[axis]) - along(frame.high, axis) + self.edge;
                    low.max(0.0) + high.max(0.0)
                };
                over(0) + over(1)
            }
            Region::Wood(wood, _) => wood.short(corners, laid, self.edge, enough),
        };
        for (area, class) in &self.bad {
            if short > enough {
                return short;
            }
            if shape.kind.bears & class == 0 {
                short += crate::cells::depth(laid, area, self.edge, enough - short);
            }
        }
        match &self.grain {
            Some(grain) => short + shape.strays(pose, grain),
            None => short,
        }
    }

    /// Any pose in the frame, or with its middle in the wood, turned as its kind may
    /// be there.
    pub(crate) fn draw_pose(&self, shape: &Shape, rng: &mut impl RngExt) -> Pose {
        const TRIES: usize = 8;
        let around = self.around();
        let mirrored = shape.kind.mirrors && rng.random_bool(0.5);
        let any = |rng: &mut _, axis: usize, low: f64, high: f64| {
            let (from, to) = (along(around.low, axis) - low, along(around.high, axis) - high);
            if from < to { RngExt::random_range(rng, from..to) } else { (from + to) / 2.0 }
        };
        if let Region::Frame(_) = self.region {
            let turn = shape.draw_turn(self.grain_at([around.low.x, around.low.y]), rng);
            let (low, high) = shape.reach(turn, mirrored);
            let at = [0, 1].map(|axis| any(rng, axis, low[axis] - self.edge, high[axis] + self.edge));
            let turn = if self.grain.is_some() { shape.draw_turn(self.grain_at(at), rng) } else { turn };
            return Pose { at, turn, mirrored };
        }
        let mut at = [0, 1].map(|axis| any(rng, axis, 0.0, 0.0));
        for _ in 0..TRIES {
            if self.holds(at) {
                break;
            }
            at = [0, 1].map(|axis| any(rng, axis, 0.0, 0.0));
        }
        Pose { at, turn: shape.draw_turn(self.grain_at(at), rng), mirrored }
    }

    fn holds(&self, at: [f64; 2]) -> bool {
        match &self.region {
            Region::Frame(_) => true,
            Region::Wood(wood, _) => wood.way(at) > self.edge,
        }
    }

    pub(crate) fn grain_at(&self, at: [f64; 2]) -> f64 {
        self.grain.as_ref().map_or(0.0, |grain| grain(Point::new(at[0], at[1])).to_radians())
    }

    pub(crate) fn is_frame(&self) -> bool {
        matches!(self.region, Region::Frame(_))
    }

    /// Brings a thing into an upright frame, if that is what the bed is.
    pub(crate) fn held(&self, laid: &Laid, pose: Pose) -> Pose {
        let Region::Frame(frame) = &self.region else { return pose };
        let push = |axis: usize| {
            let low = along(frame.low, axis) + self.edge - f64::from(laid.around.low[axis]);
            let high = along(frame.high, axis) - self.edge - f64::from(laid.around.high[axis]);
            if low > 0.0 { low } else { high.min(0.0) }
        };
        Pose { at: [pose.at[0] + push(0), pose.at[1] + push(1)], ..pose }
    }
}

/// Whether an outline is an upright rectangle.
fn is_upright(outline: &Outline) -> bool {
    let bounds = outline.bounds();
    let full = bounds.width().to_mm() * bounds.height().to_mm();
    outline.openings().is_empty() && (outline.area().to_mm2() - full).abs() <= 1e-9 * full
}

fn along(it: Point, axis: usize) -> f64 {
    if axis == 0 { it.x } else { it.y }
}
