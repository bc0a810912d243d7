//! What is known of woods, grits, finishes and glues.

use clap::Subcommand;
use measure::{Angle, Length, Moisture, Temperature};
use shop::{BoardAsk, FactLine, Shop, Trouble};

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
    },
    /// List the grits by size, P grades beside plain numbers
    Grits,
    /// List the finishes
    Finishes,
    /// List the glues
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
                let figure = shop.air(Temperature::try_from(celsius)?, Moisture::try_from(humidity)?)?;
                say!("{}: {}", figure.name, figure.value);
                say!("  {}", figure.source);
            }
            Facts::Meter { reading, celsius, set_for } => {
                let (wood, set_for) = (Temperature::try_from(celsius)?, Temperature::try_from(set_for)?);
                let moisture = shop.meter(Moisture::try_from(reading)?, wood, set_for)?;
                say!("{:.1} %, corrected for the wood's temperature", moisture.to_percent());
                say!("  half a percent for each 5.6 °C: Wood Handbook FPL-GTR-190 (2010), p. 13-3");
            }
            Facts::Grits => told::figures(&Shop::grits()),
            Facts::Finishes => lines(&shop.facts()?.finishes),
            Facts::Glues => lines(&shop.facts()?.glues),
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
