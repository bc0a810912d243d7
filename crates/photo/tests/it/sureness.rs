//! What a survey says of its own sureness, and what it warns of.

use std::io::Cursor;
use std::sync::LazyLock;

use image::{GenericImage, GenericImageView, ImageFormat, RgbImage};
use measure::{Angle, Length};
use outline::Point;
use photo::{KnownLength, Pixel, SheetsLie, Survey, SurveyAsk, read_picture, survey};
use scene::{Exif, Shot, Subject, demos, photograph};

fn ask(shot: &Shot) -> SurveyAsk {
    let Subject::Slab(slab) = &shot.subject else { unreachable!("slabs are surveyed") };
    let on_top = shot.sheets_level > Length::ZERO;
    SurveyAsk {
        thickness: slab.ask().thickness,
        sheets: if on_top { SheetsLie::OnTop } else { SheetsLie::OnBench },
        check_line: Some(Length::mm(200.0)),
        known: Vec::new(),
        keenness: stock::Keenness::default(),
    }
}

fn surveyed(shot: &Shot) -> Survey {
    let (bytes, _) = photograph(shot).unwrap();
    survey(&read_picture(&bytes).unwrap(), &ask(shot), &|_, _| (), &|| false).unwrap()
}

fn told(survey: &Survey, word: &str) -> bool {
    assert!(survey.problems.iter().all(|it| it.hint.is_some()), "{:?}", survey.problems);
    survey.problems.iter().any(|it| it.message.contains(word))
}

/// Where places of the top face are seen, by the true camera.
fn seen(shot: &Shot, x: f64, y: f64) -> Pixel {
    let Subject::Slab(slab) = &shot.subject else { unreachable!("slabs are surveyed") };
    let [x, y] = shot.camera.project([x, y, slab.ask().thickness.to_mm()]).unwrap();
    Pixel::new(x, y)
}

/// Lengths along, across and aslant: how far off each is, and was said to be at most, in mm.
fn lengths(shot: &Shot, found: &Survey) -> Vec<(f64, f64)> {
    let ends = [[-480.0, 20.0, 470.0, -10.0], [30.0, -110.0, 10.0, 120.0], [-300.0, -60.0, 250.0, 90.0]];
    let each = ends.map(|[ax, ay, bx, by]| {
        let place = |x, y| found.place_at(seen(shot, x, y)).unwrap();
        let (a, b) = (place(ax, ay), place(bx, by));
        let off = a.distance(b).to_mm() - (bx - ax).hypot(by - ay);
        (off, found.doubt_of(a, b).to_mm())
    });
    each.to_vec()
}

fn known(shot: &Shot, ends: [f64; 4], off: f64) -> KnownLength {
    let [ax, ay, bx, by] = ends;
    let length = Length::mm((bx - ax).hypot(by - ay) + off);
    KnownLength { from: seen(shot, ax, ay), to: seen(shot, bx, by), length }
}

#[test]
fn a_length_beside_one_sheet_is_surer_than_one_beyond_it() {
    let mut shot = demos::walnut_slab(demos::SMALL_PX).unwrap();
    shot.sheets.truncate(1);
    let found = surveyed(&shot);
    let place = |x, y| found.place_at(seen(&shot, x, y)).unwrap();
    // The sheet lies beside the left end.
    let share = |a: Point, b: Point| found.doubt_of(a, b) / a.distance(b);
    let beside = share(place(-500.0, 0.0), place(-350.0, 0.0));
    let beyond = share(place(350.0, 0.0), place(500.0, 0.0));
    assert!(beyond > 1.5 * beside, "{beside} and {beyond}");
    assert!(told(&found, "only one scale sheet"), "{:?}", found.problems);
}

#[test]
fn lengths_are_off_by_no_more_than_is_said() {
    let shot = demos::walnut_slab(demos::FULL_PX).unwrap();
    let found = surveyed(&shot);
    for (off, doubt) in lengths(&shot, &found) {
        assert!(off.abs() < doubt && doubt < 4.0, "off by {off}, said {doubt}");
    }
    assert!(found.problems.is_empty(), "{:?}", found.problems);
}

