//! Who may know whom: dependencies point one way, heavy libraries are fenced.

use std::collections::BTreeMap;
use std::path::Path;

use cargo_metadata::{DependencyKind, MetadataCommand};
use measure::Problem;

/// Each crate and the crates of ours that it may use.
const MAY_USE: [(&str, &[&str]); 20] = [
    ("measure", &[]),
    ("handbook", &["measure"]),
    ("outline", &["measure"]),
    ("stock", &["measure", "handbook", "outline"]),
    ("scene", &["measure", "outline", "stock"]),
    ("photo", &["measure", "outline", "stock"]),
    ("nest", &["measure", "outline"]),
    ("layout", &["measure", "outline", "stock", "nest"]),
    ("cuts", &["measure", "outline", "stock"]),
    ("work", &["measure", "handbook", "outline", "stock", "cuts", "judge"]),
    ("judge", &["measure", "outline", "stock"]),
    ("plan", &["measure", "handbook", "outline", "stock", "layout", "work"]),
    ("packet", &["measure", "handbook", "outline", "stock", "work", "plan"]),
    ("store", &["measure", "stock"]),
    (
        "shop",
        &["measure", "handbook", "outline", "stock", "photo", "layout", "work", "plan", "packet", "store"],
    ),
    ("server", &["measure", "outline", "stock", "shop"]),
    ("treen", &["measure", "outline", "stock", "shop", "server"]),
    ("proving", &["measure", "outline", "stock", "photo", "scene"]),
    ("trial", &["measure", "handbook", "outline", "stock", "nest", "layout", "cuts", "judge", "work"]),
    ("xtask", &["measure", "outline", "shop"]),
];

/// Libraries that only these crates may name.
const FENCED: [(&str, &[&str]); 15] = [
    ("i_overlay", &["outline"]),
    ("earcut", &["nest"]),
    ("kurbo", &["outline"]),
    ("usvg", &["outline"]),
    ("heifer", &["photo"]),
    ("image", &["photo", "scene", "packet"]),
    ("locus-core", &["photo"]),
    ("typst", &["packet"]),
    ("typst-pdf", &["packet"]),
    ("typst-layout", &["packet"]),
    ("lopdf", &["packet"]),
    ("rusqlite", &["store"]),
    ("axum", &["server"]),
    ("tokio", &["server"]),
    ("rand", &["nest", "layout", "scene", "trial"]),
];

/// Checks every crate's dependencies (those of its tests are free).
///
/// # Errors
/// Lists every dependency that points the wrong way or past a fence.
pub(crate) fn check(root: &Path) -> Result<(), Problem> {
    let metadata = MetadataCommand::new()
        .manifest_path(root.join("Cargo.toml"))
        .no_deps()
        .exec()
        .map_err(|it| Problem::new(format!("cannot read the workspace: {it}")))?;
    let allowed: BTreeMap<&str, &[&str]> = MAY_USE.into_iter().collect();
    let fenced: BTreeMap<&str, &[&str]> = FENCED.into_iter().collect();
    let mut faults = Vec::new();
    for package in &metadata.packages {
        let name = package.name.as_str();
        let Some(may) = allowed.get(name) else {
            faults.push(format!("{name}: a crate that is not in the list of who may know whom"));
            continue;
        };
        for it in package.dependencies.iter().filter(|it| it.kind == DependencyKind::Normal) {
            let used = it.name.as_str();
            if allowed.contains_key(used) && !may.contains(&used) {
                faults.push(format!("{name} uses {used}, and may not"));
            }
            if fenced.get(used).is_some_and(|inside| !inside.contains(&name)) {
                faults.push(format!("{name} uses {used}, which is fenced"));
            }
        }
    }
    crate::all_or_nothing("who may know whom", faults)
}

#[cfg(test)]
mod tests {
    #[test]
    fn dependencies_point_one_way() {
        super::check(&crate::root()).unwrap();
    }
}
