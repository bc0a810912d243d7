//! Finds the camera, and how the sheets lie, from the corners of their tags.

use measure::{Angle, Length, Problem};
use nalgebra::{DMatrix, DVector, Matrix3, Rotation3, SMatrix, SVector, SymmetricEigen, Vector2, Vector3};
use outline::{Place, Point};

use crate::Pixel;
use crate::camera::Camera;
use crate::sheets::SeenSheet;

/// A flat sheet drawn flat: the projective map between two planes.
pub(crate) struct Homography(Matrix3<f64>);

impl Homography {
    /// The map through pairs of points, by the direct linear method on
    /// normalised coordinates (Hartley and Zisserman, Multiple View Geometry,
    /// second edition, algorithm 4.2). `None` if they do not fix it.
    pub(crate) fn through(pairs: &[(Point, Pixel)]) -> Option<Homography> {
        let from = normal(pairs.iter().map(|(at, _)| Vector2::new(at.x, at.y)))?;
        let to = normal(pairs.iter().map(|(_, seen)| Vector2::new(seen.x, seen.y)))?;
        let mut square = SMatrix::<f64, 9, 9>::zeros();
        for (at, seen) in pairs {
            let a = from * Vector3::new(at.x, at.y, 1.0);
            let b = to * Vector3::new(seen.x, seen.y, 1.0);
            let one = [0.0, 0.0, 0.0, -a.x, -a.y, -1.0, b.y * a.x, b.y * a.y, b.y];
            let two = [a.x, a.y, 1.0, 0.0, 0.0, 0.0, -b.x * a.x, -b.x * a.y, -b.x];
            for row in [one, two].map(SVector::<f64, 9>::from) {
                square += row * row.transpose();
            }
        }
        let eigen = SymmetricEigen::try_new(square, 1e-15, 10_000)?;
        let least = eigen.eigenvectors.column(eigen.eigenvalues.imin()).into_owned();
        let flat = Matrix3::from_row_slice(least.as_slice());
        let found = to.try_inverse()? * flat * from;
        found.iter().all(|it| it.is_finite()).then_some(Homography(found))
    }

    /// The root of the mean squared distance, in pixels.
    pub(crate) fn miss(&self, pairs: &[(Point, Pixel)]) -> f64 {
        let square = |(at, seen): &(Point, Pixel)| {
            let drawn = self.0 * Vector3::new(at.x, at.y, 1.0);
            Pixel::new(drawn.x / drawn.z, drawn.y / drawn.z).distance(*seen).powi(2)
        };
        (pairs.iter().map(square).sum::<f64>() / pairs.len() as f64).sqrt()
    }
}

/// Moves points to their middle and scales their mean distance to the root of two.
fn normal(points: impl Iterator<Item = Vector2<f64>> + Clone) -> Option<Matrix3<f64>> {
    let count = points.clone().count() as f64;
    let middle = points.clone().sum::<Vector2<f64>>() / count;
    let far = points.map(|it| (it - middle).norm()).sum::<f64>() / count;
    let scale = std::f64::consts::SQRT_2 / far;
    let matrix = Matrix3::new(scale, 0.0, -scale * middle.x, 0.0, scale, -scale * middle.y, 0.0, 0.0, 1.0);
    scale.is_finite().then_some(matrix)
}

/// The lens as it is known before the picture is looked at.
#[derive(Clone, Copy)]
pub(crate) struct Lens {
    /// In pixels.
    pub(crate) focal: f64,
    /// How far off the focal length may be, as a share.
    pub(crate) focal_doubt: f64,
    /// The picture's middle.
    pub(crate) centre: Vector2<f64>,
}

/// The camera and how each sheet lies on the common plane; the first sheet's own
/// coordinates are the plane's.
#[derive(Clone, Debug)]
pub(crate) struct Scene {
    pub(crate) camera: Camera,
    pub(crate) places: Vec<Place>,
}

/// A scene that fits, with how well.
pub(crate) struct Fit {
    pub(crate) scene: Scene,
    /// The root of the mean squared distance between corners seen and drawn, in pixels.
    pub(crate) rms_px: f64,
    /// Covariance of the scene's numbers, in the order of [`Scene::moved`].
    pub(crate) covariance: DMatrix<f64>,
}

/// How sharply a corner is read, in pixels, on a clean picture (0.03 to 0.1 seen).
const CORNER_DOUBT: f64 = 0.1;

/// Corners farther off than this many doubts count by their distance, not its
/// square (Huber's loss), so that a glare on one tag does not turn the scene.
const HUBER: f64 = 3.0;

/// How far a pocket camera's two distortion terms may lie from zero; cameras
/// correct most of it themselves.
const BEND_DOUBT: [f64; 2] = [0.06, 0.08];

/// One sheet alone spans too little of the picture to tell the second term.
const SECOND_BEND_DOUBT_ALONE: f64 = 1e-4;

