//! Each rule of placing on a small case worked by hand.

mod common;
use common::*;
use layout::judge;
use measure::{Angle, Length};
use outline::{Outline, Place, Point, Ring};
use stock::*;

/// The gap that the starting shop's 1/4 in blade asks for: 0.042 in kerf + 2 mm
/// to steer = 3.0668 mm.
const GAP: f64 = 0.042 * 25.4 + 2.0;

fn count(brief: &Brief, effort: u32) -> usize {
    let found = run(brief, effort);
    assert_eq!(judge(brief, &found.value), vec![]);
    assert_eq!(found.problems.len(), found.value.unplaced.len() + found.value.unplaced_strips.len());
    found.value.placements.len()
}

#[test]
fn kerf_and_steering_room_decide_how_many_fit() {
    // Three squares of 100 mm in a row: 3 × 100 + 2 gaps of 3.0668 + 2 edges of
    // 4 mm = 314.13 mm. A plank of 314.6 holds three, one of 313.8 only two.
    let squares = |length: f64| {
        let plank = plank(1, length, 108.5);
        brief(vec![plank], vec![pattern(1, "square", block(0.0, 0.0, 100.0, 100.0))], vec![want(1, 1, 3)])
    };
    assert!((300.0 + 2.0 * GAP + 8.0 - 314.1336).abs() < 1e-9);
    assert_eq!(count(&squares(314.6), 4), 3);
    assert_eq!(count(&squares(313.8), 4), 2);
}

#[test]
fn the_chosen_blade_brings_its_own_kerf() {
    let plank = plank(1, 314.6, 108.5);
    let mut brief =
        brief(vec![plank], vec![pattern(1, "square", block(0.0, 0.0, 100.0, 100.0))], vec![want(1, 1, 3)]);
    brief.kit.bandsaw.blades.push(Blade {
        id: BladeId(9),
        width: Length::inches(1.0),
        kerf: mm(2.0),
        thickness: None,
        loop_length: None,
        teeth_per_inch: 2.0,
    });
    brief.job.choices.blades.insert(PatternId(1), BladeId(9));
    // 300 + 2 × (2 + 2) + 8 = 316 mm is more than 314.6.
    assert_eq!(count(&brief, 4), 2);
}

#[test]
fn a_knot_in_the_way_takes_its_place_and_the_allowance() {
    // 500 mm of plank, knot from 240 to 260: 240 - 4 - 4 = 232 mm clear at each
    // side, and across only 100. A board of 230 fits twice, one of 234 never.
    let board = |length: f64| {
        let knotty = with_zone(plank(1, 500.0, 100.0), ZoneKind::Knot, block(240.0, 5.0, 20.0, 90.0));
        brief(vec![knotty], vec![pattern(1, "board", block(0.0, 0.0, length, 80.0))], vec![want(1, 1, 2)])
    };
    assert_eq!(count(&board(230.0), 4), 2);
    assert_eq!(count(&board(234.0), 4), 0);
    let told = run(&board(234.0), 1).problems;
    assert!(told[0].message.contains("fits on no face"), "{told:?}");
    // The maker says that a knot may be held: one board of 300 lies across it.
    let mut allowed = board(300.0);
    allowed.job.choices.allowed_zones = vec![ZoneKind::Knot];
    assert_eq!(count(&allowed, 4), 1);
}

#[test]
fn a_small_knot_is_not_swallowed_whole() {
    let knotty = with_zone(plank(1, 200.0, 200.0), ZoneKind::Knot, block(98.0, 98.0, 4.0, 4.0));
    let brief =
        brief(vec![knotty], vec![pattern(1, "disc", block(0.0, 0.0, 150.0, 150.0))], vec![want(1, 1, 1)]);
    assert_eq!(count(&brief, 2), 0);
}

