//! One edge straight, and strips ripped from it.

use std::collections::BTreeMap;

use measure::{Length, Minutes};
use stock::{Panel, PanelId, PieceId, Spot};

use super::blank::Blank;
use super::ladder::Ladder;
use super::lengths::Along;
use super::{EACH_CUT, SET_UP, counted, hand, limits};
use crate::making::Making;
use crate::{Machine, Operation, OperationKind, Workpiece};

// Rates of hands (common practice, no source): a careful hobby pace.
const JOINT_PER_M: Minutes = Minutes::minutes(2.0);
const RIP_PER_M: Minutes = Minutes::minutes(1.0);

/// A strip that is longer than the layout asks by less than this is trimmed with
/// the panel, not before (common practice, no source).
const LONG_ENOUGH: Length = Length::inches(1.0);

/// The strips of one panel out of one piece.
#[derive(Clone, Copy)]
struct Strips {
    count: u32,
    // The longest, with the wood for trimming.
    rough: Length,
}

fn strips_on(making: &Making, piece: PieceId) -> BTreeMap<PanelId, Strips> {
    let mut found: BTreeMap<PanelId, Strips> = BTreeMap::new();
    let Ok(wood) = making.brief.piece(piece) else { return found };
    let along = Along::of(wood.face.grain.overall);
    for strip in making.layout.strips.iter().filter(|it| it.piece == piece) {
        let rough = along.span(strip.outline.bounds()).length();
        let entry = found.entry(strip.strip.panel).or_insert(Strips { count: 0, rough: Length::ZERO });
        *entry = Strips { count: entry.count + 1, rough: entry.rough.max(rough) };
    }
    found
}

/// Joints one edge of a piece and rips its strips, if it has any.
pub(super) fn joint_and_rip(making: &mut Making, piece: PieceId, blank: &Blank) {
    let strips = strips_on(making, piece);
    if strips.is_empty() {
        return;
    }
    let title = format!("Joint one edge of {}", blank.name);
    let operation = Operation::begin(OperationKind::Joint, title).working_on(vec![Workpiece::Piece(piece)]);
    let operation = edge(making, operation, blank.length, blank.longest * blank.count as f64)
        .step("Only now: square to a face that is flat, and the edge that the fence is to follow");
    making.add(operation);
    for (panel, strips) in strips {
        rip(making, piece, panel, strips, blank);
    }
}

/// One edge straight, on the jointer or by hand.
pub(crate) fn edge(making: &Making, operation: Operation, shortest: Length, run: Length) -> Operation {
    if shortest < making.brief.kit.machines.shortest_feed {
        return hand::edge(operation, run);
    }
    operation
        .at(Machine::Jointer)
        .taking(SET_UP + JOINT_PER_M * (run / Length::mm(1000.0)))
        .step("Check the fence with a square against the flat face")
        .step("Joint one edge straight, the flat face against the fence")
        .minding(["first", "jointer", "push_blocks", "eyes_ears_lungs", "no_gloves"])
}

fn rip(making: &mut Making, piece: PieceId, panel: PanelId, strips: Strips, blank: &Blank) {
    let Ok(panel) = making.brief.panel(panel) else { return };
    let units = making.units();
    let Strips { count, rough } = strips;
    let machines = &making.brief.kit.machines;
    let joint = making.brief.kit.allowances.joint;
    let widths = widths(panel, piece);
    let narrowest = widths.iter().map(|it| it.0 + joint).reduce(Length::min).unwrap_or(Length::ZERO);
    let on_table_saw = blank.length >= machines.shortest_rip && narrowest >= machines.narrowest_rip;
    let title = format!("Rip {} for {} out of {}", counted(count, "strip"), panel.name, blank.name);
    let mut rip = Operation::begin(OperationKind::Rip, title)
        .turning(vec![Workpiece::Piece(piece)], vec![Workpiece::Piece(piece), Workpiece::Strips(panel.id)])
        .taking(SET_UP + (EACH_CUT + RIP_PER_M * (rough / Length::mm(1000.0))) * f64::from(count));
    rip = if on_table_saw {
        rip.at(Machine::TableSaw).set("kerf", units.fine_length(machines.straight_kerf)).minding([
            "first",
            "table_saw",
            "eyes_ears_lungs",
            "no_gloves",
        ])
    } else {
        rip.at(Machine::Bandsaw).set("blade", "the widest on the wall, with a fence").minding([
            "first",
            "bandsaw",
            "blade_change",
            "eyes_ears_lungs",
            "no_gloves",
        ])
    };
    for (width, count) in widths {
        let wide = units.length(width + joint);
        let strips = counted(count, "strip");
        rip = rip
            .set("fence", format!("{wide}: {strips}"))
            .step(format!("Rip {strips} of {wide}, the jointed edge against the fence"))
            .figure(width_ladder(width, joint).figure(units));
    }
    rip = rip.set("left wider until jointed", format!("{} on each strip", units.length(joint)));
    let rip = to_rough_length(rip, making, panel, rough, blank)
        .step("Number the strips and draw a triangle over all of them")
        .step(format!("Joint both edges of each, down to its width in {}", panel.name));
    limits::rip(making, &blank.name, &Spot::Piece { piece }, blank.length, narrowest);
    making.add(rip);
}

