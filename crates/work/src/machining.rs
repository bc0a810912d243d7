//! Flat, straight and to thickness: from the rack to the saw.
//!
//! The order is the trade's: to rough length, one face flat, the other parallel
//! to it, one edge square to them, strips ripped from that edge; final length
//! when the panel is glued and planed.

mod blank;
mod edges;
mod faces;
mod hand;
mod ladder;
mod lengths;
mod limits;
mod snipe;
mod thickness;

use std::collections::BTreeSet;

use measure::{Length, Minutes};
use stock::{FaceKey, Panel, PieceId, Spot, WantId};

use crate::machining::blank::Blank;
use crate::machining::ladder::Ladder;
use crate::machining::lengths::Lengths;
use crate::making::{Laid, Making};
use crate::{Machine, Operation, OperationKind, Workpiece};

pub(crate) use edges::edge;

// Rates of hands (common practice, no source): a careful hobby pace with the
// walking and checking in it.
const SET_UP: Minutes = Minutes::minutes(5.0);
const EACH_CUT: Minutes = Minutes::minutes(2.0);

/// Parts whose thickness differs by less are planed in one go: a planer repeats
/// to about a tenth of a millimetre.
const SAME_THICKNESS: Length = Length::mm(0.1);

/// The ways from piece to flat, from the rack to strips and blanks.
pub(crate) fn pieces(making: &mut Making, parts: &[Laid]) {
    thickness::too_thin(making, parts);
    for piece in used_pieces(making) {
        let Ok(wood) = making.brief.piece(piece) else { continue };
        let lengths = Lengths::of(making, wood);
        let Some(blank) = Blank::piece(making, wood, &lengths, parts) else { continue };
        let last = planed_at_last(making, wood.id, parts).unwrap_or(blank.to);
        thickness::too_thick(making, wood, &blank.name, blank.width, last);
        thickness::too_little(making, wood, &blank, last);
        lengths::crosscut(making, piece, &lengths);
        faces::flat_and_to_thickness(making, &blank);
        edges::joint_and_rip(making, piece, &blank);
    }
}

/// Every piece that a part or a strip lies on.
pub(crate) fn used_pieces(making: &Making) -> BTreeSet<PieceId> {
    let of_parts = making.layout.placements.iter().filter_map(|it| match it.face {
        FaceKey::Piece(id) => Some(id),
        FaceKey::Panel(_) => None,
    });
    of_parts.chain(making.layout.strips.iter().map(|it| it.piece)).collect()
}

/// The greatest thickness before sanding or glue-up that anything out of a face needs.
fn needed(making: &Making, face: FaceKey, parts: &[Laid]) -> Option<Length> {
    let of_strips = panels_from(making, face).map(|panel| before_glue_up(making, panel)).reduce(Length::max);
    of_strips.into_iter().chain(parts_need(making, face, parts)).reduce(Length::max)
}

/// The thickness that is left when a piece's parts, or the panels out of it, were planed.
fn planed_at_last(making: &Making, piece: PieceId, parts: &[Laid]) -> Option<Length> {
    let face = FaceKey::Piece(piece);
    let of_panels = panels_from(making, face).map(|panel| panel.thickness).reduce(Length::max);
    of_panels.into_iter().chain(parts_need(making, face, parts)).reduce(Length::max)
}

fn parts_need(making: &Making, face: FaceKey, parts: &[Laid]) -> Option<Length> {
    let sanding = making.brief.kit.allowances.sanding;
    let own = parts.iter().filter(|it| it.placement.face == face);
    own.map(|it| it.planed(sanding)).reduce(Length::max)
}

/// The panels that have strips on a face.
fn panels_from<'a>(making: &Making<'a>, face: FaceKey) -> impl Iterator<Item = &'a Panel> {
    let brief = making.brief;
    let strips = making.layout.strips.iter().filter(move |it| FaceKey::Piece(it.piece) == face);
    strips.filter_map(move |it| brief.panel(it.strip.panel).ok())
}

/// The thickness of a panel's strips until it is glued: half of the planing
/// allowance stays on for the steps that a glue-up leaves (common practice, no source).
fn before_glue_up(making: &Making, panel: &Panel) -> Length {
    panel.thickness + making.brief.kit.allowances.planing
}

/// The thickness that a part's face has when the part is sawn out of it.
pub(crate) fn thickness_when_sawn(making: &Making, part: &Laid, parts: &[Laid]) -> Length {
    let own = part.planed(making.brief.kit.allowances.sanding);
    needed(making, part.placement.face, parts).unwrap_or(own)
}

/// Whether a part is thinner than its face when it is sawn out of it.
pub(crate) fn is_thin(making: &Making, part: &Laid, parts: &[Laid]) -> bool {
    let own = part.planed(making.brief.kit.allowances.sanding);
    thickness_when_sawn(making, part, parts) - own > SAME_THICKNESS
}

/// A number of things: `1 strip`, `2 strips`.
pub(crate) fn counted(count: u32, thing: &str) -> String {
    if count == 1 { format!("1 {thing}") } else { format!("{count} {thing}s") }
}

/// Brings each glued panel flat and to thickness, and trims its ends.
pub(crate) fn panels(making: &mut Making, parts: &[Laid]) {
    for panel in &making.brief.job.panels {
        let Some(blank) = Blank::panel(making, panel, parts) else { continue };
        faces::flat_and_to_thickness(making, &blank);
        trim(making, panel);
    }
}

/// The ends of a panel, which were left long for the planer.
fn trim(making: &mut Making, panel: &Panel) {
    let units = making.units();
    let allowances = making.brief.kit.allowances;
    let to = units.length(panel.length);
    let ladder = Ladder::new("length of the panel", "glued up", panel.length + allowances.trim * 2.0).then(
        "trimmed",
        panel.length,
        "with the glue, the uneven ends and the snipe",
    );
    let operation = Operation::begin(OperationKind::Crosscut, format!("Trim the ends of {}", panel.name))
        .working_on(vec![Workpiece::Panel(panel.id)])
        .set("length", to.clone())
        .figure(ladder.figure(units));
    let operation = if panel.length >= making.brief.kit.machines.shortest_crosscut {
        operation
            .at(Machine::TableSaw)
            .taking(SET_UP + EACH_CUT * 2.0)
            .step(format!("Square one end, then cut to {to} with the sled or mitre gauge"))
            .minding(["first", "table_saw", "crosscut", "eyes_ears_lungs", "no_gloves"])
    } else {
        hand::ends(operation, &to)
    };
    limits::crosscut(making, &panel.name, &Spot::Panel { panel: panel.id }, panel.length);
    making.add(operation);
}

/// Brings parts that are thinner than the rest of their face to their thickness.
pub(crate) fn thin_parts(making: &mut Making, parts: &[Laid]) {
    let mut told: BTreeSet<(FaceKey, WantId)> = BTreeSet::new();
    for part in parts {
        if !is_thin(making, part, parts) {
            continue;
        }
        let blank = Blank::thin_part(making, part, parts);
        let face = part.placement.face;
        if told.insert((face, part.want.id)) {
            limits::feed(making, &blank);
            shavings(making, face, &blank);
        }
        faces::plane(making, &blank);
    }
}

/// What a thin part costs its piece.
fn shavings(making: &mut Making, face: FaceKey, blank: &Blank) {
    if let FaceKey::Piece(piece) = face
        && let Ok(wood) = making.brief.piece(piece)
    {
        thickness::too_thick(making, wood, &blank.name, blank.width, blank.to);
    }
}
