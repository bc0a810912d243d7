//! Drawings in millimetres of paper, written as SVG.
//!
//! Line types after ISO 128-2: continuous thick for what is cut, continuous
//! thin for rims, dashed for what lies underneath, long-dash dotted for middle
//! lines, long-dash double-dotted for areas that are only looked at.

use std::fmt::Write as _;

use measure::{Angle, Length};
use outline::{Bounds, Outline, Point, Ring, Segment};
use stock::ZoneKind;

/// A drawing under way: a window onto a flat face, at a scale.
pub(crate) struct Drawing {
    window: Bounds,
    // Invariant: above zero; millimetres of paper for each millimetre of the face.
    scale: f64,
    body: String,
    clips: u32,
}

/// How a line is drawn.
#[derive(Clone, Copy)]
pub(crate) enum Line {
    /// What the saw or the drill leaves: continuous, thick.
    Cut,
    /// The way of a saw: long dash, dot.
    Sawn,
    /// A rim on the upper side: continuous, thin.
    Rim,
    /// What lies on the underside: dashed.
    Hidden,
    /// A middle line: long dash, dot.
    Middle,
    /// An area without an edge of its own: long dash, two dots.
    Area,
    /// Where sheets of paper meet: short dashes, pale.
    Seam,
    /// Where the wood ends.
    Wood,
    /// What is left and kept.
    Offcut,
    /// The grain.
    Grain,
}

/// A registration cross fits into the overlap of two sheets.
const CROSS_ARM: f64 = 5.0;
const CROSS_SQUARE: f64 = 2.0;

const INK: &str = "#17212b";
const COOL: &str = "#0f5470";

impl Line {
    /// Width in millimetres of paper, dashes, colour.
    const fn pen(self) -> (f64, &'static str, &'static str) {
        match self {
            Line::Cut => (0.5, "", INK),
            Line::Sawn => (0.35, "7 1.2 0.6 1.2", COOL),
            Line::Rim => (0.25, "", INK),
            Line::Hidden => (0.3, "3 1.5", INK),
            Line::Middle => (0.25, "7 1.2 0.6 1.2", INK),
            Line::Area => (0.25, "7 1.2 0.6 1.2 0.6 1.2", "#55626f"),
            Line::Seam => (0.15, "1.5 1.5", "#7b8894"),
            Line::Wood => (0.3, "", "#55626f"),
            Line::Offcut => (0.25, "4 1.2", "#3d6b4f"),
            Line::Grain => (0.35, "", COOL),
        }
    }

    fn style(self) -> String {
        let (width, dashes, colour) = self.pen();
        let dashes =
            if dashes.is_empty() { String::new() } else { format!(" stroke-dasharray=\"{dashes}\"") };
        format!(
            "fill=\"none\" stroke=\"{colour}\" stroke-width=\"{width}\" stroke-linejoin=\"round\"{dashes}"
        )
    }
}

impl Drawing {
    /// A window onto a face, drawn at this many millimetres of paper for each of the face.
    pub(crate) fn new(window: Bounds, scale: f64) -> Drawing {
        assert!(scale > 0.0, "a drawing has a scale");
        Drawing { window, scale, body: String::new(), clips: 0 }
    }

    /// Width and height on paper, in millimetres.
    pub(crate) fn size(&self) -> [f64; 2] {
        [self.window.width().to_mm() * self.scale, self.window.height().to_mm() * self.scale]
    }

    /// Where a point of the face lies on the drawing: millimetres of paper from
    /// its upper left corner, y down.
    pub(crate) fn on_paper(&self, it: Point) -> [f64; 2] {
        [(it.x - self.window.low.x) * self.scale, (self.window.high.y - it.y) * self.scale]
    }

    /// Draws a shape's outer line and openings.
    pub(crate) fn outline(&mut self, it: &Outline, line: Line) {
        for ring in it.rings() {
            self.ring(ring, line);
        }
    }

