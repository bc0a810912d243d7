//! One type for each quantity of the shop.

use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::{Length, Problem};

/// Defines a finite `f64` quantity held in one unit, with the arithmetic that
/// keeps its meaning: sums, and scaling by a bare number.
macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $held:ident, $read:ident) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd, Serialize, Deserialize, TS)]
        #[serde(try_from = "f64", into = "f64")]
        #[ts(type = "number")]
        pub struct $name(
            // Invariant: finite.
            f64,
        );

        #[allow(clippy::self_named_constructors, reason = "minutes are held in minutes")]
        impl $name {
            /// Nothing at all.
            pub const ZERO: $name = $name(0.0);

            /// Takes the number in the unit that names this function.
            ///
            /// # Panics
            /// If the number is NaN or infinite.
            pub const fn $held(number: f64) -> $name {
                assert!(number.is_finite(), "a quantity is a finite number");
                $name(number)
            }

            /// The number in the unit that names this function.
            pub const fn $read(self) -> f64 {
                self.0
            }

            /// Without its sign.
            pub const fn abs(self) -> $name {
                $name(self.0.abs())
            }

            /// The smaller of the two.
            pub const fn min(self, other: $name) -> $name {
                $name(self.0.min(other.0))
            }

            /// The larger of the two.
            pub const fn max(self, other: $name) -> $name {
                $name(self.0.max(other.0))
            }
        }

        impl From<$name> for f64 {
            fn from(it: $name) -> f64 {
                it.0
            }
        }

        impl TryFrom<f64> for $name {
            type Error = Problem;

            fn try_from(number: f64) -> Result<$name, Problem> {
                if number.is_finite() {
                    Ok($name(number))
                } else {
                    Err(Problem::new(format!("expected a finite number, found {number}")))
                }
            }
        }

        impl std::ops::Add for $name {
            type Output = $name;
            fn add(self, other: $name) -> $name {
                $name(self.0 + other.0)
            }
        }

        impl std::ops::Sub for $name {
            type Output = $name;
            fn sub(self, other: $name) -> $name {
                $name(self.0 - other.0)
            }
        }

        impl std::ops::AddAssign for $name {
            fn add_assign(&mut self, other: $name) {
                self.0 += other.0;
            }
        }

        impl std::ops::Neg for $name {
            type Output = $name;
            fn neg(self) -> $name {
                $name(-self.0)
            }
        }

        impl std::ops::Mul<f64> for $name {
            type Output = $name;
            fn mul(self, by: f64) -> $name {
                $name(self.0 * by)
            }
        }

        impl std::ops::Div<f64> for $name {
            type Output = $name;
            fn div(self, by: f64) -> $name {
                $name(self.0 / by)
            }
        }

        impl std::ops::Div for $name {
            type Output = f64;
            fn div(self, by: $name) -> f64 {
                self.0 / by.0
            }
        }

        impl std::iter::Sum for $name {
            fn sum<I: Iterator<Item = $name>>(all: I) -> $name {
                all.fold($name::ZERO, |sum, it| sum + it)
            }
        }
    };
}
pub(crate) use quantity;

quantity!(
    /// An angle, held in degrees, counter-clockwise, y up.
    Angle, degrees, to_degrees
);
quantity!(
    /// An area, held in square millimetres.
    Area, mm2, to_mm2
);
quantity!(
    /// A volume, held in cubic millimetres.
    Volume, mm3, to_mm3
);
quantity!(
    /// A mass, held in kilograms.
    Mass, kg, to_kg
);
quantity!(
    /// A force, held in newtons.
    Force, newtons, to_newtons
);
quantity!(
    /// A stress or a pressure, held in megapascals.
    Stress, mpa, to_mpa
);
quantity!(
    /// Moisture content of wood, held in percent of its oven-dry mass.
    Moisture, percent, to_percent
);
quantity!(
    /// A temperature, held in degrees Celsius.
    Temperature, celsius, to_celsius
);
quantity!(
    /// A stretch of time in the shop, held in minutes.
    Minutes, minutes, to_minutes
);
quantity!(
    /// Money in the shop's own currency, held in whole units of it.
    Money, units, to_units
);