#[test]
fn two_lengths_stand_in_for_the_sheets() {
    let shot = Shot { sheets: Vec::new(), ..demos::walnut_slab(demos::SMALL_PX).unwrap() };
    let (bytes, _) = photograph(&shot).unwrap();
    let picture = read_picture(&bytes).unwrap();
    let none = survey(&picture, &ask(&shot), &|_, _| (), &|| false).unwrap_err();
    assert!(none.message.contains("no scale sheet") && none.hint.unwrap().contains("two lengths"));
    // A tape's reading is half a millimetre off.
    let along = known(&shot, [-500.0, 10.0, 490.0, 20.0], 0.5);
    let across = known(&shot, [0.0, -120.0, 20.0, 130.0], -0.5);
    let with =
        |known: Vec<KnownLength>| survey(&picture, &SurveyAsk { known, ..ask(&shot) }, &|_, _| (), &|| false);
    let found = with(vec![along, across]).unwrap();
    assert_eq!(found.sheets_read, 0);
    for (off, doubt) in lengths(&shot, &found) {
        assert!(off.abs() < doubt, "off by {off}, said {doubt}");
    }
    assert!((0.004..0.1).contains(&found.doubt), "{}", found.doubt);
    assert!(told(&found, "no scale sheet was read"), "{:?}", found.problems);
    // Sheets, where there are any, are surer, and lengths are left alone.
    assert!(found.doubt > 2.0 * surveyed(&demos::walnut_slab(demos::SMALL_PX).unwrap()).doubt);
    let wrong = KnownLength { length: Length::mm(700.0), ..along };
    assert!(told(&with(vec![along, across, wrong]).unwrap(), "contradict"));
    assert!(with(vec![along]).unwrap_err().message.contains("one length alone"));
    let beyond = KnownLength { to: Pixel::new(-5.0, 3.0), ..across };
    assert!(with(vec![along, beyond]).unwrap_err().message.contains("outside of the picture"));
}

#[test]
fn a_zoomed_picture_that_states_its_lens_unzoomed_is_found_out() {
    let shot = demos::walnut_slab(demos::SMALL_PX).unwrap();
    let camera = shot.camera.look_at(
        [5.0, 10.0, 0.0],
        Length::mm(1250.0),
        Angle::degrees(18.0),
        Angle::degrees(-80.0),
        Angle::ZERO,
    );
    let plain = Shot { camera, ..shot };
    let honest = surveyed(&plain);
    assert!(!told(&honest, "focal length"), "{:?}", honest.problems);
    let lies = Shot { exif: Some(Exif { focal_35mm: 38, orientation: 1 }), ..plain.clone() };
    let found = surveyed(&lies);
    assert!(told(&found, "states a focal length of 38 mm, but the sheets are drawn as by 26 mm"));
    for (off, doubt) in lengths(&lies, &found) {
        assert!(off.abs() < doubt, "off by {off}, said {doubt}");
    }
    let absurd = Shot { exif: Some(Exif { focal_35mm: 4000, orientation: 1 }), ..plain };
    assert!(told(&surveyed(&absurd), "4000 mm, which cannot be"));
}

/// Blurred squares are still read at this size.
const WIDE_PX: u32 = 2200;

/// One picture of a slab with two sheets, to be spoilt in many ways.
fn spoilt(spoil: impl FnOnce(&mut RgbImage)) -> Result<Survey, measure::Problem> {
    static PICTURE: LazyLock<(Shot, RgbImage)> = LazyLock::new(|| {
        let shot = demos::walnut_slab(WIDE_PX).unwrap();
        let (bytes, _) = photograph(&shot).unwrap();
        (shot, image::load_from_memory(&bytes).unwrap().into_rgb8())
    });
    let (shot, picture) = &*PICTURE;
    let mut picture = picture.clone();
    spoil(&mut picture);
    let mut bytes = Cursor::new(Vec::new());
    picture.write_to(&mut bytes, ImageFormat::Png).unwrap();
    survey(&read_picture(&bytes.into_inner()).unwrap(), &ask(shot), &|_, _| (), &|| false)
}

/// The box of the picture that holds a sheet's tags, with its paper's margin.
fn sheet_box(index: usize) -> [u32; 4] {
    let shot = demos::walnut_slab(WIDE_PX).unwrap();
    let laid = shot.sheets[index];
    let corners = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)].map(|(x, y)| {
        let at = laid.place.point(Point::new(100.0 * x, 140.0 * y));
        shot.camera.project([at.x, at.y, 0.0]).unwrap()
    });
    let side =
        |axis: usize, pick: fn(f64, f64) -> f64| corners.map(|it| it[axis]).into_iter().reduce(pick).unwrap();
    [side(0, f64::min), side(1, f64::min), side(0, f64::max), side(1, f64::max)].map(|it| it.max(0.0) as u32)
}