    /// Draws a shape so that it can be seen on a picture: on a pale ground.
    pub(crate) fn outline_on_picture(&mut self, it: &Outline, line: Line) {
        let (width, ..) = line.pen();
        let path: String = it.rings().map(|ring| self.path(ring)).collect();
        self.add(&format!(
            "<path d=\"{path}\" fill=\"none\" stroke=\"#ffffff\" stroke-opacity=\"0.75\" stroke-width=\"{:.2}\"/>",
            width + 0.7
        ));
        self.outline(it, line);
    }

    /// Draws a closed line.
    pub(crate) fn ring(&mut self, it: &Ring, line: Line) {
        let path = self.path(it);
        self.add(&format!("<path d=\"{path}\" {}/>", line.style()));
    }

    /// Lays a pale sheet over a shape, so that lines on a picture can be read.
    pub(crate) fn veil(&mut self, it: &Outline, opacity: f64) {
        let path: String = it.rings().map(|ring| self.path(ring)).collect();
        self.add(&format!(
            "<path d=\"{path}\" fill=\"#ffffff\" fill-opacity=\"{opacity}\" fill-rule=\"evenodd\"/>"
        ));
    }

    /// Draws a line.
    pub(crate) fn segment(&mut self, it: Segment, line: Line) {
        let ([x1, y1], [x2, y2]) = (self.on_paper(it.from), self.on_paper(it.to));
        self.add(&format!("<path d=\"M{x1:.4} {y1:.4}L{x2:.4} {y2:.4}\" {}/>", line.style()));
    }

    /// Draws an open line through points.
    pub(crate) fn way(&mut self, it: &[Point], line: Line) {
        let mut path = String::new();
        for (index, point) in it.iter().enumerate() {
            let [x, y] = self.on_paper(*point);
            let verb = if index == 0 { 'M' } else { 'L' };
            let _ = write!(path, "{verb}{x:.3} {y:.3}");
        }
        self.add(&format!("<path d=\"{path}\" {}/>", line.style()));
    }

    /// Draws a line between two places on the paper.
    pub(crate) fn paper_line(&mut self, [x1, y1]: [f64; 2], [x2, y2]: [f64; 2], line: Line) {
        self.add(&format!("<path d=\"M{x1:.4} {y1:.4}L{x2:.4} {y2:.4}\" {}/>", line.style()));
    }

    /// Draws a registration cross at a place on the paper: a cross in a square
    /// on its corner, two of its quarters filled.
    pub(crate) fn cross(&mut self, [x, y]: [f64; 2]) {
        let (arm, half) = (CROSS_ARM, CROSS_SQUARE);
        let (left, right, top, low) = (x - half, x + half, y - half, y + half);
        self.add(&format!(
            "<path d=\"M{left:.4} {y:.4}L{x:.4} {top:.4}L{x:.4} {low:.4}L{right:.4} {y:.4}Z\" fill=\"{INK}\"/>"
        ));
        self.add(&format!(
            "<path d=\"M{left:.4} {y:.4}L{x:.4} {top:.4}L{right:.4} {y:.4}L{x:.4} {low:.4}Z\" fill=\"none\" \
             stroke=\"{INK}\" stroke-width=\"0.15\"/>"
        ));
        self.add(&format!(
            "<path d=\"M{:.4} {y:.4}L{:.4} {y:.4}M{x:.4} {:.4}L{x:.4} {:.4}\" fill=\"none\" stroke=\"{INK}\" \
             stroke-width=\"0.15\"/>",
            x - arm,
            x + arm,
            y - arm,
            y + arm
        ));
    }

