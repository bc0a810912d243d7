//! Sawing to the outline: which blade, how it is set, which cuts in which order.

mod apart;
mod checks;
mod follow;
mod mount;
mod openings;
mod proof;
mod sequence;
mod tension;
mod words;

use std::collections::{BTreeMap, BTreeSet, VecDeque};

use cuts::TroubleKind;
use measure::{Figure, Length, Minutes};
use outline::Point;
use stock::{
    Blade, BladeId, Brief, FaceKey, Layout, PartKey, SawCut, SawCutKind, SawHole, SawHoleUse, SawWish,
};

use crate::cut_sheet::{CutSheet, StockLeft};
use crate::hold;
use crate::machining::counted;
use crate::making::{Laid, Making};
use crate::saw::follow::Bends;
use crate::saw::openings::Start;
use crate::saw::sequence::Sequence;
use crate::{Machine, Mark, MarkKind, Operation, OperationKind};

pub use crate::saw::proof::{plan_cuts, refusal, refused_part};

/// Left on outside of the line, for the sander (common practice, no source).
const OFF_THE_LINE: Length = Length::inches(1.0 / 16.0);

// Rates of hands (common practice, no source): hardwood an inch thick, along a
// curve, by hand about 0.3 m in a minute, with the guiding and looking twice that.
const SET_UP: Minutes = Minutes::minutes(5.0);
const PER_M: Minutes = Minutes::minutes(6.0);
const EACH_HOLE: Minutes = Minutes::minutes(3.0);
const EACH_OPENING: Minutes = Minutes::minutes(20.0);
/// A straight line by a hand-held saw, with its guide.
const BY_HAND_EACH: Minutes = Minutes::minutes(8.0);
/// Where no cut was found, by a hand-held saw.
const BY_HAND_PER_M: Minutes = Minutes::minutes(20.0);

const LIVE_EDGE: &str = "Leave the wood's own edge as it is: saw up to it and out; pry off what bark is loose, and brush \
     along the edge until nothing crumbles";

const TEMPLATE: &str = "Lay the template on the face as the layout drawing shows and draw round it";

const CAUTIONS: [&str; 5] = ["first", "bandsaw", "blade_change", "eyes_ears_lungs", "no_gloves"];

/// How every face of a layout is sawn apart.
#[derive(Clone, Debug, PartialEq)]
pub struct SawnFaces(Vec<Sequence>);

impl SawnFaces {
    /// Plans the cuts of every face, and has them judged.
    pub fn of(brief: &Brief, layout: &Layout) -> SawnFaces {
        let mut making = Making::new(brief, layout);
        let parts = making.laid_parts();
        let faces = by_face(&parts);
        SawnFaces(sequence::of_faces(&making, &faces, &parts))
    }

    /// How many parts no cut was found for.
    pub fn without_cuts(&self) -> usize {
        sequence::troubles(&self.0)
    }

    /// Parts that no cut was found for because others lie too near.
    pub fn crowded(&self) -> impl Iterator<Item = PartKey> {
        let troubles = self.0.iter().flat_map(|it| &it.troubles);
        troubles.filter(|it| matches!(it.kind, TroubleKind::Crowded { .. })).map(|it| it.part)
    }
}

fn by_face<'p, 'a>(parts: &'p [Laid<'a>]) -> BTreeMap<FaceKey, Vec<&'p Laid<'a>>> {
    let mut faces: BTreeMap<FaceKey, Vec<&Laid>> = BTreeMap::new();
    for part in parts {
        faces.entry(part.placement.face).or_default().push(part);
    }
    faces
}

/// Saws every part out of its face.
pub(crate) fn parts(making: &mut Making, parts: &[Laid], sawn: &SawnFaces) {
    let faces = by_face(parts);
    let mut waiting: Vec<VecDeque<Stretch>> = Vec::new();
    let mut told = BTreeSet::new();
    for sequence in &sawn.0 {
        let Some(laid) = faces.get(&sequence.face) else { continue };
        let sheet = sequence.sheet.as_ref();
        crosscut(making, laid, sheet);
        for part in laid {
            checks::height(making, part, sequence.thickness);
            if told.insert(part.pattern.id) {
                let blade = sheet.and_then(|it| blade_of(it, part.key));
                let holes = sheet.map_or(0, |it| pivots(it, part.key).count());
                checks::pattern(making, part, blade, holes);
            }
            drill_first(making, part, laid, sheet);
        }
        checks::sequence(making, sequence, laid);
        waiting.push(stretches(sequence, laid));
        making.cut_sheet(sequence.sheet.clone());
    }
    checks::blades(making, parts);
    in_order(making, parts, waiting);
}

