//! What is known of the glues.

use handbook::{Glue, GlueKey};
use stock::ShopKit;

use super::finish::cautions;
use crate::view::RowSheet;
use crate::{Shop, Trouble};

impl Shop {
    /// All that is known of a glue, line by line.
    ///
    /// # Errors
    /// No glue has this key.
    pub fn glue_sheet(&self, key: &str) -> Result<RowSheet, Trouble> {
        let kit = self.kit()?;
        let glue = kit.own.glue(&GlueKey::from(key)).map_err(Trouble::Missing)?;
        Ok(sheet(glue, &kit))
    }

    /// All that is known of each glue, line by line.
    ///
    /// # Errors
    /// The folder cannot be read.
    pub fn glue_sheets(&self) -> Result<Vec<RowSheet>, Trouble> {
        let kit = self.kit()?;
        Ok(kit.own.all_glues().map(|it| sheet(it, &kit)).collect())
    }
}

fn sheet(it: &Glue, kit: &ShopKit) -> RowSheet {
    RowSheet {
        key: it.key.0.clone(),
        name: it.name.clone(),
        own: kit.own.glues.iter().any(|row| row.key == it.key),
        lines: it.sheet(kit.units),
        source: None,
        cautions: cautions(&it.cautions),
    }
}
