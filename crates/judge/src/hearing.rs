//! The whole plan: holes, cuts in their order, and what has become of the parts.

use measure::Length;
use outline::{Outline, Point};
use stock::{Bandsaw, Blade, CutPlan, PartKey, SawCut, SawHole, SawHoleUse, SawLeg};

use crate::blade::Body;
use crate::cut::Cutting;
use crate::flat::moved;
use crate::kerf::{Drilled, Stroke, Taken};
use crate::left::{LONGEST_LUMP, Left, Part};
use crate::lines::Lines;
use crate::rows::{Rows, Ruled};
use crate::ruling::{Bench, CutRuling, Fault, PartRuling, Refusal, Ruling, mm};
use crate::way;

/// What a kerf or a hole may take of a part, in millimetres: what is lost in
/// laying curves in short chords.
pub(crate) const SCRATCH: f64 = 0.02;

/// The rows lie no farther apart than this, in millimetres, nor than this share
/// of the finest kerf.
const PITCH: (f64, f64) = (0.45, 0.4);

/// No saw for wood has a finer kerf than a fiftieth of an inch (common practice,
/// no source).
const FINEST_KERF: f64 = 0.5;

/// No wood is judged that has a side longer than this.
const LONGEST_WOOD: Length = Length::mm(5_000.0);

/// No plan is judged that saws farther than this.
const LONGEST_WAY: Length = Length::mm(200_000.0);

/// No plan is judged that has more points, holes or cuts.
const MOST_POINTS: usize = 100_000;
const MOST_HOLES: usize = 1_000;
const MOST_CUTS: usize = 1_000;

/// A bench whose shapes have been turned.
#[derive(Clone, Copy)]
pub(crate) struct Scene<'a> {
    pub(crate) wood: &'a Outline,
    pub(crate) parts: &'a [(PartKey, Outline)],
    pub(crate) saw: &'a Bandsaw,
    pub(crate) thickness: Length,
    pub(crate) spare: Length,
}

/// Saws a plan that is not too much.
pub(crate) fn hear(scene: &Scene, plan: &CutPlan) -> Ruling {
    let mut hearing = Hearing::of(scene, plan);
    hearing.height();
    plan.holes.iter().for_each(|it| hearing.hole(it));
    plan.cuts.iter().enumerate().for_each(|(number, cut)| hearing.cut(number, cut));
    hearing.close()
}

/// Why a plan is not even begun.
pub(crate) fn too_much(bench: &Bench, plan: &CutPlan) -> Option<Refusal> {
    let area = bench.wood.bounds();
    let corners = [area.low.x, area.low.y, area.high.x, area.high.y];
    let is_number = corners.iter().all(|it| it.is_finite());
    let side = if is_number { area.width().max(area.height()) } else { Length::ZERO };
    let points: usize = plan.cuts.iter().map(|cut| cut.sawn().count() + cut.legs.len() + 1).sum();
    let long: f64 = plan.cuts.iter().flat_map(|cut| &cut.legs).map(sawn_length).sum();
    let refuse =
        |figure, limit| Refusal { cut: None, at: Point::default(), fault: Fault::TooMuch, figure, limit };
    if !is_number || side > LONGEST_WOOD {
        Some(refuse(side, LONGEST_WOOD))
    } else if points > MOST_POINTS || plan.holes.len() > MOST_HOLES || plan.cuts.len() > MOST_CUTS {
        Some(refuse(Length::ZERO, Length::ZERO))
    } else if long.is_finite() && long > LONGEST_WAY.to_mm() {
        Some(refuse(mm(long), LONGEST_WAY))
    } else {
        None
    }
}

/// Millimetres; no number if a point is none.
fn sawn_length(leg: &SawLeg) -> f64 {
    let SawLeg::Sawn { way } = leg else { return 0.0 };
    way.windows(2).map(|it| (it[1].x - it[0].x).hypot(it[1].y - it[0].y)).sum()
}

