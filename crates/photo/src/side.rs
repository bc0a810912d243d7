//! Where a slab's side shows below its top face.

use measure::Length;
use rayon::prelude::*;

use crate::Pixel;
use crate::camera::Camera;
use crate::clean::Mask;
use crate::field::Field;
use crate::rectify::Frame;

/// How the lower arris of a slab comes out beside the upper one: every place
/// below a place of the top face shows nearer to the camera's foot, by the same
/// share of the way (similar triangles).
pub(crate) struct Lean {
    /// The camera's foot, in cells.
    foot: (f32, f32),
    /// How far toward the foot the lower arris shows, as a share of the way.
    share: f32,
}

impl Lean {
    /// For wood of this thickness whose top face is the frame's plane.
    pub(crate) fn of(camera: &Camera, frame: &Frame, thickness: Length) -> Lean {
        let from = camera.position();
        let foot = frame.own(outline::Point::new(from.x, from.y));
        let cell = frame.pixel.to_mm();
        let down = f64::from(frame.height_px) * frame.pixel.to_mm() - foot.y;
        let above_bench = from.z - frame.height.to_mm() + thickness.to_mm();
        Lean {
            foot: ((foot.x / cell) as f32, (down / cell) as f32),
            share: (thickness.to_mm() / above_bench) as f32,
        }
    }

    /// From a place on the upper arris to where the lower one shows, in cells.
    pub(crate) fn down_at(&self, at: Pixel) -> (f64, f64) {
        let share = f64::from(self.share);
        ((f64::from(self.foot.0) - at.x) * share, (f64::from(self.foot.1) - at.y) * share)
    }

    /// For every cell of a silhouette, how far from the upper to the lower arris
    /// it lies if the slab is sawn square, in cells; zero on the top face. Going
    /// on from there to where the lower arris would show leaves the silhouette.
    pub(crate) fn down_side(&self, silhouette: &Mask) -> Field {
        let width = silhouette.width;
        let values = (0..silhouette.cells.len()).into_par_iter().with_min_len(width.max(1)).map(|at| {
            if !silhouette.cells[at] {
                return 0.0;
            }
            let (x, y) = ((at % width) as f32 + 0.5, (at / width) as f32 + 0.5);
            let (dx, dy) = ((self.foot.0 - x) * self.share, (self.foot.1 - y) * self.share);
            let steps = dx.hypot(dy).ceil().max(1.0);
            let inside = (1..=steps as u32).take_while(|step| {
                let share = *step as f32 / steps;
                holds(silhouette, x + dx * share, y + dy * share)
            });
            (steps - inside.count() as f32) / steps * dx.hypot(dy)
        });
        Field::new(width, silhouette.height, values.collect())
    }

    /// The farthest that the side shows beside a silhouette, in cells.
    pub(crate) fn most(&self, silhouette: &Mask) -> f32 {
        let ways = silhouette.cells.iter().enumerate().filter(|(_, own)| **own).map(|(at, _)| {
            let (x, y) = ((at % silhouette.width) as f32, (at / silhouette.width) as f32);
            (self.foot.0 - x).hypot(self.foot.1 - y) * self.share
        });
        ways.fold(0.0, f32::max)
    }
}

fn holds(mask: &Mask, x: f32, y: f32) -> bool {
    if x < 0.0 || y < 0.0 || x >= mask.width as f32 || y >= mask.height as f32 {
        return false;
    }
    mask.cells[y as usize * mask.width + x as usize]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_side_toward_the_foot_is_told_from_the_top() {
        // A top face from 20 to 60, its lower arris 6 cells nearer to a foot far below.
        let lean = Lean { foot: (40.0, 640.0), share: 0.01 };
        let cells = (0..100 * 100).map(|at| (20..60).contains(&(at % 100)) && (20..66).contains(&(at / 100)));
        let down = lean.down_side(&Mask { width: 100, height: 100, cells: cells.collect() });
        let at = |x: usize, y: usize| down.values[y * 100 + x];
        assert!(at(40, 58) == 0.0 && at(40, 21) == 0.0, "the top is taken for side");
        assert!((1.0..4.0).contains(&at(40, 62)) && at(40, 65) > 4.0, "the side is taken for top");
    }
}
