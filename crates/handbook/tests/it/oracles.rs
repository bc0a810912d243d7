//! Published worked values, row by row: `oracles.csv` names the source of each.

use handbook::*;
use measure::{Angle, Force, Length, Moisture, Stress, Temperature, Volume};

use crate::{number, wood};

/// Rows that nothing in the handbook works out: the most water that wood holds,
/// the slope of two slopes, how a stiffer spring reads on a thicker blade, and
/// how long noise is borne.
const NOT_WORKED_OUT: [&str; 4] = ["mcmax", "slope-combined", "tension", "noise"];

#[test]
fn every_published_value_that_the_handbook_works_out_is_met() {
    let (mut met, mut left) = (0, 0);
    for line in include_str!("oracles.csv").lines().skip(1) {
        let [id, given, expected, tolerance, source] = line.split(';').collect::<Vec<_>>()[..] else {
            panic!("{line}")
        };
        if NOT_WORKED_OUT.iter().any(|it| id.starts_with(it)) {
            left += 1;
            continue;
        }
        let (got, expected, tolerance) = (worked_out(id, given), number(expected), number(tolerance));
        assert!((got - expected).abs() <= tolerance + 1e-9, "{id}: {got}, expected {expected} ({source})");
        met += 1;
    }
    assert_eq!((met, left), (57, 6));
}

/// The value of a row, by the kind that its name begins with.
fn worked_out(id: &str, given: &str) -> f64 {
    let numbers: Vec<f64> = given.split(' ').filter_map(|it| it.parse().ok()).collect();
    match (id.split('-').next().unwrap_or_default(), &numbers[..]) {
        ("emc", &[fahrenheit, humidity]) => {
            let temperature = Temperature::celsius((fahrenheit - 32.0) / 1.8);
            equilibrium_moisture(temperature, Moisture::percent(humidity)).unwrap().to_percent()
        }
        ("move", &[width, coefficient, from, to]) => {
            let (from, to) = (Moisture::percent(from), Moisture::percent(to));
            let moved = movement(&moving_by(coefficient), Cut::FlatSawn, Length::mm(width), from, to).change;
            if id == "move-fir" { moved.to_mm() } else { moved.to_inches() }
        }
        ("coef", &[shrinkage]) => shrinking_by(shrinkage).tangential_coefficient().value,
        ("mor", &[dry, green, stop, moisture]) => {
            let (stop, moisture) = (Moisture::percent(stop), Moisture::percent(moisture));
            at_moisture(Stress::mpa(dry), Stress::mpa(green), stop, moisture).to_mpa() * 1000.0
        }
        ("hank", &[degrees]) => {
            hankinson(Angle::degrees(degrees), Stress::mpa(87.6), Stress::mpa(2.0), 2.0).to_mpa()
        }
        ("slope", &[run]) => {
            let slope = Angle::radians((1.0 / run).atan());
            let along = Stress::mpa(100.0);
            let got = if id.starts_with("slope-mor") {
                hankinson(slope, along, along * BENDING_ACROSS, BENDING_EXPONENT)
            } else {
                hankinson(slope, along, along * 0.1, 2.5)
            };
            got.to_mpa()
        }
        ("screw", &[gravity]) => {
            let fact = wood("hard_maple").specific_gravity.clone().unwrap();
            let light = Species {
                specific_gravity: Some(Fact { value: gravity, ..fact }),
                ..wood("hard_maple").clone()
            };
            (screw(10).unwrap().pull_out(&light, Length::inches(1.0)) * SAFE_PULL).to_newtons()
                / Force::pounds(1.0).to_newtons()
        }
        ("gauge", &[gauge]) => screw(gauge as u32).unwrap().shank.to_inches(),
        ("bf", &[thick, wide, long, boards]) => {
            let cubic_inch = 25.4 * 25.4 * 25.4;
            Volume::mm3(thick * wide * long * boards * cubic_inch).to_board_feet()
        }
        // Printed in psi and pounds for hard maple, as its row has it.
        ("si", &[_]) => {
            let maple = wood("hard_maple");
            match id {
                "si-mor" => maple.rupture.as_ref().unwrap().value.to_mpa() * 1000.0,
                "si-moe" => maple.elasticity.as_ref().unwrap().value.to_mpa(),
                _ => maple.hardness().value.to_newtons(),
            }
        }
        ("density", _) => wood(given).density().value,
        ("el", _) => {
            let wood = wood(given);
            let across = wood.ratios.as_ref().unwrap().value.et;
            wood.stiffness_along_the_rings().value.to_mpa() / across
        }
        _ => panic!("{id}: {given}"),
    }
}

/// A wood that moves by this coefficient along its rings.
fn moving_by(coefficient: f64) -> Species {
    let fact = wood("hard_maple").coefficient_tangential.clone().unwrap();
    Species {
        coefficient_tangential: Some(Fact { value: coefficient, ..fact }),
        ..wood("hard_maple").clone()
    }
}

/// A wood of which only the shrinkage along the rings is known.
fn shrinking_by(percent: f64) -> Species {
    let fact = wood("hard_maple").shrinkage_tangential.clone().unwrap();
    Species {
        coefficient_tangential: None,
        shrinkage_tangential: Some(Fact { value: percent, ..fact }),
        ..wood("hard_maple").clone()
    }
}
