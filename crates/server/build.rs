//! Makes sure that a page exists: builds it where Node is at hand and it is
//! missing or older than its sources; otherwise a page that says what is missing.
//!
//! `TREEN_PAGE=skip` leaves Node alone and takes what is there.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::process::Command;

use sha2::{Digest, Sha256};

/// Everything that the page is built from, within `web/`.
const SOURCES: [&str; 6] =
    ["src", "index.html", "package.json", "package-lock.json", "vite.config.ts", "../assets/fonts"];
/// Names the sources that a built page was made from.
const STAMP: &str = ".made-from";

fn main() {
    println!("cargo:rerun-if-env-changed=TREEN_PAGE");
    let web = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../web");
    for source in SOURCES {
        println!("cargo:rerun-if-changed={}", web.join(source).display());
    }
    println!("cargo:rerun-if-changed={}", web.join("dist").join(STAMP).display());
    let out = PathBuf::from(std::env::var_os("OUT_DIR").expect("cargo names OUT_DIR")).join("page");
    let _ = fs::remove_dir_all(&out);
    let page = build(&web).and_then(|()| copy(&web.join("dist"), &out).map_err(|it| it.to_string()));
    if let Err(missing) = page {
        println!("cargo:warning=the page was not built: {missing}");
        fs::create_dir_all(&out).expect("OUT_DIR can be written");
        fs::write(out.join("index.html"), placeholder(&missing)).expect("OUT_DIR can be written");
    }
}

/// Builds the page, unless it is there and made from these very sources.
fn build(web: &Path) -> Result<(), String> {
    let stamp = web.join("dist").join(STAMP);
    let sources = fingerprint(web).map_err(|it| format!("cannot read web/: {it}"))?;
    if fs::read_to_string(&stamp).is_ok_and(|made_from| made_from == sources) {
        return Ok(());
    }
    if std::env::var_os("TREEN_PAGE").is_some_and(|it| it == "skip") {
        return Err("TREEN_PAGE is set to skip".to_owned());
    }
    run(web, "node", &["--version"]).map_err(|_| "Node.js is not installed".to_owned())?;
    if !web.join("node_modules/.package-lock.json").exists()
        || newer(web, "package-lock.json", "node_modules/.package-lock.json")
    {
        run(web, npm(), &["ci", "--no-audit", "--no-fund", "--loglevel=error"])?;
    }
    run(web, npm(), &["run", "build"])?;
    fs::write(stamp, sources).map_err(|it| it.to_string())
}

fn npm() -> &'static str {
    if cfg!(windows) { "npm.cmd" } else { "npm" }
}

fn newer(web: &Path, one: &str, other: &str) -> bool {
    let changed = |name: &str| fs::metadata(web.join(name)).and_then(|it| it.modified()).ok();
    changed(one) > changed(other)
}

fn run(folder: &Path, program: &str, arguments: &[&str]) -> Result<(), String> {
    let done = Command::new(program).args(arguments).current_dir(folder).output();
    let done = done.map_err(|it| format!("{program} cannot be started: {it}"))?;
    if done.status.success() {
        return Ok(());
    }
    let told = String::from_utf8_lossy(&done.stderr);
    let end: Vec<&str> = told.lines().rev().take(12).collect();
    let end: Vec<&str> = end.into_iter().rev().collect();
    Err(format!("`{program} {}` failed: {}", arguments.join(" "), end.join(" | ")))
}

fn fingerprint(web: &Path) -> io::Result<String> {
    let mut files = Vec::new();
    for source in SOURCES {
        gather(&web.join(source), &mut files)?;
    }
    files.sort();
    let mut hash = Sha256::new();
    for file in files {
        let name = file.strip_prefix(web).unwrap_or(&file);
        hash.update(name.to_string_lossy().as_bytes());
        hash.update(fs::read(&file)?);
    }
    Ok(hash.finalize().iter().map(|byte| format!("{byte:02x}")).collect())
}

fn gather(path: &Path, files: &mut Vec<PathBuf>) -> io::Result<()> {
    if path.is_dir() {
        for entry in fs::read_dir(path)? {
            gather(&entry?.path(), files)?;
        }
    } else if path.exists() {
        files.push(path.to_owned());
    }
    Ok(())
}

fn copy(from: &Path, to: &Path) -> io::Result<()> {
    fs::create_dir_all(to)?;
    for entry in fs::read_dir(from)? {
        let entry = entry?;
        let target = to.join(entry.file_name());
        if entry.path().is_dir() {
            copy(&entry.path(), &target)?;
        } else if entry.file_name() != STAMP {
            fs::copy(entry.path(), target)?;
        }
    }
    Ok(())
}

fn placeholder(missing: &str) -> String {
    let missing = missing.replace('&', "&amp;").replace('<', "&lt;");
    format!(
        "<!doctype html><html lang=\"en\"><meta charset=\"utf-8\">\
         <meta name=\"viewport\" content=\"width=device-width\"><title>Treen</title>\
         <body style=\"font:18px/1.5 sans-serif;max-width:36em;margin:3em auto;padding:0 1em\">\
         <h1>The page was not built</h1><p>Treen was built without its page: {missing}.</p>\
         <p>Install Node.js 20 or newer, then build Treen again. Until then every command works \
         in the terminal: <code>treen --help</code> lists them.</p>"
    )
}
