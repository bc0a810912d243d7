//! The whole face: its parts kept apart, one after the other sawn out.

use std::cell::Cell;

use measure::{Area, Length};
use outline::{Outline, Point};
use stock::{CutPlan, PartKey, SawCut, SawCutKind, SawHole};

use crate::between::Crowd;
use crate::choice::{Avoided, Chosen, candidates, choose};
use crate::fence::Fence;
use crate::lead::Ground;
use crate::line::Line;
use crate::part::{Sawn, Setting};
use crate::straight::{TRIM_CLOSE, TRIM_OFF, Trims, parting, sides, trims};
use crate::wood::Wood;
use crate::{BladeSize, Task, Trouble, TroubleKind, Wanted};

/// No cuts are planned for more parts on one face: nobody saws so many out of one
/// piece without looking anew.
const MOST_PARTS: usize = 60;

/// Parts that share less lie beside one another.
const LEAST_OVERLAP: Area = Area::mm2(1.0);

/// After so many refusals a face is given up.
const MOST_REFUSALS: usize = 12;

/// So many parts are looked at, again and again, to get those apart that no
/// straight cut parts: six parts ten times and more.
const MOST_TRIES: usize = 80;

/// A throat as wide as if there were no column, millimetres.
const NO_COLUMN: f64 = 1e6;

/// So many ways of sawing out one part are tried: blades, trims.
const MOST_ATTEMPTS: u32 = 60;

/// So many blades are tried for a part among others.
const TRIED_IN_CROWD: usize = 3;

/// Faults narrower than this are not looked for along a cut, millimetres.
const CLOSE: f64 = 1.0;

/// A plan, and the parts that it does not free.
#[derive(Clone, Debug, PartialEq)]
#[must_use]
pub struct Planned {
    /// Holes and cuts, in order.
    pub plan: CutPlan,
    /// What cannot be sawn, and why.
    pub troubles: Vec<Trouble>,
    /// The fewest cuts with the same blades: those between parts, and along each
    /// line one between two corners that its blade cannot follow.
    pub least_cuts: usize,
}

/// Which cuts free the parts of a face, in which order.
///
/// Every plan is put before `refused`, which saws it through and names the part
/// at whose cuts it fails, if it does. That part is then planned otherwise:
/// without holes, or with another blade, until a plan stands or it is given up.
pub fn plan(task: &Task, refused: &dyn Fn(&Planned) -> Option<PartKey>) -> Planned {
    if let Some(troubles) = overlaps(task) {
        let plan = CutPlan { face: task.face, holes: Vec::new(), cuts: Vec::new() };
        return Planned { plan, troubles, least_cuts: 0 };
    }
    let candidates = candidates(task);
    let mut avoided = Vec::new();
    let mut last = None;
    for _ in 0..MOST_REFUSALS {
        let (found, ways) = plan_avoiding(task, &candidates, &avoided);
        let Some(part) = refused(&found) else { return found };
        last = Some(found.least_cuts);
        // A part that was not sawn at cannot be sawn otherwise.
        let Some(way) = ways.iter().find(|it| it.part == part).copied() else { break };
        avoided.push(way);
    }
    given_up(task, last.unwrap_or_default())
}

/// The shortest straight line between some of a face's parts and the others, as a
/// hand-held saw with this kerf follows it: no column is in its way. None if there
/// is none, or no sound blade.
pub fn straight_between(task: &Task, kerf: Length) -> Option<[Point; 2]> {
    let blade = task.blades.iter().find(|it| it.is_sound())?;
    let off = kerf.to_mm() / 2.0 + task.spare.to_mm();
    let around = |it: &Wanted| Fence::around(it.outline, off);
    let fences: Vec<Fence> = task.parts.iter().map(around).collect::<Option<_>>()?;
    let wood = Wood::new(task.wood.clone());
    let ground = Ground { wood: &wood, fences: &fences, throat: NO_COLUMN, blade };
    let straight = parting(&ground, &fences.iter().collect::<Vec<_>>())?;
    Some([straight.from, straight.to])
}

