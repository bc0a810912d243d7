//! Whole journeys on the real program.

mod bad_input;
mod demo;
mod journey;

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// A shop in a folder of its own, gone when the test is over.
struct Bench {
    folder: PathBuf,
}

impl Bench {
    fn new(name: &str) -> Bench {
        let folder = std::env::temp_dir().join(format!("treen-it-{name}-{}", std::process::id()));
        let _ = std::fs::remove_dir_all(&folder);
        std::fs::create_dir_all(&folder).unwrap();
        Bench { folder }
    }

    fn shop(&self) -> PathBuf {
        self.folder.join("shop")
    }

    /// Puts a file beside the shop.
    fn file(&self, name: &str, bytes: &[u8]) -> PathBuf {
        let path = self.folder.join(name);
        std::fs::write(&path, bytes).unwrap();
        path
    }

    /// Runs a command on the shop.
    fn run(&self, arguments: &[&str]) -> Output {
        Command::new(env!("CARGO_BIN_EXE_treen"))
            .args(arguments)
            .arg("--shop")
            .arg(self.shop())
            .output()
            .expect("the program can be started")
    }

    /// Adds a plank of these measures to the rack.
    fn plank(&self, species: &str, length: &str, width: &str, thickness: &str) {
        let measures = ["--length", length, "--width", width, "--thickness", thickness];
        self.told(&[&["rack", "add", "Plank", "--species", species], &measures[..]].concat());
    }

    /// What a command that goes well tells.
    fn told(&self, arguments: &[&str]) -> String {
        let done = self.run(arguments);
        let wrong = String::from_utf8_lossy(&done.stderr).into_owned();
        assert!(done.status.success(), "{arguments:?} failed: {wrong}");
        String::from_utf8(done.stdout).unwrap()
    }

    /// What a command that is refused tells; a crash is no refusal.
    fn refused(&self, arguments: &[&str]) -> String {
        let done = self.run(arguments);
        let told = String::from_utf8_lossy(&done.stderr).into_owned();
        assert_eq!(done.status.code(), Some(1), "{arguments:?} was not refused: {told}");
        assert!(told.starts_with("error: ") && !told.contains("panicked"), "{arguments:?}: {told}");
        told
    }
}

impl Drop for Bench {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.folder);
    }
}

/// The repository's root.
fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR")).ancestors().nth(2).unwrap()
}
