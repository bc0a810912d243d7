//! One cut, step by step.

use measure::{Angle, Area, Length};
use outline::Point;
use stock::{PartKey, SawCut, SawCutKind};

use crate::blade::{Body, MOST_SKEW, Open, Stance, TOUCH};
use crate::flat::{Heading, moved, sides};
use crate::hearing::{Hearing, Piece};
use crate::kerf::Stroke;
use crate::leaving::can_part;
use crate::rows::{Rows, strip};
use crate::ruling::{CutRuling, Fall, Fault, mm};
use crate::way::{self, Does, Leg, Step};

/// The blade is looked at at least this often, in millimetres, and ten times in
/// its own width.
const STEP: f64 = 0.5;
const STEPS_IN_WIDTH: f64 = 10.0;

/// The teeth look this far ahead for wood, in millimetres, past the corner of a
/// band that stands askew.
const LOOK: f64 = 0.1;

/// Across the kerf the teeth meet wood at these places, in half kerfs.
const ACROSS: [f64; 5] = [-0.98, -0.5, 0.0, 0.5, 0.98];

/// While only some of the teeth meet wood, it is looked this often whether
/// something has come off, in millimetres.
const LOOK_AGAIN: f64 = 10.0;

/// A plan that comes out of the wood so often that more rows have to be looked
/// through is not judged on: a few seconds' work.
const MOST_ROWS: usize = 10_000_000;

/// What comes off smaller than this, in square millimetres, is a crumb.
const CRUMB: f64 = 1.0;

/// A loop runs into its own beginning at a flat angle: what comes off in the last
/// inch and a half of a cut comes off at its end (common practice, no source).
const LAST_BIT: Length = Length::mm(38.1);

/// Nothing shorter is held by hand at the blade (common practice, no source).
const SHORTEST_IN_HAND: f64 = 150.0;

/// A cut that the blade is led back out of may bend by this, in millimetres.
const STRAIGHT: f64 = 0.2;

/// A smaller bend of the way needs no look of its own, in radians: the next step
/// looks.
const SMALL_BEND: f64 = 0.03;

/// A cut while it is sawn.
pub(crate) struct Cutting<'h, 'a> {
    hearing: &'h mut Hearing<'a>,
    number: usize,
    cut: &'h SawCut,
    legs: &'h [Leg],
    body: Body,
    steps: Vec<Step>,
    /// What the cut goes on in.
    hand: Piece,
    /// It was taken up for a part in it that the cut follows, not as the first
    /// in its way: what else lay in its way is not there.
    by_part: bool,
    /// So many pieces lay apart when the cut began.
    apart: usize,
    hull: Vec<Point>,
    balance: Point,
    /// What has come off with parts in it while the cut met no more wood: the
    /// blade must get away from it too.
    beside: Vec<Piece>,
    stance: Stance,
    /// The parts in it when the cut began.
    at_first: Vec<usize>,
    /// How far the teeth have come, and how far when it was last looked for falls.
    gone: f64,
    looked: f64,
    /// From which stroke on the hand's rows do not know of it.
    unpainted: usize,
    /// Which of the teeth meet wood, by `ACROSS`.
    bites: [bool; 5],
    has_jammed: bool,
    has_strayed: bool,
    reach: (f64, Point),
    skew: f64,
    overhang: f64,
    figures: CutRuling,
}

