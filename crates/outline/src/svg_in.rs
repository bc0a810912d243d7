//! An outline out of an SVG drawing.

use std::panic::{AssertUnwindSafe, catch_unwind};

use kurbo::{BezPath, PathEl};
use measure::{Length, Problem};

use crate::crossing::count_crossings;
use crate::offset::MOST_CROSSINGS;
use crate::svg_guard::shapes_only;
use crate::svg_paths::Drawing;
use crate::{Outline, Point, clean, union};

/// Millimetres in a drawing's unit: 96 units to the inch (CSS Values 4, section 6.2).
const MM_PER_UNIT: f64 = 25.4 / 96.0;

/// How far a chord may stray from a drawn curve, at the size of the part.
const FLATTEN: Length = Length::mm(0.1);

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
/// openings, as far as clip paths leave them. Lower left corner at the origin, y
/// up; open lines, text, pictures, and what is hidden are left out.
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
    let read = catch_unwind(AssertUnwindSafe(|| Drawing::read(&text)));
    let drawing = read.unwrap_or_else(|_| Err(Problem::new("the drawing could not be read")))?;
    let whole = drawing.bounds().ok_or_else(nothing_closed)?;
    let size = whole.width().max(whole.height()).to_mm();
    // First at a size of its own, to find the part among what else is drawn.
    let (scale, joined) = (LOOK / size, LOOK * JOINED);
    let drawn = outline(&drawing.scaled(whole, scale), LOOK / 2_000.0, joined)?.bounds().width() / scale;
    let scale = match wanted_length {
        Some(wanted) => wanted / drawn,
        None => MM_PER_UNIT,
    };
    if size * scale > Point::FARTHEST.to_mm() {
        let most = Point::FARTHEST.to_mm();
        let message = format!("the drawing is {:.0} mm across; at most {most} mm are read", size * scale);
        return Err(Problem::new(message).hint("say how long the part is"));
    }
    let found = outline(&drawing.scaled(whole, scale), FLATTEN.to_mm(), size * scale * JOINED)?;
    let length = wanted_length.unwrap_or(found.bounds().width());
    Ok(found.scaled_to_length(length)?.at_origin())
}

fn nothing_closed() -> Problem {
    Problem::new("the drawing has no closed line")
        .hint("join the ends of the outline and turn text into paths")
}

fn outline(drawing: &Drawing, tolerance: f64, joined: f64) -> Result<Outline, Problem> {
    let mut shapes = seen(drawing, tolerance, joined)?;
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

/// Every closed shape, as far as clips let it be seen.
fn seen(drawing: &Drawing, tolerance: f64, joined: f64) -> Result<Vec<Outline>, Problem> {
    let shapes = |paths: &mut dyn Iterator<Item = &BezPath>| -> Result<Vec<(usize, Outline)>, Problem> {
        let (of, lines): (Vec<usize>, Vec<Vec<Point>>) =
            closed_lines(paths, tolerance, joined)?.into_iter().unzip();
        if count_crossings(&lines, MOST_CROSSINGS) >= MOST_CROSSINGS {
            return Err(
                Problem::new("the drawing's lines cross each other too often").hint("take out the hatching")
            );
        }
        let each = of.into_iter().zip(lines);
        let each = each.filter_map(|(of, line)| Some((of, clean(vec![line]).ok()?)));
        Ok(each.flat_map(|(of, shapes)| shapes.into_iter().map(move |it| (of, it))).collect())
    };
    let clip = |paths: &Vec<BezPath>| -> Result<Vec<Outline>, Problem> {
        let parts: Vec<Outline> = shapes(&mut paths.iter())?.into_iter().map(|it| it.1).collect();
        Ok(union(&parts))
    };
    let clips = drawing.clips.iter().map(clip).collect::<Result<Vec<_>, Problem>>()?;
    let cut = |(of, shape): (usize, Outline)| {
        drawing.lines[of].cut_by.iter().fold(vec![shape], |shapes, &by| {
            shapes.iter().flat_map(|it| clips[by].iter().flat_map(|clip| it.common(clip))).collect()
        })
    };
    let all = shapes(&mut drawing.lines.iter().map(|it| &it.path))?;
    Ok(all.into_iter().flat_map(cut).collect())
}

/// The shape with its openings filled.
fn fills(it: &Outline) -> Outline {
    Outline::from(it.outer().clone())
}

/// Every closed line as chords, with the number of the path that it is of.
fn closed_lines<'a>(
    paths: impl Iterator<Item = &'a BezPath>,
    tolerance: f64,
    joined: f64,
) -> Result<Vec<(usize, Vec<Point>)>, Problem> {
    let mut lines = Vec::new();
    let mut points = 0;
    for (number, path) in paths.enumerate() {
        let mut line = Vec::new();
        let mut take = |line: &mut Vec<Point>, closed: bool| {
            let ends_meet = match (line.first(), line.last()) {
                (Some(first), Some(last)) => first.distance(*last).to_mm() <= joined,
                _ => false,
            };
            let line = std::mem::take(line);
            if line.len() >= 3 && (closed || ends_meet) {
                lines.push((number, line));
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
