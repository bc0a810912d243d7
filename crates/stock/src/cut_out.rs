//! A part of a face, as a face of its own.

use measure::{Angle, Area, Length};
use outline::{Bounds, Outline, Place, Point, Ring};

use crate::{Candidate, Face, FarFace, GrainField, Registered, SameMark, Zone, ZoneId};

/// A part of a face, as a face of its own.
#[derive(Clone, Debug, PartialEq)]
pub struct CutOut {
    /// The lower left corner of its box is its origin. Without a picture: that
    /// has to be cut as well.
    pub face: Face,
    /// Where it was on the whole face: the box around it there.
    pub from: Bounds,
}

/// Less of a fault than this is no fault: no pencil draws it.
const SPECK: Area = Area::mm2(1.0);
/// An edge is drawn no finer than this: what only comes so near to it from
/// outside, and is no wider, is not on the part.
const AT_THE_EDGE: Length = Length::mm(1.0);
/// Arcs of shrunk lines may be this much off.
const ARC: Length = Length::mm(0.1);

/// Directions of the grain that lie farther off are left behind where the field
/// reads the same without them to within this; nobody draws it so fine.
const SAME_GRAIN: Angle = Angle::degrees(0.25);
/// They are taken along from one such step farther out after the other: the
/// way in which one counts half as much.
const GRAIN_STEP: Length = Length::mm(60.0);
/// The field is read at places so far apart, in millimetres: it changes little over this.
const GRAIN_GRID: f64 = 10.0;
/// Places to read it along each side, at most.
const MOST_READ: f64 = 60.0;
/// Where it turns by more than this over half a step, directions contradict each
/// other, and the least of them may sway it: none is left behind.
const SWAYED: Angle = Angle::degrees(10.0);

impl Face {
    /// The part of this face under a shape, the largest where there are several;
    /// `None` where there is no wood under it.
    ///
    /// Zones and candidates are cut to it: one that lies outside is gone, one
    /// that falls apart is several. The grain reads as it did.
    pub fn cut_out(&self, shape: &Outline) -> Option<CutOut> {
        let outline = self.outline.common(shape).into_iter().next()?;
        let from = outline.bounds();
        let here = Place { at: Point::new(-from.low.x, -from.low.y), ..Place::default() };
        let mut ids = Ids { next: self.next_id() };
        let cut = |area: &Ring| clipped(area, &outline).map(|it| here.ring(&it)).collect::<Vec<Ring>>();
        let mut zones = Vec::new();
        for zone in &self.zones {
            for (area, id) in cut(&zone.area).into_iter().zip(ids.from(zone.id)) {
                zones.push(Zone { id, area, ..zone.clone() });
            }
        }
        let mut candidates = Vec::new();
        for candidate in &self.candidates {
            for (area, id) in cut(&candidate.area).into_iter().zip(ids.from(candidate.id)) {
                candidates.push(Candidate { id, area, ..candidate.clone() });
            }
        }
        let mut grain = grain_on(&self.grain, &outline);
        grain.samples.iter_mut().for_each(|it| it.at = here.point(it.at));
        let face = Face {
            outline: here.outline(&outline),
            picture: None,
            zones,
            candidates,
            grain,
            doubt: self.doubt,
        };
        Some(CutOut { face, from })
    }
}

impl FarFace {
    /// The part of it that lies under a part of the near face, and where that was
    /// on the whole far face; `None` where there is none of its wood, or where it
    /// is doubtful how the two faces lie to each other.
    pub fn cut_out(&self, near: &CutOut) -> Option<(FarFace, Bounds)> {
        if self.lies.problem.is_some() {
            return None;
        }
        let back = Place { at: near.from.low, ..Place::default() };
        let under = self.lies.place.inverse().outline(&back.outline(&near.face.outline));
        let CutOut { face, from } = self.face.cut_out(&under)?;
        let moved = |it: Point, by: Point| Point::new(it.x - by.x, it.y - by.y);
        let at = moved(self.lies.place.point(from.low), near.from.low);
        let lies = Registered { place: Place { at, ..self.lies.place }, ..self.lies.clone() };
        let marks = self
            .marks
            .iter()
            .map(|it| SameMark { near: moved(it.near, near.from.low), far: moved(it.far, from.low) });
        let on = |it: &SameMark| near.face.outline.contains(it.near) && face.outline.contains(it.far);
        let marks = marks.filter(on).collect();
        Some((FarFace { face, lies, marks }, from))
    }
}

