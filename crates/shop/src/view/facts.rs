//! What is known, as the command line and the page get it.

use handbook::{FinishKey, SheetLine, SpeciesKey, WoodKind};
use measure::{Angle, Figure, Length, Minutes, Moisture, Temperature};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// The choices that the handbook offers.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Facts {
    /// Species.
    pub species: Vec<FactLine>,
    /// Finishes.
    pub finishes: Vec<FactLine>,
    /// Glues.
    pub glues: Vec<FactLine>,
    /// Rooms that boards live in.
    pub rooms: Vec<FactLine>,
}

/// One choice.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct FactLine {
    /// Its key.
    pub key: String,
    /// Its name.
    pub name: String,
    /// What to know of it, in a line.
    pub note: String,
    /// Whether it is the shop's own.
    pub own: bool,
}

/// How far a board of one wood moves in a room from winter to summer.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct YearLine {
    /// The room.
    pub room: String,
    /// Moisture in winter, and in summer.
    pub moisture: String,
    /// How wide the board is.
    pub width: Length,
    /// Flat-sawn, it grows by this.
    pub flat: Length,
    /// Quarter-sawn, by this.
    pub quarter: Length,
    /// Where the room's air comes from.
    pub source: String,
}

/// All that is known of a wood.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct WoodSheet {
    /// Its key.
    pub key: SpeciesKey,
    /// The trade's name.
    pub name: String,
    /// Of a broad-leaved tree or of a conifer.
    pub kind: WoodKind,
    /// Whether it is the shop's own.
    pub own: bool,
    /// The heartwood's colour, as a hash and six digits.
    pub heartwood: Option<String>,
    /// The sapwood's colour.
    pub sapwood: Option<String>,
    /// Each fact, and what nobody knows.
    pub lines: Vec<SheetLine>,
    /// What a reckoning assumes because nothing is known.
    pub assumed: Vec<String>,
    /// How far a board moves over the year, room by room.
    pub years: Vec<YearLine>,
}

/// A board whose year is asked for.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct BoardAsk {
    /// How wide it is made.
    pub width: Length,
    /// The rings against its face: 0° lie along it, 90° stand on it.
    pub rings: Angle,
    /// The key of the room that it will live in.
    pub room: String,
}

/// What a year in a room does to a board that was made in the shop's air.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct BoardYear {
    /// What was asked.
    pub asked: BoardAsk,
    /// The room.
    pub room: String,
    /// Where the room's air comes from.
    pub source: String,
    /// What the wood holds in the shop's air.
    pub made: Moisture,
    /// When the room is driest.
    pub winter: SeasonLine,
    /// When it is dampest.
    pub summer: SeasonLine,
    /// How much wider the board is in summer than in winter.
    pub swing: Length,
}

/// A board in one season.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct SeasonLine {
    /// What the wood holds.
    pub moisture: Moisture,
    /// How wide the board is.
    pub width: Length,
    /// How much wider than it was made, and how that comes about.
    pub change: Figure,
}

/// A meter's reading to be corrected.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct MeterAsk {
    /// What it shows.
    pub reading: Moisture,
    /// How warm the wood is.
    pub wood: Temperature,
    /// How warm the wood has to be for the meter to be right.
    pub set_for: Temperature,
    /// What the meter's own table adds for the species, or takes away.
    pub species: Moisture,
}

/// What wood comes to out of doors.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct CityYears {
    /// Where that comes from.
    pub source: String,
    /// Town by town.
    pub towns: Vec<TownLine>,
}

/// A town's year.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct TownLine {
    /// The town and its state.
    pub name: String,
    /// The moisture of wood under cover, from January to December.
    pub months: Vec<Moisture>,
}

/// A row of the tables or of the shop's own, line by line.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct RowSheet {
    /// Its key.
    pub key: String,
    /// The trade's name.
    pub name: String,
    /// Whether it is the shop's own.
    pub own: bool,
    /// What is known.
    pub lines: Vec<SheetLine>,
    /// Where the lines come from that do not say so themselves, and how sure we are of it.
    pub source: Option<String>,
    /// What to take care of.
    pub cautions: Vec<String>,
}

/// All that is known of a finish.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct FinishSheet {
    /// Its key.
    pub key: FinishKey,
    /// The trade's name.
    pub name: String,
    /// Whether it is the shop's own.
    pub own: bool,
    /// How the owner keeps it.
    pub care: String,
    /// From the wood up.
    pub layers: Vec<RowSheet>,
    /// When each coat can go on.
    pub times: FinishTimes,
    /// The temperature of the shop's air that the times are for.
    pub air: String,
    /// Layers that will not hold on one another, and why.
    pub faults: Vec<String>,
}

/// A finish over the days, counted from its first coat.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct FinishTimes {
    /// Coat by coat.
    pub coats: Vec<CoatTime>,
    /// From then on it may be handled with care.
    pub handle: Minutes,
    /// From then on food may touch it.
    pub food: Minutes,
    /// How many times as long a cold shop makes the waits, if it does.
    pub slowed: Option<f64>,
}

/// One coat.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct CoatTime {
    /// What is put on.
    pub layer: String,
    /// Which of its coats.
    pub coat: u32,
    /// How many coats it gets.
    pub of: u32,
    /// When it can go on at the soonest.
    pub at: Minutes,
    /// When the next one can, or, after the last of all, food.
    pub ready: Minutes,
}
