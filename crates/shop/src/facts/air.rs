//! Air, meters and towns: what wood comes to, and what a reading of it means.

use handbook::{all_cities, cities_source, equilibrium_figure, meter_corrected, percent};
use measure::Figure;

use crate::limits::number;
use crate::view::{CityYears, MeterAsk, TownLine};
use crate::{Shop, Trouble};

impl Shop {
    /// The moisture that wood comes to in some air.
    ///
    /// # Errors
    /// The air is outside of what the equation holds for.
    pub fn air(&self, air: stock::Climate) -> Result<Figure, Trouble> {
        Ok(equilibrium_figure(air.temperature, air.humidity, self.kit()?.units)?)
    }

    /// The moisture that a meter's reading means.
    ///
    /// # Errors
    /// The reading is no moisture of wood, or a temperature none of a shop.
    pub fn meter(&self, ask: &MeterAsk) -> Result<Figure, Trouble> {
        number("the reading in percent", ask.reading.to_percent(), 0.0, 300.0)?;
        number("the wood's temperature in °C", ask.wood.to_celsius(), -30.0, 60.0)?;
        number("the meter's temperature in °C", ask.set_for.to_celsius(), -30.0, 60.0)?;
        number("the correction for the species in percent", ask.species.to_percent(), -20.0, 20.0)?;
        let units = self.kit()?.units;
        let moisture = meter_corrected(ask.reading + ask.species, ask.wood, ask.set_for);
        Ok(Figure::new("moisture of the wood", percent(moisture))
            .by(
                "reading + correction for the species + 0.5 · (set for − wood's temperature) / 5.6 °C",
                "Wood Handbook FPL-GTR-190 (2010), p. 13-3",
            )
            .from("reading", percent(ask.reading))
            .from("correction for the species", percent(ask.species))
            .from("the wood's temperature", units.temperature(ask.wood))
            .from("the meter is set for", units.temperature(ask.set_for)))
    }

    /// What wood comes to out of doors, town by town.
    pub fn cities(&self) -> CityYears {
        let line = |it: &handbook::City| TownLine { name: it.name.clone(), months: it.months.to_vec() };
        CityYears { source: cities_source(), towns: all_cities().iter().map(line).collect() }
    }
}
