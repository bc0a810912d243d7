//! One kind of part made ready for the search, and how it may lie.

use measure::{Angle, Length};
use outline::{Outline, Place, Point, Ring, Segment};
use stock::Pattern;

use crate::field::Field;
use crate::rules;

/// A shape in its own drawing's coordinates, with all that the search asks it.
pub(crate) struct Shape {
    pub(crate) outline: Outline,
    /// Spots on its line, spread so that a few of them already tell much.
    pub(crate) samples: Vec<Point>,
    /// Above zero inside.
    pub(crate) field: Field,
    /// The middle of the largest circle inside, and its radius.
    pub(crate) core: (Point, f64),
    pub(crate) centre: Point,
    /// From the centre to the farthest corner.
    pub(crate) radius: f64,
    /// Lines that must run with the grain, and how far they may turn from it.
    pub(crate) stems: Vec<(Segment, Angle)>,
    /// The way it is longest.
    pub(crate) long: Angle,
    /// From 0 (as wide as long) toward 1 (very slim).
    pub(crate) slim: f64,
    /// Spots spread over the area that food touches.
    pub(crate) food: Vec<Point>,
    /// How it looks when it is turned.
    pub(crate) turned: Turned,
}

/// How a shape looks when it is turned about its centre.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Turned {
    /// Every turn looks another way.
    Differs,
    /// Half a turn looks the same.
    HalfTurnAlike,
    /// A disc: every turn looks the same.
    Alike,
}

/// Spots along the line of a shape, corners aside.
const SAMPLES: usize = 72;
/// The most corners that are kept as spots of their own.
const CORNERS: usize = 48;
/// A corner that turns less than this is a step of a curve.
const CORNER: Angle = Angle::degrees(20.0);
/// Cells of a shape's field.
const CELLS: usize = 14_000;
/// The field reaches this far past the line, beyond every gap that kerfs ask for
/// between parts; with more room, by so much farther.
const MARGIN: f64 = 16.0;
/// What a field may be off along even lines, in cells.
const SLACK: f64 = 0.02;
/// Shapes that differ by less than this share of their size look the same.
const ALIKE: f64 = 0.004;
/// How far a strip's length may turn away from the grain: past this slope the
/// strip is cross-grained stock (common practice, no source).
pub(crate) const STRIP_WITHIN: Angle = Angle::degrees(10.0);

impl Shape {
    /// Makes a pattern ready that keeps so much more apart, in millimetres.
    pub(crate) fn of_pattern(pattern: &Pattern, room: f64) -> Shape {
        let stems = rules::lines_with_grain(pattern);
        let food = pattern.food_areas().flat_map(spread_over).collect();
        Shape::new(pattern.outline.clone(), stems, food, room)
    }

    /// Makes a strip ready: a rectangle whose length runs with the grain.
    pub(crate) fn of_strip(ring: Ring, length: Length, width: Length) -> Shape {
        let middle = width.to_mm() / 2.0;
        let axis = Segment { from: Point::new(0.0, middle), to: Point::new(length.to_mm(), middle) };
        Shape::new(Outline::from(ring), vec![(axis, STRIP_WITHIN)], Vec::new(), 0.0)
    }

    fn new(outline: Outline, stems: Vec<(Segment, Angle)>, food: Vec<Point>, room: f64) -> Shape {
        let rings: Vec<&Ring> = outline.rings().collect();
        let field = Field::around(&rings, &[], MARGIN + room, CELLS);
        let samples = spots_along(&rings);
        let centre = outline.outer().centroid();
        let corners = outline.outer().corners().iter();
        let radius = corners.map(|&it| centre.distance(it).to_mm()).fold(0.0, f64::max);
        let core = field.deepest();
        let (long, slim) = principal(outline.outer(), centre);
        let turned = turned(&samples, &field, centre, radius);
        Shape { outline, samples, field, core, centre, radius, stems, long, slim, food, turned }
    }

    /// From now on its length runs with the grain too, within so much.
    pub(crate) fn run_with_grain(&mut self, within: Angle) {
        self.stems.push((rules::length_line(&self.outline), within));
    }

    /// What its field may be off along even lines, in millimetres.
    pub(crate) fn slack(&self) -> f64 {
        SLACK * self.field.cell()
    }

