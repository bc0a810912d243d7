//! Traced lines made smooth: bounds kept, corners kept, halves made one.

use measure::{Angle, Length};
use outline::{Fit, Fitted, Place, Point, Ring};

const PI: f64 = std::f64::consts::PI;

fn fit() -> Fit {
    Fit { corners: Vec::new(), least_radius: Length::ZERO, stray: Length::mm(0.5), symmetric: false }
}

fn ring(points: impl Iterator<Item = (f64, f64)>) -> Ring {
    Ring::new(points.map(|(x, y)| Point::new(x, y)).collect()).unwrap()
}

/// A closed line by its distance from the middle at each share of a turn.
fn polar(count: usize, radius: impl Fn(f64) -> f64) -> Ring {
    ring((0..count).map(|step| {
        let turn = 2.0 * PI * step as f64 / count as f64;
        (radius(turn) * turn.cos(), radius(turn) * turn.sin())
    }))
}

/// Repeatable roughness from -1 to 1.
fn rough(seed: f64) -> f64 {
    (seed * 12.9898).sin() * (seed * 4.1414).cos()
}

/// A square of 100 mm whose corners a picture has rounded by 1 mm.
fn rounded_square() -> Ring {
    let middles = [(99.0, 99.0), (1.0, 99.0), (1.0, 1.0), (99.0, 1.0)];
    let arc = |(index, (x, y)): (usize, (f64, f64))| {
        (0..=8).map(move |step| {
            let turn = PI / 2.0 * (index as f64 + f64::from(step) / 8.0);
            (x + turn.cos(), y + turn.sin())
        })
    };
    ring(middles.into_iter().enumerate().flat_map(arc))
}

/// How far the corners of one line are from another at most.
fn apart(one: &Ring, other: &Ring) -> f64 {
    one.corners().iter().map(|it| other.distance(*it).to_mm()).fold(0.0, f64::max)
}

#[test]
fn a_rough_disc_becomes_few_curves_that_are_a_disc() {
    let traced = polar(3000, |turn| 50.0 + 0.15 * rough(turn * 400.0));
    let found = traced.fitted(&Fit { least_radius: Length::mm(20.0), ..fit() }).unwrap();
    let area = found.ring.area().to_mm2() / (PI * 2500.0) - 1.0;
    assert!(area.abs() < 0.0005, "{area}");
    assert!(found.cubics <= 48, "{}", found.cubics);
    assert!(found.least_radius.unwrap() >= Length::mm(20.0 / 1.05), "{:?}", found.least_radius);
    assert!(found.stray <= Length::mm(0.5), "{:?}", found.stray);
}

#[test]
fn a_disc_of_no_roughness_is_not_shrunk() {
    let found = polar(720, |_| 10.0).fitted(&fit()).unwrap();
    let off = found.ring.corners().iter().map(|it| it.distance(Point::default()).to_mm() - 10.0);
    let most = off.map(f64::abs).fold(0.0, f64::max);
    assert!(most < 0.06, "{most}");
}

#[test]
fn kept_corners_are_sharp_again_and_others_are_not() {
    let traced = rounded_square();
    let offered = traced.sharp_places();
    assert_eq!(offered.len(), 4, "{offered:?}");
    let found = traced.fitted(&Fit { corners: offered, ..fit() }).unwrap();
    assert!(found.cubics <= 12 && found.corners.len() == 4, "{}", found.cubics);
    for tip in &found.corners {
        let off = (tip.x - 50.0).abs().max((tip.y - 50.0).abs()) - 50.0;
        assert!(off.abs() < 0.15 && tip.distance(Point::new(50.0, 50.0)).to_mm() > 70.4, "{tip:?}");
    }
    assert!((found.ring.area().to_mm2() - 1e4).abs() < 5.0, "{:?}", found.ring.area());
    let eased =
        traced.fitted(&Fit { least_radius: Length::mm(3.0), stray: Length::mm(2.0), ..fit() }).unwrap();
    assert!(eased.least_radius.unwrap() >= Length::mm(2.8), "{:?}", eased.least_radius);
    assert!(eased.corners.is_empty() && eased.stray <= Length::mm(2.0));
}

#[test]
fn a_bend_is_eased_to_the_least_radius_as_the_blade_will_see_it() {
    let teeth = polar(2000, |turn| 80.0 + 4.0 * (turn * 11.0).sin().abs());
    let found =
        teeth.fitted(&Fit { least_radius: Length::mm(8.0), stray: Length::mm(4.0), ..fit() }).unwrap();
    assert!(found.least_radius.unwrap() >= Length::mm(7.6), "{:?}", found.least_radius);
    let seen = found.ring.bends(Length::mm(2.0));
    let tightest = seen.iter().map(|it| it.radius.to_mm()).fold(f64::INFINITY, f64::min);
    assert!(tightest > 7.0 && seen.iter().all(|it| !it.corner), "{tightest}");
}

#[test]
fn where_it_may_not_stray_so_far_the_radius_that_was_reached_is_told() {
    let teeth = polar(2000, |turn| 80.0 + 4.0 * (turn * 11.0).sin().abs());
    let found =
        teeth.fitted(&Fit { least_radius: Length::mm(8.0), stray: Length::mm(0.4), ..fit() }).unwrap();
    assert!(found.stray <= Length::mm(0.4), "{:?}", found.stray);
    assert!(found.least_radius.unwrap() < Length::mm(6.0), "{:?}", found.least_radius);
    assert!(apart(&found.ring, &teeth) <= 0.4 && apart(&teeth, &found.ring) <= 0.4);
}

