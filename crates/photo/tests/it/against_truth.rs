//! Surveys of rendered pictures against the truth that they were rendered from.

use measure::{Angle, Length};
use outline::{Outline, Place, Point, Ring};
use photo::{SheetsLie, Survey, SurveyAsk, TraceAsk, Traced, read_picture, survey, trace};
use scene::{Exif, Shot, Truth, demos, photograph};

/// The aim for any length, with two sheets or sheets on the face.
const LENGTH: f64 = 0.003;

/// The aim with one sheet: it says less of the lens.
const LENGTH_BY_ONE: f64 = 0.006;

fn surveyed(shot: &Shot, sheets: SheetsLie, check_line: Length) -> (Survey, Truth) {
    let (bytes, truth) = photograph(shot).unwrap();
    let thickness = Length::mm(truth.slab.as_ref().unwrap().thickness_mm);
    let ask = SurveyAsk {
        thickness,
        sheets,
        check_line: Some(check_line),
        known: Vec::new(),
        keenness: stock::Keenness::default(),
    };
    (survey(&read_picture(&bytes).unwrap(), &ask, &|_, _| (), &|| false).unwrap(), truth)
}

fn traced(shot: &Shot, length: Option<Length>) -> (Traced, Outline) {
    let (bytes, truth) = photograph(shot).unwrap();
    let ask = TraceAsk { length, check_line: None };
    let found = trace(&read_picture(&bytes).unwrap(), &ask, &|_, _| ()).unwrap();
    (found, Outline::from(truth.leaf.unwrap()))
}

/// Length and width of a shape: the sides of the smallest box around it.
fn size(ring: &Ring) -> [f64; 2] {
    let boxes = (0..720).map(|step| {
        let turn = Angle::degrees(f64::from(step) / 4.0);
        let bounds = Place { at: Point::default(), turn, mirrored: false }.ring(ring).bounds();
        let (x, y) = (bounds.width().to_mm(), bounds.height().to_mm());
        [x.max(y), x.min(y)]
    });
    boxes.min_by(|a, b| (a[0] * a[1]).total_cmp(&(b[0] * b[1]))).unwrap()
}

/// Shares by which length, width and area are off.
fn off(found: &Outline, truth: &Ring) -> [f64; 3] {
    let ([length, width], [true_length, true_width]) = (size(found.outer()), size(truth));
    [length / true_length - 1.0, width / true_width - 1.0, found.area() / truth.area() - 1.0]
}

fn check(name: &str, off: [f64; 3], most: [f64; 3]) {
    assert!(
        off.iter().zip(most).all(|(off, most)| off.abs() <= most),
        "{name}: off by {off:?}, at most {most:?}"
    );
}

#[test]
fn a_walnut_slab_beside_its_sheets() {
    let (found, truth) =
        surveyed(&demos::walnut_slab(demos::FULL_PX).unwrap(), SheetsLie::OnBench, Length::mm(200.0));
    let slab = truth.slab.as_ref().unwrap();
    check("walnut", off(&found.outline, &slab.wood_line), [LENGTH, 0.01, 0.01]);
    assert!(found.problems.is_empty(), "{:?}", found.problems);
    assert!(found.doubt < LENGTH, "{}", found.doubt);
    check_overall_grain(&found, &slab.fibres.iter().map(|it| it.degrees).collect::<Vec<f64>>());
    check_grain(&found, &truth);
}

/// Half of the directions are right to 4 degrees, nine in ten to 15: the fibre,
/// not the ring figure, which leads up to 90 degrees astray at a cathedral's tip.
fn check_grain(found: &Survey, truth: &Truth) {
    let fibres = &truth.slab.as_ref().unwrap().fibres;
    let (true_place, turn) = (|at: Point| seen_from(found, truth, at), turn_of(found, truth));
    let mut off: Vec<f64> = found
        .grain
        .samples
        .iter()
        .filter_map(|sample| {
            let at = true_place(sample.at)?;
            let nearest = fibres
                .iter()
                .min_by(|a, b| at.distance(a.at).to_mm().total_cmp(&at.distance(b.at).to_mm()))?;
            Some((sample.direction + turn).between_lines(Angle::degrees(nearest.degrees)).to_degrees())
        })
        .collect();
    off.sort_by(f64::total_cmp);
    let (median, tenth) = (off[off.len() / 2], off[off.len() * 9 / 10]);
    assert!(median < 4.0 && tenth < 15.0 && off.len() > 100, "{median}°, {tenth}° of {}", off.len());
}

