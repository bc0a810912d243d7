//! Surveys of rendered pictures against the truth that they were rendered from.

use measure::{Angle, Length, Problem};
use outline::{Bounds, Outline, Point, Ring};
use photo::{SheetsLie, Survey, SurveyAsk, TraceAsk, read_picture, survey, trace};
use scene::{Shot, Truth, demos, photograph};

/// The picture of a shot, surveyed.
fn surveyed(shot: &Shot, sheets: SheetsLie) -> (Result<Survey, Problem>, Truth) {
    let (bytes, truth) = photograph(shot).unwrap();
    let thickness = Length::mm(truth.slab.as_ref().unwrap().thickness_mm);
    let ask = SurveyAsk { thickness, sheets, check_line: Some(Length::mm(200.0)) };
    (survey(&read_picture(&bytes).unwrap(), &ask, &|_, _| ()), truth)
}

fn size(bounds: Bounds) -> [f64; 2] {
    [bounds.width().to_mm(), bounds.height().to_mm()]
}

/// Shares by which a survey's length and width are off the true face's.
fn off(survey: &Survey, truth: &Ring) -> [f64; 2] {
    let ([length, width], [true_length, true_width]) = (size(survey.outline.bounds()), size(truth.bounds()));
    [length / true_length - 1.0, width / true_width - 1.0]
}

fn report(name: &str, found: &Survey, truth: &Truth) {
    let slab = truth.slab.as_ref().unwrap();
    let area = found.outline.area() / Outline::from(slab.wood_line.clone()).area() - 1.0;
    let with_bark = found.outline.area() / Outline::from(slab.outline.clone()).area() - 1.0;
    eprintln!(
        "{name}: off the wood line {:?}, off the bark {:?}, area {area:+.4} {with_bark:+.4}, doubt {:.4}, grain {:?} from {}",
        off(found, &slab.wood_line),
        off(found, &slab.outline),
        found.doubt,
        found.grain.overall,
        found.grain.samples.len()
    );
    for figure in &found.figures {
        eprintln!("  {}: {}", figure.name, figure.value);
    }
    for problem in &found.problems {
        eprintln!("  {problem}");
    }
    if let Some(folder) = option_env!("PHOTO_OUT") {
        std::fs::write(format!("{folder}/{name}.jpg"), &found.jpeg).unwrap();
        let text: Vec<String> =
            found.outline.outer().corners().iter().map(|it| format!("{} {}", it.x, it.y)).collect();
        std::fs::write(
            format!("{folder}/{name}.txt"),
            format!("{}\n{}", found.pixel.to_mm(), text.join("\n")),
        )
        .unwrap();
    }
}

#[test]
fn a_walnut_slab_beside_its_sheets() {
    let (found, truth) = surveyed(&demos::walnut_slab(demos::FULL_PX).unwrap(), SheetsLie::OnBench);
    report("walnut", &found.unwrap(), &truth);
}

#[test]
fn a_cherry_offcut_with_its_sheet_level() {
    let (found, truth) = surveyed(&demos::cherry_offcut(demos::FULL_PX).unwrap(), SheetsLie::OnTop);
    report("cherry", &found.unwrap(), &truth);
}

#[test]
fn a_leaf_beside_its_sheet() {
    let (bytes, truth) = photograph(&demos::leaf(demos::FULL_PX).unwrap()).unwrap();
    let ask = TraceAsk { length: None, check_line: Some(Length::mm(200.0)) };
    let found = trace(&read_picture(&bytes).unwrap(), &ask, &|_, _| ()).unwrap();
    let leaf = Outline::from(truth.leaf.unwrap());
    let area = found.outline.area() / leaf.area() - 1.0;
    eprintln!("leaf: {:?} area {area:+.4} {:?}", found.outline.bounds(), found.problems);
    let _ = (Angle::ZERO, Point::default());
}
