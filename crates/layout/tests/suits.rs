//! Which pieces suit a part: each case worked by hand.

mod common;
use common::*;
use layout::{Suits, suits};
use stock::*;

fn asked(pieces: Vec<Piece>, part: Pattern) -> Suits {
    let id = part.id.0;
    suits(&brief(pieces, vec![part], vec![want(1, id, 1)]), WantId(1)).unwrap()
}

fn pieces(found: &Suits) -> Vec<u32> {
    found.suits.iter().map(|it| it.piece.0).collect()
}

#[test]
fn the_least_wood_that_holds_a_board_comes_first() {
    // A board of 200 by 100 needs 208 by 108 with 4 mm of edge all round.
    let board = pattern(1, "board", block(0.0, 0.0, 200.0, 100.0));
    let mut thin = plank(4, 900.0, 300.0);
    thin.thickness = mm(20.0);
    let rack = vec![plank(1, 1000.0, 300.0), plank(2, 230.0, 120.0), plank(3, 205.0, 120.0), thin];
    let found = asked(rack, board);
    assert_eq!(pieces(&found), vec![2, 1]);
    assert_eq!((found.more, found.too_thin, found.no_room), (0, 1, 1));
    assert_eq!(found.suits[0].outlines.len(), 1);
    // 1000 by 300 holds 4 by 2 of them for sure, and not 15: 15 × 200 × 100 = 1000 × 300.
    assert!((8..15).contains(&found.suits[1].outlines.len()), "{}", found.suits[1].outlines.len());
}

#[test]
fn a_knot_or_crooked_grain_in_the_only_place_leaves_no_room() {
    let leaf = leaf(1, 220.0, 90.0, 60);
    let knotty = with_zone(plank(1, 260.0, 110.0), ZoneKind::Knot, block(120.0, 45.0, 20.0, 20.0));
    let mut across = plank(2, 260.0, 110.0);
    across.face.grain.overall = measure::Angle::degrees(90.0);
    let found = asked(vec![knotty, across, plank(3, 260.0, 110.0)], leaf);
    assert_eq!(pieces(&found), vec![3]);
    assert_eq!(found.no_room, 2);
}

#[test]
fn an_empty_rack_and_a_want_that_is_gone_are_answered() {
    let board = pattern(1, "board", block(0.0, 0.0, 200.0, 100.0));
    assert_eq!(asked(Vec::new(), board.clone()), Suits::default());
    assert!(suits(&brief(Vec::new(), vec![board], vec![want(1, 1, 1)]), WantId(2)).is_err());
}

#[test]
fn only_the_best_few_of_many_are_told_and_the_rest_are_counted() {
    let board = pattern(1, "board", block(0.0, 0.0, 200.0, 100.0));
    let rack = (1..=60).map(|it| plank(it, 400.0 + f64::from(it), 150.0)).collect();
    let found = asked(rack, board);
    assert_eq!(pieces(&found), (1..=24).collect::<Vec<u32>>());
    assert_eq!(found.more, 36);
    assert!(found.suits[0].counted && !found.suits[23].counted);
}

#[test]
fn what_a_piece_could_become_is_told_by_what_it_uses() {
    // 500 by 110 with 4 mm of edge: two boards of 200 by 100 take 73 %, one disc
    // of 90 mm or five of them 58 %; the great one finds no room, the thick one
    // would not come out of 25 mm.
    let board = pattern(1, "board", block(0.0, 0.0, 200.0, 100.0));
    let great = pattern(3, "great", block(0.0, 0.0, 200.0, 150.0));
    let patterns =
        vec![leaf(2, 90.0, 90.0, 60), board, great, pattern(4, "thick", block(0.0, 0.0, 50.0, 50.0))];
    let mut wants = vec![want(1, 2, 1), want(2, 1, 1), want(3, 3, 1), want(4, 4, 1)];
    wants[3].thickness = mm(25.0);
    let brief = brief(vec![plank(1, 500.0, 110.0)], patterns, wants);
    let found = layout::uses(&brief, PieceId(1)).unwrap();
    assert_eq!(found.iter().map(|it| it.pattern.0).collect::<Vec<u32>>(), vec![1, 2]);
    assert_eq!(found[0].outlines.len(), 2);
    assert!((found[0].share - 40_000.0 / 55_000.0).abs() < 1e-9, "{}", found[0].share);
    assert!(found[1].outlines.len() >= 4, "{}", found[1].outlines.len());
    assert!(layout::uses(&brief, PieceId(2)).is_err());
}
