//! Which wood on the rack suits a pattern.

use layout::Suits;
use measure::{Length, Problem};
use serde::{Deserialize, Serialize};
use stock::{JobId, Pattern, PatternId, Piece, Source, Want, WantId};
use ts_rs::TS;

use crate::keeping::plain_job;
use crate::planning::brief;
use crate::view::NewJob;
use crate::{Shop, Trouble, clock};

/// What wood is looked for.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct SuitAsk {
    /// Finished thickness.
    pub thickness: Length,
}

impl Shop {
    /// The pieces of the rack from which a pattern can be sawn, the least wood
    /// first; nothing is kept.
    ///
    /// # Errors
    /// There is no such pattern, or no such thickness.
    pub fn suits(&self, pattern: PatternId, ask: SuitAsk) -> Result<Suits, Trouble> {
        if !(ask.thickness > Length::ZERO) {
            return Err(Problem::new("the thickness has to be above zero").into());
        }
        let pattern: Pattern = self.pattern(pattern)?;
        let kit = self.kit()?;
        let pieces: Vec<Piece> = self.reading(|store| store.all())?;
        let today = clock::first_day(&kit.people, clock::now());
        let name = pattern.name.clone();
        let mut job = plain_job(JobId(0), NewJob { name, due: today }, &pieces, &kit);
        let id = WantId(1);
        job.wants.push(Want {
            id,
            pattern: pattern.id,
            count: 1,
            thickness: ask.thickness,
            source: Source::Pieces,
            worth: 1,
        });
        Ok(layout::suits(&brief(&job, &pieces, &[pattern], &kit, today), id)?)
    }
}
