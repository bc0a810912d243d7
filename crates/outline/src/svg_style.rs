//! What a drawing's style sheets and styles say of what is seen and cut off.
//!
//! Colours and strokes say nothing of an outline; of all rules only those on
//! [`SAID`] are kept, by plain selectors and with plain values.

use usvg::roxmltree::Node;

/// The properties that are kept.
const SAID: [&str; 3] = ["display", "visibility", "clip-path"];

/// The drawing's style sheets as one; empty if they say nothing that is kept.
/// What is in a block of its own (`@media`) is left out.
pub(crate) fn sheet(root: Node) -> String {
    let sheets = root.descendants().filter(|it| it.tag_name().name() == "style");
    let text: String = sheets.flat_map(|it| it.children().filter_map(|it| it.text())).collect();
    let text = without_comments(&text);
    let rules = text.split('}').filter_map(|rule| rule.split_once('{'));
    let rules = rules.filter(|(selector, _)| is_plain(selector, "-_.#*,: \t\r\n"));
    let kept = rules.filter_map(|(selector, said)| {
        let said = declarations(said);
        (!said.is_empty()).then(|| format!("{}{{{said}}}", selector.trim()))
    });
    kept.collect()
}

/// Of an element's own style or of a rule, what is kept.
pub(crate) fn declarations(style: &str) -> String {
    let said = style.split(';').filter_map(|it| it.split_once(':'));
    let said = said.map(|(name, value)| (name.trim(), value.trim()));
    let kept = said.filter(|(name, value)| SAID.contains(name) && is_value(value));
    kept.map(|(name, value)| format!("{name}:{value};")).collect()
}

/// A word, or a reference within the drawing.
pub(crate) fn is_value(value: &str) -> bool {
    is_plain(value, "-_.#()") && (!value.contains('(') || value.starts_with("url(#"))
}

fn is_plain(text: &str, also: &str) -> bool {
    !text.trim().is_empty() && text.chars().all(|it| it.is_ascii_alphanumeric() || also.contains(it))
}

fn without_comments(text: &str) -> String {
    let mut parts = text.split("/*");
    let mut kept = parts.next().unwrap_or_default().to_owned();
    kept.extend(parts.filter_map(|it| it.split_once("*/")).map(|(_, after)| after));
    kept
}
