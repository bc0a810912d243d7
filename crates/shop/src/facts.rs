//! The choices that the handbook and the shop's own rows offer.

use handbook::{Cut, Room, Species, SpeciesKey, all_rooms, movement, percent};
use measure::{Figure, Length, Moisture, Temperature};

use crate::view::{FactLine, Facts, WoodSheet, YearLine};
use crate::{Shop, Trouble};

impl Shop {
    /// Species, finishes and glues to choose from, by name.
    ///
    /// # Errors
    /// The folder cannot be read.
    pub fn facts(&self) -> Result<Facts, Trouble> {
        let own = self.kit()?.own;
        let species = own.all_species().map(|it| FactLine {
            key: it.key.0.clone(),
            name: it.name.clone(),
            note: it.food_note().to_owned(),
            own: own.species.iter().any(|row| row.key == it.key),
        });
        let finishes = own.all_finishes().map(|it| FactLine {
            key: it.key.0.clone(),
            name: it.name.clone(),
            note: it.care.clone(),
            own: own.finishes.iter().any(|row| row.key == it.key),
        });
        let glues = own.all_glues().map(|it| FactLine {
            key: it.key.0.clone(),
            name: it.name.clone(),
            note: it.water.clone(),
            own: own.glues.iter().any(|row| row.key == it.key),
        });
        let mut species: Vec<FactLine> = species.collect();
        species.sort_by_key(|it| it.name.to_lowercase());
        Ok(Facts { species, finishes: finishes.collect(), glues: glues.collect() })
    }

    /// The moisture that wood comes to in some air.
    ///
    /// # Errors
    /// The air is outside of what the equation holds for.
    pub fn air(&self, temperature: Temperature, humidity: Moisture) -> Result<Figure, Trouble> {
        Ok(handbook::equilibrium_figure(temperature, humidity, self.kit()?.units)?)
    }

    /// What a meter would have shown on wood of the temperature that it is set for.
    ///
    /// # Errors
    /// The reading is no moisture of wood.
    pub fn meter(
        &self,
        reading: Moisture,
        wood: Temperature,
        set_for: Temperature,
    ) -> Result<Moisture, Trouble> {
        crate::limits::number("the reading in percent", reading.to_percent(), 0.0, 300.0)?;
        crate::limits::number("the wood's temperature in °C", wood.to_celsius(), -30.0, 60.0)?;
        crate::limits::number("the meter's temperature in °C", set_for.to_celsius(), -30.0, 60.0)?;
        Ok(handbook::meter_corrected(reading, wood, set_for))
    }

    /// All that is known of a wood, line by line.
    ///
    /// # Errors
    /// No wood has this key.
    pub fn wood_sheet(&self, key: &str) -> Result<WoodSheet, Trouble> {
        let kit = self.kit()?;
        let known = kit.own.wood(&SpeciesKey::from(key)).map_err(Trouble::Missing)?;
        Ok(sheet(known, kit.own.species.iter().any(|row| row.key == known.key), kit.units))
    }
}

/// The width of the board that the movement over a year is shown for.
const SHOWN_WIDTH: Length = Length::mm(300.0);

fn year(wood: &Species, room: &Room) -> Option<YearLine> {
    let (winter, summer) = room.seasons()?;
    let grows = |cut| movement(wood, cut, SHOWN_WIDTH, winter, summer).change;
    Some(YearLine {
        room: room.name.clone(),
        moisture: format!("{} to {}", percent(winter), percent(summer)),
        width: SHOWN_WIDTH,
        flat: grows(Cut::FlatSawn),
        quarter: grows(Cut::QuarterSawn),
        source: room.origin(),
    })
}

fn sheet(it: &Species, own: bool, units: measure::Units) -> WoodSheet {
    let colour = |fact: Option<&handbook::Fact<String>>| fact.map(|it| it.value.clone());
    WoodSheet {
        key: it.key.clone(),
        name: it.name.clone(),
        kind: it.kind,
        own,
        heartwood: colour(it.heartwood.as_ref()),
        sapwood: colour(it.sapwood.as_ref()),
        lines: it.sheet(units),
        years: all_rooms().iter().filter_map(|room| year(it, room)).collect(),
        assumed: it.assumptions().into_iter().map(|(what, basis)| format!("{what}: {basis}")).collect(),
    }
}
