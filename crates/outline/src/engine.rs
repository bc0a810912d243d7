//! The door to the geometry engine: whole numbers go in, outlines come out.
//!
//! No type of the engine leaves this file, and no panic of it either.

use std::panic::{AssertUnwindSafe, catch_unwind};

use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay::{IntOverlayOptions, Overlay, ShapeType};
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::i_float::int::angle::Angle;
use i_overlay::i_float::int::point::IntPoint;
use i_overlay::mesh::int::arc::ArcOptions;
use i_overlay::mesh::int::outline::offset::IntOutlineOffset;
use i_overlay::mesh::int::style::{IntLineJoin, IntOutlineStyle};
use measure::{Area, Length};

use crate::ring::{SMALLEST_AREA, twice_area};
use crate::{Outline, Point, Ring};

/// Grid steps per millimetre: a power of two, so that a grid point is exact
/// both as a whole number and in millimetres. One step is about a nanometre,
/// far below what a rounding or a saw could show.
const STEPS_PER_MM: f64 = 1_048_576.0;

/// What is done with two sets of rings.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Operation {
    /// Everything that lies in the first.
    Keep,
    /// What lies in the first but not in the second.
    Subtract,
    /// What lies in both.
    Common,
}

impl Operation {
    fn rule(self) -> OverlayRule {
        match self {
            Operation::Keep => OverlayRule::Subject,
            Operation::Subtract => OverlayRule::Difference,
            Operation::Common => OverlayRule::Intersect,
        }
    }
}

type Line = Vec<IntPoint<i64>>;

/// Closed lines on the engine's grid; a point is inside where the lines wind
/// round it.
#[derive(Clone, Debug, Default)]
pub(crate) struct Lines(Vec<Line>);

impl Lines {
    /// Takes outlines: outer lines counter-clockwise, openings clockwise.
    pub(crate) fn of<'a>(outlines: impl IntoIterator<Item = &'a Outline>) -> Lines {
        let mut lines = Lines::default();
        for outline in outlines {
            lines.0.push(outline.outer().corners().iter().map(on_grid).collect());
            for opening in outline.openings() {
                lines.0.push(opening.corners().iter().rev().map(on_grid).collect());
            }
        }
        lines
    }

    /// Takes closed lines as they are.
    pub(crate) fn raw(lines: &[Vec<Point>]) -> Lines {
        Lines(lines.iter().map(|line| line.iter().map(on_grid).collect()).collect())
    }

    /// The shapes that come out of an operation, largest first. Shapes and
    /// openings smaller than a ring may be are left out.
    pub(crate) fn outlines(&self, operation: Operation, other: &Lines) -> Vec<Outline> {
        outlines(&self.run(operation, other))
    }

    /// The area that comes out of an operation, slivers and all.
    pub(crate) fn area(&self, operation: Operation, other: &Lines) -> Area {
        let shapes = self.run(operation, other);
        let twice: f64 = shapes.iter().flatten().map(|line| twice_area(&off_grid(line))).sum();
        Area::mm2((twice / 2.0).max(0.0))
    }

    /// Grown (or shrunk) with round joins that stay within the tolerance.
    pub(crate) fn offset(&self, by: Length, tolerance: Length) -> Vec<Outline> {
        let steps = (by.to_mm() * STEPS_PER_MM).round() as i64;
        let join =
            IntLineJoin::Round(ArcOptions { max_step: arc_step(by, tolerance), rotation_precision: 32 });
        let style = IntOutlineStyle::new(steps).line_join(join);
        let options = IntOverlayOptions::ogc();
        let shapes = catch_unwind(AssertUnwindSafe(|| self.0.outline_custom(&style, options)));
        outlines(&shapes.ok().and_then(Result::ok).unwrap_or_default())
    }

    fn run(&self, operation: Operation, other: &Lines) -> Vec<Vec<Line>> {
        let work = || {
            let edges = self.0.iter().chain(&other.0).map(Vec::len).sum();
            let options = IntOverlayOptions::ogc();
            let mut overlay = Overlay::<i64>::new_custom(edges, options, Default::default());
            for line in &self.0 {
                overlay.add_contour(line, ShapeType::Subject);
            }
            for line in &other.0 {
                overlay.add_contour(line, ShapeType::Clip);
            }
            overlay.overlay(operation.rule(), FillRule::NonZero)
        };
        catch_unwind(AssertUnwindSafe(work)).unwrap_or_default()
    }
}

/// The turn between two points of an arc whose chords stay within a tolerance:
/// the chord's rise is r (1 − cos(step / 2)).
fn arc_step(radius: Length, tolerance: Length) -> Angle {
    let share = (tolerance / radius.abs().max(Length::mm(1e-9))).clamp(1e-9, 0.5);
    let step = 2.0 * (1.0 - share).acos();
    Angle::from_radians(step).unwrap_or(ArcOptions::MIN_STEP)
}

fn on_grid(point: &Point) -> IntPoint<i64> {
    IntPoint::new((point.x * STEPS_PER_MM).round() as i64, (point.y * STEPS_PER_MM).round() as i64)
}

fn off_grid(line: &Line) -> Vec<Point> {
    line.iter().map(|it| Point::new(it.x as f64 / STEPS_PER_MM, it.y as f64 / STEPS_PER_MM)).collect()
}

/// Puts the engine's lines together. It gives outer lines counter-clockwise and
/// openings clockwise, none crossing another; which opening belongs to which
/// outer line is found here, since the engine (9.1) at times mistakes that where
/// lines touch.
fn outlines(shapes: &[Vec<Line>]) -> Vec<Outline> {
    let (mut outers, mut openings) = (Vec::new(), Vec::new());
    for corners in shapes.iter().flatten().map(off_grid) {
        let twice = twice_area(&corners);
        if twice >= 2.0 * SMALLEST_AREA.to_mm2() {
            outers.push((Ring::sound(corners), Vec::new()));
        } else if twice <= -2.0 * SMALLEST_AREA.to_mm2() {
            openings.push(Ring::sound(corners));
        }
    }
    let place = |ring: &Ring| (ring.bounds().low.x, ring.bounds().low.y);
    outers.sort_by(|(a, _), (b, _)| {
        let ((ax, ay), (bx, by)) = (place(a), place(b));
        let first = ax.total_cmp(&bx).then(ay.total_cmp(&by));
        a.area().to_mm2().total_cmp(&b.area().to_mm2()).then(first)
    });
    for opening in openings {
        // The smallest line round it: islands lie in openings of larger shapes.
        let on_line = middle_of_longest_edge(&opening);
        if let Some((_, own)) = outers.iter_mut().find(|(outer, _)| outer.contains(on_line)) {
            own.push(opening);
        }
    }
    let mut found: Vec<Outline> =
        outers.into_iter().rev().map(|(outer, openings)| Outline::sound(outer, openings)).collect();
    found.sort_by(|a, b| b.area().to_mm2().total_cmp(&a.area().to_mm2()));
    found
}

/// A point on an opening's line where no other line touches it.
fn middle_of_longest_edge(ring: &Ring) -> Point {
    let longest = ring.edges().max_by(|a, b| a.length().to_mm().total_cmp(&b.length().to_mm()));
    longest.map(|edge| edge.from.toward(edge.to, 0.5)).unwrap_or_default()
}
