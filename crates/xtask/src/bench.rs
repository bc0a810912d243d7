//! Figures: each measured on the real program, each printed as one line.

use std::ffi::OsStr;
use std::fs;
use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::{Mutex, PoisonError};
use std::time::Instant;

use clap::{Args, ValueEnum};
use measure::{Angle, Problem};
use outline::{Bounds, Point};
use shop::{Shop, Trouble};

/// Measure, and print each result as `figure: NAME VALUE`
#[derive(Args)]
pub(crate) struct Bench {
    /// What to measure
    what: Subject,
    /// A folder of other cases, in the form that BENCH.md describes
    #[arg(long)]
    from: Option<PathBuf>,
    /// How long to search, where a search can go on
    #[arg(long)]
    seconds: Option<f64>,
    /// The seed of the search, or the number of the study's first photograph
    #[arg(long)]
    seed: Option<u32>,
    /// How many of the study's photographs
    #[arg(long)]
    count: Option<u32>,
    /// Only render the study's photographs
    #[arg(long)]
    render: bool,
    /// Only placing instances whose name begins so; of sawing, only `outlines`
    #[arg(long)]
    only: Option<String>,
}

#[derive(Clone, Copy, ValueEnum)]
enum Subject {
    /// The demo's whole job, from photographs to packet
    Demo,
    /// From start to listening
    Start,
    /// Photographs with known truth, measured
    Photo,
    /// Published and own instances of placing
    Place,
    /// Cuts for random outlines and whole slabs, judged, and wrong plans
    Saw,
}

impl Bench {
    pub(crate) fn run(self, root: &Path) -> Result<(), Problem> {
        let photo = matches!(self.what, Subject::Photo);
        let place = matches!(self.what, Subject::Place);
        let saw = matches!(self.what, Subject::Saw);
        let unused = [
            ("--from", self.from.is_some() && !photo && !place && !saw),
            ("--seconds", self.seconds.is_some() && !place),
            ("--seed", self.seed.is_some() && !photo && !place && !saw),
            ("--count", self.count.is_some() && !photo && !saw),
            ("--render", self.render && !photo),
            ("--only", self.only.is_some() && !place && !saw),
        ];
        if let Some((name, _)) = unused.iter().find(|(_, given)| *given) {
            return Err(Problem::new(format!("this benchmark takes no {name}")));
        }
        match self.what {
            Subject::Demo => demo(root).map_err(|it| it.problem().clone()),
            Subject::Start => start(root),
            Subject::Photo => self.hand_over(root, "proving", None),
            Subject::Place => self.hand_over(root, "trial", None),
            Subject::Saw => self.hand_over(root, "trial", Some("saw")),
        }
    }

    /// Hands over to a program of its own, built for speed, with the subject where
    /// it has several.
    fn hand_over(self, root: &Path, program: &str, subject: Option<&str>) -> Result<(), Problem> {
        let mut study = Command::new(env!("CARGO"));
        study.current_dir(root).args(["run", "--release", "--quiet", "--package", program, "--"]);
        study.args(subject);
        study.args(self.from.iter().flat_map(|it| [OsStr::new("--from"), it.as_os_str()]));
        for (name, number) in [("--seed", self.seed), ("--count", self.count)] {
            study.args(number.iter().flat_map(|it| [name.to_owned(), it.to_string()]));
        }
        study.args(self.seconds.iter().flat_map(|it| ["--seconds".to_owned(), it.to_string()]));
        study.args(self.only.iter().flat_map(|it| ["--only", it]));
        study.args(self.render.then_some("--render"));
        let done = study.status().map_err(|it| Problem::new(format!("cannot start {program}: {it}")))?;
        if done.success() { Ok(()) } else { Err(Problem::new(format!("{program} ended early"))) }
    }
}

fn figure(name: &str, value: f64) {
    println!("figure: {name} {value:.4}");
}

/// Runs the demo's job in a folder of its own and times each room.
fn demo(root: &Path) -> Result<(), Trouble> {
    let folder = fresh("demo")?;
    let begun = Instant::now();
    let rooms = Mutex::new(Vec::<(String, f64)>::new());
    let shop = Shop::open(&folder)?;
    let job = shop.load_demo(&|label, _| {
        let mut rooms = rooms.lock().unwrap_or_else(PoisonError::into_inner);
        rooms.push((label.to_owned(), begun.elapsed().as_secs_f64()));
    })?;
    let planned = begun.elapsed().as_secs_f64();
    let packet = shop.packet(job)?;
    let total = begun.elapsed().as_secs_f64();
    assert!(packet.starts_with(b"%PDF"), "the packet is a PDF");
    let rooms = rooms.into_inner().unwrap_or_else(PoisonError::into_inner);
    let placing = rooms.iter().find(|(label, _)| label.contains("placing")).map_or(planned, |it| it.1);
    figure("demo.total_s", total);
    figure("demo.photo_s", placing);
    figure("demo.place_s", planned - placing);
    figure("demo.packet_s", total - planned);
    for (name, error) in length_errors(root, &shop)? {
        figure(name, error);
    }
    let _ = fs::remove_dir_all(folder);
    Ok(())
}