impl Angle {
    /// Takes radians.
    pub const fn radians(radians: f64) -> Angle {
        Angle::degrees(radians.to_degrees())
    }

    /// The number of radians.
    pub const fn to_radians(self) -> f64 {
        self.0.to_radians()
    }

    /// The sine.
    pub fn sin(self) -> f64 {
        self.to_radians().sin()
    }

    /// The cosine.
    pub fn cos(self) -> f64 {
        self.to_radians().cos()
    }

    /// The tangent.
    pub fn tan(self) -> f64 {
        self.to_radians().tan()
    }

    /// The smaller angle between two lines without arrows, from 0° to 90°.
    /// Grain runs both ways: 10° and 190° are the same direction.
    pub fn between_lines(self, other: Angle) -> Angle {
        let turn = (self.0 - other.0).rem_euclid(180.0);
        Angle(turn.min(180.0 - turn))
    }
}

impl Area {
    /// The number of square metres.
    pub const fn to_m2(self) -> f64 {
        self.0 / 1e6
    }
}

impl Volume {
    /// The number of litres.
    pub const fn to_litres(self) -> f64 {
        self.0 / 1e6
    }

    /// The number of board feet: 144 cubic inches of rough wood each (the
    /// trade's formula, thickness × width × length in inches ÷ 144).
    pub const fn to_board_feet(self) -> f64 {
        self.0 / (144.0 * 25.4 * 25.4 * 25.4)
    }
}

impl Minutes {
    /// Takes hours.
    pub const fn hours(hours: f64) -> Minutes {
        Minutes::minutes(hours * 60.0)
    }

    /// Takes days of 24 hours.
    pub const fn days(days: f64) -> Minutes {
        Minutes::hours(days * 24.0)
    }

    /// The number of hours.
    pub const fn to_hours(self) -> f64 {
        self.0 / 60.0
    }

    /// In the words of a can or a bottle: minutes below two hours, hours up to two
    /// days, then days.
    pub fn to_words(self) -> String {
        let hours = self.to_hours();
        if hours < 2.0 {
            format!("{:.0} min", self.to_minutes())
        } else if hours <= 48.0 {
            format!("{hours:.0} h")
        } else {
            format!("{:.0} days", hours / 24.0)
        }
    }
}

impl Force {
    /// Takes pounds-force (1 lbf = 4.4482216152605 N, exact).
    pub const fn pounds(pounds: f64) -> Force {
        Force::newtons(pounds * 4.448_221_615_260_5)
    }
}

impl std::ops::Mul for Length {
    type Output = Area;
    fn mul(self, other: Length) -> Area {
        Area::mm2(self.to_mm() * other.to_mm())
    }
}

impl std::ops::Mul<Length> for Area {
    type Output = Volume;
    fn mul(self, height: Length) -> Volume {
        Volume::mm3(self.0 * height.to_mm())
    }
}

impl std::ops::Mul<Area> for Stress {
    type Output = Force;
    fn mul(self, on: Area) -> Force {
        Force::newtons(self.0 * on.to_mm2())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_board_foot_is_a_foot_square_and_an_inch_thick() {
        let foot = Length::inches(12.0);
        let volume = foot * foot * Length::inches(1.0);
        assert!((volume.to_board_feet() - 1.0).abs() < 1e-12);
    }

    #[test]
    fn grain_runs_both_ways() {
        let across = Angle::degrees(10.0).between_lines(Angle::degrees(185.0));
        assert!((across.to_degrees() - 5.0).abs() < 1e-12);
        let square = Angle::degrees(-45.0).between_lines(Angle::degrees(45.0));
        assert!((square.to_degrees() - 90.0).abs() < 1e-12);
    }

    #[test]
    fn infinity_is_refused_at_the_door() {
        assert!(serde_json_like(f64::INFINITY).is_err());
        assert!(serde_json_like(3.5).is_ok());
    }

    fn serde_json_like(number: f64) -> Result<Minutes, Problem> {
        Minutes::try_from(number)
    }
}
