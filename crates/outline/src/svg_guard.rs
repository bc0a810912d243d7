//! Looks a drawing over before it is read: size, entities, depth, references,
//! and copies out of it nothing but shapes.
//!
//! What is copied has no pictures, filters, masks, markers, patterns, text or
//! links to files, so nothing of the kind can be abused; of style sheets it has
//! what says that a shape is unseen or cut off.

use std::collections::BTreeMap;
use std::fmt::Write;

use measure::Problem;
use usvg::roxmltree::{Document, Node, ParsingOptions};

use crate::svg_style;

/// The largest drawing that is read.
pub const MOST_SVG_BYTES: usize = 8_000_000;

/// The most elements, with everything that is used again counted each time.
const MOST_ELEMENTS: usize = 20_000;

/// The most elements times those of the largest clip path: any may be cut by it.
const MOST_CUT: usize = 500_000;

/// How deep elements may lie in each other.
const MOST_DEPTH: usize = 48;

/// The elements that make or hold shapes, or cut them.
const SHAPES: [&str; 14] = [
    "svg", "g", "a", "defs", "symbol", "switch", "use", "clipPath", "path", "rect", "circle", "ellipse",
    "polyline", "polygon",
];

/// The attributes that say where and how large a shape is.
const GEOMETRY: [&str; 22] = [
    "id",
    "d",
    "points",
    "x",
    "y",
    "width",
    "height",
    "rx",
    "ry",
    "cx",
    "cy",
    "r",
    "transform",
    "viewBox",
    "preserveAspectRatio",
    "display",
    "visibility",
    "requiredExtensions",
    "requiredFeatures",
    "systemLanguage",
    "class",
    "clipPathUnits",
];

const SVG: &str = "http://www.w3.org/2000/svg";

/// The drawing's shapes alone, as a drawing that is safe to read.
pub(crate) fn shapes_only(bytes: &[u8]) -> Result<String, Problem> {
    if bytes.len() > MOST_SVG_BYTES {
        let message = format!("the drawing has {} bytes; at most {MOST_SVG_BYTES} are read", bytes.len());
        return Err(Problem::new(message).hint("save the outline alone"));
    }
    let text = std::str::from_utf8(bytes).map_err(|_| {
        Problem::new("the drawing is not plain UTF-8 text").hint("save it as plain, uncompressed SVG")
    })?;
    if text.contains("<!ENTITY") {
        return Err(
            Problem::new("the drawing declares entities, which are not read").hint("save it as plain SVG")
        );
    }
    let options =
        ParsingOptions { allow_dtd: true, nodes_limit: 20 * MOST_ELEMENTS as u32, ..Default::default() };
    let document = Document::parse_with_options(text, options)
        .map_err(|trouble| Problem::new(format!("the drawing is not sound XML: {trouble}")))?;
    if !is_shape(document.root_element()) || document.root_element().tag_name().name() != "svg" {
        return Err(Problem::new("the file is not an SVG drawing"));
    }
    let mut census = Census::new(&document);
    let elements = census.count(document.root_element(), 0)?.0;
    let clips = document.descendants().filter(|it| is_shape(*it) && it.tag_name().name() == "clipPath");
    let largest = clips
        .map(|it| census.count(it, 0).map(|it| it.0))
        .try_fold(0, |so_far, it| it.map(|it| so_far.max(it)))?;
    if elements.saturating_mul(largest) > MOST_CUT {
        let message = format!("the drawing cuts {elements} elements by clip paths of up to {largest}");
        return Err(Problem::new(message).hint("save the outline alone, without clip paths"));
    }
    Ok(copied(document.root_element()))
}

fn is_shape(node: Node) -> bool {
    let name = node.tag_name();
    node.is_element() && name.namespace().is_none_or(|it| it == SVG) && SHAPES.contains(&name.name())
}

fn reference<'a>(node: Node<'a, '_>) -> Option<&'a str> {
    let written = node.attributes().find(|it| it.name() == "href")?;
    written.value().trim().strip_prefix('#')
}

