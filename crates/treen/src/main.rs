//! From rough wood to a board that may touch food: the command line.
#![allow(clippy::print_stderr, reason = "a command talks to its terminal")]

mod bench;
mod demo;
mod documents;
mod facts;
mod job;
mod pattern;
mod rack;
mod say;
mod serve;
mod told;

use std::io::{BufReader, Read};
use std::path::PathBuf;
use std::process::ExitCode;

use clap::{Parser, Subcommand};
use measure::{Length, Problem, System};
use shop::{Shop, Trouble};

/// From rough wood to a board that may touch food
///
/// Lengths are written as you would: 14 1/2, 3/8 in, 368 mm, 36.8 cm. A bare
/// number is in the shop's own unit.
#[derive(Parser)]
#[command(name = "treen", version, propagate_version = true)]
struct Treen {
    /// The shop's folder
    #[arg(long, global = true, default_value = "treen-shop", value_name = "FOLDER")]
    shop: PathBuf,
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    /// Make a demo shop, run its whole job, and serve the page
    Demo(demo::Demo),
    /// Serve the page
    Serve(serve::Serve),
    /// The wood on hand
    #[command(subcommand)]
    Rack(rack::Rack),
    /// The shapes to make
    #[command(subcommand)]
    Pattern(pattern::Patterns),
    /// What is wanted, planned and printed
    #[command(subcommand)]
    Job(job::Jobs),
    /// The steps of a job, checked off
    #[command(subcommand)]
    Bench(bench::Bench),
    /// Print the scale sheets to lay at both ends of the wood
    Sheets(rack::Sheets),
    /// What is known of woods, finishes and glues, with sources
    #[command(subcommand)]
    Facts(facts::Facts),
    /// Write a document as JSON: a piece's zones and grain, a pattern's features, a job, the kit
    Read(documents::Read),
    /// Put a changed document back
    Write(documents::Write),
    /// Take the last change back
    Undo,
    /// Do again what was taken back
    Redo,
}

fn main() -> ExitCode {
    let Treen { shop, command } = Treen::parse();
    let done = match command {
        Command::Demo(it) => it.run(&shop),
        Command::Serve(it) => it.run(&shop),
        Command::Rack(it) => open(&shop).and_then(|shop| it.run(&shop)),
        Command::Pattern(it) => open(&shop).and_then(|shop| it.run(&shop)),
        Command::Job(it) => open(&shop).and_then(|shop| it.run(&shop)),
        Command::Bench(it) => open(&shop).and_then(|shop| it.run(&shop)),
        Command::Sheets(it) => open(&shop).and_then(|shop| it.run(&shop)),
        Command::Facts(it) => open(&shop).and_then(|shop| it.run(&shop)),
        Command::Read(it) => open(&shop).and_then(|shop| it.run(&shop)),
        Command::Write(it) => open(&shop).and_then(|shop| it.run(&shop)),
        Command::Undo => open(&shop).and_then(|shop| told::taken_back(shop.undo()?)),
        Command::Redo => open(&shop).and_then(|shop| told::done_again(shop.redo()?)),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(trouble) => {
            told::trouble(&trouble);
            ExitCode::FAILURE
        }
    }
}

fn open(folder: &std::path::Path) -> Result<Shop, Trouble> {
    Shop::open(folder)
}

/// Reads a length in the shop's own unit.
fn length(shop: &Shop, text: &str) -> Result<Length, Trouble> {
    let bare: System = shop.kit()?.units.system;
    Ok(Length::parse(text, bare)?)
}

/// Reads a file that the maker has named.
fn file(path: &std::path::Path) -> Result<Vec<u8>, Trouble> {
    /// No picture or drawing is larger; the limit keeps memory bounded.
    const LARGEST_FILE: u64 = 100 * 1024 * 1024;
    let trouble = |it: std::io::Error| Problem::new(format!("cannot read {}: {it}", path.display()));
    // Not by its stated size: a pipe or a device has none.
    let mut bytes = Vec::new();
    let some = std::fs::File::open(path).map_err(trouble)?.take(LARGEST_FILE + 1);
    BufReader::new(some).read_to_end(&mut bytes).map_err(trouble)?;
    if bytes.len() as u64 > LARGEST_FILE {
        let message = format!("{} has more than 100 MB; at most that is read", path.display());
        return Err(Problem::new(message).into());
    }
    Ok(bytes)
}

/// Writes a file that the maker has named.
fn keep(path: &std::path::Path, bytes: &[u8]) -> Result<(), Trouble> {
    std::fs::write(path, bytes)
        .map_err(|it| Problem::new(format!("cannot write {}: {it}", path.display())).into())
}
