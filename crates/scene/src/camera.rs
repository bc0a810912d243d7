//! A camera with a lens: from the bench in millimetres to pixels and back.

use measure::{Angle, Length};
use serde::{Deserialize, Serialize};

/// A pinhole camera with a lens that bends straight lines a little.
///
/// World: x along the slab, y across it, z up, millimetres; the bench is z = 0.
/// Picture: x right, y down, pixels from the picture's upper left *corner*, so
/// the middle of the first pixel is (0.5, 0.5).
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Camera {
    /// Pixels from left to right.
    pub width_px: u32,
    /// Pixels from top to bottom.
    pub height_px: u32,
    /// Focal length in pixels.
    pub focal_px: f64,
    /// Where the lens's axis meets the picture, in pixels.
    pub principal_px: [f64; 2],
    /// Radial distortion: a ray at r (tangent) is seen at r (1 + k1 r² + k2 r⁴)
    /// (D. C. Brown, "Close-range camera calibration", 1971).
    pub k1: f64,
    /// The second radial term.
    pub k2: f64,
    /// Tangential distortion p1, p2: of a lens that stands a little askew (Brown).
    #[serde(default, skip_serializing_if = "is_straight")]
    pub tangential: [f64; 2],
    /// Where it stands and looks.
    pub pose: Pose,
}

/// Where a camera stands and how it is turned.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Pose {
    /// Rows: the camera's right, down and forward, in the world.
    pub rotation: [[f64; 3]; 3],
    /// The middle of the lens, in millimetres.
    pub centre_mm: [f64; 3],
}

/// The diagonal of a 36 x 24 mm frame, to which "35 mm equivalent" refers.
pub const FULL_FRAME_DIAGONAL: Length = Length::mm(43.266_615);

/// Rounds of fixed-point iteration that undo a phone's distortion to 1e-8.
const UNDISTORT_ROUNDS: usize = 8;
/// A round that changes less than this is the last: a millionth of a pixel.
const UNDISTORTED: f64 = 3e-10;

impl Camera {
    /// A lens without distortion, centred, straight above the origin at 1 m.
    /// `focal_35mm` is the focal length on a 36 x 24 mm frame with an equal diagonal.
    pub fn new(width_px: u32, height_px: u32, focal_35mm: Length) -> Camera {
        let (width, height) = (f64::from(width_px), f64::from(height_px));
        Camera {
            width_px,
            height_px,
            focal_px: focal_35mm.to_mm() * width.hypot(height) / FULL_FRAME_DIAGONAL.to_mm(),
            principal_px: [width / 2.0, height / 2.0],
            k1: 0.0,
            k2: 0.0,
            tangential: [0.0; 2],
            pose: Pose::look_at([0.0; 3], Length::mm(1000.0), Angle::ZERO, Angle::ZERO, Angle::ZERO),
        }
    }

    /// The same camera, turned to `target`; see [`Pose::look_at`].
    #[must_use]
    pub fn look_at(
        self,
        target: [f64; 3],
        distance: Length,
        tilt: Angle,
        azimuth: Angle,
        roll: Angle,
    ) -> Camera {
        Camera { pose: Pose::look_at(target, distance, tilt, azimuth, roll), ..self }
    }

    /// Where a point in the world (millimetres) is seen; `None` if it is not in front.
    pub fn project(&self, point: [f64; 3]) -> Option<[f64; 2]> {
        let offset = minus(point, self.pose.centre_mm);
        let [right, down, forward] = self.pose.rotation.map(|axis| dot(axis, offset));
        (forward > 1e-6).then(|| self.to_pixel(self.distort([right / forward, down / forward])))
    }

    /// The direction in the world, not of unit length, that a pixel position sees.
    pub fn ray(&self, pixel: [f64; 2]) -> [f64; 3] {
        let seen = [0, 1].map(|axis| (pixel[axis] - self.principal_px[axis]) / self.focal_px);
        let [x, y] = self.undistort(seen);
        let [right, down, forward] = self.pose.rotation;
        [0, 1, 2].map(|axis| right[axis] * x + down[axis] * y + forward[axis])
    }

