//! The direction of the fibres over a face.

use measure::{Angle, Length};
use outline::Point;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// The local direction of the fibres, with how sure we are of it.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, TS)]
pub struct GrainField {
    /// The direction where no sample is near; 0° runs along x.
    pub overall: Angle,
    /// Directions seen or drawn at single places.
    pub samples: Vec<GrainSample>,
}

/// The direction of the fibres at one place.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct GrainSample {
    /// Where.
    pub at: Point,
    /// Which way; grain runs both ways, so 10° and 190° are the same.
    pub direction: Angle,
    /// From 0 (a guess) to 1 (drawn by hand).
    pub sure: f64,
}

/// A sample counts half as much at this distance; past a few of these, the
/// overall direction rules. The figure changes little within a hand's breadth.
const REACH: Length = Length::mm(60.0);

/// How much the overall direction weighs against one sure sample close by.
const OVERALL_WEIGHT: f64 = 0.02;

impl GrainField {
    /// The same direction everywhere.
    pub fn straight(overall: Angle) -> GrainField {
        GrainField { overall, samples: Vec::new() }
    }

    /// The direction at a place: the samples' mean over doubled angles (a
    /// direction without an arrow), weighted by nearness and sureness.
    pub fn at(&self, place: Point) -> Angle {
        let mut east = OVERALL_WEIGHT * (self.overall * 2.0).cos();
        let mut north = OVERALL_WEIGHT * (self.overall * 2.0).sin();
        for sample in &self.samples {
            let far = place.distance(sample.at) / REACH;
            let weight = sample.sure.clamp(0.0, 1.0) * (-far * far * std::f64::consts::LN_2).exp();
            east += weight * (sample.direction * 2.0).cos();
            north += weight * (sample.direction * 2.0).sin();
        }
        if east == 0.0 && north == 0.0 { self.overall } else { Angle::radians(north.atan2(east) / 2.0) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sample_rules_near_and_yields_far_away() {
        let drawn = GrainSample { at: Point::new(0.0, 0.0), direction: Angle::degrees(30.0), sure: 1.0 };
        let field = GrainField { overall: Angle::ZERO, samples: vec![drawn] };
        let near = field.at(Point::new(5.0, 0.0));
        assert!((near.to_degrees() - 30.0).abs() < 1.0, "{near:?}");
        let far = field.at(Point::new(900.0, 0.0));
        assert!(far.to_degrees().abs() < 0.1, "{far:?}");
    }

    #[test]
    fn opposite_arrows_are_the_same_grain() {
        let sample =
            |degrees| GrainSample { at: Point::default(), direction: Angle::degrees(degrees), sure: 1.0 };
        let field = GrainField { overall: Angle::degrees(85.0), samples: vec![sample(85.0), sample(-95.0)] };
        let mean = field.at(Point::default());
        assert!(mean.between_lines(Angle::degrees(85.0)).to_degrees() < 1e-6);
    }
}
