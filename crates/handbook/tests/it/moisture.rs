//! Resting, cupping, ring angle and meter, against published solutions and numerical models.

use handbook::*;
use measure::{Angle, Length, Moisture, Stress, Temperature};

use crate::{number, rows, wood};

fn at(it: f64) -> Moisture {
    Moisture::percent(it)
}

/// A finite-element model of the same boards (scikit-fem, `checks/cup_fem.py`),
/// in small strains: within half a percent of the exact form.
#[test]
fn cup_meets_the_finite_element_model() {
    for row in rows(include_str!("cup.csv")) {
        let [width, _, pith, radial, tangential, expected] = row[..] else { panic!("{row:?}") };
        let (width, pith) = (Length::mm(number(width)), Length::mm(number(pith)));
        let got = free_cup(width, pith, number(radial), number(tangential)).to_mm();
        assert!((got / number(expected) - 1.0).abs() < 0.005, "{row:?}: {got}");
    }
}

/// The same model of a board whose upper face has dried first.
#[test]
fn a_face_that_dries_first_cups_as_in_the_finite_element_model() {
    for row in rows(include_str!("drying.csv")) {
        let [width, thickness, apart, expected] = row[..] else { panic!("{row:?}") };
        let (width, thickness) = (Length::mm(number(width)), Length::mm(number(thickness)));
        let got = one_faced_cup(width, thickness, number(apart)).to_mm();
        assert!((got / number(expected) - 1.0).abs() < 0.005, "{row:?}: {got}");
    }
    assert_eq!(one_faced_cup(Length::mm(100.0), Length::ZERO, 0.01), Length::ZERO);
}

/// The edges of a drying board rise away from the pith, those of a swelling one sink.
#[test]
fn a_drying_board_cups_away_from_the_pith() {
    let (width, pith) = (Length::mm(200.0), Length::mm(100.0));
    let dries = cup(wood("hard_maple"), width, pith, at(12.0), at(7.0));
    let swells = cup(wood("hard_maple"), width, pith, at(7.0), at(12.0));
    // By hand: (0.00353 - 0.00165) · 5 = 0.0094 of strain; a θ tan θ = 78.5 mm: 0.74 mm.
    assert!((dries.to_mm() - 0.74).abs() < 0.02, "{dries:?}");
    assert!((swells + dries).abs().to_mm() < 0.02, "{swells:?}");
    assert_eq!(cup(wood("hard_maple"), Length::ZERO, pith, at(12.0), at(7.0)), Length::ZERO);
}

/// A finite-element model of the same joints (scikit-fem, `checks/joint_fem.py`),
/// a fiftieth of the thickness below the face, where the shear has begun to fall.
#[test]
fn a_joint_bears_what_the_finite_element_model_says() {
    for row in rows(include_str!("joint.csv")) {
        let [left, right, one, other, apart, shear, tension] = row[..] else { panic!("{row:?}") };
        let (one, other) = (Stress::mpa(number(one)), Stress::mpa(number(other)));
        let got = joint_stress(one, other, number(apart));
        let unlike = one.max(other) / one.min(other) > 2.0;
        let within = if unlike { 0.25 } else { 0.08 };
        for (got, expected) in [(got.shear, shear), (got.tension, tension)] {
            assert!(
                (got.to_mpa() / number(expected) - 1.0).abs() < within,
                "{left}, {right}: {got:?} {expected}"
            );
        }
        assert_eq!(got, joint_stress(other, one, -number(apart)), "either way round");
    }
    // By hand: 0.004 · 1000 MPa = 4 MPa held back in full, 4/π = 1.27 MPa at a joint.
    let stiff = Stress::mpa(1000.0);
    assert!((held_back(stiff, -0.004).to_mpa() - 4.0).abs() < 1e-12);
    assert!((joint_stress(stiff, stiff, 0.004).shear.to_mpa() - 1.273).abs() < 1e-3);
    assert_eq!(joint_stress(stiff, stiff, 0.0).tension, Stress::ZERO);
    assert_eq!(joint_stress(Stress::ZERO, stiff, 0.1).shear, Stress::ZERO);
}

/// Crank, The Mathematics of Diffusion (1975): for short times the gain is
/// 4 √(D t / π d²), and the half time is 0.04919 d²/D (eqs. 4.20 and 10.18's
/// companion, from memory; both follow from the series).
#[test]
fn diffusion_meets_the_short_time_solution_and_the_half_time() {
    let (spread, d) = (1e-10, Length::mm(25.0));
    let thick2 = 0.025 * 0.025;
    for seconds in [1e3, 1e4, 1e5] {
        let gained = 4.0 * (spread * seconds / (std::f64::consts::PI * thick2)).sqrt();
        let got = 1.0 - left_to_go(spread, d, seconds);
        assert!((got / gained - 1.0).abs() < 0.01, "{seconds}: {got} {gained}");
    }
    let half = 0.04919 * thick2 / spread;
    assert!((left_to_go(spread, d, half) - 0.5).abs() < 1e-3);
}

