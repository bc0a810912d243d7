//! What is known of woods, finishes and glues.

use clap::Subcommand;
use shop::{FactLine, Shop, Trouble};

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
    /// List the finishes
    Finishes,
    /// List the glues
    Glues,
}

impl Facts {
    pub(crate) fn run(self, shop: &Shop) -> Result<(), Trouble> {
        match self {
            Facts::Woods => lines(&shop.facts()?.species),
            Facts::Wood { key } => told::wood(&shop.wood_sheet(&key)?),
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