/// The largest error of length and of width over the photographed pieces, in
/// percent, against the exact truth kept beside each picture. The width of a
/// live edge hangs on where its bark ends, so it is told by itself.
fn length_errors(root: &Path, shop: &Shop) -> Result<[(&'static str, f64); 2], Trouble> {
    let (mut along, mut across) = (0.0_f64, 0.0_f64);
    let pieces = shop.view()?.pieces;
    for (name, file) in [("Walnut slab", "walnut-slab"), ("Cherry offcut", "cherry-offcut")] {
        let piece = pieces.iter().find(|it| it.name.starts_with(name));
        let piece = piece.ok_or_else(|| Problem::new(format!("the demo has no {name}")))?;
        let found = sides(piece.face.outline.outer().corners());
        let exact = sides(&wood_line(&root.join("assets/demo").join(format!("{file}.truth.json")))?);
        println!("{file}: {:.2} by {:.2} mm, truly {:.2} by {:.2} mm", found.0, found.1, exact.0, exact.1);
        along = along.max((found.0 / exact.0 - 1.0).abs() * 100.0);
        across = across.max((found.1 / exact.1 - 1.0).abs() * 100.0);
    }
    Ok([("demo.length_error_pct", along), ("demo.width_error_pct", across)])
}

/// Length and width of the smallest box around points that lie roughly along
/// x, in millimetres.
fn sides(points: &[Point]) -> (f64, f64) {
    let boxed = (-1000..=1000).filter_map(|hundredths| {
        let turn = Angle::degrees(f64::from(hundredths) / 100.0);
        let turned = points.iter().map(|it| {
            Point::new(it.x * turn.cos() + it.y * turn.sin(), it.y * turn.cos() - it.x * turn.sin())
        });
        Bounds::around(turned).map(|it| (it.width().to_mm(), it.height().to_mm()))
    });
    boxed.min_by(|one, other| (one.0 * one.1).total_cmp(&(other.0 * other.1))).unwrap_or_default()
}

/// The true line of the wood, without its bark.
fn wood_line(file: &Path) -> Result<Vec<Point>, Problem> {
    let trouble = |it: String| Problem::new(format!("{}: {it}", file.display()));
    let text = fs::read_to_string(file).map_err(|it| trouble(it.to_string()))?;
    let mut all: serde_json::Value = serde_json::from_str(&text).map_err(|it| trouble(it.to_string()))?;
    serde_json::from_value(all["slab"]["wood_line"].take()).map_err(|it| trouble(it.to_string()))
}

/// Starts the built program on an empty folder and waits until it tells its address.
fn start(root: &Path) -> Result<(), Problem> {
    let program = root.join("target/release/treen");
    if !program.exists() {
        return Err(
            Problem::new("there is no target/release/treen").hint("run `cargo build --release` first")
        );
    }
    let mut times = Vec::new();
    for _ in 0..11 {
        let folder = fresh("start")?;
        let begun = Instant::now();
        let mut running = Command::new(&program)
            .args(["serve", "--port", "0", "--shop"])
            .arg(&folder)
            .stdout(Stdio::piped())
            .spawn()
            .map_err(|it| Problem::new(format!("cannot start {}: {it}", program.display())))?;
        let mut line = String::new();
        if let Some(out) = running.stdout.take() {
            let _ = BufReader::new(out).read_line(&mut line);
        }
        times.push(begun.elapsed().as_secs_f64() * 1000.0);
        let _ = running.kill();
        let _ = running.wait();
        let _ = fs::remove_dir_all(folder);
        if !line.contains("http://") {
            return Err(Problem::new(format!("the program did not tell its address: {line}")));
        }
    }
    times.sort_by(f64::total_cmp);
    figure("start.listening_ms", times[times.len() / 2]);
    Ok(())
}

/// An empty folder for one measurement.
fn fresh(name: &str) -> Result<PathBuf, Problem> {
    let folder = std::env::temp_dir().join(format!("treen-bench-{name}-{}", std::process::id()));
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).map_err(|it| Problem::new(format!("{}: {it}", folder.display())))?;
    Ok(folder)
}
