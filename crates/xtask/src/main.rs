//! House chores: tidy, licences, wire types, figures.
#![allow(clippy::print_stdout, clippy::print_stderr, reason = "a command talks to its terminal")]

mod bench;
mod doors;
mod licences;
mod tidy;
mod wire;

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::{Parser, Subcommand};

/// House chores.
#[derive(Parser)]
#[command(name = "cargo xtask")]
struct Chore {
    #[command(subcommand)]
    what: What,
}

#[derive(Subcommand)]
enum What {
    /// Check the house rules: sizes, module docs, who may know whom
    Tidy,
    /// Check that every dependency may be shipped under the house's licence
    Licences,
    /// Write the page's types from the program's own
    Wire {
        /// Change nothing; fail if a file differs
        #[arg(long)]
        check: bool,
    },
    /// Measure, and print each result as `figure: NAME VALUE`
    Bench(bench::Bench),
}

fn main() -> ExitCode {
    let root = root();
    let done = match Chore::parse().what {
        What::Tidy => tidy::check(&root).and_then(|()| doors::check(&root)),
        What::Licences => licences::check(&root),
        What::Wire { check } => wire::write(&root, check),
        What::Bench(it) => it.run(&root),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(problem) => {
            eprintln!("{problem}");
            ExitCode::FAILURE
        }
    }
}

/// The root of the workspace.
fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).ancestors().nth(2).expect("xtask lies in crates/").to_owned()
}

/// Every broken rule at once, or nothing.
fn all_or_nothing(what: &str, faults: Vec<String>) -> Result<(), measure::Problem> {
    if faults.is_empty() {
        return Ok(());
    }
    Err(measure::Problem::new(format!("{what}:\n  {}", faults.join("\n  "))))
}