/// What is said of a plan that is not even begun.
pub(crate) fn nothing_sawn(bench: &Bench, plan: &CutPlan, refusal: Refusal) -> Ruling {
    let part = |&(part, outline): &(PartKey, _)| PartRuling {
        part,
        freed_by: None,
        left_most: Length::ZERO,
        left_most_at: first_corner(outline),
        left_mean: Length::ZERO,
        gouge: Length::ZERO,
    };
    Ruling {
        refusals: vec![refusal],
        cuts: vec![CutRuling::default(); plan.cuts.len()],
        parts: bench.parts.iter().map(part).collect(),
    }
}

fn first_corner(it: &Outline) -> Point {
    it.outer().corners()[0]
}

/// A piece of wood that hangs together, with the parts in it, by number.
pub(crate) struct Piece {
    pub(crate) rows: Rows,
    pub(crate) parts: Vec<usize>,
    /// The cuts that it has been through.
    pub(crate) cuts: Vec<usize>,
    /// Sawn since it was last looked at.
    pub(crate) is_new: bool,
}

/// The state of things between two cuts.
pub(crate) struct Hearing<'a> {
    pub(crate) scene: Scene<'a>,
    pub(crate) taken: Taken,
    pub(crate) parts: Vec<Part>,
    /// What holds parts; everything else has been thrown away.
    pub(crate) pieces: Vec<Piece>,
    /// How many rows have been looked through for what comes off.
    pub(crate) rows_read: usize,
    refusals: Vec<Refusal>,
    cuts: Vec<CutRuling>,
}

