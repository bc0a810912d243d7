//! Each pattern at full size, cut into sheets of paper.

use std::collections::{BTreeMap, BTreeSet};

use measure::{Angle, Length, System, Units};
use outline::{Bounds, Outline, Place, Point, Ring, Segment};
use plan::Plan;
use serde::Serialize;
use stock::{Brief, Feature, FeatureKind, Pattern, Placement};
use work::{Mark, MarkKind};

use crate::drawing::{Drawing, Line};
use crate::tile::{Tiling, row_letter};

/// One pattern's template; millimetres from the upper left of the pasted whole, y down.
#[derive(Serialize)]
pub(crate) struct Template {
    name: String,
    overall: String,
    notes: Vec<String>,
    /// `None` if it would take too many sheets.
    sheets: Option<Sheets>,
}

#[derive(Serialize)]
struct Sheets {
    drawing: String,
    map: String,
    map_scale: f64,
    size: [f64; 2],
    window: [f64; 2],
    overlap: f64,
    columns: usize,
    rows: usize,
    tiles: Vec<Tile>,
    labels: Vec<Label>,
    crosses: Vec<Cross>,
}

#[derive(Serialize)]
struct Tile {
    name: String,
    row: String,
    column: usize,
    at: [f64; 2],
}

/// Words on the drawing, their middle here, on one sheet only.
#[derive(Serialize)]
struct Label {
    at: [f64; 2],
    text: String,
    sheet: String,
}

impl Label {
    fn new(at: [f64; 2], text: impl Into<String>) -> Label {
        Label { at, text: text.into(), sheet: String::new() }
    }
}

#[derive(Serialize)]
struct Cross {
    number: usize,
    at: [f64; 2],
}

/// The widest and highest that a key map is drawn.
const MAP: [f64; 2] = [38.0, 21.0];

/// Half as wide as the longest label.
const LABEL_HALF: f64 = 28.0;

/// Labels closer than this above each other are moved apart.
const LABEL_APART: f64 = 5.0;

/// The templates of every pattern that the job wants; drawings go to `files`.
pub(crate) fn templates(brief: &Brief, plan: &Plan, files: &mut BTreeMap<String, Vec<u8>>) -> Vec<Template> {
    let mut seen = BTreeSet::new();
    let wanted = brief.job.wants.iter().filter(|want| want.count > 0 && seen.insert(want.pattern));
    let patterns: Vec<&Pattern> = wanted.filter_map(|want| brief.pattern(want.pattern).ok()).collect();
    patterns
        .into_iter()
        .enumerate()
        .map(|(index, pattern)| template(brief, plan, (index, pattern), files))
        .collect()
}

fn template(
    brief: &Brief,
    plan: &Plan,
    (index, pattern): (usize, &Pattern),
    files: &mut BTreeMap<String, Vec<u8>>,
) -> Template {
    let own = pattern.outline.bounds();
    let units = brief.units();
    let (grain, mut notes) = grain(brief, plan, pattern);
    let sheets = fewest(pattern, brief).map(|(place, tiling)| {
        let view = View { brief, pattern, index, place, tiling, grain, marks: marks(brief, plan, pattern) };
        view.sheets(files)
    });
    match &sheets {
        Some(sheets) if sheets.tiles.len() > 1 => notes.push(format!(
            "cut one of two neighbours along the dashed seam and lay its crosses on the other's, number on number; \
             sheets overlap by {}",
            units.fine_length(Length::mm(Tiling::OVERLAP))
        )),
        Some(_) => {}
        None => notes.push("too large to be pasted from sheets; saw it after the drawing file".to_owned()),
    }
    Template { name: pattern.name.clone(), overall: overall(own, units), notes, sheets }
}

