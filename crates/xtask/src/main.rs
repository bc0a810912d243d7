//! House chores: wire types, house rules, figures.
#![allow(clippy::print_stdout, clippy::print_stderr, reason = "a command talks to its terminal")]

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
    /// Write the page's types from the program's own
    Wire {
        /// Change nothing; fail if a file differs
        #[arg(long)]
        check: bool,
    },
}

fn main() -> ExitCode {
    let done = match Chore::parse().what {
        What::Wire { check } => wire::write(&root(), check),
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
