//! What can go wrong when a pattern is sawn.

use cuts::{MOST_LEFT, Trouble, TroubleKind, least_radius};
use judge::{Fault, Refusal};
use measure::{Figure, Length};
use outline::Bend;
use stock::{Blade, BladeId, Change, FaceKey, Finding, Grade, Mending, Spot};

use crate::machining::counted;
use crate::making::{Laid, Making};
use crate::saw::follow::{Bends, path_radius};
use crate::saw::mount;
use crate::saw::sequence::Sequence;
use crate::saw::{OFF_THE_LINE, blade, openings};

/// All findings about a pattern's line, once for each pattern.
pub(super) fn pattern(making: &mut Making, part: &Laid, used: Option<BladeId>, holes: usize) {
    let bends = Bends::of(part.pattern);
    if let Some(blade) = used.and_then(|it| blade(making, it)) {
        too_tight(making, part, &bends, blade, holes);
    }
    corners(making, part, &bends, holes);
    openings::find(making, part);
}

/// Findings about the blades, once for each that saws something, with the work
/// that it saws first; and those that no cut is planned with.
pub(super) fn blades(making: &mut Making, parts: &[Laid]) {
    let units = making.units();
    let saw = &making.brief.kit.bandsaw;
    let mut told: Vec<BladeId> = Vec::new();
    let mut found = Vec::new();
    for part in parts {
        let Some(sheet) = making.cut_sheet_of(part.placement.face) else { continue };
        let Some(used) = super::blade_of(sheet, part.key).filter(|it| !told.contains(it)) else { continue };
        told.push(used);
        let Some(blade) = blade(making, used) else { continue };
        let thickness = crate::machining::thickness_when_sawn(making, part, parts);
        found.extend(mount::teeth(units, blade, thickness, part.spot_within()));
    }
    if !parts.is_empty() {
        found.extend(saw.blades.iter().filter_map(|it| mount::kerf(units, it)));
        found.extend(mount::speed_finding(units, saw));
    }
    found.into_iter().for_each(|it| making.find(it));
}

/// Finding `too thick for the bandsaw`.
pub(super) fn height(making: &mut Making, part: &Laid, thickness: Length) {
    let units = making.units();
    let height = making.brief.kit.bandsaw.height;
    if thickness <= height {
        return;
    }
    making.find(Finding {
        grade: Grade::Stop,
        rule: "too thick for the bandsaw".to_owned(),
        what: format!(
            "{} is {} thick, under the guide pass {}",
            part.name,
            units.length(thickness),
            units.length(height)
        ),
        spot: part.spot_within(),
        figure: Figure::new("thickness when sawn", units.length(thickness))
            .by("finished thickness + 2 · sanding", "the shop's own allowances")
            .from("finished", units.length(part.want.thickness)),
        limit: units.length(height),
        why: "the guide cannot be set above it".to_owned(),
        mendings: vec![Mending::by_hand("saw it from thinner wood, or with a hand-held saw")],
    });
}

/// Findings about the cuts of a face.
pub(super) fn sequence(making: &mut Making, sequence: &Sequence, laid: &[&Laid]) {
    for trouble in &sequence.troubles {
        if let Some(part) = laid.iter().find(|it| it.key == trouble.part) {
            let finding = not_sawn(making, part, trouble);
            making.find(finding);
        }
    }
    for refusal in &sequence.own_refused {
        let finding = own_cut(making, sequence.face, refusal);
        making.find(finding);
    }
    left_over(making, sequence, laid);
}

/// Findings `no blade for the bandsaw`, `work meets the column`, `parts too close
/// to saw apart`, `no cuts planned here` and `no way for the blade`.
fn not_sawn(making: &Making, part: &Laid, trouble: &Trouble) -> Finding {
    match trouble.kind {
        TroubleKind::NoBlade => no_blade(making, part),
        TroubleKind::Column { reach } => column(making, part, reach),
        TroubleKind::Crowded { column } => crowded(part, column),
        TroubleKind::Overlaps => overlaps(part),
        TroubleKind::NoWay | TroubleKind::Refused => no_way(part),
    }
}

