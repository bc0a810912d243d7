//! Writes the demo pictures and what is known of them into a folder.

use std::path::Path;
use std::process::ExitCode;

use measure::Problem;
use scene::{Shot, demos, photograph};

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let outcome = match arguments.as_slice() {
        [folder] => write_all(Path::new(folder), demos::FULL_PX),
        [folder, flag] if flag == "--small" => write_all(Path::new(folder), demos::SMALL_PX),
        _ => Err(Problem::new("expected a folder to write to").hint("demo-pictures FOLDER [--small]")),
    };
    match outcome {
        Ok(()) => ExitCode::SUCCESS,
        Err(problem) => {
            // The one place that speaks to the terminal.
            use std::io::Write as _;
            let _ = writeln!(std::io::stderr(), "{problem}");
            ExitCode::FAILURE
        }
    }
}

fn write_all(folder: &Path, width_px: u32) -> Result<(), Problem> {
    std::fs::create_dir_all(folder).map_err(|error| unwritten(folder, &error))?;
    write(folder, "walnut-slab", &demos::walnut_slab(width_px)?)?;
    write(folder, "cherry-offcut", &demos::cherry_offcut(width_px)?)?;
    write(folder, "leaf", &demos::leaf(width_px)?)
}

fn write(folder: &Path, name: &str, shot: &Shot) -> Result<(), Problem> {
    let (jpeg, truth) = photograph(shot)?;
    let truth = serde_json::to_vec(&truth).map_err(|error| Problem::new(format!("{name}: {error}")))?;
    for (ending, bytes) in [("jpg", jpeg), ("truth.json", truth)] {
        let path = folder.join(format!("{name}.{ending}"));
        std::fs::write(&path, bytes).map_err(|error| unwritten(&path, &error))?;
    }
    Ok(())
}

fn unwritten(path: &Path, error: &std::io::Error) -> Problem {
    Problem::new(format!("{} cannot be written: {error}", path.display())).hint("choose another folder")
}
