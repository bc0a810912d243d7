//! Families against formulas of plane geometry, and how they bend and narrow.

use std::f64::consts::PI;

use measure::{Angle, Length};
use outline::{Bend, Family, Outline, Point, Ring, Segment};
use proptest::prelude::*;

const fn mm(it: f64) -> Length {
    Length::mm(it)
}

fn near(found: f64, wanted: f64, within: f64) {
    assert!((found - wanted).abs() <= within, "expected {wanted} within {within}, found {found}");
}

/// What chords that stray 0.05 mm at most may take from an area along a line.
fn slack(shape: &Outline) -> f64 {
    0.05 * shape.outer().perimeter().to_mm()
}

const HANDLED: Family = Family::Handled {
    length: mm(420.0),
    width: mm(200.0),
    corner: mm(25.0),
    handle_length: mm(130.0),
    handle_width: mm(40.0),
    neck: mm(30.0),
};

fn shapes() -> Vec<(Family, f64)> {
    let round = |d: f64| (Family::Round { diameter: mm(d) }, PI * d * d / 4.0);
    let rectangle = |x: f64, y: f64, r: f64| {
        (Family::Rectangle { length: mm(x), width: mm(y), corner: mm(r) }, x * y - (4.0 - PI) * r * r)
    };
    let oval = |x: f64, y: f64| (Family::LongOval { length: mm(x), width: mm(y) }, PI * x * y / 4.0);
    // Board less its corners, straight handle, half round tip, two fillets.
    let body = 290.0 * 200.0 - (4.0 - PI) * 25.0 * 25.0;
    let handle = 110.0 * 40.0 + PI * 20.0 * 20.0 / 2.0 + 2.0 * (1.0 - PI / 4.0) * 30.0 * 30.0;
    vec![
        round(18.0),
        round(350.0),
        rectangle(400.0, 250.0, 0.0),
        rectangle(400.0, 250.0, 12.0),
        rectangle(400.0, 250.0, 125.0),
        oval(600.0, 180.0),
        oval(90.0, 90.0),
        (HANDLED, body + handle),
    ]
}

#[test]
fn areas_follow_the_formulas() {
    for (family, area) in shapes() {
        let shape = family.outline().unwrap();
        near(shape.area().to_mm2(), area, slack(&shape));
        let low = shape.bounds().low;
        assert!(low.distance(Point::default()) < mm(1e-9), "{family:?} starts at {low:?}");
        assert!(shape.bounds().width() >= shape.bounds().height() - mm(1e-9));
    }
}

#[test]
fn sizes_are_as_asked() {
    let board = HANDLED.outline().unwrap();
    near(board.bounds().width().to_mm(), 420.0, 1e-9);
    near(board.bounds().height().to_mm(), 200.0, 1e-9);
    near(board.centroid().y, 100.0, 1e-9);
    near(board.width_across(Point::new(360.0, 100.0), Angle::degrees(90.0)).unwrap().to_mm(), 40.0, 1e-9);
}

#[test]
fn parameters_out_of_range_are_told_with_figure_and_limit() {
    let told = Family::Round { diameter: mm(2.0) }.outline().unwrap_err().message;
    assert_eq!(told, "the diameter is 2 mm; at least 5 mm is needed");
    let told = Family::Rectangle { length: mm(300.0), width: mm(200.0), corner: mm(101.0) }.outline();
    assert_eq!(
        told.unwrap_err().message,
        "the corner radius is 101 mm; at most 100 mm (half the width) fits"
    );
    let Family::Handled { length, width, corner, handle_length, handle_width, .. } = HANDLED else { return };
    let with = |neck| Family::Handled { length, width, corner, handle_length, handle_width, neck };
    assert!(with(mm(55.0)).outline().is_ok());
    assert!(with(mm(56.0)).outline().unwrap_err().message.contains("at most 55 mm"));
    let wide =
        Family::Handled { length, width, corner: mm(90.0), handle_length, handle_width, neck: mm(0.0) };
    assert!(
        wide.outline().unwrap_err().message.contains("at most 20 mm (the board's end between its corners)")
    );
    assert!(Family::LongOval { length: mm(100.0), width: mm(200.0) }.outline().is_err());
    assert!(Family::Rectangle { length: mm(9_000.0), width: mm(200.0), corner: mm(0.0) }.outline().is_err());
}

fn bends(shape: &Outline) -> Vec<Bend> {
    shape.outer().bends(mm(2.0))
}

fn tightest(bends: &[Bend], inside: bool) -> f64 {
    bends.iter().filter(|it| it.inside == inside).map(|it| it.radius.to_mm()).fold(f64::INFINITY, f64::min)
}

#[test]
fn radii_of_arcs_are_found_within_three_percent() {
    for radius in [3.0, 6.0, 12.0, 40.0, 100.0] {
        let shape =
            Family::Rectangle { length: mm(400.0), width: mm(250.0), corner: mm(radius) }.outline().unwrap();
        let found = bends(&shape);
        assert!(found.iter().all(|it| !it.inside && !it.corner));
        near(tightest(&found, false), radius, 0.03 * radius);
    }
    let disc = Family::Round { diameter: mm(300.0) }.outline().unwrap();
    let found = bends(&disc);
    assert_eq!(found.len(), disc.outer().corners().len());
    assert!(found.iter().all(|it| (it.radius.to_mm() - 150.0).abs() < 4.5 && !it.inside));
}

