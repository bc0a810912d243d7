//! Plans of cuts as pictures, for people.

use std::fmt::Write as _;
use std::path::Path;

use cuts::Task;
use measure::Problem;
use outline::{Outline, Point};
use stock::{CutPlan, SawCut, SawCutKind};

/// Around the wood, millimetres.
const MARGIN: f64 = 25.0;

/// Draws the wood, its parts and faults, and the cuts with their numbers.
pub(crate) fn plan(path: &Path, task: &Task, plan: &CutPlan) -> Result<(), Problem> {
    let sides = task.wood.bounds().grown(measure::Length::mm(MARGIN));
    let mut body = String::new();
    let mut shape = |outline: &Outline, look: &str| {
        let _ = writeln!(body, r#"<path {look} d="{}"/>"#, outline.svg_path());
    };
    shape(task.wood, r##"fill="#d8c3a0" stroke="#5b4630""##);
    for fault in &task.faults {
        shape(fault, r##"fill="#7a5a3a""##);
    }
    for part in &task.parts {
        shape(part.outline, r##"fill="#3d6f8e" fill-opacity="0.55" stroke="#12303f""##);
    }
    for hole in &plan.holes {
        let radius = hole.diameter.to_mm() / 2.0;
        let _ = writeln!(
            body,
            r##"<circle cx="{:.2}" cy="{:.2}" r="{radius:.2}" fill="none" stroke="#000"/>"##,
            hole.at.x, -hole.at.y
        );
    }
    for (index, cut) in plan.cuts.iter().enumerate() {
        draw(&mut body, index + 1, cut);
    }
    let (wide, high) = (sides.width().to_mm(), sides.height().to_mm());
    let text = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"{:.1} {:.1} {wide:.1} {high:.1}\" \
         fill-rule=\"evenodd\" stroke-width=\"0.8\" font-family=\"sans-serif\" font-size=\"14\">\n{body}</svg>\n",
        sides.low.x, -sides.high.y
    );
    crate::picture::written(path, &text)
}

fn draw(body: &mut String, number: usize, cut: &SawCut) {
    let way: Vec<Point> = cut.sawn().collect();
    let line: Vec<String> = way.iter().map(|it| format!("{:.2},{:.2}", it.x, -it.y)).collect();
    let dash = match cut.kind {
        SawCutKind::Parting | SawCutKind::Trim => "8 3",
        SawCutKind::Relief | SawCutKind::Facet => "3 2",
        SawCutKind::Outline => "none",
    };
    let _ = writeln!(
        body,
        r##"<polyline points="{}" fill="none" stroke="#b3261e" stroke-dasharray="{dash}"/>"##,
        line.join(" ")
    );
    if let Some(begin) = way.first() {
        let _ = writeln!(body, r#"<text x="{:.1}" y="{:.1}">{number}</text>"#, begin.x + 2.0, -begin.y - 2.0);
    }
}
