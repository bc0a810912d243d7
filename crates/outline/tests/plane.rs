//! Booleans, offsets and relations: formulas of plane geometry, and identities
//! that hold for any shapes.

use std::f64::consts::PI;

use measure::{Angle, Length, Problem};
use outline::{Family, Outline, Place, Point, Ring, clean, union};
use proptest::prelude::*;

const fn mm(it: f64) -> Length {
    Length::mm(it)
}

fn near(found: f64, wanted: f64, within: f64) {
    assert!((found - wanted).abs() <= within, "expected {wanted} within {within}, found {found}");
}

fn total(shapes: &[Outline]) -> f64 {
    shapes.iter().map(|it| it.area().to_mm2()).sum()
}

fn block(x: f64, y: f64, length: f64, width: f64) -> Outline {
    let it = Outline::from(Ring::rectangle(mm(length), mm(width)).unwrap());
    Place { at: Point::new(x, y), ..Place::default() }.outline(&it)
}

fn disc(x: f64, y: f64, diameter: f64) -> Outline {
    let it = Family::Round { diameter: mm(diameter) }.outline().unwrap();
    Place { at: Point::new(x - diameter / 2.0, y - diameter / 2.0), ..Place::default() }.outline(&it)
}

fn framed() -> Outline {
    Outline::new(
        block(0.0, 0.0, 200.0, 100.0).outer().clone(),
        vec![block(50.0, 25.0, 100.0, 50.0).outer().clone()],
    )
    .unwrap()
}

#[test]
fn blocks_join_and_part_as_on_squared_paper() {
    let (one, other) = (block(0.0, 0.0, 100.0, 50.0), block(60.0, 20.0, 100.0, 50.0));
    near(one.overlap_area(&other).to_mm2(), 1_200.0, 1e-6);
    near(total(&one.common(&other)), 1_200.0, 1e-6);
    near(total(&one.minus(std::slice::from_ref(&other))), 3_800.0, 1e-6);
    let joined = union(&[one.clone(), other, block(300.0, 0.0, 10.0, 10.0)]);
    assert_eq!(joined.len(), 2);
    near(joined[0].area().to_mm2(), 8_800.0, 1e-6);
    let cut = one.minus(&[block(40.0, -1.0, 20.0, 60.0)]);
    assert_eq!(cut.len(), 2);
    let drilled = one.minus(&[disc(50.0, 25.0, 20.0)]);
    assert_eq!((drilled.len(), drilled[0].openings().len()), (1, 1));
    let edge_to_edge = union(&[block(0.0, 0.0, 10.0, 10.0), block(10.0, 0.0, 10.0, 10.0)]);
    assert_eq!((edge_to_edge.len(), edge_to_edge[0].outer().corners().len()), (1, 4));
    let tip_to_tip = union(&[block(0.0, 0.0, 10.0, 10.0), block(10.0, 10.0, 10.0, 10.0)]);
    assert_eq!(tip_to_tip.len(), 2);
}

/// The lens of two discs of radius r whose middles lie d apart:
/// 2 r² acos(d / 2r) − d/2 √(4r² − d²).
#[test]
fn two_discs_share_a_lens() {
    let (r, d) = (60.0_f64, 70.0_f64);
    let lens = 2.0 * r * r * (d / (2.0 * r)).acos() - d / 2.0 * (4.0 * r * r - d * d).sqrt();
    near(disc(0.0, 0.0, 2.0 * r).overlap_area(&disc(d, 0.0, 2.0 * r)).to_mm2(), lens, 0.05 * 2.0 * PI * r);
}

/// Steiner's formula: a convex shape grown by t gains perimeter · t + π t².
#[test]
fn offsets_follow_steiner() {
    let shape = block(10.0, -20.0, 120.0, 80.0);
    for by in [0.4, 3.0, 25.0] {
        let grown = shape.offset(mm(by), mm(0.02));
        assert_eq!(grown.len(), 1);
        near(total(&grown), 9_600.0 + 400.0 * by + PI * by * by, 0.02 * 2.0 * PI * by + 1e-3);
        near(total(&shape.offset(mm(-by), mm(0.02))), (120.0 - 2.0 * by) * (80.0 - 2.0 * by), 1e-3);
    }
    assert!(shape.offset(mm(-40.5), mm(0.02)).is_empty());
    assert_eq!(shape.offset(mm(0.0), mm(0.02)), std::slice::from_ref(&shape));
}

