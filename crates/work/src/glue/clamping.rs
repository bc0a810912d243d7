//! How many clamps a panel takes.

use handbook::{Glue, Species};
use measure::{Figure, Force, Length, Stress, Units};
use stock::{Clamp, Panel, ShopKit};

/// Pressure fans out of a clamp at 45° to each side, through the caul and the
/// outer strip, so clamps stand at most twice their depth together apart
/// (common practice, no source).
const FAN: f64 = 2.0;

/// Clamps stand no wider apart than this, wide strips or not, and no closer
/// than a hand needs (common practice, no source).
const WIDEST_APART: Length = Length::mm(250.0);
const CLOSEST: Length = Length::mm(75.0);

/// Pads and the screw's travel, both ends together.
const JAWS: Length = Length::mm(40.0);

/// The clamps for one panel.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Clamping {
    /// How many.
    pub(super) count: u32,
    /// From one to the next.
    pub(super) spacing: Length,
    /// How many of the shop's reach over it.
    pub(super) there: u32,
    /// What they have to reach over, pads and all.
    pub(super) reach: Length,
    pressure: Stress,
    force: Force,
    each: Force,
    by_spacing: u32,
    outer: Length,
    caul: Length,
    apart: Length,
}

impl Clamping {
    pub(super) fn of(kit: &ShopKit, panel: &Panel, glue: &Glue, woods: &[&Species]) -> Clamping {
        let clamps = &kit.clamps;
        let caul = kit.caul.unwrap_or_default().max(Length::ZERO);
        let pressure = woods.iter().map(|wood| glue.pressure(wood)).fold(Stress::ZERO, Stress::max);
        let reach = panel.width() + JAWS + caul * 2.0;
        let long: Vec<&Clamp> =
            clamps.iter().filter(|it| it.reach >= reach && it.force > Force::ZERO).collect();
        let there = long.iter().map(|it| it.count).fold(0_u32, u32::saturating_add);
        let weakest = long.iter().map(|it| it.force).reduce(Force::min);
        let any = clamps.iter().map(|it| it.force).filter(|it| *it > Force::ZERO).reduce(Force::min);
        let each = weakest.or(any).unwrap_or(USUAL);
        let force = pressure * (panel.length * panel.thickness);
        let outer = panel.strips().next().map_or(Length::ZERO, |it| it.1);
        let outer = panel.strips().last().map_or(outer, |it| it.1.min(outer));
        let apart = ((outer + caul) * FAN).max(CLOSEST).min(WIDEST_APART);
        let by_spacing = MOST.min((panel.length / apart).ceil()).max(2.0) as u32;
        let by_force = MOST.min((force / each).ceil()) as u32;
        let count = by_force.max(by_spacing);
        let spacing = panel.length / f64::from(count);
        Clamping { count, spacing, there, reach, pressure, force, each, by_spacing, outer, caul, apart }
    }

    /// How the number came about.
    pub(super) fn figure(&self, units: Units) -> Figure {
        Figure::new("clamps", self.count.to_string())
            .by(
                "the larger of pressure · joint area / one clamp's force, and length / spacing",
                "pressure: the glue's own row; spacing at most twice the outer strip and the caul, 75 to 250 mm: common practice, no source",
            )
            .from("pressure", units.stress(self.pressure))
            .from("force on a joint", units.force(self.force))
            .from("one clamp", units.force(self.each))
            .from("outer strip", units.length(self.outer))
            .from("depth of the caul", units.length(self.caul))
            .from("most from one clamp to the next", units.length(self.apart))
            .from("by spacing alone", self.by_spacing.to_string())
    }
}

/// A usual bar clamp, where the shop has written down none.
const USUAL: Force = Force::newtons(4000.0);

/// No bench holds more clamps; keeps absurd panels countable.
const MOST: f64 = 500.0;
