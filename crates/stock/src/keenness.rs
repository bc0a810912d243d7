//! How sure a fault must seem before the maker is asked about it.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::ZoneKind;

/// The least sureness with which a fault of each kind is offered.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Keenness(
    /// Kinds that are not in it are offered from [`Keenness::USUAL`] on.
    BTreeMap<ZoneKind, f64>,
);

impl Keenness {
    /// Where nobody has answered yet: as likely a fault as none.
    pub const USUAL: f64 = 0.5;

    /// The least sureness with which a fault of this kind is offered.
    pub fn of(&self, kind: ZoneKind) -> f64 {
        self.0.get(&kind).copied().unwrap_or(Keenness::USUAL)
    }
}

impl FromIterator<(ZoneKind, f64)> for Keenness {
    fn from_iter<I: IntoIterator<Item = (ZoneKind, f64)>>(each: I) -> Keenness {
        Keenness(each.into_iter().collect())
    }
}
