//! One face made ready for the search.

use measure::{Angle, Length};
use outline::{Bounds, Outline, Point, Ring, Segment};
use stock::{Brief, Face, FaceKey, FarFace, GrainField, Side};

use crate::field::Field;
use crate::rules::{self, KeptOut};
use crate::shape::{Shape, spots_along};

/// A face with all that the search asks it.
pub(crate) struct Ground {
    pub(crate) key: FaceKey,
    pub(crate) face: Face,
    /// The box around the face.
    pub(crate) bounds: Bounds,
    /// As thick as parts from it may need, with the wood that machines take.
    pub(crate) thickness: Length,
    /// How far the nearest edge or fault lies; above zero on clear wood.
    pub(crate) field: Field,
    /// Faults and openings, which a part must not surround either.
    pub(crate) islands: Vec<Island>,
    /// Faults of the far face, which are in the way of parts whose underside shows.
    pub(crate) below: Vec<Island>,
    /// All faults, as they were drawn.
    pub(crate) kept_out: Vec<KeptOut>,
    /// The lines that all parts keep the edge allowance from.
    pub(crate) lines: Vec<Segment>,
    /// Sapwood and stain.
    pub(crate) soft: Vec<Ring>,
    grain: GrainGrid,
    /// What the whole piece cost, in the shop's money; zero if nobody knows.
    pub(crate) cost: f64,
}

/// A closed line inside a face that parts keep away from.
pub(crate) struct Island {
    pub(crate) area: Ring,
    pub(crate) centre: Point,
    pub(crate) radius: f64,
    pub(crate) spots: Vec<Point>,
}

/// Cells of a face's field.
const CELLS: usize = 70_000;
/// The field reaches this far past the edge, so that a part that hangs over
/// feels which way leads back.
const MARGIN: f64 = 40.0;

impl Ground {
    /// Makes a face ready.
    pub(crate) fn new(
        brief: &Brief,
        key: FaceKey,
        face: Face,
        far_face: Option<&FarFace>,
        thickness: Length,
        cost: f64,
    ) -> Ground {
        let kept_out = rules::kept_out(&brief.kit, &brief.job.choices, &face, far_face);
        let edge = brief.kit.allowances.edge;
        let on = |side: Side| kept_out.iter().filter(move |it| it.side == side);
        let hard: Vec<Ring> = on(Side::Near).map(|it| as_kept_by(it, edge)).collect();
        let below = on(Side::Far).map(|it| Island::around(&as_kept_by(it, edge))).collect();
        let soft = face.zones.iter().filter(|zone| zone.kind.is_sound()).map(|zone| zone.area.clone());
        let soft = soft.collect();
        let rings: Vec<&Ring> = face.outline.rings().collect();
        let field = Field::around(&rings, &hard.iter().collect::<Vec<&Ring>>(), MARGIN, CELLS);
        let islands = hard.iter().chain(face.outline.openings()).map(Island::around).collect();
        let lines = rings.into_iter().chain(&hard).flat_map(Ring::edges).collect();
        let grain = GrainGrid::over(&face);
        let bounds = face.outline.bounds();
        Ground { key, thickness, field, islands, below, kept_out, lines, soft, grain, cost, bounds, face }
    }

    /// The direction of the fibres, near enough for the search.
    pub(crate) fn grain(&self, spot: Point) -> Angle {
        self.grain.at(spot)
    }

    /// The diameter of the largest clear circle, less the allowance at its edge.
    pub(crate) fn clear_width(&self, edge: f64) -> f64 {
        (2.0 * (self.field.deepest().1 - edge)).max(0.0)
    }

    /// The share of a shape's food area that lies on sapwood or stain.
    pub(crate) fn soft_share(&self, shape: &Shape, to_face: impl Fn(Point) -> Point) -> f64 {
        if self.soft.is_empty() || shape.food.is_empty() {
            return 0.0;
        }
        let on_soft = |spot: &&Point| {
            let lies = to_face(**spot);
            self.soft.iter().any(|area| area.contains(lies))
        };
        shape.food.iter().filter(on_soft).count() as f64 / shape.food.len() as f64
    }
}

