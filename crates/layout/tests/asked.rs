//! What parts ask of their place beside clear wood, each on a case worked by hand.

mod common;
use common::*;
use layout::judge;
use measure::{Angle, Length};
use outline::{Outline, Place, Point};
use stock::*;

/// Nothing that was laid is refused; how many were.
fn laid(brief: &Brief, effort: u32) -> (usize, Layout) {
    let found = run(brief, effort);
    assert_eq!(judge(brief, &found.value), vec![]);
    assert_eq!(found.problems.len(), found.value.unplaced.len() + found.value.unplaced_strips.len());
    (found.value.placements.len(), found.value)
}

fn only_problem(brief: &Brief) -> String {
    let found = run(brief, 2);
    assert_eq!(found.problems.len(), 1, "{:?}", found.problems);
    found.problems[0].message.clone()
}

fn feature(id: u32, kind: FeatureKind) -> Feature {
    Feature { id: FeatureId(id), kind }
}

#[test]
fn a_mirror_image_is_made_only_where_the_maker_lets_it() {
    // The same triangle but for its hand: no turn brings the one into the other.
    let mut offcut = plank(1, 240.0, 130.0);
    offcut.face.outline = Outline::from(ring(&[[0.0, 0.0], [240.0, 0.0], [0.0, 130.0]]));
    let wedge = pattern(1, "wedge", ring(&[[0.0, 0.0], [113.0, 0.0], [0.0, 210.0]]));
    let mut brief = brief(vec![offcut], vec![wedge], vec![want(1, 1, 1)]);
    assert_eq!(laid(&brief, 2).0, 0);
    brief.job.wants[0].may_mirror = true;
    let (count, layout) = laid(&brief, 2);
    assert!(count == 1 && layout.placements[0].place.mirrored);
    brief.job.wants[0].may_mirror = false;
    let told = judge(&brief, &layout);
    assert!(told[0].message.contains("is mirrored"), "{told:?}");
}

/// A plank of 210 by 110 with a knot 16 mm wide on its other face.
fn knotty_below() -> Piece {
    let mut piece = plank(1, 210.0, 110.0);
    let mut far = Face::rectangle(mm(210.0), mm(110.0)).unwrap();
    let area = block(150.0, 47.0, 16.0, 16.0);
    far.zones.push(Zone { id: ZoneId(1), kind: ZoneKind::Knot, area, through: false, note: String::new() });
    // Turned over about its long side: what is at the right there is at the left here.
    let place = Place { at: Point::new(210.0, 0.0), turn: Angle::ZERO, mirrored: true };
    let lies = Registered { place, miss: Length::ZERO, problem: None };
    piece.far_face = Some(FarFace { face: far, lies, marks: Vec::new() });
    piece
}

#[test]
fn a_knot_below_is_in_the_way_where_the_underside_shows_but_not_under_a_foot() {
    let board = pattern(1, "board", block(0.0, 0.0, 200.0, 100.0));
    let mut brief = brief(vec![knotty_below()], vec![board], vec![want(1, 1, 1)]);
    assert_eq!(laid(&brief, 2).0, 1, "nobody looks below");
    let (_, layout) = laid(&brief, 2);
    brief.job.wants[0].underside_shows = true;
    assert_eq!(laid(&brief, 2).0, 0);
    let told = judge(&brief, &layout);
    assert!(told[0].message.contains("knot on the other face"), "{told:?}");
    // Seen from above the knot lies from 44 to 60 mm: a foot of 40 mm hides it
    // with 4 mm to spare on each side and more, one of 20 mm does not.
    let foot = |length: f64| FeatureKind::FootSeat {
        at: Point::new(47.0, 50.0),
        along: Angle::ZERO,
        length: mm(length),
        width: mm(60.0),
        height: mm(12.0),
    };
    brief.patterns[0].features = vec![feature(1, foot(40.0))];
    assert_eq!(laid(&brief, 2).0, 1);
    brief.patterns[0].features = vec![feature(1, foot(20.0))];
    assert_eq!(laid(&brief, 2).0, 0);
}