    /// Where the ray of a pixel position meets the level `z` (millimetres above
    /// the bench); `None` if it looks away from it.
    pub fn on_level(&self, pixel: [f64; 2], z: f64) -> Option<[f64; 2]> {
        let ray = self.ray(pixel);
        let centre = self.pose.centre_mm;
        let share = (z - centre[2]) / ray[2];
        (share > 0.0 && share.is_finite()).then(|| [centre[0] + share * ray[0], centre[1] + share * ray[1]])
    }

    /// Whether a pixel position is in the picture, at least `margin` from its edge.
    pub fn sees(&self, pixel: [f64; 2], margin: f64) -> bool {
        let size = [f64::from(self.width_px), f64::from(self.height_px)];
        (0..2).all(|axis| pixel[axis] >= margin && pixel[axis] <= size[axis] - margin)
    }

    /// Where the lens shows the undistorted tangent (x, y).
    pub fn distort(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        let factor = self.radial([x, y]);
        let [aside, down] = self.askew([x, y]);
        [x * factor + aside, y * factor + down]
    }

    /// The undistorted tangent that the lens shows at (x, y).
    pub fn undistort(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        let mut found = [x, y];
        if self.k1 == 0.0 && self.k2 == 0.0 && is_straight(&self.tangential) {
            return found;
        }
        for _ in 0..UNDISTORT_ROUNDS {
            let factor = self.radial(found);
            let [aside, down] = self.askew(found);
            let next = [(x - aside) / factor, (y - down) / factor];
            let settled = (next[0] - found[0]).abs() + (next[1] - found[1]).abs() < UNDISTORTED;
            found = next;
            if settled {
                break;
            }
        }
        found
    }

    fn radial(&self, [x, y]: [f64; 2]) -> f64 {
        let square = x * x + y * y;
        1.0 + square * (self.k1 + square * self.k2)
    }

    /// The tangential part of the distortion.
    fn askew(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        let [p1, p2] = self.tangential;
        let square = x * x + y * y;
        [2.0 * p1 * x * y + p2 * (square + 2.0 * x * x), p1 * (square + 2.0 * y * y) + 2.0 * p2 * x * y]
    }

    fn to_pixel(self, [x, y]: [f64; 2]) -> [f64; 2] {
        [self.principal_px[0] + self.focal_px * x, self.principal_px[1] + self.focal_px * y]
    }
}

fn is_straight(tangential: &[f64; 2]) -> bool {
    *tangential == [0.0; 2]
}

impl Pose {
    /// Looks at `target` from `distance`, leaning by `tilt` from straight down.
    ///
    /// The camera stands on the side of `azimuth`, counter-clockwise from x; -90°
    /// is a person at the near long edge. `roll` then turns the camera clockwise.
    /// Without tilt and roll the picture's right is x and its up is y.
    pub fn look_at(target: [f64; 3], distance: Length, tilt: Angle, azimuth: Angle, roll: Angle) -> Pose {
        let side = [azimuth.cos(), azimuth.sin()];
        let back = [tilt.sin() * side[0], tilt.sin() * side[1], tilt.cos()];
        let forward = back.map(|it| -it);
        // Leaning is a turn about the level line across the azimuth, from straight down.
        let across = [-side[1], side[0], 0.0];
        let lean = |start: [f64; 3]| turned(start, across, tilt);
        let (right, down) = (lean([1.0, 0.0, 0.0]), lean([0.0, -1.0, 0.0]));
        let (sin, cos) = (roll.sin(), roll.cos());
        let rolled_right = [0, 1, 2].map(|axis| right[axis] * cos + down[axis] * sin);
        let rolled_down = [0, 1, 2].map(|axis| down[axis] * cos - right[axis] * sin);
        let centre_mm = [0, 1, 2].map(|axis| target[axis] + distance.to_mm() * back[axis]);
        Pose { rotation: [rolled_right, rolled_down, forward], centre_mm }
    }
}