/// The holes of a pattern, each once although it may be made several times.
fn marks<'a>(brief: &Brief, plan: &'a Plan, pattern: &Pattern) -> Vec<&'a Mark> {
    let all = || plan.operations.iter().flat_map(|it| &it.marks);
    let mine = |it: &&Mark| brief.pattern_of(it.part).is_ok_and(|other| other.id == pattern.id);
    let first = all().find(mine).map(|it| it.part);
    all().filter(|it| Some(it.part) == first).collect()
}

/// The size in the maker's units, and to a tenth of a millimetre to measure by.
fn overall(own: Bounds, units: Units) -> String {
    let exact = format!("{:.1} mm by {:.1} mm", own.width().to_mm(), own.height().to_mm());
    match units.system {
        System::Millimetres => exact,
        System::Inches => {
            format!("{} by {} ({exact})", units.length(own.width()), units.length(own.height()))
        }
    }
}

/// Upright or turned by a quarter, whichever takes fewer sheets.
fn fewest(pattern: &Pattern, brief: &Brief) -> Option<(Place, Tiling)> {
    let quarter = Place { turn: Angle::degrees(90.0), ..Place::default() };
    let lain = [Place::default(), quarter].into_iter().filter_map(|place| {
        let tiling = Tiling::over(place.bounds(&pattern.outline), brief.kit.paper)?;
        Some((place, tiling))
    });
    lain.min_by_key(|(_, tiling)| tiling.sheets())
}

/// Which way the grain runs on a pattern's own drawing, and whose grain that is.
fn grain(brief: &Brief, plan: &Plan, pattern: &Pattern) -> (Option<Angle>, Vec<String>) {
    let mine = |it: &&Placement| brief.pattern_of(it.part).is_ok_and(|other| other.id == pattern.id);
    let lies: Vec<(&Placement, Angle)> = plan
        .layout
        .placements
        .iter()
        .filter(mine)
        .filter_map(|it| Some((it, own_grain(brief, it)?)))
        .collect();
    if let Some(&(first, direction)) = lies.first() {
        let alike = lies.iter().all(|(_, other)| direction.between_lines(*other) <= SAME_WAY);
        let others = if alike { "" } else { "; other copies lie otherwise, see the drawing of the wood" };
        return (Some(direction), vec![format!("grain as {} lies{others}", brief.part_name(first.part))]);
    }
    let stem = pattern.stems().next().map(|(_, axis, _, _)| axis.direction());
    let note = stem.map(|_| "grain along the stem; the part has no place yet".to_owned());
    (stem, note.into_iter().collect())
}

/// Grain arrows that differ by less than this look the same on paper.
const SAME_WAY: Angle = Angle::degrees(3.0);

/// The face's grain under a part, seen on the part's own pattern.
fn own_grain(brief: &Brief, it: &Placement) -> Option<Angle> {
    let face = brief.face(it.face).ok()?;
    let turned = face.grain.at(it.outline.outer().centroid()) - it.place.turn;
    Some(if it.place.mirrored { Angle::degrees(180.0) - turned } else { turned })
}

/// A pattern laid on its sheets.
struct View<'a> {
    brief: &'a Brief,
    pattern: &'a Pattern,
    index: usize,
    place: Place,
    tiling: Tiling,
    grain: Option<Angle>,
    marks: Vec<&'a Mark>,
}

