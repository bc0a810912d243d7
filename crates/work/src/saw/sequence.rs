//! Which cuts saw a face apart: planned, then proved.

use std::collections::{BTreeMap, BTreeSet};

use cuts::{BladeSize, Task, Trouble, Wanted};
use judge::{Bench, CutRuling, Fault, Refusal, judge};
use measure::Length;
use outline::{Outline, Point, band};
use rayon::prelude::*;
use stock::{
    Bandsaw, Blade, BladeId, CutPlan, FaceKey, OwnCut, PartKey, SawCut, SawCutKind, SawHole, SawHoleUse,
    SawLeg,
};

use crate::cut_sheet::{CutFigures, CutSheet, Falling, HandCut, StockLeft};
use crate::machining::thickness_when_sawn;
use crate::making::{Laid, Making};
use crate::saw::apart::{self, Piece};
use crate::saw::{OFF_THE_LINE, mount, openings, words};

/// Fallen pieces are drawn this exactly.
const DRAWN: Length = Length::mm(0.3);

/// No more starting holes than this are drawn on a face; they are drilled all the same.
const MOST_STARTS: usize = 300;

/// What came of planning a face.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Sequence {
    pub(super) face: FaceKey,
    /// Of the wood when it is sawn.
    pub(super) thickness: Length,
    /// The cuts with their figures; none if there is no cut.
    pub(super) sheet: Option<CutSheet>,
    /// Parts that no cut was found for.
    pub(super) troubles: Vec<Trouble>,
    /// Cuts of the maker's own that cannot be sawn, and why.
    pub(super) own_refused: Vec<Refusal>,
}

/// Plans the cuts of all faces and has them judged.
pub(super) fn of_faces(
    making: &Making,
    faces: &BTreeMap<FaceKey, Vec<&Laid>>,
    parts: &[Laid],
) -> Vec<Sequence> {
    let known = faces.iter().filter_map(|(face, laid)| Planning::new(making, *face, laid, parts));
    let mut all: Vec<Planning> = known.collect();
    let outlooks = all.iter().map(|it| cuts::outlook(&it.task(Vec::new())));
    let together = outlooks.reduce(|all, it| all.and(&it)).unwrap_or_default();
    let mut planned = |prefer: Option<BladeId>| -> Vec<Sequence> {
        all.iter_mut().for_each(|it| it.prefer = prefer);
        all.par_iter().map(Planning::run).collect()
    };
    let prefer = together.one_for_all(making.brief.job.choices.sawing);
    let first = planned(prefer);
    let used = blades_of(&first);
    // What could not be sawn with the blade for all may draw the rest along.
    let narrower = used.iter().copied().filter(|it| Some(*it) != prefer);
    let Some(other) = narrower.min_by(|a, b| width(making, *a).total_cmp(&width(making, *b))) else {
        return first;
    };
    if prefer.is_none() {
        return first;
    }
    let second = planned(Some(other));
    if blades_of(&second).len() < used.len() && troubles(&second) <= troubles(&first) {
        second
    } else {
        first
    }
}

fn blades_of(all: &[Sequence]) -> BTreeSet<BladeId> {
    all.iter().filter_map(|it| it.sheet.as_ref()).flat_map(|it| &it.plan.cuts).map(|it| it.blade).collect()
}

/// How many parts no cut was found for.
pub(super) fn troubles(all: &[Sequence]) -> usize {
    all.iter().map(|it| it.troubles.len()).sum()
}

/// Millimetres; none of a blade that is gone.
fn width(making: &Making, id: BladeId) -> f64 {
    crate::saw::blade(making, id).map_or(0.0, |it| it.width.to_mm())
}

struct Planning<'a> {
    making: &'a Making<'a>,
    face: FaceKey,
    parts: &'a [&'a Laid<'a>],
    wood: Outline,
    /// Where no blade should run: what is loose, hard or hides metal.
    faults: Vec<Outline>,
    thickness: Length,
    saw: &'a Bandsaw,
    /// The blade that saves changes over all faces.
    prefer: Option<BladeId>,
}