#[test]
fn openings_shrink_as_the_outside_grows() {
    let grown = framed().offset(mm(5.0), mm(0.02));
    near(total(&grown), 20_000.0 + 600.0 * 5.0 + PI * 25.0 - 90.0 * 40.0, 0.7);
    assert_eq!(framed().offset(mm(26.0), mm(0.02))[0].openings().len(), 0);
    assert_eq!(framed().offset(mm(-13.0), mm(0.02)).len(), 2, "the end walls are left");
    let dumbbell =
        union(&[block(0.0, 0.0, 50.0, 50.0), block(50.0, 20.0, 50.0, 10.0), block(100.0, 0.0, 50.0, 50.0)]);
    assert_eq!(dumbbell[0].offset(mm(-6.0), mm(0.02)).len(), 2);
}

#[test]
fn containment_is_exact_and_allows_touching() {
    let slab = block(0.0, 0.0, 200.0, 100.0);
    assert!(slab.holds(&slab));
    assert!(slab.holds(&block(0.0, 0.0, 50.0, 50.0)) && slab.holds(&block(60.0, 10.0, 50.0, 50.0)));
    assert!(!slab.holds(&block(-0.001, 0.0, 50.0, 50.0)) && !slab.holds(&block(0.0, 0.0, 200.001, 50.0)));
    assert!(!block(60.0, 10.0, 50.0, 50.0).holds(&slab));
    assert!(!framed().holds(&block(45.0, 20.0, 110.0, 60.0)), "the opening lies inside the part");
    assert!(!framed().holds(&block(60.0, 30.0, 10.0, 10.0)), "the part lies in the opening");
    assert!(!framed().holds(&block(45.0, 30.0, 10.0, 10.0)));
    assert!(framed().holds(&block(150.0, 0.0, 50.0, 100.0)), "touches the opening and the outside");
    assert!(framed().holds(&framed()));
    let turned = Place { turn: Angle::degrees(37.0), ..Place::default() };
    assert!(turned.outline(&slab).holds(&turned.outline(&block(0.0, 0.0, 50.0, 100.0))));
    let notched = &slab.minus(&[block(99.9, 0.0, 0.2, 60.0)])[0];
    assert!(!notched.holds(&block(50.0, 10.0, 100.0, 30.0)), "a saw kerf runs through the part");
}

#[test]
fn clear_of_means_no_common_area() {
    let slab = block(0.0, 0.0, 200.0, 100.0);
    assert!(slab.clear_of(&block(200.0, 0.0, 50.0, 50.0)) && slab.clear_of(&block(201.0, 0.0, 50.0, 50.0)));
    assert!(!slab.clear_of(&block(199.999, 0.0, 50.0, 50.0)) && !slab.clear_of(&slab));
    assert!(!slab.clear_of(&block(10.0, 10.0, 5.0, 5.0)) && !block(10.0, 10.0, 5.0, 5.0).clear_of(&slab));
    assert!(framed().clear_of(&block(60.0, 30.0, 10.0, 10.0)), "lies in the opening");
    assert!(framed().clear_of(&block(50.0, 25.0, 100.0, 50.0)), "fills the opening");
    assert!(!framed().clear_of(&block(49.0, 25.0, 100.0, 50.0)));
    assert!(!block(0.0, 40.0, 100.0, 20.0).clear_of(&block(40.0, 0.0, 20.0, 100.0)), "a cross");
}

#[test]
fn the_nearest_line_is_an_openings_as_well_as_the_edge() {
    for (x, y, way) in
        [(1.0, 30.0, 1.0), (60.0, 20.0, 5.0), (100.0, 50.0, 25.0), (40.0, 50.0, 10.0), (-3.0, -4.0, 5.0)]
    {
        assert_eq!(framed().to_line(Point::new(x, y)), mm(way), "{x}, {y}");
    }
}

#[test]
fn distances_are_those_between_the_nearest_places() {
    near(disc(0.0, 0.0, 20.0).distance(&disc(30.0, 40.0, 20.0)).to_mm(), 30.0, 0.05);
    assert_eq!(block(0.0, 0.0, 10.0, 10.0).distance(&block(13.0, 14.0, 5.0, 5.0)), mm(5.0));
    assert_eq!(framed().distance(&block(60.0, 30.0, 10.0, 10.0)), mm(5.0));
    assert_eq!(framed().distance(&block(10.0, 5.0, 5.0, 5.0)), Length::ZERO);
    assert_eq!(block(0.0, 40.0, 100.0, 20.0).distance(&block(40.0, 0.0, 20.0, 100.0)), Length::ZERO);
}