impl View<'_> {
    fn sheets(&self, files: &mut BTreeMap<String, Vec<u8>>) -> Sheets {
        let outline = self.place.outline(&self.pattern.outline);
        let area = self.tiling.area(outline.bounds());
        let (drawing, labels) = self.draw(&outline, area);
        let size = drawing.size();
        let name = format!("/full{}.svg", self.index);
        files.insert(name.clone(), drawing.finish().into_bytes());

        let map_scale = (MAP[0] / size[0]).min(MAP[1] / size[1]);
        let mut map = Drawing::new(area, map_scale);
        map.outline(&outline, Line::Rim);
        let map_name = format!("/map{}.svg", self.index);
        files.insert(map_name.clone(), map.finish().into_bytes());

        let crosses = self.tiling.crosses().into_iter();
        Sheets {
            drawing: name,
            map: map_name,
            map_scale,
            size,
            window: self.tiling.window,
            overlap: Tiling::OVERLAP,
            columns: self.tiling.columns,
            rows: self.tiling.rows,
            tiles: self.tiles(&outline, area, &labels),
            labels,
            crosses: crosses.map(|it| Cross { number: it.number, at: it.at }).collect(),
        }
    }

    /// The sheets that hold a line, a hole or a word; the others are left out.
    fn tiles(&self, outline: &Outline, area: Bounds, labels: &[Label]) -> Vec<Tile> {
        let holds = |row: usize, column: usize| {
            let (seen, name) = (self.tiling.seen(area, row, column), Tiling::name(row, column));
            let hole = |it: &&Mark| seen.meets(Bounds::around([self.place.point(it.at)]).unwrap_or(seen));
            passes(outline, seen) || labels.iter().any(|it| it.sheet == name) || self.marks.iter().any(hole)
        };
        let all = (0..self.tiling.rows).flat_map(|row| (0..self.tiling.columns).map(move |it| (row, it)));
        let kept = all.filter(|&(row, column)| holds(row, column));
        let tile = |(row, column)| Tile {
            name: Tiling::name(row, column),
            row: row_letter(row),
            column: column + 1,
            at: self.tiling.corner(row, column),
        };
        kept.map(tile).collect()
    }

    fn draw(&self, outline: &Outline, area: Bounds) -> (Drawing, Vec<Label>) {
        let mut drawing = Drawing::new(area, 1.0);
        let mut labels = Vec::new();
        self.seams(&mut drawing);
        if let Some(direction) = self.grain {
            let at = grain_mark(outline, self.place.direction(direction));
            drawing.grain(at);
            let label = Label::new(drawing.on_paper(at.from.toward(at.to, GRAIN_WORD)), "grain");
            labels.push(label);
        }
        for feature in &self.pattern.features {
            labels.extend(self.feature(feature, &mut drawing));
        }
        for mark in &self.marks {
            labels.extend(self.hole(mark, &mut drawing));
        }
        drawing.outline(outline, Line::Cut);
        settle(&mut labels);
        for label in &mut labels {
            self.keep_on_one_sheet(label);
        }
        (drawing, labels)
    }

    /// Gives a label to the sheet that it lies on, and moves it off that sheet's edges.
    fn keep_on_one_sheet(&self, label: &mut Label) {
        let Tiling { window, columns, rows } = self.tiling;
        let nearest = |axis: usize, count: usize| {
            let index =
                ((label.at[axis] - Tiling::OVERLAP / 2.0) / self.tiling.step()[axis]).floor().max(0.0);
            (index as usize).min(count - 1)
        };
        let (column, row) = (nearest(0, columns), nearest(1, rows));
        let corner = self.tiling.corner(row, column);
        for (axis, half) in [LABEL_HALF, LABEL_APART / 2.0].into_iter().enumerate() {
            let (low, high) = (corner[axis] + half, corner[axis] + window[axis] - half);
            label.at[axis] = label.at[axis].clamp(low, high);
        }
        label.sheet = Tiling::name(row, column);
    }

    fn seams(&self, drawing: &mut Drawing) {
        for [x1, y1, x2, y2] in self.tiling.seams() {
            drawing.paper_line([x1, y1], [x2, y2], Line::Seam);
        }
        for cross in self.tiling.crosses() {
            drawing.cross(cross.at);
        }
    }

    /// Draws a hole that the work needs beside the pattern's own features; its
    /// label, if no feature there has one.
    fn hole(&self, it: &Mark, drawing: &mut Drawing) -> Option<Label> {
        let at = self.place.point(it.at);
        let radius = it.diameter.to_mm() / 2.0;
        match it.is {
            // Drawn as the feature that it is.
            MarkKind::HangingHole | MarkKind::Through | MarkKind::Pocket => None,
            MarkKind::Pilot => {
                drawing.circle(at, it.diameter, Line::Hidden);
                drawing.middle_cross(at, radius + 2.5, Angle::ZERO);
                None
            }
            MarkKind::Corner | MarkKind::Start => {
                drawing.circle(at, it.diameter, Line::Rim);
                drawing.middle_cross(at, radius + 3.0, Angle::ZERO);
                let text = format!("drill {}", self.brief.units().length(it.diameter));
                Some(Label::new(drawing.on_paper(Point::new(at.x, at.y - radius - 5.0)), text))
            }
        }
    }

    /// Draws a feature; its label, if it has one.
    fn feature(&self, it: &Feature, drawing: &mut Drawing) -> Option<Label> {
        let units = self.brief.units();
        match &it.kind {
            FeatureKind::Stem { axis, .. } => {
                drawing.segment(self.place.segment(*axis), Line::Middle);
                None
            }
            FeatureKind::FoodArea { area } => {
                let area = self.place.ring(area);
                drawing.ring(&area, Line::Area);
                Some(top_label(drawing, &area, "food touches here".to_owned()))
            }
            FeatureKind::LiveEdge { area } => {
                let area = self.place.ring(area);
                drawing.ring(&area, Line::Area);
                Some(top_label(drawing, &area, "leave the wood's own edge here".to_owned()))
            }
            FeatureKind::Hollow { area, depth, wall } => {
                let area = self.place.ring(area);
                drawing.ring(&area, Line::Rim);
                let words = format!("hollow {} deep, walls {:.0}°", units.length(*depth), wall.to_degrees());
                Some(top_label(drawing, &area, words))
            }
            FeatureKind::HangingHole { at, diameter } => {
                let at = self.place.point(*at);
                drawing.circle(at, *diameter, Line::Cut);
                drawing.middle_cross(at, diameter.to_mm() / 2.0 + 4.0, Angle::ZERO);
                let below = Point::new(at.x, at.y - diameter.to_mm() / 2.0 - 6.5);
                let text = format!("hole {}", units.length(*diameter));
                Some(Label::new(drawing.on_paper(below), text))
            }
            FeatureKind::FootSeat { at, along, length, width, .. } => {
                Some(self.bar("foot", (*at, *along), (*length, *width), drawing))
            }
            FeatureKind::Batten { at, along, length, width, .. } => {
                Some(self.bar("batten", (*at, *along), (*length, *width), drawing))
            }
            FeatureKind::Handle { at, along, apart, screw } => {
                let (half, sin, cos) = (apart.to_mm() / 2.0, along.sin(), along.cos());
                let ends = [-half, half].map(|it| Point::new(at.x + it * cos, at.y + it * sin));
                for end in ends {
                    let end = self.place.point(end);
                    drawing.circle(end, *screw, Line::Rim);
                    drawing.middle_cross(end, screw.to_mm() / 2.0 + 4.0, self.place.direction(*along));
                }
                let at = self.place.point(*at);
                let text = format!("handle, holes {} apart", units.length(*apart));
                Some(Label::new(drawing.on_paper(Point::new(at.x, at.y - 6.5)), text))
            }
            FeatureKind::Pocket { at, diameter, depth, .. } => {
                let at = self.place.point(*at);
                drawing.circle(at, *diameter, Line::Hidden);
                drawing.middle_cross(at, diameter.to_mm() / 2.0 + 3.0, Angle::ZERO);
                let below = Point::new(at.x, at.y - diameter.to_mm() / 2.0 - 6.5);
                let (wide, deep) = (units.length(*diameter), units.length(*depth));
                let text = format!("pocket {wide}, {deep} deep, underside");
                Some(Label::new(drawing.on_paper(below), text))
            }
        }
    }

    /// Draws a foot or batten, which lies on the underside; its label.
    fn bar(
        &self,
        what: &str,
        (at, along): (Point, Angle),
        (length, width): (Length, Length),
        drawing: &mut Drawing,
    ) -> Label {
        let units = self.brief.units();
        let (at, along) = (self.place.point(at), self.place.direction(along));
        if let Ok(bar) = Ring::rectangle(length, width) {
            let start = Point::new(-length.to_mm() / 2.0, -width.to_mm() / 2.0);
            let middle = Place { at: start, ..Place::default() }.ring(&bar);
            drawing.ring(&Place { at, turn: along, mirrored: false }.ring(&middle), Line::Hidden);
        }
        drawing.middle_cross(at, 5.0, along);
        let text = format!("{what} {} by {}, underside", units.length(length), units.length(width));
        Label::new(drawing.on_paper(Point::new(at.x, at.y - 9.0)), text)
    }
}

