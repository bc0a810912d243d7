//! Rooms that boards live in, and what a year does to wood there.

use std::sync::LazyLock;

use measure::{Moisture, Problem, Temperature};
use serde::Deserialize;

use crate::facts::{table, unknown};
use crate::{Confidence, equilibrium_moisture};

/// A room with its air in winter and in summer.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Room {
    /// Its key: `heated_kitchen`.
    pub key: String,
    /// What it is called.
    pub name: String,
    winter: (Temperature, Moisture),
    summer: (Temperature, Moisture),
    source: String,
    confidence: Confidence,
}

#[derive(Deserialize)]
struct Rows {
    room: Vec<Room>,
}

static ROOMS: LazyLock<Rows> = LazyLock::new(|| table("rooms.toml", include_str!("../data/rooms.toml")));

/// Every room of the tables.
pub fn all_rooms() -> &'static [Room] {
    &ROOMS.room
}

/// A room.
///
/// # Errors
/// None has this key; the hint lists the known ones.
pub fn room(key: &str) -> Result<&'static Room, Problem> {
    let found = all_rooms().iter().find(|it| it.key == key);
    found.ok_or_else(|| unknown("room", key, all_rooms().iter().map(|it| it.key.as_str())))
}

impl Room {
    /// The moisture that thin wood comes to in winter and in summer; thick or
    /// coated wood moves less within a season. `None` outside of the equation's
    /// span, where no tabled room lies.
    pub fn seasons(&self) -> Option<(Moisture, Moisture)> {
        let at = |(temperature, humidity)| equilibrium_moisture(temperature, humidity).ok();
        Some((at(self.winter)?, at(self.summer)?))
    }

    /// Where its air comes from.
    pub fn origin(&self) -> String {
        self.confidence.of(&self.source)
    }
}