/// Cuts with one blade that are sawn one after the other: those that part the
/// parts of a face or trim the wood around several, or those of one part.
struct Stretch {
    face: FaceKey,
    part: Option<PartKey>,
    blade: Option<BladeId>,
    /// Their numbers on the face's sheet, from 1.
    cuts: Vec<u32>,
    thickness: Length,
}

fn stretches(sequence: &Sequence, laid: &[&Laid]) -> VecDeque<Stretch> {
    let Sequence { face, thickness, .. } = *sequence;
    let sheet = sequence.sheet.as_ref();
    let mut found: VecDeque<Stretch> = VecDeque::new();
    for (number, cut) in (1..).zip(sheet.iter().flat_map(|it| &it.plan.cuts)) {
        let part = match cut.kind {
            SawCutKind::Parting => None,
            SawCutKind::Trim if cut.parts.len() > 1 => None,
            SawCutKind::Trim | SawCutKind::Relief | SawCutKind::Outline | SawCutKind::Facet => {
                cut.parts.first().copied()
            }
        };
        match found.back_mut() {
            Some(last) if last.part == part && last.blade == Some(cut.blade) => last.cuts.push(number),
            Some(_) | None => {
                let (blade, cuts) = (Some(cut.blade), vec![number]);
                found.push_back(Stretch { face, part, blade, cuts, thickness });
            }
        }
    }
    let sawn: Vec<Option<PartKey>> = found.iter().map(|it| it.part).collect();
    let left_out = laid.iter().map(|it| Some(it.key)).filter(|it| !sawn.contains(it));
    found.extend(left_out.map(|part| Stretch { face, part, blade: None, cuts: Vec::new(), thickness }));
    found
}

/// Saws what waits on each face, in the face's own order, and changes the blade
/// as seldom as that allows: first what goes with the mounted one, else with the
/// widest.
fn in_order(making: &mut Making, parts: &[Laid], mut waiting: Vec<VecDeque<Stretch>>) {
    let mut mounted: Option<BladeId> = None;
    loop {
        let width = |it: &Stretch| {
            let blade = it.blade.and_then(|id| blade(making, id));
            blade.map_or(0.0, |it| it.width.to_mm())
        };
        let rank = |it: &Stretch| (it.blade.is_some() && it.blade == mounted, width(it));
        let next = (0..waiting.len())
            .filter_map(|index| Some((rank(waiting[index].front()?), index)))
            .max_by(|(a, i), (b, j)| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)).then(j.cmp(i)));
        let Some((_, index)) = next else { return };
        let Some(stretch) = waiting[index].pop_front() else { return };
        let is_change = stretch.blade.is_some() && stretch.blade != mounted;
        mounted = stretch.blade.or(mounted);
        saw(making, parts, &stretch, is_change);
    }
}

fn blade<'a>(making: &Making<'a>, id: BladeId) -> Option<&'a Blade> {
    making.brief.kit.bandsaw.blades.iter().find(|it| it.id == id)
}

/// The blade that goes along a part's line.
fn blade_of(sheet: &CutSheet, part: PartKey) -> Option<BladeId> {
    let along = |it: &&SawCut| it.kind == SawCutKind::Outline && it.parts.first() == Some(&part);
    sheet.plan.cuts.iter().find(along).map(|it| it.blade)
}

fn pivots(sheet: &CutSheet, part: PartKey) -> impl Iterator<Item = &SawHole> {
    sheet.plan.holes.iter().filter(move |it| it.part == part && it.is == SawHoleUse::Pivot)
}

/// What a hand-held saw takes apart before the bandsaw.
fn crosscut(making: &mut Making, laid: &[&Laid], sheet: Option<&CutSheet>) {
    let (Some(sheet), [first, ..]) = (sheet.filter(|it| !it.apart.is_empty()), laid) else { return };
    let units = making.units();
    let face = making.brief.face_name(sheet.plan.face);
    let mut operation = Operation::begin(OperationKind::Crosscut, format!("Crosscut {face} by hand"))
        .working_on(vec![first.blank()])
        .taking(SET_UP + BY_HAND_EACH * sheet.apart.len() as f64)
        .step("Lay the wood on the bench so that both sides of the line lie firm, and clamp it down")
        .minding(["first", "eyes_ears_lungs", "no_gloves"]);
    let place = |it: Point| {
        let [along, up] = [it.x, it.y].map(|it| units.length(Length::mm(it)));
        format!("{along} from the left and {up} up")
    };
    for cut in &sheet.apart {
        operation = operation.step(format!(
            "Line {}: straight from {} to {}, with a hand-held saw along a guide; a kerf of no more than {}",
            cut.letter,
            place(cut.from),
            place(cut.to),
            units.fine_length(cut.kerf)
        ));
    }
    operation.lines = sheet.apart.iter().map(|it| it.letter).collect();
    let figure = Figure::new("throat of the bandsaw", units.length(sheet.throat))
        .by("from the blade to the column", "the shop's own list")
        .from("cuts by hand", sheet.apart.len().to_string());
    making.add(operation.figure(figure));
}

