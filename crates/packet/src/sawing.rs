//! How each face is sawn apart: its cuts on a drawing, numbered, and told below.

use std::collections::BTreeMap;

use measure::Length;
use outline::{Outline, Point};
use plan::Plan;
use serde::Serialize;
use stock::{Brief, SawCut, SawHoleUse};
use work::CutSheet;

use crate::drawing::{Drawing, Line};
use crate::words;

/// One face; millimetres of paper from the drawing's upper left, y down.
#[derive(Serialize)]
pub(crate) struct Sawing {
    name: String,
    facts: Vec<String>,
    size: [f64; 2],
    drawing: String,
    /// The cuts' numbers, beside their beginnings.
    numbers: Vec<Number>,
    /// The parts' numbers, in their middles.
    parts: Vec<Number>,
    cuts: Vec<CutLine>,
    left: Vec<LeftLine>,
    scale: String,
}

#[derive(Serialize)]
struct Number {
    at: [f64; 2],
    text: String,
}

/// One cut, as told below the drawing.
#[derive(Serialize)]
struct CutLine {
    number: u32,
    blade: String,
    words: String,
    reach: String,
    /// Empty where the balance point stays over the table.
    beyond: String,
}

/// What is left on a part for the sander.
#[derive(Serialize)]
struct LeftLine {
    part: String,
    mean: String,
    most: String,
}

/// Millimetres kept free at both sides of a page.
const MARGIN: f64 = 16.0;
/// The highest that a drawing gets.
const HIGH: f64 = 105.0;
/// Drawn beyond the wood, in millimetres of paper: cuts begin and end there.
const AROUND: f64 = 6.0;
/// An arrow's head, in millimetres of paper.
const HEAD: f64 = 2.2;

/// Every face that is sawn apart.
pub(crate) fn faces(brief: &Brief, plan: &Plan, files: &mut BTreeMap<String, Vec<u8>>) -> Vec<Sawing> {
    let known = plan.cut_sheets.iter().filter_map(|it| Some((it, brief.face(it.plan.face).ok()?.outline)));
    let known: Vec<(&CutSheet, Outline)> = known.collect();
    known
        .iter()
        .enumerate()
        .map(|(index, (sheet, wood))| face(brief, plan, sheet, wood, index, files))
        .collect()
}

fn face(
    brief: &Brief,
    plan: &Plan,
    sheet: &CutSheet,
    wood: &Outline,
    index: usize,
    files: &mut BTreeMap<String, Vec<u8>>,
) -> Sawing {
    let (page, _) = brief.kit.paper.size();
    let bounds = wood.bounds();
    let wide = page.to_mm() - 2.0 * MARGIN - 2.0 * AROUND;
    let scale = (wide / bounds.width().to_mm()).min(HIGH / bounds.height().to_mm());
    let window = bounds.grown(Length::mm(AROUND / scale));
    let mut drawing = Drawing::new(window, scale);
    let parts = draw(&mut drawing, brief, plan, sheet, wood);
    let numbers = numbers(&drawing, sheet);
    let size = drawing.size();
    let name = format!("/cuts{index}.svg");
    files.insert(name.clone(), drawing.finish().into_bytes());
    Sawing {
        name: brief.face_name(sheet.plan.face),
        facts: facts(brief, sheet),
        size,
        drawing: name,
        numbers,
        parts,
        cuts: cuts(brief, sheet),
        left: left(brief, sheet),
        scale: format!("1 : {:.1}", 1.0 / scale),
    }
}

/// Draws the wood, its parts, holes and cuts; tells the parts' numbers.
fn draw(drawing: &mut Drawing, brief: &Brief, plan: &Plan, sheet: &CutSheet, wood: &Outline) -> Vec<Number> {
    drawing.outline(wood, Line::Wood);
    let mut parts = Vec::new();
    for it in plan.layout.placements.iter().filter(|it| it.face == sheet.plan.face) {
        drawing.outline(&it.outline, Line::Rim);
        let at = drawing.on_paper(it.outline.outer().centroid());
        parts.push(Number { at, text: words::part_number(brief, it.part) });
    }
    for hole in &sheet.plan.holes {
        drawing.circle(hole.at, hole.diameter, Line::Cut);
    }
    for cut in &sheet.apart {
        drawing.way(&[cut.from, cut.to], Line::Cut);
    }
    for cut in &sheet.plan.cuts {
        let way: Vec<Point> = cut.sawn().collect();
        drawing.way(&way, Line::Sawn);
        arrow(drawing, &way);
    }
    parts
}