/// The radius of an ellipse at the ends of its axes is b²/a and a²/b.
#[test]
fn radii_of_a_long_oval_follow_the_formula() {
    let oval = Family::LongOval { length: mm(600.0), width: mm(200.0) }.outline().unwrap();
    let found = bends(&oval);
    near(tightest(&found, false), 100.0 * 100.0 / 300.0, 0.03 * 33.3);
    let flattest = found.iter().map(|it| it.radius.to_mm()).fold(0.0, f64::max);
    near(flattest, 300.0 * 300.0 / 100.0, 0.03 * 900.0);
}

#[test]
fn a_handled_board_is_hollow_at_its_neck_only() {
    let found = bends(&HANDLED.outline().unwrap());
    near(tightest(&found, true), 30.0, 0.9);
    near(tightest(&found, false), 20.0, 0.6);
    let hollow = found.iter().filter(|it| it.inside && it.radius < mm(35.0));
    assert!(hollow.clone().count() > 8);
    assert!(hollow.into_iter().all(|it| (289.9..320.1).contains(&it.at.x)));
}

#[test]
fn square_corners_are_corners_outside_and_inside() {
    let corners = [[0.0, 0.0], [300.0, 0.0], [300.0, 60.0], [120.0, 60.0], [120.0, 200.0], [0.0, 200.0]];
    let ring = Ring::new(corners.iter().map(|&[x, y]| Point::new(x, y)).collect()).unwrap();
    let found = ring.bends(mm(2.0));
    assert_eq!(found.len(), 6);
    assert!(found.iter().all(|it| it.corner && it.radius == Length::ZERO));
    let inside: Vec<Point> = found.iter().filter(|it| it.inside).map(|it| it.at).collect();
    assert_eq!(inside, [Point::new(120.0, 60.0)]);
}

/// A traced line: evenly spaced points with the noise of a picture.
fn traced(shape: &Outline, noise: f64) -> Ring {
    let mut seed = 12_345_u64;
    let mut random = || {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (seed >> 33) as f64 / (1_u64 << 31) as f64 - 0.5
    };
    let mut points = Vec::new();
    for edge in shape.outer().edges() {
        let count = (edge.length().to_mm() / 0.5).ceil() as usize;
        for step in 0..count {
            let at = edge.from.toward(edge.to, step as f64 / count as f64);
            points.push(Point::new(at.x + noise * random(), at.y + noise * random()));
        }
    }
    Ring::new(points).unwrap()
}

#[test]
fn radii_survive_tracing_and_smoothing() {
    let shape = HANDLED.outline().unwrap();
    let smooth = traced(&shape, 0.3).smoothed(mm(2.0)).unwrap();
    near(smooth.area().to_mm2(), shape.area().to_mm2(), 0.0005 * shape.area().to_mm2());
    let found = smooth.bends(mm(8.0));
    assert!(found.iter().all(|it| !it.corner));
    near(tightest(&found, false), 20.0, 1.5);
    near(tightest(&found, true), 30.0, 3.0);
}

#[test]
fn smoothing_keeps_a_round_round() {
    let disc = Family::Round { diameter: mm(20.0) }.outline().unwrap();
    let smooth = disc.outer().smoothed(mm(2.0)).unwrap();
    near((smooth.area().to_mm2() / PI).sqrt(), 10.0, 0.02);
    assert!(disc.outer().smoothed(mm(0.0)).is_err() && disc.outer().smoothed(mm(50.0)).is_err());
    assert!(disc.outer().smoothed(mm(0.001)).is_err());
}

#[test]
fn the_narrowest_section_is_found_and_openings_count() {
    let taper = [[0.0, 0.0], [100.0, 10.0], [200.0, 0.0], [200.0, 60.0], [100.0, 47.0], [0.0, 60.0]];
    let taper = Ring::new(taper.iter().map(|&[x, y]| Point::new(x, y)).collect()).unwrap();
    let axis = Segment { from: Point::new(10.0, 30.0), to: Point::new(190.0, 30.0) };
    let found = Outline::from(taper.clone()).narrowest_along(axis, mm(7.0)).unwrap();
    near(found.width.to_mm(), 37.0, 0.05);
    near(found.along.to_mm(), 90.0, 0.5);
    let hole = Family::Round { diameter: mm(12.0) }.outline().unwrap();
    let hole = hole.outer().corners().iter().map(|it| Point::new(it.x + 144.0, it.y + 24.0));
    let drilled = Outline::new(taper, vec![Ring::new(hole.collect()).unwrap()]).unwrap();
    let found = drilled.narrowest_along(axis, mm(5.0)).unwrap();
    // The hole's middle lies at x = 150: 55 - 1.5 - 5 wide there, less 12.
    near(found.width.to_mm(), 36.3, 0.4);
    assert!((144.0..151.0).contains(&found.at.x), "{found:?}");
    assert_eq!(drilled.width_across(Point::new(100.0, 5.0), Angle::degrees(90.0)), None);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_parameters_give_a_shape_or_a_problem(
        length in 0.0..700.0_f64, width in 0.0..400.0_f64, corner in -1.0..200.0_f64,
        handle_length in 0.0..400.0_f64, handle_width in 0.0..200.0_f64, neck in 0.0..90.0_f64,
    ) {
        let handled = Family::Handled {
            length: mm(length), width: mm(width), corner: mm(corner),
            handle_length: mm(handle_length), handle_width: mm(handle_width), neck: mm(neck),
        };
        let rectangle = Family::Rectangle { length: mm(length), width: mm(width), corner: mm(corner) };
        for shape in [handled, rectangle].into_iter().filter_map(|it| it.outline().ok()) {
            prop_assert!((shape.bounds().width().to_mm() - length).abs() < 1e-6);
            prop_assert!((shape.bounds().height().to_mm() - width).abs() < 1e-6);
        }
    }
}