/// The area of a fault for a search that keeps the edge allowance from all of
/// them: larger for one that asks for more. One that asks for less is taken as
/// if it asked for as much.
fn as_kept_by(it: &KeptOut, edge: Length) -> Ring {
    /// Arcs of the grown line may be this much off, to the safe side.
    const ARC: Length = Length::mm(0.05);
    if it.clear <= edge {
        return it.area.clone();
    }
    let grown = Outline::from(it.area.clone()).offset(it.clear - edge + ARC, ARC);
    rules::largest(grown).map_or_else(|| it.area.clone(), |it| it.outer().clone())
}

impl Island {
    fn around(ring: &Ring) -> Island {
        let centre = ring.centroid();
        let corners = ring.corners().iter();
        let radius = corners.map(|&it| centre.distance(it).to_mm()).fold(0.0, f64::max);
        Island { area: ring.clone(), centre, radius, spots: spots_along(&[ring]) }
    }
}

/// A grain field on a coarse grid: the mean of many samples is slow to take.
pub(crate) struct GrainGrid {
    low: Point,
    cell: f64,
    wide: usize,
    high: usize,
    // Invariant: `wide * high` cosines and sines of the doubled direction.
    doubled: Vec<(f64, f64)>,
}

/// Cells of a grain grid; the direction changes little within one.
const GRAIN_CELLS: f64 = 3000.0;
/// A grain cell is never finer than this, in millimetres.
const FINEST_GRAIN: f64 = 8.0;

impl GrainGrid {
    pub(crate) fn over(face: &Face) -> GrainGrid {
        let bounds = face.outline.bounds();
        let (width, height) = (bounds.width().to_mm(), bounds.height().to_mm());
        let cell = match face.grain.samples.is_empty() {
            true => width.max(height).max(FINEST_GRAIN),
            false => (width * height / GRAIN_CELLS).sqrt().max(FINEST_GRAIN),
        };
        let (wide, high) = ((width / cell).ceil() as usize + 2, (height / cell).ceil() as usize + 2);
        let doubled = (0..wide * high).map(|index| {
            let (row, column) = ((index / wide) as f64, (index % wide) as f64);
            let spot = Point::new(bounds.low.x + column * cell, bounds.low.y + row * cell);
            doubled(&face.grain, spot)
        });
        GrainGrid { low: bounds.low, cell, wide, high, doubled: doubled.collect() }
    }

    pub(crate) fn at(&self, spot: Point) -> Angle {
        let x = ((spot.x - self.low.x) / self.cell).clamp(0.0, (self.wide - 1) as f64);
        let y = ((spot.y - self.low.y) / self.cell).clamp(0.0, (self.high - 1) as f64);
        let (column, row) = ((x as usize).min(self.wide - 2), (y as usize).min(self.high - 2));
        let (right, up) = (x - column as f64, y - row as f64);
        let first = row * self.wide + column;
        let corners = [
            (first, (1.0 - right) * (1.0 - up)),
            (first + 1, right * (1.0 - up)),
            (first + self.wide, (1.0 - right) * up),
            (first + self.wide + 1, right * up),
        ];
        let sum = corners.iter().fold((0.0, 0.0), |sum, &(index, weight)| {
            let (east, north) = self.doubled[index];
            (sum.0 + weight * east, sum.1 + weight * north)
        });
        Angle::radians(sum.1.atan2(sum.0) / 2.0)
    }
}

fn doubled(grain: &GrainField, spot: Point) -> (f64, f64) {
    let twice = grain.at(spot) * 2.0;
    (twice.cos(), twice.sin())
}

#[cfg(test)]
mod tests {
    use super::*;
    use stock::GrainSample;

    #[test]
    fn the_coarse_grain_agrees_with_the_true_one() {
        let mut face = Face::rectangle(Length::mm(1200.0), Length::mm(400.0)).unwrap();
        let sample = |x: f64, degrees: f64| GrainSample {
            at: Point::new(x, 200.0),
            direction: Angle::degrees(degrees),
            sure: 1.0,
        };
        face.grain.samples = vec![sample(200.0, 170.0), sample(600.0, 5.0), sample(1000.0, 25.0)];
        let grid = GrainGrid::over(&face);
        for step in 0..60 {
            let spot = Point::new(f64::from(step) * 20.0, 150.0 + f64::from(step));
            let off = grid.at(spot).between_lines(face.grain.at(spot));
            assert!(off.to_degrees() < 1.5, "{off:?} off at {spot:?}");
        }
    }
}
