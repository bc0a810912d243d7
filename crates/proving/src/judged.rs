//! One photograph's measuring, judged by its truth.

use std::fmt;
use std::fs;
use std::path::Path;
use std::time::Instant;

use measure::{Length, Problem};
use outline::{Outline, Point, Ring};
use photo::{Pixel, SheetsLie, Survey, SurveyAsk, read_picture, survey};
use scene::marks::{FaultMark, Marks, SheetsMark};
use stock::ZoneKind;

/// What one photograph's measuring came to.
#[derive(Default)]
pub(crate) struct Judged {
    name: String,
    wood: String,
    /// Whether the wood is so dark that its knots are hardly darker.
    pub(crate) dark: bool,
    /// Whether two sheets or more were read.
    pub(crate) two: bool,
    /// Whether the sheets lie on the wood.
    pub(crate) on_top: bool,
    /// From the file's bytes to the face with everything.
    pub(crate) seconds: f64,
    pub(crate) lengths: Vec<MeasuredLength>,
    /// Common area of the wood found and the true wood, over their union.
    pub(crate) iou: f64,
    /// From places on the edge that was found to the true edge, in millimetres.
    pub(crate) edge: Vec<f64>,
    /// How far off the fibres' direction is, in degrees: everywhere, and within
    /// [`NEAR_KNOT`] of a knot.
    pub(crate) grain: Vec<f64>,
    pub(crate) near_knots: Vec<f64>,
    /// Whether each knot, and each check that counts, was found.
    pub(crate) knots: Vec<bool>,
    pub(crate) checks: Vec<bool>,
    /// Candidates where no fault is.
    pub(crate) wrong: usize,
    /// Why nothing could be measured.
    pub(crate) refused: Option<String>,
}

/// One length against its truth, as shares of the true length.
pub(crate) struct MeasuredLength {
    pub(crate) off: f64,
    /// What it was said to be off by at most, nineteen times in twenty.
    pub(crate) doubt: f64,
}

const NEAR_KNOT: Length = Length::mm(20.0);
/// Places on an edge are this far apart.
const EDGE_STEP: f64 = 2.0;
/// Checks narrower or shorter than this do not count.
const CHECK_WIDE_MM: f64 = 0.8;
const CHECK_LONG_MM: f64 = 25.0;
/// A candidate may lie this far beside its fault.
const BESIDE: Length = Length::mm(3.0);
/// A check is found if this share of its length is.
const CHECK_SHARE: f64 = 0.5;

/// Measures one photograph and judges it by `NAME.truth.json` beside it.
///
/// # Errors
/// A file cannot be read, or the truth has another form than [`Marks`].
pub(crate) fn judged(picture: &Path) -> Result<Judged, Problem> {
    let Measured { found, marks, seconds } = measured(picture)?;
    let name = picture.file_stem().map(|it| it.to_string_lossy().into_owned()).unwrap_or_default();
    let told = Judged { name, seconds, wood: marks.wood.clone(), dark: marks.dark, ..Judged::default() };
    Ok(match found {
        Ok(found) => judge(told, &found, &marks),
        Err(problem) => Judged { refused: Some(problem.message), ..told },
    })
}

/// One photograph, measured.
pub(crate) struct Measured {
    pub(crate) found: Result<Survey, Problem>,
    pub(crate) marks: Marks,
    pub(crate) seconds: f64,
}

