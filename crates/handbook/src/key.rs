//! The names by which facts are looked up.

use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// Defines the key of one table of facts: a short lower-case word.
macro_rules! key {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, TS)]
        #[serde(transparent)]
        #[ts(type = "string")]
        pub struct $name(
            /// The word itself.
            pub String,
        );

        impl From<&str> for $name {
            fn from(word: &str) -> $name {
                $name(word.to_owned())
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                self.0.fmt(out)
            }
        }
    };
}

key!(
    /// A species: `hard_maple`.
    SpeciesKey
);
key!(
    /// A finish: `wiping_varnish`.
    FinishKey
);
key!(
    /// A kind of wood glue: `pva_water_resistant`.
    GlueKey
);
key!(
    /// One layer of a finish: `board_wax`.
    LayerKey
);
key!(
    /// A caution: `oily_rags`.
    CautionKey
);