/// A part without cuts: figure, limit and reason are still the most that fits.
fn without_cuts(part: &Laid, rule: &str, what: String, why: &str, mut mendings: Vec<Mending>) -> Finding {
    mendings.push(Mending::by_hand("saw it with a hand-held jig saw or a bow saw, as planned now"));
    Finding {
        grade: Grade::Mend,
        rule: rule.to_owned(),
        what,
        spot: part.spot_within(),
        figure: Figure::new("cuts that hold", "0")
            .by("ways of the blade that were tried", "sawn through step by step"),
        limit: "1".to_owned(),
        why: why.to_owned(),
        mendings,
    }
}

fn no_blade(making: &Making, part: &Laid) -> Finding {
    let what = format!("{} is sawn on the bandsaw, and no blade of the shop may saw it", part.pattern.name);
    let why = "without its width nobody can say which curves it follows";
    let mending = "write the blades on the wall into the shop's list, or let this job use more of them";
    let choices = &making.brief.job.choices;
    let figure = Figure::new("blades", making.brief.kit.bandsaw.blades.len().to_string())
        .by("counted", "the shop's own list")
        .from("left on the wall in this job", choices.blades_left.len().to_string());
    let mendings = vec![Mending::by_hand(mending)];
    Finding { figure, ..without_cuts(part, "no blade for the bandsaw", what, why, mendings) }
}

fn column(making: &Making, part: &Laid, reach: Length) -> Finding {
    let units = making.units();
    let what = format!(
        "{} cannot be turned at the blade without meeting the column, however its waste is trimmed",
        part.name
    );
    let why = "the cut stops with the blade caught in its own kerf";
    let mending = "crosscut the wood shorter with a hand saw first, or saw it in two halves from both ends";
    let figure = Figure::new("reach toward the column", units.length(reach)).by(
        "farthest of the part itself outward from its line, over all of the line",
        "derived: the waste on the column's side",
    );
    let limit = units.length(making.brief.kit.bandsaw.throat);
    let mendings = vec![Mending::by_hand(mending)];
    Finding { figure, limit, ..without_cuts(part, "work meets the column", what, why, mendings) }
}

fn crowded(part: &Laid, column: bool) -> Finding {
    let rule = "parts too close to saw apart";
    let (what, why, mendings) = if column {
        (
            format!("no cut parts {} from its neighbours before the work meets the column", part.name),
            "as long as they hang together all of them have to turn at the blade",
            [
                "crosscut the wood between them with a hand-held saw first",
                "pin them farther apart, in the layout, so that a straight cut comes between",
            ],
        )
    } else {
        (
            format!("no cut comes to {} without cutting a neighbour loose or into it", part.name),
            "a blade goes in and out again, and turns only so tight in between",
            ["pin one of the parts a little farther off, in the layout", "lay one of them on another piece"],
        )
    };
    without_cuts(part, rule, what, why, mendings.map(Mending::by_hand).to_vec())
}

fn overlaps(part: &Laid) -> Finding {
    let what = format!("{} lies on another part, or more than 60 parts lie on its face", part.name);
    let why = "cuts are planned one by one, for parts that lie beside one another";
    let mendings = vec![Mending::by_hand("lay the parts apart, or on more than one piece")];
    Finding { grade: Grade::Note, ..without_cuts(part, "no cuts planned here", what, why, mendings) }
}

fn no_way(part: &Laid) -> Finding {
    let what =
        format!("no blade of the shop was found to follow {} and to come out again", part.pattern.name);
    let why = "a blade that cannot turn binds in its own kerf, burns the wood and is pulled off";
    let mending = "draw its tightest curves wider, or add a narrower blade to the shop's list";
    without_cuts(part, "no way for the blade", what, why, vec![Mending::by_hand(mending)])
}

/// Finding `own cut cannot be sawn`.
fn own_cut(making: &Making, face: FaceKey, refusal: &Refusal) -> Finding {
    let units = making.units();
    let spot = match face {
        FaceKey::Piece(piece) => Spot::Piece { piece },
        FaceKey::Panel(panel) => Spot::Panel { panel },
    };
    let (what, why) = words_of(refusal.fault);
    Finding {
        grade: Grade::Mend,
        rule: "own cut cannot be sawn".to_owned(),
        what: format!("a cut of your own on {}: {what}", making.brief.face_name(face)),
        spot,
        figure: Figure::new("found", units.fine_length(refusal.figure))
            .by("sawn through step by step", "a rigid blade in its own kerf")
            .from("at, from the left", units.length(Length::try_from(refusal.at.x).unwrap_or_default()))
            .from("at, from below", units.length(Length::try_from(refusal.at.y).unwrap_or_default())),
        limit: units.fine_length(refusal.limit),
        why: why.to_owned(),
        mendings: vec![Mending::by_hand("draw it otherwise or take it back; the plan goes on without it")],
    }
}

