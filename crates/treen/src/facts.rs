//! What is known of woods, grits, finishes and glues.

use clap::Subcommand;
use measure::{Angle, Length, Moisture, Temperature};
use shop::{BoardAsk, FactLine, MeterAsk, Shop, Trouble};
use stock::Climate;

use crate::say::say;
use crate::told;

/// What can be looked up.
#[derive(Subcommand)]
pub(crate) enum Facts {
    /// List the woods
    Woods,
    /// All that is known of one wood, with its sources
    Wood {
        /// Its key: black_walnut
        key: String,
    },
    /// What a year in a room does to a board made in the shop's air
    Year {
        /// The wood's key: black_walnut
        key: String,
        /// How wide the board is made
        width: String,
        /// The rings against its face: 0 lie along it, 90 stand on it
        #[arg(long, default_value = "0")]
        rings: f64,
        /// The room's key: heated_kitchen
        #[arg(long, default_value = "heated_kitchen")]
        room: String,
    },
    /// The moisture that wood comes to in some air
    Air {
        /// Temperature, °C
        #[arg(allow_negative_numbers = true)]
        celsius: f64,
        /// Relative humidity, percent
        humidity: f64,
    },
    /// What a meter's reading on cold or warm wood means
    Meter {
        /// What it shows, percent
        reading: f64,
        /// The wood's temperature, °C
        #[arg(allow_negative_numbers = true)]
        celsius: f64,
        /// The temperature that the meter is set for, °C
        #[arg(long, default_value = "21", allow_negative_numbers = true)]
        set_for: f64,
        /// What the meter's own table adds for the species, percent
        #[arg(long, default_value = "0", allow_negative_numbers = true)]
        species: f64,
    },
    /// The moisture that wood comes to out of doors, for unheated shops
    Cities {
        /// A word of the town's name: one town is told month by month
        name: Option<String>,
    },
    /// List the grits by size, P grades beside plain numbers
    Grits,
    /// List the rules on food contact to look up before selling
    Rules,
    /// List the finishes
    Finishes,
    /// All that is known of one finish, and its days in the shop's air
    Finish {
        /// Its key: wiping_varnish
        key: String,
    },
    /// All that is known of the glues, with its sources
    Glues,
}

impl Facts {
    pub(crate) fn run(self, shop: &Shop) -> Result<(), Trouble> {
        match self {
            Facts::Woods => lines(&shop.facts()?.species),
            Facts::Wood { key } => told::wood(&shop.wood_sheet(&key)?, shop.kit()?.units),
            Facts::Year { key, width, rings, room } => {
                let units = shop.kit()?.units;
                let width = Length::parse(&width, units.system)?;
                let ask = BoardAsk { width, rings: Angle::try_from(rings)?, room };
                told::year(&shop.board_year(&key, &ask)?, width, units);
            }
            Facts::Air { celsius, humidity } => {
                let (temperature, humidity) =
                    (Temperature::try_from(celsius)?, Moisture::try_from(humidity)?);
                told::figure(&shop.air(Climate { temperature, humidity })?);
            }
            Facts::Meter { reading, celsius, set_for, species } => {
                let ask = MeterAsk {
                    reading: Moisture::try_from(reading)?,
                    wood: Temperature::try_from(celsius)?,
                    set_for: Temperature::try_from(set_for)?,
                    species: Moisture::try_from(species)?,
                };
                told::figure(&shop.meter(&ask)?);
            }
            Facts::Rules => Shop::rules().iter().for_each(|it| say!("{it}")),
            Facts::Grits => told::figures(&Shop::grits()),
            Facts::Cities { name } => told::cities(&shop.cities(), &name.unwrap_or_default())?,
            Facts::Finishes => lines(&shop.facts()?.finishes),
            Facts::Finish { key } => told::finish(&shop.finish_sheet(&key)?),
            Facts::Glues => shop.glue_sheets()?.iter().for_each(told::glue),
        }
        Ok(())
    }
}

fn lines(all: &[FactLine]) {
    let widest = all.iter().map(|it| it.key.len()).max().unwrap_or(0);
    for it in all {
        let own = if it.own { " (the shop's own)" } else { "" };
        say!("{:widest$}  {}{own}: {}", it.key, it.name, it.note);
    }
}
