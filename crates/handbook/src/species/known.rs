//! Values of a wood to reckon with: its facts, or what is assumed without them.

use measure::{Force, Mass, Moisture, Stress, Volume};

use super::{Species, Texture, Vessels, WoodKind};
use crate::facts::{Known, number};
use crate::moisture::FIBRE_SATURATION;

/// What the trade's tables hold on the average: the means of this program's own
/// hardwoods (0.54) and softwoods (0.42).
const MEAN_HARDWOOD: f64 = 0.54;
const MEAN_SOFTWOOD: f64 = 0.42;

/// How much of the shrinkage of the volume lies along the rings, the mean of
/// the species in the tables; they lie between 0.55 and 0.75.
const ALONG_THE_RINGS: f64 = 0.635;

/// Stiffness along the rings as a share of that along the grain, the mean of
/// the 17 woods in the tables; they lie between 0.03 and 0.09.
const STIFF_ALONG_THE_RINGS: f64 = 0.058;

/// The tabled stiffness in bending holds the beam's shear, too; along the grain
/// wood is stiffer by a tenth (Wood Handbook FPL-GTR-282, table 5-3, footnote c).
const WITHOUT_SHEAR: f64 = 1.1;

impl Species {
    /// Oven-dry mass over volume at 12 % moisture, against water: tabled, from
    /// the density at 12 % (Wood Handbook FPL-GTR-282, eq. 4-14), or from the
    /// green volume (eq. 4-13); else the mean of its kind.
    pub fn gravity(&self) -> Known<f64> {
        if let Some(it) = &self.specific_gravity {
            return Known::fact(it);
        }
        if let Some(it) = &self.density {
            let from = format!("{} kg/m³ at 12 %, {}", number(it.value, 0), it.origin());
            return Known::computed(it.value / 1120.0, &from);
        }
        if let Some(it) = &self.specific_gravity_green {
            let full = self.saturation().value.to_percent();
            let at_12 = it.value / (1.0 - 0.265 * it.value * (1.0 - 12.0 / full));
            return Known::computed(at_12, &format!("{} on the green volume, {}", it.value, it.origin()));
        }
        match self.kind {
            WoodKind::Hardwood => Known::assumed(MEAN_HARDWOOD, "0.54, the mean of tabled hardwoods"),
            WoodKind::Softwood => Known::assumed(MEAN_SOFTWOOD, "0.42, the mean of tabled softwoods"),
        }
    }

    /// Density at 12 % moisture, kilograms in a cubic metre: 1000 G (1 + 12/100)
    /// (Wood Handbook FPL-GTR-282, eq. 4-14).
    pub fn density(&self) -> Known<f64> {
        let Known { value, basis, assumed } = self.gravity();
        Known { value: 1120.0 * value, basis, assumed }
    }

    /// What so much of it weighs at 12 % moisture.
    pub fn mass(&self, volume: Volume) -> Mass {
        Mass::kg(volume.to_litres() / 1000.0 * self.density().value)
    }

    /// Bending strength along the grain at 12 %; else that of wood of its
    /// weight, 171.3 G^1.13 MPa for hardwoods, 170.7 G^1.01 for softwoods (Wood
    /// Handbook, ch. 5, functions of specific gravity, from memory; the tables
    /// of this program lie between −17 and +46 % of it).
    pub fn bending(&self) -> Known<Stress> {
        if let Some(it) = &self.rupture {
            return Known::fact(it);
        }
        self.by_weight((171.3, 1.13), (170.7, 1.01), "MPa", 1.0)
    }

    /// A strength that nobody has tabled: factor and power of the specific
    /// gravity for hardwoods and softwoods, and the unit of the factor.
    fn by_weight(&self, hard: (f64, f64), soft: (f64, f64), unit: &str, mpa: f64) -> Known<Stress> {
        let (factor, power) = match self.kind {
            WoodKind::Hardwood => hard,
            WoodKind::Softwood => soft,
        };
        let gravity = self.gravity();
        Known::assumed(
            Stress::mpa(mpa * factor * gravity.value.powf(power)),
            format!(
                "that of clear wood of specific gravity {}, {factor} G^{power} {unit} (from memory)",
                number(gravity.value, 2)
            ),
        )
    }

    /// Tension that it bears across the grain at 12 %; else that of wood of its
    /// weight, 10.1 G^1.3 MPa for hardwoods, 6.0 G^1.11 for softwoods (Wood
    /// Handbook, ch. 5, functions of specific gravity, from memory; the tables of
    /// this program lie between −38 and +33 % of it).
    pub fn tension(&self) -> Known<Stress> {
        let tabled = self.tension_across.as_ref();
        tabled.map_or_else(|| self.by_weight((10.1, 1.3), (6.0, 1.11), "MPa", 1.0), Known::fact)
    }

    /// How stiff it is along the rings at 12 %: from the tabled stiffness in
    /// bending, or that of its weight, 16.5 G^0.7 GPa for hardwoods, 20.5 G^0.84
    /// for softwoods (as [`Species::tension`]; −44 to +23 %), and the share along the rings.
    pub fn stiffness_along_the_rings(&self) -> Known<Stress> {
        let share = self.ratios.as_ref().map(|it| it.value.et);
        let bending = match &self.elasticity {
            Some(it) => Known::fact(it),
            None => self.by_weight((16.5, 0.7), (20.5, 0.84), "GPa", 1000.0),
        };
        let value = bending.value * WITHOUT_SHEAR * share.unwrap_or(STIFF_ALONG_THE_RINGS);
        let basis = match &self.ratios {
            Some(it) => {
                format!("stiffness in bending: {}; share along the rings: {}", bending.basis, it.origin())
            }
            None => format!(
                "stiffness in bending: {}; share along the rings: the mean of tabled woods",
                bending.basis
            ),
        };
        Known { value, basis, assumed: bending.assumed || share.is_none() }
    }

