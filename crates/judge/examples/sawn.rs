//! Judges plans of its own and writes what a check needs to saw them anew with
//! another library: `sawn FOLDER`.

use std::error::Error;
use std::f64::consts::PI;
use std::io::Write as _;
use std::path::Path;
use std::process::ExitCode;

use judge::{Bench, Fall, judge};
use measure::{Angle, Length};
use outline::{Outline, Place, Point, Ring};
use serde_json::{Value, json};
use stock::{
    BladeId, CutPlan, FaceKey, PartKey, PieceId, SawCut, SawCutKind, SawHole, SawHoleUse, SawLeg, ShopKit,
    WantId,
};

fn main() -> ExitCode {
    let Some(folder) = std::env::args().nth(1) else { return told("sawn FOLDER".into()) };
    match write(Path::new(&folder)) {
        Ok(()) => ExitCode::SUCCESS,
        Err(trouble) => told(trouble),
    }
}

fn told(trouble: Box<dyn Error>) -> ExitCode {
    let _ = writeln!(std::io::stderr(), "{trouble}");
    ExitCode::FAILURE
}

/// What is sawn out of what.
struct Case {
    name: &'static str,
    wood: Outline,
    parts: Vec<Outline>,
    holes: Vec<SawHole>,
    cuts: Vec<SawCut>,
}

/// Half the kerf of the starting shop's 1/4 in blade and a sixteenth of an inch
/// of spare wood: the way keeps this far from a line.
const AWAY: f64 = 0.021 * 25.4 + SPARE;
const SPARE: f64 = 25.4 / 16.0;

fn key(copy: usize) -> PartKey {
    PartKey { want: WantId(1), copy: copy as u32 }
}

fn points(all: &[(f64, f64)]) -> Vec<Point> {
    all.iter().map(|&(x, y)| Point::new(x, y)).collect()
}

fn shape(corners: Vec<Point>) -> Result<Outline, Box<dyn Error>> {
    Ok(Outline::from(Ring::new(corners).map_err(|it| it.to_string())?))
}

fn bar(x: f64, y: f64, long: f64, high: f64) -> Result<Outline, Box<dyn Error>> {
    shape(points(&[(x, y), (x + long, y), (x + long, y + high), (x, y + high)]))
}

/// A wavy line round a middle: counter-clockwise, closed, so far from it.
fn wavy(middle: (f64, f64), radius: f64, waves: f64) -> Vec<Point> {
    let at = |it: u32| {
        let turn = -PI / 2.0 + 2.0 * PI * f64::from(it) / 720.0;
        let radius = radius * (1.0 + 0.06 * ((turn + PI / 2.0) * waves).cos());
        Point::new(middle.0 + radius * turn.cos(), middle.1 + radius * turn.sin())
    };
    (0..=720).map(at).collect()
}

fn cut(kind: SawCutKind, parts: &[usize], way: Vec<Point>) -> SawCut {
    let legs = vec![SawLeg::Sawn { way }];
    SawCut { kind, parts: parts.iter().map(|&it| key(it)).collect(), blade: BladeId(2), legs }
}

fn loop_round(middle: (f64, f64), radius: f64, waves: f64) -> Result<(Outline, SawCut), Box<dyn Error>> {
    let mut corners = wavy(middle, radius, waves);
    corners.pop();
    let mut way = points(&[(-12.0, middle.1 - 1.06 * (radius + 3.5))]);
    way.extend(wavy(middle, radius + 3.5, waves));
    Ok((shape(corners)?, cut(SawCutKind::Outline, &[1], way)))
}

fn cases() -> Result<Vec<Case>, Box<dyn Error>> {
    let mut cases = Vec::new();
    for (name, waves) in [("round", 0.0), ("wave-3", 3.0), ("wave-5", 5.0)] {
        let (part, cut) = loop_round((130.0, 120.0), 80.0, waves)?;
        let wood = bar(0.0, 0.0, 260.0, 240.0)?;
        cases.push(Case { name, wood, parts: vec![part], holes: Vec::new(), cuts: vec![cut] });
    }
    cases.push(relief()?);
    cases.push(square_corner()?);
    cases.push(three_bars()?);
    Ok(cases)
}

fn relief() -> Result<Case, Box<dyn Error>> {
    let y = 60.0 + AWAY;
    let reliefs = (1..6).map(|it| {
        let x = 300.0 - 50.0 * f64::from(it);
        cut(SawCutKind::Relief, &[1], points(&[(x + 6.0, 108.0), (x, y)]))
    });
    let along = cut(SawCutKind::Outline, &[1], points(&[(308.0, y), (-8.0, y)]));
    let (wood, parts) = (bar(0.0, 0.0, 300.0, 100.0)?, vec![bar(0.0, 0.0, 300.0, 60.0)?]);
    Ok(Case { name: "relief", wood, parts, holes: Vec::new(), cuts: reliefs.chain([along]).collect() })
}

