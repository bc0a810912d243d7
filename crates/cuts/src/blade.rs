//! How tight a circle a blade turns.

use measure::Length;
use stock::{Bandsaw, Blade};

use crate::BladeSize;

/// Width of a blade and the least radius that it saws, inches. The trade's
/// chart (common practice, no source): four printed copies agree within 20 %.
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

/// A rigid band turns so much tighter than a hand can lead it: the chart against
/// the chord of a blade with a common set (derived; for blades of 1/4 to 3/4 in).
const LEADING: f64 = 1.6;

/// However wide its kerf, no blade is taken to turn tighter than this share of
/// the chart's radius.
const LEAST_SHARE: f64 = 0.5;

/// Where a blade's least radius is from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RadiusSource {
    /// The trade's chart, by the blade's width.
    Chart,
    /// The chord that the band makes in its own kerf.
    Chord,
    /// Half the chart's radius: the chord would have been tighter still.
    HalfChart,
}

/// The least radius that a blade turns, of the middle of its kerf, and where it
/// is from.
///
/// With a measured band: 1.6 w² / (8 c) - t / 2, with w the blade's width, t its
/// band and c the kerf less the band (derived: the band as a chord, its back
/// corner and its teeth at the outer wall of the kerf, its middle at the inner
/// one). Else the chart's row, or a power law between two rows; past its ends
/// it goes with the square of the width.
pub fn least_radius(blade: &Blade) -> (Length, RadiusSource) {
    let chart = by_chart(blade.width);
    let Some(band) = blade.thickness else { return (chart, RadiusSource::Chart) };
    let (width, clear) = (blade.width.to_mm(), (blade.kerf - band).to_mm());
    let chord = LEADING * width * width / (8.0 * clear) - band.to_mm() / 2.0;
    match Length::try_from(chord) {
        Ok(chord) if clear > 0.0 && chord >= chart * LEAST_SHARE => (chord, RadiusSource::Chord),
        Ok(_) if clear > 0.0 => (chart * LEAST_SHARE, RadiusSource::HalfChart),
        Ok(_) | Err(_) => (chart, RadiusSource::Chart),
    }
}

/// The chart's least radius for a width.
fn by_chart(width: Length) -> Length {
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

impl BladeSize {
    /// A blade as it runs on a saw.
    pub fn new(blade: &Blade, saw: &Bandsaw) -> BladeSize {
        BladeSize {
            id: blade.id,
            width: blade.width,
            band: saw.band(blade),
            kerf: blade.kerf,
            least_radius: least_radius(blade).0,
            teeth_suit: true,
        }
    }
}

#[cfg(test)]
mod tests {
    use stock::{BladeId, ShopKit};

    use super::*;

    fn blade(width: f64, kerf: f64, thickness: Option<f64>) -> Blade {
        Blade {
            id: BladeId(1),
            width: Length::inches(width),
            kerf: Length::inches(kerf),
            thickness: thickness.map(Length::inches),
            loop_length: None,
            teeth_per_inch: 6.0,
        }
    }

    #[test]
    fn the_chart_is_met_and_geometry_agrees_with_it() {
        // The chord model with 0.0125 in of side clearance, R = w² / (8 c), meets
        // the trade's chart within 5 % from 1/4 to 3/4 in; it is too careful at
        // 1 in, where blades have more set.
        for (width, radius) in CHART {
            let (found, source) = least_radius(&blade(width, 0.045, None));
            assert_eq!(source, RadiusSource::Chart);
            assert!((found.to_inches() - radius).abs() < 1e-9, "{width}: {found:?}");
            let chord = width * width / (8.0 * 0.0125);
            let off = chord / radius - 1.0;
            let limit = if (0.25..=0.75).contains(&width) { 0.05 } else { 0.40 };
            assert!(off.abs() < limit, "{width}: {off}");
        }
    }

    #[test]
    fn a_measured_kerf_decides_and_stays_near_the_chart() {
        // By hand: 1.6 · 0.5² / (8 · 0.020) - 0.0125 = 2.4875 in, the chart's 2 1/2.
        let (found, source) = least_radius(&blade(0.5, 0.045, Some(0.025)));
        assert_eq!(source, RadiusSource::Chord);
        assert!((found.to_inches() - 2.4875).abs() < 1e-6);
        let (wide, source) = least_radius(&blade(0.5, 0.065, Some(0.025)));
        assert_eq!(source, RadiusSource::HalfChart);
        assert!((wide.to_inches() - 1.25).abs() < 1e-9);
        let tight = least_radius(&blade(0.5, 0.035, Some(0.025)));
        assert!(tight.0 > Length::inches(4.9) && tight.1 == RadiusSource::Chord);
    }

    #[test]
    fn a_kerf_below_the_band_falls_back_on_the_chart() {
        for thickness in [0.05, 0.045] {
            let (found, source) = least_radius(&blade(0.5, 0.045, Some(thickness)));
            assert_eq!(source, RadiusSource::Chart);
            assert!((found.to_inches() - 2.5).abs() < 1e-9);
        }
    }

    #[test]
    fn other_printed_charts_differ_by_no_more_than_they_do_among_themselves() {
        // Two machine manuals: 3/8 in 1 3/8 and 1 1/4; 5/8 in 4; 3/4 in 5 1/2; 1 in 7 5/8.
        for (width, radius) in [(0.375, 1.375), (0.375, 1.25), (0.625, 4.0), (0.75, 5.5), (1.0, 7.625)] {
            let found = by_chart(Length::inches(width)).to_inches();
            assert!((found / radius - 1.0).abs() < 0.2, "{width}: {found} against {radius}");
        }
    }

    #[test]
    fn wider_blades_never_turn_tighter() {
        let mut before = Length::ZERO;
        for step in 0..200 {
            let now = by_chart(Length::mm(f64::from(step) * 0.2));
            assert!(now >= before);
            before = now;
        }
    }

    #[test]
    fn the_starting_blades_are_sound() {
        let saw = ShopKit::starting().bandsaw;
        assert!(saw.blades.iter().all(|it| BladeSize::new(it, &saw).is_sound()));
    }
}