    /// The diameter of the largest circle inside, in millimetres.
    pub(crate) fn clear_width(&self) -> f64 {
        2.0 * self.core.1
    }

    /// The way it lies when its centre is at a spot, mirrored or not.
    pub(crate) fn pose(&self, centre: Point, turn: Angle, mirrored: bool) -> Pose {
        let turned = Pose::from(Place { at: Point::default(), turn, mirrored });
        let off = turned.to_face(self.centre);
        Pose::from(Place { at: Point::new(centre.x - off.x, centre.y - off.y), turn, mirrored })
    }
}

/// A place with its sine and cosine worked out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Pose {
    pub(crate) place: Place,
    sin: f64,
    cos: f64,
}

impl From<Place> for Pose {
    fn from(place: Place) -> Pose {
        Pose { place, sin: place.turn.sin(), cos: place.turn.cos() }
    }
}

impl Pose {
    /// Where a point of the drawing lies on the face.
    pub(crate) fn to_face(self, it: Point) -> Point {
        let x = if self.place.mirrored { -it.x } else { it.x };
        let at = self.place.at;
        Point::new(at.x + x * self.cos - it.y * self.sin, at.y + x * self.sin + it.y * self.cos)
    }

    /// Where a point of the face lies in the drawing.
    pub(crate) fn to_drawing(self, it: Point) -> Point {
        let (dx, dy) = (it.x - self.place.at.x, it.y - self.place.at.y);
        let x = dx * self.cos + dy * self.sin;
        Point::new(if self.place.mirrored { -x } else { x }, dy * self.cos - dx * self.sin)
    }

    /// How a direction of the drawing lies on the face.
    pub(crate) fn direction_to_face(self, (x, y): (f64, f64)) -> (f64, f64) {
        let x = if self.place.mirrored { -x } else { x };
        (x * self.cos - y * self.sin, x * self.sin + y * self.cos)
    }

    /// The same, moved.
    pub(crate) fn moved(self, x: f64, y: f64) -> Pose {
        let at = Point::new(self.place.at.x + x, self.place.at.y + y);
        Pose { place: Place { at, ..self.place }, ..self }
    }
}

/// Spots along closed lines: sharp corners, and even steps between. They are
/// shuffled by a stride, so that the first few are spread all round.
pub(crate) fn spots_along(rings: &[&Ring]) -> Vec<Point> {
    let whole: f64 = rings.iter().map(|ring| ring.perimeter().to_mm()).sum();
    let step = whole / SAMPLES as f64;
    let mut spots = Vec::new();
    for ring in rings {
        let mut due = 0.0;
        for edge in ring.edges() {
            let length = edge.length().to_mm();
            while due < length {
                spots.push(edge.from.toward(edge.to, due / length));
                due += step;
            }
            due -= length;
        }
    }
    let mut corners: Vec<Point> = rings.iter().flat_map(|ring| sharp_corners(ring)).collect();
    let every = corners.len().div_ceil(CORNERS).max(1);
    corners = corners.into_iter().step_by(every).collect();
    corners.extend(strided(&spots));
    corners
}

fn sharp_corners(ring: &Ring) -> Vec<Point> {
    let edges: Vec<Segment> = ring.edges().collect();
    let before = edges.iter().cycle().skip(edges.len() - 1);
    let pairs = before.zip(&edges);
    let sharp = |(one, next): &(&Segment, &Segment)| {
        let turn = (next.direction() - one.direction()).to_degrees().rem_euclid(360.0);
        turn.min(360.0 - turn) > CORNER.to_degrees()
    };
    pairs.filter(sharp).map(|(_, next)| next.from).collect()
}

fn strided(spots: &[Point]) -> Vec<Point> {
    let stride = (spots.len() / 7).max(1);
    (0..stride).flat_map(|first| spots.iter().skip(first).step_by(stride).copied()).collect()
}

/// Spots spread evenly over the inside of a closed line.
fn spread_over(area: &Ring) -> Vec<Point> {
    const ACROSS: usize = 14;
    let bounds = area.bounds();
    let share = |index: usize| (index as f64 + 0.5) / ACROSS as f64;
    let grid = (0..ACROSS).flat_map(|row| (0..ACROSS).map(move |column| (row, column)));
    let spots = grid.map(|(row, column)| {
        let x = bounds.low.x + bounds.width().to_mm() * share(column);
        Point::new(x, bounds.low.y + bounds.height().to_mm() * share(row))
    });
    spots.filter(|&spot| area.contains(spot)).collect()
}

