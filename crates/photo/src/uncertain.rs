//! How far off the lengths of a survey may be.

use measure::Length;
use nalgebra::DVector;
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
#[derive(Clone, Copy)]
pub(crate) struct Doubts {
    /// How high the measured plane is above the sheets.
    pub(crate) height: Length,
    /// Whether the sheets lie on the bench, so that the thickness counts.
    pub(crate) on_bench: bool,
    /// Whether the check line was measured.
    pub(crate) print_measured: bool,
}

/// The share by which lengths across these places may be off, nineteen times
/// in twenty: the fit's own doubt, the height's and the printer's, as
/// independent errors.
pub(crate) fn doubt(fit: &Fit, spans: &[(Point, Point)], doubts: Doubts) -> f64 {
    let camera = &fit.scene.camera;
    let drawn = |at| camera.pixel(at, doubts.height);
    let ends: Vec<(Pixel, Pixel)> = spans.iter().filter_map(|&(a, b)| Some((drawn(a)?, drawn(b)?))).collect();
    let lengths = |scene: &Scene| {
        DVector::from_iterator(ends.len(), ends.iter().map(|&(a, b)| span(scene, a, b, doubts.height).ln()))
    };
    let slope = fit.scene.slope(lengths);
    let fitted =
        (&slope * &fit.covariance * slope.transpose()).diagonal().iter().copied().fold(0.0, f64::max);
    let above = camera.position().z - doubts.height.to_mm();
    let height = if doubts.on_bench { THICKNESS_DOUBT } else { LEVEL_DOUBT }.to_mm() / above;
    let print = if doubts.print_measured { MEASURED_PRINT } else { UNMEASURED_PRINT };
    // Height and print are stated as limits already, the fit as one sigma.
    (fitted * NINETEEN_IN_TWENTY.powi(2) + height * height + print * print).sqrt()
}

/// Millimetres between two places of the picture; tiny if one is past the horizon.
fn span(scene: &Scene, a: Pixel, b: Pixel, height: Length) -> f64 {
    let place = |at| scene.camera.place(at, height);
    let ends = place(a).zip(place(b));
    ends.map_or(f64::MIN_POSITIVE, |(a, b)| a.distance(b).to_mm().max(f64::MIN_POSITIVE))
}
