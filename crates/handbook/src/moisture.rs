//! How much water wood holds in a room, and how it moves when that changes.

mod cup;
mod joint;
mod rest;

use std::sync::LazyLock;

use measure::{Angle, Figure, Length, Moisture, Problem, Temperature, Units};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::facts::{number, table};
use crate::{Confidence, Species};

pub use cup::{cup, free_cup, one_faced_cup};
pub use joint::{JointStress, held_back, joint_stress};
pub use rest::{left_to_go, resting};

/// How a board was sawn out of the log.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum Cut {
    /// The rings lie along the face: moves most.
    #[default]
    FlatSawn,
    /// The rings stand on the face: moves least.
    QuarterSawn,
    /// In between.
    RiftSawn,
}

impl Cut {
    /// The angle between the face and the rings, as a tangent to them.
    pub const fn rings(self) -> Angle {
        match self {
            Cut::FlatSawn => Angle::ZERO,
            Cut::QuarterSawn => Angle::degrees(90.0),
            Cut::RiftSawn => Angle::degrees(45.0),
        }
    }
}

/// A change of width, and how it came about.
#[derive(Clone, Debug, PartialEq)]
pub struct Movement {
    /// How much wider (or, negative, narrower).
    pub change: Length,
    species: String,
    width: Length,
    from: Moisture,
    to: Moisture,
    rule: Rule,
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Rule {
    Coefficient(f64),
    Shrinkage { percent: f64, full: Moisture },
}

/// Fibre saturation: above it wood neither swells nor shrinks (Wood Handbook
/// FPL-GTR-282, p. 4-10, average; species lie between 26 and 32 %).
pub const FIBRE_SATURATION: Moisture = Moisture::percent(30.0);

/// Between these the coefficients of table 13-5 hold.
const COEFFICIENTS_FROM: Moisture = Moisture::percent(6.0);
const COEFFICIENTS_TO: Moisture = Moisture::percent(14.0);

#[derive(Deserialize)]
struct Equation {
    source: String,
    confidence: Confidence,
    coldest: Temperature,
    warmest: Temperature,
    driest: Moisture,
    dampest: Moisture,
    w: [f64; 3],
    k: [f64; 3],
    k1: [f64; 3],
    k2: [f64; 3],
}

static EQUATION: LazyLock<Equation> =
    LazyLock::new(|| table("moisture.toml", include_str!("../data/moisture.toml")));

/// The moisture that wood comes to in air of this temperature and relative
/// humidity (percent): Wood Handbook FPL-GTR-282, eq. 4-5.
///
/// # Errors
/// Air outside of the span of table 4-2: −1 to 132 °C, 0 to 95 % humidity.
pub fn equilibrium_moisture(temperature: Temperature, humidity: Moisture) -> Result<Moisture, Problem> {
    let it = &*EQUATION;
    if temperature < it.coldest || temperature > it.warmest {
        let found = number(temperature.to_celsius(), 1);
        return Err(Problem::new(format!("{found} °C is outside of -1 to 132 °C, where the equation holds"))
            .hint("give the temperature of the room that the boards will live in"));
    }
    if humidity < it.driest || humidity > it.dampest {
        let found = number(humidity.to_percent(), 1);
        return Err(Problem::new(format!(
            "{found} % humidity is outside of 0 to 95 %, where the equation holds"
        ))
        .hint("give the relative humidity of the room that the boards will live in"));
    }
    let t = temperature.to_celsius();
    let at = |[a, b, c]: [f64; 3]| a + b * t + c * t * t;
    let (w, kh) = (at(it.w), at(it.k) * humidity.to_percent() / 100.0);
    let (k1, k2) = (at(it.k1), at(it.k2));
    let bound = kh / (1.0 - kh);
    let held = (k1 * kh + 2.0 * k1 * k2 * kh * kh) / (1.0 + k1 * kh + k1 * k2 * kh * kh);
    Ok(Moisture::percent(1800.0 / w * (bound + held)))
}

/// What a resistance meter would have shown at the temperature that it is set
/// for: colder wood reads too low, warmer too high, half a percent of moisture
/// for each 5.6 °C (Wood Handbook FPL-GTR-190, p. 13-3).
pub fn meter_corrected(reading: Moisture, wood: Temperature, set_for: Temperature) -> Moisture {
    let colder = (set_for.to_celsius() - wood.to_celsius()) / 5.6;
    (reading + Moisture::percent(0.5) * colder).max(Moisture::ZERO)
}

/// The same, as a figure that can be opened.
///
/// # Errors
/// As [`equilibrium_moisture`].
pub fn equilibrium_figure(
    temperature: Temperature,
    humidity: Moisture,
    units: Units,
) -> Result<Figure, Problem> {
    let moisture = equilibrium_moisture(temperature, humidity)?;
    Ok(Figure::new("equilibrium moisture", percent(moisture))
        .by(
            "1800/W · [K h/(1 − K h) + (K1 K h + 2 K1 K2 K² h²)/(1 + K1 K h + K1 K2 K² h²)]",
            EQUATION.confidence.of(&EQUATION.source),
        )
        .from("temperature", units.temperature(temperature))
        .from("relative humidity", percent(humidity)))
}

/// How much a width changes when its moisture does. Between 6 and 14 % by the
/// coefficients of table 13-5 (D · C · (M₂ − M₁)), outside by the shrinkage of
/// table 4-3 (eq. 4-9 solved for two moistures); nothing moves above fibre
/// saturation.
pub fn movement(wood: &Species, cut: Cut, width: Length, from: Moisture, to: Moisture) -> Movement {
    movement_at(wood, cut.rings(), width, from, to)
}

/// The same for rings at any angle to the face: 0° lying along it, 90° standing
/// on it; C = C_T cos² + C_R sin² (strain in a turned direction, any textbook).
pub fn movement_at(wood: &Species, rings: Angle, width: Length, from: Moisture, to: Moisture) -> Movement {
    let at = |radial: f64, tangential: f64| tangential * rings.cos().powi(2) + radial * rings.sin().powi(2);
    let inside = |it: Moisture| it >= COEFFICIENTS_FROM && it <= COEFFICIENTS_TO;
    let (change, rule) = if inside(from) && inside(to) {
        let coefficient = at(wood.radial_coefficient().value, wood.tangential_coefficient().value);
        (width * (coefficient * (to - from).to_percent()), Rule::Coefficient(coefficient))
    } else {
        let shrinkage = at(wood.radial_shrinkage().value, wood.tangential_shrinkage().value);
        let saturation = wood.saturation().value;
        let wet = |it: Moisture| it.max(Moisture::ZERO).min(saturation).to_percent();
        let full = saturation.to_percent();
        let share = (wet(to) - wet(from)) / (full * 100.0 / shrinkage - full + wet(from));
        (width * share, Rule::Shrinkage { percent: shrinkage, full: saturation })
    };
    Movement { change, species: wood.name.clone(), width, from, to, rule }
}

impl Movement {
    /// The change as a figure that can be opened.
    pub fn figure(&self, units: Units) -> Figure {
        let figure = Figure::new(format!("movement of {}", self.species), units.fine_length(self.change))
            .from("width D", units.length(self.width))
            .from("moisture now M₁", percent(self.from))
            .from("moisture then M₂", percent(self.to));
        match self.rule {
            Rule::Coefficient(c) => figure
                .by("D · C · (M₂ − M₁)", "Wood Handbook FPL-GTR-190 (2010), ch. 13, table 13-5")
                .from("coefficient C per 1 %", number(c, 5)),
            Rule::Shrinkage { percent: shrinkage, full } => figure
                .by(
                    "D · (M₂ − M₁) / (100 F/S − F + M₁)",
                    "Wood Handbook FPL-GTR-282 (2021), eq. 4-9, table 4-3",
                )
                .from("shrinkage S to oven-dry", format!("{} %", number(shrinkage, 1)))
                .from("fibre saturation F", percent(full)),
        }
    }
}

/// A moisture or humidity in words: `7.5 %`.
pub fn percent(it: Moisture) -> String {
    format!("{} %", number(it.to_percent(), 1))
}
