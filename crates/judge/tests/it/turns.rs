//! Holes that the blade turns in, holes to start from, and relief cuts.

use judge::{Fault, Ruling};
use measure::{Angle, Length};
use outline::{Outline, Point};
use stock::{SawCut, SawCutKind, SawHole, SawHoleUse, SawLeg};

use crate::bench::*;

fn hole(part: u32, at: (f64, f64), radius: f64, is: SawHoleUse) -> SawHole {
    SawHole { part: key(part), at: Point::new(at.0, at.1), diameter: Length::mm(2.0 * radius), is }
}

/// An L with a square inside corner at 60, 60, sawn out of a square through a
/// hole in which the blade turns by so many degrees.
fn square_corner(hole_radius: f64, turn: f64) -> Ruling {
    let corners = [(0.0, 0.0), (200.0, 0.0), (200.0, 60.0), (60.0, 60.0), (60.0, 200.0), (0.0, 200.0)];
    let scene = Scene::new(bar(0.0, 0.0, 200.0, 200.0), &[shape(points(&corners))]);
    let middle = 60.0 + 3.6;
    let half_width = 6.35 / 2.0;
    let into = sawn(points(&[(208.0, middle), (middle - half_width, middle)]));
    let about = SawLeg::Turned { about: Point::new(middle, middle), by: Angle::degrees(turn) };
    let out = sawn(points(&[(middle, middle + half_width), (middle, 208.0)]));
    let legs = vec![into, about, out];
    let cut = SawCut { kind: SawCutKind::Outline, parts: vec![key(1)], blade: QUARTER, legs };
    scene.judge_with(vec![hole(1, (middle, middle), hole_radius, SawHoleUse::Pivot)], vec![cut])
}

#[test]
fn a_blade_turns_in_a_hole_that_is_wide_enough() {
    let ruling = square_corner(3.6, -90.0);
    assert_eq!(faults(&ruling), []);
    assert_eq!(ruling.parts[0].freed_by, Some(0));
    assert_eq!(ruling.cuts[0].falls.len(), 1);
}

#[test]
fn a_blade_does_not_turn_in_a_narrow_hole() {
    let ruling = square_corner(2.9, -90.0);
    assert_eq!(faults(&ruling), [Fault::Jams]);
}

#[test]
fn a_turn_the_wrong_way_does_not_join() {
    let ruling = square_corner(3.6, 90.0);
    assert_eq!(faults(&ruling), [Fault::Broken, Fault::NotFreed]);
}

#[test]
fn a_hole_to_turn_in_touches_the_line_and_does_not_enter() {
    let ruling = square_corner(3.8, -90.0);
    assert_eq!(faults(&ruling), [Fault::HoleInPart]);
    near(ruling.refusals[0].figure, 0.2, 1e-6);
}

#[test]
fn a_hole_to_start_from_lies_in_an_opening_of_its_part() {
    let ring = disc(120.0, 120.0, 30.0).outer().clone();
    let part = Outline::new(disc(120.0, 120.0, 80.0).outer().clone(), vec![ring]).unwrap();
    let scene = Scene::new(bar(0.0, 0.0, 240.0, 240.0), &[part]);
    let drilled = |x: f64, radius: f64| {
        let holes = vec![hole(1, (x, 120.0), radius, SawHoleUse::Start)];
        faults(&scene.judge_with(holes, vec![cut(SawCutKind::Outline, &[1], loop_round(0.0))]))
    };
    assert_eq!(drilled(120.0, 6.0), []);
    assert_eq!(drilled(146.0, 6.0), [Fault::HoleOutsideOpening]);
    assert_eq!(drilled(170.0, 6.0), [Fault::HoleOutsideOpening]);
}

#[test]
fn a_hole_of_another_part_or_of_no_size_is_told() {
    let scene = round_board();
    let loose = |hole: SawHole| {
        faults(&scene.judge_with(vec![hole], vec![cut(SawCutKind::Outline, &[1], loop_round(0.0))]))
    };
    assert_eq!(loose(hole(7, (10.0, 10.0), 3.0, SawHoleUse::Pivot)), [Fault::UnknownPart]);
    assert_eq!(loose(hole(1, (10.0, 10.0), 0.0, SawHoleUse::Pivot)), [Fault::Broken]);
    assert_eq!(loose(hole(1, (10.0, 10.0), 3.0, SawHoleUse::Pivot)), []);
}