/// A vector turned about a unit axis (Rodrigues' formula).
fn turned(it: [f64; 3], axis: [f64; 3], by: Angle) -> [f64; 3] {
    let (sin, cos) = (by.sin(), by.cos());
    let cross = cross(axis, it);
    let along = dot(axis, it) * (1.0 - cos);
    [0, 1, 2].map(|at| it[at] * cos + cross[at] * sin + axis[at] * along)
}

fn minus(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [0, 1, 2].map(|axis| a[axis] - b[axis])
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn cross(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn phone() -> Camera {
        let camera = Camera::new(3000, 2250, Length::mm(26.0));
        Camera { k1: 0.05, k2: -0.06, principal_px: [1507.0, 1119.0], ..camera }.look_at(
            [80.0, -30.0, 20.0],
            Length::mm(1150.0),
            Angle::degrees(14.0),
            Angle::degrees(-75.0),
            Angle::degrees(3.0),
        )
    }

    #[test]
    fn straight_down_a_length_shrinks_by_focal_over_distance() {
        // Pinhole similar triangles: size in pixels = focal_px * size / distance.
        let camera = Camera::new(3000, 2250, Length::mm(26.0));
        let [left, right] = [-250.0, 250.0].map(|x| camera.project([x, 40.0, 100.0]).unwrap());
        assert!((right[0] - left[0] - camera.focal_px * 500.0 / 900.0).abs() < 1e-9);
        assert!((left[1] - (1125.0 - camera.focal_px * 40.0 / 900.0)).abs() < 1e-9);
        // 26 mm against a 43.27 mm diagonal: 79.5° from corner to corner.
        let half = (1500.0_f64.hypot(1125.0) / camera.focal_px).atan().to_degrees();
        assert!((2.0 * half - 79.5).abs() < 0.1, "{half}");
    }

    #[test]
    fn the_target_is_on_the_axis_at_its_distance() {
        let camera = phone();
        let seen = camera.project([80.0, -30.0, 20.0]).unwrap();
        assert!((0..2).all(|axis| (seen[axis] - camera.principal_px[axis]).abs() < 1e-9));
        let away = minus(camera.pose.centre_mm, [80.0, -30.0, 20.0]);
        assert!((dot(away, away).sqrt() - 1150.0).abs() < 1e-9);
        // A camera on the near side is lower in y than what it sees.
        assert!(away[1] < 0.0 && away[2] > 0.0);
        let [right, down, forward] = camera.pose.rotation;
        let closes = minus(cross(right, down), forward);
        assert!(dot(closes, closes) < 1e-24, "right, down, forward is right-handed");
    }

    #[test]
    fn distortion_is_the_polynomial_and_can_be_undone() {
        let camera = Camera { k1: 0.1, k2: -0.04, ..phone() };
        // By hand: r = 0.5, 1 + 0.1 * 0.25 - 0.04 * 0.0625 = 1.0225.
        let seen = camera.distort([0.3, 0.4]);
        assert!((seen[0] - 0.306_75).abs() < 1e-12 && (seen[1] - 0.409).abs() < 1e-12, "{seen:?}");
        let back = phone().undistort(phone().distort([-0.61, 0.47]));
        assert!((back[0] + 0.61).abs() < 1e-8 && (back[1] - 0.47).abs() < 1e-8, "{back:?}");
    }

    #[test]
    fn pixel_to_bench_and_back() {
        let camera = phone();
        for pixel in [[0.0, 0.0], [2999.5, 3.0], [1500.0, 2250.0], [640.25, 1801.5]] {
            let [x, y] = camera.on_level(pixel, 40.0).unwrap();
            let back = camera.project([x, y, 40.0]).unwrap();
            assert!((0..2).all(|axis| (back[axis] - pixel[axis]).abs() < 1e-5), "{pixel:?} {back:?}");
        }
    }
}