/// Measures one photograph as a maker would, with what its truth says of rule readings.
///
/// # Errors
/// As [`judged`].
pub(crate) fn measured(picture: &Path) -> Result<Measured, Problem> {
    let trouble = |it: String| Problem::new(format!("{}: {it}", picture.display()));
    let bytes = fs::read(picture).map_err(|it| trouble(it.to_string()))?;
    let truth = fs::read(picture.with_extension("truth.json")).map_err(|it| trouble(it.to_string()))?;
    let marks: Marks = serde_json::from_slice(&truth).map_err(|it| trouble(it.to_string()))?;
    let ask = SurveyAsk {
        thickness: Length::mm(marks.thickness_mm),
        sheets: match marks.sheets {
            SheetsMark::OnTop => SheetsLie::OnTop,
            SheetsMark::OnBench => SheetsLie::OnBench,
        },
        check_line: marks.check_line_mm.map(Length::mm),
        known: Vec::new(),
        keenness: stock::Keenness::default(),
    };
    let begun = Instant::now();
    let found = read_picture(&bytes).and_then(|it| survey(&it, &ask, &|_, _| (), &|| false));
    Ok(Measured { found, marks, seconds: begun.elapsed().as_secs_f64() })
}

/// Where the truth's faults lie on the face that was found.
pub(crate) fn true_faults<'a>(found: &Survey, marks: &'a Marks) -> Vec<(&'a FaultMark, Ring)> {
    let place = |px: &[f64; 2]| found.place_at(Pixel::new(px[0], px[1]));
    let ring = |px: &[[f64; 2]]| Ring::new(px.iter().filter_map(place).collect()).ok();
    marks.faults.iter().filter_map(|it| Some((it, ring(&it.ring_px)?))).collect()
}

fn judge(told: Judged, found: &Survey, marks: &Marks) -> Judged {
    let place = |px: &[f64; 2]| found.place_at(Pixel::new(px[0], px[1]));
    let ring = |px: &[[f64; 2]]| Ring::new(px.iter().filter_map(place).collect()).ok();
    let lengths = marks.lengths.iter().filter_map(|it| {
        let (from, to) = (place(&it.from_px)?, place(&it.to_px)?);
        let off = from.distance(to).to_mm() / it.mm - 1.0;
        Some(MeasuredLength { off, doubt: found.doubt_of(from, to).to_mm() / it.mm })
    });
    let (iou, edge) = ring(&marks.wood_line_px).map(|it| edges(&found.outline, &it)).unwrap_or_default();
    let faults = true_faults(found, marks);
    let knots: Vec<&Ring> = of_kind(&faults, ZoneKind::Knot).map(|it| &it.1).collect();
    let (grain, near_knots) = directions(found, marks, &knots, &place);
    let checks = of_kind(&faults, ZoneKind::Check)
        .filter(|(it, _)| it.wide_mm > CHECK_WIDE_MM && it.long_mm > CHECK_LONG_MM);
    Judged {
        two: found.sheets_read > 1,
        on_top: marks.sheets == SheetsMark::OnTop,
        lengths: lengths.collect(),
        iou,
        edge,
        grain,
        near_knots,
        knots: knots.iter().map(|it| knot_is_found(found, it)).collect(),
        checks: checks.map(|(_, it)| check_is_found(found, it)).collect(),
        wrong: wrong_candidates(found, &faults),
        ..told
    }
}

fn of_kind<'a>(
    faults: &'a [(&'a FaultMark, Ring)],
    kind: ZoneKind,
) -> impl Iterator<Item = &'a (&'a FaultMark, Ring)> {
    faults.iter().filter(move |it| it.0.kind == kind)
}

/// Common area over union, and how far the edge found is from the true one.
fn edges(found: &Outline, truth: &Ring) -> (f64, Vec<f64>) {
    let whole = Outline::from(truth.clone());
    let common = found.overlap_area(&whole).to_mm2();
    let union = found.area().to_mm2() + whole.area().to_mm2() - common;
    let places = found.outer().edges().flat_map(|edge| {
        let count = (edge.length().to_mm() / EDGE_STEP).ceil().max(1.0);
        (0..count as usize).map(move |it| edge.from.toward(edge.to, it as f64 / count))
    });
    (common / union, places.map(|it| truth.distance(it).to_mm()).collect())
}

