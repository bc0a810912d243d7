//! The colours of the woods, in linear red, green and blue. Looks only, set by
//! eye: no property of a species is meant.

use crate::slab::Look;
use crate::wood::Colour;

/// The colours of one wood, and how its year is drawn.
pub(crate) struct Palette {
    pub(crate) early: Colour,
    pub(crate) late: Colour,
    pub(crate) sap_early: Colour,
    pub(crate) sap_late: Colour,
    pub(crate) knot: Colour,
    pub(crate) bark: Colour,
    /// How dark the pores are, and how many.
    pub(crate) pores: f64,
    /// The share of the pores that is left outside the early wood.
    pub(crate) scattered: f64,
    /// How strongly the streaks along the fibres show.
    pub(crate) streaks: f64,
    /// How dark the short flecks along the fibres are.
    pub(crate) flecks: f64,
    /// When in the year late wood begins, and when it is full.
    pub(crate) late_rise: [f64; 2],
}

const PLAIN_RISE: [f64; 2] = [0.25, 0.9];

pub(crate) fn palette(look: Look) -> Palette {
    match look {
        Look::Walnut => WALNUT,
        Look::Maple => MAPLE,
        Look::Cherry => CHERRY,
        Look::Oak => OAK,
        Look::Pine => PINE,
        Look::Ash => ASH,
        Look::Beech => BEECH,
        Look::Wenge => WENGE,
    }
}

const WALNUT: Palette = Palette {
    early: [0.178, 0.098, 0.054],
    late: [0.088, 0.043, 0.024],
    sap_early: [0.56, 0.42, 0.27],
    sap_late: [0.41, 0.28, 0.165],
    knot: [0.066, 0.030, 0.015],
    bark: [0.085, 0.062, 0.045],
    pores: 0.75,
    scattered: 0.25,
    streaks: 0.12,
    flecks: 0.0,
    late_rise: PLAIN_RISE,
};

const MAPLE: Palette = Palette {
    early: [0.74, 0.58, 0.38],
    late: [0.56, 0.385, 0.215],
    sap_early: [0.80, 0.67, 0.48],
    sap_late: [0.66, 0.50, 0.31],
    knot: [0.27, 0.14, 0.065],
    bark: [0.16, 0.12, 0.09],
    pores: 0.12,
    scattered: 0.25,
    streaks: 0.035,
    flecks: 0.0,
    late_rise: PLAIN_RISE,
};

const CHERRY: Palette = Palette {
    early: [0.46, 0.215, 0.105],
    late: [0.365, 0.15, 0.064],
    sap_early: [0.66, 0.46, 0.29],
    sap_late: [0.53, 0.33, 0.18],
    knot: [0.11, 0.042, 0.018],
    bark: [0.11, 0.07, 0.05],
    pores: 0.28,
    scattered: 0.25,
    streaks: 0.06,
    flecks: 0.0,
    late_rise: PLAIN_RISE,
};

const OAK: Palette = Palette {
    early: [0.53, 0.36, 0.185],
    late: [0.36, 0.215, 0.095],
    sap_early: [0.62, 0.46, 0.28],
    sap_late: [0.48, 0.33, 0.18],
    knot: [0.19, 0.09, 0.04],
    bark: [0.12, 0.095, 0.075],
    pores: 0.6,
    scattered: 0.12,
    streaks: 0.06,
    flecks: 0.0,
    late_rise: PLAIN_RISE,
};

const PINE: Palette = Palette {
    early: [0.74, 0.555, 0.30],
    late: [0.47, 0.235, 0.085],
    sap_early: [0.80, 0.66, 0.42],
    sap_late: [0.58, 0.36, 0.16],
    knot: [0.26, 0.105, 0.04],
    bark: [0.15, 0.085, 0.055],
    pores: 0.0,
    scattered: 0.25,
    streaks: 0.035,
    flecks: 0.0,
    late_rise: [0.5, 0.93],
};

const ASH: Palette = Palette {
    early: [0.66, 0.51, 0.33],
    late: [0.57, 0.42, 0.25],
    sap_early: [0.74, 0.62, 0.44],
    sap_late: [0.66, 0.52, 0.34],
    knot: [0.23, 0.12, 0.06],
    bark: [0.17, 0.15, 0.12],
    pores: 0.62,
    scattered: 0.03,
    streaks: 0.05,
    flecks: 0.0,
    late_rise: [0.1, 0.5],
};

const BEECH: Palette = Palette {
    early: [0.60, 0.405, 0.25],
    late: [0.52, 0.33, 0.19],
    sap_early: [0.64, 0.455, 0.295],
    sap_late: [0.57, 0.38, 0.23],
    knot: [0.22, 0.105, 0.055],
    bark: [0.20, 0.19, 0.17],
    pores: 0.08,
    scattered: 0.5,
    streaks: 0.03,
    flecks: 0.34,
    late_rise: PLAIN_RISE,
};

const WENGE: Palette = Palette {
    early: [0.098, 0.056, 0.032],
    late: [0.036, 0.021, 0.014],
    sap_early: [0.50, 0.39, 0.25],
    sap_late: [0.40, 0.29, 0.17],
    knot: [0.034, 0.018, 0.011],
    bark: [0.10, 0.08, 0.06],
    pores: 0.5,
    scattered: 0.4,
    streaks: 0.10,
    flecks: 0.0,
    late_rise: [0.08, 0.45],
};
