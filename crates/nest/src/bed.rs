//! What things are laid on: wood of any outline, or an upright rectangle.

use measure::{Angle, Length};
use outline::{Bounds, Outline, Place, Point, Ring, Segment};
use rand::RngExt;
use rand::seq::IndexedRandom;

use crate::cells::{Laid, depth};
use crate::kind::{Pose, Shape};
use crate::pile::GRAZE;
use crate::wood::Wood;

/// The way that the grain runs at a spot.
pub type Grain<'a> = Box<dyn Fn(Point) -> Angle + Send + Sync + 'a>;

/// One face that things are laid on.
pub struct Bed<'a> {
    region: Region,
    edge: f64,
    /// Places that only some kinds may lie on.
    bad: Vec<Bad>,
    grain: Option<Grain<'a>>,
}

struct Bad {
    area: Laid,
    /// The bit of its class.
    class: u64,
    /// The way that is kept from it.
    clear: f64,
}

enum Region {
    Frame(Bounds),
    Wood(Box<Wood>, Bounds),
}

impl<'a> Bed<'a> {
    /// A face with an outline, from whose line things keep an `edge`.
    pub fn new(outline: &Outline, edge: Length) -> Bed<'a> {
        match is_upright(outline) {
            true => Bed::with_region(Region::Frame(outline.bounds()), edge),
            false => Bed::with_live_edges(outline, edge),
        }
    }

    /// The same for things one edge of which is the wood's own, which a bed made
    /// by [`Bed::new`] does not hold if it is an upright rectangle.
    pub fn with_live_edges(outline: &Outline, edge: Length) -> Bed<'a> {
        Bed::with_region(Region::Wood(Box::new(Wood::new(outline)), outline.bounds()), edge)
    }

    fn with_region(region: Region, edge: Length) -> Bed<'a> {
        Bed { region, edge: edge.to_mm(), bad: Vec::new(), grain: None }
    }

    /// With a place that only kinds that bear its class may lie on; the others
    /// keep clear of it.
    #[must_use]
    pub fn with_bad(mut self, area: &Outline, class: u64, clear: Length) -> Bed<'a> {
        self.bad.push(Bad { area: Laid::of(area), class, clear: clear.to_mm() });
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
            Region::Wood(wood, _) => match shape.core(pose) {
                Some((laid, corners)) => wood.short(&corners, &laid, self.edge, enough),
                None => wood.short(corners, laid, self.edge, enough),
            },
        };
        for bad in self.bad.iter().filter(|it| shape.kind.bears & it.class == 0) {
            if short > enough {
                return short;
            }
            let part = shape.keeps_off(bad.class, pose);
            short += depth(part.as_ref().unwrap_or(laid), &bad.area, bad.clear, enough - short);
        }
        short += self.short_of_asked(shape, pose);
        match &self.grain {
            Some(grain) => short + shape.strays(pose, grain),
            None => short,
        }
    }

    /// How far a thing is from showing what it is to show, and from having the
    /// wood's own edge for its own.
    fn short_of_asked(&self, shape: &Shape, pose: Pose) -> f64 {
        let shows = shape.kind.asks.shows.as_ref().map_or(0.0, |(spot, area)| {
            let lies = shape.place(pose).point(*spot);
            if area.contains(lies) { 0.0 } else { area.distance(lies).to_mm() }
        });
        let live = match (&shape.kind.asks.live, &self.region) {
            (Some(live), Region::Wood(wood, _)) => {
                let place = shape.place(pose);
                let inside = |it: &Point| {
                    let lies = place.point(*it);
                    wood.way([lies.x, lies.y]) + GRAZE
                };
                live.past.iter().flatten().map(inside).fold(0.0, f64::max)
            }
            (Some(_), Region::Frame(_)) => f64::INFINITY,
            (None, _) => 0.0,
        };
        shows + live
    }

    /// Any pose in the frame, or with its middle in the wood, turned as its kind may
    /// be there.
    pub(crate) fn draw_pose(&self, shape: &Shape, rng: &mut impl RngExt) -> Pose {
        const TRIES: usize = 8;
        let around = self.around();
        let mirrored = shape.kind.mirrors && rng.random_bool(0.5);
        if let Some(pose) = self.draw_asked(shape, mirrored, rng) {
            return pose;
        }
        let any = |rng: &mut _, axis: usize, low: f64, high: f64| {
            let (from, to) = (along(around.low, axis) - low, along(around.high, axis) - high);
            if from < to { RngExt::random_range(rng, from..to) } else { (from + to) / 2.0 }
        };
        if let Region::Frame(_) = self.region {
            let turn = shape.draw_turn(self.grain_at([around.low.x, around.low.y]), rng);
            let (low, high) = shape.reach(turn, mirrored);
            let at = [0, 1].map(|axis| any(rng, axis, low[axis] - self.edge, high[axis] + self.edge));
            let turn = if self.grain.is_some() { shape.draw_turn(self.grain_at(at), rng) } else { turn };
            return Pose { bed: 0, at, turn, mirrored };
        }
        let mut at = [0, 1].map(|axis| any(rng, axis, 0.0, 0.0));
        for _ in 0..TRIES {
            if self.holds(at) {
                break;
            }
            at = [0, 1].map(|axis| any(rng, axis, 0.0, 0.0));
        }
        Pose { bed: 0, at, turn: shape.draw_turn(self.grain_at(at), rng), mirrored }
    }

    /// A pose that shows what it is to show, or whose live edge lies along the
    /// wood's; `None` for a kind that asks for neither.
    fn draw_asked(&self, shape: &Shape, mirrored: bool, rng: &mut impl RngExt) -> Option<Pose> {
        /// How far the live edge may lie aslant of the wood's, in radians.
        const ASLANT: f64 = 0.15;
        if let Some((spot, area)) = &shape.kind.asks.shows {
            let on = within(area, rng);
            let turn = shape.draw_turn(self.grain_at([on.x, on.y]), rng);
            return Some(shape.with_spot_on(*spot, on, turn, mirrored));
        }
        let (Some(live), Region::Wood(wood, _)) = (&shape.kind.asks.live, &self.region) else { return None };
        let row = live.past.choose(rng)?;
        let (from, to) = (*row.first()?, *row.last()?);
        let (on, along) = wood.spot_on_edge(rng.random_range(0.0..1.0));
        let drawn = Place { mirrored, ..Place::default() }.direction(Segment { from, to }.direction());
        // Both lines have their inside on the left; mirroring turns that about.
        let about = if mirrored { std::f64::consts::PI } else { 0.0 };
        let turn = along - drawn.to_radians() + about + rng.random_range(-ASLANT..=ASLANT);
        let middle = row[row.len() / 2];
        Some(shape.with_spot_on(middle, Point::new(on[0], on[1]), turn, mirrored))
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

/// Any spot of an area.
fn within(area: &Ring, rng: &mut impl RngExt) -> Point {
    const TRIES: usize = 8;
    let bounds = area.bounds();
    let mut any = || {
        let (x, y) = (rng.random_range(0.0..=1.0), rng.random_range(0.0..=1.0));
        Point::new(bounds.low.x + x * bounds.width().to_mm(), bounds.low.y + y * bounds.height().to_mm())
    };
    (0..TRIES).map(|_| any()).find(|it| area.contains(*it)).unwrap_or_else(|| area.centroid())
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