#[test]
fn a_stem_keeps_within_its_angle_of_the_local_grain() {
    let mut plank = plank(1, 600.0, 600.0);
    plank.face.grain = GrainField::straight(Angle::degrees(60.0));
    let board =
        with_stem(pattern(1, "paddle", block(0.0, 0.0, 300.0, 80.0)), [200.0, 40.0], [300.0, 40.0], 10.0);
    let found = run(&brief(vec![plank], vec![board], vec![want(1, 1, 3)]), 4).value;
    assert_eq!(found.placements.len(), 3);
    for it in &found.placements {
        let off = it.place.direction(Angle::ZERO).between_lines(Angle::degrees(60.0));
        assert!(off.to_degrees() <= 10.0, "{off:?}");
    }
}

#[test]
fn a_stem_that_cannot_run_with_the_grain_is_told_its_angle() {
    // 300 mm of stem cannot lie across a plank 150 mm wide.
    let mut plank = plank(1, 600.0, 150.0);
    plank.face.grain = GrainField::straight(Angle::degrees(90.0));
    let board =
        with_stem(pattern(1, "paddle", block(0.0, 0.0, 300.0, 80.0)), [200.0, 40.0], [300.0, 40.0], 10.0);
    let found = run(&brief(vec![plank], vec![board], vec![want(1, 1, 1)]), 2);
    assert_eq!(found.value.unplaced.len(), 1);
    let told = &found.problems[0].message;
    assert!(told.contains("off the grain; the limit is 10°"), "{told}");
}

#[test]
fn thin_wood_is_told_with_both_figures() {
    // 20 finished + 2 × (1.5 + 0.25) = 23.5 mm; the plank has 23.
    let mut thin = plank(1, 400.0, 200.0);
    thin.thickness = mm(23.0);
    let mut brief =
        brief(vec![thin], vec![pattern(1, "board", block(0.0, 0.0, 100.0, 100.0))], vec![want(1, 1, 1)]);
    let found = run(&brief, 1);
    let told = &found.problems[0].message;
    assert!(
        found.value.placements.is_empty() && told.contains("23.5 mm") && told.contains("23 mm"),
        "{told}"
    );
    brief.pieces[0].thickness = mm(23.5);
    assert_eq!(count(&brief, 1), 1);
}

#[test]
fn pins_stay_and_others_keep_clear_of_them() {
    let board = pattern(1, "board", block(0.0, 0.0, 150.0, 100.0));
    let other = pattern(2, "other", block(0.0, 0.0, 180.0, 100.0));
    let mut brief =
        brief(vec![plank(1, 500.0, 120.0)], vec![board, other], vec![want(1, 1, 1), want(2, 2, 1)]);
    brief.job.choices.pins = vec![pin(1, 1, 320.0, 10.0)];
    let found = run(&brief, 4);
    assert_eq!(found.problems, vec![]);
    let pinned = &found.value.placements[0];
    assert!(pinned.pinned && pinned.place.at == Point::new(320.0, 10.0));
    assert_eq!(found.value.placements.len(), 2);
    assert_eq!(judge(&brief, &found.value), vec![]);
}

#[test]
fn a_pin_over_the_edge_stays_and_is_told() {
    let board = pattern(1, "board", block(0.0, 0.0, 150.0, 100.0));
    let mut brief = brief(vec![plank(1, 500.0, 120.0)], vec![board], vec![want(1, 1, 2)]);
    brief.job.choices.pins = vec![pin(1, 1, 400.0, 10.0)];
    let found = run(&brief, 4);
    assert_eq!(found.value.placements.len(), 2, "the other part still finds a place");
    assert_eq!(found.value.placements[0].place.at, Point::new(400.0, 10.0));
    assert_eq!(found.problems.len(), 1, "{:?}", found.problems);
    assert!(found.problems[0].message.contains("past the edge of plank 1"), "{:?}", found.problems);
}

