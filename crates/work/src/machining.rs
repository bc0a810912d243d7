//! Flat, straight and to thickness: from the rack to the saw.

mod limits;

use std::collections::{BTreeMap, BTreeSet};

use measure::{Area, Figure, Length, Minutes, Units};
use outline::Ring;
use stock::{FaceKey, Panel, PanelId, PieceId};

use crate::machining::limits::Way;
use crate::making::{Laid, Making};
use crate::{Machine, Operation, OperationKind, Workpiece};

// Rates of hands (common practice, no source): a careful hobby pace with the
// walking and checking in it.
const SET_UP: Minutes = Minutes::minutes(5.0);
const JOINTER_PER_M2: Minutes = Minutes::minutes(25.0);
const PLANER_PER_M2: Minutes = Minutes::minutes(20.0);
const SLED_PER_M2: Minutes = Minutes::minutes(110.0);
const JOINT_PER_M: Minutes = Minutes::minutes(2.0);
const RIP_PER_M: Minutes = Minutes::minutes(1.0);
const EACH_CUT: Minutes = Minutes::minutes(2.0);

/// A sled takes so much at once (common practice, no source).
const SLED_ROUND: Length = Length::inches(1.0 / 16.0);

/// Parts whose thickness differs by less are planed in one go: a planer repeats
/// to about a tenth of a millimetre.
const SAME_THICKNESS: Length = Length::mm(0.1);