    /// Draws the two middle lines of a round or a foot; as short as these are,
    /// continuous thin.
    pub(crate) fn middle_cross(&mut self, at: Point, reach: f64, turn: Angle) {
        for turn in [turn, turn + Angle::degrees(90.0)] {
            let (dx, dy) = (turn.cos() * reach, turn.sin() * reach);
            let (from, to) = (Point::new(at.x - dx, at.y - dy), Point::new(at.x + dx, at.y + dy));
            self.segment(Segment { from, to }, Line::Rim);
        }
    }

    /// Draws a circle.
    pub(crate) fn circle(&mut self, middle: Point, diameter: Length, line: Line) {
        let [x, y] = self.on_paper(middle);
        let radius = diameter.to_mm() / 2.0 * self.scale;
        self.add(&format!("<circle cx=\"{x:.4}\" cy=\"{y:.4}\" r=\"{radius:.4}\" {}/>", line.style()));
    }

    /// Draws the grain's mark: a long line with a head at both ends, on a pale ground.
    pub(crate) fn grain(&mut self, it: Segment) {
        let ([x1, y1], [x2, y2]) = (self.on_paper(it.from), self.on_paper(it.to));
        let long = (x2 - x1).hypot(y2 - y1);
        if long < 1.0 {
            return;
        }
        let (along_x, along_y) = ((x2 - x1) / long, (y2 - y1) / long);
        let head = (long / 4.0).min(3.5);
        let barb = |x: f64, y: f64, way: f64| {
            let (bx, by) = (x + way * along_x * head, y + way * along_y * head);
            let (sx, sy) = (-along_y * head * 0.3, along_x * head * 0.3);
            format!("M{x:.3} {y:.3}L{:.3} {:.3}L{:.3} {:.3}Z", bx + sx, by + sy, bx - sx, by - sy)
        };
        let heads = format!("{}{}", barb(x1, y1, 1.0), barb(x2, y2, -1.0));
        let shaft = format!("M{x1:.3} {y1:.3}L{x2:.3} {y2:.3}");
        self.add(&format!(
            "<path d=\"{shaft}\" stroke=\"#ffffff\" stroke-opacity=\"0.75\" stroke-width=\"1.3\"/>"
        ));
        self.add(&format!("<path d=\"{shaft}\" {}/>", Line::Grain.style()));
        self.add(&format!("<path d=\"{heads}\" fill=\"{COOL}\"/>"));
    }

    /// Draws a zone: its edge and a hatching of its kind's own.
    pub(crate) fn zone(&mut self, area: &Ring, kind: ZoneKind) {
        let path = self.path(area);
        self.clips += 1;
        let clip = self.clips;
        let hatching = Hatching::of(kind);
        let lines = self.hatch(area, hatching);
        let colour = hatching.colour;
        self.add(&format!("<clipPath id=\"c{clip}\"><path d=\"{path}\"/></clipPath>"));
        self.add(&format!("<path d=\"{path}\" fill=\"#ffffff\" fill-opacity=\"0.45\"/>"));
        self.add(&format!(
            "<g clip-path=\"url(#c{clip})\"><path d=\"{lines}\" fill=\"none\" stroke=\"{colour}\" stroke-width=\"0.3\"/></g>"
        ));
        self.add(&format!("<path d=\"{path}\" fill=\"none\" stroke=\"{colour}\" stroke-width=\"0.35\"/>"));
    }

    /// Hatches an area palely, so that woods side by side are told apart
    /// without colour; the first wood is left white.
    pub(crate) fn wood(&mut self, area: &Ring, index: usize) {
        let Some(hatching) = index.checked_sub(1).map(|it| WOODS[it % WOODS.len()]) else { return };
        self.clips += 1;
        let (clip, path, lines) = (self.clips, self.path(area), self.hatch(area, hatching));
        let colour = hatching.colour;
        self.add(&format!("<clipPath id=\"c{clip}\"><path d=\"{path}\"/></clipPath>"));
        self.add(&format!(
            "<g clip-path=\"url(#c{clip})\"><path d=\"{lines}\" fill=\"none\" stroke=\"{colour}\" stroke-width=\"0.15\"/></g>"
        ));
    }

