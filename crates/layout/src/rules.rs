//! The figures that search and judge both go by: gaps, thickness, rough sizes.

use measure::Length;
use stock::{Blade, Brief, Panel, PatternId, Source, Want};

/// Left between two parts beside the kerf: room to steer the blade around one
/// without touching the other (common practice, no source).
pub(crate) const STEERING: Length = Length::mm(2.0);

/// The blade that outlines are sawn with where nobody chose another: 1/4 in,
/// the narrowest that still saws curves fast (common practice, no source).
const USUAL_BLADE: Length = Length::inches(0.25);

/// The kerf of a usual 1/4 in blade, for a shop that has listed no blade
/// (common practice, no source).
const USUAL_KERF: Length = Length::inches(0.042);

/// The kerf of the blade that a pattern is sawn with.
pub(crate) fn kerf(brief: &Brief, pattern: PatternId) -> Length {
    let blades = &brief.kit.bandsaw.blades;
    let chosen = brief.job.choices.blades.get(&pattern);
    let chosen = chosen.and_then(|id| blades.iter().find(|blade| blade.id == *id));
    let off = |blade: &&Blade| (blade.width - USUAL_BLADE).abs().to_mm();
    let usual = || blades.iter().min_by(|one, other| off(one).total_cmp(&off(other)));
    chosen.or_else(usual).map_or(USUAL_KERF, |blade| blade.kerf)
}

/// The clear way between two things, each with its kerf and whether it is
/// sawn straight along a fence: the wider kerf, and room to steer unless both
/// are straight.
pub(crate) fn gap(one: (Length, bool), other: (Length, bool)) -> Length {
    let kerf = one.0.max(other.0);
    if one.1 && other.1 { kerf } else { kerf + STEERING }
}

/// The thickness that a part needs of what it is sawn from: both faces are
/// still planed and sanded; a panel is planed already, so only sanded.
pub(crate) fn part_needs(brief: &Brief, want: &Want) -> Length {
    let allow = brief.kit.allowances;
    match want.source {
        Source::Pieces => want.thickness + (allow.planing + allow.sanding) * 2.0,
        Source::Panel(_) => want.thickness + allow.sanding * 2.0,
    }
}

/// The thickness that a panel's strips need of their pieces.
pub(crate) fn strip_needs(brief: &Brief, panel: &Panel) -> Length {
    panel.thickness + brief.kit.allowances.planing * 2.0
}

/// A strip's rough length and width, with the wood for trimming and jointing.
pub(crate) fn rough_strip(brief: &Brief, panel: &Panel, width: Length) -> (Length, Length) {
    let allow = brief.kit.allowances;
    (panel.length + allow.trim * 2.0, width + allow.joint)
}