/// Holes in the waste: at the inside corners that the blade turns in, and where
/// saws are threaded into openings.
fn drill_first(making: &mut Making, part: &Laid, beside: &[&Laid], sheet: Option<&CutSheet>) {
    let units = making.units();
    let back = part.placement.place.inverse();
    let mark = |at, diameter, is| Mark { part: part.key, at, diameter, is };
    let corners = sheet.iter().flat_map(|it| pivots(it, part.key));
    let corners = corners.map(|it| mark(back.point(it.at), it.diameter, MarkKind::Corner));
    let mut holes: Vec<Mark> = corners.collect();
    let corners = holes.len();
    let starts = openings::starts(making, part, beside).into_iter().flatten();
    holes.extend(starts.map(|(at, bit)| mark(at, bit, MarkKind::Start)));
    let what = match (corners, holes.len() - corners) {
        (0, 0) => return,
        (_, 0) => "its inside corners",
        (0, _) => "where its openings are begun",
        _ => "its inside corners, and where its openings are begun",
    };
    let face = making.brief.face_name(part.placement.face);
    let mut operation =
        Operation::begin(OperationKind::Drill, format!("Draw {} on {face} and drill {what}", part.name))
            .working_on(vec![part.blank()])
            .at(Machine::DrillPress)
            .taking(SET_UP + EACH_HOLE * holes.len() as f64)
            .step(TEMPLATE)
            .minding(["first", "drill_press", "blade_change", "eyes_ears_lungs", "no_gloves"]);
    for (number, hole) in (1..).zip(&holes) {
        let wide = units.length(hole.diameter);
        let where_to = if number <= corners {
            "in the waste, so that it just touches the line on both sides"
        } else {
            "within the opening, clear of its line, to thread the saw in"
        };
        operation = operation
            .set(&format!("hole {number}"), wide.clone())
            .step(format!("Hole {number}: {wide}, {where_to}"));
    }
    operation.marks = holes;
    making.add(operation);
}

/// One stretch of cuts as an operation.
fn saw(making: &mut Making, parts: &[Laid], stretch: &Stretch, is_change: bool) {
    let units = making.units();
    let kit = &making.brief.kit;
    let blade = stretch.blade.and_then(|it| blade(making, it));
    let part = stretch.part.and_then(|key| parts.iter().find(|it| it.key == key));
    let blank = parts.iter().find(|it| it.placement.face == stretch.face).map(Laid::blank);
    let Some(blank) = blank else { return };
    let face = making.brief.face_name(stretch.face);
    let operation = match part {
        Some(part) => {
            let title = format!("Saw {} out of {face}", part.name);
            Operation::begin(OperationKind::Saw, title).turning(vec![blank], vec![blank, part.workpiece()])
        }
        None => Operation::begin(OperationKind::Saw, format!("Saw {face} apart")).working_on(vec![blank]),
    };
    let mut operation = operation.at(Machine::Bandsaw).taking(SET_UP).minding(CAUTIONS);
    operation = mount::set_up(operation, units, &kit.bandsaw, blade, stretch.thickness)
        .set("off the line", format!("{}, left for the sander", units.length(OFF_THE_LINE)))
        .step(TEMPLATE);
    operation = cuts(making, operation, stretch);
    if let Some(part) = part {
        let beside: Vec<&Laid> = parts.iter().filter(|it| it.placement.face == stretch.face).collect();
        let starts = openings::starts(making, part, &beside);
        operation = of_part(making, operation, part, blade, &starts, stretch.cuts.is_empty());
    }
    if let (true, Some(blade)) = (is_change, blade) {
        let why = why(making, blade, part);
        operation = mount::mounting(operation, &why).taking(cuts::CHANGE);
    }
    making.add(operation);
}

