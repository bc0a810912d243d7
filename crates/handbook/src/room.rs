//! Rooms that boards live in, and what a year does to wood there.

use std::sync::LazyLock;

use measure::{Moisture, Temperature};
use serde::Deserialize;

use crate::facts::table;
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
