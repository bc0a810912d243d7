//! The study's saws and blades, and plans written down.

use std::fs;
use std::path::Path;

use cuts::{BladeSize, Task, Wanted};
use judge::Bench;
use measure::{Length, Problem};
use outline::Outline;
use serde_json::json;
use stock::{Bandsaw, Blade, BladeId, FaceKey, PartKey, PieceId, SawWish, ShopKit, WantId};

use crate::saw::Sawn;

/// Widths and kerfs of the study's blades, inches; nobody has measured their bands.
const BLADES: [(f64, f64); 6] =
    [(0.125, 0.036), (0.1875, 0.038), (0.25, 0.042), (0.375, 0.045), (0.5, 0.045), (0.75, 0.05)];

/// The study's saws.
pub(crate) const SAWS: usize = 3;

/// Their throats, inches: a bench saw, one with wheels of 14 in, one of 18.
const THROATS: [f64; SAWS] = [9.0, 13.5, 18.0];

/// As thick as the wood is.
const THICKNESS: Length = Length::mm(22.0);

/// Left on for the sander.
const SPARE: Length = Length::inches(1.0 / 16.0);

/// One of the study's saws.
pub(crate) fn saw(number: usize) -> Bandsaw {
    let blades = BLADES.iter().zip(1..).map(|((width, kerf), id)| Blade {
        id: BladeId(id),
        width: Length::inches(*width),
        kerf: Length::inches(*kerf),
        thickness: None,
        loop_length: None,
        teeth_per_inch: 6.0,
    });
    Bandsaw {
        throat: Length::inches(THROATS[number]),
        blades: blades.collect(),
        ..ShopKit::starting().bandsaw
    }
}

/// What the judge is told.
pub(crate) fn bench<'a>(
    wood: &'a Outline,
    parts: &'a [(PartKey, &'a Outline)],
    saw: &'a Bandsaw,
) -> Bench<'a> {
    Bench { wood, parts, saw, thickness: THICKNESS, spare: SPARE }
}

/// What the planner is told.
pub(crate) fn task<'a>(wood: &'a Outline, parts: &[&'a Outline], saw: &Bandsaw) -> Task<'a> {
    let key = |copy: u32| PartKey { want: WantId(1), copy };
    let wanted =
        parts.iter().zip(1..).map(|(outline, copy)| Wanted { part: key(copy), outline, blade: None });
    Task {
        face: FaceKey::Piece(PieceId(1)),
        wood,
        parts: wanted.collect(),
        faults: Vec::new(),
        throat: saw.throat,
        blades: saw.blades.iter().map(|it| BladeSize::new(it, saw)).collect(),
        widest_bit: ShopKit::starting().machines.widest_bit,
        spare: SPARE,
        wish: SawWish::Quick,
        prefer: None,
        first: Vec::new(),
        starts: Vec::new(),
    }
}

/// What comes off so shortly before a cut's end comes off at its end, millimetres:
/// a way round meets its own beginning at a flat angle.
const AT_THE_END: f64 = 30.0;

/// Whether all waste comes off at the end of its cut: where some falls before,
/// the way goes on through the open, and a library that takes the whole kerf away
/// at once sees other pieces.
fn falls_at_the_end(it: &Sawn) -> bool {
    let cuts = it.planned.plan.cuts.iter().zip(&it.ruling.cuts);
    let mut falls = cuts.flat_map(|(cut, told)| told.falls.iter().map(move |fall| (cut, fall)));
    falls.all(|(cut, fall)| fall.after.to_mm() > cut.length().to_mm() - AT_THE_END)
}

/// Writes plans down as `checks/kerfs.py` reads them.
pub(crate) fn write_plans<'a>(folder: &Path, all: impl Iterator<Item = &'a Sawn>) -> Result<(), Problem> {
    for it in all.filter(|it| !it.planned.plan.cuts.is_empty() && falls_at_the_end(it)) {
        let saw = saw(it.on);
        let first = it.planned.plan.cuts[0].blade;
        let kerf = saw.blades.iter().find(|blade| blade.id == first).map(|it| it.kerf);
        let part = PartKey { want: WantId(1), copy: 1 };
        let fall = |it: &judge::Fall| json!({ "area": it.area, "middle": it.middle, "parts": it.parts });
        let cut = |it: &judge::CutRuling| json!({ "dust": it.dust, "falls": it.falls.iter().map(fall).collect::<Vec<_>>() });
        let left = |it: &judge::PartRuling| json!({ "mean": it.left_mean, "most": it.left_most });
        let text = json!({
            "wood": it.lying.wood,
            "parts": [(part, &it.lying.part)],
            "plan": it.planned.plan,
            "kerf": kerf,
            "refusals": [],
            "cuts": it.ruling.cuts.iter().map(cut).collect::<Vec<_>>(),
            "left": it.ruling.parts.iter().map(left).collect::<Vec<_>>(),
        });
        let path = folder.join(format!("{}.json", it.lying.name));
        let trouble =
            |it: std::io::Error| Problem::new(format!("{} cannot be written: {it}", path.display()));
        fs::write(&path, text.to_string()).map_err(trouble)?;
    }
    Ok(())
}
