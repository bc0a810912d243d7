//! Random shapes against shapely (GEOS), an independent library of plane
//! geometry: `shapely.csv`, written and checked by `checks/shapely_cases.py`.

use measure::{Area, Length};
use outline::{Outline, Point, Ring, union};

/// Both sides work on grids of a nanometre or finer; lines are some metres long.
const AREA_LIMIT: f64 = 1e-3;

/// Our arcs stray this far at most; shapely's are true for our purpose.
const ARC: Length = Length::mm(0.002);

struct Case<'a> {
    name: &'a str,
    one: Outline,
    other: Outline,
    by: Length,
    /// Area, common, union, minus, outside, distance, inset, grown, pieces.
    wanted: Vec<f64>,
}

fn ring(text: &str) -> Ring {
    let numbers: Vec<f64> = text.split(' ').map(|it| it.parse().expect("a number")).collect();
    Ring::new(numbers.chunks_exact(2).map(|it| Point::new(it[0], it[1])).collect()).expect("a sound ring")
}

fn outline(text: &str) -> Outline {
    let mut rings = text.split('|').map(ring);
    let outer = rings.next().expect("an outer line");
    Outline::new(outer, rings.collect()).expect("a sound outline")
}

fn cases() -> Vec<Case<'static>> {
    let case = |line: &'static str| {
        let cells: Vec<&str> = line.split(',').collect();
        let wanted = cells[4..].iter().map(|it| it.parse().expect("a figure")).collect();
        let by = Length::mm(cells[3].parse().expect("a length"));
        Case { name: cells[0], one: outline(cells[1]), other: outline(cells[2]), by, wanted }
    };
    include_str!("shapely.csv").lines().skip(1).map(case).collect()
}

fn total(shapes: &[Outline]) -> f64 {
    shapes.iter().map(|it| it.area().to_mm2()).sum()
}

fn agree(case: &Case, what: &str, found: f64, wanted: f64, within: f64) {
    assert!((found - wanted).abs() <= within, "{}: {what} is {found}, shapely says {wanted}", case.name);
}

#[test]
fn booleans_agree_with_shapely() {
    for case in cases() {
        let (one, other) = (&case.one, &case.other);
        let near = |what, found, wanted| agree(&case, what, found, wanted, AREA_LIMIT);
        near("area", one.area().to_mm2(), case.wanted[0]);
        near("common", one.overlap_area(other).to_mm2(), case.wanted[1]);
        near("outside", other.area_outside(one).to_mm2(), case.wanted[4]);
        // Pieces under 0.01 mm² are left out of these.
        let slack = 0.1;
        agree(&case, "common pieces", total(&one.common(other)), case.wanted[1], slack);
        agree(&case, "union", total(&union(&[one.clone(), other.clone()])), case.wanted[2], slack);
        agree(&case, "minus", total(&one.minus(std::slice::from_ref(other))), case.wanted[3], slack);
    }
}

#[test]
fn relations_agree_with_shapely() {
    let mut held = 0;
    for case in cases() {
        let (one, other) = (&case.one, &case.other);
        assert_eq!(one.holds(other), case.wanted[4] == 0.0, "{}", case.name);
        assert_eq!(one.clear_of(other), case.wanted[1] == 0.0, "{}", case.name);
        agree(&case, "distance", one.distance(other).to_mm(), case.wanted[5], 1e-6);
        held += usize::from(one.holds(other));
    }
    assert!(held >= 5, "the file has shapes that lie inside: {held}");
}

#[test]
fn offsets_agree_with_shapely() {
    for case in cases() {
        let within = |shapes: &[Outline]| {
            let line: Length = shapes.iter().flat_map(Outline::rings).map(Ring::perimeter).sum();
            0.1 + (ARC * line).to_mm2() / 5.0
        };
        let inset = case.one.offset(-case.by, ARC);
        agree(&case, "inset", total(&inset), case.wanted[6], within(&inset));
        let grown = case.one.offset(case.by, ARC);
        agree(&case, "grown", total(&grown), case.wanted[7], within(&grown));
        let pieces = inset.iter().filter(|it| it.area() > Area::mm2(0.01)).count();
        assert_eq!(pieces as f64, case.wanted[8], "{}: pieces of the inset", case.name);
    }
}
