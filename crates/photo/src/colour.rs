//! Colours as the eye parts them, and what a material's colours are like.

use nalgebra::{Matrix3, Vector3};

/// Linear light, from 0 to 1: red, green, blue.
pub(crate) type Light = [f32; 3];

/// CIE L*a*b* for D65.
pub(crate) type Lab = [f32; 3];

/// Linear light of an sRGB value from 0 to 255 (IEC 61966-2-1).
pub(crate) fn light(srgb: [f32; 3]) -> Light {
    srgb.map(|it| {
        let share = it / 255.0;
        if share <= 0.040_45 { share / 12.92 } else { ((share + 0.055) / 1.055).powf(2.4) }
    })
}

/// L*a*b* of linear light (CIE 15, white D65).
pub(crate) fn lab([red, green, blue]: Light) -> Lab {
    let x = (0.412_46 * red + 0.357_58 * green + 0.180_44 * blue) / 0.950_47;
    let y = 0.212_67 * red + 0.715_16 * green + 0.072_18 * blue;
    let z = (0.019_33 * red + 0.119_19 * green + 0.950_3 * blue) / 1.088_83;
    let [x, y, z] = [x, y, z].map(|it| if it > 0.008_856 { it.cbrt() } else { 7.787_04 * it + 16.0 / 116.0 });
    [116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z)]
}

/// The same colour lit by this share of the light (the cube root of CIE 15,
/// without its straight foot).
pub(crate) fn shaded([light, red, yellow]: Lab, share: f32) -> Lab {
    let root = share.cbrt();
    [(light + 16.0) * root - 16.0, red * root, yellow * root]
}

/// A material's colours: a few clouds in L*a*b*.
#[derive(Clone, Debug)]
pub(crate) struct Material {
    clouds: Vec<Cloud>,
}

#[derive(Clone, Debug)]
struct Cloud {
    middle: Vector3<f32>,
    inverse: Matrix3<f32>,
    /// Logarithm of its share, less that of its volume.
    height: f32,
}

/// Samples beyond this many are thinned out evenly.
const MOST_SAMPLES: usize = 6000;

/// Fewer samples than this say nothing of a material.
const LEAST_SAMPLES: usize = 30;

/// Rounds of k-means; it settles in about this many.
const ROUNDS: usize = 8;

/// No cloud is narrower than this, in L*a*b* units: picture noise.
const NARROWEST: f32 = 1.5;

impl Material {
    /// Learns `count` clouds by k-means, started from samples far from each other.
    pub(crate) fn of(samples: &[Lab], count: usize) -> Option<Material> {
        if samples.len() < LEAST_SAMPLES {
            return None;
        }
        let thin = samples.len().div_ceil(MOST_SAMPLES);
        let samples: Vec<Vector3<f32>> = samples.iter().step_by(thin).map(|&it| Vector3::from(it)).collect();
        let mut middles = far_apart(&samples, count);
        let mut nearest = vec![0; samples.len()];
        for _ in 0..ROUNDS {
            for (sample, near) in samples.iter().zip(&mut nearest) {
                *near = closest(&middles, sample).0;
            }
            for (index, middle) in middles.iter_mut().enumerate() {
                if let Some(mean) = mean(members(&samples, &nearest, index)) {
                    *middle = mean;
                }
            }
        }
        let clouds: Vec<Cloud> = (0..middles.len())
            .filter_map(|index| {
                let own: Vec<&Vector3<f32>> = members(&samples, &nearest, index).collect();
                Cloud::around(&own, own.len() as f32 / samples.len() as f32)
            })
            .collect();
        (!clouds.is_empty()).then_some(Material { clouds })
    }

    /// The likelihood below which this share of its own samples are.
    pub(crate) fn odd_below(&self, samples: &[Lab], share: f64) -> Option<f32> {
        let some = samples.iter().step_by(samples.len().div_ceil(MOST_SAMPLES).max(1));
        let mut usual: Vec<f32> = some.map(|it| self.likelihood(*it)).collect();
        usual.sort_by(f32::total_cmp);
        usual.get((usual.len() as f64 * share) as usize).copied()
    }

