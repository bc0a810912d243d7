//! Reads a picture from bytes that may be anything.

use std::borrow::Cow;
use std::io::Cursor;
use std::panic::{AssertUnwindSafe, catch_unwind};

use image::codecs::jpeg::JpegEncoder;
use image::metadata::Orientation;
use image::{DynamicImage, ImageDecoder, ImageFormat, ImageReader, Limits, RgbImage};
use measure::Problem;

use crate::stated::Stated;

/// The largest file that is read; a 60-megapixel picture of best quality is about 40 MB.
const MOST_BYTES: usize = 60_000_000;

/// The most pixels that are read: more than any pocket camera gives.
pub(crate) const MOST_PIXELS: u64 = 64_000_000;

/// The memory that decoding may take: [`MOST_PIXELS`] at four bytes, and as much again on the way.
const MOST_MEMORY: u64 = 512_000_000;

/// Fewer pixels than this along a side show nothing that could be measured.
pub(crate) const LEAST_SIDE: u32 = 64;

/// A picture that is kept as JPEG loses nothing at this quality that a screen shows.
const SHOWN_QUALITY: u8 = 92;

/// The way on when a telephone's own kind of picture cannot be read.
pub(crate) const AS_JPEG: &str =
    "set the telephone's camera to save JPEG, or export this picture as JPEG and send that";

/// A decoded picture, turned upright.
#[derive(Clone, Debug)]
pub struct Picture {
    pub(crate) image: RgbImage,
    /// What its file states of the lens.
    pub(crate) stated: Stated,
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

    /// A part of it, so many pixels from its left and upper edge, as far as it
    /// lies within; the lens says nothing of a part.
    #[must_use]
    pub fn part(&self, left: u32, top: u32, width: u32, height: u32) -> Picture {
        let image = image::imageops::crop_imm(&self.image, left, top, width, height).to_image();
        Picture { image, stated: Stated::default() }
    }

    /// The file that it was read from, or, if that is HEIC, which few browsers
    /// show, the same picture upright as JPEG.
    ///
    /// # Errors
    /// The JPEG could not be written.
    pub fn to_show<'a>(&self, file: &'a [u8]) -> Result<Cow<'a, [u8]>, Problem> {
        if !is_heic(file) {
            return Ok(Cow::Borrowed(file));
        }
        let mut jpeg = Vec::new();
        let written = JpegEncoder::new_with_quality(&mut jpeg, SHOWN_QUALITY).encode_image(&self.image);
        written
            .map_err(|trouble| Problem::new(format!("the picture could not be kept as JPEG: {trouble}")))?;
        Ok(Cow::Owned(jpeg))
    }

    /// The lens's focal length for a 36 by 24 mm frame, if the file states one that can be.
    pub fn focal_35_mm(&self) -> Option<f64> {
        self.stated.focal_35_mm()
    }
}

/// Reads a JPEG, PNG or WebP picture, and with the feature `heic` a HEIC one,
/// known by its content, and turns it as its file says.
///
/// # Errors
/// Too many bytes or pixels, another kind of file, one that moves, is cut off or garbled.
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
    if bytes.is_empty() {
        return Err(Problem::new("the picture file is empty").hint("send it again"));
    }
    if is_heic(bytes) {
        return Ok(Picture { image: heic(bytes)?, stated: Stated::in_file(bytes) });
    }
    let reader = ImageReader::new(Cursor::new(bytes)).with_guessed_format();
    let reader = reader.map_err(|trouble| garbled(&trouble))?;
    match reader.format() {
        Some(ImageFormat::Jpeg) if !jpeg_ends(bytes) => return Err(cut_off()),
        Some(ImageFormat::Jpeg | ImageFormat::Png | ImageFormat::WebP) => {}
        _ => {
            return Err(Problem::new("the file is not a JPEG, PNG, WebP or HEIC picture")
                .hint("save or export it as JPEG first"));
        }
    }
    let mut decoder = reader.into_decoder().map_err(|trouble| garbled(&trouble))?;
    let (width, height) = decoder.dimensions();
    check_size(width, height)?;
    if moves(bytes) {
        return Err(Problem::new("the picture moves").hint("send a single still photograph"));
    }
    let mut limits = Limits::default();
    limits.max_alloc = Some(MOST_MEMORY);
    decoder.set_limits(limits).map_err(|trouble| garbled(&trouble))?;
    // A picture whose turn cannot be read is taken as it stands.
    let orientation = decoder.orientation().unwrap_or(Orientation::NoTransforms);
    let mut image = DynamicImage::from_decoder(decoder).map_err(|trouble| garbled(&trouble))?;
    image.apply_orientation(orientation);
    Ok(Picture { image: on_white(image), stated: Stated::in_file(bytes) })
}

/// Whether the file says that it is of a kind that telephones save HEVC stills
/// in (ISO/IEC 23008-12, annex B: the brands), first of all or among others.
fn is_heic(bytes: &[u8]) -> bool {
    let Some([_, _, _, length, b'f', b't', b'y', b'p']) = bytes.first_chunk::<8>() else { return false };
    let brands = bytes.get(8..usize::from(*length)).unwrap_or_default();
    let (first, others) = (brands.get(..4), brands.get(8..).unwrap_or_default().chunks(4));
    let still = |it: &[u8]| matches!(it, b"heic" | b"heix" | b"heim" | b"heis" | b"mif1");
    let other_kind = matches!(first, Some(b"avif" | b"avis"));
    !other_kind && first.into_iter().chain(others).any(still)
}

#[cfg(feature = "heic")]
fn heic(bytes: &[u8]) -> Result<RgbImage, Problem> {
    crate::heic::read(bytes)
}

#[cfg(not(feature = "heic"))]
fn heic(_: &[u8]) -> Result<RgbImage, Problem> {
    Err(Problem::new("the file is a HEIC picture, which this program was built not to read").hint(AS_JPEG))
}

pub(crate) fn check_size(width: u32, height: u32) -> Result<(), Problem> {
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

/// Whether a PNG has a table of frames before its first picture, or a WebP says
/// that it holds some.
fn moves(bytes: &[u8]) -> bool {
    if let Some(&[b'V', b'P', b'8', b'X', _, _, _, _, flags]) =
        bytes.get(12..21).and_then(|it| it.first_chunk::<9>())
    {
        return bytes.starts_with(b"RIFF") && flags & 2 != 0;
    }
    let mut at = 8;
    while let Some(&[a, b, c, d, ref kind @ ..]) = bytes.get(at..at + 8).and_then(|it| it.first_chunk::<8>())
    {
        match kind {
            b"acTL" => return bytes.starts_with(b"\x89PNG"),
            b"IDAT" => return false,
            _ => at = at.saturating_add(12).saturating_add(u32::from_be_bytes([a, b, c, d]) as usize),
        }
    }
    false
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
