//! What is known of a photograph, as marks on it: the form in which anybody
//! can write down the truth of a picture of their own.

use measure::Problem;
use outline::{Point, Ring};
use serde::{Deserialize, Serialize};
use stock::{Tag, ZoneKind};

use crate::noise::Dice;
use crate::paper::{LaidSheet, Printed};
use crate::shot::{Shot, Subject};
use crate::slab::Slab;

/// The truth beside a photograph `NAME.jpg`, kept as `NAME.truth.json`.
///
/// Places are pixels of the picture as it stands upright, counted from its upper
/// left corner, x right and y down: the middle of the first pixel is 0.5, 0.5.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Marks {
    /// The wood's thickness as it was read off a rule, in millimetres.
    pub thickness_mm: f64,
    /// Where the scale sheets lie.
    pub sheets: SheetsMark,
    /// The sheets' 200 mm line as it was read off a rule, if it was.
    #[serde(default)]
    pub check_line_mm: Option<f64>,
    /// What wood it is: the figures are told for each, and for pale and dark.
    pub wood: String,
    /// Whether the wood is so dark that its knots are hardly darker.
    #[serde(default)]
    pub dark: bool,
    /// Coded squares of the sheets: where their corners truly are.
    #[serde(default)]
    pub tags: Vec<TagMark>,
    /// Lengths on the wood's top face.
    #[serde(default)]
    pub lengths: Vec<LengthMark>,
    /// The edge of the wood on its top face, without bark.
    #[serde(default)]
    pub wood_line_px: Vec<[f64; 2]>,
    /// Directions of the fibres.
    #[serde(default)]
    pub fibres: Vec<FibreMark>,
    /// What is not clear wood.
    #[serde(default)]
    pub faults: Vec<FaultMark>,
}

/// Where the scale sheets lie.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum SheetsMark {
    /// On the wood.
    OnTop,
    /// On what the wood lies on.
    OnBench,
}

/// A coded square.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct TagMark {
    /// Its number in the code family.
    pub id: u16,
    /// Upper left, upper right, lower right, lower left as printed.
    pub corners_px: [[f64; 2]; 4],
}

/// A length that was measured on the wood.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct LengthMark {
    /// One end.
    pub from_px: [f64; 2],
    /// The other.
    pub to_px: [f64; 2],
    /// From one to the other, in millimetres.
    pub mm: f64,
}

/// The direction of the fibres at a place.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct FibreMark {
    /// Where.
    pub at_px: [f64; 2],
    /// Another place along the same fibre, not far off.
    pub toward_px: [f64; 2],
}

/// A fault on the top face.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct FaultMark {
    /// What it is.
    pub kind: ZoneKind,
    /// Its rim.
    pub ring_px: Vec<[f64; 2]>,
    /// How wide it is at its widest, in millimetres; counts for checks.
    pub wide_mm: f64,
    /// How long it is, in millimetres.
    pub long_mm: f64,
}

/// How many lengths are marked on a picture.
const LENGTHS: usize = 12;
/// The shortest, and the longest, in millimetres.
const SPAN: [f64; 2] = [60.0, 1200.0];
/// Fibres are marked every so many millimetres, at so many millimetres from the edge.
const FIBRE_EVERY: f64 = 16.0;
const FIBRE_CLEAR: f64 = 12.0;

/// How well a maker reads a rule: spreads in millimetres, for the thickness of a
/// rough slab and for the sheets' line. Common practice, no source.
const THICKNESS_READ: f64 = 0.4;
const LINE_READ: f64 = 0.1;

impl Marks {
    /// What is known of a shot of a slab.
    ///
    /// # Errors
    /// The shot is of something else.
    pub fn of(shot: &Shot) -> Result<Marks, Problem> {
        let Subject::Slab(slab) = &shot.subject else {
            return Err(Problem::new("only slabs are marked"));
        };
        let marker = Marker { shot, slab, sheets: shot.printed() };
        let look = slab.ask().look;
        let mut reading = Dice::new(slab.ask().seed ^ 0x0a11);
        let printed = shot.sheets.first().map(|it| stock::ScaleSheet::CHECK_LINE.to_mm() * it.paper.scale);
        Ok(Marks {
            thickness_mm: slab.ask().thickness.to_mm() + reading.bell(THICKNESS_READ),
            sheets: if shot.sheets_level.to_mm() > 0.0 { SheetsMark::OnTop } else { SheetsMark::OnBench },
            check_line_mm: printed.map(|it| it + reading.bell(LINE_READ)),
            wood: format!("{look:?}").to_lowercase(),
            dark: look.is_dark(),
            tags: marker.tags(),
            lengths: marker.lengths(),
            wood_line_px: marker.ring(slab.wood_line()),
            fibres: marker.fibres(),
            faults: marker.faults(),
        })
    }
}

/// Draws marks on a shot's picture.
struct Marker<'a> {
    shot: &'a Shot,
    slab: &'a Slab,
    sheets: Vec<Printed>,
}