    /// How likely the material shows this colour: a logarithm.
    pub(crate) fn likelihood(&self, colour: Lab) -> f32 {
        let colour = Vector3::from(colour);
        let each = self.clouds.iter().map(|cloud| {
            let off = colour - cloud.middle;
            cloud.height - 0.5 * off.dot(&(cloud.inverse * off))
        });
        each.fold(f32::NEG_INFINITY, f32::max)
    }
}

impl Cloud {
    fn around(own: &[&Vector3<f32>], share: f32) -> Option<Cloud> {
        let middle = mean(own.iter().copied())?;
        let spread = own.iter().map(|&it| (it - middle) * (it - middle).transpose()).sum::<Matrix3<f32>>();
        let spread = spread / own.len() as f32 + Matrix3::identity() * (NARROWEST * NARROWEST);
        let inverse = spread.try_inverse()?;
        Some(Cloud { middle, inverse, height: share.ln() - 0.5 * spread.determinant().ln() })
    }
}

fn members<'a>(
    samples: &'a [Vector3<f32>],
    nearest: &'a [usize],
    index: usize,
) -> impl Iterator<Item = &'a Vector3<f32>> {
    samples.iter().zip(nearest).filter(move |(_, near)| **near == index).map(|(sample, _)| sample)
}

fn mean<'a>(samples: impl Iterator<Item = &'a Vector3<f32>>) -> Option<Vector3<f32>> {
    let (sum, count) = samples.fold((Vector3::zeros(), 0), |(sum, count), it| (sum + it, count + 1));
    (count > 0).then(|| sum / count as f32)
}

/// The closest middle and the square of the way to it.
fn closest(middles: &[Vector3<f32>], sample: &Vector3<f32>) -> (usize, f32) {
    let ways = middles.iter().map(|it| (it - sample).norm_squared()).enumerate();
    ways.min_by(|a, b| a.1.total_cmp(&b.1)).unwrap_or((0, f32::INFINITY))
}

/// The mean, then again and again the sample farthest from those taken.
fn far_apart(samples: &[Vector3<f32>], count: usize) -> Vec<Vector3<f32>> {
    let mut middles: Vec<Vector3<f32>> = mean(samples.iter()).into_iter().collect();
    while middles.len() < count {
        let ways = samples.iter().map(|it| (closest(&middles, it).1, it));
        let Some((_, far)) = ways.max_by(|a, b| a.0.total_cmp(&b.0)) else { break };
        middles.push(*far);
    }
    middles
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn colours_have_their_published_lab_values() {
        // sRGB red and white in L*a*b*, D65: 53.24, 80.09, 67.20 and 100, 0, 0
        // (Lindbloom's CIE colour calculator; from memory).
        let red = lab(light([255.0, 0.0, 0.0]));
        assert!(red.iter().zip([53.24, 80.09, 67.2]).all(|(a, b)| (a - b).abs() < 0.1), "{red:?}");
        let white = lab(light([255.0; 3]));
        assert!(white.iter().zip([100.0, 0.0, 0.0]).all(|(a, b)| (a - b).abs() < 0.05), "{white:?}");
    }

    #[test]
    fn half_the_light_gives_the_lab_values_of_half_the_light() {
        let stone = [0.4, 0.35, 0.3];
        let (worked_out, measured) = (shaded(lab(stone), 0.5), lab(stone.map(|it| it / 2.0)));
        assert!(
            worked_out.iter().zip(measured).all(|(a, b)| (a - b).abs() < 0.05),
            "{worked_out:?} {measured:?}"
        );
    }

    #[test]
    fn a_material_knows_its_own_colours() {
        let own: Vec<Lab> =
            (0..200).map(|it| [40.0 + (it % 7) as f32, 10.0, 20.0 + (it % 5) as f32]).collect();
        let wood = Material::of(&own, 3).unwrap();
        assert!(wood.likelihood([43.0, 10.0, 22.0]) > wood.likelihood([70.0, 0.0, 2.0]) + 10.0);
    }
}
