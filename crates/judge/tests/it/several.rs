//! Several parts on one board: what comes off in whose turn.

use judge::Fault;
use stock::SawCutKind;

use crate::bench::*;

const AWAY: f64 = SPARE + HALF;

/// Two bars side by side, with a kerf and the spare wood between them.
fn pair() -> Scene {
    let (left, right) = (bar(0.0, 0.0, 200.0 - AWAY, 100.0), bar(200.0 + AWAY, 0.0, 200.0 - AWAY, 100.0));
    Scene::new(bar(0.0, 0.0, 400.0, 100.0), &[left, right])
}

const BETWEEN: [(f64, f64); 2] = [(200.0, -8.0), (200.0, 108.0)];

#[test]
fn a_parting_cut_frees_both() {
    let ruling = pair().judge(vec![cut(SawCutKind::Parting, &[1, 2], points(&BETWEEN))]);
    assert_eq!(faults(&ruling), []);
    assert_eq!(ruling.parts.iter().map(|it| it.freed_by).collect::<Vec<_>>(), [Some(0), Some(0)]);
    let falls = &ruling.cuts[0].falls;
    assert_eq!(falls.len(), 1);
    assert_eq!(falls[0].parts.len(), 1);
}

#[test]
fn parts_that_nothing_parts_hang_together() {
    let scene = pair();
    let off = trim(&[(0.0 - AWAY, 108.0), (0.0 - AWAY, -8.0)]);
    assert_eq!(
        faults(&scene.judge(vec![off])),
        [Fault::SawsNothing, Fault::HangsTogether, Fault::HangsTogether]
    );
}

#[test]
fn a_trim_that_takes_a_part_off_is_told() {
    assert_eq!(faults(&pair().judge(vec![trim(&BETWEEN)])), [Fault::CutLoose]);
}

#[test]
fn a_part_that_no_cut_names_comes_off_by_parting_or_as_the_rest() {
    let scene = Scene::new(
        bar(0.0, 0.0, 400.0, 100.0),
        &[bar(0.0, 0.0, 200.0 - AWAY, 60.0), bar(200.0 + AWAY, 0.0, 200.0 - AWAY, 100.0)],
    );
    let up = points(&BETWEEN);
    let along = points(&[(208.0, 60.0 + AWAY), (-8.0, 60.0 + AWAY)]);
    let one_cut = |first: SawCutKind, listed: &[u32]| {
        let cuts = vec![cut(first, listed, up.clone()), cut(SawCutKind::Outline, &[1], along.clone())];
        faults(&scene.judge(cuts))
    };
    assert_eq!(one_cut(SawCutKind::Parting, &[1, 2]), []);
    assert_eq!(one_cut(SawCutKind::Outline, &[1]), []);
    assert_eq!(one_cut(SawCutKind::Trim, &[]), [Fault::CutLoose]);
}

#[test]
fn a_part_falls_in_the_middle_of_another_ones_cut() {
    // Three bars one above the other; the slit between the upper two is there
    // when a cut along the right of all of them begins.
    let scene = Scene::new(
        bar(0.0, 0.0, 320.0, 210.0),
        &[bar(0.0, 0.0, 300.0, 100.0 - AWAY), bar(0.0, 100.0 + AWAY, 300.0, 110.0 - AWAY)],
    );
    let slit = cut(SawCutKind::Relief, &[1, 2], points(&[(-8.0, 100.0), (303.0, 100.0)]));
    let x = 300.0 + AWAY;
    let down = |listed: &[u32]| cut(SawCutKind::Outline, listed, points(&[(x, 218.0), (x, -8.0)]));
    let alone = scene.judge(vec![slit.clone(), down(&[1])]);
    assert_eq!(faults(&alone), [Fault::CutLoose]);
    let both = scene.judge(vec![slit, down(&[1, 2])]);
    assert_eq!(faults(&both), []);
    assert_eq!(both.cuts[1].falls[0].parts, [key(2)]);
    near(both.cuts[1].falls[0].after, 218.0 - 100.0 - HALF, 1.5);
}

#[test]
fn wood_that_has_come_apart_is_not_sawn_in_one_go() {
    let scene = Scene::new(
        bar(0.0, 0.0, 400.0, 100.0),
        &[bar(0.0, 0.0, 200.0 - AWAY, 80.0), bar(200.0 + AWAY, 0.0, 200.0 - AWAY, 80.0)],
    );
    let between = cut(SawCutKind::Parting, &[1, 2], points(&BETWEEN));
    let y = 80.0 + AWAY;
    let across = cut(SawCutKind::Trim, &[], points(&[(408.0, y), (-8.0, y)]));
    let apart = faults(&scene.judge(vec![between.clone(), across.clone()]));
    assert!(apart.contains(&Fault::MeetsOtherWood), "{apart:?}");
    assert_eq!(faults(&scene.judge(vec![across, between])), []);
}

#[test]
fn a_loose_part_is_not_sawn_again_but_at_its_corners() {
    let scene = |long: f64| Scene::new(bar(0.0, 0.0, long + 100.0, 100.0), &[bar(0.0, 0.0, long, 100.0)]);
    let off =
        |long: f64| cut(SawCutKind::Outline, &[1], points(&[(long + AWAY, -8.0), (long + AWAY, 108.0)]));
    let corner = |kind, long: f64| {
        // As far from the corner's own line as any cut.
        let off = long - 5.0 + (SPARE + HALF) * 2.0_f64.sqrt();
        cut(kind, &[1], points(&[(off + 11.0, 89.0), (off - 10.0, 110.0)]))
    };
    let shaped = |kind, long: f64| {
        let mut scene = scene(long);
        let cut_off = points(&[(0.0, 0.0), (long, 0.0), (long, 95.0), (long - 5.0, 100.0), (0.0, 100.0)]);
        scene.parts[0].1 = shape(cut_off);
        faults(&scene.judge(vec![off(long), corner(kind, long)]))
    };
    assert_eq!(shaped(SawCutKind::Facet, 200.0), []);
    assert_eq!(shaped(SawCutKind::Facet, 130.0), [Fault::TooShortToHold]);
    let twice = scene(200.0).judge(vec![off(200.0), corner(SawCutKind::Outline, 200.0)]);
    assert!(faults(&twice).contains(&Fault::CutLoose), "{:?}", faults(&twice));
}

#[test]
fn a_loop_round_one_part_leaves_the_other_to_its_own() {
    let scene =
        Scene::new(bar(0.0, 0.0, 440.0, 240.0), &[disc(120.0, 120.0, 80.0), bar(232.0, 0.0, 208.0, 240.0)]);
    let part = cut(SawCutKind::Outline, &[1], loop_round(0.0));
    let x = 232.0 - AWAY;
    let rest = cut(SawCutKind::Outline, &[2], points(&[(x, 248.0), (x, -8.0)]));
    let ruling = scene.judge(vec![part, rest]);
    assert_eq!(faults(&ruling), []);
    assert_eq!(ruling.parts.iter().map(|it| it.freed_by).collect::<Vec<_>>(), [Some(0), Some(1)]);
}
