//! Finds the camera, and how the sheets lie, from the corners of their tags.

use measure::{Angle, Length, Problem};
use nalgebra::{DMatrix, DVector, Matrix3, Rotation3, Vector3};
use outline::{Place, Point};

use crate::Pixel;
use crate::camera::Camera;
use crate::homography::Homography;
use crate::known::Known;
use crate::lens::Lens;
use crate::scene::{self, Lie, Scene};
use crate::sheets::SeenSheet;

/// A scene that fits, with how well.
pub(crate) struct Fit {
    pub(crate) scene: Scene,
    /// The root of the mean squared distance between corners seen and drawn, in pixels.
    pub(crate) rms_px: f64,
    /// Covariance of the scene's numbers, in the order of [`Scene::numbers`].
    pub(crate) covariance: DMatrix<f64>,
    /// The same for each sheet by itself, drawn flat by the same lens.
    pub(crate) alone_px: Vec<f64>,
    /// Whether the stated focal length was given up, for the corners say another.
    pub(crate) focal_refuted: bool,
}

/// How sharply a corner is read at first sight, in pixels; the second fit takes
/// what the first has left.
const CORNER_DOUBT: f64 = 0.1;

/// The sharpest and the worst that a corner is taken to be read, in pixels:
/// 0.035 px is seen on clean pictures, but a few corners may fit better by luck.
const CORNER_DOUBTS: [f64; 2] = [0.03, 3.0];

/// What is farther off than this many doubts counts by its distance, not its
/// square (Huber's loss), so that a glare on one tag does not turn the scene,
/// and a statement that is plainly wrong does not bend it.
const HUBER: f64 = 3.0;

/// How far a pocket camera's two distortion terms lie from zero: cameras take
/// out all but a per cent or two of it at the picture's corner.
/// Common practice, no source.
const BEND_DOUBT: [f64; 2] = [0.025, 0.025];

/// How far one sheet lies above or below another on a plane bench, in
/// millimetres: paper's thickness, its curl and the bench's wind.
const HEIGHT_DOUBT_MM: f64 = 0.3;

/// How far a sheet laid flat stands off at the ends of its grid, in millimetres.
const CURL_DOUBT_MM: f64 = 0.3;

/// How far into the black edges are read, in pixels: the tag reader takes most
/// of it out by the tag's own inner edges, less where a picture is blurred.
const INSET_DOUBT_PX: f64 = 0.15;

/// The most steps; from a fair start about ten are taken.
const MOST_STEPS: usize = 80;

/// A step that lowers the cost by a smaller share than this is the last.
const SMALLEST_GAIN: f64 = 1e-9;

/// A stated focal length is not questioned if the fit leaves it by less than
/// this many of its doubts.
const STRAINED: f64 = 2.0;

/// A stated focal length is given up for one that lowers the cost by more than
/// this, four standard deviations squared, ...
const REFUTED_BY: f64 = 16.0;

/// ... and lies farther off than this many of its doubts.
const REFUTED_OFF: f64 = 4.0;

/// Fits camera and sheets to the corners by Levenberg-Marquardt.
///
/// # Errors
/// The corners do not fit any camera.
pub(crate) fn fit(sheets: &[SeenSheet], lens: Lens) -> Result<Fit, Problem> {
    let solving = Solving { sheets, known: &[], lens, corner_doubt: CORNER_DOUBT };
    let flat = sheets.first().and_then(|first| Homography::through(&first.corners));
    let starts = flat.iter().flat_map(|flat| starts(flat, lens));
    let solved = starts.filter_map(|camera| {
        let lie = |it| Some(Lie { place: lie(&camera, it)?, ..Lie::default() });
        let sheets = sheets.iter().map(lie).collect::<Option<Vec<Lie>>>()?;
        Some(solving.solve(Scene { camera, sheets, inset: 0.0 }))
    });
    let best = solved.min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, scene)| scene);
    best.and_then(|scene| solving.settle(scene)).ok_or_else(|| {
        Problem::new("the coded squares of the scale sheets do not fit together")
            .hint("lay the sheets flat on one plane and take the picture again")
    })
}

