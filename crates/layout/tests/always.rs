//! What holds for every brief: the judge has nothing to say, and neither
//! threads nor a second run change the answer.

mod common;
use std::sync::Mutex;

use common::*;
use layout::{Config, judge, lay_out};
use measure::Angle;
use outline::{Outline, Point, Ring};
use proptest::prelude::*;
use stock::*;

fn on_threads(brief: &Brief, threads: usize) -> Layout {
    let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
    pool.install(|| run(brief, 3).value)
}

#[test]
fn one_thread_and_two_give_the_same_layout() {
    let brief = usual_job();
    let one = on_threads(&brief, 1);
    assert_eq!(one, on_threads(&brief, 2));
    assert_eq!(one, on_threads(&brief, 2));
}

#[test]
fn progress_never_gets_worse_and_ends_at_the_whole() {
    let brief = usual_job();
    let seen: Mutex<Vec<(usize, f64)>> = Mutex::new(Vec::new());
    let progress = |layout: &Layout, share: f64| seen.lock().unwrap().push((layout.placements.len(), share));
    let found = lay_out(&brief, &Config { effort: 4, ..Config::default() }, &progress, &|| false);
    let seen = seen.into_inner().unwrap();
    assert_eq!(seen.len(), 6, "a first layout, four tries, and the pressing in");
    assert!(seen.windows(2).all(|pair| pair[0].0 <= pair[1].0 && pair[0].1 < pair[1].1), "{seen:?}");
    assert_eq!(seen[5], (found.value.placements.len(), 1.0));
}

#[test]
fn a_stop_keeps_what_is_there() {
    let brief = usual_job();
    let at_once = lay_out(&brief, &Config::default(), &|_, _| {}, &|| true);
    assert_eq!(judge(&brief, &at_once.value), vec![]);
    assert!(at_once.problems[0].message.contains("was stopped"), "{:?}", at_once.problems);
    let tries = Mutex::new(0);
    let progress = |_: &Layout, _: f64| *tries.lock().unwrap() += 1;
    let stop = || *tries.lock().unwrap() > 0;
    let soon = lay_out(&brief, &Config { effort: 50, ..Config::default() }, &progress, &stop).value;
    assert!(!soon.placements.is_empty());
    assert_eq!(judge(&brief, &soon), vec![]);
}

#[test]
fn an_empty_brief_is_answered() {
    let found = run(&brief(Vec::new(), Vec::new(), Vec::new()), 3);
    assert_eq!((found.value, found.problems), (Layout::default(), vec![]));
    let board = pattern(1, "board", block(0.0, 0.0, 150.0, 90.0));
    let none = run(&brief(Vec::new(), vec![board], vec![want(1, 1, 1), want(2, 77, 1)]), 1);
    assert_eq!(none.value.unplaced.len(), 2);
    assert!(none.problems[0].message.contains("no piece"), "{:?}", none.problems);
    assert!(none.problems[1].message.contains("pattern 77"), "{:?}", none.problems);
}

#[test]
fn many_parts_and_many_corners_are_answered() {
    let turns =
        |count: u32| (0..count).map(move |step| Angle::degrees(f64::from(step) * 360.0 / f64::from(count)));
    let wavy = |count: u32, radius: f64| {
        let corners = turns(count).map(|turn| {
            let reach = radius * (1.0 + 0.05 * (turn * 9.0).sin());
            Point::new(reach * turn.cos(), reach * turn.sin())
        });
        Ring::new(corners.collect()).unwrap()
    };
    let patterns = vec![pattern(1, "fine", wavy(6000, 140.0)), pattern(2, "coarse", wavy(40, 45.0))];
    let mut slab = plank(1, 10.0, 10.0);
    slab.face.outline = Outline::from(wavy(6000, 700.0));
    let wants = vec![want(1, 1, 4), want(2, 2, 490)];
    let brief = brief(vec![slab, plank(2, 2000.0, 300.0)], patterns, wants);
    let found = run(&brief, 1);
    assert_eq!(judge(&brief, &found.value), vec![]);
    assert!(found.value.placements.len() > 150, "{}", found.value.placements.len());
    assert_eq!(found.problems.len(), found.value.unplaced.len());
}

/// A ring around the middle whose corners lie at these shares of the radius.
fn star(radius: f64, shares: &[f64]) -> Ring {
    let corners = shares.iter().enumerate().map(|(index, share)| {
        let turn = Angle::degrees(index as f64 * 360.0 / shares.len() as f64);
        Point::new(radius * share * turn.cos(), radius * share * turn.sin())
    });
    Ring::new(corners.collect()).unwrap()
}

prop_compose! {
    fn any_pattern(id: u32)(
        shares in prop::collection::vec(0.35..1.0_f64, 3..14),
        radius in 25.0..110.0_f64,
        stem in prop::option::of(5.0..40.0_f64),
    ) -> Pattern {
        let drawn = pattern(id, &format!("shape {id}"), star(radius, &shares));
        match stem {
            Some(within) => with_stem(drawn, [0.0, 0.0], [radius * 0.9, 5.0], within),
            None => drawn,
        }
    }
}

prop_compose! {
    fn any_piece(id: u32)(
        shares in prop::collection::vec(0.6..1.0_f64, 5..16),
        radius in 130.0..300.0_f64,
        grain in -90.0..90.0_f64,
        drawn in prop::collection::vec((-200.0..200.0_f64, -90.0..90.0_f64), 0..4),
        zones in prop::collection::vec((-150.0..150.0_f64, -150.0..150.0_f64, 5.0..60.0_f64, 0..9_usize), 0..5),
    ) -> Piece {
        let mut piece = plank(id, 10.0, 10.0);
        piece.face.outline = Outline::from(star(radius, &shares));
        piece.face.grain.overall = Angle::degrees(grain);
        piece.face.grain.samples = drawn
            .into_iter()
            .map(|(x, turn)| GrainSample { at: Point::new(x, x / 2.0), direction: Angle::degrees(turn), sure: 0.9 })
            .collect();
        zones.into_iter().fold(piece, |piece, (x, y, size, kind)| {
            with_zone(piece, ZoneKind::ALL[kind], block(x, y, size, size * 0.7))
        })
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    #[test]
    fn the_judge_has_nothing_to_say(
        pieces in (any_piece(1), any_piece(2)),
        patterns in (any_pattern(1), any_pattern(2), any_pattern(3)),
        counts in (0..4_u32, 0..4_u32, 1..4_u32),
        strips in 0..4_u32,
        seed in any::<u32>(),
    ) {
        let wants = vec![want(1, 1, counts.0), want(2, 2, counts.1), want(3, 3, counts.2)];
        let mut brief = brief(vec![pieces.0, pieces.1], vec![patterns.0, patterns.1, patterns.2], wants);
        brief.job.seed = seed;
        brief.job.panels.push(Panel {
            id: PanelId(1),
            name: "panel".to_owned(),
            length: mm(90.0),
            thickness: mm(21.0),
            runs: vec![StripRun { piece: PieceId(1), width: mm(25.0), count: strips }],
        });
        let found = run(&brief, 2);
        prop_assert_eq!(judge(&brief, &found.value), vec![]);
        let left = found.value.unplaced.len() + found.value.unplaced_strips.len();
        prop_assert_eq!(found.problems.len(), left, "{:?}", found.problems);
    }
}