impl<'a> Hearing<'a> {
    fn of(scene: &Scene<'a>, plan: &CutPlan) -> Hearing<'a> {
        let kerfs = plan.cuts.iter().filter_map(|cut| blade(scene.saw, cut)).map(|it| it.kerf.to_mm());
        let finest = kerfs.fold(f64::INFINITY, f64::min).max(FINEST_KERF);
        let ruled = Ruled::over(scene.wood.bounds(), PITCH.0.min(PITCH.1 * finest));
        let sound = |it: &&SawHole| is_sound(it);
        let holes: Vec<Drilled> = plan.holes.iter().filter(sound).map(drilled).collect();
        let mut rows = Rows::wood(ruled, scene.wood);
        holes.iter().for_each(|it| rows.take_disc(it.at, it.radius));
        let parts: Vec<Part> = scene.parts.iter().map(|(key, it)| Part::new(*key, it, ruled)).collect();
        let pieces = rows.pieces();
        let lies = |piece: usize| {
            let lies = |part: &usize| parts[*part].is_in(&pieces) == Some(piece);
            (0..parts.len()).filter(lies).collect()
        };
        let pieces: Vec<Piece> = (0..pieces.len())
            .map(|it| Piece { rows: pieces[it].clone(), parts: lies(it), cuts: Vec::new(), is_new: true })
            .collect();
        let taken = Taken::nothing_of(Lines::of(scene.wood.rings()), holes);
        Hearing { scene: *scene, taken, parts, pieces, rows_read: 0, refusals: Vec::new(), cuts: Vec::new() }
    }

    pub(crate) fn refuse(&mut self, cut: Option<usize>, at: Point, fault: Fault, figures: (f64, f64)) {
        self.refusals.push(Refusal { cut, at, fault, figure: mm(figures.0), limit: mm(figures.1) });
    }

    pub(crate) fn part(&self, key: PartKey) -> Option<usize> {
        self.parts.iter().position(|it| it.key == key)
    }

    /// Whether a piece holds one of these parts.
    pub(crate) fn holds_any(&self, piece: &Piece, keys: &[PartKey]) -> bool {
        piece.parts.iter().any(|&it| keys.contains(&self.parts[it].key))
    }

    fn height(&mut self) {
        let (thick, most) = (self.scene.thickness, self.scene.saw.height);
        if thick > most {
            let at = first_corner(self.scene.wood);
            self.refuse(None, at, Fault::TooThick, (thick.to_mm(), most.to_mm()));
        }
    }

    fn hole(&mut self, hole: &SawHole) {
        if !is_sound(hole) {
            return self.refuse(None, Point::default(), Fault::Broken, (0.0, 0.0));
        }
        let Some(own) = self.part(hole.part) else {
            return self.refuse(None, hole.at, Fault::UnknownPart, (0.0, 0.0));
        };
        let Drilled { at, radius } = drilled(hole);
        for index in 0..self.parts.len() {
            let part = &self.parts[index];
            let is_own_start = index == own && hole.is == SawHoleUse::Start;
            let off = part.lines.nearest(at).0;
            let outside = if part.lines.hold(at) { -off } else { off };
            if !is_own_start && radius - outside > SCRATCH {
                self.refuse(None, at, Fault::HoleInPart, (radius - outside, 0.0));
            }
        }
        let openings = &self.parts[own].openings;
        let off = openings.nearest(at).0;
        let inside = if openings.hold(at) { off } else { -off };
        if hole.is == SawHoleUse::Start && radius - inside > SCRATCH {
            self.refuse(None, at, Fault::HoleOutsideOpening, (radius - inside, 0.0));
        }
    }

    fn cut(&mut self, number: usize, cut: &SawCut) {
        let figures = self.sawn(number, cut).unwrap_or_default();
        self.cuts.push(figures);
        self.look_at_parts(Some(number));
    }

    /// Saws one cut; nothing if there is no sense in trying.
    fn sawn(&mut self, number: usize, cut: &SawCut) -> Option<CutRuling> {
        let begin = cut.begin().filter(|it| it.x.is_finite() && it.y.is_finite()).unwrap_or_default();
        let Some(blade) = blade(self.scene.saw, cut) else {
            self.refuse(Some(number), begin, Fault::UnknownBlade, (0.0, 0.0));
            return None;
        };
        let (width, kerf) = (blade.width.to_mm(), blade.kerf.to_mm());
        let band = self.scene.saw.band(blade).to_mm();
        if kerf <= band || kerf < FINEST_KERF || !(0.5..=200.0).contains(&width) || kerf > width {
            self.refuse(Some(number), begin, Fault::BladeBinds, (kerf, band));
            return None;
        }
        let legs = match way::legs(cut) {
            Ok(legs) => legs,
            Err(gap) => {
                self.refuse(Some(number), gap.at, Fault::Broken, (gap.wide, way::JOINT));
                return None;
            }
        };
        if cut.parts.iter().any(|&it| self.part(it).is_none()) {
            self.refuse(Some(number), begin, Fault::UnknownPart, (0.0, 0.0));
        }
        Cutting::begin(self, number, cut, &legs, Body::new(width, band, kerf)).map(Cutting::saw)
    }

    /// How deep the strokes of one cut enter the parts that were in the hands.
    pub(crate) fn gouges(&mut self, number: usize, parts: &[usize]) {
        let strokes: Vec<Stroke> = self.taken.strokes.iter().filter(|it| it.cut == number).copied().collect();
        for &index in parts {
            let part = &self.parts[index];
            let deep = |it: &Stroke| (gouge(&part.lines, it), moved(it.from, it.heading, it.long / 2.0));
            let deepest =
                strokes.iter().map(deep).fold((0.0, Point::default()), |a, b| if b.0 > a.0 { b } else { a });
            if deepest.0 > SCRATCH {
                self.refuse(Some(number), deepest.1, Fault::InPart, (deepest.0, SCRATCH));
            }
            self.parts[index].gouge = self.parts[index].gouge.max(deepest.0);
        }
    }

    /// What is left round the parts that a cut has sawn at, or round those that
    /// none has.
    fn look_at_parts(&mut self, number: Option<usize>) {
        let spare = self.scene.spare;
        for piece in self.pieces.iter_mut().filter(|it| it.is_new) {
            piece.is_new = false;
            let &[only] = piece.parts.as_slice() else { continue };
            let part = &mut self.parts[only];
            let left = part.left_in(&piece.rows, spare);
            part.left = Some(left);
            part.freed_by = part.freed_by.or(number.filter(|_| left.is_freed()));
            part.is_loose |= left.is_loose(spare);
        }
    }

    fn close(mut self) -> Ruling {
        self.look_at_parts(None);
        for index in 0..self.parts.len() {
            let lies = self.pieces.iter().find(|it| it.parts.contains(&index));
            let at = self.parts[index].lines.edges[0].from;
            match (lies.map(|it| it.parts.len()), self.parts[index].left) {
                (Some(1), Some(left)) => self.not_freed(left),
                (Some(2..), _) => self.refuse(None, at, Fault::HangsTogether, (0.0, 0.0)),
                (Some(_) | None, _) => self.refuse(None, at, Fault::NotFreed, (0.0, LONGEST_LUMP)),
            }
        }
        let parts = self.parts.iter().map(ruling).collect();
        Ruling { refusals: self.refusals, cuts: self.cuts, parts }
    }

    fn not_freed(&mut self, left: Left) {
        if !left.is_freed() {
            let figure = if left.most > LONGEST_LUMP { left.most } else { left.stretch };
            self.refuse(None, left.at, Fault::NotFreed, (figure, LONGEST_LUMP));
        }
    }
}

fn ruling(part: &Part) -> PartRuling {
    let left = part.left;
    PartRuling {
        part: part.key,
        freed_by: part.freed_by,
        left_most: left.map_or(Length::ZERO, |it| mm(it.most)),
        left_most_at: left.map_or(part.lines.edges[0].from, |it| it.at),
        left_mean: left.map_or(Length::ZERO, |it| mm(it.mean)),
        gouge: mm(part.gouge),
    }
}

fn blade<'a>(saw: &'a Bandsaw, cut: &SawCut) -> Option<&'a Blade> {
    saw.blades.iter().find(|it| it.id == cut.blade)
}

