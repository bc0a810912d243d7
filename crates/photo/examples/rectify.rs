//! Surveys one photograph and writes what a check needs to draw the face anew
//! with another library: `rectify PICTURE FOLDER [THICKNESS_MM] [on-top]`.

use std::error::Error;
use std::io::Write as _;
use std::path::Path;
use std::process::ExitCode;

use measure::Length;
use photo::{SheetsLie, SurveyAsk, read_picture, survey};

fn main() -> ExitCode {
    match run(&std::env::args().skip(1).collect::<Vec<String>>()) {
        Ok(()) => ExitCode::SUCCESS,
        Err(trouble) => {
            let _ = writeln!(std::io::stderr(), "{trouble}");
            ExitCode::FAILURE
        }
    }
}

/// Thickness of the demo's slab.
const USUAL_THICKNESS_MM: f64 = 40.0;

fn run(arguments: &[String]) -> Result<(), Box<dyn Error>> {
    let [picture, folder, rest @ ..] = arguments else {
        return Err("rectify PICTURE FOLDER [THICKNESS_MM] [on-top]".into());
    };
    let thickness = rest.first().map_or(Ok(USUAL_THICKNESS_MM), |it| it.parse())?;
    let sheets = if rest.iter().any(|it| it == "on-top") { SheetsLie::OnTop } else { SheetsLie::OnBench };
    let ask = SurveyAsk { thickness: Length::mm(thickness), sheets, check_line: Some(Length::mm(200.0)) };
    let picture = read_picture(&std::fs::read(picture)?)?;
    let out = std::io::stdout();
    let found = survey(&picture, &ask, &|doing, share| {
        let _ = writeln!(out.lock(), "{:3.0} % {doing}", share * 100.0);
    })?;
    let folder = Path::new(folder);
    std::fs::create_dir_all(folder)?;
    std::fs::write(folder.join("face.jpg"), &found.jpeg)?;
    let corners = found.outline.outer().corners().iter().map(|it| format!("{} {}\n", it.x, it.y));
    let outline: String = corners.collect();
    std::fs::write(folder.join("outline.txt"), format!("{}\n{outline}", found.pixel.to_mm()))?;
    for figure in &found.figures {
        writeln!(out.lock(), "{}: {}", figure.name, figure.value)?;
    }
    for problem in &found.problems {
        writeln!(out.lock(), "{problem}")?;
    }
    Ok(())
}