    /// Hardness of the side grain at 12 %; else that of wood of its weight, 15300
    /// G^2.09 N for hardwoods, 8400 G^1.5 N for softwoods (Wood Handbook, ch. 5,
    /// functions of specific gravity, from memory).
    pub fn hardness(&self) -> Known<Force> {
        if let Some(it) = &self.side_hardness {
            return Known::fact(it);
        }
        let (factor, power) = match self.kind {
            WoodKind::Hardwood => (15_300.0, 2.09),
            WoodKind::Softwood => (8_400.0, 1.5),
        };
        let gravity = self.gravity().value;
        Known::assumed(
            Force::newtons(factor * gravity.powf(power)),
            format!(
                "that of wood of specific gravity {}, {factor} G^{power} N (from memory)",
                number(gravity, 2)
            ),
        )
    }

    /// Moisture above which it neither swells nor shrinks.
    pub fn saturation(&self) -> Known<Moisture> {
        match &self.fibre_saturation {
            Some(it) => Known { value: Moisture::percent(it.value), basis: it.origin(), assumed: false },
            None => {
                Known::computed(FIBRE_SATURATION, "the average of woods, Wood Handbook FPL-GTR-282, p. 4-10")
            }
        }
    }

    /// Shrinkage across the rings, percent green to oven-dry; else by weight:
    /// the volume's 26.5 G (Wood Handbook FPL-GTR-282, eq. 4-12), shared as on
    /// the average of the tabled woods.
    pub fn radial_shrinkage(&self) -> Known<f64> {
        self.shrinkage(self.shrinkage_radial.as_ref(), 1.0 - ALONG_THE_RINGS)
    }

    /// Shrinkage along the rings, as [`Species::radial_shrinkage`].
    pub fn tangential_shrinkage(&self) -> Known<f64> {
        self.shrinkage(self.shrinkage_tangential.as_ref(), ALONG_THE_RINGS)
    }

    fn shrinkage(&self, fact: Option<&crate::Fact<f64>>, share: f64) -> Known<f64> {
        if let Some(it) = fact {
            return Known::fact(it);
        }
        let gravity = self.gravity().value;
        Known::assumed(
            26.5 * gravity * share,
            format!("from its weight: 26.5 · {} · {share:.3} %", number(gravity, 2)),
        )
    }

    /// Movement across the rings per 1 % of moisture between 6 and 14 %: tabled,
    /// or from the shrinkage: C = S/F / (100 − S (F − 10)/F), which is
    /// S / (3000 − 20 S) at F = 30 % (relation of Wood Handbook FPL-GTR-190, table 13-5).
    pub fn radial_coefficient(&self) -> Known<f64> {
        self.coefficient(self.coefficient_radial.as_ref(), self.radial_shrinkage())
    }

    /// Movement along the rings, as [`Species::radial_coefficient`].
    pub fn tangential_coefficient(&self) -> Known<f64> {
        self.coefficient(self.coefficient_tangential.as_ref(), self.tangential_shrinkage())
    }

    fn coefficient(&self, fact: Option<&crate::Fact<f64>>, shrinkage: Known<f64>) -> Known<f64> {
        if let Some(it) = fact {
            return Known::fact(it);
        }
        let (s, full) = (shrinkage.value, self.saturation().value.to_percent());
        let value = s / full / (100.0 - s * (full - 10.0) / full);
        if shrinkage.assumed {
            return Known { value, ..shrinkage };
        }
        Known::computed(value, &format!("shrinkage of {} %, {}", number(s, 1), shrinkage.basis))
    }

    /// Whether its pores are too small to hold food. A coarse wood whose
    /// vessels are blocked holds water back, but not crumbs.
    pub fn closed_pored(&self) -> bool {
        match (self.kind, &self.texture) {
            (WoodKind::Softwood, _) => true,
            (WoodKind::Hardwood, Some(it)) => it.value == Texture::Fine,
            (WoodKind::Hardwood, None) => false,
        }
    }

    /// Whether water runs through its heartwood from end to end: open vessels.
    pub fn lets_water_through(&self) -> bool {
        let open = |it: &crate::Fact<Vessels>| matches!(it.value, Vessels::None | Vessels::Few);
        !self.closed_pored() && self.vessels.as_ref().is_some_and(open)
    }

    /// What is told of its dust or touch, if that is more than slight.
    pub fn irritant(&self) -> Option<&crate::Fact<String>> {
        let harmless = |it: &str| it.starts_with("slight") || it.starts_with("none");
        self.dust.as_ref().filter(|it| !harmless(&it.value))
    }

    /// Why it suits food or does not, in words.
    pub fn food_note(&self) -> &str {
        let note = self.food.as_ref().and_then(|it| it.note.as_deref());
        note.unwrap_or("nothing is known of how it suits food")
    }

    /// What a reckoning has had to assume because nothing is known.
    pub fn assumptions(&self) -> Vec<(&'static str, String)> {
        let mut lines = Vec::new();
        let mut look = |name, assumed: bool, basis: String| {
            if assumed {
                lines.push((name, basis));
            }
        };
        let it = self.gravity();
        look("weight", it.assumed, it.basis);
        let it = self.bending();
        look("bending strength", it.assumed, it.basis);
        let it = self.radial_coefficient();
        look("movement across the rings", it.assumed, it.basis);
        let it = self.tangential_coefficient();
        look("movement along the rings", it.assumed, it.basis);
        lines
    }
}