#[test]
fn each_kind_of_fault_is_kept_clear_by_its_own_way() {
    // 240 mm left of the check, less 4 mm of edge at the end: 230 leaves 6 mm.
    let check = with_zone(plank(1, 500.0, 100.0), ZoneKind::Check, block(240.0, 5.0, 250.0, 90.0));
    let board = pattern(1, "board", block(0.0, 0.0, 230.0, 80.0));
    let mut brief = brief(vec![check], vec![board], vec![want(1, 1, 1)]);
    let (count, near) = laid(&brief, 2);
    assert_eq!(count, 1, "4 mm as from the edge");
    for (clear, holds) in [(5.0, 1), (7.0, 0), (2.0, 1)] {
        brief.kit.clear_of.insert(ZoneKind::Check, mm(clear));
        assert_eq!(laid(&brief, 2).0, holds, "{clear} mm");
    }
    brief.kit.clear_of.insert(ZoneKind::Check, mm(30.0));
    let told = judge(&brief, &near);
    assert!(told[0].message.contains("the limit is 30 mm"), "{told:?}");
}

#[test]
fn a_set_comes_from_one_piece() {
    // Two boards fit on each plank.
    let board = pattern(1, "board", block(0.0, 0.0, 150.0, 90.0));
    let other = pattern(2, "other", block(0.0, 0.0, 140.0, 90.0));
    let pieces = vec![plank(1, 320.0, 100.0), plank(2, 330.0, 100.0)];
    let mut brief = brief(pieces, vec![board, other], vec![want(1, 1, 2), want(2, 2, 1)]);
    let (count, apart) = laid(&brief, 4);
    assert_eq!(count, 3);
    brief.job.choices.sets = vec![PartSet { wants: vec![WantId(1), WantId(2)], alike: false }];
    assert_eq!(laid(&brief, 4).0, 2);
    let told = only_problem(&brief);
    assert!(told.contains("with the rest of its set"), "{told}");
    let told = judge(&brief, &apart);
    assert!(told.iter().any(|it| it.message.contains("the rest of its set")), "{told:?}");
    brief.job.choices.sets = vec![PartSet { wants: vec![WantId(1)], alike: false }];
    assert_eq!(laid(&brief, 4).0, 3, "the two of one want on one, the other on the other");
}

#[test]
fn a_set_keeps_to_the_piece_that_one_of_it_is_pinned_to() {
    let board = pattern(1, "board", block(0.0, 0.0, 150.0, 90.0));
    let pieces = vec![plank(1, 320.0, 100.0), plank(2, 700.0, 100.0)];
    let mut brief = brief(pieces, vec![board], vec![want(1, 1, 3)]);
    brief.job.choices.sets = vec![PartSet { wants: vec![WantId(1)], alike: false }];
    assert_eq!(laid(&brief, 4).0, 3, "on the long one");
    brief.job.choices.pins = vec![pin(1, 1, 5.0, 5.0)];
    let (count, layout) = laid(&brief, 4);
    assert_eq!(count, 2);
    assert!(layout.placements.iter().all(|it| it.face == FaceKey::Piece(PieceId(1))));
}

#[test]
fn the_grain_runs_along_every_board_of_a_matching_set() {
    // Across the grain each would fit; along it only one of the two does.
    let board = pattern(1, "board", block(0.0, 0.0, 200.0, 90.0));
    let mut brief = brief(vec![plank(1, 215.0, 215.0)], vec![board], vec![want(1, 1, 2)]);
    brief.pieces[0].face.grain = GrainField::straight(Angle::degrees(4.0));
    brief.job.choices.sets = vec![PartSet { wants: vec![WantId(1)], alike: true }];
    let (count, layout) = laid(&brief, 4);
    assert_eq!(count, 2);
    let off = |it: &Placement, grain: f64| {
        it.place.direction(Angle::ZERO).between_lines(Angle::degrees(grain)).to_degrees()
    };
    assert!(layout.placements.iter().all(|it| off(it, 4.0) <= 6.01));
    brief.pieces[0].face.grain = GrainField::straight(Angle::degrees(90.0));
    let found = run(&brief, 4).value;
    assert!(found.placements.iter().all(|it| off(it, 90.0) <= 6.01));
    let told = judge(&brief, &layout);
    assert!(told.iter().any(|it| it.message.contains("away from the grain")), "{told:?}");
}

