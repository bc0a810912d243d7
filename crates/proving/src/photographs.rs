//! How well photographs are measured, against pictures whose truth is known.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use clap::Parser;
use measure::Problem;
use scene::marks::Marks;
use scene::{photograph, study};

use crate::judged::{Judged, judged};
use crate::silhouettes::silhouettes;
use crate::train::train;

/// Measure photographs with known truth, and print each figure as `figure: NAME VALUE`
#[derive(Parser)]
pub(crate) struct Photographs {
    /// A folder of pictures with their truth; without it the study's own are rendered
    #[arg(long)]
    from: Option<PathBuf>,
    /// The number of the first of the study's own photographs
    #[arg(long, default_value_t = 1)]
    seed: u32,
    /// How many of the study's own
    #[arg(long, default_value_t = 200)]
    count: u32,
    /// Only render, into the folder or the study's own
    #[arg(long)]
    render: bool,
    /// Pixels along the longer side of a rendered photograph, if not as a telephone's
    #[arg(long, default_value_t = study::FULL_PX)]
    width_px: u32,
    /// Only trace silhouettes, of real leaves and drawn ones
    #[arg(long)]
    silhouettes: bool,
    /// Only train the models that weigh faults, on these photographs
    #[arg(long)]
    train: bool,
}

impl Photographs {
    pub(crate) fn run(self) -> Result<(), Problem> {
        if self.silhouettes {
            return silhouettes();
        }
        if self.render {
            return render(&self.from.unwrap_or_else(study_folder), self.seed, self.count, self.width_px);
        }
        if self.train {
            let folder = self.from.unwrap_or_else(study_folder);
            return train(&pictures_in(&folder)?);
        }
        if let Some(folder) = self.from {
            return measure_all(&pictures_in(&folder)?);
        }
        // Rendering takes more memory than measuring, so it is done by another process.
        let folder = study_folder();
        let status = std::env::current_exe().and_then(|it| {
            Command::new(it)
                .args(["--render", "--seed", &self.seed.to_string(), "--count", &self.count.to_string()])
                .status()
        });
        if !status.is_ok_and(|it| it.success()) {
            return Err(Problem::new("the study's photographs could not be rendered"));
        }
        let own = (self.seed..self.seed + self.count).map(|number| folder.join(file_of(number)));
        measure_all(&own.collect::<Vec<PathBuf>>())
    }
}

/// Where the study's photographs are kept once they are rendered; richer
/// simulators begin a new folder.
fn study_folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../target/study").join(study::EDITION)
}

fn file_of(number: u32) -> String {
    format!("{number:04}.jpg")
}

/// Renders what is not there yet.
fn render(folder: &Path, first: u32, count: u32, width_px: u32) -> Result<(), Problem> {
    let trouble = |it: std::io::Error| Problem::new(format!("{}: {it}", folder.display()));
    fs::create_dir_all(folder).map_err(trouble)?;
    for number in first..first + count {
        let picture = folder.join(file_of(number));
        let truth = picture.with_extension("truth.json");
        if truth.exists() {
            continue;
        }
        let shot = study::shot(number, width_px)?;
        let (jpeg, _) = photograph(&shot)?;
        let marks = serde_json::to_vec(&Marks::of(&shot)?).map_err(|it| Problem::new(it.to_string()))?;
        fs::write(&picture, jpeg).and_then(|()| fs::write(&truth, marks)).map_err(trouble)?;
        eprintln!("rendered {}", picture.display());
    }
    Ok(())
}

/// Every picture of a folder that has a truth beside it.
fn pictures_in(folder: &Path) -> Result<Vec<PathBuf>, Problem> {
    let trouble = |it: std::io::Error| Problem::new(format!("{}: {it}", folder.display()));
    let all = fs::read_dir(folder).map_err(trouble)?.filter_map(|it| it.ok().map(|it| it.path()));
    let mut pictures: Vec<PathBuf> = all
        .filter(|it| {
            it.extension().is_some_and(|it| it != "json") && it.with_extension("truth.json").exists()
        })
        .collect();
    pictures.sort();
    if pictures.is_empty() {
        let message = format!("{} holds no picture with a truth beside it", folder.display());
        return Err(Problem::new(message).hint("BENCH.md tells the form of NAME.truth.json"));
    }
    Ok(pictures)
}

