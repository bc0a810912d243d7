//! Each used face with the parts that lie on it.

use std::collections::{BTreeMap, BTreeSet};

use measure::{Length, System};
use outline::{Bounds, Outline, Point, Ring, Segment};
use plan::Plan;
use serde::Serialize;
use stock::{Brief, Face, FaceKey, PictureId, ZoneKind};

use crate::drawing::{Drawing, Line};
use crate::picture;

/// One face; millimetres of paper from the drawing's upper left, y down.
#[derive(Serialize)]
pub(crate) struct Wood {
    name: String,
    facts: Vec<String>,
    landscape: bool,
    size: [f64; 2],
    photo: Option<Photo>,
    drawing: String,
    badges: Vec<Badge>,
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
/// The highest that a drawing gets, on a page that lies and on one that stands.
const HIGH_LYING: f64 = 104.0;
const HIGH_STANDING: f64 = 150.0;
/// Drawn beyond the outline, in millimetres of paper.
const AROUND: f64 = 3.0;
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
        let landscape = bounds.width() > bounds.height();
        let scale = self.scale(bounds, landscape);
        let around = AROUND / scale;
        let window = Bounds {
            low: Point::new(bounds.low.x - around, bounds.low.y - around),
            high: Point::new(bounds.high.x + around, bounds.high.y + around),
        };
        let mut drawing = Drawing::new(window, scale);
        let photo = self.photo(picture, &drawing, window, files);
        let (badges, lies) = self.draw(&mut drawing, photo.is_some());
        let size = drawing.size();
        let name = format!("/face{}.svg", self.index);
        files.insert(name.clone(), drawing.finish().into_bytes());
        Wood {
            name: self.brief.face_name(self.key),
            facts: self.facts(photo.is_some()),
            landscape,
            size,
            photo,
            drawing: name,
            badges,
            zones: self.zones(files),
            offcuts: self.offcuts().count(),
            bar: self.bar(scale),
            scale: format!("1 : {:.1}", 1.0 / scale),
            lies,
        }
    }

    fn scale(&self, bounds: Bounds, landscape: bool) -> f64 {
        let (short, long) = self.brief.kit.paper.size();
        let (across, high) = if landscape { (long, HIGH_LYING) } else { (short, HIGH_STANDING) };
        let room = across.to_mm() - 2.0 * MARGIN - 2.0 * AROUND;
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
                        format!("moisture {} on {}", handbook::percent(it.moisture), crate::words::day(it.on))
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
        if let FaceKey::Panel(id) = self.key
            && let Ok(panel) = self.brief.panel(id)
        {
            for from in panel.glue_lines() {
                let to = Point::new(from.x + panel.length.to_mm(), from.y);
                drawing.segment(Segment { from, to }, Line::Seam);
            }
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
        self.grain(drawing, &lying);
        let mut badges = Vec::new();
        let mut lines = Vec::new();
        for (outline, line) in lying {
            drawing.outline_on_picture(outline, Line::Cut);
            let middle = outline.outer().centroid();
            badges.push(Badge { at: drawing.on_paper(middle), text: line.badge.clone() });
            lines.push(line);
        }
        (badges, lines)
    }

    /// Parts and strips on this face, numbered.
    fn lying(&self) -> Vec<(&Outline, LieLine)> {
        let units = self.brief.units();
        let parts = self.plan.layout.placements.iter().filter(|it| it.face == self.key).map(|it| {
            let own = self.brief.pattern_of(it.part).map(|pattern| pattern.outline.bounds());
            let size = own.map_or_else(
                |_| String::new(),
                |own| {
                    crate::words::unbroken(&units.length(own.width()))
                        + " × "
                        + &crate::words::unbroken(&units.length(own.height()))
                },
            );
            let notes = [it.pinned.then_some("placed by hand"), it.place.mirrored.then_some("mirrored")];
            let note = notes.into_iter().flatten().collect::<Vec<_>>().join(", ");
            let turn = format!("{:.1}°", it.place.turn.to_degrees().rem_euclid(360.0));
            (
                &it.outline,
                LieLine { badge: String::new(), name: self.brief.part_name(it.part), size, turn, note },
            )
        });
        let strips =
            self.plan.layout.strips.iter().filter(|it| FaceKey::Piece(it.piece) == self.key).map(|it| {
                let panel = self.brief.face_name(FaceKey::Panel(it.strip.panel));
                let own = it.outline.bounds();
                let size = format!("{} × {}", units.length(own.width()), units.length(own.height()));
                let name = format!("strip {} for {panel}", it.strip.strip);
                let (turn, note) = (String::new(), "rough size".to_owned());
                (&it.outline, LieLine { badge: String::new(), name, size, turn, note })
            });
        let mut out: Vec<(&Outline, LieLine)> = parts.chain(strips).collect();
        for (index, (_, line)) in out.iter_mut().enumerate() {
            line.badge = (index + 1).to_string();
        }
        out
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

fn sample(kind: ZoneKind) -> String {
    let area = Ring::rectangle(SWATCH.0, SWATCH.1).expect("a sample has sides");
    let mut drawing = Drawing::new(area.bounds(), 1.0);
    drawing.zone(&area, kind);
    drawing.finish()
}