impl<'h, 'a> Cutting<'h, 'a> {
    /// Takes up the piece that the cut meets first; nothing if it meets none.
    pub(crate) fn begin(
        hearing: &'h mut Hearing<'a>,
        number: usize,
        cut: &'h SawCut,
        legs: &'h [Leg],
        body: Body,
    ) -> Option<Cutting<'h, 'a>> {
        let steps = way::steps(legs, STEP.min(body.width / STEPS_IN_WIDTH).max(0.1), body.width);
        let first = steps.first()?;
        let holds = |it: &Piece, hearing: &Hearing| hearing.holds_any(it, &cut.parts);
        let listed = first_met(hearing, &body, &steps, holds);
        let by_part = listed.is_some();
        let Some(met) = listed.or_else(|| first_met(hearing, &body, &steps, |_, _| true)) else {
            hearing.refuse(Some(number), first.teeth, Fault::SawsNothing, (0.0, 0.0));
            return None;
        };
        let mut hand = hearing.pieces.swap_remove(met);
        hand.cuts.push(number);
        hearing.taken.sawn_by(&hand.cuts);
        let at_first = hand.parts.clone();
        let apart = hearing.pieces.len();
        let stance = Stance { teeth: first.teeth, heading: first.heading, skew: 0.0, play: 0.0 };
        let unpainted = hearing.taken.strokes.len();
        let mut cutting = Cutting {
            hearing,
            number,
            cut,
            legs,
            body,
            steps,
            hand,
            hull: Vec::new(),
            balance: Point::default(),
            by_part,
            apart,
            beside: Vec::new(),
            stance,
            at_first,
            gone: 0.0,
            looked: 0.0,
            unpainted,
            bites: [false; 5],
            has_jammed: false,
            has_strayed: false,
            reach: (0.0, stance.teeth),
            skew: 0.0,
            overhang: 0.0,
            figures: CutRuling::default(),
        };
        cutting.take_in_hand();
        Some(cutting)
    }

    /// Saws it to its end.
    pub(crate) fn saw(mut self) -> CutRuling {
        let (work, across) = sides(&self.hull);
        (self.figures.work, self.figures.work_across) = (mm(work), mm(across));
        self.parts_in_turn(work);
        for index in 0..self.steps.len() {
            self.step(index);
            if self.hearing.taken.crowded || self.hearing.rows_read > MOST_ROWS {
                self.hearing.taken.crowded = false;
                self.refuse(self.stance.teeth, Fault::TooMuch, (0.0, 0.0));
                break;
            }
        }
        let last = self.steps.len();
        self.break_through(last);
        self.end();
        self.put_down()
    }

    fn refuse(&mut self, at: Point, fault: Fault, figures: (f64, f64)) {
        self.hearing.refuse(Some(self.number), at, fault, figures);
    }

    fn is_listed(&self, part: usize) -> bool {
        self.cut.parts.contains(&self.hearing.parts[part].key)
    }

    /// What is in the hands is looked at anew.
    fn take_in_hand(&mut self) {
        self.hand.is_new = true;
        self.hull = self.hand.rows.hull();
        self.balance = self.hand.rows.middle();
    }

    /// No part that the cut follows is loose by now, but for one whose corners
    /// are sawn off and that can be held by hand.
    fn parts_in_turn(&mut self, work: f64) {
        let is_facet = self.cut.kind == SawCutKind::Facet;
        let listed: Vec<usize> = self.cut.parts.iter().filter_map(|&it| self.hearing.part(it)).collect();
        for part in listed {
            let it = &self.hearing.parts[part];
            let at = it.lines.edges[0].from;
            let is_off = !self.hand.parts.contains(&part);
            if is_off || (it.is_loose && !is_facet) {
                self.refuse(at, Fault::CutLoose, (0.0, 0.0));
            } else if is_facet && it.freed_by.is_some() && work < SHORTEST_IN_HAND {
                self.refuse(at, Fault::TooShortToHold, (work, SHORTEST_IN_HAND));
            }
        }
    }

    fn step(&mut self, index: usize) {
        let step = self.steps[index];
        let taken = &mut self.hearing.taken;
        let half = self.body.kerf / 2.0;
        let stroke = |round_from: bool| Stroke {
            cut: self.number,
            from: step.teeth,
            heading: step.heading,
            long: 0.0,
            half,
            round_from,
            round_to: false,
        };
        match step.does {
            Does::Begins => taken.begin(stroke(false)),
            Does::Bends(_) => {
                taken.bend();
                taken.begin(stroke(true));
            }
            Does::Saws(long) => {
                self.gone += long - taken.strokes.last().map_or(0.0, |it| it.long);
                taken.lengthen(long);
            }
            Does::Turns => {}
        }
        self.stand(index);
        self.clears_column();
        if matches!(step.does, Does::Saws(_)) {
            self.bite(index);
        }
    }

