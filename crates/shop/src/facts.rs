//! The choices that the handbook and the shop's own rows offer.

mod air;
mod finish;
mod glue;
mod wood;

use handbook::{Grit, LOOK_UP, Rule, Scale, all_grits, all_rooms, all_rules};
use measure::Figure;

use crate::view::{FactLine, Facts};
use crate::{Shop, Trouble};

impl Shop {
    /// Species, finishes, glues and rooms to choose from.
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
        let rooms = all_rooms().iter().map(|it| FactLine {
            key: it.key.clone(),
            name: it.name.clone(),
            note: it.origin(),
            own: false,
        });
        let mut species: Vec<FactLine> = species.collect();
        species.sort_by_key(|it| it.name.to_lowercase());
        Ok(Facts { species, finishes: finishes.collect(), glues: glues.collect(), rooms: rooms.collect() })
    }

    /// Rules on food contact to look up: what stands over them, then one line each.
    pub fn rules() -> Vec<String> {
        let line = |it: &Rule| format!("{} ({}): {} [{}]", it.text, it.place, it.says, it.origin());
        [LOOK_UP.to_owned()].into_iter().chain(all_rules().iter().map(line)).collect()
    }

    /// Every grit by its size, on both scales.
    pub fn grits() -> Vec<Figure> {
        let micrometres = |it: &Grit, scale| format!("{} µm", it.micrometres(scale));
        let source =
            format!("P grades: {}; plain numbers: {}", Scale::PGrade.source(), Scale::PlainNumber.source());
        let figure = |it: &Grit| {
            let plain = it.nearest_plain();
            Figure::new(format!("P{}", it.grade), micrometres(it, Scale::PGrade))
                .by("mean size of its particles", source.clone())
                .from(format!("plain {}", it.grade), micrometres(it, Scale::PlainNumber))
                .from("nearest plain number", plain.grade.to_string())
        };
        all_grits().iter().map(figure).collect()
    }
}
