//! How far off the lengths of a survey may be.
//!
//! Every doubt is a standard deviation; independent ones are joined as the root
//! of their summed squares (JCGM 100:2008, 5.1.2), and what is told is right
//! nineteen times in twenty.

use measure::{Figure, Length};
use nalgebra::DMatrix;
use outline::{Outline, Place, Point};

use crate::fit::Fit;
use crate::scene::Scene;
use crate::{Pixel, turned};

/// How well a thickness is known that was read off a rule to the whole
/// millimetre, with the wood's own unevenness. Common practice, no source.
const THICKNESS_MM: f64 = 0.4;

/// How far off the face sheets lie that were laid on it, or level with it: it
/// is never quite plane. Common practice, no source.
const LEVEL_MM: f64 = 0.4;

/// How far a face's edges stand above or below its middle, and its corners by
/// wind: wood that has dried is never quite plane. Common practice, no source.
const CUP_MM: f64 = 0.7;

/// How far one sheet on a face that is not plane leans against the whole of it:
/// half a millimetre over half its length. Common practice, no source.
const LEAN: f64 = 0.5 / 150.0;

/// How well the 200 mm check line is read, as a share: 0.1 mm, a tenth of what
/// a rule is divided into. Common practice, no source.
const MEASURED_PRINT: f64 = 0.0005;

/// How far a printer is off when its print was not measured, as a share.
/// Common practice, no source.
const UNMEASURED_PRINT: f64 = 0.0025;

/// Nineteen in twenty of a bell-shaped spread lie within this many standard deviations.
const NINETEEN_IN_TWENTY: f64 = 1.96;

/// What makes lengths less sure than the fit.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Doubts {
    /// How high the measured plane is above the sheets.
    pub(crate) height: Length,
    pub(crate) rests_on: RestsOn,
    /// Whether the check line was measured.
    pub(crate) print_measured: bool,
    pub(crate) face: Face,
}

/// Where the face lies on its plane.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Face {
    /// Its middle, and which way it is long.
    pub(crate) place: Place,
    /// Half its length and half its width, in millimetres.
    pub(crate) half: [f64; 2],
}

/// What the scale was taken from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum RestsOn {
    /// Sheets on the bench: the thickness counts.
    Bench,
    /// Sheets on the face: how plane it is counts.
    Face,
    /// Lengths measured on the face: their own doubts are in the fit.
    Lengths,
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
    /// nineteen times in twenty; infinite past the horizon.
    pub(crate) fn doubt_of(&self, from: Point, to: Point) -> Length {
        let (camera, height) = (&self.scene.camera, self.doubts.height);
        let Some(ends) = camera.pixel(from, height).zip(camera.pixel(to, height)) else {
            return Length::mm(f64::INFINITY);
        };
        let level = [height, height];
        let fitted = self.scene.spread(&self.covariance, |it| span(it, ends, level));
        let long = span(&self.scene, ends, level);
        let higher = |by: [f64; 2]| span(&self.scene, ends, by.map(|it| height + Length::mm(it))) - long;
        let (a, b) = (self.doubts.face.own(from), self.doubts.face.own(to));
        let lean = if self.leans() { LEAN } else { 0.0 };
        let squares = [
            fitted,
            // The sheet lies at the scene's origin.
            higher([from.x, to.x]) * lean,
            higher([from.y, to.y]) * lean,
            higher([1.0, 1.0]) * self.level_mm(),
            higher([a.y * a.y, b.y * b.y]) * CUP_MM,
            higher([a.x * a.y, b.x * b.y]) * CUP_MM,
            long * self.print(),
        ];
        Length::mm(NINETEEN_IN_TWENTY * squares.map(|it| it * it).iter().sum::<f64>().sqrt())
    }

    /// The largest doubt of these ways, as a share of each.
    pub(crate) fn share(&self, ways: &[(Point, Point)]) -> f64 {
        ways.iter().map(|&(from, to)| self.doubt_of(from, to) / from.distance(to)).fold(0.0, f64::max)
    }

    /// The share as a figure, with what went in.
    pub(crate) fn figure(&self, share: f64) -> Figure {
        let figure = Figure::new("lengths may be off by", format!("{:.2} %", share * 100.0)).by(
            "1.96 · root of the summed squares of the standard deviations: fit, height, cup, print",
            "propagation of independent errors (JCGM 100:2008, 5.1.2)",
        );
        let level = self.level_mm();
        let percent = self.print() * 100.0;
        let figure = figure.from("cup and wind", format!("{CUP_MM:.1} mm, as wood is not plane"));
        match self.doubts.rests_on {
            RestsOn::Bench => figure.from("thickness", format!("{level:.1} mm, as read off a rule")),
            RestsOn::Face => figure.from("sheets on the face", format!("{level:.1} mm, as it is not plane")),
            RestsOn::Lengths => return figure.from("scale", "lengths that were measured"),
        }
        .from(
            "print",
            if self.doubts.print_measured {
                format!("{percent:.2} %, its line was measured")
            } else {
                format!("{percent:.2} %, a guess")
            },
        )
    }

    /// Whether all rests on one sheet that takes the face's own slope where it lies.
    fn leans(&self) -> bool {
        self.doubts.rests_on == RestsOn::Face && self.scene.sheets.len() == 1
    }

    fn level_mm(&self) -> f64 {
        match self.doubts.rests_on {
            RestsOn::Bench => THICKNESS_MM,
            RestsOn::Face => LEVEL_MM,
            RestsOn::Lengths => 0.0,
        }
    }

    fn print(&self) -> f64 {
        match self.doubts.rests_on {
            RestsOn::Lengths => 0.0,
            RestsOn::Bench | RestsOn::Face if self.doubts.print_measured => MEASURED_PRINT,
            RestsOn::Bench | RestsOn::Face => UNMEASURED_PRINT,
        }
    }
}

impl Face {
    /// The face with this outline.
    pub(crate) fn of(outline: &Outline) -> Face {
        let corners = outline.outer().corners();
        let turn = turned::along(corners);
        let back = Place { at: Point::default(), turn: -turn, mirrored: false };
        let bounds = back.bounds(outline);
        let place = Place { turn, ..Place::default() };
        let half = [bounds.width().to_mm() / 2.0, bounds.height().to_mm() / 2.0];
        Face { place: Place { at: place.point(bounds.low.toward(bounds.high, 0.5)), ..place }, half }
    }

    /// A place of the plane as shares of half the face's length and width from its middle.
    fn own(&self, at: Point) -> Point {
        let (dx, dy) = (at.x - self.place.at.x, at.y - self.place.at.y);
        let (sin, cos) = (self.place.turn.sin(), self.place.turn.cos());
        Point::new((dx * cos + dy * sin) / self.half[0], (dy * cos - dx * sin) / self.half[1])
    }
}

/// Millimetres between two places of the picture at these heights; none if one
/// is past the horizon.
fn span(scene: &Scene, (a, b): (Pixel, Pixel), [low, high]: [Length; 2]) -> f64 {
    let ends = scene.camera.place(a, low).zip(scene.camera.place(b, high));
    ends.map_or(0.0, |(a, b)| a.distance(b).to_mm())
}
