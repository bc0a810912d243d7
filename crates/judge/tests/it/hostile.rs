//! What no planner should write down is told, and never a panic or a wait.

use std::time::{Duration, Instant};

use judge::Fault;
use measure::{Angle, Length};
use outline::Point;
use stock::{SawCut, SawCutKind, SawHole, SawHoleUse, SawLeg};

use crate::bench::*;

fn of(legs: Vec<SawLeg>) -> SawCut {
    SawCut { kind: SawCutKind::Outline, parts: vec![key(1)], blade: QUARTER, legs }
}

#[test]
fn ways_that_are_none_are_broken() {
    let scene = round_board();
    let nowhere = Point::new(f64::NAN, f64::INFINITY);
    let ways = [
        vec![],
        vec![sawn(vec![])],
        vec![sawn(vec![Point::new(1.0, 1.0)])],
        vec![sawn(vec![Point::new(1.0, 1.0), nowhere])],
        vec![sawn(vec![nowhere; 5])],
        vec![SawLeg::Turned { about: Point::new(1.0, 1.0), by: Angle::degrees(9.0) }],
        vec![sawn(loop_round(0.0)), SawLeg::Turned { about: nowhere, by: Angle::degrees(9.0) }],
        vec![sawn(loop_round(0.0)), SawLeg::Turned { about: Point::default(), by: Angle::degrees(1e12) }],
        vec![sawn(points(&[(-10.0, 20.0), (300.0, 20.0)])), sawn(points(&[(0.0, 0.0), (9.0, 9.0)]))],
    ];
    for legs in ways {
        assert_eq!(
            faults(&scene.judge(vec![of(legs.clone())])),
            [Fault::Broken, Fault::NotFreed],
            "{legs:?}"
        );
    }
}

#[test]
fn a_plan_without_cuts_frees_nothing() {
    let ruling = round_board().judge(Vec::new());
    assert_eq!(faults(&ruling), [Fault::NotFreed]);
    assert!(ruling.cuts.is_empty() && ruling.parts.len() == 1);
    assert!(ruling.parts[0].left_most > Length::ZERO);
}

#[test]
fn far_away_many_and_endless_are_too_much() {
    let scene = round_board();
    let many = (0..1_000_000).map(|it| Point::new(f64::from(it) * 1e-3, 20.0)).collect();
    let endless = (0..2_000).map(|it| Point::new(f64::from(it % 2) * 900.0, 20.0)).collect();
    let far = points(&[(-1e9, 20.0), (1e9, 20.0)]);
    for way in [many, endless, far] {
        let ruling = scene.judge(vec![of(vec![sawn(way)])]);
        assert_eq!(faults(&ruling), [Fault::TooMuch]);
        assert_eq!((ruling.cuts.len(), ruling.parts.len()), (1, 1));
    }
    let huge = Scene::new(bar(0.0, 0.0, 6_000.0, 100.0), &[bar(0.0, 0.0, 200.0, 100.0)]);
    assert_eq!(faults(&huge.judge(Vec::new())), [Fault::TooMuch]);
}

#[test]
fn scribbling_in_one_place_ends_in_time() {
    let scene = round_board();
    let begun = Instant::now();
    let scribble =
        (0..60_000).map(|it| Point::new(5.0 + f64::from(it % 7) * 0.2, 5.0 + f64::from(it % 5) * 0.2));
    let way = points(&[(-10.0, 5.0)]).into_iter().chain(scribble).collect();
    let ruling = scene.judge(vec![of(vec![sawn(way)])]);
    assert!(faults(&ruling).contains(&Fault::TooMuch), "{:?}", faults(&ruling));
    assert!(begun.elapsed() < Duration::from_secs(10), "{:?}", begun.elapsed());
}

#[test]
fn odd_blades_holes_and_parts_are_told() {
    let mut scene = round_board();
    let strange = Point::new(f64::NAN, 0.0);
    let hole = SawHole { part: key(1), at: strange, diameter: Length::mm(6.0), is: SawHoleUse::Pivot };
    let whole = || of(vec![sawn(loop_round(0.0))]);
    assert_eq!(faults(&scene.judge_with(vec![hole], vec![whole()])), [Fault::Broken]);
    let mut other = whole();
    other.parts.push(key(9));
    assert_eq!(faults(&scene.judge(vec![other])), [Fault::UnknownPart]);
    for (width, kerf) in [(0.0, 1.0), (-3.0, 1.0), (6.0, 0.0), (6.0, -1.0), (1e9, 1.0), (6.0, 9.0)] {
        scene.saw.blades[1].width = Length::mm(width);
        scene.saw.blades[1].kerf = Length::mm(kerf);
        let found = faults(&scene.judge(vec![whole()]));
        assert_eq!(found, [Fault::BladeBinds, Fault::NotFreed], "{width} {kerf}");
    }
}

#[test]
fn a_part_off_the_wood_is_never_freed() {
    let scene = Scene::new(bar(0.0, 0.0, 100.0, 100.0), &[bar(500.0, 0.0, 50.0, 50.0)]);
    let found = scene.judge(vec![trim(&[(50.0, -8.0), (50.0, 108.0)])]);
    assert_eq!(faults(&found), [Fault::NotFreed]);
}