fn directions(
    found: &Survey,
    marks: &Marks,
    knots: &[&Ring],
    place: &dyn Fn(&[f64; 2]) -> Option<Point>,
) -> (Vec<f64>, Vec<f64>) {
    let (mut all, mut near) = (Vec::new(), Vec::new());
    for fibre in &marks.fibres {
        let Some((at, toward)) = place(&fibre.at_px).zip(place(&fibre.toward_px)) else { continue };
        let off = found.grain.at(at).between_lines(at.direction(toward)).to_degrees();
        all.push(off);
        if knots.iter().any(|it| it.distance(at) <= NEAR_KNOT) {
            near.push(off);
        }
    }
    (all, near)
}

/// A candidate of the kind is the knot.
fn knot_is_found(found: &Survey, truth: &Ring) -> bool {
    found.candidates.iter().any(|it| it.kind == ZoneKind::Knot && is_same(&it.area, truth))
}

/// Two areas are one spot: either one's middle lies in the other, or the middles are close.
pub(crate) fn is_same(area: &Ring, truth: &Ring) -> bool {
    let (own, middle) = (area.centroid(), truth.centroid());
    area.contains(middle) || truth.contains(own) || own.distance(middle) <= BESIDE
}

/// An area lies along a check with at least half of its rim.
pub(crate) fn lies_along(area: &Ring, truth: &Ring) -> bool {
    let near = area.corners().iter().filter(|&&it| truth.contains(it) || truth.distance(it) <= BESIDE);
    near.count() * 2 >= area.corners().len()
}

/// Candidates of the kind lie along enough of the check.
fn check_is_found(found: &Survey, truth: &Ring) -> bool {
    let along: Vec<Point> = truth.corners().to_vec();
    let near = |at: &&Point| {
        let kind = found.candidates.iter().filter(|it| it.kind == ZoneKind::Check);
        kind.into_iter().any(|it| it.area.contains(**at) || it.area.distance(**at) <= BESIDE)
    };
    along.iter().filter(near).count() as f64 >= CHECK_SHARE * along.len() as f64
}

/// Candidates that touch no fault of any kind.
fn wrong_candidates(found: &Survey, faults: &[(&FaultMark, Ring)]) -> usize {
    found.candidates.iter().filter(|it| !faults.iter().any(|fault| touch(&it.area, &fault.1))).count()
}

/// Two areas share some place, or nearly.
pub(crate) fn touch(one: &Ring, other: &Ring) -> bool {
    one.corners().iter().any(|&it| other.contains(it) || other.distance(it) <= BESIDE)
        || other.corners().iter().any(|&it| one.contains(it))
}

impl Judged {
    pub(crate) const HEAD: &str =
        "picture wood     sheets   length% (said)   iou   edge mm   grain deg (knots)  knots checks wrong  s";
}

impl fmt::Display for Judged {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{:7} {:8}", self.name, self.wood)?;
        if let Some(refused) = &self.refused {
            return write!(out, " refused: {refused}");
        }
        let most = |values: &mut dyn Iterator<Item = f64>| values.fold(0.0, f64::max);
        let middle = |values: &[f64], share: f64| {
            let mut values = values.to_vec();
            values.sort_by(f64::total_cmp);
            values.get((values.len().saturating_sub(1) as f64 * share) as usize).copied().unwrap_or(f64::NAN)
        };
        let found = |values: &[bool]| format!("{}/{}", values.iter().filter(|it| **it).count(), values.len());
        write!(
            out,
            " {:6} {:8.3} ({:.3}) {:8.4} {:4.1} {:4.1} {:6.1} {:4.1} ({:4.1}) {:>8} {:>5} {:>5} {:6.2}",
            if self.two { "two" } else { "one" },
            most(&mut self.lengths.iter().map(|it| it.off.abs() * 100.0)),
            most(&mut self.lengths.iter().map(|it| it.doubt * 100.0)),
            self.iou,
            middle(&self.edge, 0.5),
            middle(&self.edge, 0.95),
            middle(&self.grain, 0.5),
            middle(&self.grain, 0.9),
            middle(&self.near_knots, 0.5),
            found(&self.knots),
            found(&self.checks),
            self.wrong,
            self.seconds
        )
    }
}
