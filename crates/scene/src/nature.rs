//! What makes a slab less perfect than its ask.

use measure::Length;

/// How a slab differs from a clean one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Nature {
    /// How much higher the upper face's long edges lie than its middle; below
    /// zero the middle is the higher. The mean of the face stays where it was.
    pub cup: Length,
    /// How far knots are from round: the spread of their radius, as a share.
    pub ragged: f64,
    /// How pale the palest knots are: 0 all dark, 1 like the wood round them.
    pub faint: f64,
    /// How many knots of 3 to 7 mm there are beside the others.
    pub pins: usize,
    /// How many stains.
    pub stains: usize,
    /// How many groups of worm holes.
    pub worms: usize,
    /// Whether the far edge of a sawn plank is partly missing.
    pub wane: bool,
}

impl Nature {
    /// A clean slab.
    pub const CLEAN: Nature =
        Nature { cup: Length::ZERO, ragged: 0.09, faint: 0.0, pins: 0, stains: 0, worms: 0, wane: false };
}