#[test]
fn no_blade_gets_into_a_closed_hole() {
    let scene = Scene::new(bar(0.0, 0.0, 300.0, 100.0), &[bar(0.0, 0.0, 200.0, 100.0)]);
    let x = 200.0 + SPARE + HALF;
    let whole = trim(&[(x, -8.0), (x, 108.0)]);
    let begun = trim(&[(270.0, 55.0), (270.0, 108.0)]);
    let holes = vec![hole(1, (270.0, 50.0), 12.0, SawHoleUse::Pivot)];
    let found = scene.judge_with(holes, vec![begun, whole]);
    assert_eq!(faults(&found), [Fault::Trapped]);
}

/// A bar in the lower part of a board, two relief cuts down to its line.
fn with_relief(reliefs: Vec<SawCut>) -> Ruling {
    let scene = Scene::new(bar(0.0, 0.0, 300.0, 100.0), &[bar(0.0, 0.0, 300.0, 60.0)]);
    let y = 60.0 + SPARE + HALF;
    let along = cut(SawCutKind::Outline, &[1], points(&[(308.0, y), (-8.0, y)]));
    scene.judge(reliefs.into_iter().chain([along]).collect())
}

fn relief(way: &[(f64, f64)]) -> SawCut {
    cut(SawCutKind::Relief, &[1], points(way))
}

#[test]
fn between_relief_cuts_the_waste_falls_in_pieces() {
    let y = 60.0 + SPARE + HALF;
    let reliefs = [200.0, 100.0].map(|x| relief(&[(x, 108.0), (x, y)])).to_vec();
    let ruling = with_relief(reliefs);
    assert_eq!(faults(&ruling), []);
    assert!(ruling.cuts[0].falls.is_empty() && ruling.cuts[1].falls.is_empty());
    let falls = &ruling.cuts[2].falls;
    assert_eq!(falls.len(), 3, "{falls:?}");
    for (fall, after) in falls.iter().zip([108.0, 208.0, 308.0]) {
        near(fall.after, after, 1.5);
        near(fall.longest, 100.0 - HALF, 1.5);
    }
    assert_eq!(ruling.parts[0].freed_by, Some(2));
}

#[test]
fn a_relief_cut_is_straight_and_keeps_out_of_the_part() {
    let bent = with_relief(vec![relief(&[(200.0, 108.0), (201.5, 85.0), (200.0, 63.0)])]);
    assert_eq!(faults(&bent), [Fault::ReliefBends]);
    near(bent.refusals[0].figure, 1.5, 0.01);
    let deep = with_relief(vec![relief(&[(200.0, 108.0), (200.0, 59.0)])]);
    assert_eq!(faults(&deep), [Fault::InPart]);
    let other_kind = with_relief(vec![trim(&[(200.0, 108.0), (200.0, 63.0)])]);
    assert_eq!(faults(&other_kind), [Fault::EndsInWood]);
}

#[test]
fn relief_lets_a_wide_blade_follow_a_round_that_it_could_not() {
    // The back of the blade swings out where waste has fallen.
    let radius = 30.0;
    let part = disc(60.0, 60.0, radius - SPARE - HALF);
    let scene = Scene::new(bar(0.0, 0.0, 120.0, 120.0), &[part]);
    let mut way = points(&[(-20.0, 60.0 - radius)]);
    way.extend(arc((60.0, 60.0), radius, -90.0, 270.0));
    let mut round = cut(SawCutKind::Outline, &[1], way);
    round.blade = THREE_QUARTERS;
    assert_eq!(faults(&scene.judge(vec![round.clone()])), [Fault::Jams]);
    let spoke = |turn: f64| {
        let at = |from: f64| {
            let turn = turn.to_radians();
            (60.0 + from * turn.cos(), 60.0 + from * turn.sin())
        };
        relief(&[at(110.0), at(radius)])
    };
    // Every 1.5 mm along the way, as wide as the kerf: nothing is left outside it.
    let spokes = (0..124).map(|it| spoke(-92.0 + 2.9 * f64::from(it)));
    let with_spokes = scene.judge(spokes.chain([round]).collect());
    assert!(!faults(&with_spokes).contains(&Fault::Jams), "{:?}", with_spokes.refusals);
}
