//! Pictures of flat things, ordinary and odd.

use std::io::Cursor;
use std::path::Path;

use image::{DynamicImage, ImageFormat, Rgb, RgbImage};
use measure::{Length, Problem};
use outline::Outline;
use photo::{Picture, TraceAsk, read_picture, silhouette, trace};

/// Linear light, mixed and toned (sRGB, IEC 61966-2-1).
fn toned(share: f64, thing: f64, ground: f64) -> u8 {
    let light = thing * share + ground * (1.0 - share);
    (255.0 * (1.055 * light.powf(1.0 / 2.4) - 0.055)).round() as u8
}

/// How much of a pixel lies within a disc.
fn in_disc(x: u32, y: u32, (middle_x, middle_y): (f64, f64), radius: f64) -> f64 {
    let way = (f64::from(x) + 0.5 - middle_x).hypot(f64::from(y) + 0.5 - middle_y);
    (radius + 0.5 - way).clamp(0.0, 1.0)
}

fn picture(image: RgbImage) -> Picture {
    let mut bytes = Cursor::new(Vec::new());
    DynamicImage::from(image).write_to(&mut bytes, ImageFormat::Png).unwrap();
    read_picture(&bytes.into_inner()).unwrap()
}

/// Green discs on white paper.
fn discs(all: &[((f64, f64), f64)]) -> Picture {
    picture(RgbImage::from_fn(480, 360, |x, y| {
        let share = all.iter().map(|(middle, radius)| in_disc(x, y, *middle, *radius)).fold(0.0, f64::max);
        Rgb([toned(share, 0.04, 0.8), toned(share, 0.12, 0.8), toned(share, 0.03, 0.78)])
    }))
}

fn kind(name: &str) -> Picture {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../cases/pictures/kinds").join(name);
    read_picture(&std::fs::read(path).unwrap()).unwrap_or_else(|problem| panic!("{name}: {problem}"))
}

fn off(found: &Outline, area: f64) -> f64 {
    found.outer().area().to_mm2() / area - 1.0
}

const OVAL: f64 = std::f64::consts::PI * 90.0 * 70.0;

#[test]
fn every_kind_of_file_shows_the_same_oval() {
    for name in ["cmyk.jpg", "gray.jpg", "gray_16_bit.png", "transparent.png"] {
        let found = silhouette(&kind(name)).unwrap_or_else(|problem| panic!("{name}: {problem}"));
        assert!(off(&found, OVAL).abs() < 0.005, "{name}: {}", off(&found, OVAL));
    }
}

#[test]
fn a_line_drawn_with_a_pen_is_filled() {
    let found = silhouette(&kind("pen_outline.png")).unwrap();
    // The pen is three pixels wide, which is 7 % of the oval.
    assert!(off(&found, OVAL).abs() < 0.015, "{}", off(&found, OVAL));
    assert!(found.openings().is_empty());
}

#[test]
fn of_two_things_the_larger_is_traced() {
    let found = silhouette(&discs(&[((140.0, 180.0), 80.0), ((360.0, 180.0), 60.0)])).unwrap();
    assert!(off(&found, std::f64::consts::PI * 6400.0).abs() < 0.005, "{}", off(&found, 6400.0));
}

/// Everything that a tracing tells, or why there is none.
fn told(picture: &Picture) -> Vec<Problem> {
    let ask = TraceAsk { length: Some(Length::mm(300.0)), check_line: None };
    trace(picture, &ask, &|_, _| ()).map_or_else(|problem| vec![problem], |found| found.problems)
}

fn tells(picture: &Picture, word: &str) -> bool {
    told(picture).iter().any(|it| it.message.contains(word) && it.hint.is_some())
}

#[test]
fn a_thing_that_the_picture_cuts_off_is_told_of() {
    let cut = discs(&[((20.0, 180.0), 90.0)]);
    assert!(tells(&cut, "edge of the picture"), "{:?}", told(&cut));
    assert!(!tells(&discs(&[((180.0, 180.0), 90.0)]), "edge of the picture"));
}

#[test]
fn two_things_alike_are_told_of() {
    let two = discs(&[((140.0, 180.0), 80.0), ((360.0, 180.0), 75.0)]);
    assert!(tells(&two, "other things"), "{:?}", told(&two));
    let one = discs(&[((140.0, 180.0), 80.0)]);
    assert!(!tells(&one, "other things"), "{:?}", told(&one));
}

#[test]
fn pictures_of_nothing_plain_are_told_of() {
    // Coarse blotches of every colour, as of a coat of fur or a carpet.
    let fur = picture(RgbImage::from_fn(480, 360, |x, y| {
        let blotch = |seed: u32| {
            let bits = ((x / 13).wrapping_mul(2_654_435_761) ^ (y / 11).wrapping_mul(40_503) ^ seed)
                .wrapping_mul(2_246_822_519);
            ((bits ^ (bits >> 15)).wrapping_mul(3_266_489_917) >> 24) as u8
        };
        Rgb([blotch(1), blotch(2), blotch(3)])
    }));
    let known = ["nothing stands out", "other things", "edge of the picture"];
    assert!(known.iter().any(|word| tells(&fur, word)), "{:?}", told(&fur));
    let speck = discs(&[((240.0, 180.0), 1.0)]);
    assert!(tells(&speck, "nothing stands out"), "{:?}", told(&speck));
    assert!(silhouette(&speck.part(0, 0, 1, 1)).is_err());
}

fn kept(path: &str) -> Picture {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..").join(path);
    read_picture(&std::fs::read(path).unwrap()).unwrap()
}

#[test]
fn real_and_demo_pictures_are_told_apart_by_what_lies_beside() {
    let odd =
        |it: &Problem| it.message.contains("other things") || it.message.contains("edge of the picture");
    let demo = told(&kept("assets/demo/leaf.jpg"));
    assert!(!demo.iter().any(odd), "{demo:?}");
    // A leaf, a red square, and an envelope that the picture cuts off.
    let real = told(&kept("cases/pictures/leaf/leafarea_IMG_7224.JPG"));
    assert!(real.iter().any(odd), "{real:?}");
}
