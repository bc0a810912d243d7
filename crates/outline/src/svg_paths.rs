//! The lines of an SVG drawing, and what cuts them off.

use kurbo::{Affine, BezPath, PathEl};
use measure::Problem;
use usvg::tiny_skia_path::{self, PathSegment};

use crate::{Bounds, Point};

/// The most moves, lines and curves that are read.
const MOST_VERBS: usize = 20_000;

/// A drawing's lines, y up.
#[derive(Default)]
pub(crate) struct Drawing {
    pub(crate) lines: Vec<DrawnLine>,
    /// What lines are cut by: inside of each one's paths they are seen.
    pub(crate) clips: Vec<Vec<BezPath>>,
}

/// A path, and which of the drawing's clips cut it.
pub(crate) struct DrawnLine {
    pub(crate) path: BezPath,
    pub(crate) cut_by: Vec<usize>,
}

impl Drawing {
    /// Everything that is seen, in the drawing's own units.
    ///
    /// # Errors
    /// The drawing cannot be read, or has too many lines.
    pub(crate) fn read(text: &str) -> Result<Drawing, Problem> {
        let options = usvg::Options::default();
        let tree = usvg::Tree::from_str(text, &options)
            .map_err(|trouble| Problem::new(format!("the drawing could not be read: {trouble}")))?;
        let mut drawing = Drawing::default();
        let mut verbs = 0;
        // Transforms are summed up on the way down, as a renderer does; the sums that
        // the library keeps are wrong for shapes that are used again.
        let mut open = vec![(tree.root(), usvg::Transform::identity(), Vec::new())];
        while let Some((group, by, mut cut_by)) = open.pop() {
            let mut next = group.clip_path();
            while let Some(clip) = next {
                cut_by.push(drawing.clips.len());
                drawing.clips.push(inside(clip, by, &mut verbs)?);
                next = clip.clip_path();
            }
            for node in group.children() {
                match node {
                    usvg::Node::Group(inner) => {
                        open.push((inner, by.pre_concat(inner.transform()), cut_by.clone()));
                    }
                    usvg::Node::Path(path) if path.is_visible() => {
                        count(path.data(), &mut verbs)?;
                        let path = turned_up(path.data(), by);
                        drawing.lines.push(DrawnLine { path, cut_by: cut_by.clone() });
                    }
                    usvg::Node::Path(_) | usvg::Node::Image(_) | usvg::Node::Text(_) => {}
                }
            }
        }
        Ok(drawing)
    }

    /// With the lower left corner of its box at the origin, to a scale.
    pub(crate) fn scaled(&self, whole: Bounds, scale: f64) -> Drawing {
        let place = Affine::scale(scale) * Affine::translate((-whole.low.x, -whole.low.y));
        let line = |it: &DrawnLine| DrawnLine { path: place * &it.path, cut_by: it.cut_by.clone() };
        let clip = |it: &Vec<BezPath>| it.iter().map(|path| place * path).collect();
        Drawing { lines: self.lines.iter().map(line).collect(), clips: self.clips.iter().map(clip).collect() }
    }

    /// The box around everything drawn; `None` if there is nothing, or nothing finite.
    pub(crate) fn bounds(&self) -> Option<Bounds> {
        let boxes = self.lines.iter().map(|it| kurbo::Shape::bounding_box(&it.path));
        let corners = boxes.flat_map(|it| [Point::new(it.x0, it.y0), Point::new(it.x1, it.y1)]);
        let around = Bounds::around(corners)?;
        let [width, height] = [around.high.x - around.low.x, around.high.y - around.low.y];
        let sound = width.is_finite() && height.is_finite() && width > 0.0 && height > 0.0;
        // Past this the drawing's own numbers (single precision) are too coarse.
        let all = [around.low.x, around.low.y, around.high.x, around.high.y];
        (sound && all.iter().all(|it| it.abs() <= 1e9)).then_some(around)
    }
}

/// The paths within which a clip lets things be seen.
fn inside(clip: &usvg::ClipPath, by: usvg::Transform, verbs: &mut usize) -> Result<Vec<BezPath>, Problem> {
    let mut found = Vec::new();
    let mut open = vec![(clip.root(), by.pre_concat(clip.transform()))];
    while let Some((group, by)) = open.pop() {
        for node in group.children() {
            match node {
                usvg::Node::Group(inner) => open.push((inner, by.pre_concat(inner.transform()))),
                usvg::Node::Path(path) if path.is_visible() => {
                    count(path.data(), verbs)?;
                    found.push(turned_up(path.data(), by));
                }
                usvg::Node::Path(_) | usvg::Node::Image(_) | usvg::Node::Text(_) => {}
            }
        }
    }
    Ok(found)
}

fn count(path: &tiny_skia_path::Path, verbs: &mut usize) -> Result<(), Problem> {
    *verbs += path.len();
    if *verbs <= MOST_VERBS {
        return Ok(());
    }
    let message = format!("the drawing has more than {MOST_VERBS} lines and curves");
    Err(Problem::new(message).hint("simplify the outline in the drawing program"))
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
