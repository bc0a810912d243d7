//! The page's types, written from the program's own.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use measure::Problem;
use ts_rs::{Config, TS};

/// Where the page keeps them.
const FOLDER: &str = "web/src/lib/wire";

/// Writes every type that crosses the wire, or compares what is there.
///
/// # Errors
/// A file cannot be written; or, with `check`, one differs from what is there.
pub(crate) fn write(root: &Path, check: bool) -> Result<(), Problem> {
    let fresh = root.join("target").join("wire");
    let _ = fs::remove_dir_all(&fresh);
    export(&fresh).map_err(|it| Problem::new(format!("cannot export the wire types: {it}")))?;
    let (made, kept) = (files(&fresh)?, files(&root.join(FOLDER)).unwrap_or_default());
    if made == kept {
        return Ok(());
    }
    if check {
        let differ: Vec<&str> = made
            .iter()
            .filter(|(name, text)| kept.get(*name) != Some(text))
            .map(|(name, _)| name.as_str())
            .chain(kept.keys().filter(|name| !made.contains_key(*name)).map(String::as_str))
            .collect();
        let message = format!("the page's types differ from the program's: {}", differ.join(", "));
        return Err(Problem::new(message).hint("run `cargo xtask wire` and commit what it wrote"));
    }
    replace(&root.join(FOLDER), &made)
}

fn export(out: &Path) -> Result<(), ts_rs::ExportError> {
    let config = Config::new().with_out_dir(out).with_large_int("number");
    shop::ShopView::export_all(&config)?;
    shop::PlanView::export_all(&config)?;
    shop::BenchView::export_all(&config)?;
    shop::Sawing::export_all(&config)?;
    shop::Tick::export_all(&config)?;
    shop::Facts::export_all(&config)?;
    shop::WoodSheet::export_all(&config)?;
    shop::BoardAsk::export_all(&config)?;
    shop::BoardYear::export_all(&config)?;
    shop::FinishSheet::export_all(&config)?;
    shop::MeterAsk::export_all(&config)?;
    shop::CityYears::export_all(&config)?;
    shop::NewPiece::export_all(&config)?;
    shop::PhotoAsk::export_all(&config)?;
    shop::FarPhotoAsk::export_all(&config)?;
    shop::Answer::export_all(&config)?;
    shop::EdgeAsk::export_all(&config)?;
    shop::TraceAsk::export_all(&config)?;
    shop::Refit::export_all(&config)?;
    shop::SuitAsk::export_all(&config)?;
    shop::Suits::export_all(&config)?;
    shop::Uses::export_all(&config)?;
    shop::HandRules::export_all(&config)?;
    shop::Verdict::export_all(&config)?;
    shop::NewPattern::export_all(&config)?;
    shop::NewJob::export_all(&config)?;
    shop::Task::export_all(&config)?;
    shop::TaskEvent::export_all(&config)?;
    Ok(())
}

/// Every file of a folder by its name.
fn files(folder: &Path) -> Result<BTreeMap<String, String>, Problem> {
    let trouble = |it: std::io::Error| Problem::new(format!("cannot read {}: {it}", folder.display()));
    let mut all = BTreeMap::new();
    for entry in fs::read_dir(folder).map_err(trouble)? {
        let entry = entry.map_err(trouble)?;
        let name = entry.file_name().to_string_lossy().into_owned();
        all.insert(name, fs::read_to_string(entry.path()).map_err(trouble)?);
    }
    Ok(all)
}

fn replace(folder: &Path, made: &BTreeMap<String, String>) -> Result<(), Problem> {
    let trouble = |it: std::io::Error| Problem::new(format!("cannot write {}: {it}", folder.display()));
    let _ = fs::remove_dir_all(folder);
    fs::create_dir_all(folder).map_err(trouble)?;
    for (name, text) in made {
        fs::write(folder.join(name), text).map_err(trouble)?;
    }
    Ok(())
}
