//! Each used face with the parts that lie on it.

use std::collections::{BTreeMap, BTreeSet};

use measure::{Length, System};
use outline::{Bounds, Outline, Point, Ring, Segment};
use plan::Plan;
use serde::Serialize;
use stock::{Brief, Face, FaceKey, Panel, PictureId, Placement, ZoneKind};

use crate::drawing::{Drawing, Line};
use crate::flag::{self, Flag};
use crate::picture;
use crate::strips::{self, StripWords};
use crate::words;

/// One face; millimetres of paper from the drawing's upper left, y down.
#[derive(Serialize)]
pub(crate) struct Wood {
    name: String,
    facts: Vec<String>,
    size: [f64; 2],
    photo: Option<Photo>,
    drawing: String,
    badges: Vec<Badge>,
    flags: Vec<Flag>,
    strips: Vec<StripWords>,
    zones: Vec<ZoneLine>,
    offcuts: usize,
    bar: Bar,
    scale: String,
    lies: Vec<LieLine>,
}

#[derive(Serialize)]
struct Photo {
    path: String,
    at: [f64; 2],
    size: [f64; 2],
}

/// A number on the drawing that the table below explains.
#[derive(Serialize)]
struct Badge {
    at: [f64; 2],
    text: String,
}

#[derive(Serialize)]
struct ZoneLine {
    word: &'static str,
    sound: bool,
    swatch: String,
    notes: Vec<String>,
}

#[derive(Serialize)]
struct Bar {
    length: f64,
    label: String,
}

/// One part or strip on the face.
#[derive(Serialize)]
struct LieLine {
    badge: String,
    name: String,
    size: String,
    turn: String,
    note: String,
}

/// Millimetres kept free at every edge of a page.
const MARGIN: f64 = 16.0;
/// The highest that a drawing gets: of a panel, of a face that lies, and of one that stands.
const HIGH_PANEL: f64 = 64.0;
const HIGH_LYING: f64 = 92.0;
const HIGH_STANDING: f64 = 150.0;
/// Drawn beyond the outline, in millimetres of paper.
const AROUND: f64 = 3.0;
/// Kept free at both sides of a panel for the words on its strips.
const STRIP_WORDS: f64 = 44.0;
/// No scale bar is longer than this on paper.
const LONGEST_BAR: f64 = 60.0;
/// A zone's sample in the legend.
const SWATCH: (Length, Length) = (Length::mm(9.0), Length::mm(4.5));
/// How large the grain's marks are on paper, and how far they stand apart.
const MARK: f64 = 24.0;
const MARKS_APART: [f64; 2] = [62.0, 42.0];
/// A mark keeps this share of its half length away from a part's number.
const BADGE_SHARE: f64 = 0.35;

/// The drawings of all used faces; drawings and photographs go to `files`.
pub(crate) fn faces(
    brief: &Brief,
    plan: &Plan,
    picture: &dyn Fn(&PictureId) -> Option<Vec<u8>>,
    files: &mut BTreeMap<String, Vec<u8>>,
) -> Vec<Wood> {
    let used = plan.layout.used.iter().map(|&(key, _)| key);
    let known = used.filter_map(|key| Some((key, brief.face(key).ok()?)));
    let known: Vec<(FaceKey, Face)> = known.collect();
    let numbered = known.iter().enumerate();
    numbered
        .map(|(index, (key, face))| Sight { brief, plan, key: *key, face, index }.wood(picture, files))
        .collect()
}

/// One face as it is looked at.
struct Sight<'a> {
    brief: &'a Brief,
    plan: &'a Plan,
    key: FaceKey,
    face: &'a Face,
    index: usize,
}