/// The most steps; from a fair start about ten are taken.
const MOST_STEPS: usize = 80;

/// A step that lowers the cost by a smaller share than this is the last.
const SMALLEST_GAIN: f64 = 1e-9;

/// Numbers of the camera in [`Scene::moved`]: focal length, two bends, turn, shift.
const CAMERA_NUMBERS: usize = 9;

/// Fits camera and sheets to the corners by Levenberg-Marquardt.
///
/// # Errors
/// The corners do not fit any camera.
pub(crate) fn fit(sheets: &[SeenSheet], lens: Lens) -> Result<Fit, Problem> {
    let flat = sheets.first().and_then(|first| Homography::through(&first.corners));
    let starts = flat.iter().flat_map(|flat| starts(flat, lens));
    let solved = starts.filter_map(|camera| {
        let places = sheets.iter().map(|it| lie(&camera, it)).collect::<Option<Vec<Place>>>()?;
        Some(Solving { sheets, lens }.solve(Scene { camera, places }))
    });
    let best = solved.min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, scene)| scene);
    best.and_then(|scene| Solving { sheets, lens }.judge(scene)).ok_or_else(|| {
        Problem::new("the coded squares of the scale sheets do not fit together")
            .hint("lay the sheets flat on one plane and take the picture again")
    })
}

/// The two cameras that a flat sheet may have been seen by: the one that the
/// map says, and the one on the other side of the line of sight, which looks
/// alike from afar (Schweighofer and Pinz, "Robust pose estimation from a
/// planar target", 2006).
fn starts(flat: &Homography, lens: Lens) -> Vec<Camera> {
    let inverse = Matrix3::new(
        1.0 / lens.focal,
        0.0,
        -lens.centre.x / lens.focal,
        0.0,
        1.0 / lens.focal,
        -lens.centre.y / lens.focal,
        0.0,
        0.0,
        1.0,
    );
    let seen = inverse * flat.0;
    let size = (seen.column(0).norm() * seen.column(1).norm()).sqrt();
    let ahead = if seen[(2, 2)] < 0.0 { -1.0 } else { 1.0 };
    let seen = seen * (ahead / size);
    let (x, y) = (seen.column(0).into_owned(), seen.column(1).into_owned());
    let turn = Rotation3::from_matrix(&Matrix3::from_columns(&[x, y, x.cross(&y)]));
    let shift = seen.column(2).into_owned();
    let sight = shift.normalize();
    let normal = turn * Vector3::z();
    let other = 2.0 * sight.dot(&normal) * sight - normal;
    let across = Rotation3::rotation_between(&normal, &other).map(|swing| swing * turn);
    let camera = |turn| Camera { focal: lens.focal, centre: lens.centre, bend: [0.0; 2], turn, shift };
    std::iter::once(turn).chain(across).map(camera).collect()
}

/// How a sheet lies, judged with a camera that is nearly right: the rigid way
/// that brings its corners closest to where they are seen (Procrustes).
fn lie(camera: &Camera, sheet: &SeenSheet) -> Option<Place> {
    let pairs: Vec<(Point, Point)> = sheet
        .corners
        .iter()
        .filter_map(|&(at, seen)| Some((at, camera.place(seen, Length::ZERO)?)))
        .collect();
    let count = pairs.len() as f64;
    let middle = |pick: fn(&(Point, Point)) -> Point| {
        let sum = pairs.iter().map(pick).fold((0.0, 0.0), |sum, it| (sum.0 + it.x, sum.1 + it.y));
        Point::new(sum.0 / count, sum.1 / count)
    };
    let (from, to) = (middle(|pair| pair.0), middle(|pair| pair.1));
    let (mut along, mut across) = (0.0, 0.0);
    for (a, b) in &pairs {
        let (ax, ay, bx, by) = (a.x - from.x, a.y - from.y, b.x - to.x, b.y - to.y);
        along += ax * bx + ay * by;
        across += ax * by - ay * bx;
    }
    if pairs.is_empty() || !(along.is_finite() && across.is_finite()) {
        return None;
    }
    let turned = Place { at: Point::default(), turn: Angle::radians(across.atan2(along)), mirrored: false };
    let moved = turned.point(from);
    Some(Place { at: Point::new(to.x - moved.x, to.y - moved.y), ..turned })
}

impl Scene {
    /// How many numbers make up a scene.
    fn numbers(&self) -> usize {
        CAMERA_NUMBERS + 3 * (self.places.len() - 1)
    }

