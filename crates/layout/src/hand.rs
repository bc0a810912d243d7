//! A part laid by hand: the figures that it is laid by, and whether it may lie there.

use measure::{Length, Problem};
use outline::Ring;
use serde::Serialize;
use stock::{Brief, FaceKey, Layout, PartKey, Pin, Placement, Side, Want, WantId, ZoneKind};
use ts_rs::TS;

use crate::answer::{as_laid, remove_part};
use crate::goods::Name;
use crate::judge::faults;
use crate::rules;

/// The figures that parts are laid by, so that a hand can be told at once what
/// is too near; the exact word is [`verdict`]'s.
#[derive(Clone, Debug, Default, PartialEq, Serialize, TS)]
pub struct HandRules {
    /// Kept clear of the wood's edge.
    pub edge: Length,
    /// Faults of the wood that parts keep from.
    pub zones: Vec<ZoneRule>,
    /// The clear way between parts of two wants.
    pub gaps: Vec<GapRule>,
    /// The clear way between parts of a want and strips.
    pub strips: Vec<StripRule>,
    /// Wants whose parts may end at the wood's own edge, and lie past it.
    pub live: Vec<WantId>,
}

/// A fault of the wood and the way that is kept from it.
#[derive(Clone, Debug, PartialEq, Serialize, TS)]
pub struct ZoneRule {
    /// On which face.
    pub face: FaceKey,
    /// What it is.
    pub kind: ZoneKind,
    /// Where, seen from the near face.
    pub area: Ring,
    /// The wants whose parts keep from it.
    pub wants: Vec<WantId>,
    /// How far.
    pub clear: Length,
}

/// The clear way between parts of two wants.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, TS)]
pub struct GapRule {
    /// The one.
    pub one: WantId,
    /// The other; parts of one want among themselves if it is the same.
    pub other: WantId,
    /// How far they keep apart.
    pub clear: Length,
}

/// The clear way between parts of a want and strips for panels.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, TS)]
pub struct StripRule {
    /// Which want.
    pub want: WantId,
    /// How far they keep apart.
    pub clear: Length,
}

/// What is wrong with where a part lies; nothing if it may lie there.
#[derive(Clone, Debug, Default, PartialEq, Serialize, TS)]
pub struct Verdict {
    /// Each thing that is wrong.
    pub faults: Vec<VerdictFault>,
}

/// One thing that is wrong with where a part lies.
#[derive(Clone, Debug, PartialEq, Serialize, TS)]
pub struct VerdictFault {
    /// What, in words, with figure and limit.
    pub told: Problem,
    /// The parts concerned.
    pub parts: Vec<PartKey>,
}

/// The figures that the parts of a brief are laid by.
pub fn hand_rules(brief: &Brief) -> HandRules {
    let wants = &brief.job.wants;
    let kerf = |want: &Want| (rules::kerf(brief, want.pattern), false);
    let gap = |one: &Want, other: &Want| GapRule {
        one: one.id,
        other: other.id,
        clear: rules::gap(kerf(one), kerf(other)),
    };
    let strip = (brief.kit.machines.straight_kerf, true);
    HandRules {
        edge: brief.kit.allowances.edge,
        zones: zone_rules(brief),
        gaps: wants
            .iter()
            .enumerate()
            .flat_map(|(index, one)| wants[index..].iter().map(move |other| gap(one, other)))
            .collect(),
        strips: wants
            .iter()
            .map(|want| StripRule { want: want.id, clear: rules::gap(kerf(want), strip) })
            .collect(),
        live: wants.iter().filter(|want| is_live(brief, want)).map(|it| it.id).collect(),
    }
}

/// A fault is left out for the wants of which some parts may hold it: what they
/// may hold where is for the judge to say.
fn zone_rules(brief: &Brief) -> Vec<ZoneRule> {
    let covers =
        |want: &Want| brief.pattern(want.pattern).is_ok_and(|pattern| pattern.covered().next().is_some());
    let rule = |face: FaceKey, fault: rules::KeptOut| {
        let minds = |want: &&Want| match fault.side {
            Side::Far => want.underside_shows && !covers(want),
            Side::Near => !(rules::may_be_live(fault.kind) && is_live(brief, want)),
        };
        let wants = brief.job.wants.iter().filter(minds).map(|it| it.id).collect();
        ZoneRule { face, kind: fault.kind, wants, clear: fault.clear, area: fault.area }
    };
    let of_piece = |piece: &stock::Piece| {
        let face = FaceKey::Piece(piece.id);
        let kept = rules::kept_out(&brief.kit, &brief.job.choices, &piece.face, piece.far_face.as_ref());
        kept.into_iter().map(|fault| rule(face, fault)).collect::<Vec<ZoneRule>>()
    };
    brief.pieces.iter().flat_map(of_piece).filter(|it| !it.wants.is_empty()).collect()
}

fn is_live(brief: &Brief, want: &Want) -> bool {
    brief.pattern(want.pattern).is_ok_and(|pattern| pattern.has_live_edge())
}

/// What is wrong with a part where a hand holds it, beside what else a layout and
/// the brief's pins put on that face.
pub fn verdict(brief: &Brief, layout: &Layout, held: &Pin) -> Verdict {
    let mut brief = brief.clone();
    brief.job.choices.pins.retain(|pin| pin.part != held.part);
    brief.job.choices.pins.push(*held);
    let mut layout = layout.clone();
    for pin in &brief.job.choices.pins {
        remove_part(&mut layout, pin.part);
        layout.placements.extend(placed(&brief, pin));
    }
    layout.placements.retain(|it| it.face == held.face);
    layout.strips.retain(|it| FaceKey::Piece(it.piece) == held.face);
    let name = Name::Part(held.part);
    let concerned = faults(&brief, &layout).into_iter().filter(|fault| fault.names.contains(&name));
    let told = concerned.map(|fault| VerdictFault {
        parts: fault.names.iter().filter_map(|it| it.part()).collect(),
        told: fault.problem,
    });
    Verdict { faults: told.collect() }
}

/// A part where it is pinned; nothing if its pattern or face is gone.
fn placed(brief: &Brief, pin: &Pin) -> Option<Placement> {
    let pattern = brief.pattern_of(pin.part).ok()?;
    let wood = brief.face(pin.face).ok()?.outline;
    let outline = as_laid(&pattern.outline, pin.place, pattern.has_live_edge(), &wood);
    Some(Placement { part: pin.part, face: pin.face, place: pin.place, outline, pinned: true })
}