/// Counts elements as they come out when everything used again is copied in.
struct Census<'a, 'input> {
    named: BTreeMap<&'a str, Node<'a, 'input>>,
    /// Elements and depth below; `None` while still being counted.
    known: BTreeMap<u32, Option<(usize, usize)>>,
}

impl<'a, 'input> Census<'a, 'input> {
    fn new(document: &'a Document<'input>) -> Census<'a, 'input> {
        let named = document.descendants().filter_map(|it| Some((it.attribute("id")?, it))).collect();
        Census { named, known: BTreeMap::new() }
    }

    /// Elements in and below a node, and how deep they lie. Goes no deeper than
    /// [`MOST_DEPTH`], so its own recursion is bounded.
    fn count(&mut self, node: Node<'a, 'input>, depth: usize) -> Result<(usize, usize), Problem> {
        let known = self.known.get(&node.id().get()).copied();
        let (elements, below) = match known {
            Some(Some(known)) => known,
            Some(None) => return Err(Problem::new("an element of the drawing uses itself")),
            None if depth > MOST_DEPTH => return Err(too_deep()),
            None => self.count_fresh(node, depth)?,
        };
        if depth + below > MOST_DEPTH {
            return Err(too_deep());
        }
        if elements > MOST_ELEMENTS {
            let message = format!("the drawing has more than {MOST_ELEMENTS} elements");
            return Err(Problem::new(message).hint("save the outline alone"));
        }
        Ok((elements, below))
    }

    fn count_fresh(&mut self, node: Node<'a, 'input>, depth: usize) -> Result<(usize, usize), Problem> {
        self.known.insert(node.id().get(), None);
        let used = (node.tag_name().name() == "use").then(|| reference(node)).flatten();
        let used = used.and_then(|name| self.named.get(name).copied()).filter(|it| is_shape(*it));
        let (mut elements, mut below) = (1_usize, 0);
        for part in node.children().filter(|it| is_shape(*it)).chain(used) {
            let (more, deep) = self.count(part, depth + 1)?;
            elements = elements.saturating_add(more);
            below = below.max(deep + 1);
        }
        self.known.insert(node.id().get(), Some((elements, below)));
        Ok((elements, below))
    }
}

fn too_deep() -> Problem {
    Problem::new(format!("the drawing's groups lie more than {MOST_DEPTH} deep in each other"))
        .hint("ungroup the outline")
}

/// Copies the shapes, all filled, so that none is left out as unseen. The depth
/// has been checked.
fn copied(root: Node) -> String {
    let mut out = String::new();
    copy(root, true, &mut out);
    out
}

fn copy(node: Node, first: bool, out: &mut String) {
    let name = match node.tag_name().name() {
        "a" => "g",
        name => name,
    };
    let _ = write!(out, "<{name}");
    if first {
        let _ = write!(out, " xmlns=\"{SVG}\" fill=\"#000\" stroke=\"none\"");
    }
    for attribute in node.attributes().filter(|it| it.namespace().is_none() && GEOMETRY.contains(&it.name()))
    {
        write_attribute(attribute.name(), attribute.value(), out);
    }
    if let Some(name) = reference(node) {
        write_attribute("href", &format!("#{name}"), out);
    }
    if let Some(cut) = node.attribute("clip-path").filter(|it| svg_style::is_value(it.trim())) {
        write_attribute("clip-path", cut.trim(), out);
    }
    let style = svg_style::declarations(node.attribute("style").unwrap_or_default());
    if !style.is_empty() {
        write_attribute("style", &style, out);
    }
    out.push('>');
    let sheet = if first { svg_style::sheet(node) } else { String::new() };
    if !sheet.is_empty() {
        let _ = write!(out, "<style>{sheet}</style>");
    }
    for child in node.children().filter(|it| is_shape(*it)) {
        copy(child, false, out);
    }
    let _ = write!(out, "</{name}>");
}

fn write_attribute(name: &str, value: &str, out: &mut String) {
    let _ = write!(out, " {name}=\"");
    for letter in value.chars() {
        match letter {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '"' => out.push_str("&quot;"),
            letter => out.push(letter),
        }
    }
    out.push('"');
}