#[test]
fn lines_that_cross_are_cleaned_and_outlines_that_cross_are_refused() {
    let points = |it: &[[f64; 2]]| it.iter().map(|&[x, y]| Point::new(x, y)).collect::<Vec<_>>();
    let eight = points(&[[0.0, 0.0], [10.0, 10.0], [10.0, 0.0], [0.0, 10.0]]);
    let cleaned = clean(vec![eight]).unwrap();
    assert_eq!(cleaned.len(), 2);
    near(total(&cleaned), 50.0, 1e-6);
    assert!(clean(vec![points(&[[0.0, 0.0], [f64::NAN, 1.0], [4.0, 4.0]])]).is_err());
    assert!(clean(vec![points(&[[0.0, 0.0], [1e6, 1.0], [4.0, 4.0]])]).is_err());
    assert!(clean(Vec::new()).is_err() && clean(vec![Vec::new()]).is_err());
    // No corner of either bar lies in the other.
    let (flat, upright) = (block(10.0, 40.0, 80.0, 20.0), block(40.0, 10.0, 20.0, 80.0));
    let plate = block(0.0, 0.0, 100.0, 100.0).outer().clone();
    assert!(Outline::new(plate, vec![flat.outer().clone(), upright.outer().clone()]).is_err());
    let ell = points(&[
        [0.0, 0.0],
        [100.0, 0.0],
        [100.0, 100.0],
        [60.0, 100.0],
        [60.0, 20.0],
        [40.0, 20.0],
        [40.0, 100.0],
        [0.0, 100.0],
    ]);
    assert!(
        Outline::new(Ring::new(ell).unwrap(), vec![block(10.0, 30.0, 80.0, 20.0).outer().clone()]).is_err()
    );
}

#[test]
fn thinning_out_stays_within_its_tolerance() {
    let shape = disc(0.0, 0.0, 300.0).offset(mm(1.0), mm(0.001)).remove(0);
    let thin = shape.simplified(mm(0.25));
    assert!(thin.outer().corners().len() * 4 < shape.outer().corners().len());
    let off = shape.outer().corners().iter().map(|&it| thin.outer().distance(it).to_mm()).fold(0.0, f64::max);
    assert!(off <= 0.25 + 1e-9, "{off}");
    assert_eq!(framed().simplified(mm(500.0)), framed(), "a shape is never lost");
}

#[test]
fn scaling_and_the_middle_of_the_area() {
    let larger = framed().scaled_to_length(mm(300.0)).unwrap();
    near(larger.area().to_mm2(), framed().area().to_mm2() * 2.25, 1e-6);
    assert!(framed().scaled_to_length(mm(0.0)).is_err() && framed().scaled_to_length(mm(1e6)).is_err());
    assert!(framed().centroid().distance(Point::new(100.0, 50.0)) < mm(1e-9));
    // A plate 100 by 100 without its right upper quarter balances at 250/6.
    let ell = block(0.0, 0.0, 100.0, 100.0).minus(&[block(50.0, 50.0, 50.0, 50.0)]).remove(0);
    assert!(ell.centroid().distance(Point::new(250.0 / 6.0, 250.0 / 6.0)) < mm(1e-6));
}

/// Lines that touch may lie 0.01 µm over each other; stars are some metres round.
const TOUCHING: f64 = 0.05;

/// A star about the origin: never crosses itself.
fn star() -> impl Strategy<Value = Outline> {
    proptest::collection::vec(20.0..150.0_f64, 5..60).prop_map(|radii| {
        let count = radii.len() as f64;
        let corner = |(index, radius): (usize, f64)| {
            let turn = Angle::degrees(360.0 * index as f64 / count);
            Point::new(radius * turn.cos(), radius * turn.sin())
        };
        Outline::from(Ring::new(radii.into_iter().enumerate().map(corner).collect()).unwrap())
    })
}

fn place() -> impl Strategy<Value = Place> {
    let whole = (-8..=8_i32, -8..=8_i32, 0..24_i32, any::<bool>()).prop_map(|(x, y, turn, mirrored)| Place {
        at: Point::new(f64::from(x) * 25.0, f64::from(y) * 25.0),
        turn: Angle::degrees(f64::from(turn) * 15.0),
        mirrored,
    });
    let any = (-200.0..200.0_f64, -200.0..200.0_f64, 0.0..360.0_f64).prop_map(|(x, y, turn)| Place {
        at: Point::new(x, y),
        turn: Angle::degrees(turn),
        mirrored: false,
    });
    prop_oneof![whole, any]
}

