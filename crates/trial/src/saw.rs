//! How well cuts are planned: run by `cargo xtask bench saw`.

mod picture;
mod shapes;
mod slabs;

use std::time::Instant;

use cuts::{BladeSize, Task, Wanted};
use measure::Length;
use stock::{BladeId, FaceKey, PartKey, PieceId, SawWish, WantId};

use crate::saw::shapes::Lying;

/// Widths, kerfs and bands of the study's blades, inches.
const BLADES: [(f64, f64); 6] =
    [(0.125, 0.036), (0.1875, 0.038), (0.25, 0.042), (0.375, 0.045), (0.5, 0.045), (0.75, 0.05)];

/// Throats of the study's saws, inches.
const THROATS: [f64; 3] = [9.0, 13.5, 18.0];

pub(crate) fn study(seed: u64, count: u64) {
    let mut times = Vec::new();
    let mut planned = 0;
    let mut ratio = 0.0;
    for number in 0..count {
        let Lying { name, part, wood } = shapes::shape(seed, number);
        let task = task(&wood, &part, THROATS[(number % 3) as usize]);
        let begun = Instant::now();
        let found = cuts::plan(&task);
        let ms = begun.elapsed().as_secs_f64() * 1000.0;
        times.push(ms);
        if found.troubles.is_empty() {
            planned += 1;
            ratio += found.plan.cuts.len() as f64 / found.least_cuts as f64;
        }
        if number < 20 {
            let _ = picture::plan(std::path::Path::new(&format!("/tmp/pics/{name}.svg")), &task, &found.plan);
        }
        println!(
            "{name} {ms:.1} ms cuts {} least {} holes {} blade {:?} {:?}",
            found.plan.cuts.len(),
            found.least_cuts,
            found.plan.holes.len(),
            found.plan.cuts.first().map(|it| it.blade.0),
            found.troubles
        );
    }
    times.sort_by(f64::total_cmp);
    println!("planned {planned} of {count}, ratio {:.3}", ratio / f64::from(planned));
    println!("median {:.1} p99 {:.1}", times[times.len() / 2], times[times.len() * 99 / 100]);
}

pub(crate) fn slabs(seed: u64, count: u64) {
    for number in 0..count {
        let laid = slabs::laid(seed, number);
        let mut task = task(&laid.slab, &laid.parts[0], THROATS[(number % 3) as usize]);
        let key = |index: usize| PartKey { want: WantId(1), copy: index as u32 + 1 };
        let wanted = laid.parts.iter().enumerate();
        task.parts = wanted.map(|(it, outline)| Wanted { part: key(it), outline, blade: None }).collect();
        task.faults = laid.knots.clone();
        let begun = Instant::now();
        let found = cuts::plan(&task);
        println!(
            "{} parts {} {:.0} ms cuts {} least {} {:?}",
            laid.name,
            laid.parts.len(),
            begun.elapsed().as_secs_f64() * 1e3,
            found.plan.cuts.len(),
            found.least_cuts,
            found.troubles
        );
        let _ =
            picture::plan(std::path::Path::new(&format!("/tmp/pics/{}.svg", laid.name)), &task, &found.plan);
    }
}

fn task<'a>(wood: &'a outline::Outline, part: &'a outline::Outline, throat: f64) -> Task<'a> {
    let blades = BLADES.iter().enumerate().map(|(index, (width, kerf))| {
        let blade = stock::Blade {
            id: BladeId(index as u32 + 1),
            width: Length::inches(*width),
            kerf: Length::inches(*kerf),
            thickness: None,
            loop_length: None,
            teeth_per_inch: 6.0,
        };
        BladeSize::new(&blade, &stock::ShopKit::starting().bandsaw)
    });
    Task {
        face: FaceKey::Piece(PieceId(1)),
        wood,
        parts: vec![Wanted { part: PartKey { want: WantId(1), copy: 1 }, outline: part, blade: None }],
        faults: Vec::new(),
        throat: Length::inches(throat),
        blades: blades.collect(),
        widest_bit: Length::inches(2.125),
        spare: Length::inches(1.0 / 16.0),
        wish: SawWish::Quick,
        first: Vec::new(),
    }
}
