//! Reads HEIC pictures, as telephones save them: HEVC still pictures, alone or
//! as the tiles of a grid, in a HEIF file (ISO/IEC 23008-12).
//!
//! A few bytes of such a file can ask for hours of work, by a grid that shows
//! one tile thousands of times or a size that is never filled. So all that the
//! file asks for is added up first, and nothing is decoded before it is known
//! to be what a camera would write.

use heifer::heifer_hevc_dec::nal::{NalUnit, NalUnitType, split_annex_b};
use heifer::heifer_hevc_dec::params::Sps;
use heifer::heifer_isobmff::boxes::Property;
use heifer::heifer_isobmff::{BoxIter, HeifFile, ItemId};
use image::RgbImage;
use measure::Problem;

use crate::picture::{AS_JPEG, MOST_PIXELS, check_size};

/// The largest table of what the file holds. A telephone's largest has some
/// 20 kB; reading a table takes as the square of it.
const MOST_TABLE: usize = 500_000;

/// The most tiles: 64 megapixels in squares of 256.
const MOST_TILES: usize = 1024;

/// The most pixels of all tiles; those at the edges reach past the picture.
const MOST_CODED: u64 = 2 * MOST_PIXELS;

/// The most slices of one picture (ITU-T H.265, table A.8, level 6.2).
const MOST_SLICES: usize = 600;

/// A crop, a turn and a mirroring: each may stand once.
const MOST_TURNS: usize = 3;

/// Reads one, turned as it says itself. The EXIF block's turn says the same
/// again and is not to be applied (ISO/IEC 23008-12, annex A).
pub(crate) fn read(bytes: &[u8]) -> Result<RgbImage, Problem> {
    check_table(bytes)?;
    let file = HeifFile::parse(bytes).map_err(|it| garbled(&it))?;
    check(&file, bytes.len())?;
    let options = heifer::Options { max_threads: 0, max_pixels: MOST_PIXELS };
    let image = heifer::decode_rgba8(bytes, &options).map_err(|it| garbled(&it))?;
    let (width, height) = (image.width, image.height);
    // What was decoded may still be less than what was promised.
    check_size(width, height)?;
    RgbImage::from_raw(width, height, image.into_rgb8())
        .ok_or_else(|| odd("its size is not that of its pixels"))
}

fn check_table(bytes: &[u8]) -> Result<(), Problem> {
    for part in BoxIter::new(bytes) {
        let part = part.map_err(|it| garbled(&it))?;
        if &part.header.box_type.0 == b"meta" && part.content.len() > MOST_TABLE {
            return Err(odd("its table of contents is too long"));
        }
    }
    Ok(())
}

/// Whether the picture that the file shows is one that may be decoded.
fn check(file: &HeifFile<'_>, bytes: usize) -> Result<(), Problem> {
    let shown = file.primary_id;
    let tiles = match &kind(file, shown)? {
        b"hvc1" => {
            let size = file.image_size(shown).map_err(|it| garbled(&it))?;
            let (width, height) = size.ok_or_else(|| odd("it does not state its size"))?;
            check_size(width, height)?;
            vec![shown]
        }
        b"grid" => grid(file, shown)?,
        other => return Err(odd(&format!("its picture is of the kind “{}”", other.escape_ascii()))),
    };
    if tiles.len() > MOST_TILES {
        return Err(odd(&format!("it has {} tiles; at most {MOST_TILES} are read", tiles.len())));
    }
    if turns(file, shown)? > MOST_TURNS || has_transparency(file, shown)? {
        return Err(odd("it is turned again and again, or transparent"));
    }
    let mut asked = Asked::default();
    for tile in tiles {
        let plain = tile == shown || (turns(file, tile)? == 0 && !has_transparency(file, tile)?);
        if &kind(file, tile)? != b"hvc1" || !plain {
            return Err(odd("a tile of it is no plain picture"));
        }
        asked.add(file, tile, bytes)?;
    }
    Ok(())
}

/// A grid's tiles. They must be alike and cover it: what no tile
/// covers would be black, and measured.
fn grid(file: &HeifFile<'_>, shown: ItemId) -> Result<Vec<ItemId>, Problem> {
    let grid = file.grid(shown).map_err(|it| garbled(&it))?;
    check_size(grid.output_width, grid.output_height)?;
    let tiles = file.referenced_items(shown, b"dimg");
    let mut sizes = Vec::new();
    for tile in tiles.iter().take(MOST_TILES) {
        sizes.push(file.image_size(*tile).map_err(|it| garbled(&it))?);
    }
    let Some(Some((width, height))) = sizes.first().copied() else {
        return Err(odd("its tiles do not state their size"));
    };
    let covers = |of: u16, side: u32, whole: u32| u64::from(of) * u64::from(side) >= u64::from(whole);
    let covered =
        covers(grid.columns, width, grid.output_width) && covers(grid.rows, height, grid.output_height);
    if !covered || sizes.iter().any(|it| *it != Some((width, height))) {
        return Err(odd("its tiles do not cover it"));
    }
    Ok(tiles.to_vec())
}

