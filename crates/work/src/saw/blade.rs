//! How tight a circle a blade turns.

use measure::{Figure, Force, Length, Units};
use stock::Blade;

/// Width of a blade and the least radius that it saws, inches. The trade's
/// chart (common practice): four printed copies agree within 20 %.
const CHART: [(f64, f64); 8] = [
    (0.125, 0.1875),
    (0.1875, 0.3125),
    (0.25, 0.625),
    (0.375, 1.4375),
    (0.5, 2.5),
    (0.625, 3.75),
    (0.75, 5.4375),
    (1.0, 7.25),
];

const SOURCE: &str = "blade radius chart of the trade, common practice; between its rows by powers";

/// The least radius that a blade of this width saws: the chart's row, or a power
/// law between two rows; past its ends it goes with the square of the width.
pub(super) fn least_radius(width: Length) -> Length {
    let inches = width.to_inches().max(0.0);
    let (first, last) = (CHART[0], CHART[CHART.len() - 1]);
    let (near, power) = if inches <= first.0 {
        (first, 2.0)
    } else if inches >= last.0 {
        (last, 2.0)
    } else {
        let next = CHART.iter().position(|it| it.0 >= inches).unwrap_or(CHART.len() - 1);
        let (low, high) = (CHART[next - 1], CHART[next]);
        (low, (high.1 / low.1).ln() / (high.0 / low.0).ln())
    };
    Length::try_from(near.1 * 25.4 * (inches / near.0).powf(power)).unwrap_or(width)
}

/// A blade is tight enough if this push from the side, midway between guide and
/// table, moves it no farther than the set-up card says (common practice, no
/// source). The custom is one for wide blades: see [`push`].
const WIDE_PUSH: Force = Force::pounds(20.0);
const WIDE: Length = Length::inches(0.75);

/// The push of the tension test for a blade: the same stress takes a force in
/// step with the width, and the push that shows it is in step with the force
/// (a string pushed in its middle, F = 4 T y / L). The full push on a narrow
/// blade would have it strained until it breaks.
pub(super) fn push(blade: &Blade) -> Force {
    WIDE_PUSH * (blade.width / WIDE).clamp(0.0, 1.0)
}

/// The same as a figure that can be opened.
pub(super) fn figure(blade: &Blade, units: Units) -> Figure {
    Figure::new("least radius of the blade", units.length(least_radius(blade.width)))
        .by("looked up by its width", SOURCE)
        .from("width of the blade", units.length(blade.width))
        .from("kerf", units.fine_length(blade.kerf))
}

#[cfg(test)]
mod tests {
    use stock::ShopKit;

    use super::*;

    #[test]
    fn the_chart_is_met_and_geometry_agrees_with_it() {
        // A rigid blade as a chord in its own kerf: R = w² / (8 c), with 0.0125 in
        // of side clearance. Derived; meets the trade's charts within 15 % from
        // 1/4 to 3/4 in, and is too careful at 1 in, where blades have more set.
        for (width, radius) in CHART {
            let found = least_radius(Length::inches(width)).to_inches();
            assert!((found - radius).abs() < 1e-9, "{width}: {found}");
            let chord = width * width / (8.0 * 0.0125);
            let off = chord / radius - 1.0;
            let limit = if (0.25..=0.75).contains(&width) { 0.15 } else { 0.40 };
            assert!(off.abs() < limit, "{width}: {off}");
        }
    }

    #[test]
    fn other_printed_charts_differ_by_no_more_than_they_do_among_themselves() {
        // Two machine manuals: 3/8 in 1 3/8 and 1 1/4; 5/8 in 4; 3/4 in 5 1/2; 1 in 7 5/8.
        for (width, radius) in [(0.375, 1.375), (0.375, 1.25), (0.625, 4.0), (0.75, 5.5), (1.0, 7.625)] {
            let found = least_radius(Length::inches(width)).to_inches();
            assert!((found / radius - 1.0).abs() < 0.2, "{width}: {found} against {radius}");
        }
    }

    #[test]
    fn no_blade_is_strained_past_what_the_trade_allows() {
        // A string pushed in its middle (textbook): T = F L / (4 y), over 6 in by
        // 1/16 in; blades of 0.025 in. Trade guidance: 15,000 to 30,000 psi, the
        // same for every width.
        for blade in ShopKit::starting().bandsaw.blades {
            let tension = push(&blade).to_newtons() / 4.448_221_615_260_5 * 6.0 * 4.0;
            let stress = tension / (blade.width.to_inches() * 0.025);
            assert!((15_000.0..=30_000.0).contains(&stress), "{:?}: {stress} psi", blade.width);
        }
    }

    #[test]
    fn wider_blades_never_turn_tighter() {
        let mut before = Length::ZERO;
        for step in 0..200 {
            let now = least_radius(Length::mm(f64::from(step) * 0.2));
            assert!(now >= before);
            before = now;
        }
    }
}