#[test]
fn a_figure_is_shown_in_the_middle_of_its_part() {
    let board = pattern(1, "board", block(0.0, 0.0, 150.0, 90.0));
    let mut brief = brief(vec![plank(1, 800.0, 100.0)], vec![board], vec![want(1, 1, 3)]);
    let (part, face) = (PartKey { want: WantId(1), copy: 2 }, FaceKey::Piece(PieceId(1)));
    let shown = |x: f64| Shown { part, face, area: block(x, 30.0, 40.0, 40.0) };
    let (_, before) = laid(&brief, 4);
    brief.job.choices.shows = vec![shown(560.0)];
    let (count, layout) = laid(&brief, 4);
    assert_eq!(count, 3);
    let middle = layout.placement(part).unwrap().outline.outer().centroid();
    assert!(shown(560.0).area.contains(middle), "{middle:?}");
    let told = judge(&brief, &before);
    assert!(told.is_empty() || told[0].message.contains("outside of the figure"), "{told:?}");
    // 20 mm from the end there is no room for a board's middle.
    brief.job.choices.shows = vec![shown(0.0)];
    assert_eq!(laid(&brief, 2).0, 2);
    let told = only_problem(&brief);
    assert!(told.contains("the figure that it is to show"), "{told}");
}

#[test]
fn a_part_off_its_figure_is_told_by_how_much() {
    let board = pattern(1, "board", block(0.0, 0.0, 150.0, 90.0));
    let mut brief = brief(vec![plank(1, 800.0, 100.0)], vec![board], vec![want(1, 1, 1)]);
    let (_, mut layout) = laid(&brief, 2);
    let middle = layout.placements[0].outline.outer().centroid();
    let (part, face) = (layout.placements[0].part, layout.placements[0].face);
    let area = block(middle.x + 12.0, middle.y - 20.0, 40.0, 40.0);
    brief.job.choices.shows = vec![Shown { part, face, area }];
    let told = judge(&brief, &layout);
    assert!(told[0].message.contains("has its middle 12 mm outside"), "{told:?}");
    layout.placements[0].face = FaceKey::Piece(PieceId(9));
    assert!(judge(&brief, &layout).iter().any(|it| it.message.contains("whose figure")), "{told:?}");
}

/// A slab 600 mm long whose upper edge waves between 190 and 210 mm.
fn slab() -> Piece {
    let mut piece = plank(1, 600.0, 200.0);
    piece.form = Form::Slab;
    let upper = (0..=60).rev().map(|it| {
        let x = f64::from(it) * 10.0;
        [x, 200.0 + 10.0 * (x / 90.0).sin()]
    });
    let corners: Vec<[f64; 2]> = [[0.0, 0.0], [600.0, 0.0]].into_iter().chain(upper).collect();
    piece.face.outline = Outline::from(ring(&corners));
    piece
}

/// 300 by 150 mm, the upper 40 of which may be the wood's edge.
fn live_board() -> Pattern {
    let mut board = pattern(1, "live board", block(0.0, 0.0, 300.0, 150.0));
    board.features = vec![feature(1, FeatureKind::LiveEdge { area: block(-1.0, 110.0, 302.0, 41.0) })];
    board
}

#[test]
fn a_live_edge_ends_where_the_wood_does() {
    let brief = brief(vec![slab()], vec![live_board()], vec![want(1, 1, 1)]);
    let (count, layout) = laid(&brief, 2);
    assert_eq!(count, 1);
    let outline = &layout.placements[0].outline;
    let area = outline.area().to_mm2();
    assert!((300.0 * 110.0..300.0 * 150.0).contains(&area), "{area}");
    let wood = &brief.pieces[0].face.outline;
    let on_edge = |it: Point| wood.outer().distance(it) < mm(0.01);
    let shared = outline.outer().edges().filter(|it| on_edge(it.from) && on_edge(it.to));
    let shared: Length = shared.map(|it| it.length()).sum();
    assert!(shared > mm(250.0), "{shared:?} of its edge is the wood's");
    assert!(outline.area_outside(wood).to_mm2() < 0.01);
}

#[test]
fn bark_may_lie_along_a_live_edge_and_a_knot_may_not() {
    for (kind, holds) in [(ZoneKind::Bark, 1), (ZoneKind::Knot, 0)] {
        // All along both edges, 8 mm deep at the least.
        let edged = with_zone(slab(), kind, block(0.0, 182.0, 600.0, 40.0));
        let edged = with_zone(edged, kind, block(0.0, 0.0, 600.0, 8.0));
        let brief = brief(vec![edged], vec![live_board()], vec![want(1, 1, 1)]);
        assert_eq!(laid(&brief, 2).0, holds, "{kind:?}");
    }
}