/// The ways from piece to flat, from the rack to strips and blanks.
pub(crate) fn pieces(making: &mut Making, parts: &[Laid]) {
    limits::thicknesses(making, parts);
    for piece in used_pieces(making) {
        let key = FaceKey::Piece(piece);
        let Some(needed) = needed(making, key, parts) else { continue };
        crosscut(making, piece);
        flatten(making, key, Workpiece::Piece(piece), needed);
        rip(making, piece);
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

/// The greatest thickness before sanding that anything out of a face needs.
fn needed(making: &Making, face: FaceKey, parts: &[Laid]) -> Option<Length> {
    let sanding = making.brief.kit.allowances.sanding;
    let of_parts = parts.iter().filter(|it| it.placement.face == face).map(|it| it.planed(sanding));
    let strips = making.layout.strips.iter().filter(|it| FaceKey::Piece(it.piece) == face);
    let of_strips =
        strips.filter_map(|it| making.brief.panel(it.strip.panel).ok()).map(|panel| panel.thickness);
    of_parts.chain(of_strips).reduce(Length::max)
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

/// The panels that have strips on a piece, with how many, and their rough length.
fn strips_on(making: &Making, piece: PieceId) -> BTreeMap<PanelId, (u32, Length)> {
    let mut found = BTreeMap::new();
    for strip in making.layout.strips.iter().filter(|it| it.piece == piece) {
        let bounds = strip.outline.bounds();
        let entry = found.entry(strip.strip.panel).or_insert((0, Length::ZERO));
        *entry = (entry.0 + 1, entry.1.max(bounds.width().max(bounds.height())));
    }
    found
}

fn crosscut(making: &mut Making, piece: PieceId) {
    let Ok(wood) = making.brief.piece(piece) else { return };
    let strips = strips_on(making, piece);
    let Some(&(_, longest)) = strips.values().max_by(|a, b| a.1.to_mm().total_cmp(&b.1.to_mm())) else {
        return;
    };
    let bounds = wood.face.outline.bounds();
    let whole = bounds.width().max(bounds.height());
    let parts_too = making.layout.placements.iter().any(|it| it.face == FaceKey::Piece(piece));
    if parts_too || whole < longest + making.brief.kit.machines.shortest_feed {
        return;
    }
    let units = making.units();
    let operation = Operation::begin(OperationKind::Crosscut, format!("Crosscut {} to length", wood.name))
        .working_on(vec![Workpiece::Piece(piece)])
        .at(Machine::TableSaw)
        .taking(SET_UP + EACH_CUT * 2.0)
        .set("length with trim", units.length(longest))
        .step("Look over the ends for checks and cut them away first")
        .step(format!("Crosscut to {}, as the layout drawing shows", units.length(longest)))
        .minding(["first", "table_saw", "eyes_ears_lungs", "no_gloves"]);
    making.add(operation);
}

/// Flattens one face and brings the other parallel to it, on a machine or by sled.
fn flatten(making: &mut Making, face: FaceKey, workpiece: Workpiece, thickness: Length) {
    let Ok(outline) = making.brief.face(face).map(|it| it.outline) else { return };
    let name = making.brief.face_name(face);
    let (length, width) = sides(outline.outer());
    let area = outline.area();
    let kit = &making.brief.kit.machines;
    let jointed = limits::way(length, width, kit.jointer_width, kit.shortest_feed);
    let planed = limits::way(length, width, kit.planer_width, kit.shortest_feed);
    limits::feed(making, face, length, width);
    let level = Operation::begin(OperationKind::Flatten, format!("Flatten one face of {name}"));
    let level = match jointed {
        Way::Machine => level
            .at(Machine::Jointer)
            .taking(SET_UP + JOINTER_PER_M2 * area.to_m2())
            .step("Lay the hollow face down, take light cuts until it is bare and flat")
            .minding(["first", "jointer", "eyes_ears_lungs", "no_gloves"]),
        Way::Sled if planed == Way::Machine => level
            .at(Machine::Planer)
            .taking(SET_UP * 2.0 + PLANER_PER_M2 * area.to_m2())
            .step("Shim it on a flat carrier board so that it cannot rock, with a stop at its tail")
            .step("Feed board and all, light cuts, until the face is bare and flat")
            .minding(["first", "planer", "eyes_ears_lungs", "no_gloves"]),
        Way::Sled => sled(making.units(), level, area, "Shim it on the flat bed so that it cannot rock"),
    };
    making.add(level.working_on(vec![workpiece]).step("Check with a straightedge, corner to corner"));
    plane(making, name, workpiece, area, planed, thickness);
}

fn plane(making: &mut Making, name: String, workpiece: Workpiece, area: Area, way: Way, thickness: Length) {
    let units = making.units();
    // Sixteenths are too coarse where a quarter of a millimetre is left to sand.
    let to = units.fine_length(thickness);
    let plane = Operation::begin(OperationKind::Plane, format!("Plane {name} to {to}"))
        .working_on(vec![workpiece])
        .set("thickness before sanding", to.clone());
    let plane = match way {
        Way::Machine => plane
            .at(Machine::Planer)
            .taking(SET_UP + PLANER_PER_M2 * area.to_m2())
            .step("Feed with the grain rising toward the tail, the flat face down")
            .minding(["first", "planer", "eyes_ears_lungs", "no_gloves"]),
        Way::Sled => sled(units, plane, area, "Turn it over onto the flat face"),
    };
    let figure = Figure::new("thickness before sanding", to.clone())
        .by("finished thickness + 2 · sanding", "the shop's own allowances")
        .from("sanding, each face", units.fine_length(making.brief.kit.allowances.sanding));
    making.add(plane.step(format!("Stop at {to} and measure in three places")).figure(figure));
}

fn sled(units: Units, operation: Operation, area: Area, first: &str) -> Operation {
    operation
        .at(Machine::Router)
        .taking(SET_UP * 3.0 + SLED_PER_M2 * area.to_m2())
        .step(first)
        .step(format!(
            "Run the router on its sled across the whole face, {} deeper with each round",
            units.length(SLED_ROUND)
        ))
        .minding(["first", "router", "eyes_ears_lungs", "no_gloves"])
}

fn rip(making: &mut Making, piece: PieceId) {
    let strips = strips_on(making, piece);
    let Ok(wood) = making.brief.piece(piece) else { return };
    if strips.is_empty() {
        return;
    }
    let length: Length = strips.values().map(|it| it.1).fold(Length::ZERO, Length::max);
    let joint = Operation::begin(OperationKind::Joint, format!("Joint one edge of {}", wood.name))
        .working_on(vec![Workpiece::Piece(piece)])
        .at(Machine::Jointer)
        .taking(SET_UP + JOINT_PER_M * (length.to_mm() / 1000.0))
        .step("Check the fence with a square against the flat face")
        .step("Joint one edge straight, the flat face against the fence")
        .minding(["first", "jointer", "eyes_ears_lungs", "no_gloves"]);
    making.add(joint);
    for (panel, (count, length)) in strips {
        rip_for(making, piece, panel, count, length);
    }
}

fn rip_for(making: &mut Making, piece: PieceId, panel: PanelId, count: u32, length: Length) {
    let (Ok(wood), Ok(panel)) = (making.brief.piece(piece), making.brief.panel(panel)) else { return };
    let units = making.units();
    let joint = making.brief.kit.allowances.joint;
    let mut rip = Operation::begin(
        OperationKind::Rip,
        format!("Rip {} for {} out of {}", counted(count, "strip"), panel.name, wood.name),
    )
    .turning(vec![Workpiece::Piece(piece)], vec![Workpiece::Piece(piece), Workpiece::Strips(panel.id)])
    .at(Machine::TableSaw)
    .taking(SET_UP + (EACH_CUT + RIP_PER_M * (length.to_mm() / 1000.0)) * f64::from(count))
    .set("kerf", units.fine_length(making.brief.kit.machines.straight_kerf))
    .minding(["first", "table_saw", "eyes_ears_lungs", "no_gloves"]);
    for (width, count) in widths(panel, piece) {
        let wide = units.length(width + joint);
        let strips = counted(count, "strip");
        rip = rip
            .set("fence", format!("{wide}: {strips}"))
            .step(format!("Rip {strips} of {wide}, the jointed edge against the fence"));
    }
    let rip = rip
        .step("Number the strips and draw a triangle over all of them")
        .step(format!("Joint both edges of each, down to its width in {}", panel.name));
    making.add(rip);
}

/// The widths of a panel's strips out of a piece, each once, with how many.
fn widths(panel: &Panel, piece: PieceId) -> Vec<(Length, u32)> {
    let mut found: Vec<(Length, u32)> = Vec::new();
    for run in panel.runs.iter().filter(|it| it.piece == piece) {
        match found.iter_mut().find(|it| it.0 == run.width) {
            Some((_, count)) => *count = count.saturating_add(run.count),
            None => found.push((run.width, run.count)),
        }
    }
    found
}

/// A number of things: `1 strip`, `2 strips`.
pub(crate) fn counted(count: u32, thing: &str) -> String {
    if count == 1 { format!("1 {thing}") } else { format!("{count} {thing}s") }
}

/// Brings each glued panel flat and to thickness, and trims its ends.
pub(crate) fn panels(making: &mut Making, parts: &[Laid]) {
    for panel in &making.brief.job.panels {
        let key = FaceKey::Panel(panel.id);
        let Some(needed) = needed(making, key, parts) else { continue };
        flatten(making, key, Workpiece::Panel(panel.id), needed.min(panel.thickness));
        let units = making.units();
        let trim = Operation::begin(OperationKind::Crosscut, format!("Trim the ends of {}", panel.name))
            .working_on(vec![Workpiece::Panel(panel.id)])
            .at(Machine::TableSaw)
            .taking(SET_UP + EACH_CUT * 2.0)
            .set("length", units.length(panel.length))
            .step(format!(
                "Square one end, then cut to {} with the sled or mitre gauge",
                units.length(panel.length)
            ))
            .minding(["first", "table_saw", "eyes_ears_lungs", "no_gloves"]);
        making.add(trim);
    }
}

/// Brings parts that are thinner than the rest of their face to their thickness.
pub(crate) fn thin_parts(making: &mut Making, parts: &[Laid]) {
    let sanding = making.brief.kit.allowances.sanding;
    for part in parts {
        if !is_thin(making, part, parts) {
            continue;
        }
        let own = part.planed(sanding);
        let (length, width) = sides(part.placement.outline.outer());
        let kit = &making.brief.kit.machines;
        let way = limits::way(length, width, kit.planer_width, kit.shortest_feed);
        let area = part.placement.outline.area();
        plane(making, part.name.clone(), part.workpiece(), area, way, own);
    }
}

/// The longer and the shorter side of the upright box around a ring.
fn sides(ring: &Ring) -> (Length, Length) {
    let bounds = ring.bounds();
    (bounds.width().max(bounds.height()), bounds.width().min(bounds.height()))
}

#[cfg(test)]
mod tests {
    use stock::Change;

    use super::*;
    use crate::fixture::{brief, of_kind, routed, told};

    #[test]
    fn narrow_wood_goes_over_the_machines_and_wide_wood_under_the_sled() {
        let mut brief = brief();
        let route = routed(&brief);
        assert!(told(&route, "too wide for the planer").is_empty(), "290 mm pass 12 1/2 in");
        let slab = of_kind(&route, OperationKind::Plane)[0];
        assert_eq!(slab.machine, Some(Machine::Planer));
        let level = of_kind(&route, OperationKind::Flatten)[0];
        assert_eq!(level.machine, Some(Machine::Planer), "8 in jointer: on a carrier board");
        assert_eq!(slab.set_up[0].value, "0.768 in", "19 mm and 0.25 mm sanded from each face");
        brief.kit.machines.planer_width = Length::mm(250.0);
        let route = routed(&brief);
        assert_eq!(told(&route, "too wide for the planer").len(), 1);
        assert_eq!(of_kind(&route, OperationKind::Plane)[0].machine, Some(Machine::Router));
        assert!(told(&route, "too short to feed").is_empty());
        brief.kit.machines.shortest_feed = Length::mm(430.0);
        assert_eq!(told(&routed(&brief), "too short to feed").len(), 1, "the panel is 420 mm long");
    }

    #[test]
    fn a_thickness_that_the_piece_does_not_hold_is_stopped_and_mended() {
        // By hand: 27 mm, 1.5 mm planed and 0.25 mm sanded from each face: 23.5 mm.
        let mut brief = brief();
        brief.job.wants[0].thickness = Length::mm(23.5);
        assert!(told(&routed(&brief), "too thin for its thickness").is_empty());
        brief.job.wants[0].thickness = Length::mm(24.0);
        let route = routed(&brief);
        let [finding] = told(&route, "too thin for its thickness")[..] else { panic!() };
        let Some(Change::Thickness { to, .. }) = finding.mendings[0].change else { panic!() };
        assert!((to.to_mm() - 23.5).abs() < 1e-9);
    }

    #[test]
    fn a_panel_thicker_than_its_strips_is_stopped() {
        let mut brief = brief();
        assert!(told(&routed(&brief), "strip too thin for its panel").is_empty());
        brief.job.panels[0].thickness = Length::mm(24.0);
        assert_eq!(
            told(&routed(&brief), "strip too thin for its panel").len(),
            2,
            "26 - 3 = 23 mm, two planks"
        );
    }

    #[test]
    fn a_thinner_part_is_planed_after_it_is_sawn() {
        let mut brief = brief();
        let sawn_last = |route: &crate::Route| {
            let last = route.operations.iter().rposition(|it| it.kind == OperationKind::Saw);
            route.operations[last.unwrap()..].iter().filter(|it| it.kind == OperationKind::Plane).count()
        };
        assert_eq!(sawn_last(&routed(&brief)), 0);
        let mut thin = brief.job.wants[0].clone();
        (thin.id, thin.thickness) = (stock::WantId(3), Length::mm(15.0));
        brief.job.wants.push(thin);
        let mut layout = crate::fixture::layout(&brief);
        let mut second = layout.placements[0].clone();
        second.part.want = stock::WantId(3);
        layout.placements.push(second);
        assert_eq!(sawn_last(&crate::route(&brief, &layout)), 1);
    }
}