/// Parts that lie on one another, or more than are planned on one face.
fn overlaps(task: &Task) -> Option<Vec<Trouble>> {
    let trouble = |it: &Wanted| Trouble { part: it.part, kind: TroubleKind::Overlaps };
    if task.parts.len() > MOST_PARTS {
        return Some(task.parts.iter().map(trouble).collect());
    }
    let is_on = |it: &&Wanted| {
        let others = task.parts.iter().filter(|other| other.part != it.part);
        others.clone().any(|other| it.outline.overlap_area(other.outline) > LEAST_OVERLAP)
    };
    let found: Vec<Trouble> = task.parts.iter().filter(is_on).map(trouble).collect();
    (!found.is_empty()).then_some(found)
}

fn plan_avoiding<'a>(
    task: &Task<'a>,
    candidates: &[Chosen<'a>],
    avoided: &[Avoided],
) -> (Planned, Vec<Avoided>) {
    let chosen = choose(task, candidates, avoided);
    let mut planning = Planning {
        task,
        chosen: &chosen,
        fences: chosen.iter().map(|it| it.fence.clone()).collect(),
        cuts: Vec::new(),
        holes: task.starts.clone(),
        troubles: Vec::new(),
        least_cuts: 0,
        ways: Vec::new(),
        tries: MOST_TRIES,
        attempts: Cell::new(MOST_ATTEMPTS),
    };
    planning.run();
    let plan = CutPlan { face: task.face, holes: planning.holes, cuts: planning.cuts };
    (Planned { plan, troubles: planning.troubles, least_cuts: planning.least_cuts }, planning.ways)
}

/// No cuts at all, where the fault lies in none that could be planned otherwise.
fn given_up(task: &Task, least_cuts: usize) -> Planned {
    let refused = |it: &Wanted| Trouble { part: it.part, kind: TroubleKind::Refused };
    let plan = CutPlan { face: task.face, holes: Vec::new(), cuts: Vec::new() };
    Planned { plan, troubles: task.parts.iter().map(refused).collect(), least_cuts }
}

/// What takes parts from one another: cuts, and the pieces that these leave.
struct Step<'p, 'a> {
    cuts: Vec<SawCut>,
    rest: Vec<Outline>,
    /// The line that it saws one part out along, if it does.
    line: Option<&'p Line<'a>>,
}

struct Planning<'p, 'a> {
    task: &'p Task<'a>,
    chosen: &'p [Chosen<'a>],
    // Invariant: one for each chosen part, in the same order.
    fences: Vec<Fence>,
    cuts: Vec<SawCut>,
    holes: Vec<SawHole>,
    troubles: Vec<Trouble>,
    least_cuts: usize,
    /// How each part was sawn.
    ways: Vec<Avoided>,
    /// How many parts may still be looked at to get those of a crowd apart.
    tries: usize,
    /// How many ways of sawing out the present part may still be tried.
    attempts: Cell<u32>,
}

impl<'p, 'a> Planning<'p, 'a> {
    fn run(&mut self) {
        let mut open = vec![self.task.wood.clone()];
        for cut in self.task.first.clone() {
            let Some(kerf) = self.task.blades.iter().find(|it| it.id == cut.blade).map(|it| it.kerf) else {
                continue;
            };
            let way: Vec<Point> = cut.sawn().collect();
            open = open.into_iter().flat_map(|it| Wood::new(it).without(&way, kerf)).collect();
            self.cuts.push(cut);
        }
        let mut single: Vec<(usize, Wood)> = Vec::new();
        while let Some(outline) = open.pop() {
            let wood = Wood::new(outline);
            match self.within(&wood)[..] {
                [] => {}
                [only] => single.push((only, wood)),
                ref within => match self.apart(&wood, within) {
                    Ok(step) => open.extend(self.take(step)),
                    Err(kind) => within.iter().for_each(|it| self.trouble(*it, kind.clone())),
                },
            }
        }
        self.one_by_one(single);
    }