/// The same board cut into slices, step by step: another way of reckoning.
#[test]
fn diffusion_meets_a_board_in_slices() {
    let (spread, d, slices) = (1e-10, 0.03, 60);
    let dx = d / f64::from(slices);
    let dt = 0.4 * dx * dx / spread;
    let mut wet = vec![1.0; slices as usize];
    let mut seconds = 0.0;
    while seconds < 1.0e6 {
        let before = wet.clone();
        for i in 0..wet.len() {
            // Half a slice lies between the outermost middle and the dry face.
            let left = if i == 0 { -before[0] } else { before[i - 1] };
            let right = if i + 1 == wet.len() { -before[i] } else { before[i + 1] };
            wet[i] += spread * dt / (dx * dx) * (left + right - 2.0 * before[i]);
        }
        seconds += dt;
    }
    let mean = wet.iter().sum::<f64>() / wet.len() as f64;
    assert!((mean - left_to_go(spread, Length::mm(30.0), seconds)).abs() < 2e-3, "{mean}");
}

/// Common practice, no source: an inch of wood lies two to six weeks in its
/// room, and twice the thickness takes four times as long.
#[test]
fn an_inch_of_wood_rests_two_to_six_weeks() {
    let days = |thick: f64, now: f64| {
        let (least, most) = resting(Length::mm(thick), at(now), at(8.0), at(0.4));
        (least.to_minutes() / 1440.0, most.to_minutes() / 1440.0)
    };
    let (least, most) = days(25.0, 12.0);
    assert!((12.0..16.0).contains(&least) && (38.0..46.0).contains(&most), "{least} {most}");
    let (twice, _) = days(50.0, 12.0);
    assert!((twice / least - 4.0).abs() < 0.01, "{twice}");
    assert_eq!(days(25.0, 8.2), (0.0, 0.0), "it is there already");
    assert_eq!(days(-3.0, 12.0), (0.0, 0.0));
}

/// Strain in a turned direction (any textbook): half way it is the mean.
#[test]
fn rings_at_an_angle_move_between_the_two() {
    let (width, maple) = (Length::mm(300.0), wood("hard_maple"));
    let moved =
        |rings: f64| movement_at(maple, Angle::degrees(rings), width, at(8.0), at(12.0)).change.to_mm();
    assert!((moved(45.0) - (moved(0.0) + moved(90.0)) / 2.0).abs() < 1e-9);
    assert!((moved(30.0) - (0.75 * moved(0.0) + 0.25 * moved(90.0))).abs() < 1e-9);
    assert_eq!(movement(maple, Cut::RiftSawn, width, at(8.0), at(12.0)).change.to_mm(), moved(45.0));
}

/// Wood Handbook FPL-GTR-190, p. 13-3: half a percent for each 5.6 °C.
#[test]
fn a_cold_board_reads_too_dry() {
    let set_for = Temperature::celsius(21.1);
    let cold = meter_corrected(at(9.0), Temperature::celsius(9.9), set_for);
    assert!((cold.to_percent() - 10.0).abs() < 1e-9, "{cold:?}");
    assert_eq!(meter_corrected(at(9.0), set_for, set_for), at(9.0));
}

/// Wood Handbook FPL-GTR-190 (2010), table 13-2, and practice in Europe, from
/// memory: the span of moisture in interiors, within half a percent.
#[test]
fn rooms_come_to_the_moisture_that_is_printed_for_them() {
    let printed = [
        ("heated_kitchen", 6.0, 10.0),
        ("dry_inland", 4.0, 9.0),
        ("damp_coast", 8.0, 13.0),
        ("european_kitchen", 7.0, 11.0),
    ];
    assert_eq!(all_rooms().len(), printed.len());
    for (room, (key, low, high)) in all_rooms().iter().zip(printed) {
        let (winter, summer) = room.seasons().unwrap();
        assert_eq!(room.key, key);
        assert!(
            (winter.to_percent() - low).abs() < 0.75 && (summer.to_percent() - high).abs() < 0.75,
            "{key}: {winter:?} {summer:?}"
        );
        assert!(room.origin().contains("from memory"));
    }
}
