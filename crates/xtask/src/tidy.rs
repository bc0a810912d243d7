//! House rules that a machine can check: sizes, module docs, banned words.

use std::fs;
use std::path::{Path, PathBuf};

use measure::Problem;

/// A file on one subject fits this.
const LONGEST_RUST: usize = 600;
/// A function fits a screen or two.
const LONGEST_FUNCTION: usize = 70;
/// A component of the page fits this.
const LONGEST_COMPONENT: usize = 400;
/// A script of the page fits this.
const LONGEST_SCRIPT: usize = 300;
/// No file in the house is larger; pictures too.
const LARGEST_FILE: u64 = 1_500_000;
/// Real photographs are kept as their camera wrote them.
const LARGEST_PHOTOGRAPH: u64 = 4_000_000;
const PHOTOGRAPHS: &str = "cases/pictures/";

/// Checks every file that is kept.
///
/// # Errors
/// Lists every rule that is broken, with file and line.
pub(crate) fn check(root: &Path) -> Result<(), Problem> {
    let mut faults = Vec::new();
    for file in kept(root)? {
        let name = file.strip_prefix(root).unwrap_or(&file).display().to_string();
        let size = fs::metadata(&file).map_or(0, |it| it.len());
        let most = if name.starts_with(PHOTOGRAPHS) { LARGEST_PHOTOGRAPH } else { LARGEST_FILE };
        if size > most {
            faults.push(format!("{name}: {size} bytes; at most {most}"));
        }
        let Ok(text) = fs::read_to_string(&file) else { continue };
        match file.extension().and_then(|it| it.to_str()) {
            Some("rs") => rust(&name, &text, &mut faults),
            Some("svelte") => page(&name, &text, LONGEST_COMPONENT, &mut faults),
            Some("ts") if !name.contains("/wire/") => page(&name, &text, LONGEST_SCRIPT, &mut faults),
            _ => (),
        }
    }
    crate::all_or_nothing("house rules", faults)
}

/// Every file that git keeps or would keep.
fn kept(root: &Path) -> Result<Vec<PathBuf>, Problem> {
    let listed = std::process::Command::new("git")
        .args(["ls-files", "--cached", "--others", "--exclude-standard"])
        .current_dir(root)
        .output()
        .map_err(|it| Problem::new(format!("cannot run git: {it}")))?;
    let names = String::from_utf8_lossy(&listed.stdout).into_owned();
    Ok(names.lines().map(|name| root.join(name)).filter(|it| it.exists()).collect())
}

fn rust(name: &str, text: &str, faults: &mut Vec<String>) {
    if !text.starts_with("//!") {
        faults.push(format!("{name}:1: begins without a `//!` line on what it holds"));
    }
    length(name, text, LONGEST_RUST, faults);
    for (line, count) in long_functions(text) {
        faults.push(format!("{name}:{line}: a function of {count} lines; at most {LONGEST_FUNCTION}"));
    }
    // Put together, so that this file does not find itself.
    for word in [["to", "do!("].concat(), ["unimple", "mented!("].concat(), ["#[ig", "nore"].concat()] {
        for (number, line) in (1..).zip(text.lines()) {
            if line.contains(&word) {
                faults.push(format!("{name}:{number}: “{word}”"));
            }
        }
    }
}

/// Functions that are too long, by their first line. The house's formatter puts
/// `fn` and the closing brace into the same column.
fn long_functions(text: &str) -> Vec<(usize, usize)> {
    let lines: Vec<&str> = text.lines().collect();
    let mut found = Vec::new();
    for (start, line) in lines.iter().enumerate() {
        let bare = line.trim_start();
        let indent = line.len() - bare.len();
        let is_function =
            ["fn ", "pub fn ", "pub(crate) fn ", "async fn ", "pub(crate) async fn ", "pub(super) fn "]
                .iter()
                .any(|word| bare.starts_with(word));
        if !is_function {
            continue;
        }
        let closes = |it: &&&str| it.trim_end() == format!("{}}}", " ".repeat(indent)).as_str();
        let count = lines[start..].iter().take_while(|it| !closes(it)).count() + 1;
        let has_body = lines[start..].iter().take(count).any(|it| it.trim_end().ends_with('{'));
        if has_body && count > LONGEST_FUNCTION && start + count <= lines.len() {
            found.push((start + 1, count));
        }
    }
    found
}

fn page(name: &str, text: &str, longest: usize, faults: &mut Vec<String>) {
    length(name, text, longest, faults);
    for (number, line) in (1..).zip(text.lines()) {
        if name.ends_with(".svelte") && has_raw_colour(line) {
            faults.push(format!("{name}:{number}: a colour outside web/src/styles/tokens.css"));
        }
    }
}

/// Whether a line holds a colour such as `#a1b2c3`.
fn has_raw_colour(line: &str) -> bool {
    line.split('#').skip(1).any(|after| {
        let digits = after.chars().take_while(char::is_ascii_hexdigit).count();
        let ends = after.chars().nth(digits).is_none_or(|it| !it.is_alphanumeric() && it != '-' && it != '_');
        (digits == 6 || digits == 8) && ends
    })
}

fn length(name: &str, text: &str, longest: usize, faults: &mut Vec<String>) {
    let lines = text.lines().count();
    if lines > longest {
        faults.push(format!("{name}: {lines} lines; at most {longest}"));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_function_is_found_by_its_first_line() {
        let body = "        step();\n".repeat(80);
        let text =
            format!("//! X.\n\nimpl X {{\n    fn long() {{\n{body}    }}\n\n    fn short() {{\n    }}\n}}\n");
        assert_eq!(long_functions(&text), [(4, 82)]);
    }

    #[test]
    fn a_raw_colour_is_seen_and_an_anchor_is_not() {
        assert!(has_raw_colour("color: #a1b2c3;"));
        assert!(!has_raw_colour("href=\"#/rack\" url(#hatch-knot)"));
    }

    #[test]
    fn the_house_keeps_its_own_rules() {
        check(&crate::root()).unwrap();
    }
}
