//! An outline out of an SVG drawing.

use std::panic::{AssertUnwindSafe, catch_unwind};

use kurbo::{Affine, BezPath, PathEl};
use measure::{Length, Problem};
use usvg::tiny_skia_path::{self, PathSegment};

use crate::crossing::count_crossings;
use crate::offset::MOST_CROSSINGS;
use crate::svg_guard::shapes_only;
use crate::{Bounds, Outline, Point, clean, union};

/// Millimetres in a drawing's unit: 96 units to the inch (CSS Values 4, section 6.2).
const MM_PER_UNIT: f64 = 25.4 / 96.0;

/// How far a chord may stray from a drawn curve, at the size of the part.
const FLATTEN: Length = Length::mm(0.1);

/// The most moves, lines and curves that are read.
const MOST_VERBS: usize = 20_000;

/// The most points once curves are chords.
const MOST_POINTS: usize = 20_000;

/// The most closed lines.
const MOST_LINES: usize = 1_000;

/// The size, in millimetres, at which a drawing is looked over first.
const LOOK: f64 = 1_000.0;

/// The most shapes that are joined to an outline.
const MOST_JOINED: usize = 60;

/// Ends nearer than this share of the drawing's size are taken as joined.
const JOINED: f64 = 1e-4;

/// A closed line that covers more of the outline than this is the same line
/// drawn twice, not an opening.
const SAME_LINE: f64 = 0.999;

/// Reads the outline of a part from an SVG drawing: the largest closed shape,
/// with the closed shapes that cross it joined on and those inside it as
/// openings. Lower left corner at the origin, y up; open lines, text, pictures
/// and style sheets are left out.
///
/// 96 units make an inch, unless `wanted_length` says how long the part is
/// along x. Curves become chords that stray 0.1 mm at most.
///
/// # Errors
/// Not an SVG drawing, too large, entities, groups too deep, nothing closed, or
/// a size outside of what a shape may measure. Never reads another file.
pub fn read_svg(bytes: &[u8], wanted_length: Option<Length>) -> Result<Outline, Problem> {
    if wanted_length.is_some_and(|it| it <= Length::ZERO || it > Point::FARTHEST) {
        let most = Point::FARTHEST.to_mm();
        return Err(Problem::new(format!("expected a length above 0 and up to {most} mm for the outline")));
    }
    let text = shapes_only(bytes)?;
    let read = catch_unwind(AssertUnwindSafe(|| paths(&text)));
    let paths = read.unwrap_or_else(|_| Err(Problem::new("the drawing could not be read")))?;
    let whole = bounds(&paths).ok_or_else(nothing_closed)?;
    let size = whole.width().max(whole.height()).to_mm();
    // First at a size of its own, to find the part among what else is drawn.
    let (scale, joined) = (LOOK / size, LOOK * JOINED);
    let drawn = outline(&scaled(&paths, whole, scale), LOOK / 2_000.0, joined)?.bounds().width() / scale;
    let scale = match wanted_length {
        Some(wanted) => wanted / drawn,
        None => MM_PER_UNIT,
    };
    if size * scale > Point::FARTHEST.to_mm() {
        let most = Point::FARTHEST.to_mm();
        let message = format!("the drawing is {:.0} mm across; at most {most} mm are read", size * scale);
        return Err(Problem::new(message).hint("say how long the part is"));
    }
    let found = outline(&scaled(&paths, whole, scale), FLATTEN.to_mm(), size * scale * JOINED)?;
    let length = wanted_length.unwrap_or(found.bounds().width());
    Ok(found.scaled_to_length(length)?.at_origin())
}

/// The paths with the lower left corner of their box at the origin, to a scale.
fn scaled(paths: &[BezPath], whole: Bounds, scale: f64) -> Vec<BezPath> {
    let place = Affine::scale(scale) * Affine::translate((-whole.low.x, -whole.low.y));
    paths.iter().map(|path| place * path).collect()
}

fn nothing_closed() -> Problem {
    Problem::new("the drawing has no closed line")
        .hint("join the ends of the outline and turn text into paths")
}

/// The drawing's lines in its own units, y up.
fn paths(text: &str) -> Result<Vec<BezPath>, Problem> {
    let options = usvg::Options::default();
    let tree = usvg::Tree::from_str(text, &options)
        .map_err(|trouble| Problem::new(format!("the drawing could not be read: {trouble}")))?;
    let mut found = Vec::new();
    let mut verbs = 0;
    // Transforms are summed up on the way down, as a renderer does; the sums that
    // the library keeps are wrong for shapes that are used again.
    let mut open = vec![(tree.root(), usvg::Transform::identity())];
    while let Some((group, by)) = open.pop() {
        for node in group.children() {
            match node {
                usvg::Node::Group(inner) => open.push((inner, by.pre_concat(inner.transform()))),
                usvg::Node::Path(path) if path.is_visible() => {
                    verbs += path.data().len();
                    found.push(turned_up(path.data(), by));
                }
                usvg::Node::Path(_) | usvg::Node::Image(_) | usvg::Node::Text(_) => {}
            }
            if verbs > MOST_VERBS {
                let message = format!("the drawing has more than {MOST_VERBS} lines and curves");
                return Err(Problem::new(message).hint("simplify the outline in the drawing program"));
            }
        }
    }
    Ok(found)
}

