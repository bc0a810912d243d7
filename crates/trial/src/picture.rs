//! Layouts and their courses as pictures, for people.

use std::fmt::Write as _;
use std::fs;
use std::path::Path;

use measure::Problem;
use nest::Lying;
use outline::{Bounds, Outline};

use crate::instance::{Face, Instance};

/// Between faces, in millimetres.
const APART: f64 = 40.0;

/// Draws every face with what lies on it, side by side.
pub(crate) fn layout(
    path: &Path,
    instance: &Instance,
    faces: &[Face],
    lying: &[Lying],
) -> Result<(), Problem> {
    let mut right = 0.0;
    let mut high: f64 = 0.0;
    let mut body = String::new();
    for (bed, face) in faces.iter().enumerate() {
        let Bounds { low, high: top } = face.outline.bounds();
        let (x, y) = (right - low.x, top.y);
        let _ = write!(body, r#"<g transform="translate({x:.2} {y:.2})">"#);
        let mut shape = |outline: &Outline, look: &str| {
            let _ = write!(body, r#"<path {look} d="{}"/>"#, outline.svg_path());
        };
        shape(&face.outline, r##"fill="#d8c3a0" stroke="#5b4630""##);
        for (area, _) in &face.bad {
            shape(&Outline::from(area.clone()), r##"fill="#7a5a3a""##);
        }
        for it in lying.iter().filter(|it| it.bed == bed) {
            let outline = it.place.outline(&instance.kinds[it.kind].0.outline);
            shape(&outline, r##"fill="#3d6f8e" fill-opacity="0.75" stroke="#12303f""##);
        }
        body.push_str("</g>\n");
        right += top.x - low.x + APART;
        high = high.max(top.y - low.y);
    }
    let size = format!("{:.1} {high:.1}", right - APART);
    let text = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {size}\" fill-rule=\"evenodd\" \
         stroke-width=\"1\">\n{body}</svg>\n"
    );
    written(path, &text)
}

/// Plots how good a layout was after how many seconds, the time by its logarithm.
pub(crate) fn course(path: &Path, rows: &[(f64, f64)], seconds: f64) -> Result<(), Problem> {
    const WIDE: f64 = 600.0;
    const HIGH: f64 = 300.0;
    const FIRST: f64 = 0.01;
    let values = || rows.iter().map(|it| it.1);
    let (least, most) = (values().fold(f64::INFINITY, f64::min), values().fold(0.0, f64::max));
    let span = (most - least).max(1e-9);
    let x = |at: f64| WIDE * (at.max(FIRST) / FIRST).ln() / (seconds.max(1.0) / FIRST).ln();
    let y = |value: f64| HIGH * (1.0 - (value - least) / span);
    let mut line = String::new();
    let mut last = HIGH;
    for (at, value) in rows {
        let _ = write!(line, "{:.1},{last:.1} {:.1},{:.1} ", x(*at), x(*at), y(*value));
        last = y(*value);
    }
    let _ = write!(line, "{:.1},{last:.1}", x(seconds));
    let mut text = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"-60 -20 700 370\" font-size=\"14\" \
         font-family=\"sans-serif\">\n<path d=\"M0 0V{HIGH}H{WIDE}\" fill=\"none\" stroke=\"#555\"/>\n\
         <polyline points=\"{line}\" fill=\"none\" stroke=\"#12303f\" stroke-width=\"2\"/>\n"
    );
    for at in [0.01, 0.1, 1.0, 10.0, 60.0].into_iter().filter(|at| *at <= seconds) {
        let _ = writeln!(
            text,
            "<text x=\"{:.1}\" y=\"{}\" text-anchor=\"middle\">{at} s</text>",
            x(at),
            HIGH + 20.0
        );
    }
    for value in [least, most] {
        let _ = writeln!(
            text,
            "<text x=\"-6\" y=\"{:.1}\" text-anchor=\"end\">{value:.1}</text>",
            y(value) + 5.0
        );
    }
    text.push_str("</svg>\n");
    written(path, &text)
}

pub(crate) fn written(path: &Path, text: &str) -> Result<(), Problem> {
    fs::write(path, text).map_err(|it| Problem::new(format!("{} cannot be written: {it}", path.display())))
}
