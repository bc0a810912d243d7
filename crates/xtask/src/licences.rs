//! Every dependency may be shipped under MIT or Apache-2.0.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use cargo_metadata::MetadataCommand;
use measure::Problem;

/// Licences that ask for no more than their text to be kept. MPL-2.0 binds its
/// own files only.
const ALLOWED: [&str; 18] = [
    "MIT",
    "MIT-0",
    "Apache-2.0",
    "Apache-2.0 WITH LLVM-exception",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "0BSD",
    "ISC",
    "Zlib",
    "Unicode-3.0",
    "Unicode-DFS-2016",
    "CC0-1.0",
    "Unlicense",
    "BSL-1.0",
    "MPL-2.0",
    "bzip2-1.0.6",
    "OFL-1.1",
    "BlueOak-1.0.0",
];

/// Licences that only tools of the page's build carry; none of it is shipped.
const BUILD_ONLY: [&str; 3] = ["CC-BY-4.0", "Python-2.0", "CC-BY-3.0"];

/// Checks the crates that are built and the packages that the page is built with.
///
/// # Errors
/// Lists every dependency without an allowed licence.
pub(crate) fn check(root: &Path) -> Result<(), Problem> {
    let metadata = MetadataCommand::new()
        .manifest_path(root.join("Cargo.toml"))
        .exec()
        .map_err(|it| Problem::new(format!("cannot read the dependencies: {it}")))?;
    let mut faults = BTreeSet::new();
    for package in &metadata.packages {
        let licence = package.license.as_deref().unwrap_or("none named");
        if package.source.is_some() && !may_ship(licence, &ALLOWED) {
            faults.insert(format!("crate {} {}: {licence}", package.name, package.version));
        }
    }
    for (name, licence) in page_packages(&root.join("web/package-lock.json"))? {
        if !may_ship(&licence, &ALLOWED) && !may_ship(&licence, &BUILD_ONLY) {
            faults.insert(format!("package {name}: {licence}"));
        }
    }
    crate::all_or_nothing("licences", faults.into_iter().collect())
}

/// Whether an SPDX expression can be met: of `A OR B` one, of `A AND B` both.
fn may_ship(expression: &str, allowed: &[&str]) -> bool {
    let flat = expression.replace(['(', ')'], " ").replace('/', " OR ");
    let met = |licence: &str| allowed.contains(&licence.trim());
    if expression.contains(") AND") || expression.contains("AND (") {
        // `(A OR B) AND C`: every part in brackets has to be met.
        return expression.split(" AND ").all(|part| may_ship(part.trim_matches(['(', ')', ' ']), allowed));
    }
    flat.split(" OR ").any(|either| either.split(" AND ").all(met))
}

fn page_packages(lock: &Path) -> Result<Vec<(String, String)>, Problem> {
    let trouble = |it: String| Problem::new(format!("cannot read {}: {it}", lock.display()));
    let text = fs::read_to_string(lock).map_err(|it| trouble(it.to_string()))?;
    let all: serde_json::Value = serde_json::from_str(&text).map_err(|it| trouble(it.to_string()))?;
    let packages = all["packages"].as_object().ok_or_else(|| trouble("no `packages` in it".to_owned()))?;
    let named = packages.iter().filter(|(name, _)| !name.is_empty());
    Ok(named
        .map(|(name, it)| (name.clone(), it["license"].as_str().unwrap_or("none named").to_owned()))
        .collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn expressions_are_read_as_they_are_meant() {
        for good in ["MIT", "MIT OR GPL-3.0", "MIT/Apache-2.0", "(MIT OR Apache-2.0) AND Unicode-3.0"] {
            assert!(may_ship(good, &ALLOWED), "{good}");
        }
        for bad in ["GPL-3.0", "MIT AND GPL-3.0", "(MIT OR Apache-2.0) AND GPL-2.0", "none named", ""] {
            assert!(!may_ship(bad, &ALLOWED), "{bad}");
        }
    }

    #[test]
    fn every_dependency_may_be_shipped() {
        check(&crate::root()).unwrap();
    }
}