#[test]
fn a_pin_on_a_piece_that_is_gone_is_told() {
    let board = pattern(1, "board", block(0.0, 0.0, 150.0, 100.0));
    let mut brief = brief(vec![plank(1, 500.0, 120.0)], vec![board], vec![want(1, 1, 1)]);
    brief.job.choices.pins = vec![pin(1, 8, 0.0, 0.0)];
    let found = run(&brief, 1);
    assert_eq!(found.value.unplaced.len(), 1);
    assert!(found.problems[0].message.contains("pinned on piece 8"), "{:?}", found.problems);
}

#[test]
fn worth_decides_when_there_is_not_room_for_all() {
    // Room for one large board or for two small ones; the large is worth more.
    let patterns = vec![
        pattern(1, "small", block(0.0, 0.0, 90.0, 90.0)),
        pattern(2, "large", block(0.0, 0.0, 180.0, 90.0)),
    ];
    let worth = |large: u32| {
        let mut wants = vec![want(1, 1, 2), want(2, 2, 1)];
        wants[1].worth = large;
        let found = run(&brief(vec![plank(1, 200.0, 100.0)], patterns.clone(), wants), 6).value;
        found.placements.iter().map(|it| it.part.want.0).collect::<Vec<_>>()
    };
    assert_eq!(worth(5), vec![2]);
    assert_eq!(worth(1), vec![1, 1]);
}

#[test]
fn fewer_pieces_and_then_cheaper_ones_are_used() {
    let board = pattern(1, "board", block(0.0, 0.0, 100.0, 90.0));
    let pieces = vec![
        priced(plank(1, 130.0, 100.0), 1.0),
        priced(plank(2, 130.0, 100.0), 1.0),
        priced(plank(3, 300.0, 100.0), 30.0),
        priced(plank(4, 300.0, 100.0), 20.0),
    ];
    let found = run(&brief(pieces, vec![board], vec![want(1, 1, 2)]), 8).value;
    let used: Vec<FaceKey> = found.used.iter().map(|it| it.0).collect();
    assert_eq!(used, vec![FaceKey::Piece(PieceId(4))]);
    assert!((found.used[0].1.to_mm2() - 18_000.0).abs() < 1e-6);
}

#[test]
fn food_keeps_off_stain_where_it_can() {
    let mut board = pattern(1, "board", block(0.0, 0.0, 150.0, 90.0));
    let area = block(10.0, 10.0, 130.0, 70.0);
    board.features.push(Feature { id: FeatureId(1), kind: FeatureKind::FoodArea { area } });
    let stained = with_zone(plank(1, 500.0, 100.0), ZoneKind::Stain, block(0.0, 0.0, 330.0, 100.0));
    let found = run(&brief(vec![stained], vec![board], vec![want(1, 1, 1)]), 8).value;
    assert!(found.placements[0].outline.bounds().low.x > 315.0, "{:?}", found.placements[0].outline.bounds());
}

#[test]
fn what_is_left_is_an_offcut_if_it_is_large_enough() {
    // 500 - 4 - 200 - 0.042 in ≈ 295 mm are left of a 109 mm wide plank.
    let board = pattern(1, "board", block(0.0, 0.0, 200.0, 100.0));
    let mut brief = brief(vec![plank(1, 500.0, 109.0)], vec![board], vec![want(1, 1, 1)]);
    let found = run(&brief, 6).value;
    let area = found.offcuts[0].outline.area().to_mm2();
    assert!((295.0 * 109.0 * 0.93..=296.0 * 109.0).contains(&area), "{area}");
    brief.kit.allowances.keep_offcut = mm(120.0);
    assert_eq!(run(&brief, 2).value.offcuts, vec![]);
}

/// A panel of three 40 mm strips, 300 mm long and 22 mm thick.
fn with_panel(mut brief: Brief) -> Brief {
    brief.job.panels.push(Panel {
        id: PanelId(1),
        name: "striped".to_owned(),
        length: mm(300.0),
        thickness: mm(22.0),
        runs: vec![StripRun { piece: PieceId(1), width: mm(40.0), count: 3 }],
    });
    brief
}