/// Whether a shape's line passes through a window: it is neither all inside
/// the shape nor all outside.
fn passes(outline: &Outline, window: Bounds) -> bool {
    let Ok(frame) = Ring::rectangle(window.width(), window.height()) else { return true };
    let seen = Outline::from(Place { at: window.low, ..Place::default() }.ring(&frame));
    let inside = outline.overlap_area(&seen).to_m2();
    inside > WHOLE && seen.area().to_m2() - inside > WHOLE
}

/// Less than this of a window, in square metres, is rounding.
const WHOLE: f64 = 1e-8;

/// Words inside an area, below its upper end and left of its middle.
fn top_label(drawing: &Drawing, area: &Ring, text: String) -> Label {
    let bounds = area.bounds();
    let drop = (bounds.height().to_mm() / 4.0).min(8.0);
    let x = bounds.low.x + bounds.width().to_mm() * 0.38;
    Label::new(drawing.on_paper(Point::new(x, bounds.high.y - drop)), text)
}

/// The grain's mark: long, beside the middle line of the shape.
fn grain_mark(outline: &Outline, direction: Angle) -> Segment {
    let (middle, bounds) = (outline.outer().centroid(), outline.bounds());
    let reach = |size: f64, share: f64| if share.abs() < 1e-9 { f64::INFINITY } else { size / share.abs() };
    let chord =
        reach(bounds.width().to_mm(), direction.cos()).min(reach(bounds.height().to_mm(), direction.sin()));
    let half = chord * GRAIN_SHARE / 2.0;
    let aside = bounds.width().min(bounds.height()).to_mm() * GRAIN_ASIDE;
    let middle = Point::new(middle.x - direction.sin() * aside, middle.y + direction.cos() * aside);
    let (dx, dy) = (direction.cos() * half, direction.sin() * half);
    Segment { from: Point::new(middle.x - dx, middle.y - dy), to: Point::new(middle.x + dx, middle.y + dy) }
}

/// How much of the shape's length the grain's mark takes.
const GRAIN_SHARE: f64 = 0.45;
/// How far beside the middle it lies, as a share of the shape's width, so that
/// it does not cover a middle line.
const GRAIN_ASIDE: f64 = 0.14;
/// Where along the mark its word stands.
const GRAIN_WORD: f64 = 0.3;

/// Moves labels down until none lies over an earlier one.
fn settle(labels: &mut [Label]) {
    for index in 0..labels.len() {
        let (earlier, rest) = labels.split_at_mut(index);
        let label = &mut rest[0];
        let near = |it: &&Label, at: [f64; 2]| {
            (it.at[1] - at[1]).abs() < LABEL_APART && (it.at[0] - at[0]).abs() < LABEL_REACH
        };
        while let Some(other) = earlier.iter().find(|it| near(it, label.at)) {
            label.at[1] = other.at[1] + LABEL_APART;
        }
    }
}

/// Labels whose middles are farther apart than this do not meet.
const LABEL_REACH: f64 = 60.0;
