//! Whether a layout may stand, decided exactly on whole micrometres.

use std::fs;
use std::path::Path;

use measure::{Angle, Length, Problem};
use nest::{Lying, Turns};
use outline::{OnGrid, Outline};
use serde::Serialize;

use crate::instance::{Face, Instance};

/// What is wrong with a layout, in words; nothing if it may stand.
pub(crate) fn faults(instance: &Instance, faces: &[Face], lying: &[Lying]) -> Vec<String> {
    let mut faults = Vec::new();
    for (kind, (_, count)) in instance.kinds.iter().enumerate() {
        let laid = lying.iter().filter(|it| it.kind == kind).count();
        if laid > *count {
            faults.push(format!("kind {kind} lies {laid} times, of {count}"));
        }
    }
    let outlines: Vec<Outline> =
        lying.iter().map(|it| it.place.outline(&instance.kinds[it.kind].0.outline)).collect();
    let grids: Vec<OnGrid> = outlines.iter().map(OnGrid::from).collect();
    for (number, (it, grid)) in lying.iter().zip(&grids).enumerate() {
        let face = &faces[it.bed];
        let wood = OnGrid::from(&face.outline);
        if !wood.holds(grid) || !wood.lines_apart(grid, face.edge) {
            faults.push(format!("thing {number} reaches past the edge"));
        }
        let bears = instance.kinds[it.kind].0.bears;
        for (area, _) in face.bad.iter().filter(|(_, class)| bears & class == 0) {
            if !OnGrid::from(&Outline::from(area.clone())).apart(grid, face.edge) {
                faults.push(format!("thing {number} lies on a bad place"));
            }
        }
        if !may_turn(instance, face, it) {
            faults.push(format!("thing {number} is turned as it may not be"));
        }
        for (other, near) in
            lying[..number].iter().zip(&grids).enumerate().filter(|(_, near)| near.0.bed == it.bed)
        {
            if !grid.apart(near.1, instance.gap) {
                faults.push(format!("things {other} and {number} are too close"));
            }
        }
    }
    faults
}

/// Whether a thing's turn is one that its kind may have.
fn may_turn(instance: &Instance, face: &Face, it: &Lying) -> bool {
    const HAIR: Angle = Angle::degrees(1e-6);
    let off = |turn: Angle| {
        let by = it.place.turn - turn;
        Angle::radians(by.sin().atan2(by.cos()).abs())
    };
    match &instance.kinds[it.kind].0.turns {
        Turns::Any => true,
        Turns::At(turns) => turns.iter().any(|turn| off(*turn) <= HAIR),
        Turns::Within(windows) => windows.iter().any(|(turn, within)| off(*turn) <= *within + HAIR),
        Turns::Grain(lines) => lines.iter().all(|&(line, within)| {
            let Some(grain) = face.grain else { return true };
            let lies = it.place.segment(line);
            (0..=4).all(|step| {
                let spot = lies.from.toward(lies.to, f64::from(step) / 4.0);
                grain(spot).between_lines(lies.direction()) <= within + HAIR
            })
        }),
    }
}

/// A layout as a second judge reads it.
#[derive(Serialize)]
struct Written {
    gap: f64,
    faces: Vec<WrittenFace>,
}

#[derive(Serialize)]
struct WrittenFace {
    outline: Vec<Vec<[f64; 2]>>,
    edge: f64,
    things: Vec<WrittenThing>,
}

#[derive(Serialize)]
struct WrittenThing {
    rings: Vec<Vec<[f64; 2]>>,
    keeps_off: Vec<Vec<[f64; 2]>>,
}

/// Writes a layout for `checks/layouts.py`, which judges it with shapely.
pub(crate) fn write(
    path: &Path,
    instance: &Instance,
    faces: &[Face],
    lying: &[Lying],
) -> Result<(), Problem> {
    let rings = |it: &Outline| -> Vec<Vec<[f64; 2]>> { it.rings().map(corners).collect() };
    let written = faces.iter().enumerate().map(|(bed, face)| {
        let things = lying.iter().filter(|it| it.bed == bed).map(|it| {
            let kind = &instance.kinds[it.kind].0;
            let bad = face.bad.iter().filter(|(_, class)| kind.bears & class == 0);
            WrittenThing {
                rings: rings(&it.place.outline(&kind.outline)),
                keeps_off: bad.map(|(area, _)| corners(area)).collect(),
            }
        });
        WrittenFace { outline: rings(&face.outline), edge: face.edge.to_mm(), things: things.collect() }
    });
    let written = Written { gap: instance.gap.to_mm(), faces: written.collect() };
    let text = serde_json::to_string(&written).map_err(|it| Problem::new(it.to_string()))?;
    fs::write(path, text).map_err(|it| Problem::new(format!("{} cannot be written: {it}", path.display())))
}

fn corners(ring: &outline::Ring) -> Vec<[f64; 2]> {
    ring.corners().iter().map(|it| [it.x, it.y]).collect()
}

/// The length that a strip needs, as a face.
pub(crate) fn strip_face(length: Length, width: Length) -> Result<Face, Problem> {
    let ring = outline::Ring::rectangle(length, width)?;
    Ok(Face { outline: Outline::from(ring), edge: Length::ZERO, bad: Vec::new(), grain: None })
}
