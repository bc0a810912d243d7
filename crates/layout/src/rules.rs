//! The figures that search and judge both go by: gaps, thickness, rough sizes.

use measure::{Angle, Length};
use outline::{Outline, Point, Ring, Segment};
use stock::{
    Blade, Brief, Choices, Face, FarFace, Form, Panel, Pattern, PatternId, ShopKit, Side, Source, Want,
    ZoneKind,
};

use crate::shape::principal;

/// Left between two parts beside the kerf: room to steer the blade around one
/// without touching the other (common practice, no source).
pub(crate) const STEERING: Length = Length::mm(2.0);

/// The blade that outlines are sawn with where nobody chose another: 1/4 in,
/// the narrowest that still saws curves fast (common practice, no source).
const USUAL_BLADE: Length = Length::inches(0.25);

/// The kerf of a usual 1/4 in blade, for a shop that has listed no blade
/// (common practice, no source).
const USUAL_KERF: Length = Length::inches(0.042);

/// How far the length of a part of a matching set may turn from the grain: two
/// boards whose grain lies twice as far apart still look alike (common practice,
/// no source).
pub(crate) const ALIKE_WITHIN: Angle = Angle::degrees(6.0);

/// How far a natural edge may turn from the grain: where it turns farther, it is
/// an end or a crotch (common practice, no source).
const LIVE_WITHIN: Angle = Angle::degrees(30.0);

/// A live edge is looked at this often for the way that it runs.
const LIVE_CHORD: Length = Length::mm(5.0);

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

/// A fault that parts keep from.
pub(crate) struct KeptOut {
    pub(crate) kind: ZoneKind,
    /// Where, seen from the near face.
    pub(crate) area: Ring,
    /// The way that is kept from it.
    pub(crate) clear: Length,
    /// A fault of the far face matters only where the underside shows.
    pub(crate) side: Side,
}

/// The faults of both faces that no part may hold. One that goes through is a
/// fault of the near face, wherever it was seen.
pub(crate) fn kept_out(
    kit: &ShopKit,
    choices: &Choices,
    face: &Face,
    far_face: Option<&FarFace>,
) -> Vec<KeptOut> {
    let is_fault = |kind: ZoneKind| !kind.is_sound() && !choices.allowed_zones.contains(&kind);
    let near = face.zones.iter().filter(|it| is_fault(it.kind)).map(|it| KeptOut {
        kind: it.kind,
        area: it.area.clone(),
        clear: kit.clear_of(it.kind),
        side: Side::Near,
    });
    let far = far_face.into_iter().flat_map(|far| {
        let zones = far.face.zones.iter().filter(|it| !it.through && is_fault(it.kind));
        zones.map(|it| KeptOut {
            kind: it.kind,
            area: far.lies.place.ring(&it.area),
            // The two faces fit no better than this.
            clear: kit.clear_of(it.kind) + far.lies.miss,
            side: Side::Far,
        })
    });
    near.chain(far).collect()
}

/// Whether a sound line of this may be the edge of a part with a live edge.
pub(crate) fn may_be_live(kind: ZoneKind) -> bool {
    match kind {
        ZoneKind::Bark | ZoneKind::Wane => true,
        ZoneKind::Knot
        | ZoneKind::Check
        | ZoneKind::Sapwood
        | ZoneKind::Stain
        | ZoneKind::Worm
        | ZoneKind::Hole
        | ZoneKind::Pith => false,
    }
}

/// As much of a pattern as lies in the wood whatever its live edges do: the
/// largest piece of it outside of them; nothing if they leave none.
pub(crate) fn core(pattern: &Pattern) -> Option<Outline> {
    let live: Vec<Outline> = pattern.live_edges().map(|it| Outline::from(it.clone())).collect();
    match live.is_empty() {
        true => Some(pattern.outline.clone()),
        false => largest(pattern.outline.minus(&live)),
    }
}

