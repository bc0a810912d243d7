//! Surveys one photograph and writes what a check needs to draw the face anew
//! with another library: `rectify PICTURE FOLDER [THICKNESS_MM] [on-top]`.

use std::cell::RefCell;
use std::error::Error;
use std::io::Write as _;
use std::path::Path;
use std::process::ExitCode;
use std::time::Instant;

use measure::Length;
use outline::Point;
use photo::{Pixel, SheetsLie, Survey, SurveyAsk, read_picture, survey};

fn main() -> ExitCode {
    match run(&std::env::args().skip(1).collect::<Vec<String>>()) {
        Ok(()) => ExitCode::SUCCESS,
        Err(trouble) => {
            let _ = writeln!(std::io::stderr(), "{trouble}");
            ExitCode::FAILURE
        }
    }
}

/// Width and height of the face's picture, then where the photograph shows the
/// middle of each of its pixels: little-endian numbers of 32 bits.
fn map(found: &Survey) -> Vec<u8> {
    let mm = found.pixel.to_mm();
    let pixels = (0..found.height_px).flat_map(|y| (0..found.width_px).map(move |x| (x, y)));
    let places = pixels.flat_map(|(x, y)| {
        let at = Point::new((f64::from(x) + 0.5) * mm, (f64::from(found.height_px - y) - 0.5) * mm);
        let seen = found.seen_at(at).unwrap_or(Pixel::new(-1.0, -1.0));
        [seen.x as f32, seen.y as f32]
    });
    let size = [found.width_px as f32, found.height_px as f32];
    size.into_iter().chain(places).flat_map(f32::to_le_bytes).collect()
}

/// The fibres' direction every centimetre over the face: x and y in millimetres, and degrees.
fn directions(found: &Survey) -> String {
    let mm = found.pixel.to_mm();
    let steps = |px: u32| (f64::from(px) * mm / 10.0) as u32;
    let places = (0..steps(found.height_px)).flat_map(|y| (0..steps(found.width_px)).map(move |x| (x, y)));
    let lines = places.map(|(x, y)| {
        let at = Point::new(f64::from(x) * 10.0 + 5.0, f64::from(y) * 10.0 + 5.0);
        format!("{} {} {}\n", at.x, at.y, found.grain.at(at).to_degrees())
    });
    lines.collect()
}

/// Thickness of the demo's slab.
const USUAL_THICKNESS_MM: f64 = 40.0;

fn run(arguments: &[String]) -> Result<(), Box<dyn Error>> {
    let [picture, folder, rest @ ..] = arguments else {
        return Err("rectify PICTURE FOLDER [THICKNESS_MM] [on-top]".into());
    };
    let thickness = rest.first().map_or(Ok(USUAL_THICKNESS_MM), |it| it.parse())?;
    let sheets = if rest.iter().any(|it| it == "on-top") { SheetsLie::OnTop } else { SheetsLie::OnBench };
    let ask = SurveyAsk {
        thickness: Length::mm(thickness),
        sheets,
        check_line: Some(Length::mm(200.0)),
        known: Vec::new(),
        keenness: stock::Keenness::default(),
    };
    let picture = read_picture(&std::fs::read(picture)?)?;
    let out = std::io::stdout();
    let step = RefCell::new((String::new(), Instant::now()));
    let found = survey(
        &picture,
        &ask,
        &|doing, _| {
            let (done, begun) = step.replace((doing.to_owned(), Instant::now()));
            if !done.is_empty() {
                let _ = writeln!(out.lock(), "{done}: {:4} ms", begun.elapsed().as_millis());
            }
        },
        &|| false,
    )?;
    let folder = Path::new(folder);
    std::fs::create_dir_all(folder)?;
    std::fs::write(folder.join("face.jpg"), &found.jpeg)?;
    let corners = found.outline.outer().corners().iter().map(|it| format!("{} {}\n", it.x, it.y));
    let outline: String = corners.collect();
    std::fs::write(folder.join("outline.txt"), format!("{}\n{outline}", found.pixel.to_mm()))?;
    std::fs::write(folder.join("map.f32"), map(&found))?;
    std::fs::write(folder.join("grain.txt"), directions(&found))?;
    for figure in &found.figures {
        writeln!(out.lock(), "{}: {}", figure.name, figure.value)?;
    }
    for problem in &found.problems {
        writeln!(out.lock(), "{problem}")?;
    }
    Ok(())
}