/// What a fault is, and why it matters.
fn words_of(fault: Fault) -> (&'static str, &'static str) {
    match fault {
        Fault::TooMuch => ("it is too long or has too many points", "no hand follows such a line"),
        Fault::UnknownBlade | Fault::UnknownPart => {
            ("it names a blade or a part that is gone", "the shop's list or the job has changed")
        }
        Fault::BladeBinds => {
            ("the blade's kerf is no wider than its band", "it would be stuck in its own cut")
        }
        Fault::TooThick => ("the wood is too thick", "the guide cannot be set above it"),
        Fault::Broken => {
            ("it is no line that a blade can go along", "a cut goes from one edge to another in one go")
        }
        Fault::HoleInPart | Fault::HoleOutsideOpening | Fault::InPart => {
            ("it enters a part", "what is sawn away does not grow back")
        }
        Fault::BeginsInWood => ("it begins in the wood", "the blade goes in from an edge"),
        Fault::SawsNothing => ("it meets no wood", "there is nothing to saw"),
        Fault::MeetsOtherWood => {
            ("it goes through wood that is apart by then", "only one piece lies on the table")
        }
        Fault::Jams => ("the blade binds in it", "a blade that cannot turn burns the wood and is pulled off"),
        Fault::MeetsColumn => {
            ("the work meets the column", "the cut stops with the blade caught in its own kerf")
        }
        Fault::EndsInWood | Fault::ReliefBends | Fault::Trapped => (
            "the blade does not come out of it again",
            "backing out of a curve pulls the blade off its wheels",
        ),
        Fault::CutLoose | Fault::TooShortToHold => {
            ("it cuts a part loose too early", "a small loose piece is hard to hold at the blade")
        }
        Fault::HangsTogether | Fault::NotFreed => {
            ("parts still hang together after it", "they cannot be sawn on")
        }
    }
}

/// Finding `much left to sand`: more than a sander's share stays outside a line.
fn left_over(making: &mut Making, sequence: &Sequence, laid: &[&Laid]) {
    let units = making.units();
    let Some(sheet) = &sequence.sheet else { return };
    let troubled = |part| sequence.troubles.iter().any(|it| it.part == part);
    let mut told = Vec::new();
    for left in sheet.left.iter().filter(|it| it.most > MOST_LEFT && !troubled(it.part)) {
        let Some(part) = laid.iter().find(|it| it.key == left.part) else { continue };
        if told.contains(&part.pattern.id) {
            continue;
        }
        told.push(part.pattern.id);
        making.find(Finding {
            grade: Grade::Note,
            rule: "much left to sand".to_owned(),
            what: format!(
                "{} stays on {} where the blade cannot follow its line",
                units.fine_length(left.most),
                part.name
            ),
            spot: part.spot(left.at),
            figure: Figure::new("stock left, the most", units.fine_length(left.most))
                .by("from the line to the farthest wood outside it", "sawn through step by step")
                .from("on the mean", units.fine_length(left.mean)),
            limit: units.fine_length(MOST_LEFT),
            why: "more is work for rasp or spindle sander (limit: common practice, no source)".to_owned(),
            mendings: vec![
                Mending::by_hand("rasp or sand it to the line, or pare it with a chisel"),
                Mending::by_hand("add a narrower blade to the shop's list, or draw the curve wider"),
            ],
        });
    }
}

pub(super) fn spot(part: &Laid, at: Option<outline::Point>) -> Spot {
    Spot::Pattern { pattern: part.pattern.id, at }
}