/// Two short strokes at the end of a way.
fn arrow(drawing: &mut Drawing, way: &[Point]) {
    let [.., before, end] = way else { return };
    let [x, y] = drawing.on_paper(*end);
    let [fx, fy] = drawing.on_paper(*before);
    let long = (x - fx).hypot(y - fy).max(1e-6);
    let (dx, dy) = ((fx - x) / long * HEAD, (fy - y) / long * HEAD);
    for side in [0.45, -0.45] {
        drawing.paper_line([x, y], [x + dx - dy * side, y + dy + dx * side], Line::Rim);
    }
}

/// The cuts' numbers, a little before their beginnings and within the drawing.
fn numbers(drawing: &Drawing, sheet: &CutSheet) -> Vec<Number> {
    let [wide, high] = drawing.size();
    let mut taken: Vec<[f64; 2]> = Vec::new();
    let mut found = Vec::new();
    let by_hand = sheet.apart.iter().map(|it| (it.letter.to_string(), drawing.on_paper(it.from)));
    let sawn = (1..).zip(&sheet.plan.cuts);
    let sawn = sawn.filter_map(|(number, cut)| Some((i32::to_string(&number), beginning(drawing, cut)?)));
    for (text, at) in by_hand.chain(sawn) {
        let mut at = [at[0].clamp(2.5, wide - 2.5), at[1].clamp(2.5, high - 2.5)];
        // Numbers that would lie on one another stand side by side.
        while taken.iter().any(|it: &[f64; 2]| (it[0] - at[0]).hypot(it[1] - at[1]) < 4.6) {
            at[0] += if at[0] < wide - 8.0 { 4.8 } else { -4.8 };
            if taken.len() > sheet.apart.len() + sheet.plan.cuts.len() || !(2.0..=wide - 2.0).contains(&at[0])
            {
                break;
            }
        }
        taken.push(at);
        found.push(Number { at, text });
    }
    found
}

fn beginning(drawing: &Drawing, cut: &SawCut) -> Option<[f64; 2]> {
    let mut way = cut.sawn();
    let (first, second) = (drawing.on_paper(way.next()?), drawing.on_paper(way.next()?));
    let long = (second[0] - first[0]).hypot(second[1] - first[1]).max(1e-6);
    let back = |index: usize| first[index] - (second[index] - first[index]) / long * 2.6;
    Some([back(0), back(1)])
}

fn facts(brief: &Brief, sheet: &CutSheet) -> Vec<String> {
    let units = brief.units();
    let drilled = |wanted: SawHoleUse| sheet.plan.holes.iter().filter(|it| it.is == wanted).count();
    let mut facts = vec![
        format!("{}, sawn through step by step before printing", counted(sheet.plan.cuts.len())),
        format!("column at {}", units.length(sheet.throat)),
    ];
    if !sheet.apart.is_empty() {
        facts.push(format!("with a hand-held saw first: {}", counted(sheet.apart.len())));
    }
    for (count, why) in [
        (drilled(SawHoleUse::Pivot), "in the waste, to turn the blade in"),
        (drilled(SawHoleUse::Start), "in openings, to thread a hand-held saw in"),
    ] {
        if count > 0 {
            facts.push(format!("drill first: {count} {why}"));
        }
    }
    facts
}

fn counted(cuts: usize) -> String {
    if cuts == 1 { "1 cut".to_owned() } else { format!("{cuts} cuts") }
}

fn cuts(brief: &Brief, sheet: &CutSheet) -> Vec<CutLine> {
    let units = brief.units();
    let all = (1..).zip(&sheet.cuts);
    all.map(|(number, it)| CutLine {
        number,
        blade: words::unbroken(&units.length(it.width)),
        words: it.words.clone(),
        reach: words::unbroken(&units.length(it.reach)),
        beyond: if it.overhang > Length::ZERO {
            words::unbroken(&units.length(it.overhang))
        } else {
            String::new()
        },
    })
    .collect()
}

fn left(brief: &Brief, sheet: &CutSheet) -> Vec<LeftLine> {
    let units = brief.units();
    let line = |it: &work::StockLeft| LeftLine {
        part: format!("{} {}", words::part_number(brief, it.part), brief.part_name(it.part)),
        mean: words::unbroken(&units.fine_length(it.mean)),
        most: words::unbroken(&units.fine_length(it.most)),
    };
    sheet.left.iter().map(line).collect()
}
