//! Each rule of one cut: once where it speaks, once where it is silent.

use judge::Fault;
use measure::{Angle, Length};
use stock::{BladeId, SawCutKind};

use crate::bench::*;

#[test]
fn a_straight_cut_frees_a_part_and_the_waste_falls() {
    let scene = Scene::new(bar(0.0, 0.0, 300.0, 100.0), &[bar(0.0, 0.0, 200.0, 100.0)]);
    let x = 200.0 + SPARE + HALF;
    let ruling = scene.judge(vec![trim(&[(x, -8.0), (x, 108.0)])]);
    assert_eq!(faults(&ruling), []);
    let cut = &ruling.cuts[0];
    near(cut.reach, 300.0 - x, 0.3);
    near(cut.work, 300.0, 0.5);
    near(cut.work_across, 100.0, 0.5);
    assert_eq!(cut.skew, Angle::ZERO);
    assert!((cut.dust.to_mm2() - 100.0 * 2.0 * HALF).abs() < 0.3);
    assert_eq!(cut.falls.len(), 1);
    let fall = &cut.falls[0];
    assert!((fall.area.to_mm2() - (300.0 - x - HALF) * 100.0).abs() < 2.0);
    assert!(fall.parts.is_empty());
    near(fall.after, 108.0, 1.5);
    let part = ruling.parts[0];
    assert_eq!(part.freed_by, Some(0));
    near(part.left_most, SPARE, 0.02);
    near(part.left_mean, SPARE * 100.0 / 600.0, 0.005);
    assert_eq!(part.gouge, Length::ZERO);
}

#[test]
fn a_loop_frees_a_disc() {
    let ruling = round_board().judge(vec![cut(SawCutKind::Outline, &[1], loop_round(0.0))]);
    assert_eq!(faults(&ruling), []);
    let part = ruling.parts[0];
    assert_eq!(part.freed_by, Some(0));
    near(part.left_mean, SPARE, 0.02);
    near(part.left_most, SPARE, 0.5);
    assert_eq!(ruling.cuts[0].skew, Angle::ZERO, "so wide a round leaves the blade straight");
    assert!(ruling.cuts[0].falls.iter().any(|it| it.area.to_mm2() > 30_000.0), "{:?}", ruling.cuts[0].falls);
}

#[test]
fn a_cut_that_stops_inside_is_told() {
    let mut way = loop_round(0.0);
    way.truncate(way.len() * 3 / 4);
    let ruling = round_board().judge(vec![cut(SawCutKind::Outline, &[1], way)]);
    assert_eq!(faults(&ruling), [Fault::EndsInWood, Fault::NotFreed]);
    assert_eq!(ruling.parts[0].freed_by, None);
}

#[test]
fn a_loop_that_stops_just_short_has_freed_nothing() {
    let mut way = loop_round(0.0);
    way.truncate(way.len() - 30);
    let ruling = round_board().judge(vec![cut(SawCutKind::Outline, &[1], way)]);
    assert!(faults(&ruling).contains(&Fault::NotFreed), "{:?}", faults(&ruling));
}

#[test]
fn a_blade_too_wide_for_its_way_jams() {
    let scene = Scene::new(bar(0.0, 0.0, 120.0, 120.0), &[disc(60.0, 60.0, 25.0)]);
    let radius = 25.0 + SPARE + HALF;
    let mut way = points(&[(-20.0, 60.0 - radius)]);
    way.extend(arc((60.0, 60.0), radius, -90.0, 270.0));
    let with = |blade| {
        let mut cut = cut(SawCutKind::Outline, &[1], way.clone());
        cut.blade = blade;
        scene.judge(vec![cut])
    };
    assert_eq!(faults(&with(QUARTER)), []);
    let askew = with(THREE_EIGHTHS);
    assert_eq!(faults(&askew), []);
    let skew = askew.cuts[0].skew.to_degrees();
    assert!(skew > 3.0 && skew < 11.0, "{skew}");
    assert_eq!(faults(&with(THREE_QUARTERS)), [Fault::Jams]);
}

#[test]
fn a_sudden_corner_jams_the_blade() {
    let scene = Scene::new(bar(0.0, 0.0, 200.0, 200.0), &[bar(0.0, 0.0, 95.0, 95.0)]);
    let corner = 97.2;
    let way = points(&[(-8.0, corner), (corner, corner), (corner, -8.0)]);
    let found = scene.judge(vec![cut(SawCutKind::Outline, &[1], way)]);
    assert_eq!(faults(&found), [Fault::Jams]);
    near(Length::mm(found.refusals[0].at.x), corner, 0.6);
    let slight = points(&[(-8.0, corner), (corner, corner), (208.0, corner + 4.0)]);
    let across = trim(&[(corner, 210.0), (corner, -8.0)]);
    assert_eq!(faults(&scene.judge(vec![cut(SawCutKind::Outline, &[1], slight), across])), []);
}

#[test]
fn a_way_that_enters_the_part_is_told_by_its_depth() {
    let ruling = round_board().judge(vec![cut(SawCutKind::Outline, &[1], loop_round(-SPARE - 0.3))]);
    assert_eq!(faults(&ruling), [Fault::InPart]);
    near(ruling.refusals[0].figure, 0.3, 0.01);
    near(ruling.parts[0].gouge, 0.3, 0.01);
    let beside = round_board().judge(vec![cut(SawCutKind::Outline, &[1], loop_round(-SPARE + 0.01))]);
    assert_eq!(faults(&beside), []);
}