/// Where a point of the face really lies, by the true camera.
fn seen_from(found: &Survey, truth: &Truth, at: Point) -> Option<Point> {
    let seen = found.seen_at(at)?;
    let [x, y] = truth.camera.on_level([seen.x, seen.y], truth.slab.as_ref()?.thickness_mm)?;
    Some(Point::new(x, y))
}

/// How the face's picture is turned against the true slab.
fn turn_of(found: &Survey, truth: &Truth) -> Angle {
    let ends = [Point::new(0.0, 0.0), Point::new(500.0, 0.0)].map(|at| seen_from(found, truth, at).unwrap());
    ends[0].direction(ends[1])
}

/// The mean direction over doubled angles is that of the true fibres.
fn check_overall_grain(found: &Survey, fibres: &[f64]) {
    let sum = fibres.iter().fold((0.0, 0.0), |(x, y), degrees| {
        (x + Angle::degrees(2.0 * degrees).cos(), y + Angle::degrees(2.0 * degrees).sin())
    });
    let mean = Angle::radians(sum.1.atan2(sum.0) / 2.0);
    let apart = found.grain.overall.between_lines(mean).to_degrees();
    assert!(apart < 3.0 && found.grain.samples.len() > 50, "{apart}° from {mean:?}");
}

#[test]
fn thickness_left_out_makes_a_slab_on_the_bench_too_long() {
    // At 1.24 m over the bench 40 mm count for about 3 %: the trap that the
    // thickness is asked for.
    let shot = demos::walnut_slab(demos::SMALL_PX).unwrap();
    let (found, truth) = surveyed(&shot, SheetsLie::OnTop, Length::mm(200.0));
    let [length, ..] = off(&found.outline, &truth.slab.unwrap().wood_line);
    assert!((0.02..0.05).contains(&length), "{length}");
}

#[test]
fn a_cherry_offcut_with_its_sheet_level() {
    let (found, truth) =
        surveyed(&demos::cherry_offcut(demos::FULL_PX).unwrap(), SheetsLie::OnTop, Length::mm(200.0));
    check("cherry", off(&found.outline, &truth.slab.unwrap().outline), [LENGTH_BY_ONE, 0.012, 0.01]);
    assert!(found.problems.iter().any(|it| it.message.contains("only one scale sheet")));
}

#[test]
fn sheets_lying_on_the_wood_are_bridged() {
    let mut shot = demos::walnut_slab(demos::SMALL_PX).unwrap();
    shot.sheets_level = Length::mm(40.0);
    // One well on the face, one over its edge.
    shot.sheets[0].place.at = Point::new(-380.0, 10.0);
    shot.sheets[1].place.at = Point::new(390.0, 60.0);
    let (found, truth) = surveyed(&shot, SheetsLie::OnTop, Length::mm(200.0));
    check("sheets on it", off(&found.outline, &truth.slab.unwrap().wood_line), [LENGTH, 0.02, 0.03]);
}

#[test]
fn a_print_that_came_out_small_is_made_up_for() {
    let shot = demos::cherry_offcut(demos::SMALL_PX).unwrap();
    let (plain, _) = surveyed(&shot, SheetsLie::OnTop, Length::mm(200.0));
    let (small, _) = surveyed(&shot, SheetsLie::OnTop, Length::mm(196.0));
    let ratio = size(small.outline.outer())[0] / size(plain.outline.outer())[0];
    assert!((ratio - 0.98).abs() < 0.002, "{ratio}");
}

