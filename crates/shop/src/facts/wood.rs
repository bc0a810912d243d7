//! What is known of a wood, and what a year does to a board of it.

use handbook::{
    Cut, Room, Species, SpeciesKey, all_rooms, equilibrium_moisture, movement, movement_at, percent,
};
use measure::{Length, Moisture, Problem};

use crate::limits;
use crate::view::{BoardAsk, BoardYear, SeasonLine, WoodSheet, YearLine};
use crate::{Shop, Trouble};

/// No board is wider: boards and table tops alike.
const WIDEST: Length = Length::mm(3000.0);

impl Shop {
    /// All that is known of a wood, line by line.
    ///
    /// # Errors
    /// No wood has this key.
    pub fn wood_sheet(&self, key: &str) -> Result<WoodSheet, Trouble> {
        let kit = self.kit()?;
        let known = kit.own.wood(&SpeciesKey::from(key)).map_err(Trouble::Missing)?;
        Ok(sheet(known, kit.own.species.iter().any(|row| row.key == known.key), kit.units))
    }

    /// How wide a board that was made in the shop's air is in a room in winter and in summer.
    ///
    /// # Errors
    /// No wood or room has such a key, or the width, the angle or the shop's
    /// air is out of its range.
    pub fn board_year(&self, key: &str, ask: &BoardAsk) -> Result<BoardYear, Trouble> {
        limits::between("the width", ask.width, WIDEST)?;
        limits::number("the angle of the rings in degrees", ask.rings.to_degrees(), 0.0, 90.0)?;
        let kit = self.kit()?;
        let wood = kit.own.wood(&SpeciesKey::from(key)).map_err(Trouble::Missing)?;
        let room = handbook::room(&ask.room)?;
        let made = equilibrium_moisture(kit.air.temperature, kit.air.humidity)?;
        let outside = || Problem::new(format!("{} has air that the equation does not hold for", room.name));
        let (winter, summer) = room.seasons().ok_or_else(outside)?;
        let season = |moisture: Moisture| {
            let moves = movement_at(wood, ask.rings, ask.width, made, moisture);
            SeasonLine { moisture, width: ask.width + moves.change, change: moves.figure(kit.units) }
        };
        let (winter, summer) = (season(winter), season(summer));
        Ok(BoardYear {
            asked: ask.clone(),
            room: room.name.clone(),
            source: room.origin(),
            made,
            swing: summer.width - winter.width,
            winter,
            summer,
        })
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
