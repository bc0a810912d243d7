//! How a person writes and reads quantities.

use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::{Area, Force, Length, Mass, Stress, Temperature};

/// The two systems of the trade.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum System {
    /// Inches and their binary fractions.
    #[default]
    Inches,
    /// Millimetres.
    Millimetres,
}

/// A maker's own way of reading figures.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct Units {
    /// Inches or millimetres.
    pub system: System,
    /// Inches are shown to the nearest one in this many: 16, 32 or 64.
    pub fraction: u32,
}

impl Default for Units {
    fn default() -> Units {
        Units { system: System::Inches, fraction: 16 }
    }
}

impl Units {
    /// Inches to the nearest sixteenth.
    pub const INCHES: Units = Units { system: System::Inches, fraction: 16 };
    /// Millimetres.
    pub const MILLIMETRES: Units = Units { system: System::Millimetres, fraction: 16 };

    /// A length as this maker reads it: `14 1/2 in`, or `368 mm`. Under 10 mm,
    /// tenths of a millimetre are kept.
    pub fn length(self, it: Length) -> String {
        match self.system {
            System::Inches => format!("{} in", fraction(it.to_inches(), self.fraction)),
            System::Millimetres => {
                format!("{} mm", trimmed(it.to_mm(), if it.to_mm().abs() < 10.0 { 1 } else { 0 }))
            }
        }
    }

    /// A length where hundredths count (kerf, movement, play): `0.041 in`, `1.04 mm`;
    /// under a hundredth of an inch one digit more, so that a figure and its
    /// limit do not read alike.
    pub fn fine_length(self, it: Length) -> String {
        match self.system {
            System::Inches => {
                format!("{} in", trimmed(it.to_inches(), if it.to_inches().abs() < 0.01 { 4 } else { 3 }))
            }
            System::Millimetres => format!("{} mm", trimmed(it.to_mm(), 2)),
        }
    }

    /// An area: square inches or square centimetres.
    pub fn area(self, it: Area) -> String {
        match self.system {
            System::Inches => format!("{} sq in", trimmed(it.to_mm2() / 645.16, 1)),
            System::Millimetres => format!("{} cm²", trimmed(it.to_mm2() / 100.0, 1)),
        }
    }

    /// A mass: pounds or kilograms.
    pub fn mass(self, it: Mass) -> String {
        match self.system {
            System::Inches => format!("{} lb", trimmed(it.to_kg() / 0.453_592_37, 2)),
            System::Millimetres => format!("{} kg", trimmed(it.to_kg(), 2)),
        }
    }

    /// A stress or pressure: pounds per square inch or megapascals.
    pub fn stress(self, it: Stress) -> String {
        match self.system {
            System::Inches => format!("{:.0} psi", it.to_mpa() * 145.037_737_73),
            System::Millimetres => format!("{} MPa", trimmed(it.to_mpa(), 2)),
        }
    }

    /// A force: pounds-force or newtons; under ten, tenths are kept.
    pub fn force(self, it: Force) -> String {
        let (number, unit) = match self.system {
            System::Inches => (it / Force::pounds(1.0), "lbf"),
            System::Millimetres => (it.to_newtons(), "N"),
        };
        format!("{} {unit}", trimmed(number, if number.abs() < 10.0 { 1 } else { 0 }))
    }

    /// A temperature: Fahrenheit or Celsius.
    pub fn temperature(self, it: Temperature) -> String {
        match self.system {
            System::Inches => format!("{:.0} °F", it.to_celsius() * 1.8 + 32.0),
            System::Millimetres => format!("{:.0} °C", it.to_celsius()),
        }
    }
}

/// A number with at most `places` decimals and no trailing zeros.
fn trimmed(number: f64, places: usize) -> String {
    let text = format!("{number:.places$}");
    let text = match text.contains('.') {
        true => text.trim_end_matches('0').trim_end_matches('.').to_owned(),
        false => text,
    };
    if text == "-0" { "0".to_owned() } else { text }
}

/// Inches as whole and binary fraction, `14 1/2`; a length that would round to
/// nothing keeps three decimals instead of reading as zero.
fn fraction(inches: f64, parts: u32) -> String {
    let parts = u64::from(parts.clamp(1, 64));
    let ticks = (inches.abs() * parts as f64).round() as u64;
    if ticks == 0 && inches != 0.0 {
        return trimmed(inches, 3);
    }
    let sign = if inches < 0.0 { "-" } else { "" };
    let (whole, mut over, mut under) = (ticks / parts, ticks % parts, parts);
    while over != 0 && over % 2 == 0 && under % 2 == 0 {
        (over, under) = (over / 2, under / 2);
    }
    match (whole, over) {
        (_, 0) => format!("{sign}{whole}"),
        (0, _) => format!("{sign}{over}/{under}"),
        _ => format!("{sign}{whole} {over}/{under}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(inches: f64, expected: &str) {
        assert_eq!(Units::INCHES.length(Length::inches(inches)), expected);
    }

    #[test]
    fn inches_read_as_the_nearest_sixteenth() {
        check(14.5, "14 1/2 in");
        check(0.375, "3/8 in");
        check(2.0, "2 in");
        check(0.97, "1 in");
        check(11.9999, "12 in");
        check(0.0, "0 in");
        check(0.01, "0.01 in");
        check(-0.5, "-1/2 in");
    }

    #[test]
    fn millimetres_keep_tenths_only_when_small() {
        assert_eq!(Units::MILLIMETRES.length(Length::mm(368.04)), "368 mm");
        assert_eq!(Units::MILLIMETRES.length(Length::mm(6.35)), "6.3 mm");
        assert_eq!(Units::MILLIMETRES.fine_length(Length::mm(1.041)), "1.04 mm");
    }
}