/// The direction in which a shape's area spreads most, and how slim it is. A
/// shape that spreads alike both ways has its drawing's x for its length.
pub(crate) fn principal(ring: &Ring, centre: Point) -> (Angle, f64) {
    /// Spreads that differ by less than this share are alike.
    const ALIKE: f64 = 0.01;
    let (mut xx, mut xy, mut yy) = (0.0, 0.0, 0.0);
    for Segment { from, to } in ring.edges() {
        let (ax, ay) = (from.x - centre.x, from.y - centre.y);
        let (bx, by) = (to.x - centre.x, to.y - centre.y);
        let cross = ax * by - bx * ay;
        xx += cross * (ax * ax + ax * bx + bx * bx) / 12.0;
        yy += cross * (ay * ay + ay * by + by * by) / 12.0;
        xy += cross * (ax * by + 2.0 * ax * ay + 2.0 * bx * by + bx * ay) / 24.0;
    }
    let (mean, half) = ((xx + yy) / 2.0, (xx - yy).hypot(2.0 * xy) / 2.0);
    if half < ALIKE * mean {
        return (Angle::ZERO, 0.0);
    }
    let long = Angle::radians((2.0 * xy).atan2(xx - yy) / 2.0);
    (long, 1.0 - ((mean - half).max(0.0) / (mean + half)).sqrt())
}

fn turned(samples: &[Point], field: &Field, centre: Point, radius: f64) -> Turned {
    let alike = |to: &dyn Fn(f64, f64) -> (f64, f64)| {
        samples.iter().all(|spot| {
            let (x, y) = to(spot.x - centre.x, spot.y - centre.y);
            field.at(Point::new(centre.x + x, centre.y + y)).abs() < (ALIKE * radius).max(0.5)
        })
    };
    let by = |degrees: f64| {
        let (sin, cos) = (Angle::degrees(degrees).sin(), Angle::degrees(degrees).cos());
        move |x: f64, y: f64| (x * cos - y * sin, x * sin + y * cos)
    };
    match alike(&by(180.0)) {
        false => Turned::Differs,
        true if [37.0, 61.0, 90.0].iter().all(|&degrees| alike(&by(degrees))) => Turned::Alike,
        true => Turned::HalfTurnAlike,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plain(ring: Ring) -> Shape {
        Shape::new(Outline::from(ring), Vec::new(), Vec::new(), 0.0)
    }

    #[test]
    fn a_pose_leads_there_and_back() {
        let shape = plain(Ring::rectangle(Length::mm(200.0), Length::mm(50.0)).unwrap());
        let pose = shape.pose(Point::new(300.0, 400.0), Angle::degrees(30.0), false);
        let middle = pose.to_face(shape.centre);
        assert!(middle.distance(Point::new(300.0, 400.0)).to_mm() < 1e-9);
        let mirrored = Pose::from(Place { mirrored: true, ..pose.place });
        let back = mirrored.to_drawing(mirrored.place.point(Point::new(7.0, -3.0)));
        assert!(back.distance(Point::new(7.0, -3.0)).to_mm() < 1e-9);
    }

    #[test]
    fn shapes_know_how_they_look_when_turned() {
        let slim = plain(Ring::rectangle(Length::mm(200.0), Length::mm(50.0)).unwrap());
        assert_eq!(slim.turned, Turned::HalfTurnAlike);
        assert!(slim.long.between_lines(Angle::ZERO).to_degrees() < 1.0 && slim.slim > 0.5);
        assert!((slim.clear_width() - 50.0).abs() < 1.5, "{}", slim.clear_width());
        let round = (0..90).map(|step| {
            let turn = Angle::degrees(f64::from(step) * 4.0);
            Point::new(80.0 * turn.cos(), 80.0 * turn.sin())
        });
        let round = plain(Ring::new(round.collect()).unwrap());
        assert_eq!(round.turned, Turned::Alike);
        assert_eq!(round.radius.round(), 80.0);
    }
}
