//! The choices that the handbook offers, each in a line.

use handbook::{all_finishes, all_glues, all_species};

use crate::view::{FactLine, Facts};

/// Species, finishes and glues to choose from.
pub fn facts() -> Facts {
    let species = all_species().iter().map(|it| FactLine {
        key: it.key.0.clone(),
        name: it.name.clone(),
        note: it.food_note().to_owned(),
    });
    let finishes = all_finishes().iter().map(|it| FactLine {
        key: it.key.0.clone(),
        name: it.name.clone(),
        note: it.care.clone(),
    });
    let glues = all_glues().iter().map(|it| FactLine {
        key: it.key.0.clone(),
        name: it.name.clone(),
        note: it.water.clone(),
    });
    Facts { species: species.collect(), finishes: finishes.collect(), glues: glues.collect() }
}