/// Exactly symmetric about an axis at 30° but for a bump on one side.
fn lopsided() -> Ring {
    let bump = |turn: f64| 3.0 * (-((turn - 1.2) / 0.2).powi(2)).exp();
    let leaf = polar(1500, |turn| 60.0 + 25.0 * turn.cos() + 4.0 * (turn * 6.0).cos() + bump(turn));
    let turned = Place { at: Point::new(40.0, -7.0), turn: Angle::degrees(30.0), mirrored: false };
    Ring::new(leaf.corners().iter().map(|it| turned.point(*it)).collect()).unwrap()
}

#[test]
fn both_halves_become_each_others_image_half_way_between() {
    let traced = lopsided();
    let Fitted { ring, axis, stray, .. } = traced.fitted(&Fit { symmetric: true, ..fit() }).unwrap();
    let (axis, apart_from_traced) = axis.unwrap();
    let turn = axis.direction().between_lines(Angle::degrees(30.0)).to_degrees();
    assert!(turn.abs() < 1.0, "{turn}");
    let place = Place { at: axis.from, turn: axis.direction(), mirrored: false };
    let back = Place { at: Point::default(), turn: -axis.direction(), mirrored: false };
    let image = |it: &Point| {
        let it = back.point(Point::new(it.x - axis.from.x, it.y - axis.from.y));
        place.point(Point::new(it.x, -it.y))
    };
    let image = Ring::new(ring.corners().iter().map(image).collect()).unwrap();
    assert!(apart(&image, &ring) < 0.03, "chords of one side may end elsewhere: {}", apart(&image, &ring));
    assert!((ring.area().to_mm2() / traced.area().to_mm2() - 1.0).abs() < 0.002);
    assert!((0.5..2.0).contains(&apart_from_traced.to_mm()), "half a bump of 3 mm: {apart_from_traced:?}");
    assert!(stray <= Length::mm(0.6));
}

#[test]
fn a_corner_of_one_half_is_kept_in_both_and_one_on_the_axis_once() {
    // A spear: tip ahead on the axis, a barb on either side.
    let spear =
        [(100.0, 0.0), (30.0, 30.0), (40.0, 10.0), (-60.0, 8.0), (-60.0, -8.0), (40.0, -10.0), (30.0, -30.0)];
    let spear = ring(spear.into_iter());
    let corners =
        vec![Point::new(100.0, 0.0), Point::new(30.0, 30.0), Point::new(40.0, 10.0), Point::new(-60.0, 8.0)];
    let found = spear.fitted(&Fit { corners, symmetric: true, ..fit() }).unwrap();
    assert_eq!(found.corners.len(), 7, "{:?}", found.corners);
    assert!(apart(&spear, &found.ring) < 0.2, "{}", apart(&spear, &found.ring));
}

#[test]
fn what_cannot_be_asked_is_told() {
    let line = polar(300, |_| 50.0);
    let check = |ask: Fit, word: &str| {
        let told = line.fitted(&ask).unwrap_err();
        assert!(told.message.contains(word) && told.hint.is_some(), "{told}");
    };
    check(Fit { stray: Length::ZERO, ..fit() }, "stray");
    check(Fit { stray: Length::mm(90.0), ..fit() }, "stray");
    check(Fit { least_radius: Length::mm(-1.0), ..fit() }, "least radius");
    check(Fit { corners: vec![Point::new(0.0, 0.0)], ..fit() }, "from the line");
    check(Fit { corners: vec![Point::new(50.0, 0.0); 65], ..fit() }, "at most 64");
}

#[test]
fn any_line_is_fitted_or_told_of_and_keeps_its_bound() {
    for seed in 0..40 {
        let seed = f64::from(seed) + 0.37;
        let line = polar(40 + (seed * 31.0) as usize, |turn| {
            60.0 + (1..9)
                .map(|it| 6.0 * rough(seed + f64::from(it)) * (turn * f64::from(it) + seed).cos())
                .sum::<f64>()
        });
        let corners: Vec<Point> = line.corners().iter().copied().step_by(23).collect();
        let radius = Length::mm(20.0 * rough(seed).abs());
        for symmetric in [false, true] {
            let ask = Fit { corners: corners.clone(), least_radius: radius, symmetric, ..fit() };
            match line.fitted(&ask) {
                Ok(found) => {
                    assert!(symmetric || found.stray <= Length::mm(1.0), "{seed}: {:?}", found.stray)
                }
                Err(problem) => assert!(problem.hint.is_some(), "{seed}: {problem}"),
            }
        }
    }
}

#[test]
fn asking_for_more_smoothness_never_makes_the_line_tighter() {
    let teeth = polar(2000, |turn| 80.0 + 4.0 * (turn * 11.0).sin().abs());
    let tightest = |radius: f64| {
        let found = teeth.fitted(&Fit { least_radius: Length::mm(radius), ..fit() }).unwrap();
        found.least_radius.unwrap().to_mm()
    };
    let reached = [0.0, 1.0, 3.0, 8.0, 20.0].map(tightest);
    assert!(reached.windows(2).all(|it| it[1] > it[0] * 0.7), "{reached:?}");
}
