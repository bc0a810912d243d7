//! A face's picture, cut to its window and made small enough for paper.

use std::io::Cursor;

use image::codecs::jpeg::JpegEncoder;
use image::imageops::FilterType;
use image::{ImageReader, Limits};
use outline::{Bounds, Point};
use stock::FacePicture;

/// A picture as it goes into the document.
pub(crate) struct Print {
    /// JPEG.
    pub(crate) bytes: Vec<u8>,
    /// What it shows, on the face.
    pub(crate) area: Bounds,
}

/// The longest side in pixels; more than a printer shows on a page.
const MOST_PIXELS: u32 = 1600;

/// No larger picture is opened.
const LARGEST_SIDE: u32 = 20_000;
const LARGEST_MEMORY: u64 = 512 * 1024 * 1024;

const JPEG_QUALITY: u8 = 84;

/// Cuts a picture to a window of its face; `None` if it cannot be read, or
/// shows nothing of the window.
pub(crate) fn print(bytes: &[u8], known: &FacePicture, window: Bounds) -> Option<Print> {
    let mut reader = ImageReader::new(Cursor::new(bytes)).with_guessed_format().ok()?;
    let mut limits = Limits::default();
    limits.max_image_width = Some(LARGEST_SIDE);
    limits.max_image_height = Some(LARGEST_SIDE);
    limits.max_alloc = Some(LARGEST_MEMORY);
    reader.limits(limits);
    let whole = reader.decode().ok()?.into_rgb8();

    // The stored size rules the scale, should the picture have been kept smaller.
    let (width, height) = (f64::from(whole.width()), f64::from(whole.height()));
    let across = f64::from(known.width_px) * known.pixel.to_mm() / width;
    let upright = f64::from(known.height_px) * known.pixel.to_mm() / height;
    if !(across > 0.0 && upright > 0.0) {
        return None;
    }
    let left = (window.low.x / across).floor().clamp(0.0, width);
    let right = (window.high.x / across).ceil().clamp(0.0, width);
    let top = (height - window.high.y / upright).floor().clamp(0.0, height);
    let low = (height - window.low.y / upright).ceil().clamp(0.0, height);
    if right - left < 2.0 || low - top < 2.0 {
        return None;
    }
    let area = Bounds {
        low: Point::new(left * across, (height - low) * upright),
        high: Point::new(right * across, (height - top) * upright),
    };
    let cut =
        image::imageops::crop_imm(&whole, left as u32, top as u32, (right - left) as u32, (low - top) as u32);
    let cut = image::DynamicImage::from(cut.to_image());
    let cut = match cut.width().max(cut.height()) > MOST_PIXELS {
        true => cut.resize(MOST_PIXELS, MOST_PIXELS, FilterType::Triangle),
        false => cut,
    };
    let mut out = Vec::new();
    cut.write_with_encoder(JpegEncoder::new_with_quality(&mut out, JPEG_QUALITY)).ok()?;
    Some(Print { bytes: out, area })
}
