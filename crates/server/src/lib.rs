//! The page and its wire.
