//! How well cuts are planned: run by `cargo xtask bench saw`, described in BENCH.md.

mod bench;
mod own;
mod picture;
mod shapes;
mod slabs;
mod wrong;

use std::fs;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use cuts::{MOST_LEFT, Planned, Task};
use judge::{Ruling, judge};
use measure::Problem;
use outline::Outline;
use work::refusal;

use crate::saw::bench::{SAWS, bench, saw, task};
use crate::saw::shapes::Lying;

/// Pictures and plans are written there.
const FOLDER: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../../target/cuts");

/// So many plans are written down for another library to saw.
const WRITTEN: usize = 40;

/// Wrong plans of each way of being wrong, and as many right ones.
const MUTATIONS: usize = 25;

/// What is studied.
pub(crate) struct Asked {
    /// A folder of outlines in SVG; random ones where none is named.
    pub(crate) from: Option<PathBuf>,
    pub(crate) seed: u64,
    pub(crate) count: u64,
    /// Only outlines, without wrong plans and whole slabs.
    pub(crate) outlines_only: bool,
}

/// A part whose cuts have been planned and judged.
pub(crate) struct Sawn {
    pub(crate) lying: Lying,
    /// Which of the study's saws.
    pub(crate) on: usize,
    pub(crate) planned: Planned,
    pub(crate) ruling: Ruling,
    /// Whether the first plan stood, without planning anew.
    first_stood: bool,
    /// Of planning alone, and of judging.
    planning: Duration,
    judging: Duration,
}

pub(crate) fn study(asked: &Asked) -> Result<(), Problem> {
    fs::create_dir_all(FOLDER).map_err(|it| Problem::new(format!("{FOLDER} cannot be made: {it}")))?;
    let lying = match &asked.from {
        Some(folder) => own::outlines(folder)?,
        None => (0..asked.count).map(|it| shapes::shape(asked.seed, it)).collect(),
    };
    let sawn: Vec<Sawn> = lying.into_iter().enumerate().map(|(number, it)| sawn(it, number % SAWS)).collect();
    for it in &sawn {
        println!("{}", line(it));
    }
    for it in hardest(&sawn) {
        let (saw, parts) = (saw(it.on), [&it.lying.part]);
        let path = Path::new(FOLDER).join(format!("{}.svg", it.lying.name));
        picture::plan(&path, &task(&it.lying.wood, &parts, &saw), &it.planned.plan)?;
    }
    bench::write_plans(Path::new(FOLDER), sawn.iter().take(WRITTEN))?;
    figures(&sawn);
    if asked.from.is_none() && !asked.outlines_only {
        wrong::study(&sawn, MUTATIONS);
        slabs::study(asked.seed, Path::new(FOLDER))?;
    }
    Ok(())
}

/// Plans the cuts of a part and has them judged, with the time that each takes.
fn sawn(lying: Lying, on: usize) -> Sawn {
    let saw = saw(on);
    let parts = [&lying.part];
    let task = task(&lying.wood, &parts, &saw);
    let (planned, ruling, told) = plan(&task, &saw);
    Sawn {
        on,
        planned,
        ruling,
        first_stood: told.rounds == 1,
        planning: told.planning,
        judging: told.judging,
        lying,
    }
}

/// How planning went.
pub(crate) struct Told {
    pub(crate) planning: Duration,
    pub(crate) judging: Duration,
    pub(crate) rounds: u32,
}

/// As the program plans, with the time that planning and judging take.
pub(crate) fn plan(task: &Task, saw: &stock::Bandsaw) -> (Planned, Ruling, Told) {
    let parts: Vec<(stock::PartKey, &Outline)> = task.parts.iter().map(|it| (it.part, it.outline)).collect();
    let bench = bench(task.wood, &parts, saw);
    let judging = std::cell::Cell::new(Duration::ZERO);
    let rounds = std::cell::Cell::new(0);
    let begun = Instant::now();
    let planned = cuts::plan(task, &|planned| {
        let begun = Instant::now();
        let refused = work::refused_part(&judge(&bench, &planned.plan), planned, &bench);
        judging.set(judging.get() + begun.elapsed());
        rounds.set(rounds.get() + 1);
        refused
    });
    let planning = begun.elapsed().saturating_sub(judging.get());
    let ruling = judge(&bench, &planned.plan);
    (planned, ruling, Told { planning, judging: judging.get(), rounds: rounds.get() })
}

fn line(it: &Sawn) -> String {
    let left = it.ruling.parts.first().map_or(0.0, |it| it.left_most.to_mm());
    format!(
        "{} saw {} planned {:.1} ms judged {:.1} ms cuts {} of at least {} holes {} left {left:.2} mm {}",
        it.lying.name,
        it.on + 1,
        it.planning.as_secs_f64() * 1e3,
        it.judging.as_secs_f64() * 1e3,
        it.planned.plan.cuts.len(),
        it.planned.least_cuts,
        it.planned.plan.holes.len(),
        it.planned.troubles.first().map_or(String::new(), |it| format!("{:?}", it.kind)),
    )
}

/// Three plans to be looked at: the most cuts, a hole, the most left.
fn hardest(sawn: &[Sawn]) -> Vec<&Sawn> {
    let cuts = sawn.iter().max_by_key(|it| it.planned.plan.cuts.len());
    let hole = sawn
        .iter()
        .filter(|it| !it.planned.plan.holes.is_empty())
        .max_by_key(|it| it.planned.plan.cuts.len());
    let most = |it: &&Sawn| it.ruling.parts.first().map_or(0.0, |it| it.left_most.to_mm());
    let planned = sawn.iter().filter(|it| it.planned.troubles.is_empty());
    let left = planned.max_by(|a, b| most(a).total_cmp(&most(b)));
    [cuts, hole, left].into_iter().flatten().collect()
}

fn figures(sawn: &[Sawn]) {
    let count = sawn.len() as f64;
    let planned: Vec<&Sawn> = sawn.iter().filter(|it| it.planned.troubles.is_empty()).collect();
    let refused = sawn.iter().filter(|it| refusal(&it.ruling, &it.planned).is_some()).count();
    let corner_ok =
        planned.iter().filter(|it| it.ruling.parts.iter().all(|it| it.left_most <= MOST_LEFT)).count();
    let ratios = planned.iter().map(|it| it.planned.plan.cuts.len() as f64 / it.planned.least_cuts as f64);
    let mut planning: Vec<f64> = sawn.iter().map(|it| it.planning.as_secs_f64() * 1e3).collect();
    let mut judging: Vec<f64> = sawn.iter().map(|it| it.judging.as_secs_f64() * 1e3).collect();
    planning.sort_by(f64::total_cmp);
    judging.sort_by(f64::total_cmp);
    let at = |all: &[f64], share: f64| all.get((all.len() as f64 * share) as usize).copied().unwrap_or(0.0);
    let all = [
        ("saw.refused_by_judge", refused as f64),
        ("saw.first_plan_stood_pct", sawn.iter().filter(|it| it.first_stood).count() as f64 / count * 100.0),
        ("saw.planned_pct", planned.len() as f64 / count * 100.0),
        ("saw.corner_ok_pct", corner_ok as f64 / planned.len() as f64 * 100.0),
        ("saw.plan_median_ms", at(&planning, 0.5)),
        ("saw.plan_p99_ms", at(&planning, 0.99)),
        ("saw.judged_median_ms", at(&judging, 0.5)),
        ("saw.cuts_ratio", ratios.sum::<f64>() / planned.len() as f64),
    ];
    for (name, value) in all {
        println!("figure: {name} {value:.3}");
    }
}
