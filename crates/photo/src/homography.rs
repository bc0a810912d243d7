//! The projective map between two planes.

use nalgebra::{Matrix3, SMatrix, SVector, SymmetricEigen, Vector2, Vector3};
use outline::Point;

use crate::Pixel;

/// A flat sheet drawn flat: the projective map between two planes.
pub(crate) struct Homography(pub(crate) Matrix3<f64>);

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

#[cfg(test)]
mod tests {
    use super::*;

    /// Nine points read to about 0.2 px, and where the map that
    /// `cv2.findHomography` of OpenCV 5.0.0 puts through them draws three others.
    #[test]
    fn the_map_is_opencvs() {
        let pairs = [
            ([0.0, 0.0], [412.41, 187.99]),
            ([150.0, 0.0], [685.77, 217.79]),
            ([300.0, 0.0], [950.54, 246.33]),
            ([0.0, 120.0], [385.03, 446.79]),
            ([150.0, 120.0], [667.03, 473.41]),
            ([300.0, 120.0], [939.77, 497.74]),
            ([0.0, 240.0], [357.27, 720.12]),
            ([150.0, 240.0], [647.45, 742.15]),
            ([300.0, 240.0], [928.30, 763.40]),
        ];
        let pairs = pairs.map(|([x, y], [u, v])| (Point::new(x, y), Pixel::new(u, v)));
        let found = Homography::through(&pairs).unwrap();
        let theirs = [
            ([75.0, 60.0], [538.911, 329.709]),
            ([225.0, 200.0], [794.306, 662.107]),
            ([400.0, -50.0], [1125.136, 164.926]),
        ];
        for ([x, y], [u, v]) in theirs {
            let apart = found.miss(&[(Point::new(x, y), Pixel::new(u, v))]);
            // The direct method lacks their last refining, which moves a point by hundredths of a pixel.
            assert!(apart < 0.1, "{apart} px at {x}, {y}");
        }
        assert!((found.miss(&pairs) - 0.3365).abs() < 0.002, "{}", found.miss(&pairs));
        assert!(Homography::through(&pairs[..1]).is_none());
    }
}
