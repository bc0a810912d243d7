//! A length in the shop.

use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::Problem;
use crate::quantity::quantity;

quantity!(
    /// A length in the shop, held in millimetres.
    Length, mm, to_mm
);

impl Length {
    /// Takes inches (25.4 mm each, exact).
    pub const fn inches(inches: f64) -> Length {
        Length::mm(inches * 25.4)
    }

    /// The number of inches.
    pub const fn to_inches(self) -> f64 {
        self.to_mm() / 25.4
    }
}
