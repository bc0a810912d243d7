//! The camera: where it stood and how it draws.

use measure::{Angle, Length};
use nalgebra::{Rotation3, Vector2, Vector3};
use outline::Point;

use crate::Pixel;

/// A pinhole camera with radial distortion (Brown's model, two terms). The
/// bench is the plane z = 0 in millimetres, z towards the camera.
#[derive(Clone, Debug)]
pub(crate) struct Camera {
    /// In pixels.
    pub(crate) focal: f64,
    /// Where the optical axis meets the picture: near its middle.
    pub(crate) centre: Vector2<f64>,
    /// Distortion per squared, and per fourth power of the distance from the axis.
    pub(crate) bend: [f64; 2],
    /// From the bench's directions to the camera's: x right, y down, z ahead.
    pub(crate) turn: Rotation3<f64>,
    /// The bench's origin as the camera sees it.
    pub(crate) shift: Vector3<f64>,
}

/// Nearer than this to the lens nothing is drawn.
const NEAREST_MM: f64 = 1.0;

/// Rounds of the fixed point that takes distortion out; each wins about a digit.
const UNBEND_ROUNDS: usize = 12;

impl Camera {
    /// Where a point at this height above the bench is drawn; `None` if it lies
    /// behind the camera.
    pub(crate) fn pixel(&self, at: Point, height: Length) -> Option<Pixel> {
        let seen = self.turn * Vector3::new(at.x, at.y, height.to_mm()) + self.shift;
        if seen.z < NEAREST_MM {
            return None;
        }
        let flat = Vector2::new(seen.x / seen.z, seen.y / seen.z);
        let drawn = self.centre + self.focal * self.stretch(flat.norm_squared()) * flat;
        Some(Pixel::new(drawn.x, drawn.y))
    }

    /// The place at this height above the bench that is drawn here; `None`
    /// where the sight goes past the horizon.
    pub(crate) fn place(&self, pixel: Pixel, height: Length) -> Option<Point> {
        let flat = self.unbent(pixel);
        let sight = self.turn.inverse() * Vector3::new(flat.x, flat.y, 1.0);
        let from = self.position();
        let far = (height.to_mm() - from.z) / sight.z;
        let hit = from + far * sight;
        (far > 0.0 && hit.iter().all(|it| it.is_finite())).then(|| Point::new(hit.x, hit.y))
    }

    /// The sight through a pixel as a pinhole has it: right and down, for one ahead.
    pub(crate) fn unbent(&self, pixel: Pixel) -> Vector2<f64> {
        let drawn = (Vector2::new(pixel.x, pixel.y) - self.centre) / self.focal;
        let mut flat = drawn;
        for _ in 0..UNBEND_ROUNDS {
            flat = drawn / self.stretch(flat.norm_squared());
        }
        flat
    }

    /// Where the camera stood.
    pub(crate) fn position(&self) -> Vector3<f64> {
        self.turn.inverse() * -self.shift
    }

    /// How far its axis was from plumb.
    pub(crate) fn tilt(&self) -> Angle {
        Angle::radians((-self.turn[(2, 2)]).clamp(-1.0, 1.0).acos())
    }

    /// The place at one height that hides, or is hidden by, a place at another.
    pub(crate) fn behind(&self, at: Point, height: Length, other: Length) -> Point {
        let from = self.position();
        let share = (from.z - other.to_mm()) / (from.z - height.to_mm());
        Point::new(from.x + (at.x - from.x) * share, from.y + (at.y - from.y) * share)
    }

    fn stretch(&self, square: f64) -> f64 {
        1.0 + square * (self.bend[0] + square * self.bend[1])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_place_is_drawn_where_it_is_read() {
        let camera = Camera {
            focal: 2900.0,
            centre: Vector2::new(2016.0, 1512.0),
            bend: [0.045, -0.06],
            turn: Rotation3::from_euler_angles(std::f64::consts::PI - 0.3, 0.1, 0.4),
            shift: Vector3::new(-200.0, 100.0, 1400.0),
        };
        for height in [0.0, 42.0].map(Length::mm) {
            let at = Point::new(321.0, -87.0);
            let back = camera.place(camera.pixel(at, height).unwrap(), height).unwrap();
            assert!(back.distance(at) < Length::mm(1e-6), "{back:?}");
        }
        assert!(camera.position().z > 1000.0);
    }

    #[test]
    fn what_hides_a_place_is_drawn_on_it() {
        let camera = Camera {
            focal: 2000.0,
            centre: Vector2::new(1000.0, 800.0),
            bend: [0.0, 0.0],
            turn: Rotation3::from_euler_angles(std::f64::consts::PI - 0.5, 0.0, 0.0),
            shift: Vector3::new(0.0, 0.0, 1200.0),
        };
        let (low, high) = (Length::ZERO, Length::mm(50.0));
        let at = Point::new(100.0, 200.0);
        let above = camera.behind(at, low, high);
        let (one, other) = (camera.pixel(at, low).unwrap(), camera.pixel(above, high).unwrap());
        assert!(one.distance(other) < 1e-6, "{one:?} {other:?}");
    }
}