impl Marker<'_> {
    fn pixel(&self, at: Point) -> Option<[f64; 2]> {
        self.shot.camera.project(self.slab.on_top(at))
    }

    /// Whether a place of the top face is in the picture and not under a sheet.
    fn shows(&self, at: Point) -> bool {
        let sees = self.pixel(at).is_some_and(|it| self.shot.camera.sees(it, 2.0));
        let covered = |it: &Printed| it.level() > 0.0 && it.inside(at.x, at.y, 0.0) > 0.0;
        sees && !self.sheets.iter().any(covered)
    }

    fn ring(&self, ring: &Ring) -> Vec<[f64; 2]> {
        ring.corners().iter().filter_map(|&it| self.pixel(it)).collect()
    }

    /// Tags whose corners are all in the picture.
    fn tags(&self) -> Vec<TagMark> {
        let camera = &self.shot.camera;
        let corner = |sheet: &Printed, at: Point| {
            camera.project(sheet.in_world(at)).filter(|&it| camera.sees(it, 2.0))
        };
        let of = |(laid, sheet): (&LaidSheet, &Printed)| {
            let tag = |tag: Tag| {
                let [a, b, c, d] = tag.corners().map(|it| corner(sheet, it));
                Some(TagMark { id: tag.id, corners_px: [a?, b?, c?, d?] })
            };
            laid.sheet.tags().filter_map(tag).collect::<Vec<_>>()
        };
        self.shot.sheets.iter().zip(&self.sheets).flat_map(of).collect()
    }

    fn lengths(&self) -> Vec<LengthMark> {
        let bounds = self.slab.wood_line().bounds();
        let mut dice = Dice::new(self.slab.ask().seed ^ 0x5eed);
        let mut lengths = Vec::new();
        let mut place = || {
            Point::new(dice.between(bounds.low.x, bounds.high.x), dice.between(bounds.low.y, bounds.high.y))
        };
        for _ in 0..4000 {
            let (from, to) = (place(), place());
            let mm = apart(self.slab.on_top(from), self.slab.on_top(to));
            let on = [from, to].iter().all(|&it| self.slab.wood_line().contains(it));
            if !on || !(SPAN[0]..=SPAN[1]).contains(&mm) {
                continue;
            }
            let ends = self.pixel(from).zip(self.pixel(to));
            lengths.extend(ends.map(|(from_px, to_px)| LengthMark { from_px, to_px, mm }));
            if lengths.len() == LENGTHS {
                break;
            }
        }
        lengths
    }

    fn fibres(&self) -> Vec<FibreMark> {
        let bounds = self.slab.wood_line().bounds();
        let count = |size: f64| (size / FIBRE_EVERY) as usize;
        let (columns, rows) = (count(bounds.width().to_mm()), count(bounds.height().to_mm()));
        let places = (0..rows).flat_map(|row| (0..columns).map(move |column| (column as f64, row as f64)));
        let places = places.map(|(x, y)| {
            Point::new(bounds.low.x + (x + 0.5) * FIBRE_EVERY, bounds.low.y + (y + 0.5) * FIBRE_EVERY)
        });
        let clear = |at: &Point| {
            self.slab.wood_line().contains(*at)
                && self.slab.wood_line().distance(*at).to_mm() > FIBRE_CLEAR
                && self.slab.knots().iter().all(|it| !it.ring.contains(*at))
                && self.slab.wane().is_none_or(|it| !it.contains(*at))
                && self.shows(*at)
        };
        let mark = |at: Point| {
            let along = self.slab.fibre_at(at);
            let toward = Point::new(at.x + 4.0 * along.cos(), at.y + 4.0 * along.sin());
            Some(FibreMark { at_px: self.pixel(at)?, toward_px: self.pixel(toward)? })
        };
        places.filter(clear).filter_map(mark).collect()
    }

    fn faults(&self) -> Vec<FaultMark> {
        let knots = self.slab.knots().iter().map(|it| (ZoneKind::Knot, &it.ring));
        let checks = self.slab.checks().iter().map(|it| (ZoneKind::Check, it));
        let stains = self.slab.stains().map(|it| (ZoneKind::Stain, it));
        let worms = self.slab.worms().iter().map(|it| (ZoneKind::Worm, it));
        let wane = self.slab.wane().map(|it| (ZoneKind::Wane, it));
        let seen = |ring: &Ring| ring.corners().iter().all(|&it| self.shows(it));
        knots
            .chain(checks)
            .chain(stains)
            .chain(worms)
            .chain(wane)
            .filter(|(_, ring)| seen(ring))
            .map(|(kind, ring)| {
                let long_mm = ring.bounds().width().to_mm().max(ring.bounds().height().to_mm());
                let wide_mm = ring.area().to_mm2() / long_mm;
                FaultMark { kind, ring_px: self.ring(ring), wide_mm, long_mm }
            })
            .collect()
    }
}

fn apart(from: [f64; 3], to: [f64; 3]) -> f64 {
    (0..3).map(|it| (to[it] - from[it]).powi(2)).sum::<f64>().sqrt()
}
