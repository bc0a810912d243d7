//! Ids are types: a piece's id is never taken for a pattern's.

/// Defines an id type over `u32`, made by the store.
///
/// The crate that calls it needs `serde` and `ts-rs`.
#[macro_export]
macro_rules! id {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(
            Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord,
            ::serde::Serialize, ::serde::Deserialize, ::ts_rs::TS,
        )]
        #[serde(transparent)]
        #[ts(type = "number")]
        pub struct $name(
            /// The number that the store gave it.
            pub u32,
        );

        impl ::std::fmt::Display for $name {
            fn fmt(&self, out: &mut ::std::fmt::Formatter<'_>) -> ::std::fmt::Result {
                self.0.fmt(out)
            }
        }
    };
}
