//! The camera and the sheets below it, as numbers that can be moved.

use measure::{Angle, Length};
use nalgebra::{DMatrix, DVector, Rotation3, Vector3};
use outline::{Place, Point};

use crate::Pixel;
use crate::camera::Camera;

/// The camera, and how each sheet lies; the first sheet's own coordinates are
/// the common plane's.
#[derive(Clone, Debug)]
pub(crate) struct Scene {
    pub(crate) camera: Camera,
    pub(crate) sheets: Vec<Lie>,
    /// How far into the black the edges of the tags are read, in pixels: blur
    /// and tone curve draw white larger than it is.
    pub(crate) inset: f64,
}

/// How a sheet lies on the common plane, or nearly on it.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Lie {
    pub(crate) place: Place,
    /// How high its middle lies, in millimetres; the first sheet's is 0.
    pub(crate) height: f64,
    /// How far paper stands off its plane at half its width and half its height,
    /// and at its corner by twist, in millimetres.
    pub(crate) curl: [f64; 3],
}

/// Half the width and height of the grid of tags, in millimetres: where
/// [`Lie::curl`] is stated.
pub(crate) const HALF_GRID: [f64; 2] = [80.0, 122.0];

/// One of the numbers that make up a scene.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Number {
    /// The focal length, as a share.
    Focal,
    /// One of the two distortion terms.
    Bend(usize),
    /// Where the axis meets the picture: x or y.
    Centre(usize),
    /// The camera's turn about one of its own axes.
    Turn(usize),
    /// The camera's way along one of its own axes.
    Shift(usize),
    /// How far into the black edges are read.
    Inset,
    /// A sheet's way along x or y.
    Way(usize, usize),
    /// A sheet's turn.
    Swing(usize),
    /// A sheet's height.
    Height(usize),
    /// One of the three terms of a sheet's curl.
    Curl(usize, usize),
}

impl Lie {
    /// How high a point of the sheet lies above the common plane.
    pub(crate) fn lift(&self, at: Point) -> Length {
        let (u, v) = (at.x / HALF_GRID[0], at.y / HALF_GRID[1]);
        Length::mm(self.height + self.curl[0] * u * u + self.curl[1] * v * v + self.curl[2] * u * v)
    }

    /// How far the paper bends away from its plane at the grid's edge, at most.
    pub(crate) fn bend(&self) -> Length {
        let [across, up, twist] = self.curl;
        let corner = (across + up).abs() + twist.abs();
        Length::mm(across.abs().max(up.abs()).max(corner))
    }
}

impl Number {
    /// The sheet that the number tells of; `None` for the camera's.
    pub(crate) fn sheet(self) -> Option<usize> {
        match self {
            Number::Focal
            | Number::Bend(_)
            | Number::Centre(_)
            | Number::Turn(_)
            | Number::Shift(_)
            | Number::Inset => None,
            Number::Way(sheet, _) | Number::Swing(sheet) | Number::Height(sheet) | Number::Curl(sheet, _) => {
                Some(sheet)
            }
        }
    }

    /// A small step, for slopes: pixels and millimetres, or shares and radians.
    pub(crate) fn step(self) -> f64 {
        match self {
            Number::Focal | Number::Bend(_) | Number::Turn(_) | Number::Swing(_) => 1e-6,
            Number::Centre(_)
            | Number::Shift(_)
            | Number::Way(..)
            | Number::Height(_)
            | Number::Curl(..)
            | Number::Inset => 1e-3,
        }
    }

