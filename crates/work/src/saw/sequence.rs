//! Which cuts saw a face apart: planned, then proved.

use cuts::{BladeSize, Planned, Task, Trouble, Wanted};
use judge::{Bench, Refusal, Ruling, judge};
use measure::Length;
use outline::{Outline, Point, band};
use stock::{
    Bandsaw, Blade, BladeId, CutPlan, FaceKey, OwnCut, PartKey, SawCut, SawCutKind, SawLeg, Zone,
};

use crate::cut_sheet::{CutFigures, CutSheet, Falling, StockLeft};
use crate::making::{Laid, Making};
use crate::saw::OFF_THE_LINE;

/// Fallen pieces are drawn this exactly.
const DRAWN: Length = Length::mm(0.3);

/// What came of planning a face.
pub(super) struct Sequence {
    pub(super) face: FaceKey,
    /// The cuts with their figures; none of a plan that was refused.
    pub(super) sheet: Option<CutSheet>,
    /// Parts that no cut was found for.
    pub(super) troubles: Vec<Trouble>,
    /// Why the plan was refused.
    pub(super) refusal: Option<Refusal>,
    /// Cuts of the maker's own that cannot be sawn, by their number among the
    /// face's own, and why.
    pub(super) own_refused: Vec<(usize, Refusal)>,
}

/// Plans the cuts of a face and has them judged.
pub(super) fn of_face(making: &Making, face: FaceKey, parts: &[&Laid], thickness: Length) -> Option<Sequence> {
    let wood = making.brief.face(face).ok()?.outline;
    let planning = Planning { making, face, parts, wood, thickness, saw: &making.brief.kit.bandsaw };
    Some(planning.run())
}

struct Planning<'a> {
    making: &'a Making<'a>,
    face: FaceKey,
    parts: &'a [&'a Laid<'a>],
    wood: Outline,
    thickness: Length,
    saw: &'a Bandsaw,
}