impl Sight<'_> {
    fn wood(
        &self,
        picture: &dyn Fn(&PictureId) -> Option<Vec<u8>>,
        files: &mut BTreeMap<String, Vec<u8>>,
    ) -> Wood {
        let bounds = self.face.outline.bounds();
        let scale = self.scale(bounds);
        let around = AROUND / scale;
        let window = Bounds {
            low: Point::new(bounds.low.x - around, bounds.low.y - around),
            high: Point::new(bounds.high.x + around, bounds.high.y + around),
        };
        let mut drawing = Drawing::new(window, scale);
        let photo = self.photo(picture, &drawing, window, files);
        let strips = self.strips(&mut drawing, scale);
        let (badges, lies) = self.draw(&mut drawing, photo.is_some());
        let taken: Vec<[f64; 2]> = badges.iter().map(|it| it.at).collect();
        let flags = flag::flags(self.brief, self.plan, self.key, &drawing, &taken);
        let size = drawing.size();
        let name = format!("/face{}.svg", self.index);
        files.insert(name.clone(), drawing.finish().into_bytes());
        Wood {
            name: self.brief.face_name(self.key),
            facts: self.facts(photo.is_some()),
            size,
            photo,
            drawing: name,
            badges,
            flags,
            strips,
            zones: self.zones(files),
            offcuts: self.offcuts().count(),
            bar: self.bar(scale),
            scale: format!("1 : {:.1}", 1.0 / scale),
            lies,
        }
    }

    fn scale(&self, bounds: Bounds) -> f64 {
        let (across, _) = self.brief.kit.paper.size();
        let (words, high) = match self.key {
            FaceKey::Panel(_) => (2.0 * STRIP_WORDS, HIGH_PANEL),
            FaceKey::Piece(_) if bounds.width() > bounds.height() => (0.0, HIGH_LYING),
            FaceKey::Piece(_) => (0.0, HIGH_STANDING),
        };
        let room = across.to_mm() - 2.0 * MARGIN - 2.0 * AROUND - words;
        let fits = (room / bounds.width().to_mm()).min((high - 2.0 * AROUND) / bounds.height().to_mm());
        fits.min(1.0)
    }

    fn facts(&self, pictured: bool) -> Vec<String> {
        let units = self.brief.units();
        let bounds = self.face.outline.bounds();
        let mut out =
            vec![format!("{} long, {} wide", units.length(bounds.width()), units.length(bounds.height()))];
        match self.key {
            FaceKey::Piece(id) => {
                if let Ok(piece) = self.brief.piece(id) {
                    out.push(format!("{} thick", units.length(piece.thickness)));
                    let species = self.brief.facts().wood(&piece.species);
                    out.push(species.map_or_else(|_| "unknown wood".to_owned(), |it| it.name.clone()));
                    out.extend(piece.moisture.map(|it| {
                        format!("moisture {} on {}", handbook::percent(it.moisture), words::day(it.on))
                    }));
                    if !piece.place.is_empty() {
                        out.push(format!("lies: {}", piece.place));
                    }
                }
            }
            FaceKey::Panel(id) => {
                if let Ok(panel) = self.brief.panel(id) {
                    out.push(format!("{} thick when planed", units.length(panel.thickness)));
                    out.push(format!("{} strips, glued up", panel.strips().count()));
                }
            }
        }
        if self.face.doubt > 0.0 {
            out.push(format!("lengths may be off by {:.1} %", self.face.doubt * 100.0));
        }
        if self.face.picture.is_some() && !pictured {
            out.push("the photograph could not be read; drawn without it".to_owned());
        }
        out
    }

    fn photo(
        &self,
        picture: &dyn Fn(&PictureId) -> Option<Vec<u8>>,
        drawing: &Drawing,
        window: Bounds,
        files: &mut BTreeMap<String, Vec<u8>>,
    ) -> Option<Photo> {
        let known = self.face.picture.as_ref()?;
        let print = picture::print(&picture(&known.picture)?, known, window)?;
        let path = format!("/face{}.jpg", self.index);
        files.insert(path.clone(), print.bytes);
        let at = drawing.on_paper(Point::new(print.area.low.x, print.area.high.y));
        let [right, low] = drawing.on_paper(Point::new(print.area.high.x, print.area.low.y));
        Some(Photo { path, at, size: [right - at[0], low - at[1]] })
    }

    fn draw(&self, drawing: &mut Drawing, pictured: bool) -> (Vec<Badge>, Vec<LieLine>) {
        if pictured {
            drawing.outline_on_picture(&self.face.outline, Line::Wood);
        } else {
            drawing.outline(&self.face.outline, Line::Wood);
        }
        for offcut in self.offcuts() {
            drawing.outline_on_picture(offcut, Line::Offcut);
        }
        let lying = self.lying();
        for (outline, _) in &lying {
            drawing.veil(outline, if pictured { 0.32 } else { 0.0 });
        }
        for zone in &self.face.zones {
            drawing.zone(&zone.area, zone.kind);
        }
        if self.panel().is_none() {
            self.grain(drawing, &lying);
        }
        let mut badges = Vec::new();
        let mut lines = Vec::new();
        for (outline, line) in lying {
            drawing.outline_on_picture(outline, Line::Cut);
            let middle = outline.outer().centroid();
            badges.push(Badge { at: drawing.on_paper(middle), text: line.badge.clone() });
            lines.push(line);
        }
        (badges, drawn_together(lines))
    }

    fn panel(&self) -> Option<&Panel> {
        match self.key {
            FaceKey::Panel(id) => self.brief.panel(id).ok(),
            FaceKey::Piece(_) => None,
        }
    }

    fn strips(&self, drawing: &mut Drawing, scale: f64) -> Vec<StripWords> {
        self.panel().map(|panel| strips::draw(self.brief, panel, drawing, scale)).unwrap_or_default()
    }

    /// Parts and strips on this face, with their numbers.
    fn lying(&self) -> Vec<(&Outline, LieLine)> {
        let placements = self.plan.layout.placements.iter().filter(|it| it.face == self.key);
        let parts = placements.map(|it| (&it.outline, self.part_line(it)));
        let laid = self.plan.layout.strips.iter().filter(|it| FaceKey::Piece(it.piece) == self.key);
        let strips = laid.map(|it| {
            let line = LieLine {
                badge: words::strip_number(self.brief, it.strip),
                name: format!("strip for {}", self.brief.face_name(FaceKey::Panel(it.strip.panel))),
                size: self.size(it.outline.bounds()),
                turn: String::new(),
                note: "rough size".to_owned(),
            };
            (&it.outline, line)
        });
        parts.chain(strips).collect()
    }

    fn part_line(&self, it: &Placement) -> LieLine {
        let own = self.brief.pattern_of(it.part).map(|pattern| self.size(pattern.outline.bounds()));
        let notes = [it.pinned.then_some("placed by hand"), it.place.mirrored.then_some("mirrored")];
        let tenths = (it.place.turn.to_degrees() * 10.0).round().rem_euclid(3600.0).abs();
        LieLine {
            badge: words::part_number(self.brief, it.part),
            name: self.brief.part_name(it.part),
            size: own.unwrap_or_default(),
            turn: format!("{:.1}°", tenths / 10.0),
            note: notes.into_iter().flatten().collect::<Vec<_>>().join(", "),
        }
    }

    fn size(&self, own: Bounds) -> String {
        let [long, wide] =
            [own.width(), own.height()].map(|it| words::unbroken(&self.brief.units().length(it)));
        format!("{long} × {wide}")
    }

    fn offcuts(&self) -> impl Iterator<Item = &Outline> {
        self.plan.layout.offcuts.iter().filter(|it| it.face == self.key).map(|it| &it.outline)
    }

    /// Long double-headed marks along the grain, evenly over the face.
    fn grain(&self, drawing: &mut Drawing, lying: &[(&Outline, LieLine)]) {
        let bounds = self.face.outline.bounds();
        let [width, height] = drawing.size();
        let columns = (width / MARKS_APART[0]).round().clamp(1.0, 6.0) as usize;
        let rows = (height / MARKS_APART[1]).round().clamp(1.0, 6.0) as usize;
        let half = MARK / 2.0 * bounds.width().to_mm() / width;
        for row in 0..rows {
            for column in 0..columns {
                let share = |index: usize, count: usize| (index as f64 + 0.5) / count as f64;
                let at = Point::new(
                    bounds.low.x + bounds.width().to_mm() * share(column, columns),
                    bounds.low.y + bounds.height().to_mm() * share(row, rows),
                );
                let direction = self.face.grain.at(at);
                let (dx, dy) = (direction.cos() * half, direction.sin() * half);
                let mark =
                    Segment { from: Point::new(at.x - dx, at.y - dy), to: Point::new(at.x + dx, at.y + dy) };
                let covers = |(outline, _): &(&Outline, LieLine)| {
                    mark.distance(outline.outer().centroid()).to_mm() < half * BADGE_SHARE
                };
                let inside = self.face.outline.contains(mark.from) && self.face.outline.contains(mark.to);
                if inside && !lying.iter().any(covers) {
                    drawing.grain(mark);
                }
            }
        }
    }

    /// The kinds of zone on this face, with a sample of each.
    fn zones(&self, files: &mut BTreeMap<String, Vec<u8>>) -> Vec<ZoneLine> {
        let kinds: BTreeSet<ZoneKind> = self.face.zones.iter().map(|zone| zone.kind).collect();
        let line = |kind: ZoneKind| {
            let swatch = format!("/zone{}.svg", kind as u8);
            let mine = self.face.zones.iter().filter(|zone| zone.kind == kind && !zone.note.is_empty());
            let notes = mine.map(|zone| zone.note.clone()).collect();
            files.insert(swatch.clone(), sample(kind).into_bytes());
            ZoneLine { word: kind.word(), sound: kind.is_sound(), swatch, notes }
        };
        kinds.into_iter().map(line).collect()
    }

    /// The longest round length that the bar has room for.
    fn bar(&self, scale: f64) -> Bar {
        let units = self.brief.units();
        let round: Vec<Length> = match units.system {
            System::Inches => [1.0, 2.0, 4.0, 6.0, 12.0, 24.0].map(Length::inches).to_vec(),
            System::Millimetres => [20.0, 50.0, 100.0, 200.0, 500.0, 1000.0].map(Length::mm).to_vec(),
        };
        let fits = round.iter().rev().find(|it| it.to_mm() * scale <= LONGEST_BAR);
        let length = *fits.unwrap_or(&round[0]);
        Bar { length: length.to_mm() * scale, label: units.length(length) }
    }
}

/// Lines that differ in their numbers alone become one.
fn drawn_together(lines: Vec<LieLine>) -> Vec<LieLine> {
    let mut out: Vec<LieLine> = Vec::new();
    for line in lines {
        match out.iter_mut().find(|it| it.name == line.name && it.size == line.size) {
            Some(known) => known.badge = format!("{}, {}", known.badge, line.badge),
            None => out.push(line),
        }
    }
    out
}

fn sample(kind: ZoneKind) -> String {
    let area = Ring::rectangle(SWATCH.0, SWATCH.1).expect("a sample has sides");
    let mut drawing = Drawing::new(area.bounds(), 1.0);
    drawing.zone(&area, kind);
    drawing.finish()
}