/// What `Ring::new` and `Outline::new` have to say against a shape.
fn fault(shape: &Outline) -> Option<Problem> {
    let rings = shape.rings().map(|it| Ring::new(it.corners().to_vec()));
    let whole = Outline::new(shape.outer().clone(), shape.openings().to_vec());
    rings.map(|it| it.err()).chain([whole.err()]).flatten().next()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn areas_add_up(one in star(), other in star(), lies in place()) {
        let other = lies.outline(&other);
        let common = one.overlap_area(&other).to_mm2();
        let slack = 1e-3 + 0.01 * 20.0; // pieces under 0.01 mm² are left out
        prop_assert!((total(&one.common(&other)) - common).abs() < slack);
        prop_assert!((total(&one.minus(std::slice::from_ref(&other))) + common - one.area().to_mm2()).abs() < slack);
        let joined = union(&[one.clone(), other.clone()]);
        prop_assert!((total(&joined) + common - total(&[one.clone(), other.clone()])).abs() < slack);
        prop_assert_eq!(joined.iter().find_map(fault), None);
        prop_assert_eq!(one.common(&other).iter().find_map(fault), None);
        prop_assert!(if one.clear_of(&other) { common < TOUCHING } else { common > 0.0 }, "{}", common);
        prop_assert_eq!(other.clear_of(&one), one.clear_of(&other));
        prop_assert_eq!(one.distance(&other) == Length::ZERO, common > 0.0);
        for piece in one.common(&other) {
            prop_assert!(one.holds(&piece) && other.holds(&piece));
        }
    }

    #[test]
    fn what_is_held_leaves_nothing_outside(one in star(), other in star(), lies in place(), by in 0.1..1.0_f64) {
        let small = other.scaled_to_length(other.bounds().width() * by).unwrap();
        let small = Place { at: Point::new(lies.at.x / 4.0, lies.at.y / 4.0), ..lies }.outline(&small.at_origin());
        let outside = small.area_outside(&one).to_mm2();
        prop_assert!(if one.holds(&small) { outside < TOUCHING } else { outside > 0.0 }, "{}", outside);
    }

    #[test]
    fn growing_and_shrinking_keep_their_distance(one in star(), by in 0.5..12.0_f64) {
        for grown in one.offset(mm(by), mm(0.01)) {
            prop_assert_eq!(fault(&grown), None);
            prop_assert!(grown.holds(&one));
            for corner in grown.outer().corners() {
                let way = one.outer().distance(*corner).to_mm();
                prop_assert!((way - by).abs() < 0.011, "{} instead of {}", way, by);
            }
        }
        for shrunk in one.offset(mm(-by), mm(0.01)) {
            prop_assert_eq!(fault(&shrunk), None);
            prop_assert!(one.holds(&shrunk));
            for corner in shrunk.outer().corners() {
                prop_assert!((one.outer().distance(*corner).to_mm() - by).abs() < 0.011);
            }
        }
    }

    #[test]
    fn any_lines_clean_up_to_sound_outlines(
        lines in proptest::collection::vec(proptest::collection::vec((-20..20_i32, -20..20_i32), 0..25), 0..4),
    ) {
        let point = |(x, y): (i32, i32)| Point::new(f64::from(x) * 2.5, f64::from(y) * 2.5);
        let lines = lines.into_iter().map(|line| line.into_iter().map(point).collect()).collect();
        for shape in clean(lines).into_iter().flatten() {
            prop_assert_eq!(fault(&shape), None);
            prop_assert_eq!(fault(&shape.simplified(mm(1.0))), None);
        }
    }
}

/// A disc of 20,000 corners, shrunk to a millimetre short of its middle, grown
/// over its opening, and to nothing: at once each edge would cross hundreds of
/// others (minutes); the few corners of the answer show that it went in steps.
#[test]
fn a_fine_line_goes_a_long_way_with_few_corners() {
    let fine = |radius: f64| {
        let turn = |index: u32| Angle::degrees(360.0 * f64::from(index) / 20_000.0);
        let corner = |index| Point::new(radius * turn(index).cos(), radius * turn(index).sin());
        Ring::new((0..20_000).map(corner).collect()).unwrap()
    };
    let arc = mm(0.05);
    let disc = Outline::from(fine(200.0));
    let shrunk = disc.offset(mm(-199.0), arc);
    near(total(&shrunk), PI, 2.0 * PI * arc.to_mm());
    assert!(shrunk[0].outer().corners().len() < 600, "{}", shrunk[0].outer().corners().len());
    assert!(disc.offset(mm(-200.0), arc).is_empty());
    let framed = Outline::new(fine(200.0), vec![fine(60.0)]).unwrap();
    let grown = framed.offset(mm(59.0), arc);
    near(total(&grown), PI * (259.0 * 259.0 - 1.0), 2.0 * PI * 260.0 * arc.to_mm());
    assert_eq!(grown[0].openings().len(), 1);
    let closed = framed.offset(mm(60.0), arc);
    assert!(closed[0].openings().is_empty());
    near(total(&closed), PI * 260.0 * 260.0, 2.0 * PI * 260.0 * arc.to_mm());
}