/// The steps of a stretch, one for each cut, numbered as on the drawing.
fn cuts(making: &Making, mut operation: Operation, stretch: &Stretch) -> Operation {
    let Some(sheet) = making.cut_sheet_of(stretch.face).filter(|_| !stretch.cuts.is_empty()) else {
        return operation;
    };
    let (mut long, mut reach) = (Length::ZERO, Length::ZERO);
    let every = (1..).zip(sheet.plan.cuts.iter().zip(&sheet.cuts));
    let of_stretch: Vec<_> = every.filter(|it| stretch.cuts.contains(&it.0)).collect();
    let beyond: Vec<(u32, Length)> =
        of_stretch.iter().map(|it| (it.0, it.1.1.overhang)).filter(|it| it.1 > Length::ZERO).collect();
    if let Some(support) = words::support(making, &beyond) {
        operation = operation.step(support);
    }
    for (number, (cut, figures)) in of_stretch {
        (long, reach) = (long + cut.length(), reach.max(figures.reach));
        operation = operation.step(format!("Cut {number}: {}", figures.words));
    }
    operation = operation
        .taking(PER_M * (long.to_mm() / 1000.0) + cuts::CUT * stretch.cuts.len() as f64)
        .step("Never back out of a curve: if the blade binds, stop the saw and look where it touches");
    let units = making.units();
    let figure = Figure::new("reach toward the column", units.length(reach))
        .by(
            "farthest wood square to the blade, over all of each cut",
            "sawn through step by step before it was planned",
        )
        .from("throat", units.length(sheet.throat));
    operation.cuts = stretch.cuts.clone();
    operation.figure(figure)
}

/// What a part's own operation has beside its cuts.
fn of_part(
    making: &Making,
    mut operation: Operation,
    part: &Laid,
    blade: Option<&Blade>,
    starts: &[Option<Start>],
    no_cuts: bool,
) -> Operation {
    if no_cuts {
        let around = part.placement.outline.outer().perimeter();
        operation = operation
            .taking(BY_HAND_PER_M * (around.to_mm() / 1000.0))
            .step("No cuts on the bandsaw were found that hold: clamp it down and saw along the line with a jig saw or a bow saw, on the waste side");
    }
    if !starts.is_empty() {
        operation = operation.taking(EACH_OPENING * starts.len() as f64).step(openings::step(starts));
    }
    if part.pattern.has_live_edge() {
        operation = operation.step(LIVE_EDGE);
    }
    let left =
        making.cut_sheet_of(part.placement.face).and_then(|it| it.left.iter().find(|it| it.part == part.key));
    if let Some(left) = left.filter(|_| !no_cuts) {
        operation = operation.figure(left_figure(making, left));
    }
    if let Some(blade) = blade {
        let bends = Bends::of(part.pattern);
        for bend in [bends.inside, bends.outside].into_iter().flatten() {
            operation = operation.figure(bend_figure(making, &bend, blade.kerf));
        }
    }
    operation.figures.extend(hold::figures(making, part));
    operation
}

/// Why this blade is put on.
fn why(making: &Making, blade: &Blade, part: Option<&Laid>) -> String {
    let turns = making.units().length(cuts::least_radius(blade).0);
    let chosen =
        part.is_some_and(|it| making.brief.job.choices.blades.get(&it.pattern.id) == Some(&blade.id));
    if chosen {
        return format!("your own choice; it turns {turns}");
    }
    match making.brief.job.choices.sawing {
        SawWish::Quick => format!("it turns {turns}, and with it the sawing takes the fewest minutes"),
        SawWish::OneBlade => format!("it turns {turns}, and one blade saws all parts that it can"),
        SawWish::Smooth => format!("it turns {turns}: the widest that follows the line"),
    }
}

fn left_figure(making: &Making, left: &StockLeft) -> Figure {
    let units = making.units();
    Figure::new("stock left for the sander", units.fine_length(left.mean))
        .by(
            "area left outside the line / length of the line",
            "sawn through step by step before it was planned",
        )
        .from("where it is the most", units.fine_length(left.most))
        .from("off the line", units.fine_length(OFF_THE_LINE))
}

fn bend_figure(making: &Making, bend: &outline::Bend, kerf: Length) -> Figure {
    let units = making.units();
    let name = if bend.inside { "tightest inside bend" } else { "tightest outside bend" };
    Figure::new(name, units.length(bend.radius))
        .by("circle that fits the line there best", "Taubin's fit (1991), sharp corners left out")
        .from("the blade's own way", units.length(follow::path_radius(bend, kerf)))
        .from("off the line", units.length(OFF_THE_LINE))
        .from("kerf", units.fine_length(kerf))
}

#[cfg(test)]
mod tests;
