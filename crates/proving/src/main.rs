//! The proving ground: photographs whose truth is known, measured and judged.
//! Run by `cargo xtask bench photo`, always in a release build, for times count.
#![allow(clippy::print_stdout, clippy::print_stderr, reason = "a command talks to its terminal")]

mod boosted;
mod judged;
mod logistic;
mod photographs;
mod silhouettes;
mod train;

use std::process::ExitCode;

use clap::Parser;

fn main() -> ExitCode {
    match photographs::Photographs::parse().run() {
        Ok(()) => ExitCode::SUCCESS,
        Err(problem) => {
            eprintln!("{problem}");
            ExitCode::FAILURE
        }
    }
}
