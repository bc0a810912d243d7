//! Reads a picture from bytes that may be anything.

use std::io::Cursor;
use std::panic::{AssertUnwindSafe, catch_unwind};

use image::metadata::Orientation;
use image::{DynamicImage, ImageDecoder, ImageFormat, ImageReader, Limits, RgbImage};
use measure::Problem;

/// The largest file that is read; a 60-megapixel picture of best quality is about 40 MB.
const MOST_BYTES: usize = 60_000_000;

/// The most pixels that are read: more than any pocket camera gives.
const MOST_PIXELS: u64 = 64_000_000;

/// The memory that decoding may take: [`MOST_PIXELS`] at four bytes, and as much again on the way.
const MOST_MEMORY: u64 = 512_000_000;

/// Fewer pixels than this along a side show nothing that could be measured.
const LEAST_SIDE: u32 = 64;

/// The diagonal of a 36 by 24 mm frame, for which the equivalent focal length is stated.
const FRAME_DIAGONAL_MM: f64 = 43.266_615_3;

/// Equivalent focal lengths outside of this are taken as not stated.
const FOCAL_35_MM: std::ops::RangeInclusive<f64> = 8.0..=400.0;

/// A decoded picture, turned upright.
#[derive(Clone, Debug)]
pub struct Picture {
    pub(crate) image: RgbImage,
    // Invariant: within `FOCAL_35_MM`.
    focal_35_mm: Option<f64>,
}

impl Picture {
    /// Pixels from left to right.
    pub fn width_px(&self) -> u32 {
        self.image.width()
    }

    /// Pixels from top to bottom.
    pub fn height_px(&self) -> u32 {
        self.image.height()
    }

    /// The lens's focal length for a 36 by 24 mm frame, if the file states it.
    pub fn focal_35_mm(&self) -> Option<f64> {
        self.focal_35_mm
    }

    /// An equivalent focal length in pixels of this picture.
    pub(crate) fn focal_px(&self, focal_35_mm: f64) -> f64 {
        let diagonal = f64::from(self.width_px()).hypot(f64::from(self.height_px()));
        focal_35_mm * diagonal / FRAME_DIAGONAL_MM
    }
}

/// Reads a JPEG, PNG or WebP picture, known by its content, and turns it as its
/// file says.
///
/// # Errors
/// Too many bytes or pixels, another kind of file, one that is cut off or garbled.
pub fn read_picture(bytes: &[u8]) -> Result<Picture, Problem> {
    if bytes.len() > MOST_BYTES {
        let message = format!(
            "the picture file has {:.0} MB; at most {} MB are read",
            bytes.len() as f64 / 1e6,
            MOST_BYTES / 1_000_000
        );
        return Err(Problem::new(message).hint("send it smaller, or with a lower quality"));
    }
    guarded("the picture could not be read", || decode(bytes))?
}

/// Runs foreign code on foreign data; a panic in it becomes a problem.
pub(crate) fn guarded<T>(trouble: &str, work: impl FnOnce() -> T) -> Result<T, Problem> {
    catch_unwind(AssertUnwindSafe(work))
        .map_err(|_| Problem::new(format!("{trouble}: the file is garbled")).hint("take or send it again"))
}

fn decode(bytes: &[u8]) -> Result<Picture, Problem> {
    let reader = ImageReader::new(Cursor::new(bytes)).with_guessed_format();
    let reader = reader.map_err(|trouble| garbled(&trouble))?;
    match reader.format() {
        Some(ImageFormat::Jpeg) if !jpeg_ends(bytes) => return Err(cut_off()),
        Some(ImageFormat::Jpeg | ImageFormat::Png | ImageFormat::WebP) => {}
        _ => {
            return Err(Problem::new("the file is not a JPEG, PNG or WebP picture")
                .hint("save or export it as JPEG first"));
        }
    }
    let mut decoder = reader.into_decoder().map_err(|trouble| garbled(&trouble))?;
    let (width, height) = decoder.dimensions();
    check_size(width, height)?;
    let mut limits = Limits::default();
    limits.max_alloc = Some(MOST_MEMORY);
    decoder.set_limits(limits).map_err(|trouble| garbled(&trouble))?;
    // A picture whose turn cannot be read is taken as it stands.
    let orientation = decoder.orientation().unwrap_or(Orientation::NoTransforms);
    let mut image = DynamicImage::from_decoder(decoder).map_err(|trouble| garbled(&trouble))?;
    image.apply_orientation(orientation);
    Ok(Picture { image: on_white(image), focal_35_mm: focal_35_mm(bytes) })
}

fn check_size(width: u32, height: u32) -> Result<(), Problem> {
    let pixels = u64::from(width) * u64::from(height);
    if pixels > MOST_PIXELS {
        let message = format!(
            "the picture has {width} by {height} pixels; at most {} million are read",
            MOST_PIXELS / 1_000_000
        );
        return Err(Problem::new(message).hint("send it smaller"));
    }
    if width.min(height) < LEAST_SIDE {
        let message = format!("the picture has only {width} by {height} pixels");
        return Err(Problem::new(message).hint("send the original, as the camera took it"));
    }
    Ok(())
}

fn garbled(trouble: &dyn std::fmt::Display) -> Problem {
    let trouble = trouble.to_string();
    let trouble = trouble.trim().trim_end_matches('.');
    Problem::new(format!("the picture could not be read: {trouble}")).hint("take or send it again")
}

fn cut_off() -> Problem {
    Problem::new("the picture file is cut off before its end").hint("send it again")
}

/// Whether a JPEG has its end mark after the start of its scan. The decoder
/// fills a missing part with gray, which must not be measured.
fn jpeg_ends(bytes: &[u8]) -> bool {
    let mut at = 2;
    while let Some(&[0xff, kind, high, low]) = bytes.get(at..at + 4).and_then(|it| it.first_chunk::<4>()) {
        match kind {
            0xff => at += 1,
            0xda => return bytes[at..].windows(2).any(|pair| pair == [0xff, 0xd9]),
            _ => at += 2 + usize::from(u16::from_be_bytes([high, low])),
        }
    }
    false
}

/// Without transparency: what shines through is white.
fn on_white(image: DynamicImage) -> RgbImage {
    if !image.color().has_alpha() {
        return image.into_rgb8();
    }
    let image = image.into_rgba8();
    RgbImage::from_fn(image.width(), image.height(), |x, y| {
        let [red, green, blue, alpha] = image.get_pixel(x, y).0;
        let over = |it: u8| ((u32::from(it) * u32::from(alpha) + 255 * (255 - u32::from(alpha))) / 255) as u8;
        image::Rgb([over(red), over(green), over(blue)])
    })
}

fn focal_35_mm(bytes: &[u8]) -> Option<f64> {
    let told = exif::Reader::new().read_from_container(&mut Cursor::new(bytes)).ok()?;
    let field = told.get_field(exif::Tag::FocalLengthIn35mmFilm, exif::In::PRIMARY)?;
    let focal = f64::from(field.value.get_uint(0)?);
    FOCAL_35_MM.contains(&focal).then_some(focal)
}
