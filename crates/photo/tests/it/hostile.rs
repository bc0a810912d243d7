//! Bytes that may be anything.

use std::io::Cursor;
use std::path::Path;

use image::{DynamicImage, ImageFormat, RgbImage};
use photo::{Picture, read_picture};

fn plain(width: u32, height: u32, format: ImageFormat) -> Vec<u8> {
    let image = RgbImage::from_fn(width, height, |x, y| image::Rgb([(x % 256) as u8, (y % 256) as u8, 90]));
    let mut bytes = Cursor::new(Vec::new());
    DynamicImage::from(image).write_to(&mut bytes, format).unwrap();
    bytes.into_inner()
}

fn refused(bytes: &[u8], expected: &str) {
    let told = read_picture(bytes).map(|_| ()).unwrap_err();
    assert!(told.message.contains(expected), "{told}");
}

fn kind(name: &str) -> Vec<u8> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../cases/pictures/kinds").join(name);
    std::fs::read(path).unwrap()
}

#[test]
fn what_is_no_photograph_is_refused_with_a_way_on() {
    let text = "figured maple, two boards, 48 by 7 inches\n".repeat(40).into_bytes();
    for (bytes, expected) in [
        (Vec::new(), "the picture file is empty"),
        (vec![0; 4096], "not a JPEG, PNG, WebP or HEIC picture"),
        (text, "not a JPEG, PNG, WebP or HEIC picture"),
        (kind("moving.gif"), "not a JPEG, PNG, WebP or HEIC picture"),
        (kind("moving.png"), "the picture moves"),
        (kind("moving.webp"), "the picture moves"),
        (kind("one_pixel.png"), "only 1 by 1 pixels"),
        (kind("sixty_thousand.png"), "60000 by 60000 pixels; at most 64 million"),
        (kind("heavy.png"), "the picture could not be read"),
    ] {
        let told = read_picture(&bytes).map(|_| ()).unwrap_err();
        assert!(told.message.contains(expected), "{told}");
        assert!(told.hint.is_some(), "{told}");
    }
}

#[test]
fn gray_palette_and_deep_pictures_are_read() {
    for name in ["gray.jpg", "cmyk.jpg", "gray_16_bit.png", "palette.png", "transparent.png"] {
        let picture = read_picture(&kind(name)).unwrap_or_else(|it| panic!("{name}: {it}"));
        assert!(picture.width_px() > 100, "{name}");
    }
}

#[test]
fn an_exif_block_that_lies_turns_nothing_and_states_no_lens() {
    let (plain, lying) =
        (read_picture(&kind("gray.jpg")).unwrap(), read_picture(&kind("exif_lies.jpg")).unwrap());
    // Orientation 9 does not exist; 65535 mm is no lens that makes pictures to measure by.
    assert_eq!((lying.width_px(), lying.height_px()), (plain.width_px(), plain.height_px()));
    assert_eq!(lying.focal_35_mm(), None);
}

#[test]
fn the_three_kinds_are_read_whatever_they_are_called() {
    for format in [ImageFormat::Jpeg, ImageFormat::Png, ImageFormat::WebP] {
        let picture: Picture = read_picture(&plain(200, 120, format)).unwrap();
        assert_eq!((picture.width_px(), picture.height_px()), (200, 120), "{format:?}");
        assert_eq!(picture.focal_35_mm(), None);
    }
}

#[test]
fn other_files_are_refused() {
    refused(b"<svg xmlns='http://www.w3.org/2000/svg'/>", "not a JPEG, PNG, WebP or HEIC picture");
    refused(&[0xff, 0xd8, 0xff, 0xe0], "cut off");
    refused(&plain(20, 20, ImageFormat::Png), "only 20 by 20");
}

#[cfg(not(feature = "heic"))]
#[test]
fn a_telephones_own_kind_is_refused_by_name_and_with_a_way_on() {
    let told = read_picture(b"\0\0\0\x18ftypheic\0\0\0\0mif1heic").map(|_| ()).unwrap_err();
    assert!(told.message.contains("HEIC"), "{told}");
    assert!(told.hint.is_some_and(|it| it.contains("save JPEG")));
}

#[test]
fn a_file_that_is_cut_off_anywhere_is_refused() {
    for format in [ImageFormat::Jpeg, ImageFormat::Png, ImageFormat::WebP] {
        let whole = plain(160, 120, format);
        for share in 1..20 {
            let cut = &whole[..whole.len() * share / 20];
            assert!(read_picture(cut).is_err(), "{format:?} cut at {share} of 20");
        }
    }
}

#[test]
fn a_picture_that_claims_to_be_huge_is_refused_before_it_is_decoded() {
    let mut png = plain(64, 64, ImageFormat::Png);
    // Width and height stand at bytes 16 to 23 of a PNG, under a checksum at 29.
    png[16..24].copy_from_slice(&[0, 1, 0x86, 0xa0, 0, 1, 0x86, 0xa0]);
    assert!(read_picture(&png).is_err());
    let mut jpeg = plain(64, 64, ImageFormat::Jpeg);
    let frame = jpeg.windows(2).position(|pair| pair == [0xff, 0xc0]).unwrap();
    jpeg[frame + 5..frame + 9].copy_from_slice(&[0xff, 0xf0, 0xff, 0xf0]);
    refused(&jpeg, "at most 64 million");
}

#[test]
fn garbled_bytes_never_panic() {
    for format in [ImageFormat::Jpeg, ImageFormat::Png, ImageFormat::WebP] {
        let whole = plain(96, 80, format);
        for round in 0..200_usize {
            let mut bytes = whole.clone();
            for hit in 0..6 {
                let at = (round * 7919 + hit * 104_729) % bytes.len();
                bytes[at] ^= (round * 31 + hit * 17 + 1) as u8;
            }
            // Read or refused: either is well, as long as it comes back.
            if let Err(told) = read_picture(&bytes) {
                assert!(!told.message.is_empty() && !told.message.ends_with('.'), "{told}");
            }
        }
    }
}
