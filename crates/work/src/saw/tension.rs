//! How far a tensioned blade gives when it is pushed from the side.

use measure::{Figure, Force, Length, Units};
use stock::{Bandsaw, Blade};

/// Steel, N/mm² (textbook value).
const STIFFNESS: f64 = 207_000.0;

const PSI: f64 = 0.006_894_757;

/// Stress in a plain steel band on a small saw, N/mm²: 15,000 to 20,000 psi,
/// the same for every width (magazine article, 2012). Harder bands take more;
/// their makers say how much.
const LOW: f64 = 15_000.0 * PSI;
const HIGH: f64 = 20_000.0 * PSI;

/// The push of the trade's test, for a blade of 3/4 in, and how far the blade
/// may give (common practice, no source).
const WIDE_PUSH: Force = Force::pounds(20.0);
const WIDE: Length = Length::inches(0.75);
const COMMON_GIVE: Length = Length::inches(1.0 / 16.0);

/// With the guide raised so far (or as far as it goes): the same push moves a
/// longer span more, so that the test says nothing without it.
const SPAN: Length = Length::inches(6.0);

/// The tension test of a blade on a saw.
pub(super) struct Test {
    /// From the side, midway between guide and table.
    pub(super) push: Force,
    /// From guide to table.
    pub(super) span: Length,
    /// How far it gives at the higher stress.
    pub(super) least: Length,
    /// At the lower one.
    pub(super) most: Length,
    band: Length,
    width: Length,
}

impl Test {
    /// None for a blade without a band that could be tensioned.
    pub(super) fn new(saw: &Bandsaw, blade: &Blade) -> Option<Test> {
        let (width, band) = (blade.width, saw.band(blade));
        let span = SPAN.min(saw.height);
        if !(width > Length::ZERO && band > Length::ZERO && span > Length::ZERO) {
            return None;
        }
        let push = WIDE_PUSH * (width / WIDE).clamp(0.0, 1.0);
        let at = |stress: f64| give(push, span, width, band, stress);
        Some(Test { push, span, least: at(HIGH)?, most: at(LOW)?, band, width })
    }

    /// The same as a figure that can be opened, with what the trade's custom
    /// would mean on this span.
    pub(super) fn figure(&self, units: Units) -> Figure {
        let stress = |it: f64| match units.system {
            measure::System::Inches => format!("{:.0} psi", it / PSI),
            measure::System::Millimetres => format!("{it:.0} N/mm²"),
        };
        let custom = stress_at(self.push, self.span, self.width, self.band, COMMON_GIVE);
        let range = format!("{} to {}", units.fine_length(self.least), units.fine_length(self.most));
        Figure::new("give of the blade", range)
            .by(
                "F L / (4 T) · (1 - tanh u / u), u = L / 2 · √(T / (E I)), T = stress · width · band",
                "beam with tension, pushed in its middle (statics); stress of plain steel bands: magazine article 2012",
            )
            .from("push", units.force(self.push))
            .from("span", units.length(self.span))
            .from("stress", format!("{} to {}", stress(LOW), stress(HIGH)))
            .from("width", units.length(self.width))
            .from("band", units.fine_length(self.band))
            .from(
                "stress at the trade's 1/16 in",
                custom.map_or_else(|| "none".to_owned(), stress),
            )
    }
}

/// How far a band gives in the middle of its span, both ends free to turn.
fn give(push: Force, span: Length, width: Length, band: Length, stress: f64) -> Option<Length> {
    let (wide, thick, long) = (width.to_mm(), band.to_mm(), span.to_mm());
    let tension = stress * wide * thick;
    let bending = STIFFNESS * wide * thick.powi(3) / 12.0;
    let u = long / 2.0 * (tension / bending).sqrt();
    let give = push.to_newtons() * long / (4.0 * tension) * (1.0 - u.tanh() / u);
    Length::try_from(give).ok()
}

/// The stress at which it gives so far, N/mm², by halving: it gives less the
/// higher the stress.
fn stress_at(push: Force, span: Length, width: Length, band: Length, wanted: Length) -> Option<f64> {
    let (mut low, mut high) = (0.01, 2000.0);
    for _ in 0..60 {
        let middle = f64::midpoint(low, high);
        if give(push, span, width, band, middle)? > wanted { low = middle } else { high = middle }
    }
    Some(f64::midpoint(low, high))
}

#[cfg(test)]
mod tests {
    use stock::ShopKit;

    use super::*;

    fn inches(it: f64) -> Length {
        Length::inches(it)
    }

    #[test]
    fn a_slack_band_bends_as_a_beam_and_a_tight_one_gives_as_a_string() {
        // Statics: F L³ / (48 E I) for a beam on two supports; F L / (4 T) for a string.
        let (width, band, span, push) = (inches(0.75), inches(0.025), inches(6.0), Force::pounds(20.0));
        let bending = STIFFNESS * width.to_mm() * band.to_mm().powi(3) / 12.0;
        let beam = push.to_newtons() * span.to_mm().powi(3) / (48.0 * bending);
        let slack = give(push, span, width, band, 1e-4).unwrap().to_mm();
        assert!((slack / beam - 1.0).abs() < 0.01, "{slack} {beam}");
        let stress = 1e5;
        let string = push.to_newtons() * span.to_mm() / (4.0 * stress * width.to_mm() * band.to_mm());
        let tight = give(push, span, width, band, stress).unwrap().to_mm();
        assert!((tight / string - 1.0).abs() < 0.02, "{tight} {string}");
    }

    #[test]
    fn the_trades_test_means_another_stress_on_every_span() {
        // Worked beforehand for 3/4 by 0.025 in, 20 lbf, 1/16 in, both ends free
        // to turn: 14.2, 23.4, 32.3 and 49.7 ksi on 4, 6, 8 and 12 in.
        for (span, ksi) in [(4.0, 14.2), (6.0, 23.4), (8.0, 32.3), (12.0, 49.7)] {
            let found =
                stress_at(WIDE_PUSH, inches(span), WIDE, inches(0.025), COMMON_GIVE).unwrap() / PSI / 1000.0;
            assert!((found - ksi).abs() < 0.15, "{span}: {found} for {ksi}");
        }
    }

    #[test]
    fn every_starting_blade_has_a_test_that_a_hand_can_make() {
        let saw = ShopKit::starting().bandsaw;
        for blade in &saw.blades {
            let test = Test::new(&saw, blade).unwrap();
            assert!(test.least < test.most, "{:?}", blade.width);
            assert!(
                test.least > inches(1.0 / 64.0) && test.most < inches(0.25),
                "{:?} {:?}",
                test.least,
                test.most
            );
        }
        let mut bare = saw.blades[0].clone();
        bare.width = Length::ZERO;
        assert!(Test::new(&saw, &bare).is_none());
    }
}