fn square_corner() -> Result<Case, Box<dyn Error>> {
    let corners = [(0.0, 0.0), (200.0, 0.0), (200.0, 60.0), (60.0, 60.0), (60.0, 200.0), (0.0, 200.0)];
    let (radius, half) = (3.6, 6.35 / 2.0);
    let middle = 60.0 + radius;
    let legs = vec![
        SawLeg::Sawn { way: points(&[(208.0, middle), (middle - half, middle)]) },
        SawLeg::Turned { about: Point::new(middle, middle), by: Angle::degrees(-90.0) },
        SawLeg::Sawn { way: points(&[(middle, middle + half), (middle, 208.0)]) },
    ];
    let hole = SawHole {
        part: key(1),
        at: Point::new(middle, middle),
        diameter: Length::mm(2.0 * radius),
        is: SawHoleUse::Pivot,
    };
    let cut = SawCut { kind: SawCutKind::Outline, parts: vec![key(1)], blade: BladeId(2), legs };
    let (wood, parts) = (bar(0.0, 0.0, 200.0, 200.0)?, vec![shape(points(&corners))?]);
    Ok(Case { name: "square-corner", wood, parts, holes: vec![hole], cuts: vec![cut] })
}

fn three_bars() -> Result<Case, Box<dyn Error>> {
    let mut parts = Vec::new();
    let mut cuts = Vec::new();
    for index in 0..3_usize {
        let x = 130.0 * index as f64;
        parts.push(bar(x + AWAY, 0.0, 130.0 - 2.0 * AWAY, 80.0)?);
        if index > 0 {
            let listed: Vec<usize> = (index..=3).collect();
            cuts.push(cut(SawCutKind::Parting, &listed, points(&[(x, 108.0), (x, -8.0)])));
        }
        let y = 80.0 + AWAY;
        cuts.push(cut(SawCutKind::Outline, &[index + 1], points(&[(x + 136.0, y), (x - 6.0, y)])));
    }
    cuts.sort_by_key(|it| it.kind);
    Ok(Case { name: "three-bars", wood: bar(0.0, 0.0, 390.0, 100.0)?, parts, holes: Vec::new(), cuts })
}

/// The case, turned by some angle.
fn turned(case: Case, turn: Angle) -> Case {
    let place = Place { turn, ..Place::default() };
    let leg = |leg: SawLeg| match leg {
        SawLeg::Sawn { way } => SawLeg::Sawn { way: way.into_iter().map(|it| place.point(it)).collect() },
        SawLeg::Turned { about, by } => SawLeg::Turned { about: place.point(about), by },
    };
    Case {
        name: case.name,
        wood: place.outline(&case.wood),
        parts: case.parts.iter().map(|it| place.outline(it)).collect(),
        holes: case.holes.into_iter().map(|it| SawHole { at: place.point(it.at), ..it }).collect(),
        cuts: case
            .cuts
            .into_iter()
            .map(|it| SawCut { legs: it.legs.into_iter().map(leg).collect(), ..it })
            .collect(),
    }
}

fn write(folder: &Path) -> Result<(), Box<dyn Error>> {
    std::fs::create_dir_all(folder)?;
    for turn in [0.0, 21.3, 63.0] {
        for case in cases()? {
            let name = format!("{}-{turn:.0}.json", case.name);
            let sawn = sawn(turned(case, Angle::degrees(turn)));
            std::fs::write(folder.join(name), serde_json::to_string(&sawn)?)?;
        }
    }
    Ok(())
}

fn sawn(case: Case) -> Value {
    let saw = ShopKit::starting().bandsaw;
    let parts: Vec<(PartKey, &Outline)> = (1..).map(key).zip(&case.parts).collect();
    let bench = Bench {
        wood: &case.wood,
        parts: &parts,
        saw: &saw,
        thickness: Length::inches(1.0),
        spare: Length::mm(SPARE),
    };
    let plan = CutPlan { face: FaceKey::Piece(PieceId(1)), holes: case.holes, cuts: case.cuts };
    let ruling = judge(&bench, &plan);
    let fall = |it: &Fall| json!({ "area": it.area, "middle": it.middle, "parts": it.parts });
    json!({
        "wood": case.wood,
        "parts": parts,
        "plan": plan,
        "kerf": saw.blades[1].kerf,
        "refusals": ruling.refusals.iter().map(|it| format!("{it:?}")).collect::<Vec<_>>(),
        "cuts": ruling.cuts.iter().map(|it| json!({
            "dust": it.dust,
            "falls": it.falls.iter().map(fall).collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
        "left": ruling.parts.iter().map(|it| json!({
            "mean": it.left_mean,
            "most": it.left_most,
        })).collect::<Vec<_>>(),
    })
}