/// The widest other blade that follows a bend.
fn better<'a>(making: &Making<'a>, than: &Blade, bend: &Bend) -> Option<&'a Blade> {
    let left = &making.brief.job.choices.blades_left;
    let blades = making.brief.kit.bandsaw.blades.iter();
    let may = blades.filter(|it| it.id != than.id && !left.contains(&it.id));
    let following = may.filter(|it| path_radius(bend, it.kerf) >= least_radius(it).0);
    following.max_by(|a, b| a.width.to_mm().total_cmp(&b.width.to_mm()))
}

/// Finding `curve tighter than the blade`.
fn too_tight(making: &mut Making, part: &Laid, bends: &Bends, blade: &Blade, holes: usize) {
    let units = making.units();
    let least = least_radius(blade).0;
    let tight = [bends.inside, bends.outside].into_iter().flatten();
    let worst = tight
        .filter(|it| path_radius(it, blade.kerf) < least)
        .min_by(|a, b| path_radius(a, blade.kerf).to_mm().total_cmp(&path_radius(b, blade.kerf).to_mm()));
    let Some(worst) = worst else { return };
    let mut mendings = Vec::new();
    if let Some(best) = better(making, blade, &worst) {
        let change = Change::Blade { pattern: part.pattern.id, to: best.id };
        mendings.push(Mending::by(change, format!("saw it with the {} blade", units.length(best.width))));
    }
    mendings.push(Mending::by_hand(match (worst.inside, holes) {
        (true, 1..) => "turn the blade in the drilled hole there, as planned",
        (true, 0) => "sand or rasp to the line there, as planned",
        (false, _) => "saw off the line and back to it there, as planned, and sand to the line",
    }));
    mendings.push(Mending::by_hand("draw the curve wider"));
    let path = path_radius(&worst, blade.kerf).max(Length::ZERO);
    let bends = if path > Length::ZERO {
        format!("bends to {}", units.length(path))
    } else {
        "comes to a point".to_owned()
    };
    let chosen = making.brief.job.choices.blades.get(&part.pattern.id) == Some(&blade.id);
    making.find(Finding {
        grade: if chosen && mendings.iter().any(|it| it.change.is_some()) {
            Grade::Mend
        } else {
            Grade::Note
        },
        rule: "curve tighter than the blade".to_owned(),
        what: format!(
            "{} {bends} on the blade's way, the {} blade turns {}",
            part.pattern.name,
            units.length(blade.width),
            units.length(least)
        ),
        spot: spot(part, Some(worst.at)),
        figure: Figure::new("radius of the blade's way", units.length(path))
            .by(
                if worst.inside {
                    "radius - kerf / 2 - off the line, no less than 0"
                } else {
                    "radius + kerf / 2 + off the line"
                },
                "geometry; off the line: common practice, no source",
            )
            .from("radius of the line", units.length(worst.radius))
            .from("bends", if worst.inside { "inward" } else { "outward" })
            .from("off the line", units.length(OFF_THE_LINE))
            .from("kerf", units.fine_length(blade.kerf))
            .from("least radius from", mount::radius_figure(blade, units).source),
        limit: units.length(least),
        why: "a blade that cannot turn binds in its own kerf, burns the wood and is pulled off".to_owned(),
        mendings,
    });
}

/// Finding `inside corner`: a blade cannot turn on the spot.
fn corners(making: &mut Making, part: &Laid, bends: &Bends, holes: usize) {
    let sharp = &bends.inside_corners;
    let Some(first) = sharp.first() else { return };
    let planned = match holes {
        0 => "pare each to the line by hand",
        1.. => "turn the blade in the hole at each and pare the rest, as planned",
    };
    making.find(Finding {
        grade: Grade::Note,
        rule: "inside corner".to_owned(),
        what: format!(
            "{} has {} that no blade turns in",
            part.pattern.name,
            counted(sharp.len() as u32, "sharp inside corner")
        ),
        spot: spot(part, Some(first.at)),
        figure: Figure::new("sharp inside corners", sharp.len().to_string())
            .by("turns that no radius explains", "measured on the pattern")
            .from("pattern", part.pattern.name.clone()),
        limit: "0".to_owned(),
        why: "a blade cannot turn on the spot, and a sharp corner is where a board begins to split"
            .to_owned(),
        mendings: vec![Mending::by_hand(planned), Mending::by_hand("round the corner in the drawing")],
    });
}
