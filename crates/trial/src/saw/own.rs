//! Outlines from a folder.

use std::fs;
use std::path::{Path, PathBuf};

use measure::Problem;
use outline::read_svg;
use rand::SeedableRng;
use rand_pcg::Pcg64Mcg;

use crate::saw::shapes::{Lying, board};

/// Every drawing of a folder, by name, each on a board of its own.
pub(crate) fn outlines(folder: &Path) -> Result<Vec<Lying>, Problem> {
    let trouble = |it: std::io::Error| Problem::new(format!("{} cannot be read: {it}", folder.display()));
    let mut paths: Vec<PathBuf> = Vec::new();
    for entry in fs::read_dir(folder).map_err(trouble)? {
        let path = entry.map_err(trouble)?.path();
        paths.extend(path.extension().is_some_and(|it| it.eq_ignore_ascii_case("svg")).then_some(path));
    }
    if paths.is_empty() {
        return Err(Problem::new(format!("there is no drawing in {}", folder.display()))
            .hint("put outlines there as .svg files"));
    }
    paths.sort();
    let mut rng = Pcg64Mcg::seed_from_u64(1);
    let mut all = Vec::new();
    for path in paths {
        let part = read_svg(&fs::read(&path).map_err(trouble)?, None)?;
        let wood = board(&part, &mut rng);
        let name = path.file_stem().map(|it| it.to_string_lossy().into_owned()).unwrap_or_default();
        all.push(Lying { name, part, wood });
    }
    Ok(all)
}