fn width_ladder(width: Length, joint: Length) -> Ladder {
    Ladder::fine("width of a strip", "ripped", width + joint)
        .then("after its sawn edge is jointed", width + joint / 2.0, "to take the saw marks off")
        .then("in the panel", width, "to make the other edge fit")
}

/// Strips are ripped in the length that they lie in, and cut apart only then.
fn to_rough_length(
    operation: Operation,
    making: &Making,
    panel: &Panel,
    rough: Length,
    blank: &Blank,
) -> Operation {
    let units = making.units();
    let trim = making.brief.kit.allowances.trim;
    let ladder = Ladder::new("length of a strip", "over the machines", blank.longest)
        .then("after ripping", rough, "for the snipe and for what lies behind it")
        .then("in the panel", panel.length, "trimmed after glue-up");
    let operation = operation
        .set("left longer until the panel is trimmed", format!("{} at each end", units.length(trim)))
        .figure(ladder.figure(units));
    if blank.longest <= rough + LONG_ENOUGH {
        return operation;
    }
    let cut = format!(
        "Cut them to {} now, as the layout drawing shows: until here the length kept them safe to feed",
        units.length(rough)
    );
    operation.taking(EACH_CUT).step(cut).minding(["crosscut"])
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixture::{brief, of_kind, routed};

    fn set<'a>(it: &'a Operation, label: &str) -> Option<&'a str> {
        it.set_up.iter().find(|it| it.label == label).map(|it| it.value.as_str())
    }

    #[test]
    fn strips_are_ripped_wider_and_longer_than_they_end_up() {
        // 45 and 3 mm for jointing; 420 and twice 15 mm for trimming.
        let mut brief = brief();
        brief.kit.units = measure::Units::MILLIMETRES;
        let route = routed(&brief);
        let maple = of_kind(&route, OperationKind::Rip)[0];
        assert_eq!(set(maple, "fence"), Some("48 mm: 4 strips"));
        assert_eq!(set(maple, "left wider until jointed"), Some("3 mm on each strip"));
        assert_eq!(set(maple, "left longer until the panel is trimmed"), Some("15 mm at each end"));
        let spans: Vec<&str> = maple.figures.iter().map(|it| it.value.as_str()).collect();
        assert_eq!(
            spans,
            ["48 mm → 46.5 mm → 45 mm", "498 mm → 450 mm → 420 mm"],
            "48.5 mm more for the snipe"
        );
    }

    #[test]
    fn strips_are_cut_apart_only_after_ripping_if_the_length_held_more() {
        let mut brief = brief();
        let cut = |brief: &stock::Brief| {
            let route = routed(brief);
            let maple = of_kind(&route, OperationKind::Rip)[0];
            maple.steps.iter().any(|it| it.text.starts_with("Cut them to"))
        };
        assert!(cut(&brief), "498 mm hold strips of 450");
        brief.kit.allowances.trim = measure::Length::inches(2.5);
        assert!(!cut(&brief), "the trim holds the snipe");
    }

    #[test]
    fn flat_comes_before_thickness_thickness_before_the_edge_and_the_edge_before_ripping() {
        let route = routed(&brief());
        let of_maple = route.operations.iter().filter(|it| it.title.contains("maple plank"));
        let kinds: Vec<OperationKind> = of_maple.map(|it| it.kind).collect();
        let order = [
            OperationKind::Crosscut,
            OperationKind::Flatten,
            OperationKind::Plane,
            OperationKind::Joint,
            OperationKind::Rip,
        ];
        assert_eq!(kinds, order);
    }
}
