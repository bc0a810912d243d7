//! A part laid by hand is told at once what is wrong there.

mod common;
use common::*;
use layout::{hand_rules, verdict};
use outline::Point;
use stock::*;

fn two_boards() -> (Brief, Layout) {
    let knotty = with_zone(plank(1, 600.0, 120.0), ZoneKind::Knot, block(280.0, 40.0, 30.0, 30.0));
    let board = pattern(1, "board", block(0.0, 0.0, 150.0, 90.0));
    let mut brief = brief(vec![knotty], vec![board], vec![want(1, 1, 2)]);
    let layout = run(&brief, 2).value;
    assert_eq!(layout.placements.len(), 2);
    brief.kit.clear_of.insert(ZoneKind::Knot, mm(9.0));
    (brief, layout)
}

fn held(x: f64, y: f64) -> Pin {
    let mut pin = pin(1, 1, x, y);
    pin.part.copy = 2;
    pin
}

#[test]
fn a_hand_is_told_of_knot_edge_and_neighbour_and_of_nothing_where_all_is_well() {
    let (mut brief, layout) = two_boards();
    brief.job.choices.pins = vec![pin(1, 1, 10.0, 10.0)];
    let told = |x: f64, y: f64| verdict(&brief, &layout, &held(x, y)).faults;
    assert_eq!(told(330.0, 10.0), vec![], "clear wood");
    let only = |x: f64, y: f64| {
        let told = told(x, y);
        assert_eq!(told.len(), 1, "{told:?}");
        told[0].clone()
    };
    assert!(only(316.0, 10.0).told.message.contains("lies 6 mm from a zone of knot; the limit is 9 mm"));
    assert!(only(330.0, 2.0).told.message.contains("2 mm from the edge"));
    assert!(only(500.0, 10.0).told.message.contains("past the edge"));
    let near = told(162.0, 10.0);
    let pair = near.iter().find(|it| it.parts.len() == 2).unwrap();
    assert!(pair.told.message.contains("2 mm apart"), "{near:?}");
}

#[test]
fn the_verdict_on_a_part_that_is_not_there_is_told_not_made_up() {
    let (brief, layout) = two_boards();
    let nowhere = Pin { face: FaceKey::Piece(PieceId(9)), ..held(10.0, 10.0) };
    assert!(!verdict(&brief, &layout, &nowhere).faults.is_empty());
    let far =
        Pin { place: outline::Place { at: Point::new(1e12, -1e12), ..Default::default() }, ..held(0.0, 0.0) };
    assert!(verdict(&brief, &layout, &far).faults[0].told.message.contains("past the edge"));
}

#[test]
fn the_rules_name_every_way_that_is_kept() {
    let (mut brief, _) = two_boards();
    let rules = hand_rules(&brief);
    assert_eq!(rules.edge, mm(4.0));
    assert_eq!((rules.zones.len(), rules.zones[0].clear, rules.zones[0].wants.len()), (1, mm(9.0), 1));
    assert!((rules.gaps[0].clear.to_mm() - (0.042 * 25.4 + 2.0)).abs() < 1e-9);
    // The straight saw's kerf is the wider one.
    assert!((rules.strips[0].clear.to_mm() - (0.125 * 25.4 + 2.0)).abs() < 1e-9);
    brief.job.choices.allowed_zones = vec![ZoneKind::Knot];
    assert_eq!(hand_rules(&brief).zones, vec![]);
}