#[test]
fn wood_that_strikes_the_column_is_told_by_its_reach() {
    let mut scene = round_board();
    scene.saw.throat = Length::mm(80.0);
    let ruling = scene.judge(vec![cut(SawCutKind::Outline, &[1], loop_round(0.0))]);
    assert_eq!(faults(&ruling), [Fault::MeetsColumn]);
    let refusal = ruling.refusals[0];
    assert_eq!(refusal.limit, Length::mm(80.0));
    assert_eq!(refusal.figure, ruling.cuts[0].reach);
    // At 45° a corner of the board is farthest out.
    near(refusal.figure, 120.0 * 2.0_f64.sqrt() - 80.0 - SPARE - HALF, 0.5);
    scene.saw.throat = refusal.figure;
    assert_eq!(faults(&scene.judge(vec![cut(SawCutKind::Outline, &[1], loop_round(0.0))])), []);
}

#[test]
fn the_column_is_on_the_right() {
    let scene = Scene::new(bar(0.0, 0.0, 300.0, 100.0), &[bar(0.0, 0.0, 200.0, 100.0)]);
    let x = 200.0 + SPARE + HALF;
    let up = scene.judge(vec![trim(&[(x, -8.0), (x, 108.0)])]);
    let down = scene.judge(vec![trim(&[(x, 108.0), (x, -8.0)])]);
    near(up.cuts[0].reach, 300.0 - x, 0.3);
    near(down.cuts[0].reach, x, 0.3);
}

#[test]
fn a_board_too_thick_or_a_strange_blade_is_told() {
    let mut scene = Scene::new(bar(0.0, 0.0, 300.0, 100.0), &[bar(0.0, 0.0, 200.0, 100.0)]);
    let x = 200.0 + SPARE + HALF;
    let right = || trim(&[(x, -8.0), (x, 108.0)]);
    let mut strange = right();
    strange.blade = BladeId(9);
    assert_eq!(faults(&scene.judge(vec![strange])), [Fault::UnknownBlade, Fault::NotFreed]);
    scene.thickness = Length::inches(6.5);
    assert_eq!(faults(&scene.judge(vec![right()])), [Fault::TooThick]);
    scene.thickness = Length::inches(6.0);
    assert_eq!(faults(&scene.judge(vec![right()])), []);
    scene.saw.blades[1].thickness = Some(Length::inches(0.042));
    assert_eq!(faults(&scene.judge(vec![right()])), [Fault::BladeBinds, Fault::NotFreed]);
}

#[test]
fn a_cut_begins_outside_the_wood() {
    let scene = Scene::new(bar(0.0, 0.0, 300.0, 100.0), &[bar(0.0, 0.0, 200.0, 100.0)]);
    let x = 200.0 + SPARE + HALF;
    let inside = scene.judge(vec![trim(&[(x, 5.0), (x, 108.0)])]);
    assert!(faults(&inside).contains(&Fault::BeginsInWood));
    let touching = scene.judge(vec![trim(&[(x, 0.0), (x, 108.0)])]);
    assert_eq!(faults(&touching), []);
}

#[test]
fn a_cut_in_the_air_is_told() {
    let scene = Scene::new(bar(0.0, 0.0, 300.0, 100.0), &[bar(0.0, 0.0, 300.0, 100.0)]);
    let found = scene.judge(vec![trim(&[(310.0, -5.0), (310.0, 108.0)])]);
    assert_eq!(faults(&found), [Fault::SawsNothing]);
}

#[test]
fn the_balance_point_stays_on_the_table() {
    let scene = Scene::new(bar(0.0, 0.0, 900.0, 100.0), &[bar(0.0, 0.0, 200.0, 100.0)]);
    let x = 200.0 + SPARE + HALF;
    let ruling = scene.judge(vec![trim(&[(x, 108.0), (x, -8.0)])]);
    assert_eq!(faults(&ruling), [Fault::NotFreed][..0].to_vec());
    near(ruling.cuts[0].overhang, 450.0 - x - 8.0 * 25.4, 0.5);
    let short = Scene::new(bar(0.0, 0.0, 400.0, 100.0), &[bar(0.0, 0.0, 200.0, 100.0)]);
    assert_eq!(short.judge(vec![trim(&[(x, 108.0), (x, -8.0)])]).cuts[0].overhang, Length::ZERO);
}

#[test]
fn a_mirrored_cut_sawn_the_other_way_reaches_as_far() {
    let bow = |mirror: f64| {
        let wood = shape(points(&[(0.0, 0.0), (260.0, 0.0), (240.0, 150.0), (20.0, 120.0)]));
        let turned = |it: outline::Point| outline::Point::new(mirror * it.x, it.y);
        let flip = |it: &outline::Outline| shape(it.outer().corners().iter().map(|&it| turned(it)).collect());
        let part = shape(points(&[(0.0, 0.0), (120.0, 0.0), (100.0, 60.0), (20.0, 60.0)]));
        let mut way = arc((40.0, 150.0), 82.0, -150.0, 20.0);
        way.iter_mut().for_each(|it| *it = turned(*it));
        if mirror < 0.0 {
            way.reverse();
        }
        let scene = Scene::new(flip(&wood), &[flip(&part)]);
        let ruling = scene.judge(vec![cut(SawCutKind::Outline, &[1], way)]);
        (faults(&ruling), ruling.cuts[0].clone())
    };
    let ((faults, right), (mirrored_faults, left)) = (bow(1.0), bow(-1.0));
    assert_eq!(faults, mirrored_faults);
    near(right.reach, left.reach.to_mm(), 0.4);
    assert!((right.dust.to_mm2() - left.dust.to_mm2()).abs() < 1.0);
}