    /// The blade takes its stand with the teeth where they are now.
    fn stand(&mut self, index: usize) {
        let step = self.steps[index];
        let turned = step.heading.turn_to(self.stance.heading);
        self.stance = Stance { teeth: step.teeth, heading: step.heading, ..self.stance };
        if self.has_jammed || matches!(step.does, Does::Bends(by) if by.abs() < SMALL_BEND) {
            return;
        }
        let before = Some((self.stance, self.body.ahead()));
        let open = Open { taken: &self.hearing.taken, hand: &self.hand.rows, before };
        let settled = match self.teeth_clear(open, step) {
            Ok(()) => self.body.settle(open, self.stance, turned),
            Err(depth) => Err(depth),
        };
        match settled {
            Ok(stance) => {
                self.stance = stance;
                self.skew = self.skew.max(stance.skew.abs());
                if index == 0 && !can_part(&self.hand.rows, &self.body, stance) {
                    self.refuse(step.teeth, Fault::Trapped, (0.0, 0.0));
                }
            }
            Err(depth) => {
                self.has_jammed = true;
                self.stance.skew = self.stance.skew.clamp(-MOST_SKEW, MOST_SKEW);
                let fault = if index == 0 { Fault::BeginsInWood } else { Fault::Jams };
                self.refuse(step.teeth, fault, (depth, TOUCH));
            }
        }
    }

    /// While the work is turned, the teeth stand free on both sides.
    fn teeth_clear(&self, open: Open, step: Step) -> Result<(), f64> {
        if step.does != Does::Turns {
            return Ok(());
        }
        let open = Open { before: None, ..open };
        let half = self.body.kerf / 2.0;
        let tips = [-half, 0.0, half].map(|by| moved(step.teeth, step.heading.right(), by));
        let room = tips.iter().map(|&it| open.room(it)).fold(f64::INFINITY, f64::min);
        if room < -TOUCH { Err(-room) } else { Ok(()) }
    }

    /// How far the wood reaches toward the column, and off the table.
    fn clears_column(&mut self) {
        let Stance { teeth, heading, .. } = self.stance;
        let right = heading.right();
        let reach = self.hull.iter().map(|&it| right.along(teeth, it)).fold(0.0, f64::max);
        if reach > self.reach.0 {
            self.reach = (reach, teeth);
        }
        let half = self.hearing.scene.saw.table.to_mm() / 2.0;
        let over = |toward: Heading| (toward.along(teeth, self.balance).abs() - half).max(0.0);
        self.overhang = self.overhang.max(over(heading).hypot(over(right)));
    }

    /// The teeth go on, and may come out of the wood.
    fn bite(&mut self, index: usize) {
        let step = self.steps[index];
        let before = self.bites;
        let teeth = front(&self.body, &step);
        let taken = &self.hearing.taken;
        self.bites = teeth.map(|it| taken.is_wood(it) && self.hand.rows.have(it));
        let strays = |it: &Point| {
            let is_other = |it: &&Piece| !self.by_part || self.hearing.holds_any(it, &self.cut.parts);
            let others = || {
                self.hearing.pieces[..self.apart].iter().filter(is_other).any(|other| other.rows.have(*it))
            };
            !self.hand.rows.have(*it) && others() && taken.is_wood(*it)
        };
        if !self.has_strayed && teeth.iter().any(strays) {
            self.has_strayed = true;
            self.refuse(step.teeth, Fault::MeetsOtherWood, (0.0, 0.0));
        }
        let came_out = before.iter().zip(self.bites).any(|(&before, now)| before && !now);
        let some = self.bites.contains(&true) && self.bites.contains(&false);
        if came_out || (some && self.gone - self.looked > LOOK_AGAIN) {
            self.break_through(index + 1);
        }
    }

