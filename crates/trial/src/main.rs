//! How well placing does on published instances and on slabs of its own, and
//! how well cuts are planned: run by `cargo xtask bench place` and `saw`,
//! described in BENCH.md.
#![allow(clippy::print_stdout, clippy::print_stderr)]

mod instance;
mod own;
mod picture;
mod read;
mod run;
mod saw;
mod slab;
mod verdict;

use std::path::PathBuf;
use std::process::ExitCode;

use measure::Problem;

use crate::run::Study;

/// What is asked for on the command line.
struct Asked {
    from: PathBuf,
    seconds: f64,
    seed: u64,
    /// Only instances whose name begins so.
    only: Option<String>,
}

fn main() -> ExitCode {
    let mut words = std::env::args().skip(1).peekable();
    let done = match words.next_if(|it| it == "saw") {
        Some(_) => saw_asked(words).and_then(|it| saw::study(&it)),
        None => asked(words).and_then(|asked| study(&asked)),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(problem) => {
            eprintln!("{}", problem.message);
            ExitCode::FAILURE
        }
    }
}

fn asked(mut words: impl Iterator<Item = String>) -> Result<Asked, Problem> {
    let published = concat!(env!("CARGO_MANIFEST_DIR"), "/../../cases/placing");
    let mut asked = Asked { from: published.into(), seconds: 60.0, seed: 1, only: None };
    while let Some(word) = words.next() {
        let value = words.next().ok_or_else(|| Problem::new(format!("{word} needs a value")))?;
        let wrong = || Problem::new(format!("{word} cannot be {value}"));
        match word.as_str() {
            "--from" => asked.from = value.into(),
            "--seconds" => asked.seconds = value.parse().map_err(|_| wrong())?,
            "--seed" => asked.seed = value.parse().map_err(|_| wrong())?,
            "--only" => asked.only = Some(value),
            _ => return Err(Problem::new(format!("{word} is not known here"))),
        }
    }
    Ok(asked)
}

fn saw_asked(mut words: impl Iterator<Item = String>) -> Result<saw::Asked, Problem> {
    let mut asked = saw::Asked { from: None, seed: 1, count: 500, outlines_only: false };
    while let Some(word) = words.next() {
        let value = words.next().ok_or_else(|| Problem::new(format!("{word} needs a value")))?;
        let wrong = || Problem::new(format!("{word} cannot be {value}"));
        match word.as_str() {
            "--from" => asked.from = Some(value.into()),
            "--seed" => asked.seed = value.parse().map_err(|_| wrong())?,
            "--count" => asked.count = value.parse().map_err(|_| wrong())?,
            "--only" if value == "outlines" => asked.outlines_only = true,
            _ => return Err(Problem::new(format!("{word} is not known here"))),
        }
    }
    Ok(asked)
}

fn study(asked: &Asked) -> Result<(), Problem> {
    let wanted = |name: &str| asked.only.as_deref().is_none_or(|only| name.starts_with(only));
    let mut study = Study::new(asked.seconds, asked.seed);
    for path in read::files(&asked.from)? {
        let name = path.file_stem().map(|it| it.to_string_lossy().into_owned()).unwrap_or_default();
        if wanted(&name) {
            study.run(&read::instance(&path)?)?;
        }
    }
    for number in 1..=slab::COUNT {
        let instance = slab::instance(number, slab::PARTS);
        if wanted(&instance.name) {
            study.run(&instance)?;
        }
    }
    study.figures();
    if wanted("own-growth") {
        println!("figure: place.growth_exponent {:.3}", own::growth(asked.seconds));
    }
    if wanted("own-rack") {
        println!("figure: place.rack_s {:.3}", own::rack()?);
    }
    if wanted("own-shop") {
        let (first, ratio) = own::shop_case(asked.seconds);
        println!("figure: place.first_s {first:.3}");
        println!("figure: place.three_s_ratio {ratio:.4}");
    }
    Ok(())
}