impl Planning<'_> {
    fn run(&self) -> Sequence {
        let (first, own_refused) = self.own_cuts();
        let task = self.task(first);
        let Planned { plan, troubles, .. } = cuts::plan(&task);
        let ruling = self.judged(&plan);
        let refusal = self.counted(&ruling, &troubles);
        let sheet = match refusal {
            None if !plan.cuts.is_empty() => Some(self.sheet(plan, &ruling)),
            _ => None,
        };
        Sequence { face: self.face, sheet, troubles, refusal, own_refused }
    }

    fn task(&self, first: Vec<SawCut>) -> Task<'_> {
        let choices = &self.making.brief.job.choices;
        let blades = self.saw.blades.iter().filter(|it| !choices.blades_left.contains(&it.id));
        let wanted = |it: &&Laid| Wanted {
            part: it.key,
            outline: &it.placement.outline,
            blade: choices.blades.get(&it.pattern.id).copied(),
        };
        Task {
            face: self.face,
            wood: &self.wood,
            parts: self.parts.iter().map(wanted).collect(),
            faults: self.faults(),
            throat: self.saw.throat,
            blades: blades.map(|it| BladeSize::new(it, self.saw)).collect(),
            widest_bit: self.making.brief.kit.machines.widest_bit,
            spare: OFF_THE_LINE,
            wish: choices.sawing,
            first,
        }
    }

    /// Places where no blade should run: what is loose, hard or hides metal.
    fn faults(&self) -> Vec<Outline> {
        let zones = self.making.brief.face(self.face).map(|it| it.zones).unwrap_or_default();
        let bad = zones.into_iter().filter(|it: &Zone| !it.kind.is_sound());
        bad.map(|it| Outline::from(it.area)).collect()
    }

    /// A ruling on some cuts.
    fn judged(&self, plan: &CutPlan) -> Ruling {
        let parts: Vec<(PartKey, &Outline)> =
            self.parts.iter().map(|it| (it.key, &it.placement.outline)).collect();
        judge(
            &Bench {
                wood: &self.wood,
                parts: &parts,
                saw: self.saw,
                thickness: self.thickness,
                spare: OFF_THE_LINE,
            },
            plan,
        )
    }

    /// The first refusal that counts: a part that nobody planned to free may
    /// hang on, and thick wood is a finding of its own.
    fn counted(&self, ruling: &Ruling, troubles: &[Trouble]) -> Option<Refusal> {
        let left_out = !troubles.is_empty();
        ruling.refusals.iter().copied().find(|it| match it.fault {
            judge::Fault::NotFreed | judge::Fault::HangsTogether => !left_out,
            judge::Fault::TooThick => false,
            _ => true,
        })
    }

    /// The maker's own cuts on this face that can be sawn, one after the other,
    /// and those that cannot.
    fn own_cuts(&self) -> (Vec<SawCut>, Vec<(usize, Refusal)>) {
        let own = self.making.brief.job.choices.own_cuts.iter().filter(|it| it.face == self.face);
        let (mut first, mut refused) = (Vec::new(), Vec::new());
        for (index, cut) in own.enumerate() {
            match self.own_cut(cut, &first) {
                Ok(cut) => first.push(cut),
                Err(Some(refusal)) => refused.push((index, refusal)),
                Err(None) => {}
            }
        }
        (first, refused)
    }

    /// A cut of the maker's own after others, with the blade that is named or the
    /// widest that can saw it.
    fn own_cut(&self, own: &OwnCut, before: &[SawCut]) -> Result<SawCut, Option<Refusal>> {
        let mut blades: Vec<&Blade> =
            self.saw.blades.iter().filter(|it| own.blade.is_none_or(|named| named == it.id)).collect();
        blades.sort_by(|a, b| b.width.to_mm().total_cmp(&a.width.to_mm()));
        let mut worst = None;
        for blade in blades {
            // What comes apart may hold parts on both sides.
            let kinds = [SawCutKind::Trim, SawCutKind::Parting];
            for kind in kinds {
                let cut = own_cut(own, blade.id, kind, self.parts);
                let cuts = before.iter().chain([&cut]).cloned().collect();
                let plan = CutPlan { face: self.face, holes: Vec::new(), cuts };
                let ruling = self.judged(&plan);
                let of_this = ruling.refusals.iter().find(|it| it.cut == Some(before.len()));
                match of_this {
                    None => return Ok(cut),
                    Some(refusal) => worst = Some(*refusal),
                }
            }
        }
        Err(worst)
    }

    fn sheet(&self, plan: CutPlan, ruling: &Ruling) -> CutSheet {
        let mut open = vec![self.wood.clone()];
        let mut figures = Vec::new();
        for (index, cut) in plan.cuts.iter().enumerate() {
            let Some(blade) = self.saw.blades.iter().find(|it| it.id == cut.blade) else { continue };
            let Some(told) = ruling.cuts.get(index) else { continue };
            let before = open.len();
            open = open.iter().flat_map(|it| it.minus(&band(&way(cut), blade.kerf))).collect();
            let falls = if open.len() > before || !told.falls.is_empty() {
                self.falls(&mut open, told)
            } else {
                Vec::new()
            };
            figures.push(CutFigures {
                words: self.words(cut, told, &falls),
                width: blade.width,
                kerf: blade.kerf,
                reach: told.reach,
                work: told.work,
                overhang: told.overhang,
                falls,
            });
        }
        let left = ruling.parts.iter().map(|it| StockLeft {
            part: it.part,
            most: it.left_most,
            at: it.left_most_at,
            mean: it.left_mean,
        });
        CutSheet {
            plan,
            cuts: figures,
            left: left.collect(),
            throat: self.saw.throat,
            table: self.saw.table,
        }
    }

    /// The waste among pieces of wood, taken out of them: it has fallen.
    fn falls(&self, open: &mut Vec<Outline>, told: &judge::CutRuling) -> Vec<Falling> {
        let holds = |it: &Outline| {
            let inside = |part: &&&Laid| it.contains(part.placement.outline.outer().corners()[0]);
            self.parts.iter().any(|part| inside(&part))
        };
        let (keep, waste): (Vec<Outline>, Vec<Outline>) = open.drain(..).partition(holds);
        *open = keep;
        let after = |middle: Point| {
            let near = told.falls.iter().filter(|it| it.parts.is_empty());
            near.min_by(|a, b| {
                a.middle.distance(middle).to_mm().total_cmp(&b.middle.distance(middle).to_mm())
            })
        };
        let piece = |outline: Outline| {
            let after = after(outline.centroid()).map_or(Length::ZERO, |it| it.after);
            Falling { area: outline.area(), outline: outline.simplified(DRAWN), parts: Vec::new(), after }
        };
        waste.into_iter().map(piece).collect()
    }

    fn words(&self, cut: &SawCut, told: &judge::CutRuling, falls: &[Falling]) -> String {
        super::words::cut(self.making, self.parts, cut, told, falls)
    }
}

/// The way of the teeth.
fn way(cut: &SawCut) -> Vec<Point> {
    cut.sawn().collect()
}

fn own_cut(own: &OwnCut, blade: BladeId, kind: SawCutKind, parts: &[&Laid]) -> SawCut {
    let parts = match kind {
        SawCutKind::Parting => parts.iter().map(|it| it.key).collect(),
        _ => Vec::new(),
    };
    SawCut { kind, parts, blade, legs: vec![SawLeg::Sawn { way: own.way.clone() }] }
}