impl<'a> Planning<'a> {
    /// None of a face that is not known.
    fn new(
        making: &'a Making<'a>,
        face: FaceKey,
        laid: &'a [&'a Laid<'a>],
        parts: &[Laid],
    ) -> Option<Planning<'a>> {
        let found = making.brief.face(face).ok()?;
        let bad = found.zones.iter().filter(|it| !it.kind.is_sound());
        let faults = bad.map(|it| Outline::from(it.area.clone())).collect();
        let thick = laid.iter().map(|it| thickness_when_sawn(making, it, parts));
        let thickness = thick.fold(Length::ZERO, Length::max);
        let (wood, saw) = (found.outline, &making.brief.kit.bandsaw);
        Some(Planning { making, face, parts: laid, wood, faults, thickness, saw, prefer: None })
    }

    fn run(&self) -> Sequence {
        let parts: Vec<(PartKey, &Outline)> =
            self.parts.iter().map(|it| (it.key, &it.placement.outline)).collect();
        let bench = Bench {
            wood: &self.wood,
            parts: &parts,
            saw: self.saw,
            thickness: self.thickness,
            spare: OFF_THE_LINE,
        };
        let (first, own_refused) = self.own_cuts(&bench);
        let task = self.task(first);
        let kerf = self.making.brief.kit.machines.straight_kerf;
        let (apart, pieces) = apart::Saw { task: &task, bench: &bench, parts: self.parts, kerf }.pieces();
        let troubles = pieces.iter().flat_map(|it| it.planned.troubles.clone()).collect();
        let any = pieces.iter().any(|it| !it.planned.plan.cuts.is_empty());
        let sheet = any.then(|| self.sheet(apart, pieces));
        Sequence { face: self.face, thickness: self.thickness, sheet, troubles, own_refused }
    }

    fn task(&self, first: Vec<SawCut>) -> Task<'_> {
        let choices = &self.making.brief.job.choices;
        let blades = self.saw.blades.iter().filter(|it| !choices.blades_left.contains(&it.id));
        let wanted = self.parts.iter().map(|it| Wanted {
            part: it.key,
            outline: &it.placement.outline,
            blade: choices.blades.get(&it.pattern.id).copied(),
        });
        Task {
            face: self.face,
            wood: &self.wood,
            parts: wanted.collect(),
            faults: self.faults.clone(),
            throat: self.saw.throat,
            blades: blades.map(|it| self.size(it)).collect(),
            widest_bit: self.making.brief.kit.machines.widest_bit,
            spare: OFF_THE_LINE,
            wish: choices.sawing,
            prefer: self.prefer,
            first,
            starts: self.starts(),
        }
    }

    /// The holes that openings are begun in, as they lie on the face.
    fn starts(&self) -> Vec<SawHole> {
        let of_part = |part: &&Laid| -> Vec<SawHole> {
            let place = part.placement.place;
            let starts = openings::starts(self.making, part, self.parts).into_iter().flatten();
            let hole = |(at, diameter)| SawHole {
                part: part.key,
                at: place.point(at),
                diameter,
                is: SawHoleUse::Start,
            };
            starts.map(hole).collect()
        };
        self.parts.iter().flat_map(of_part).take(MOST_STARTS).collect()
    }

    fn size(&self, blade: &Blade) -> BladeSize {
        let teeth_suit = mount::teeth_suit(blade, self.thickness);
        BladeSize { teeth_suit, ..BladeSize::new(blade, self.saw) }
    }

    /// The maker's own cuts on this face that can be sawn, one after the other,
    /// and why others cannot.
    fn own_cuts(&self, bench: &Bench) -> (Vec<SawCut>, Vec<Refusal>) {
        let own = self.making.brief.job.choices.own_cuts.iter().filter(|it| it.face == self.face);
        let (mut first, mut refused) = (Vec::new(), Vec::new());
        for cut in own {
            match self.own_cut(bench, cut, &first) {
                Ok(cut) => first.push(cut),
                Err(refusal) => refused.extend(refusal),
            }
        }
        (first, refused)
    }

    /// A cut of the maker's own after others, with the blade that is named or the
    /// widest that can saw it.
    fn own_cut(&self, bench: &Bench, own: &OwnCut, before: &[SawCut]) -> Result<SawCut, Option<Refusal>> {
        let named = |it: &&Blade| own.blade.is_none_or(|named| named == it.id);
        let mut blades: Vec<&Blade> = self.saw.blades.iter().filter(named).collect();
        blades.sort_by(|a, b| b.width.to_mm().total_cmp(&a.width.to_mm()));
        let mut why = None;
        for blade in blades {
            let way = vec![SawLeg::Sawn { way: own.way.clone() }];
            // Whatever comes apart in it may hold parts: that is what it is drawn for.
            let kind = SawCutKind::Parting;
            let cut = SawCut { kind, parts: Vec::new(), blade: blade.id, legs: way };
            let cuts = before.iter().chain([&cut]).cloned().collect();
            let plan = CutPlan { face: self.face, holes: Vec::new(), cuts };
            let ruling = judge(bench, &plan);
            let of_this = |it: &&Refusal| it.cut == Some(before.len()) || it.fault == Fault::TooMuch;
            match ruling.refusals.iter().find(of_this) {
                None => return Ok(cut),
                Some(refusal) => why = Some(*refusal),
            }
        }
        Err(why)
    }

    fn sheet(&self, apart: Vec<HandCut>, pieces: Vec<Piece>) -> CutSheet {
        let mut open: Vec<Outline> = pieces.iter().map(|it| it.wood.clone()).collect();
        let mut plan = CutPlan { face: self.face, holes: Vec::new(), cuts: Vec::new() };
        let (mut told_of_cuts, mut told_of_parts) = (Vec::new(), Vec::new());
        for Piece { planned, ruling, .. } in pieces {
            plan.holes.extend(planned.plan.holes);
            plan.cuts.extend(planned.plan.cuts);
            told_of_cuts.extend(ruling.cuts);
            told_of_parts.extend(ruling.parts);
        }
        told_of_parts.sort_by_key(|it| it.part);
        let mut figures = Vec::new();
        for (cut, told) in plan.cuts.iter().zip(&told_of_cuts) {
            let Some(blade) = self.saw.blades.iter().find(|it| it.id == cut.blade) else { continue };
            let way: Vec<Point> = cut.sawn().collect();
            let kerf = band(&way, blade.kerf);
            let Some(index) = self.in_hand(&open, cut, &kerf) else { continue };
            let held = open.swap_remove(index);
            let (kept, waste): (Vec<Outline>, Vec<Outline>) =
                held.minus(&kerf).into_iter().partition(|it| self.holds_a_part(it));
            open.extend(kept);
            let falls: Vec<Falling> = waste.into_iter().map(|it| falling(it, told)).collect();
            figures.push(CutFigures {
                words: words::cut(self.making, self.parts, cut, told, &falls),
                width: blade.width,
                kerf: blade.kerf,
                reach: told.reach,
                held: held.simplified(DRAWN),
                work: told.work,
                overhang: told.overhang,
                falls,
            });
        }
        let left = told_of_parts.iter().map(|it| StockLeft {
            part: it.part,
            // The judge knows the most less finely than the mean.
            most: it.left_most.max(it.left_mean),
            at: it.left_most_at,
            mean: it.left_mean,
        });
        let (throat, table) = (self.saw.throat, self.saw.table);
        CutSheet { apart, plan, cuts: figures, left: left.collect(), throat, table }
    }

    /// Which piece a cut takes up: the one with a part that it is for or, where it
    /// is for none, the one that it goes through most. All else lies aside.
    fn in_hand(&self, open: &[Outline], cut: &SawCut, kerf: &[Outline]) -> Option<usize> {
        let is_for = |it: &&&Laid| cut.parts.contains(&it.key);
        let own = |piece: &Outline| self.parts.iter().filter(is_for).any(|it| lies_in(it, piece));
        let through =
            |piece: &Outline| -> f64 { kerf.iter().map(|it| piece.overlap_area(it).to_mm2()).sum() };
        let most = || (0..open.len()).max_by(|a, b| through(&open[*a]).total_cmp(&through(&open[*b])));
        open.iter().position(own).or_else(most)
    }

    fn holds_a_part(&self, piece: &Outline) -> bool {
        self.parts.iter().any(|it| lies_in(it, piece))
    }
}

/// Whether a part, whose line no cut crosses, lies in a piece.
fn lies_in(part: &Laid, piece: &Outline) -> bool {
    piece.contains(part.placement.outline.outer().corners()[0])
}

/// A piece that comes off, with the moment that the judge saw it come off.
fn falling(outline: Outline, told: &CutRuling) -> Falling {
    let middle = outline.centroid();
    let far = |it: &&judge::Fall| it.middle.distance(middle).to_mm();
    let seen = told.falls.iter().min_by(|a, b| far(a).total_cmp(&far(b)));
    let after = seen.map_or(Length::ZERO, |it| it.after);
    Falling { area: outline.area(), outline: outline.simplified(DRAWN), after }
}
