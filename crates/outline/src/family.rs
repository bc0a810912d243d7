//! Shapes drawn by parameters.

use measure::Length;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// A family of shapes with its parameters. Length runs along x.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case", tag = "family")]
pub enum Family {
    /// A disc.
    Round {
        /// Across.
        diameter: Length,
    },
    /// A rectangle with rounded corners.
    Rectangle {
        /// Along x.
        length: Length,
        /// Along y.
        width: Length,
        /// The corners' radius; zero is square.
        corner: Length,
    },
    /// A board with a handle at its right end.
    Handled {
        /// The whole length, handle and all.
        length: Length,
        /// The board's width.
        width: Length,
        /// The corners' radius, at both ends of the board.
        corner: Length,
        /// How long the handle is.
        handle_length: Length,
        /// How wide the handle is.
        handle_width: Length,
        /// The radius where the handle meets the board.
        neck: Length,
    },
    /// An ellipse, longer than wide.
    LongOval {
        /// Along x.
        length: Length,
        /// Along y.
        width: Length,
    },
}
