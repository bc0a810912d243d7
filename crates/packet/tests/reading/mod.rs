//! Reads pages back: their size and every straight level stroke on them.

use lopdf::content::Content;
use lopdf::{Document, Object};

/// One page, in points.
pub(crate) struct Sheet {
    /// Width and height.
    pub(crate) size: [f64; 2],
    /// Lengths of the straight level strokes.
    pub(crate) level: Vec<f64>,
}

/// A matrix as ISO 32000-1 writes it: `a b c d e f`.
type Matrix = [f64; 6];

const UNIT: Matrix = [1.0, 0.0, 0.0, 1.0, 0.0, 0.0];

fn through(new: Matrix, old: Matrix) -> Matrix {
    let [a, b, c, d, e, f] = new;
    let [p, q, r, s, t, u] = old;
    [a * p + b * r, a * q + b * s, c * p + d * r, c * q + d * s, e * p + f * r + t, e * q + f * s + u]
}

/// Every page of a document.
pub(crate) fn sheets(pdf: &[u8]) -> Vec<Sheet> {
    let document = Document::load_mem(pdf).unwrap();
    let pages = document.get_pages();
    let each = pages.values().map(|&id| {
        let page = document.get_dictionary(id).unwrap();
        let corners = page.get_deref(b"MediaBox", &document).unwrap().as_array().unwrap();
        let corners: Vec<f64> = corners.iter().map(number).collect();
        let content = Content::decode(&document.get_page_content(id)).unwrap();
        Sheet { size: [corners[2] - corners[0], corners[3] - corners[1]], level: level(&content) }
    });
    each.collect()
}

fn number(it: &Object) -> f64 {
    f64::from(it.as_float().unwrap())
}

/// Walks the drawing commands with the current matrix.
fn level(content: &Content) -> Vec<f64> {
    let (mut matrix, mut kept) = (UNIT, Vec::new());
    let (mut path, mut out) = (Vec::new(), Vec::new());
    for step in &content.operations {
        let numbers = || -> Vec<f64> { step.operands.iter().map(number).collect() };
        let point = |matrix: Matrix| {
            let at = numbers();
            (
                at[0] * matrix[0] + at[1] * matrix[2] + matrix[4],
                at[0] * matrix[1] + at[1] * matrix[3] + matrix[5],
            )
        };
        match step.operator.as_str() {
            "q" => kept.push(matrix),
            "Q" => matrix = kept.pop().unwrap_or(UNIT),
            "cm" => matrix = through(numbers().try_into().unwrap(), matrix),
            "m" => path = vec![point(matrix)],
            "l" => path.push(point(matrix)),
            "S" => {
                if let [(x1, y1), (x2, y2)] = path[..]
                    && (y1 - y2).abs() < 0.001
                {
                    out.push((x2 - x1).abs());
                }
                path.clear();
            }
            _ => {}
        }
    }
    out
}

/// The words on each page.
pub(crate) fn words(pdf: &[u8]) -> Vec<String> {
    let document = Document::load_mem(pdf).unwrap();
    let numbers = document.get_pages().into_keys();
    numbers.map(|number| document.extract_text(&[number]).unwrap()).collect()
}

/// What the catalog says of scaling in print.
pub(crate) fn print_scaling(pdf: &[u8]) -> String {
    let document = Document::load_mem(pdf).unwrap();
    let preferences = document.catalog().unwrap().get(b"ViewerPreferences").unwrap().as_dict().unwrap();
    let name = preferences.get(b"PrintScaling").unwrap().as_name().unwrap();
    String::from_utf8(name.to_vec()).unwrap()
}
