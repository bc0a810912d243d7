//! How well cuts are planned: run by `cargo xtask bench saw`.

mod picture;
mod shapes;
mod slabs;

use std::time::Instant;

use cuts::{BladeSize, Planned, Task, Wanted};
use judge::{Bench, Ruling, judge};
use measure::Length;
use outline::Outline;
use stock::{Bandsaw, Blade, BladeId, FaceKey, PartKey, PieceId, SawWish, ShopKit, WantId};

use crate::saw::shapes::Lying;

/// Widths and kerfs of the study's blades, inches.
const BLADES: [(f64, f64); 6] =
    [(0.125, 0.036), (0.1875, 0.038), (0.25, 0.042), (0.375, 0.045), (0.5, 0.045), (0.75, 0.05)];

/// Throats of the study's saws, inches.
const THROATS: [f64; 3] = [9.0, 13.5, 18.0];

pub(crate) fn study(seed: u64, count: u64) {
    let mut times = Vec::new();
    let mut judged = Vec::new();
    let (mut planned, mut refused, mut corner_ok) = (0, 0, 0);
    let mut ratio = 0.0;
    for number in 0..count {
        let Lying { name, part, wood } = shapes::shape(seed, number);
        let saw = saw(THROATS[(number % 3) as usize]);
        let task = task(&wood, &[&part], &saw);
        let begun = Instant::now();
        let found = cuts::plan(&task, &|_| None);
        let ms = begun.elapsed().as_secs_f64() * 1000.0;
        times.push(ms);
        let begun = Instant::now();
        let ruling = ruling(&task, &saw, &found);
        let judging = begun.elapsed().as_secs_f64() * 1000.0;
        judged.push(judging);
        if found.troubles.is_empty() {
            planned += 1;
            ratio += found.plan.cuts.len() as f64 / found.least_cuts as f64;
            if ruling.parts.iter().all(|it| it.left_most <= Length::inches(0.125)) {
                corner_ok += 1;
            }
        }
        if !ruling.refusals.is_empty() {
            refused += 1;
            let _ = picture::plan(std::path::Path::new(&format!("/tmp/pics/{name}.svg")), &task, &found.plan);
        }
        println!(
            "{name} {ms:.1} ms judged {judging:.1} ms cuts {} least {} blade {:?} left {:.2} {:?} {:?}",
            found.plan.cuts.len(),
            found.least_cuts,
            found.plan.cuts.first().map(|it| it.blade.0),
            ruling.parts[0].left_most.to_mm(),
            found.troubles,
            ruling.refusals.first()
        );
    }
    times.sort_by(f64::total_cmp);
    judged.sort_by(f64::total_cmp);
    println!(
        "planned {planned} of {count}, refused {refused}, corner ok {corner_ok}, ratio {:.3}",
        ratio / f64::from(planned)
    );
    println!("median {:.1} p99 {:.1}", times[times.len() / 2], times[times.len() * 99 / 100]);
    println!("judged median {:.1} p99 {:.1}", judged[judged.len() / 2], judged[judged.len() * 99 / 100]);
}

pub(crate) fn slabs(seed: u64, count: u64) {
    for number in 0..count {
        let laid = slabs::laid(seed, number);
        let saw = saw(THROATS[(number / 3 % 3) as usize]);
        let parts: Vec<&Outline> = laid.parts.iter().collect();
        let mut task = task(&laid.slab, &parts, &saw);
        task.faults = laid.knots.clone();
        let begun = Instant::now();
        let found = cuts::plan(&task, &|_| None);
        let ms = begun.elapsed().as_secs_f64() * 1000.0;
        let begun = Instant::now();
        let ruling = ruling(&task, &saw, &found);
        println!(
            "{} parts {} {ms:.0} ms judged {:.0} cuts {} least {} {:?} {:?}",
            laid.name,
            laid.parts.len(),
            begun.elapsed().as_secs_f64() * 1e3,
            found.plan.cuts.len(),
            found.least_cuts,
            found.troubles,
            ruling.refusals
        );
        let _ =
            picture::plan(std::path::Path::new(&format!("/tmp/pics/{}.svg", laid.name)), &task, &found.plan);
    }
}

fn ruling(task: &Task, saw: &Bandsaw, found: &Planned) -> Ruling {
    let parts: Vec<(PartKey, &Outline)> = task.parts.iter().map(|it| (it.part, it.outline)).collect();
    let thickness = Length::mm(22.0);
    judge(&Bench { wood: task.wood, parts: &parts, saw, thickness, spare: task.spare }, &found.plan)
}

fn saw(throat: f64) -> Bandsaw {
    let blades = BLADES.iter().zip(1..).map(|((width, kerf), id)| Blade {
        id: BladeId(id),
        width: Length::inches(*width),
        kerf: Length::inches(*kerf),
        thickness: None,
        loop_length: None,
        teeth_per_inch: 6.0,
    });
    Bandsaw { throat: Length::inches(throat), blades: blades.collect(), ..ShopKit::starting().bandsaw }
}

fn task<'a>(wood: &'a Outline, parts: &[&'a Outline], saw: &Bandsaw) -> Task<'a> {
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
        widest_bit: Length::inches(2.125),
        spare: Length::inches(1.0 / 16.0),
        wish: SawWish::Quick,
        prefer: None,
        first: Vec::new(),
    }
}
