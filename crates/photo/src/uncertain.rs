//! How far off the lengths of a survey may be.

use measure::Length;
use nalgebra::{DMatrix, DVector};
use outline::Point;

use crate::Pixel;
use crate::fit::{Fit, Scene};

/// How well a thickness is known that was read off a rule.
const THICKNESS_DOUBT: Length = Length::mm(1.0);

/// How far sheets that lie "on top" may be off the face: its cup and wind.
const LEVEL_DOUBT: Length = Length::mm(0.5);

/// How well the 200 mm check line is read, as a share: 0.2 mm.
const MEASURED_PRINT: f64 = 0.001;

/// How far a printer may be off when its print was not measured.
/// Common practice, no source.
const UNMEASURED_PRINT: f64 = 0.005;

/// Of the doubts of many pictures, nineteen in twenty lie within this many of the usual ones.
const NINETEEN_IN_TWENTY: f64 = 1.96;

/// What makes lengths less sure.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Doubts {
    /// How high the measured plane is above the sheets.
    pub(crate) height: Length,
    /// Whether the sheets lie on the bench, so that the thickness counts.
    pub(crate) on_bench: bool,
    /// Whether the check line was measured.
    pub(crate) print_measured: bool,
}

/// All that the doubt of a length is worked out from.
#[derive(Clone, Debug)]
pub(crate) struct Sureness {
    scene: Scene,
    covariance: DMatrix<f64>,
    doubts: Doubts,
}

impl Sureness {
    pub(crate) fn of(fit: &Fit, doubts: Doubts) -> Sureness {
        Sureness { scene: fit.scene.clone(), covariance: fit.covariance.clone(), doubts }
    }

    /// How far off the length between two places of the measured plane may be,
    /// nineteen times in twenty: the fit's own doubt, the height's and the
    /// printer's, as independent errors (JCGM 100:2008, 5.1.2).
    pub(crate) fn doubt_of(&self, from: Point, to: Point) -> Length {
        let (camera, height) = (&self.scene.camera, self.doubts.height);
        let Some((a, b)) = camera.pixel(from, height).zip(camera.pixel(to, height)) else {
            return Length::mm(f64::INFINITY);
        };
        let length = |scene: &Scene| DVector::from_element(1, span(scene, a, b, height));
        let slope = self.scene.slope(length);
        let fitted = (&slope * &self.covariance * slope.transpose())[(0, 0)];
        let above = camera.position().z - height.to_mm();
        let off_level = if self.doubts.on_bench { THICKNESS_DOUBT } else { LEVEL_DOUBT }.to_mm() / above;
        let print = if self.doubts.print_measured { MEASURED_PRINT } else { UNMEASURED_PRINT };
        let shares = (off_level * off_level + print * print) * from.distance(to).to_mm().powi(2);
        // Height and print are stated as limits already, the fit as one sigma.
        Length::mm((fitted * NINETEEN_IN_TWENTY.powi(2) + shares).sqrt())
    }

    /// The largest doubt of these ways, as a share of each.
    pub(crate) fn share(&self, ways: &[(Point, Point)]) -> f64 {
        ways.iter().map(|&(from, to)| self.doubt_of(from, to) / from.distance(to)).fold(0.0, f64::max)
    }
}

/// Millimetres between two places of the picture; none if one is past the horizon.
fn span(scene: &Scene, a: Pixel, b: Pixel, height: Length) -> f64 {
    let place = |at| scene.camera.place(at, height);
    place(a).zip(place(b)).map_or(0.0, |(a, b)| a.distance(b).to_mm())
}