fn measure_all(pictures: &[PathBuf]) -> Result<(), Problem> {
    let mut all = Vec::new();
    println!("{}", Judged::HEAD);
    for picture in pictures {
        let one = judged(picture)?;
        println!("{one}");
        all.push(one);
    }
    figures(&all);
    Ok(())
}

fn figures(all: &[Judged]) {
    for (name, two) in [("photo.length_p95_two_pct", true), ("photo.length_p95_one_pct", false)] {
        let off = all.iter().filter(|it| it.two == two).flat_map(|it| &it.lengths);
        figure(name, quantile(off.map(|it| it.off.abs() * 100.0), 0.95));
    }
    let lengths: Vec<_> = all.iter().flat_map(|it| &it.lengths).collect();
    figure("photo.coverage_pct", share(lengths.iter().map(|it| it.off.abs() <= it.doubt)));
    for (two, on_top) in [(true, true), (true, false), (false, true), (false, false)] {
        let some = all.iter().filter(|it| it.two == two && it.on_top == on_top);
        let some: Vec<_> = some.flat_map(|it| &it.lengths).collect();
        println!(
            "  {} on the {}: {:.1} % of {} lengths covered, errors {:.2} of what is said",
            if two { "two" } else { "one" },
            if on_top { "wood" } else { "bench" },
            share(some.iter().map(|it| it.off.abs() <= it.doubt)),
            some.len(),
            (some.iter().map(|it| (it.off / it.doubt).powi(2)).sum::<f64>() / some.len() as f64).sqrt()
                * 1.96
        );
    }
    figure("photo.wood_iou", quantile(all.iter().map(|it| it.iou), 0.5));
    figure("photo.wood_iou_p05", quantile(all.iter().map(|it| it.iou), 0.05));
    figure("photo.wood_median_mm", quantile(all.iter().flat_map(|it| it.edge.iter().copied()), 0.5));
    figure("photo.wood_p95_mm", quantile(all.iter().flat_map(|it| it.edge.iter().copied()), 0.95));
    figure("photo.grain_median_deg", quantile(all.iter().flat_map(|it| it.grain.iter().copied()), 0.5));
    figure("photo.grain_p90_deg", quantile(all.iter().flat_map(|it| it.grain.iter().copied()), 0.9));
    figure("photo.grain_knot_deg", quantile(all.iter().flat_map(|it| it.near_knots.iter().copied()), 0.5));
    for (name, dark) in [("photo.knot_recall_pale", false), ("photo.knot_recall_dark", true)] {
        let found = all.iter().filter(|it| it.dark == dark).flat_map(|it| it.knots.iter().copied());
        figure(name, share(found) / 100.0);
    }
    figure("photo.check_recall", share(all.iter().flat_map(|it| it.checks.iter().copied())) / 100.0);
    let wrong: Vec<f64> = all.iter().map(|it| it.wrong as f64).collect();
    figure("photo.false_per_face", wrong.iter().sum::<f64>() / wrong.len().max(1) as f64);
    figure("photo.false_per_face_p95", quantile(wrong.into_iter(), 0.95));
    figure("photo.seconds", quantile(all.iter().map(|it| it.seconds), 0.5));
    figure("photo.seconds_worst", quantile(all.iter().map(|it| it.seconds), 1.0));
    if let Some(peak) = peak_mb() {
        figure("photo.peak_mb", peak);
    }
    figure("photo.refused", all.iter().filter(|it| it.refused.is_some()).count() as f64);
}

fn figure(name: &str, value: f64) {
    println!("figure: {name} {value:.4}");
}

/// The value below which this share of the values lies; not a number without values.
fn quantile(values: impl Iterator<Item = f64>, share: f64) -> f64 {
    let mut values: Vec<f64> = values.collect();
    values.sort_by(f64::total_cmp);
    let at = (values.len().saturating_sub(1) as f64 * share).round() as usize;
    values.get(at).copied().unwrap_or(f64::NAN)
}

/// How many in a hundred are so.
fn share(values: impl Iterator<Item = bool>) -> f64 {
    let (mut yes, mut count) = (0_u32, 0_u32);
    for it in values {
        yes += u32::from(it);
        count += 1;
    }
    f64::from(yes) * 100.0 / f64::from(count)
}

/// The most memory that this process has held, as the kernel counts it.
fn peak_mb() -> Option<f64> {
    let status = fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find_map(|it| it.strip_prefix("VmHWM:"))?;
    let kilobytes: f64 = line.trim().trim_end_matches("kB").trim().parse().ok()?;
    Some(kilobytes / 1000.0)
}
