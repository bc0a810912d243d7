//! From light to a JPEG: the lens's softness, the sensor's noise, the tone curve.

use image::codecs::jpeg::JpegEncoder;
use image::{ImageEncoder, RgbImage, imageops};
use measure::Problem;
use rayon::prelude::*;

use crate::noise::mix;
use crate::shot::{Film, Shot};

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
    let moved = moved(linear, shot.camera.width_px as usize, shot.film.motion_px);
    let bath = Bath { noise: shot.noise as f32, film: shot.film };
    write(shot, bath.picture(&moved, size)?)
}

/// What light is developed in: how strong the noise is, and the film.
struct Bath {
    noise: f32,
    film: Film,
}

/// What lens and sensor make of light.
pub(crate) fn picture(linear: &[[f32; 3]], size: [u32; 2], noise: f32) -> Result<RgbImage, Problem> {
    Bath { noise, film: Film::PLAIN }.picture(linear, size)
}

impl Bath {
    fn picture(&self, linear: &[[f32; 3]], [width, height]: [u32; 2]) -> Result<RgbImage, Problem> {
        let curve = Curve::new(self.film.contrast);
        let mut tones = soften(linear, width as usize);
        tones.par_iter_mut().enumerate().for_each(|(at, pixel)| {
            *pixel = grain(*pixel, at as u32, self.noise).map(|it| curve.tone(it));
        });
        if self.film.sharpening > 0.0 {
            sharpen(&mut tones, width as usize, self.film.sharpening as f32);
        }
        let mut bytes = vec![0_u8; tones.len() * 3];
        bytes.par_chunks_exact_mut(3).zip(&tones).enumerate().for_each(|(at, (rgb, tone))| {
            (0..3).for_each(|it| {
                rgb[it] = (tone[it] + dither(at as u32, it as u32)).clamp(0.0, 255.0) as u8;
            });
        });
        RgbImage::from_raw(width, height, bytes).ok_or_else(|| Problem::new("a picture without pixels"))
    }
}

/// Places along the way of a hand that moved.
const MOTION_TAPS: usize = 5;

/// Light smeared evenly along a straight way.
fn moved(linear: Vec<[f32; 3]>, width: usize, [right, down]: [f64; 2]) -> Vec<[f32; 3]> {
    if right == 0.0 && down == 0.0 {
        return linear;
    }
    let height = linear.len() / width;
    let mut smeared = vec![[0.0_f32; 3]; linear.len()];
    smeared.par_chunks_mut(width).enumerate().for_each(|(row, out)| {
        for (column, pixel) in out.iter_mut().enumerate() {
            for tap in 0..MOTION_TAPS {
                let part = (tap as f64 + 0.5) / MOTION_TAPS as f64 - 0.5;
                let (x, y) = (column as f64 + part * right, row as f64 + part * down);
                let light = at_place(&linear, [width, height], x.max(0.0), y.max(0.0));
                (0..3).for_each(|it| pixel[it] += light[it] / MOTION_TAPS as f32);
            }
        }
    });
    smeared
}

/// Light between pixels, straight from one to the next.
fn at_place(linear: &[[f32; 3]], [width, height]: [usize; 2], x: f64, y: f64) -> [f32; 3] {
    let (x, y) = (x.min((width - 1) as f64), y.min((height - 1) as f64));
    let (column, row) = ((x as usize).min(width - 2), (y as usize).min(height - 2));
    let (u, v) = ((x - column as f64) as f32, (y - row as f64) as f32);
    let at = |row: usize, column: usize| linear[row * width + column];
    let (a, b, c, d) = (at(row, column), at(row, column + 1), at(row + 1, column), at(row + 1, column + 1));
    [0, 1, 2].map(|it| (a[it] * (1.0 - u) + b[it] * u) * (1.0 - v) + (c[it] * (1.0 - u) + d[it] * u) * v)
}

