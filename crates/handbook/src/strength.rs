//! How strong wood is at an angle to its grain, and how much of that to use.

use measure::{Angle, Figure, Moisture, Stress, Units};

use crate::Species;
use crate::facts::number;

/// Bending strength straight across the grain as a share of that along it.
/// With [`BENDING_EXPONENT`] Hankinson's curve meets every row of Wood Handbook
/// table 5-12 (slopes of 1 in 25 to 1 in 5) within 3 points of percent; both
/// lie inside the ranges of table 5-11 (0.04 to 0.10, 1.5 to 2).
pub const BENDING_ACROSS: f64 = 0.047;

/// The exponent that goes with [`BENDING_ACROSS`].
pub const BENDING_EXPONENT: f64 = 2.0;

/// Tabled strength over the stress that a board may be planned with: covers
/// the scatter of wood (16 % of the mean), faults that nobody saw, knocks, and
/// loads that stay on (common practice, no source).
pub const SAFETY: f64 = 4.0;

/// Moisture at which strength stops falling, where the species' own is not
/// known (Wood Handbook FPL-GTR-282, p. 5-34).
pub const STRENGTH_STOPS: Moisture = Moisture::percent(25.0);

/// Strength at an angle to the grain: P Q / (P sinⁿ + Q cosⁿ), Wood Handbook
/// FPL-GTR-190, eq. 5-2. The angle counts from 0° along to 90° across; P and Q
/// above zero. Exponent 1.5 to 2 for tension and bending, 2 to 2.5 for
/// compression (table 5-11).
pub fn hankinson(slope: Angle, along: Stress, across: Stress, exponent: f64) -> Stress {
    let slope = slope.between_lines(Angle::ZERO);
    let (p, q) = (along.to_mpa(), across.to_mpa());
    let (sin, cos) = (slope.sin().max(0.0).powf(exponent), slope.cos().max(0.0).powf(exponent));
    Stress::mpa(p * q / (p * sin + q * cos))
}

/// Bending strength of clear wood at 12 % whose grain runs so far off the part's length.
pub fn rupture_at(wood: &Species, slope: Angle) -> Stress {
    let along = wood.bending().value;
    hankinson(slope, along, across(wood, along), BENDING_EXPONENT)
}

/// Strength straight across the grain: the share that fits table 5-12, but no
/// more than the tabled tension across, which is less in the softest woods.
fn across(wood: &Species, along: Stress) -> Stress {
    let share = along * BENDING_ACROSS;
    wood.tension_across.as_ref().map_or(share, |it| share.min(it.value))
}

/// The same as a figure that can be opened.
pub fn rupture_figure(wood: &Species, slope: Angle, units: Units) -> Figure {
    let slope = slope.between_lines(Angle::ZERO);
    let along = wood.bending();
    Figure::new("bending strength at this grain", units.stress(rupture_at(wood, slope)))
        .by(
            "P Q / (P sin² a + Q cos² a)",
            "Hankinson's formula, Wood Handbook FPL-GTR-190 (2010), eq. 5-2, set to table 5-12",
        )
        .from("strength along the grain P", units.stress(along.value))
        .from("strength across the grain Q, 0.047 P at most", units.stress(across(wood, along.value)))
        .from("grain off the length a", format!("{}°", number(slope.to_degrees(), 1)))
        .from("strength from", along.basis)
}

/// The stress that may be planned with: strength over [`SAFETY`].
pub fn allowable(strength: Stress) -> Stress {
    strength / SAFETY
}

/// Strength at another moisture: P₁₂ (P₁₂/P_green)^((12 − M)/(stop − 12)),
/// Wood Handbook FPL-GTR-282, eq. 5-3; `stop` is [`STRENGTH_STOPS`] or the
/// species' own. Moisture above `stop` counts as green.
pub fn at_moisture(at_12: Stress, green: Stress, stop: Moisture, moisture: Moisture) -> Stress {
    if moisture >= stop {
        return green;
    }
    let power = (12.0 - moisture.to_percent()) / (stop.to_percent() - 12.0);
    Stress::mpa(at_12.to_mpa() * (at_12 / green).powf(power))
}