#[test]
fn a_sound_picture_is_only_told_of_its_missing_focal_length() {
    let found = spoilt(|_| ()).unwrap();
    assert!(
        told(&found, "does not state its focal length") && found.problems.len() == 1,
        "{:?}",
        found.problems
    );
}

#[test]
fn half_a_sheet_is_counted() {
    let [left, top, right, bottom] = sheet_box(1);
    let covered = |picture: &mut RgbImage, share: f64| {
        let from = top + (f64::from(bottom - top) * (1.0 - share)) as u32;
        for y in from..bottom {
            (left..right).for_each(|x| picture.put_pixel(x, y, image::Rgb([120, 120, 118])));
        }
    };
    let found = spoilt(|it| covered(it, 0.64)).unwrap();
    assert!(told(&found, "of the 24 coded squares of scale sheet 2"), "{:?}", found.problems);
    assert_eq!(found.sheets_read, 2);
    // A quarter under a rag is no matter.
    assert!(!told(&spoilt(|it| covered(it, 0.25)).unwrap(), "of the 24"));
}

#[test]
fn two_copies_of_one_sheet_are_told() {
    let [left, top, right, bottom] = sheet_box(0);
    let [other_left, other_top, ..] = sheet_box(1);
    let copy = |picture: &mut RgbImage, left: u32| {
        let sheet = picture.view(left, top, right - sheet_box(0)[0], bottom - top).to_image();
        picture.copy_from(&sheet, other_left, other_top.min(picture.height() - sheet.height())).unwrap();
    };
    let found = spoilt(|it| copy(it, left)).unwrap();
    assert!(
        told(&found, "two scale sheets with the same number lie in the picture: 1"),
        "{:?}",
        found.problems
    );
    // Each copy is read by itself.
    assert_eq!(found.sheets_read, 2);
}

#[test]
fn squares_of_another_kind_are_told() {
    let file = concat!(env!("CARGO_MANIFEST_DIR"), "/../../cases/pictures/planar/other-squares.png");
    let picture = read_picture(&std::fs::read(file).unwrap()).unwrap();
    let shot = demos::walnut_slab(demos::SMALL_PX).unwrap();
    let refused = survey(&picture, &ask(&shot), &|_, _| (), &|| false).unwrap_err();
    assert!(refused.message.contains("are not those of the scale sheets"), "{refused}");
}

#[test]
fn blur_and_motion_are_measured() {
    let found = spoilt(|it| *it = image::imageops::fast_blur(it, 2.4)).unwrap();
    assert!(told(&found, "the picture is blurred: edges are"), "{:?}", found.problems);
    let found = spoilt(|it| {
        let still = it.clone();
        for (x, y, pixel) in it.enumerate_pixels_mut() {
            let along = (0..10).map(|off| still.get_pixel((x + off).min(still.width() - 1), y).0);
            let sums = along.fold([0_u32; 3], |sum, it| [0, 1, 2].map(|of| sum[of] + u32::from(it[of])));
            *pixel = image::Rgb(sums.map(|it| (it / 10) as u8));
        }
    })
    .unwrap();
    assert!(told(&found, "the camera moved"), "{:?}", found.problems);
    // A lens that is a little soft is let pass.
    let found = spoilt(|it| *it = image::imageops::fast_blur(it, 0.8)).unwrap();
    assert!(!told(&found, "blurred") && !told(&found, "moved"), "{:?}", found.problems);
}

#[test]
fn small_squares_are_told() {
    let to = |width: u32| {
        move |it: &mut RgbImage| {
            *it = image::imageops::resize(it, width, width * 3 / 4, image::imageops::FilterType::Triangle);
        }
    };
    let found = spoilt(to(760)).unwrap();
    assert!(told(&found, "px wide in the picture; from 25 px"), "{:?}", found.problems);
    assert!(!told(&spoilt(to(1200)).unwrap(), "px wide in the picture"));
}

#[test]
fn a_stop_in_the_last_step_gives_no_face() {
    let shot = demos::walnut_slab(demos::SMALL_PX).unwrap();
    let picture = read_picture(&photograph(&shot).unwrap().0).unwrap();
    let behind = std::cell::Cell::new(0.0);
    let told = survey(&picture, &ask(&shot), &|_, share| behind.set(share), &|| behind.get() >= 1.0);
    assert!(told.unwrap_err().message.contains("stopped"));
}