    /// The parts in some wood, by their number.
    fn within(&self, wood: &Wood) -> Vec<usize> {
        let inside = |it: &usize| wood.outline.contains(self.chosen[*it].wanted.within());
        (0..self.chosen.len()).filter(inside).collect()
    }

    fn ground<'b>(&'b self, wood: &'b Wood, blade: &'b BladeSize, throat: f64) -> Ground<'b> {
        Ground { wood, fences: &self.fences, throat, blade }
    }

    /// Parts the wood of several, if need be after it has been trimmed around all
    /// of them; otherwise why not.
    fn apart(&mut self, wood: &Wood, within: &[usize]) -> Result<Step<'p, 'a>, TroubleKind> {
        let throat = self.task.throat.to_mm();
        let blade = self.parting_blade(within).ok_or_else(|| self.chosen[within[0]].nothing_left())?;
        if let Some(found) = self.step(wood, within, throat) {
            return Ok(found);
        }
        if self.step(wood, within, NO_COLUMN).is_none() {
            // Trims do not help.
            return Err(TroubleKind::Crowded { column: false });
        }
        let around: Vec<Point> =
            within.iter().flat_map(|it| self.fences[*it].ring.corners()).copied().collect();
        let parts: Vec<Wanted> = within.iter().map(|it| self.chosen[*it].wanted).collect();
        let sides = sides(&around);
        let trimmed = trims(&sides, &TRIM_CLOSE).filter(Trims::is_even).find_map(|trims| {
            let (cuts, trimmed) = self.trimmed(wood, &parts, &blade, &trims)?;
            let step = (!cuts.is_empty()).then(|| self.step(&trimmed, within, throat))??;
            Some(Step { cuts: cuts.into_iter().chain(step.cuts).collect(), ..step })
        });
        trimmed.ok_or(TroubleKind::Crowded { column: true })
    }

    /// The one cut between some parts, straight or curved, or those that saw one
    /// of them out of the whole.
    fn step(&mut self, wood: &Wood, within: &[usize], throat: f64) -> Option<Step<'p, 'a>> {
        if let Some(straight) = self.part(wood, within, throat) {
            return Some(straight);
        }
        self.tries = self.tries.checked_sub(within.len())?;
        let curve = self.part_by_curve(wood, within, throat);
        curve.or_else(|| within.iter().find_map(|it| self.out(*it, wood, within, throat)))
    }

    /// What a step leaves, with what it takes written down.
    fn take(&mut self, step: Step<'p, 'a>) -> Vec<Outline> {
        match step.line {
            Some(line) => self.sawn_along(line),
            None => self.least_cuts += 1,
        }
        self.cuts.extend(step.cuts);
        step.rest
    }

    /// Parts the wood between its parts by one straight cut.
    fn part(&self, wood: &Wood, within: &[usize], throat: f64) -> Option<Step<'p, 'a>> {
        let blade = self.parting_blade(within)?;
        let fences: Vec<&Fence> = within.iter().map(|it| &self.fences[*it]).collect();
        let straight = parting(&self.ground(wood, &blade, throat), &fences)?;
        let parts = within.iter().map(|it| self.chosen[*it].wanted.part).collect();
        let cuts = vec![straight.cut(SawCutKind::Parting, parts, blade.id)];
        Some(Step { cuts, rest: wood.without(&[straight.from, straight.to], blade.kerf), line: None })
    }

    /// The same by a curved cut, with the widest of the blades that finds one.
    fn part_by_curve(&self, wood: &Wood, within: &[usize], throat: f64) -> Option<Step<'p, 'a>> {
        let parts = within.iter().map(|it| (self.chosen[*it].wanted, &self.fences[*it])).collect();
        let crowd = Crowd { parts, fences: &self.fences, throat, wood };
        let mut blades: Vec<BladeSize> = within.iter().filter_map(|it| self.chosen[*it].best()).collect();
        blades.sort_by(|a, b| b.width.to_mm().total_cmp(&a.width.to_mm()));
        blades.dedup_by_key(|it| it.id);
        let (cut, rest) = blades.iter().find_map(|it| crowd.part(it))?;
        Some(Step { cuts: vec![cut], rest, line: None })
    }

    /// Saws one part out from among others.
    fn out(&self, index: usize, wood: &Wood, within: &[usize], throat: f64) -> Option<Step<'p, 'a>> {
        let others = within.iter().filter(|it| **it != index).map(|it| &self.chosen[*it].wanted);
        let others: Vec<(PartKey, Point)> = others.map(|it| (it.part, it.within())).collect();
        self.chosen[index].lines(self.task).take(TRIED_IN_CROWD).find_map(|line| {
            let setting = Setting { line, fences: &self.fences, others: &others, throat };
            let Sawn { cuts, rest, .. } = setting.saw_out(wood)?;
            // None of them may go with the waste, or stay in the part's own piece.
            let is_kept = |it: &(PartKey, Point)| rest.iter().any(|piece| piece.contains(it.1));
            others.iter().all(is_kept).then_some(Step { cuts, rest, line: Some(line) })
        })
    }

    /// Straight cuts are sawn with the widest blade that is mounted for the
    /// parts anyway.
    fn parting_blade(&self, within: &[usize]) -> Option<BladeSize> {
        let mounted = within.iter().filter_map(|it| self.chosen[*it].best());
        mounted.max_by(|a, b| a.width.to_mm().total_cmp(&b.width.to_mm()))
    }

    /// Saws a part out, as long as there are tries left.
    fn attempt(&self, setting: &Setting, wood: &Wood) -> Option<Sawn> {
        let left = self.attempts.get().checked_sub(1)?;
        self.attempts.set(left);
        setting.saw_out(wood)
    }

    /// Saws each part out of its own wood, those of one blade after another.
    fn one_by_one(&mut self, mut single: Vec<(usize, Wood)>) {
        let width = |index: usize| self.chosen[index].best().map_or(Length::ZERO, |it| it.width);
        single.sort_by(|a, b| width(b.0).to_mm().total_cmp(&width(a.0).to_mm()).then(a.0.cmp(&b.0)));
        for (index, wood) in single {
            self.attempts.set(MOST_ATTEMPTS);
            let lines = self.chosen[index].lines(self.task);
            let found = lines.into_iter().find_map(|line| self.saw_out(line, &wood).map(|it| (line, it)));
            match found {
                Some((line, sawn)) => {
                    let around = self.around_faults(line, &wood, &sawn);
                    self.sawn_along(line);
                    self.cuts.extend(around.unwrap_or(sawn).cuts);
                }
                None => {
                    let kind = self.reason(index, &wood);
                    self.trouble(index, kind);
                }
            }
        }
    }

    fn sawn_along(&mut self, line: &Line) {
        let (part, blade) = (line.wanted.part, line.blade.id);
        self.ways.push(Avoided { part, blade, with_holes: !line.pivots.is_empty() });
        self.least_cuts += line.least_cuts();
        self.holes.extend(line.holes());
    }

    /// Saws one part out of its own wood, after as few trims as it takes.
    fn saw_out(&self, line: &Line, wood: &Wood) -> Option<Sawn> {
        let throat = self.task.throat.to_mm();
        let setting = Setting { line, fences: &self.fences, others: &[], throat };
        let whole = self.attempt(&setting, wood);
        let few = |it: &Sawn| it.cuts.len() <= line.least_cuts();
        if whole.as_ref().is_some_and(few) {
            return whole;
        }
        if whole.is_none() && self.attempt(&Setting { throat: NO_COLUMN, ..setting }, wood).is_none() {
            // The column is not to blame: trims do not help.
            return None;
        }
        let sides = sides(line.fence.ring.corners());
        let trimmed = |trims: Trims| {
            let (cuts, trimmed) = self.trimmed(wood, &[line.wanted], &line.blade, &trims)?;
            Some(self.attempt(&setting, &trimmed)?.after(cuts))
        };
        match whole {
            // One trim may save more than one cut.
            Some(whole) => {
                let mut once = trims(&sides, &TRIM_OFF).filter(|it| it.sides.len() == 1);
                let fewer = once.find_map(|it| trimmed(it).filter(|it| it.cuts.len() < whole.cuts.len()));
                Some(fewer.unwrap_or(whole))
            }
            None => trims(&sides, &TRIM_OFF).find_map(trimmed),
        }
    }

    /// The cuts that trim the wood around some parts, and what they leave of it.
    fn trimmed(
        &self,
        wood: &Wood,
        parts: &[Wanted],
        blade: &BladeSize,
        trims: &Trims,
    ) -> Option<(Vec<SawCut>, Wood)> {
        let keys: Vec<PartKey> = parts.iter().map(|it| it.part).collect();
        let holds_all = |piece: &Outline| parts.iter().all(|it| piece.contains(it.within()));
        let (mut cuts, mut wood) = (Vec::new(), wood.clone());
        for side in &trims.sides {
            while let Some(trim) =
                side.trim(&self.ground(&wood, blade, self.task.throat.to_mm()), trims.off)?
            {
                cuts.push(trim.cut(SawCutKind::Trim, keys.clone(), blade.id));
                let left = wood.without(&[trim.from, trim.to], blade.kerf);
                wood = Wood::new(left.into_iter().find(holds_all)?);
            }
        }
        Some((cuts, wood))
    }

    /// Where cuts run through faults of the wood: the same with these taken away
    /// first by straight cuts, if they can be.
    fn around_faults(&self, line: &Line, wood: &Wood, sawn: &Sawn) -> Option<Sawn> {
        let runs_in = |fault: &&Outline| sawn.cuts.iter().flat_map(places).any(|it| fault.contains(it));
        let faults: Vec<&Outline> = self.task.faults.iter().filter(runs_in).collect();
        if faults.is_empty() {
            return None;
        }
        let setting = Setting { line, fences: &self.fences, others: &[], throat: self.task.throat.to_mm() };
        let mut freed = Sawn { cuts: Vec::new(), wood: wood.clone(), rest: Vec::new() };
        for fault in faults {
            let fault = Fence::around(fault, line.blade.kerf.to_mm())?;
            let Some(trim) = parting(&setting.ground(&freed.wood), &[&line.fence, &fault]) else { continue };
            setting.apply(&mut freed, trim.cut(SawCutKind::Trim, vec![line.wanted.part], line.blade.id))?;
        }
        Some(self.saw_out(line, &freed.wood)?.after(freed.cuts))
    }

    /// Why no blade finds a way: the column, or the way in.
    fn reason(&self, index: usize, wood: &Wood) -> TroubleKind {
        let Some(line) = self.chosen[index].lines(self.task).next() else {
            return self.chosen[index].nothing_left();
        };
        let setting = Setting { line, fences: &self.fences, others: &[], throat: NO_COLUMN };
        match setting.saw_out(wood) {
            Some(_) => TroubleKind::Column { reach: Length::mm(self.least_reach(line)) },
            None => TroubleKind::NoWay,
        }
    }

    /// How far the part alone reaches toward the column where it does most.
    fn least_reach(&self, line: &Line) -> f64 {
        let own = Wood::new(line.fence.ring.clone().into());
        let way = &line.way;
        (0..way.count()).map(|it| own.reach(way.at(it), way.heading(it))).fold(0.0, f64::max)
    }

    fn trouble(&mut self, index: usize, kind: TroubleKind) {
        self.troubles.push(Trouble { part: self.chosen[index].wanted.part, kind });
    }
}

/// Places along a cut, close together.
fn places(cut: &SawCut) -> Vec<Point> {
    let way: Vec<Point> = cut.sawn().collect();
    let steps = |pair: &[Point]| (pair[0].distance(pair[1]).to_mm() / CLOSE).ceil().max(1.0) as usize;
    way.windows(2)
        .flat_map(|it| (0..=steps(it)).map(|step| it[0].toward(it[1], step as f64 / steps(it) as f64)))
        .collect()
}