/// What the tiles looked at so far ask for.
#[derive(Default)]
struct Asked {
    bytes: usize,
    pixels: u64,
}

impl Asked {
    fn add(&mut self, file: &HeifFile<'_>, tile: ItemId, most_bytes: usize) -> Result<(), Problem> {
        self.bytes += file.item_data(tile).map_err(|it| garbled(&it))?.len();
        // Tiles that share their bytes would be copied out of the file once each.
        if self.bytes > most_bytes {
            return Err(odd("its tiles lie over each other"));
        }
        let stream = file.hevc_bitstream(tile).map_err(|it| garbled(&it))?;
        let (mut pixels, mut slices) = (0, 0);
        for unit in split_annex_b(&stream) {
            let unit = NalUnit::parse(unit).map_err(|it| garbled(&it))?;
            if unit.header.unit_type == NalUnitType::Sps {
                let size = Sps::parse(&unit.rbsp).map_err(|it| garbled(&it))?;
                let (width, height) = (size.pic_width_in_luma_samples, size.pic_height_in_luma_samples);
                pixels = pixels.max(u64::from(width) * u64::from(height));
            }
            slices += usize::from(unit.header.unit_type.is_slice());
        }
        self.pixels = self.pixels.saturating_add(pixels);
        if self.pixels > MOST_CODED || slices > MOST_SLICES {
            return Err(odd("there is far more in it than it shows"));
        }
        Ok(())
    }
}

fn kind(file: &HeifFile<'_>, id: ItemId) -> Result<[u8; 4], Problem> {
    file.item(id).map(|it| it.item_type.0).map_err(|it| garbled(&it))
}

fn turns(file: &HeifFile<'_>, id: ItemId) -> Result<usize, Problem> {
    let those = file.item_properties(id).map_err(|it| garbled(&it))?;
    let turns = |it: &&Property| {
        matches!(it, Property::Rotation(_) | Property::Mirror(_) | Property::CleanAperture { .. })
    };
    Ok(those.filter(turns).count())
}

/// Whether another picture in the file says how transparent this one is. Other
/// pictures may go with it: its depth, or how bright a screen may show it.
fn has_transparency(file: &HeifFile<'_>, id: ItemId) -> Result<bool, Problem> {
    for with in file.referencing_items(id, b"auxl") {
        let mut those = file.item_properties(with).map_err(|it| garbled(&it))?;
        if those.any(
            |it| matches!(it, Property::AuxiliaryType(of) if of.contains("auxid:1") || of.contains("alpha")),
        ) {
            return Ok(true);
        }
    }
    Ok(false)
}

fn garbled(trouble: &dyn std::fmt::Display) -> Problem {
    let trouble = trouble.to_string();
    Problem::new(format!("the HEIC picture could not be read: {trouble}")).hint(AS_JPEG)
}