/// Fits the camera to lengths that were measured on the plane itself.
///
/// # Errors
/// The lengths do not fit any camera.
pub(crate) fn fit_lengths(known: &[Known], camera: Camera, lens: Lens) -> Result<Fit, Problem> {
    let solving = Solving { sheets: &[], known, lens, corner_doubt: CORNER_DOUBT };
    let (_, scene) = solving.solve(Scene { camera, sheets: Vec::new(), inset: 0.0 });
    solving.judge(scene, false).ok_or_else(|| {
        Problem::new("the lengths that were measured do not fit together")
            .hint("measure them again, and mark their ends on the wood's top face")
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

/// The fit at work.
#[derive(Clone, Copy)]
struct Solving<'a> {
    sheets: &'a [SeenSheet],
    known: &'a [Known],
    lens: Lens,
    /// In pixels.
    corner_doubt: f64,
}

impl Solving<'_> {
    /// The lowest cost reached from here, with its scene.
    fn solve(self, mut scene: Scene) -> (f64, Scene) {
        let mut misses = self.misses(&scene);
        let mut cost = cost_of(&misses);
        let mut damping = 1e-3;
        for _ in 0..MOST_STEPS {
            let slope = self.slope(&scene);
            let weighed = weighed(&slope, &misses);
            let square = weighed.transpose() * &slope;
            let downhill = -(weighed.transpose() * &misses);
            let mut gain = None;
            while gain.is_none() && damping < 1e9 {
                let step = damped(&square, damping).cholesky().map(|it| it.solve(&downhill));
                let Some(step) = step.filter(|it| it.iter().all(|number| number.is_finite())) else { break };
                let next = scene.moved(&step);
                let next_misses = self.misses(&next);
                let next_cost = cost_of(&next_misses);
                if next_cost.is_finite() && next_cost < cost {
                    gain = Some((cost - next_cost) / cost);
                    (scene, misses, cost) = (next, next_misses, next_cost);
                    damping = f64::max(damping * 0.2, 1e-12);
                } else {
                    damping *= 6.0;
                }
            }
            if gain.is_none_or(|it| it < SMALLEST_GAIN) {
                break;
            }
        }
        (cost, scene)
    }

    /// Fits again with the corners as sharp as they proved to be, and without
    /// the stated focal length if they refute it.
    fn settle(self, scene: Scene) -> Option<Fit> {
        let sharp = Solving { corner_doubt: self.sharpness(&scene), ..self };
        let (cost, scene) = sharp.solve(scene);
        let free = Solving { lens: self.lens.unstated(), ..sharp };
        let strained = (scene.camera.focal / self.lens.focal).ln().abs() > STRAINED * self.lens.focal_doubt;
        if !strained || self.lens.focal_doubt >= free.lens.focal_doubt {
            return sharp.judge(scene, false);
        }
        let (free_cost, free_scene) = free.solve(scene.clone());
        let off = (free_scene.camera.focal / self.lens.focal).ln().abs() / self.lens.focal_doubt;
        if cost - free_cost > REFUTED_BY && off > REFUTED_OFF {
            let free = Solving { corner_doubt: free.sharpness(&free_scene), ..free };
            return free.judge(free.solve(free_scene).1, true);
        }
        sharp.judge(scene, false)
    }

    /// How far off one coordinate of a corner is, in pixels, as the corners themselves tell.
    fn sharpness(self, scene: &Scene) -> f64 {
        let misses = self.misses(scene);
        let corners = misses.rows(0, 2 * self.corners());
        let squares: f64 = corners.iter().map(|it| it.abs() * it.abs().min(HUBER)).sum();
        // Numbers that priors hold take less than one coordinate each; a flat sheet takes eight.
        let free = (corners.len() as f64 - 8.0 * self.sheets.len() as f64).max(1.0);
        (self.corner_doubt * (squares / free).sqrt()).clamp(CORNER_DOUBTS[0], CORNER_DOUBTS[1])
    }

    fn corners(self) -> usize {
        self.sheets.iter().map(|it| it.corners.len()).sum()
    }

    /// Every miss over its doubt: corners first, then what is known beforehand.
    fn misses(self, scene: &Scene) -> DVector<f64> {
        let corners = (0..self.sheets.len()).flat_map(|sheet| self.corner_misses(scene, sheet));
        DVector::from_vec(corners.chain(self.prior_misses(scene)).collect())
    }

    fn corner_misses(self, scene: &Scene, sheet: usize) -> Vec<f64> {
        let each = self.sheets[sheet].corners.as_chunks::<4>().0.iter().flat_map(|tag| {
            let lost = [Pixel::new(f64::MAX.sqrt(), 0.0); 4];
            let read = scene.read(sheet, tag.map(|it| it.0)).unwrap_or(lost);
            let pairs = read.into_iter().zip(tag);
            pairs.flat_map(|(drawn, (_, seen))| {
                [(drawn.x - seen.x) / self.corner_doubt, (drawn.y - seen.y) / self.corner_doubt]
            })
        });
        each.collect()
    }

    /// What is known of lens and sheets, and the lengths that were measured.
    fn prior_misses(self, scene: &Scene) -> Vec<f64> {
        let (camera, lens) = (&scene.camera, self.lens);
        let off = (camera.centre - lens.centre) / lens.centre_doubt;
        let mut misses = vec![(camera.focal / lens.focal).ln() / lens.focal_doubt, off.x, off.y];
        misses.extend((0..2).map(|term| camera.bend[term] / BEND_DOUBT[term]));
        misses.push(scene.inset / INSET_DOUBT_PX);
        misses.extend(scene.sheets.iter().skip(1).map(|it| it.height / HEIGHT_DOUBT_MM));
        misses.extend(scene.sheets.iter().flat_map(|it| it.curl.map(|lift| lift / CURL_DOUBT_MM)));
        misses.extend(self.known.iter().map(|it| it.miss(camera)));
        if self.sheets.is_empty() {
            misses.extend(Known::pose_misses(camera));
        }
        misses
    }

    /// The slope of the misses along each of the scene's numbers. A sheet's own
    /// numbers move no other sheet's corners.
    fn slope(self, scene: &Scene) -> DMatrix<f64> {
        let columns = scene.numbers().into_iter().map(|number| {
            let step = number.step();
            let (up, down) = (scene.with(number, step), scene.with(number, -step));
            let part = |of: &dyn Fn(&Scene) -> Vec<f64>| {
                let pairs = of(&up).into_iter().zip(of(&down));
                pairs.map(|(up, down)| (up - down) / (2.0 * step)).collect::<Vec<f64>>()
            };
            let mut column = Vec::new();
            for (sheet, seen) in self.sheets.iter().enumerate() {
                if number.sheet().is_none_or(|it| it == sheet) {
                    column.extend(part(&|it| self.corner_misses(it, sheet)));
                } else {
                    column.extend(std::iter::repeat_n(0.0, 2 * seen.corners.len()));
                }
            }
            column.extend(part(&|it| self.prior_misses(it)));
            DVector::from_vec(column)
        });
        DMatrix::from_columns(&columns.collect::<Vec<DVector<f64>>>())
    }

    fn judge(self, scene: Scene, focal_refuted: bool) -> Option<Fit> {
        let misses = self.misses(&scene);
        let corners = self.corners();
        let square: f64 = misses.rows(0, 2 * corners).iter().map(|it| it * it).sum();
        let rms_px = self.corner_doubt * (square / corners.max(1) as f64).sqrt();
        let slope = self.slope(&scene);
        let covariance = (weighed(&slope, &misses).transpose() * &slope).cholesky()?.inverse();
        let sound = rms_px.is_finite() && scene.camera.position().z > 0.0;
        let alone_px = self.sheets.iter().map(|it| alone(&scene, it)).collect();
        sound.then_some(Fit { scene, rms_px, alone_px, covariance, focal_refuted })
    }
}

/// How well a sheet's corners fit to any flat sheet, in pixels, once distortion
/// and inset are taken out.
fn alone(scene: &Scene, sheet: &SeenSheet) -> f64 {
    let camera = &scene.camera;
    let pinhole = |at: Pixel| {
        let sight = camera.unbent(at) * camera.focal;
        Pixel::new(sight.x, sight.y)
    };
    let pairs = sheet.corners.as_chunks::<4>().0.iter().flat_map(|tag| {
        let seen = scene::inset(tag.map(|it| it.1), -scene.inset);
        tag.iter().zip(seen).map(|((at, _), seen)| (*at, pinhole(seen)))
    });
    let pairs: Vec<(Point, Pixel)> = pairs.collect();
    Homography::through(&pairs).map_or(f64::INFINITY, |flat| flat.miss(&pairs))
}

/// The slope with every row by its weight under Huber's loss.
fn weighed(slope: &DMatrix<f64>, misses: &DVector<f64>) -> DMatrix<f64> {
    let weights = misses.map(|it| (HUBER / it.abs()).min(1.0));
    DMatrix::from_fn(slope.nrows(), slope.ncols(), |row, column| slope[(row, column)] * weights[row])
}

fn damped(square: &DMatrix<f64>, damping: f64) -> DMatrix<f64> {
    let mut square = square.clone();
    for index in 0..square.nrows() {
        square[(index, index)] *= 1.0 + damping;
    }
    square
}

fn cost_of(misses: &DVector<f64>) -> f64 {
    misses.iter().map(|it| if it.abs() <= HUBER { it * it } else { HUBER * (2.0 * it.abs() - HUBER) }).sum()
}
