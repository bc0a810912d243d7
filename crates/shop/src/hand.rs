//! Parts laid by hand: what they are laid by, and whether they may lie so.

use layout::{HandRules, Verdict};
use stock::{JobId, Layout, Pin};

use crate::{Shop, Trouble};

impl Shop {
    /// The figures that a job's parts are laid by.
    ///
    /// # Errors
    /// There is no such job.
    pub fn hand_rules(&self, job: JobId) -> Result<HandRules, Trouble> {
        Ok(layout::hand_rules(&self.brief(job)?))
    }

    /// What is wrong with a part where a hand holds it, beside what else the
    /// job's plan and pins put on that face; nothing is kept.
    ///
    /// # Errors
    /// There is no such job, or no such part in it.
    pub fn verdict(&self, job: JobId, held: &Pin) -> Result<Verdict, Trouble> {
        let brief = self.brief(job)?;
        brief.want(held.part.want)?;
        let planned = match self.plan_of(&brief) {
            Ok(view) => view.plan.layout,
            Err(Trouble::Missing(_)) => Layout::default(),
            Err(trouble) => return Err(trouble),
        };
        Ok(layout::verdict(&brief, &planned, held))
    }
}