/// As much of the underside as no foot or batten covers.
pub(crate) fn shown_below(pattern: &Pattern) -> Vec<Outline> {
    let covered: Vec<Outline> = pattern.covered().map(Outline::from).collect();
    if covered.is_empty() { vec![pattern.outline.clone()] } else { pattern.outline.minus(&covered) }
}

/// Whether a piece has edges as they grew.
pub(crate) fn has_natural_edges(form: Form) -> bool {
    match form {
        Form::Slab | Form::Offcut => true,
        Form::Plank => false,
    }
}

/// The lines of a pattern that run with the grain, and how far each may turn from
/// it: its stems, and along its live edges, as a natural edge runs with the grain
/// and a sawn end across it.
pub(crate) fn lines_with_grain(pattern: &Pattern) -> Vec<(Segment, Angle)> {
    let stems = pattern.stems().map(|(_, axis, within, _)| (axis, within));
    let live = live_lines(pattern, LIVE_CHORD).into_iter().filter_map(|row| {
        let (from, to) = (*row.first()?, *row.last()?);
        Some((Segment { from: from.toward(to, 0.25), to: from.toward(to, 0.75) }, LIVE_WITHIN))
    });
    stems.chain(live).collect()
}

/// The share of a live edge at each of its ends that may be sawn: there its drawn
/// line comes out of the wood (common practice, no source).
const SAWN_END: f64 = 0.1;

/// The spots of a pattern's drawn line that have to lie past the wood, a row for
/// each of its live edges, no farther apart than `step`: all of the line within
/// the area but its ends.
pub(crate) fn live_lines(pattern: &Pattern, step: Length) -> Vec<Vec<Point>> {
    let outer = pattern.outline.outer();
    let along: Vec<Point> = outer
        .edges()
        .flat_map(|edge| {
            let steps = (edge.length() / step).ceil().clamp(1.0, 10_000.0) as u32;
            (0..steps).map(move |it| edge.from.toward(edge.to, f64::from(it) / f64::from(steps)))
        })
        .collect();
    let row = |area: &Ring| {
        // Begin outside, so that the row is not cut where the line begins.
        let start = along.iter().position(|it| !area.contains(*it)).unwrap_or(0);
        let turned = along[start..].iter().chain(&along[..start]);
        middle_of(turned.copied().filter(|it| area.contains(*it)).collect())
    };
    pattern.live_edges().map(row).filter(|row: &Vec<Point>| row.len() >= 2).collect()
}

/// A row of spots without its ends, as seen along the way from the first to the last.
fn middle_of(row: Vec<Point>) -> Vec<Point> {
    let (Some(&from), Some(&to)) = (row.first(), row.last()) else { return row };
    let (dx, dy) = (to.x - from.x, to.y - from.y);
    let square = dx * dx + dy * dy;
    let share = |it: &Point| ((it.x - from.x) * dx + (it.y - from.y) * dy) / square.max(1e-9);
    row.into_iter().filter(|it| (SAWN_END..=1.0 - SAWN_END).contains(&share(it))).collect()
}

/// The middle line of a shape along its length, half as long as the shape, which
/// runs with the grain in a matching set.
pub(crate) fn length_line(outline: &Outline) -> Segment {
    let centre = outline.outer().centroid();
    let (long, _) = principal(outline.outer(), centre);
    let along = |it: &Point| (it.x - centre.x) * long.cos() + (it.y - centre.y) * long.sin();
    let reach = outline.outer().corners().iter().map(along).fold(0.0, f64::max) / 2.0;
    let end = |way: f64| Point::new(centre.x + way * long.cos(), centre.y + way * long.sin());
    Segment { from: end(-reach), to: end(reach) }
}

/// The largest of some shapes.
pub(crate) fn largest(shapes: Vec<Outline>) -> Option<Outline> {
    shapes.into_iter().max_by(|one, other| one.area().to_mm2().total_cmp(&other.area().to_mm2()))
}
