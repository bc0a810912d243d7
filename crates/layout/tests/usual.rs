//! The usual job: two slabs, seven parts, outlines of 200 corners.

mod common;
use common::*;

#[test]
fn the_usual_job_finds_places_for_all() {
    let brief = usual_job();
    let start = std::time::Instant::now();
    let found = run(&brief, 1);
    eprintln!("{:?}", start.elapsed());
    let start = std::time::Instant::now();
    let found = layout::lay_out(&brief, &layout::Config::default(), &|_, _| {}, &|| false);
    eprintln!("{:?}", start.elapsed());
    for it in &found.value.placements {
        eprintln!("{:?} {:?} {:?}", it.part, it.face, it.place);
    }
    assert!(found.problems.is_empty(), "{:?}", found.problems);
}