    /// The drawing as SVG, one unit for each millimetre of paper.
    pub(crate) fn finish(self) -> String {
        let [width, height] = self.size();
        let body = self.body;
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width:.4}mm\" height=\"{height:.4}mm\" \
             viewBox=\"0 0 {width:.4} {height:.4}\">\n{body}</svg>\n"
        )
    }

    /// Adds SVG in millimetres of paper.
    pub(crate) fn add(&mut self, svg: &str) {
        self.body.push_str(svg);
        self.body.push('\n');
    }

    fn path(&self, ring: &Ring) -> String {
        let mut out = String::new();
        for (index, &corner) in ring.corners().iter().enumerate() {
            let [x, y] = self.on_paper(corner);
            let letter = if index == 0 { 'M' } else { 'L' };
            write!(out, "{letter}{x:.4} {y:.4}").expect("a string takes text");
        }
        out.push('Z');
        out
    }

    /// Parallel lines over the box around an area.
    fn hatch(&self, area: &Ring, hatching: Hatching) -> String {
        let bounds = area.bounds();
        let [x, y] = self.on_paper(bounds.centre());
        let [left, top] = self.on_paper(Point::new(bounds.low.x, bounds.high.y));
        let reach = (x - left).hypot(y - top) + hatching.apart;
        let mut out = String::new();
        for turn in
            [Some(hatching.turn), hatching.crossed.then_some(hatching.turn + 90.0)].into_iter().flatten()
        {
            let (sin, cos) = turn.to_radians().sin_cos();
            let count = ((reach / hatching.apart) as i32).min(MOST_HATCHES);
            for index in -count..=count {
                let off = f64::from(index) * hatching.apart;
                let (mx, my) = (x - sin * off, y + cos * off);
                let (dx, dy) = (cos * reach, sin * reach);
                write!(out, "M{:.2} {:.2}L{:.2} {:.2}", mx - dx, my - dy, mx + dx, my + dy)
                    .expect("a string takes text");
            }
        }
        out
    }
}

/// No zone on paper needs more lines than this to either side of its middle.
const MOST_HATCHES: i32 = 300;

/// How a kind of zone is hatched: it has to be told apart without colour.
#[derive(Clone, Copy)]
struct Hatching {
    /// Degrees, clockwise on paper.
    turn: f64,
    /// Millimetres of paper from line to line.
    apart: f64,
    crossed: bool,
    colour: &'static str,
}

/// The hatchings of the second, third and fourth wood of a panel.
const WOODS: [Hatching; 3] = [
    Hatching { turn: 45.0, apart: 1.4, crossed: false, colour: PALE },
    Hatching { turn: -45.0, apart: 2.4, crossed: false, colour: PALE },
    Hatching { turn: 45.0, apart: 2.4, crossed: true, colour: PALE },
];
const PALE: &str = "#7b8894";

impl Hatching {
    const fn of(kind: ZoneKind) -> Hatching {
        let (turn, apart, crossed, colour) = match kind {
            ZoneKind::Knot => (45.0, 1.1, true, "#7a1f5c"),
            ZoneKind::Check => (90.0, 0.9, false, "#a02a1c"),
            ZoneKind::Bark => (0.0, 1.1, true, "#5b3a1a"),
            ZoneKind::Wane => (-45.0, 2.0, false, "#5b3a1a"),
            ZoneKind::Sapwood => (45.0, 2.6, false, "#8a6a00"),
            ZoneKind::Stain => (0.0, 2.2, false, "#33507a"),
            ZoneKind::Worm => (-45.0, 1.1, false, "#2a5f3a"),
            ZoneKind::Hole => (45.0, 1.1, false, "#17212b"),
            ZoneKind::Pith => (60.0, 1.6, true, "#a0521c"),
        };
        Hatching { turn, apart, crossed, colour }
    }
}