#[test]
fn strips_lie_straight_with_only_a_kerf_between_and_parts_lie_on_their_panel() {
    // Three rough strips of 330 × 43 and two kerfs of 1/8 in, two edges of 4 mm:
    // 129 + 6.35 + 8 = 143.35 mm.
    let job = |width: f64| {
        let mut wants = vec![want(1, 1, 1)];
        wants[0].source = Source::Panel(PanelId(1));
        let board = pattern(1, "board", block(0.0, 0.0, 280.0, 100.0));
        with_panel(brief(vec![plank(1, 345.0, width)], vec![board], wants))
    };
    let wide = run(&job(143.8), 8);
    assert_eq!(wide.problems, vec![]);
    assert_eq!(wide.value.strips.len(), 3);
    assert_eq!(wide.value.placements[0].face, FaceKey::Panel(PanelId(1)));
    assert!((wide.value.strips[0].outline.area().to_mm2() - 330.0 * 43.0).abs() < 1e-6);
    assert_eq!(judge(&job(143.8), &wide.value), vec![]);
    let narrow = run(&job(143.0), 8);
    assert_eq!(narrow.value.unplaced_strips.len(), 1);
    assert!(narrow.problems[0].message.contains("striped strip"), "{:?}", narrow.problems);
}

#[test]
fn a_judge_finds_what_was_moved_by_hand() {
    let board = pattern(1, "board", block(0.0, 0.0, 150.0, 90.0));
    let brief = brief(vec![plank(1, 500.0, 100.0)], vec![board.clone()], vec![want(1, 1, 2)]);
    let mut found = run(&brief, 2).value;
    assert_eq!(judge(&brief, &found), vec![]);
    let lies = found.placements[0].place;
    let beside = Place { at: Point::new(lies.at.x + 1.0, lies.at.y), ..lies };
    found.placements[1].place = beside;
    found.placements[1].outline = beside.outline(&board.outline);
    let told = judge(&brief, &found);
    assert!(told.iter().any(|it| it.message.contains("lie 0 mm apart")), "{told:?}");
    found.placements[1].outline = Outline::from(Ring::rectangle(mm(5.0), mm(5.0)).unwrap());
    let told = judge(&brief, &found);
    assert!(told.iter().any(|it| it.message.contains("otherwise than its place")), "{told:?}");
    found.placements.pop();
    assert!(judge(&brief, &found).iter().any(|it| it.message.contains("listed 0 times")));
}

#[test]
fn wood_and_knots_are_kept_to_even_where_no_edge_is_kept() {
    let board = pattern(1, "board", block(0.0, 0.0, 150.0, 90.0));
    let knotty = with_zone(plank(1, 500.0, 100.0), ZoneKind::Knot, block(240.0, 40.0, 20.0, 20.0));
    let mut brief = brief(vec![knotty], vec![board.clone()], vec![want(1, 1, 1)]);
    brief.kit.allowances.edge = Length::ZERO;
    let mut found = run(&brief, 2).value;
    let mut told = |x: f64, y: f64| {
        let place = Place { at: Point::new(x, y), ..Place::default() };
        found.placements[0].place = place;
        found.placements[0].outline = place.outline(&board.outline);
        judge(&brief, &found).into_iter().map(|it| it.message).collect::<Vec<String>>()
    };
    assert_eq!(told(0.0, 0.0), Vec::<String>::new(), "on the line of its wood");
    assert_eq!(told(260.0, 5.0), Vec::<String>::new(), "against the knot");
    assert!(told(120.0, 5.0)[0].contains("0 mm from a zone of knot"), "{:?}", told(120.0, 5.0));
    assert!(told(120.0, -0.1)[0].contains("past the edge"), "{:?}", told(120.0, -0.1));
}
