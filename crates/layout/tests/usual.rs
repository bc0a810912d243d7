//! The usual job: two slabs with faults, seven parts of 200 corners.

mod common;
use common::*;
use layout::{Config, judge, lay_out};
use stock::{FaceKey, PieceId};

#[test]
fn the_usual_job_finds_places_for_all_on_one_slab() {
    let brief = usual_job();
    let found = lay_out(&brief, &Config::default(), &|_, _| {}, &|| false);
    assert_eq!(found.problems, vec![]);
    assert_eq!(judge(&brief, &found.value), vec![]);
    assert_eq!(found.value.placements.len(), 7);
    let used: Vec<FaceKey> = found.value.used.iter().map(|it| it.0).collect();
    assert_eq!(used, vec![FaceKey::Piece(PieceId(1))]);
}
