//! From light to a JPEG: the lens's softness, the sensor's noise, the tone curve.

use image::codecs::jpeg::JpegEncoder;
use image::{ImageEncoder, RgbImage, imageops};
use measure::Problem;
use rayon::prelude::*;

use crate::noise::mix;
use crate::shot::Shot;

/// Softness of lens and sensor together: standard deviation in pixels.
const SOFTNESS: f64 = 0.75;
/// The blur is cut off at this many pixels: four standard deviations.
const REACH: usize = 3;
/// Variance of the noise per unit of light, and in the dark (light from 0 to 1).
const SHOT_NOISE: [f64; 2] = [1.1e-4, 1.2e-6];
/// Share of the noise that is the same in all three colours.
const GREY_NOISE: f32 = 0.8;

pub(crate) fn develop(shot: &Shot, linear: Vec<[f32; 3]>) -> Result<Vec<u8>, Problem> {
    let size = [shot.camera.width_px, shot.camera.height_px];
    write(shot, picture(&linear, size, shot.noise as f32)?)
}

/// What lens and sensor make of light.
pub(crate) fn picture(
    linear: &[[f32; 3]],
    [width, height]: [u32; 2],
    noise: f32,
) -> Result<RgbImage, Problem> {
    let soft = soften(linear, width as usize);
    let mut bytes = vec![0_u8; soft.len() * 3];
    let curve = Curve::new();
    bytes.par_chunks_mut(width as usize * 3).enumerate().for_each(|(row, out)| {
        for (column, rgb) in out.chunks_exact_mut(3).enumerate() {
            let at = row * width as usize + column;
            let grainy = grain(soft[at], at as u32, noise);
            (0..3).for_each(|it| rgb[it] = curve.byte(grainy[it], dither(at as u32, it as u32)));
        }
    });
    RgbImage::from_raw(width, height, bytes).ok_or_else(|| Problem::new("a picture without pixels"))
}

fn write(shot: &Shot, upright: RgbImage) -> Result<Vec<u8>, Problem> {
    let stored = match shot.exif.map_or(1, |it| it.orientation) {
        1 => upright,
        3 => imageops::rotate180(&upright),
        6 => imageops::rotate270(&upright),
        8 => imageops::rotate90(&upright),
        other => {
            return Err(
                Problem::new(format!("orientation {other} is no plain turn")).hint("use 1, 3, 6 or 8")
            );
        }
    };
    let mut jpeg = Vec::new();
    JpegEncoder::new_with_quality(&mut jpeg, shot.jpeg_quality)
        .write_image(stored.as_raw(), stored.width(), stored.height(), image::ExtendedColorType::Rgb8)
        .map_err(|error| Problem::new(format!("the picture cannot be written: {error}")))?;
    Ok(match shot.exif {
        Some(exif) => exif.put_into(&jpeg, [stored.width(), stored.height()]),
        None => jpeg,
    })
}

/// A Gaussian blur, along rows and then along columns.
fn soften(linear: &[[f32; 3]], width: usize) -> Vec<[f32; 3]> {
    let mut weights = [0.0_f32; 2 * REACH + 1];
    for (at, weight) in weights.iter_mut().enumerate() {
        let off = (at as f64 - REACH as f64) / SOFTNESS;
        *weight = (-0.5 * off * off).exp() as f32;
    }
    let sum: f32 = weights.iter().sum();
    weights.iter_mut().for_each(|it| *it /= sum);
    let height = linear.len() / width;
    let mut across = vec![[0.0_f32; 3]; linear.len()];
    across.par_chunks_mut(width).zip(linear.par_chunks(width)).for_each(|(out, row)| {
        for (column, pixel) in out.iter_mut().enumerate() {
            for (tap, weight) in weights.iter().enumerate() {
                let from = row[(column + tap).saturating_sub(REACH).min(width - 1)];
                (0..3).for_each(|it| pixel[it] += weight * from[it]);
            }
        }
    });
    let mut both = vec![[0.0_f32; 3]; linear.len()];
    both.par_chunks_mut(width).enumerate().for_each(|(row, out)| {
        for (tap, weight) in weights.iter().enumerate() {
            let from = (row + tap).saturating_sub(REACH).min(height - 1) * width;
            for (pixel, from) in out.iter_mut().zip(&across[from..from + width]) {
                (0..3).for_each(|it| pixel[it] += weight * from[it]);
            }
        }
    });
    both
}

/// Adds the sensor's noise.
fn grain(light: [f32; 3], at: u32, strength: f32) -> [f32; 3] {
    if strength == 0.0 {
        return light;
    }
    let grey = bell(at, 0);
    [0, 1, 2].map(|it| {
        let own = bell(at, it as u32 + 1);
        let spread = (SHOT_NOISE[0] as f32 * light[it].max(0.0) + SHOT_NOISE[1] as f32).sqrt();
        light[it] + strength * spread * (GREY_NOISE * grey + (1.0 - GREY_NOISE * GREY_NOISE).sqrt() * own)
    })
}

/// A bell-shaped random number of spread 1: the sum of four even ones.
fn bell(at: u32, layer: u32) -> f32 {
    let bits = mix(at ^ mix(layer.wrapping_mul(0x9e37_79b9) ^ 0x5bd1_e995));
    let sum: f32 = (0..4).map(|it| f32::from((bits >> (8 * it)) as u8)).sum();
    (sum / 255.0 - 2.0) * 3.0_f32.sqrt()
}

fn dither(at: u32, layer: u32) -> f32 {
    f32::from(mix(at.wrapping_mul(3).wrapping_add(layer) ^ 0x1234_5678) as u16) / 65536.0
}

/// The sRGB tone curve (IEC 61966-2-1) as a table.
struct Curve(Vec<f32>);

/// Places of the table.
const FINE: usize = 4096;

impl Curve {
    fn new() -> Curve {
        let tone = |it: f64| if it <= 0.003_130_8 { 12.92 * it } else { 1.055 * it.powf(1.0 / 2.4) - 0.055 };
        Curve((0..=FINE).map(|it| (255.0 * tone(it as f64 / FINE as f64)) as f32).collect())
    }

    fn byte(&self, light: f32, dither: f32) -> u8 {
        let at = light.clamp(0.0, 1.0) * FINE as f32;
        let low = (at as usize).min(FINE - 1);
        let share = at - low as f32;
        let value = self.0[low] + (self.0[low + 1] - self.0[low]) * share;
        (value + dither).clamp(0.0, 255.0) as u8
    }
}