fn turned_up(path: &tiny_skia_path::Path, by: usvg::Transform) -> BezPath {
    let at = |it: tiny_skia_path::Point| {
        let (x, y) = (f64::from(it.x), f64::from(it.y));
        let x_there = f64::from(by.sx) * x + f64::from(by.kx) * y + f64::from(by.tx);
        let y_there = f64::from(by.ky) * x + f64::from(by.sy) * y + f64::from(by.ty);
        kurbo::Point::new(x_there, -y_there)
    };
    let element = |it| match it {
        PathSegment::MoveTo(to) => PathEl::MoveTo(at(to)),
        PathSegment::LineTo(to) => PathEl::LineTo(at(to)),
        PathSegment::QuadTo(a, to) => PathEl::QuadTo(at(a), at(to)),
        PathSegment::CubicTo(a, b, to) => PathEl::CurveTo(at(a), at(b), at(to)),
        PathSegment::Close => PathEl::ClosePath,
    };
    path.segments().map(element).collect()
}

/// The box around everything drawn; `None` if there is nothing, or nothing finite.
fn bounds(paths: &[BezPath]) -> Option<Bounds> {
    let boxes = paths.iter().map(kurbo::Shape::bounding_box);
    let around = Bounds::around(boxes.flat_map(|it| [Point::new(it.x0, it.y0), Point::new(it.x1, it.y1)]))?;
    let [width, height] = [around.high.x - around.low.x, around.high.y - around.low.y];
    let sound = width.is_finite() && height.is_finite() && width > 0.0 && height > 0.0;
    // Past this the drawing's own numbers (single precision) are too coarse.
    let far = [around.low.x, around.low.y, around.high.x, around.high.y].into_iter().any(|it| it.abs() > 1e9);
    (sound && !far).then_some(around)
}

fn outline(paths: &[BezPath], tolerance: f64, joined: f64) -> Result<Outline, Problem> {
    let lines = closed_lines(paths, tolerance, joined)?;
    if count_crossings(&lines, MOST_CROSSINGS) >= MOST_CROSSINGS {
        return Err(
            Problem::new("the drawing's lines cross each other too often").hint("take out the hatching")
        );
    }
    let mut shapes: Vec<Outline> =
        lines.into_iter().filter_map(|line| clean(vec![line]).ok()).flatten().collect();
    shapes.sort_by(|a, b| b.outer().area().to_mm2().total_cmp(&a.outer().area().to_mm2()));
    let mut rest = shapes.into_iter();
    let mut whole = rest.next().ok_or_else(nothing_closed)?;
    let mut rest: Vec<Outline> = rest.collect();
    // What crosses the outline is part of it, and so is what crosses that.
    let mut joined = 0;
    while let Some(index) = rest.iter().position(|it| !it.clear_of(&whole) && !fills(&whole).holds(it)) {
        joined += 1;
        if joined > MOST_JOINED {
            let message = format!("the outline is put together from more than {MOST_JOINED} shapes");
            return Err(Problem::new(message).hint("join them in the drawing program"));
        }
        let part = rest.remove(index);
        whole = union(&[whole, part]).into_iter().next().ok_or_else(nothing_closed)?;
    }
    let solid = fills(&whole);
    let inside = |it: &Outline| solid.holds(it) && it.outer().area() < solid.area() * SAME_LINE;
    let openings: Vec<Outline> = rest.iter().filter(|it| inside(it)).map(fills).collect();
    whole.minus(&union(&openings)).into_iter().next().ok_or_else(nothing_closed)
}

/// The shape with its openings filled.
fn fills(it: &Outline) -> Outline {
    Outline::from(it.outer().clone())
}

/// Every closed line as chords.
fn closed_lines(paths: &[BezPath], tolerance: f64, joined: f64) -> Result<Vec<Vec<Point>>, Problem> {
    let mut lines = Vec::new();
    let mut points = 0;
    for path in paths {
        let mut line = Vec::new();
        let mut take = |line: &mut Vec<Point>, closed: bool| {
            let ends_meet = match (line.first(), line.last()) {
                (Some(first), Some(last)) => first.distance(*last).to_mm() <= joined,
                _ => false,
            };
            let line = std::mem::take(line);
            if line.len() >= 3 && (closed || ends_meet) {
                lines.push(line);
            }
        };
        kurbo::flatten(path.iter(), tolerance, |element| {
            points += 1;
            match element {
                _ if points > MOST_POINTS => {}
                PathEl::MoveTo(to) => {
                    take(&mut line, false);
                    line.push(Point::new(to.x, to.y));
                }
                PathEl::LineTo(to) | PathEl::QuadTo(_, to) | PathEl::CurveTo(_, _, to) => {
                    line.push(Point::new(to.x, to.y));
                }
                PathEl::ClosePath => take(&mut line, true),
            }
        });
        take(&mut line, false);
        if points > MOST_POINTS {
            let message = format!("the drawing's curves need more than {MOST_POINTS} points");
            return Err(Problem::new(message).hint("simplify the outline in the drawing program"));
        }
    }
    if lines.len() > MOST_LINES {
        let message = format!("the drawing has {} closed lines; at most {MOST_LINES} are read", lines.len());
        return Err(Problem::new(message).hint("save the outline alone"));
    }
    Ok(lines)
}