    /// What no longer hangs on what the cut goes on in comes off; the cut goes
    /// on with the given step.
    fn break_through(&mut self, next: usize) {
        self.looked = self.gone;
        self.hearing.rows_read += self.hand.rows.count();
        self.paint();
        let mut found: Vec<Rows> = self.hand.rows.pieces();
        found.retain(|it| it.area() > CRUMB);
        if found.len() < 2 {
            if let Some(only) = found.pop() {
                self.hand.rows = only;
            }
            return;
        }
        let lie: Vec<Option<usize>> =
            self.hand.parts.iter().map(|&part| self.hearing.parts[part].is_in(&found)).collect();
        let of = |piece: usize| {
            let here = self.hand.parts.iter().zip(&lie).filter(|it| *it.1 == Some(piece));
            here.map(|it| *it.0).collect::<Vec<usize>>()
        };
        let parts: Vec<Vec<usize>> = (0..found.len()).map(of).collect();
        let goes_on = self.steps[next..]
            .iter()
            .find_map(|it| meets(self.hearing, &self.body, it, found.iter().map(Some)));
        self.in_turn(goes_on, next, &found, &parts);
        let kept = goes_on.unwrap_or_else(|| self.kept(&found, &parts));
        for (index, (rows, parts)) in found.into_iter().zip(parts).enumerate() {
            let piece = Piece { rows, parts, cuts: self.hand.cuts.clone(), is_new: true };
            if index == kept {
                self.hand = piece;
            } else {
                self.comes_off(piece, goes_on.is_some());
            }
        }
        self.take_in_hand();
    }

    /// What is kept in the hands where the cut meets no more wood: what the cut
    /// is for, or else some other part.
    fn kept(&self, found: &[Rows], parts: &[Vec<usize>]) -> usize {
        let worth = |index: usize| {
            let listed = parts[index].iter().any(|&it| self.is_listed(it));
            (listed, !parts[index].is_empty(), found[index].area())
        };
        let better = |a: &usize, b: &usize| {
            let (a, b) = (worth(*a), worth(*b));
            (a.0, a.1).cmp(&(b.0, b.1)).then(a.2.total_cmp(&b.2))
        };
        (0..found.len()).max_by(better).unwrap_or(0)
    }

    /// Parts that are not in this cut's turn stay together: in what it goes on
    /// in or, where it is all but done, in whatever they lie.
    fn in_turn(&mut self, goes_on: Option<usize>, next: usize, found: &[Rows], parts: &[Vec<usize>]) {
        if self.cut.kind == SawCutKind::Parting {
            return;
        }
        let others = |index: usize| parts[index].iter().copied().find(|&it| !self.is_listed(it));
        let first = (0..parts.len()).find(|&it| others(it).is_some());
        let stay = match goes_on {
            Some(_) if first.is_some() && !self.is_all_but_done(next, found) => goes_on,
            _ => first,
        };
        let loose = (0..parts.len()).filter(|&it| Some(it) != stay).find_map(others);
        if let Some(part) = loose {
            let at = self.hearing.parts[part].lines.edges[0].from;
            self.refuse(at, Fault::CutLoose, (0.0, 0.0));
        }
    }

    /// Whether the teeth meet wood only for a little while yet.
    fn is_all_but_done(&self, next: usize, found: &[Rows]) -> bool {
        let left = &self.steps[next..];
        let met = |it: &Step| meets(self.hearing, &self.body, it, found.iter().map(Some)).is_some();
        let last = left.iter().rposition(met).map_or(0, |it| it + 1);
        let ways = left[..last].windows(2).map(|it| it[0].teeth.distance(it[1].teeth));
        ways.sum::<Length>() <= LAST_BIT
    }

    fn comes_off(&mut self, piece: Piece, goes_on: bool) {
        let keys: Vec<PartKey> = piece.parts.iter().map(|&it| self.hearing.parts[it].key).collect();
        let (longest, _) = sides(&piece.rows.hull());
        self.figures.falls.push(Fall {
            area: Area::mm2(piece.rows.area()),
            longest: mm(longest),
            middle: piece.rows.middle(),
            parts: keys,
            after: mm(self.gone),
        });
        match (piece.parts.is_empty(), goes_on) {
            (true, _) => {}
            (false, true) => self.hearing.pieces.push(piece),
            (false, false) => self.beside.push(piece),
        }
    }