fn odd(what: &str) -> Problem {
    Problem::new(format!("the HEIC picture is not one that a camera writes: {what}")).hint(AS_JPEG)
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use heifer::heifer_isobmff::writer::{ALPHA_URN, HeifWriter, ImageSpec};

    use super::*;
    use crate::read_picture;

    fn kind(name: &str) -> Vec<u8> {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../cases/pictures/kinds").join(name);
        std::fs::read(path).unwrap()
    }

    /// Mean colours of the left and right upper, then lower, quarter.
    fn quarters(image: &RgbImage) -> [[f64; 3]; 4] {
        let (mut sums, mut counts) = ([[0.0; 3]; 4], [0.0; 4]);
        for (x, y, pixel) in image.enumerate_pixels() {
            let at = usize::from(y >= image.height() / 2) * 2 + usize::from(x >= image.width() / 2);
            counts[at] += 1.0;
            (0..3).for_each(|it| sums[at][it] += f64::from(pixel.0[it]));
        }
        std::array::from_fn(|at| sums[at].map(|sum| sum / counts[at]))
    }

    #[test]
    fn pictures_are_read_and_turned_as_libheif_reads_them() {
        // The demo's offcut, made small; encoded, and the quarters measured, with libheif 1.23.6.
        let cases = [
            // A telephone's way: tiles, EXIF orientation 6, and the same turn in the HEIF file.
            (
                "grid_turned.heic",
                (450, 600),
                [[183.4, 145.5, 112.8], [194.4, 172.3, 144.7], [179.8, 142.9, 110.4], [189.1, 168.3, 142.1]],
            ),
            // EXIF orientation 5: a turn and a mirroring.
            (
                "mirrored.heic",
                (180, 240),
                [[194.2, 172.1, 144.6], [183.1, 145.6, 112.7], [188.8, 168.5, 142.0], [180.1, 143.0, 110.4]],
            ),
            ("gray.heic", (240, 180), [[175.5; 3], [171.3; 3], [153.1; 3], [150.3; 3]]),
            // Ten bits, colour in every pixel.
            (
                "ten_bit.heic",
                (240, 180),
                [[194.4, 172.2, 144.5], [189.1, 168.3, 142.1], [183.3, 145.5, 113.1], [180.1, 143.0, 110.4]],
            ),
        ];
        for (name, size, expected) in cases {
            let image = read_picture(&kind(name)).unwrap_or_else(|it| panic!("{name}: {it}")).image;
            assert_eq!(image.dimensions(), size, "{name}");
            let apart = quarters(&image).into_iter().flatten().zip(expected.into_iter().flatten());
            let worst = apart.map(|(own, theirs)| (own - theirs).abs()).fold(0.0, f64::max);
            assert!(worst < 0.7, "{name}: {worst}");
        }
    }

    #[test]
    fn the_focal_length_is_read_from_the_exif_block() {
        assert_eq!(read_picture(&kind("grid_turned.heic")).unwrap().focal_35_mm(), Some(26.0));
        assert_eq!(read_picture(&kind("ten_bit.heic")).unwrap().focal_35_mm(), None);
    }

    #[test]
    fn it_is_kept_as_a_jpeg_that_browsers_show() {
        let file = kind("grid_turned.heic");
        let picture = read_picture(&file).unwrap();
        let shown = read_picture(&picture.to_show(&file).unwrap()).unwrap();
        assert_eq!(shown.image.dimensions(), (450, 600));
        let jpeg = kind("gray.jpg");
        assert_eq!(*read_picture(&jpeg).unwrap().to_show(&jpeg).unwrap(), *jpeg);
    }

    fn refused(bytes: &[u8], expected: &str) {
        let told = read_picture(bytes).map(|_| ()).unwrap_err();
        assert!(told.message.contains(expected), "{told}");
        assert!(told.hint.is_some(), "{told}");
    }

    #[test]
    fn one_that_is_cut_off_or_garbled_is_refused_with_a_way_on() {
        let whole = kind("grid_turned.heic");
        for share in 1..20 {
            let told = read_picture(&whole[..whole.len() * share / 20]).map(|_| ()).unwrap_err();
            assert_eq!(told.hint.as_deref(), Some(AS_JPEG), "{told}");
        }
        for round in 0..200_usize {
            let mut bytes = whole.clone();
            for hit in 0..6 {
                // Every other round hits the table at the file's start only.
                let reach = if round % 2 == 0 { bytes.len() } else { 700 };
                let at = 12 + (round * 7919 + hit * 104_729) % (reach - 12);
                bytes[at] ^= (round * 31 + hit * 17 + 1) as u8;
            }
            if let Err(told) = read_picture(&bytes) {
                assert!(told.hint.is_some() && !told.message.ends_with('.'), "{told}");
            }
        }
    }

    #[test]
    fn a_size_beyond_the_bounds_is_refused_before_anything_is_decoded() {
        let mut bytes = kind("grid_turned.heic");
        // Width and height of a grid stand after its version, flags, rows and columns.
        let data = bytes.windows(4).position(|it| it == b"idat").unwrap() + 8;
        assert_eq!(bytes[data..data + 4], [2, 88, 1, 194]);
        bytes[data..data + 4].copy_from_slice(&[234, 96, 234, 96]);
        refused(&bytes, "60000 by 60000 pixels; at most 64 million");
        let mut bytes = kind("ten_bit.heic");
        let size = bytes.windows(4).position(|it| it == b"ispe").unwrap() + 8;
        bytes[size..size + 8].copy_from_slice(&[0, 0, 234, 96, 0, 0, 234, 96]);
        refused(&bytes, "60000 by 60000 pixels; at most 64 million");
    }

    /// A file with one plain tile of 64 by 64 pixels, and what `more` adds.
    fn file(more: impl FnOnce(&mut HeifWriter, ItemId, &ImageSpec<'_>)) -> Vec<u8> {
        let gray = [128; 64 * 64 * 3];
        let plain = heifer::encode_rgb8(64, 64, &gray, &heifer::EncodeOptions::default()).unwrap();
        let read = HeifFile::parse(&plain).unwrap();
        let config = read.hevc_config(read.primary_id).unwrap().unwrap().clone();
        let data = read.item_data(read.primary_id).unwrap();
        let slices = [data[4..].to_vec()];
        let tile = ImageSpec::new(64, 64, config, &slices);
        let mut writer = HeifWriter::new();
        let id = writer.add_image(&tile);
        more(&mut writer, id, &tile);
        writer.finish()
    }

    fn grid(rows: u16, columns: u16, width: u32, height: u32) -> Vec<u8> {
        file(|writer, tile, _| {
            let tiles = vec![tile; usize::from(rows * columns)];
            let grid = writer.add_grid(rows, columns, width, height, &tiles, None, None);
            writer.set_primary(grid);
        })
    }

    #[test]
    fn what_asks_for_far_more_than_it_shows_is_refused() {
        assert!(read_picture(&file(|_, _, _| ())).is_ok());
        refused(&grid(40, 50, 3200, 2560), "2000 tiles; at most 1024");
        refused(&grid(20, 20, 1280, 1280), "its tiles lie over each other");
        refused(&grid(1, 1, 128, 64), "its tiles do not cover it");
        let shown_through = file(|writer, id, tile| {
            writer.add_alpha(id, &ImageSpec { auxiliary_type: Some(ALPHA_URN), ..tile.clone() });
        });
        refused(&shown_through, "transparent");
    }
}
