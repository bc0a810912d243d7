//! An outline as an SVG path.

use std::fmt::Write;

use crate::Outline;

impl Outline {
    /// The `d` of an SVG path in millimetres, y down: a point (x, y) of the
    /// shape is written as (x, −y), to a thousandth. Openings are closed lines
    /// of their own; fill by the even-odd rule (or non-zero, they run the other
    /// way).
    pub fn svg_path(&self) -> String {
        let mut out = String::new();
        for (index, ring) in self.rings().enumerate() {
            let corners: Vec<_> = match index {
                0 => ring.corners().iter().collect(),
                _ => ring.corners().iter().rev().collect(),
            };
            for (step, corner) in corners.into_iter().enumerate() {
                let verb = if step == 0 { 'M' } else { 'L' };
                let _ = write!(out, "{verb}{} {}", written(corner.x), written(-corner.y));
            }
            out.push('Z');
        }
        out
    }
}

/// A number to three places, without idle zeros.
fn written(number: f64) -> String {
    let text = format!("{number:.3}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}
