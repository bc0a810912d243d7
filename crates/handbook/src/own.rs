//! A shop's own facts, and looking up with them before the tables.

use measure::Problem;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::facts::unknown;
use crate::finish::{Coats, all_finishes, all_layers};
use crate::glue::all_glues;
use crate::species::all_species;
use crate::{Finish, FinishKey, Glue, GlueKey, Layer, LayerKey, Species, SpeciesKey};

/// A shop's own rows: its woods, its finishes with the times on its cans, its
/// glues. A row with the key of a tabled one stands in its place.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, TS)]
#[serde(default, deny_unknown_fields)]
pub struct OwnRows {
    /// Woods.
    pub species: Vec<Species>,
    /// Layers of finish.
    pub layers: Vec<Layer>,
    /// Finishes.
    pub finishes: Vec<Finish>,
    /// Glues.
    pub glues: Vec<Glue>,
}

impl OwnRows {
    /// A shop without rows of its own.
    pub const NONE: OwnRows =
        OwnRows { species: Vec::new(), layers: Vec::new(), finishes: Vec::new(), glues: Vec::new() };
}

/// A row that is looked up by its key.
trait Row {
    /// What such a row is called in words.
    const WHAT: &'static str;
    fn key(&self) -> &str;
}

macro_rules! row {
    ($name:ident, $what:literal) => {
        impl Row for $name {
            const WHAT: &'static str = $what;
            fn key(&self) -> &str {
                &self.key.0
            }
        }
    };
}

row!(Species, "species");
row!(Layer, "layer of finish");
row!(Finish, "finish");
row!(Glue, "glue");

/// The shop's own rows, then those of the tables that it has not replaced.
fn all<'a, R: Row>(own: &'a [R], tabled: &'static [R]) -> impl Iterator<Item = &'a R> + Clone {
    own.iter().chain(tabled.iter().filter(|row| !own.iter().any(|it| it.key() == row.key())))
}

fn look_up<'a, R: Row>(own: &'a [R], tabled: &'static [R], key: &str) -> Result<&'a R, Problem> {
    let rows = all(own, tabled);
    rows.clone().find(|it| it.key() == key).ok_or_else(|| unknown(R::WHAT, key, rows.map(Row::key)))
}

impl OwnRows {
    /// Every wood that can be chosen.
    pub fn all_species(&self) -> impl Iterator<Item = &Species> + Clone {
        all(&self.species, all_species())
    }

    /// Every finish that can be chosen.
    pub fn all_finishes(&self) -> impl Iterator<Item = &Finish> + Clone {
        all(&self.finishes, all_finishes())
    }

    /// Every layer that a finish may have.
    pub fn all_layers(&self) -> impl Iterator<Item = &Layer> + Clone {
        all(&self.layers, all_layers())
    }

    /// Every glue that can be chosen.
    pub fn all_glues(&self) -> impl Iterator<Item = &Glue> + Clone {
        all(&self.glues, all_glues())
    }

    /// What is known of a species.
    ///
    /// # Errors
    /// None has this key; the hint lists the known ones. So the next three.
    pub fn wood(&self, key: &SpeciesKey) -> Result<&Species, Problem> {
        look_up(&self.species, all_species(), &key.0)
    }

    /// A layer of finish.
    ///
    /// # Errors
    /// None has this key.
    pub fn layer(&self, key: &LayerKey) -> Result<&Layer, Problem> {
        look_up(&self.layers, all_layers(), &key.0)
    }

    /// A finish with its layers.
    ///
    /// # Errors
    /// None has this key, or one of its layers is not known.
    pub fn finish(&self, key: &FinishKey) -> Result<Coats<'_>, Problem> {
        self.coats(look_up(&self.finishes, all_finishes(), &key.0)?)
    }

    /// A glue.
    ///
    /// # Errors
    /// None has this key.
    pub fn glue(&self, key: &GlueKey) -> Result<&Glue, Problem> {
        look_up(&self.glues, all_glues(), &key.0)
    }

    /// Looks the layers of a finish up.
    ///
    /// # Errors
    /// One of its layers is not known.
    pub fn coats<'a>(&'a self, finish: &'a Finish) -> Result<Coats<'a>, Problem> {
        let layers = finish.layers.iter().map(|key| self.layer(key)).collect::<Result<_, _>>()?;
        Ok(Coats { finish, layers })
    }

    /// Every finish whose layers hold on one another.
    pub fn sound_finishes(&self) -> impl Iterator<Item = Coats<'_>> {
        self.all_finishes().filter_map(|it| self.coats(it).ok()).filter(|it| it.faults().is_empty())
    }
}