    /// The scene a little off: share of the focal length, the two bends, the
    /// camera's turn and shift, then way and turn of every sheet but the first.
    pub(crate) fn moved(&self, by: &DVector<f64>) -> Scene {
        let mut scene = self.clone();
        let camera = &mut scene.camera;
        camera.focal *= by[0].clamp(-1.0, 1.0).exp();
        camera.bend[0] += by[1];
        camera.bend[1] += by[2];
        camera.turn = Rotation3::new(Vector3::new(by[3], by[4], by[5])) * camera.turn;
        camera.shift += Vector3::new(by[6], by[7], by[8]);
        for (index, place) in scene.places.iter_mut().skip(1).enumerate() {
            let first = CAMERA_NUMBERS + 3 * index;
            place.at = Point::new(place.at.x + by[first], place.at.y + by[first + 1]);
            place.turn += Angle::radians(by[first + 2]);
        }
        scene
    }

    /// The slope of some figures of the scene, number by number.
    pub(crate) fn slope(&self, figures: impl Fn(&Scene) -> DVector<f64>) -> DMatrix<f64> {
        let columns: Vec<DVector<f64>> = (0..self.numbers())
            .map(|number| {
                let step = if (6..CAMERA_NUMBERS).contains(&number) { 1e-3 } else { 1e-6 };
                let mut by = DVector::zeros(self.numbers());
                by[number] = step;
                let (up, down) = (figures(&self.moved(&by)), figures(&self.moved(&-by)));
                (up - down) / (2.0 * step)
            })
            .collect();
        DMatrix::from_columns(&columns)
    }
}

/// The fit at work.
#[derive(Clone, Copy)]
struct Solving<'a> {
    sheets: &'a [SeenSheet],
    lens: Lens,
}

impl Solving<'_> {
    /// The lowest cost reached from here, with its scene.
    fn solve(self, mut scene: Scene) -> (f64, Scene) {
        let mut cost = self.cost(&self.misses(&scene));
        let mut damping = 1e-3;
        for _ in 0..MOST_STEPS {
            let misses = self.misses(&scene);
            let weights = misses.map(|it| (HUBER / it.abs()).min(1.0));
            let slope = scene.slope(|it| self.misses(it));
            let weighed = DMatrix::from_fn(slope.nrows(), slope.ncols(), |row, column| {
                slope[(row, column)] * weights[row]
            });
            let mut square = weighed.transpose() * &slope;
            let downhill = -(weighed.transpose() * &misses);
            for index in 0..square.nrows() {
                square[(index, index)] *= 1.0 + damping;
            }
            let step = square.cholesky().map(|it| it.solve(&downhill));
            let Some(step) = step.filter(|it| it.iter().all(|number| number.is_finite())) else { break };
            let next = scene.moved(&step);
            let next_cost = self.cost(&self.misses(&next));
            if next_cost.is_finite() && next_cost < cost {
                let gain = (cost - next_cost) / cost;
                (scene, cost) = (next, next_cost);
                damping = f64::max(damping * 0.2, 1e-12);
                if gain < SMALLEST_GAIN {
                    break;
                }
            } else if damping > 1e9 {
                break;
            } else {
                damping *= 6.0;
            }
        }
        (cost, scene)
    }

    /// Every miss over its doubt: corners first, then what is known of the lens.
    fn misses(&self, scene: &Scene) -> DVector<f64> {
        let mut misses = Vec::new();
        for (sheet, place) in self.sheets.iter().zip(&scene.places) {
            for &(at, seen) in &sheet.corners {
                let drawn = scene.camera.pixel(place.point(at), Length::ZERO);
                let drawn = drawn.unwrap_or(Pixel::new(f64::MAX.sqrt(), 0.0));
                misses.push((drawn.x - seen.x) / CORNER_DOUBT);
                misses.push((drawn.y - seen.y) / CORNER_DOUBT);
            }
        }
        let second = if self.sheets.len() > 1 { BEND_DOUBT[1] } else { SECOND_BEND_DOUBT_ALONE };
        misses.push((scene.camera.focal / self.lens.focal).ln() / self.lens.focal_doubt);
        misses.push(scene.camera.bend[0] / BEND_DOUBT[0]);
        misses.push(scene.camera.bend[1] / second);
        DVector::from_vec(misses)
    }

    fn cost(&self, misses: &DVector<f64>) -> f64 {
        misses
            .iter()
            .map(|it| if it.abs() <= HUBER { it * it } else { HUBER * (2.0 * it.abs() - HUBER) })
            .sum()
    }

    fn judge(self, scene: Scene) -> Option<Fit> {
        let misses = self.misses(&scene);
        let corners = self.sheets.iter().map(|it| it.corners.len()).sum::<usize>();
        let square = misses.iter().take(2 * corners).map(|it| it * it).sum::<f64>() / corners as f64;
        let slope = scene.slope(|it| self.misses(it));
        let inverse = (slope.transpose() * &slope).cholesky()?.inverse();
        // Two misses to a corner: their squares sum to two doubts squared on a clean picture.
        let covariance = inverse * f64::max(1.0, square / 2.0);
        let sound = square.is_finite() && scene.camera.position().z > 0.0;
        sound.then(|| Fit { scene, rms_px: CORNER_DOUBT * square.sqrt(), covariance })
    }
}