/// An unsharp mask on brightness, with the mean of 3 x 3 pixels taken twice over.
fn sharpen(tones: &mut [[f32; 3]], width: usize, strength: f32) {
    let bright: Vec<f32> = tones.par_iter().map(|it| 0.299 * it[0] + 0.587 * it[1] + 0.114 * it[2]).collect();
    let soft = evened(&evened(&bright, width), width);
    tones.par_iter_mut().enumerate().for_each(|(at, pixel)| {
        let more = strength * (bright[at] - soft[at]);
        *pixel = pixel.map(|it| it + more);
    });
}

/// The mean of 3 x 3 values, everywhere.
fn evened(values: &[f32], width: usize) -> Vec<f32> {
    let height = values.len() / width;
    let mut out = vec![0.0; values.len()];
    out.par_chunks_mut(width).enumerate().for_each(|(row, out)| {
        let line = |row: usize| &values[row * width..(row + 1) * width];
        let (above, here, below) = (line(row.saturating_sub(1)), line(row), line((row + 1).min(height - 1)));
        let sum = |column: usize| above[column] + here[column] + below[column];
        for (column, value) in out.iter_mut().enumerate() {
            let (left, right) = (column.saturating_sub(1), (column + 1).min(width - 1));
            *value = (sum(left) + sum(column) + sum(right)) / 9.0;
        }
    });
    out
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
    /// `contrast` is how much of an S is laid over it.
    fn new(contrast: f64) -> Curve {
        let tone = |it: f64| if it <= 0.003_130_8 { 12.92 * it } else { 1.055 * it.powf(1.0 / 2.4) - 0.055 };
        let bent = |it: f64| it + contrast * (it * it * (3.0 - 2.0 * it) - it);
        Curve((0..=FINE).map(|it| (255.0 * bent(tone(it as f64 / FINE as f64))) as f32).collect())
    }

    /// From 0 to 255.
    fn tone(&self, light: f32) -> f32 {
        let at = light.clamp(0.0, 1.0) * FINE as f32;
        let low = (at as usize).min(FINE - 1);
        let share = at - low as f32;
        self.0[low] + (self.0[low + 1] - self.0[low]) * share
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Dark on the left, pale on the right, from column 16 on.
    fn edge() -> Vec<[f32; 3]> {
        (0..32 * 32).map(|it| if it % 32 < 16 { [0.1; 3] } else { [0.5; 3] }).collect()
    }

    #[test]
    fn a_hand_that_moves_smears_by_as_much_and_takes_no_light() {
        let still = edge();
        let smeared = moved(still.clone(), 32, [4.0, 0.0]);
        let row = |column: usize| smeared[5 * 32 + column][0];
        assert!((row(12) - 0.1).abs() < 1e-6 && (row(19) - 0.5).abs() < 1e-6);
        assert!(row(14) > 0.11 && row(17) < 0.49);
        let sum = |it: &[[f32; 3]]| it.iter().map(|it| it[0]).sum::<f32>();
        assert!((sum(&smeared) / sum(&still) - 1.0).abs() < 1e-3);
        assert!(moved(still.clone(), 32, [0.0; 2]) == still);
    }

    #[test]
    fn sharpening_changes_edges_alone() {
        let mut tones: Vec<[f32; 3]> = edge().iter().map(|it| it.map(|it| it * 255.0)).collect();
        let before = tones.clone();
        sharpen(&mut tones, 32, 0.5);
        assert!((tones[3][0] - before[3][0]).abs() < 1e-3 && (tones[28][0] - before[28][0]).abs() < 1e-3);
        assert!(tones[15][0] < before[15][0] - 5.0 && tones[16][0] > before[16][0] + 5.0);
    }

    #[test]
    fn contrast_keeps_black_white_and_the_middle() {
        let (plain, bent) = (Curve::new(0.0), Curve::new(0.4));
        assert!((bent.tone(0.0), bent.tone(1.0)) == (plain.tone(0.0), plain.tone(1.0)));
        // sRGB 0.5 is 0.214 in linear light (IEC 61966-2-1).
        assert!((bent.tone(0.214) - 127.5).abs() < 0.2);
        assert!(bent.tone(0.05) < plain.tone(0.05) && bent.tone(0.6) > plain.tone(0.6));
    }
}
