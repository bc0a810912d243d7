//! A traced line made smooth as its maker asks, with its figures.

use measure::{Figure, Length, Units};
use outline::{Fitted, Outline, Point, Segment};
use serde::Serialize;
use stock::TracedLine;
use ts_rs::TS;

use crate::{Shop, Trouble};

/// A traced line made smooth.
#[derive(Clone, Debug, PartialEq, Serialize, TS)]
pub struct Refit {
    /// The smooth outline.
    pub outline: Outline,
    /// Where it keeps its corners.
    pub corners: Vec<Point>,
    /// Where it turns sharply: corners that may be kept.
    pub offered: Vec<Point>,
    /// The axis of a symmetric line.
    pub axis: Option<Segment>,
    /// How close it keeps, how tightly it bends, how many curves it takes.
    pub figures: Vec<Figure>,
}

impl Shop {
    /// Makes a traced line smooth; nothing is kept.
    ///
    /// # Errors
    /// Something asked is out of its range, or the line would cross itself.
    pub fn refit(&self, line: &TracedLine) -> Result<Refit, Trouble> {
        let fitted = line.fitted()?;
        let offered = line.drawn.sharp_places();
        let figures = figures(line, &fitted, self.kit()?.units);
        let axis = fitted.axis.map(|it| it.0);
        Ok(Refit { outline: Outline::from(fitted.ring), corners: fitted.corners, offered, axis, figures })
    }
}

fn figures(line: &TracedLine, fitted: &Fitted, units: Units) -> Vec<Figure> {
    let fine = |it: Length| units.fine_length(it);
    let from = if line.symmetric { "the mean of both halves" } else { "the traced line" };
    let mut all = vec![
        Figure::new("strays from the traced line", fine(fitted.stray))
            .by(format!("the farthest that curves and {from} are from each other"), "measured on the curves")
            .from("may stray", fine(line.stray))
            .from("curves", fitted.cubics.to_string()),
        Figure::new("tightest bend", fitted.least_radius.map_or("none".to_owned(), fine))
            .by("1 / the most curvature, corners left out", "measured on the curves")
            .from("asked", fine(line.least_radius))
            .from("corners kept", fitted.corners.len().to_string()),
    ];
    if let Some((_, apart)) = fitted.axis {
        all.push(
            Figure::new("halves were unlike by", fine(apart * 2.0))
                .by("twice the farthest that a half is from the mean", "measured on the traced line"),
        );
    }
    all
}