fn is_sound(hole: &SawHole) -> bool {
    let limit = Point::FARTHEST.to_mm();
    let is_near = hole.at.x.abs() <= limit && hole.at.y.abs() <= limit;
    is_near && hole.diameter > Length::ZERO && hole.diameter < Length::mm(500.0)
}

fn drilled(hole: &SawHole) -> Drilled {
    Drilled { at: hole.at, radius: hole.diameter.to_mm() / 2.0 }
}

/// How deep a stroke of kerf goes past a part's line, square to the way, in
/// millimetres.
fn gouge(part: &Lines, stroke: &Stroke) -> f64 {
    let (from, to) = (stroke.from, stroke.to());
    let Some(area) = outline::Bounds::around([from, to]) else { return 0.0 };
    let area = area.grown(mm(stroke.half));
    if !area.meets(part.bounds) {
        return 0.0;
    }
    let middle = moved(from, stroke.heading, stroke.long / 2.0);
    if part.hold(middle) {
        return stroke.half + part.nearest(middle).0;
    }
    let right = stroke.heading.right();
    let low = if stroke.round_from { 0.0 } else { SCRATCH };
    let high = stroke.long - if stroke.round_to { 0.0 } else { SCRATCH };
    let nearest = part.edges_near(area).filter_map(|edge| {
        let a = (stroke.heading.along(from, edge.from), right.along(from, edge.from));
        let b = (stroke.heading.along(from, edge.to), right.along(from, edge.to));
        let beside = nearest_beside(a, b, (low, high));
        let round = |is_round: bool, end| is_round.then(|| edge.distance(end).to_mm());
        let ends = [round(stroke.round_from, from), round(stroke.round_to, to)];
        ends.into_iter().flatten().chain(beside).min_by(f64::total_cmp)
    });
    stroke.half - nearest.fold(stroke.half, f64::min)
}

/// How near an edge comes to the line of the way beside a stretch of it; both
/// its ends are told along the way and aside from it.
fn nearest_beside(a: (f64, f64), b: (f64, f64), stretch: (f64, f64)) -> Option<f64> {
    let (low, high) = (a.0.min(b.0).max(stretch.0), a.0.max(b.0).min(stretch.1));
    if low > high {
        return None;
    }
    let aside = |along: f64| {
        let share = if a.0 == b.0 { 0.0 } else { (along - a.0) / (b.0 - a.0) };
        a.1 + (b.1 - a.1) * share
    };
    let (one, other) = if a.0 == b.0 { (a.1, b.1) } else { (aside(low), aside(high)) };
    Some(if one * other <= 0.0 { 0.0 } else { one.abs().min(other.abs()) })
}