/// Numbers for the parts of what is cut: the first keeps its own.
struct Ids {
    next: ZoneId,
}

impl Ids {
    fn from(&mut self, own: ZoneId) -> impl Iterator<Item = ZoneId> + '_ {
        let new = std::iter::from_fn(|| {
            let id = self.next;
            self.next = ZoneId(id.0.saturating_add(1));
            Some(id)
        });
        std::iter::once(own).chain(new)
    }
}

/// What of an area lies in a shape. An opening of the shape within the area
/// counts as part of it.
fn clipped(area: &Ring, shape: &Outline) -> impl Iterator<Item = Ring> {
    let parts = Outline::from(area.clone()).common(shape).into_iter();
    parts.map(|it| it.outer().clone()).filter(|it| it.area() >= SPECK && !grazes(it, shape))
}

/// Whether an area is no more than a sliver along a shape's edge.
fn grazes(area: &Ring, shape: &Outline) -> bool {
    let at_the_edge = |it: Point| shape.to_line(it) <= AT_THE_EDGE;
    let mut spots = area.edges().flat_map(|it| [it.from, it.from.toward(it.to, 0.5)]);
    spots.all(at_the_edge) && Outline::from(area.clone()).offset(AT_THE_EDGE * -0.5, ARC).is_empty()
}

/// The field with as few directions as read the same on a shape.
fn grain_on(whole: &GrainField, shape: &Outline) -> GrainField {
    let far = |at: Point| match shape.contains(at) {
        true => Length::ZERO,
        false => shape.to_line(at),
    };
    let far: Vec<Length> = whole.samples.iter().map(|it| far(it.at)).collect();
    let places = reading_places(shape);
    let read: Vec<Angle> = places.iter().map(|&it| whole.at(it)).collect();
    let half = GRAIN_GRID / 2.0;
    let swayed = |(at, read): (&Point, &Angle)| {
        let beside = [Point::new(at.x + half, at.y), Point::new(at.x, at.y + half)];
        beside.iter().any(|&it| whole.at(it).between_lines(*read) > SWAYED)
    };
    if places.iter().zip(&read).any(swayed) {
        return whole.clone();
    }
    let farthest = far.iter().copied().fold(Length::ZERO, Length::max);
    let mut reach = Length::ZERO;
    loop {
        let near = whole.samples.iter().zip(&far).filter(|(_, far)| **far <= reach);
        let field = GrainField { overall: whole.overall, samples: near.map(|(it, _)| *it).collect() };
        let same = |(&at, &read): (&Point, &Angle)| field.at(at).between_lines(read) <= SAME_GRAIN;
        if reach >= farthest || places.iter().zip(&read).all(same) {
            return field;
        }
        reach += GRAIN_STEP;
    }
}

/// Where the grain is read: a grid on the shape, and its corners.
fn reading_places(shape: &Outline) -> Vec<Point> {
    let bounds = shape.bounds();
    let steps = |side: Length| (side.to_mm() / GRAIN_GRID).ceil().clamp(1.0, MOST_READ);
    let (wide, high) = (steps(bounds.width()), steps(bounds.height()));
    let (dx, dy) = (bounds.width().to_mm() / wide, bounds.height().to_mm() / high);
    let on_grid = (0..=high as u32).flat_map(|row| {
        (0..=wide as u32).map(move |column| {
            Point::new(bounds.low.x + f64::from(column) * dx, bounds.low.y + f64::from(row) * dy)
        })
    });
    let corners = shape.outer().corners();
    let some = corners.iter().step_by(corners.len() / (4 * MOST_READ as usize) + 1).copied();
    on_grid.filter(|&it| shape.contains(it)).chain(some).collect()
}
