//! Figures: each measured on the real program, each printed as one line.

use std::fs;
use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::{Mutex, PoisonError};
use std::time::Instant;

use clap::{Args, ValueEnum};
use measure::Problem;
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
    /// The seed of the search
    #[arg(long)]
    seed: Option<u32>,
}

#[derive(Clone, Copy, ValueEnum)]
enum Subject {
    /// The demo's whole job, from photographs to packet
    Demo,
    /// From start to listening
    Start,
}

impl Bench {
    pub(crate) fn run(self, root: &Path) -> Result<(), Problem> {
        let unused = [
            ("--from", self.from.is_some()),
            ("--seconds", self.seconds.is_some()),
            ("--seed", self.seed.is_some()),
        ];
        if let Some((name, _)) = unused.iter().find(|(_, given)| *given) {
            return Err(Problem::new(format!("this benchmark has one fixed case and takes no {name}")));
        }
        match self.what {
            Subject::Demo => demo(root).map_err(|it| it.problem().clone()),
            Subject::Start => start(root),
        }
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
    figure("demo.length_error_pct", length_error(root, &shop)?);
    let _ = fs::remove_dir_all(folder);
    Ok(())
}

/// The largest error of length and width over the photographed pieces, against
/// the exact truth kept beside each picture.
fn length_error(root: &Path, shop: &Shop) -> Result<f64, Trouble> {
    let mut worst: f64 = 0.0;
    let pieces = shop.view()?.pieces;
    for (name, file) in [("Walnut slab", "walnut-slab"), ("Cherry offcut", "cherry-offcut")] {
        let piece = pieces.iter().find(|it| it.name.starts_with(name));
        let piece = piece.ok_or_else(|| Problem::new(format!("the demo has no {name}")))?;
        let size = piece.face.outline.bounds();
        let (length, width) = truth(&root.join("assets/demo").join(format!("{file}.truth.json")))?;
        for (found, exact) in [(size.width().to_mm(), length), (size.height().to_mm(), width)] {
            println!("{file}: {found:.2} mm, truly {exact:.2} mm");
            worst = worst.max((found / exact - 1.0).abs() * 100.0);
        }
    }
    Ok(worst)
}

/// Length and width of the slab's top face, in millimetres.
fn truth(file: &Path) -> Result<(f64, f64), Problem> {
    let text = fs::read_to_string(file).map_err(|it| Problem::new(format!("{}: {it}", file.display())))?;
    let all: serde_json::Value =
        serde_json::from_str(&text).map_err(|it| Problem::new(format!("{}: {it}", file.display())))?;
    let number = |name: &str| {
        all["slab"][name]
            .as_f64()
            .ok_or_else(|| Problem::new(format!("{}: no number `{name}`", file.display())))
    };
    Ok((number("length_mm")?, number("width_mm")?))
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