#[test]
fn a_picture_held_upright_is_turned_as_its_file_says() {
    let shot = demos::walnut_slab(demos::SMALL_PX).unwrap();
    let (level, truth) = surveyed(&shot, SheetsLie::OnBench, Length::mm(200.0));
    let turned = Shot { exif: Some(Exif { focal_35mm: 26, orientation: 6 }), ..shot };
    let (bytes, _) = photograph(&turned).unwrap();
    let picture = read_picture(&bytes).unwrap();
    assert_eq!((picture.width_px(), picture.height_px()), (truth.camera.width_px, truth.camera.height_px));
    assert_eq!(picture.focal_35_mm(), Some(26.0));
    let (found, _) = surveyed(&turned, SheetsLie::OnBench, Length::mm(200.0));
    let ([a, _], [b, _]) = (size(found.outline.outer()), size(level.outline.outer()));
    assert!((a / b - 1.0).abs() < 0.001, "{a} mm and {b} mm");
}

#[test]
fn a_slanting_sight_without_focal_length_is_told() {
    let shot = demos::walnut_slab(demos::SMALL_PX).unwrap();
    let camera = shot.camera.look_at(
        [0.0, 20.0, 0.0],
        Length::mm(1400.0),
        Angle::degrees(34.0),
        Angle::degrees(-80.0),
        Angle::ZERO,
    );
    let (found, _) = surveyed(&Shot { camera, exif: None, ..shot }, SheetsLie::OnBench, Length::mm(200.0));
    let told = |word: &str| found.problems.iter().any(|it| it.message.contains(word));
    assert!(told("tilted by 34°") && told("focal length"), "{:?}", found.problems);
}

#[test]
fn pictures_without_sheet_or_thing_are_refused_with_a_next_step() {
    let bare = image::RgbImage::from_pixel(640, 480, image::Rgb([120, 118, 110]));
    let mut bytes = std::io::Cursor::new(Vec::new());
    image::DynamicImage::from(bare).write_to(&mut bytes, image::ImageFormat::Png).unwrap();
    let picture = read_picture(&bytes.into_inner()).unwrap();
    let ask = SurveyAsk {
        thickness: Length::mm(40.0),
        sheets: SheetsLie::OnBench,
        check_line: None,
        known: Vec::new(),
        keenness: stock::Keenness::default(),
    };
    let told = survey(&picture, &ask, &|_, _| (), &|| false).unwrap_err();
    assert!(told.message.contains("no scale sheet") && told.hint.is_some(), "{told}");
    let told = survey(&picture, &ask, &|_, _| (), &|| true).unwrap_err();
    assert!(told.message.contains("stopped"), "{told}");
    let told = trace(&picture, &TraceAsk::default(), &|_, _| ()).unwrap_err();
    assert!(told.message.contains("no scale sheet"), "{told}");
    let length = TraceAsk { length: Some(Length::mm(300.0)), check_line: None };
    let told = trace(&picture, &length, &|_, _| ()).unwrap_err();
    assert!(told.message.contains("nothing stands out"), "{told}");
    let thick = SurveyAsk { thickness: Length::ZERO, ..ask };
    assert!(survey(&picture, &thick, &|_, _| (), &|| false).unwrap_err().message.contains("0.0 mm thick"));
}

#[test]
fn a_leaf_beside_its_sheet() {
    let (found, leaf) = traced(&demos::leaf(demos::FULL_PX).unwrap(), None);
    check("leaf", off(&found.outline, leaf.outer()), [LENGTH_BY_ONE, 0.01, 0.012]);
    assert_eq!(found.outline.bounds().low, Point::default());
    assert!(found.outline.bounds().width() > found.outline.bounds().height());
}

#[test]
fn a_leaf_at_the_length_asked() {
    let (found, _) = traced(&demos::leaf(demos::SMALL_PX).unwrap(), Some(Length::mm(400.0)));
    let length = found.outline.bounds().width();
    assert!((length.to_mm() - 400.0).abs() < 0.1, "{length:?}");
}