    /// Takes what has been sawn from the rows of what is in the hands.
    fn paint(&mut self) {
        let before = self.hand.rows.area();
        let strokes = &self.hearing.taken.strokes;
        for it in &strokes[self.unpainted..] {
            self.hand.rows.take(&strip(it.from, it.heading, it.long, it.half));
            if it.round_from {
                self.hand.rows.take_disc(it.from, it.half);
            }
        }
        self.unpainted = strokes.len().saturating_sub(1).max(self.unpainted);
        self.figures.dust = Area::mm2(self.figures.dust.to_mm2() + before - self.hand.rows.area());
    }

    /// The blade has to get away from where the cut ends.
    fn end(&mut self) {
        let teeth = self.stance.teeth;
        if self.cut.kind == SawCutKind::Relief {
            let (bend, at) = way::bend(self.legs);
            if bend > Length::mm(STRAIGHT) {
                self.refuse(at, Fault::ReliefBends, (bend.to_mm(), STRAIGHT));
            }
            return;
        }
        let Some(last) = self.steps.last() else { return };
        let middle = front(&self.body, last)[2];
        let is_in = |it: &Piece| it.rows.have(middle) && self.hearing.taken.is_wood(middle);
        if is_in(&self.hand) || self.beside.iter().any(is_in) {
            return self.refuse(teeth, Fault::EndsInWood, (0.0, 0.0));
        }
        let gets_away = |it: &Piece| can_part(&it.rows, &self.body, self.stance);
        if !self.has_jammed && !std::iter::once(&self.hand).chain(&self.beside).all(gets_away) {
            self.refuse(teeth, Fault::Trapped, (0.0, 0.0));
        }
    }

    /// Puts down what holds parts, and tells the figures.
    fn put_down(mut self) -> CutRuling {
        let throat = self.hearing.scene.saw.throat.to_mm();
        if self.reach.0 > throat {
            self.refuse(self.reach.1, Fault::MeetsColumn, (self.reach.0, throat));
        }
        self.hearing.gouges(self.number, &self.at_first);
        let pieces = std::iter::once(self.hand).chain(self.beside);
        self.hearing.pieces.extend(pieces.filter(|it| !it.parts.is_empty()));
        CutRuling {
            reach: mm(self.reach.0),
            skew: Angle::radians(self.skew),
            overhang: mm(self.overhang),
            ..self.figures
        }
    }
}

/// The teeth, across the kerf, a little ahead of where they are.
fn front(body: &Body, step: &Step) -> [Point; 5] {
    let ahead = moved(step.teeth, step.heading, LOOK + body.ahead());
    ACROSS.map(|share| moved(ahead, step.heading.right(), share * body.kerf / 2.0))
}

/// Which of the pieces that may be sawn a cut meets first, by number.
fn first_met(
    hearing: &mut Hearing,
    body: &Body,
    steps: &[Step],
    may: impl Fn(&Piece, &Hearing) -> bool,
) -> Option<usize> {
    let mut first: Option<(usize, usize)> = None;
    for index in 0..hearing.pieces.len() {
        if !may(&hearing.pieces[index], hearing) {
            continue;
        }
        let piece = &hearing.pieces[index];
        hearing.taken.sawn_by(&piece.cuts);
        let met = |step: &Step| meets(hearing, body, step, std::iter::once(Some(&piece.rows))).is_some();
        let until = first.map_or(steps.len(), |it| it.0);
        if let Some(at) = steps[..until].iter().position(met) {
            first = Some((at, index));
        }
    }
    first.map(|it| it.1)
}

/// Which of several pieces most of the teeth meet in a step, by number.
fn meets<'r>(
    hearing: &Hearing,
    body: &Body,
    step: &Step,
    pieces: impl Iterator<Item = Option<&'r Rows>>,
) -> Option<usize> {
    if step.does == Does::Turns {
        return None;
    }
    let teeth = front(body, step);
    let is_met = |rows: &Rows, it: &Point| rows.have(*it) && hearing.taken.is_wood(*it);
    let in_piece =
        |rows: Option<&Rows>| rows.map_or(0, |rows| teeth.iter().filter(|it| is_met(rows, it)).count());
    let most =
        pieces.map(in_piece).enumerate().fold((0, 0), |most, it| if it.1 > most.1 { it } else { most });
    (most.1 > 0).then_some(most.0)
}