    fn add(self, scene: &mut Scene, by: f64) {
        let camera = &mut scene.camera;
        match self {
            Number::Focal => camera.focal *= by.clamp(-1.0, 1.0).exp(),
            Number::Bend(term) => camera.bend[term] += by,
            Number::Centre(axis) => camera.centre[axis] += by,
            Number::Turn(axis) => {
                camera.turn = Rotation3::from_axis_angle(&Vector3::ith_axis(axis), by) * camera.turn;
            }
            Number::Shift(axis) => camera.shift[axis] += by,
            Number::Inset => scene.inset += by,
            Number::Way(sheet, 0) => scene.sheets[sheet].place.at.x += by,
            Number::Way(sheet, _) => scene.sheets[sheet].place.at.y += by,
            Number::Swing(sheet) => scene.sheets[sheet].place.turn += Angle::radians(by),
            Number::Height(sheet) => scene.sheets[sheet].height += by,
            Number::Curl(sheet, term) => scene.sheets[sheet].curl[term] += by,
        }
    }
}

impl Scene {
    /// The numbers that make up the scene, the camera's first.
    pub(crate) fn numbers(&self) -> Vec<Number> {
        let pair = |of: fn(usize) -> Number| [of(0), of(1)];
        let three = |of: fn(usize) -> Number| [of(0), of(1), of(2)];
        let mut numbers = vec![Number::Focal];
        numbers.extend(pair(Number::Bend));
        numbers.extend(pair(Number::Centre));
        numbers.extend(three(Number::Turn));
        numbers.extend(three(Number::Shift));
        numbers.push(Number::Inset);
        for sheet in 0..self.sheets.len() {
            if sheet > 0 {
                let own = [Number::Way(sheet, 0), Number::Way(sheet, 1), Number::Swing(sheet)];
                numbers.extend(own.into_iter().chain([Number::Height(sheet)]));
            }
            numbers.extend([0, 1, 2].map(|term| Number::Curl(sheet, term)));
        }
        numbers
    }

    /// The scene with one number a little off.
    pub(crate) fn with(&self, number: Number, by: f64) -> Scene {
        let mut scene = self.clone();
        number.add(&mut scene, by);
        scene
    }

    /// The scene with all its numbers a little off.
    pub(crate) fn moved(&self, by: &DVector<f64>) -> Scene {
        let mut scene = self.clone();
        for (number, &by) in self.numbers().into_iter().zip(by) {
            number.add(&mut scene, by);
        }
        scene
    }

    /// The slope of a figure of the scene along each of its numbers.
    pub(crate) fn slope(&self, figure: impl Fn(&Scene) -> f64) -> DVector<f64> {
        let slopes = self.numbers().into_iter().map(|number| {
            let step = number.step();
            (figure(&self.with(number, step)) - figure(&self.with(number, -step))) / (2.0 * step)
        });
        DVector::from_vec(slopes.collect())
    }

    /// Where the corners of a tag are read; `None` behind the camera.
    pub(crate) fn read(&self, sheet: usize, corners: [Point; 4]) -> Option<[Pixel; 4]> {
        let lie = &self.sheets[sheet];
        let drawn = corners.map(|at| self.camera.pixel(lie.place.point(at), lie.lift(at)));
        let [Some(a), Some(b), Some(c), Some(d)] = drawn else { return None };
        Some(inset([a, b, c, d], self.inset))
    }

    /// How far off a figure may be by the numbers' covariance, one standard deviation.
    pub(crate) fn spread(&self, covariance: &DMatrix<f64>, figure: impl Fn(&Scene) -> f64) -> f64 {
        let slope = self.slope(figure);
        slope.dot(&(covariance * &slope)).max(0.0).sqrt()
    }
}

/// A tag's corners with its edges moved into the black by so many pixels: two
/// edges that move by one move their corner by the root of two.
pub(crate) fn inset(corners: [Pixel; 4], by: f64) -> [Pixel; 4] {
    [0, 1, 2, 3].map(|index| {
        let (from, to) = (corners[index], corners[(index + 2) % 4]);
        let share = by * std::f64::consts::SQRT_2 / from.distance(to).max(1.0);
        Pixel::new(from.x + (to.x - from.x) * share, from.y + (to.y - from.y) * share)
    })
}