#[test]
fn a_live_edge_drawn_inside_the_wood_is_told() {
    let mut brief = brief(vec![slab()], vec![live_board()], vec![want(1, 1, 1)]);
    brief.job.choices.pins = vec![pin(1, 1, 100.0, 20.0)];
    let found = run(&brief, 2);
    assert!(found.problems[0].message.contains("no live edge there: 100 %"), "{:?}", found.problems);
    brief.job.choices.pins = vec![pin(1, 1, 100.0, 70.0)];
    assert_eq!(run(&brief, 2).problems, vec![]);
    // A slab too narrow for as much of the board as is not live.
    brief.job.choices.pins.clear();
    brief.pieces[0].face = Face::rectangle(mm(600.0), mm(100.0)).unwrap();
    let told = only_problem(&brief);
    assert!(told.contains("live edge"), "{told}");
}

#[test]
fn a_sawn_edge_is_no_live_edge() {
    let mut brief = brief(vec![slab()], vec![live_board()], vec![want(1, 1, 1)]);
    let (_, layout) = laid(&brief, 2);
    brief.pieces[0].form = Form::Plank;
    assert_eq!(laid(&brief, 2).0, 0);
    let told = only_problem(&brief);
    assert!(told.contains("no piece of the job has a natural one"), "{told}");
    let told = judge(&brief, &layout);
    assert!(told[0].message.contains("has only sawn ones"), "{told:?}");
    // A sawn end runs across the grain.
    brief.pieces[0].form = Form::Slab;
    brief.pieces[0].face.grain = GrainField::straight(Angle::degrees(90.0));
    let told = judge(&brief, &layout);
    assert!(told[0].message.contains("away from the grain"), "{told:?}");
}

#[test]
fn a_small_part_lies_in_the_opening_of_a_large_one_and_so_may_a_knot() {
    let mut frame = pattern(1, "frame", block(0.0, 0.0, 200.0, 200.0));
    let opening = block(30.0, 30.0, 140.0, 140.0);
    frame.outline = Outline::new(frame.outline.outer().clone(), vec![opening]).unwrap();
    let disc = pattern(2, "small", block(0.0, 0.0, 100.0, 100.0));
    let wood = plank(1, 210.0, 210.0);
    let both =
        brief(vec![wood.clone()], vec![frame.clone(), disc.clone()], vec![want(1, 1, 1), want(2, 2, 1)]);
    assert_eq!(laid(&both, 4).0, 2);
    let knotty = with_zone(wood, ZoneKind::Knot, block(90.0, 90.0, 30.0, 30.0));
    let around = brief(vec![knotty], vec![frame, disc], vec![want(1, 1, 1), want(2, 2, 1)]);
    assert_eq!(laid(&around, 4).0, 1, "the frame lies around the knot");
}

#[test]
fn wood_is_saved_for_what_the_maker_says() {
    // Both boards fit on the long plank, or one on each: then the long one keeps
    // 500 mm in one piece instead of 350.
    let board = pattern(1, "board", block(0.0, 0.0, 150.0, 90.0));
    let pieces = vec![plank(1, 320.0, 100.0), plank(2, 660.0, 100.0)];
    let mut brief = brief(pieces, vec![board], vec![want(1, 1, 2)]);
    brief.pieces[0].price = Some(Price::Whole(measure::Money::units(90.0)));
    let on = |layout: &Layout| layout.used.iter().map(|it| it.0).collect::<Vec<_>>();
    let (_, few) = laid(&brief, 8);
    assert_eq!(on(&few), vec![FaceKey::Piece(PieceId(2))], "one piece, and the cheap one");
    brief.job.choices.saving = Saving::Leftover;
    let (_, left) = laid(&brief, 8);
    assert_eq!(on(&left), vec![FaceKey::Piece(PieceId(1))], "the long one stays whole");
    // Where grain comes first, the long board lies straight along it.
    brief.job.choices.saving = Saving::Grain;
    brief.pieces.truncate(1);
    brief.job.pieces.truncate(1);
    brief.job.wants[0].count = 1;
    brief.pieces[0].face = Face::rectangle(mm(200.0), mm(200.0)).unwrap();
    brief.pieces[0].face.grain = GrainField::straight(Angle::degrees(30.0));
    let (_, grain) = laid(&brief, 8);
    let off = grain.placements[0].place.direction(Angle::ZERO).between_lines(Angle::degrees(30.0));
    assert!(off.to_degrees() < 15.0, "{off:?}");
}
