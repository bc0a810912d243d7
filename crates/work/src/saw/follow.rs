//! The bends of a pattern's line, for the figures and findings about them.

use measure::Length;
use outline::Bend;
use stock::{Origin, Pattern};

use crate::saw::OFF_THE_LINE;

/// Bends of drawn lines are read over this much of the line, of traced ones
/// over twice the width that smooths the tracing.
const DRAWN: Length = Length::mm(2.0);
const TRACED: Length = Length::mm(6.0);

/// What bends how tight on a pattern.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Bends {
    /// The tightest outside bend, sharp corners left out.
    pub(super) outside: Option<Bend>,
    /// The same of inside bends.
    pub(super) inside: Option<Bend>,
    /// The sharp inside corners.
    pub(super) inside_corners: Vec<Bend>,
}

impl Bends {
    /// Of a pattern's outer line.
    pub(super) fn of(pattern: &Pattern) -> Bends {
        let scale = match pattern.origin {
            Origin::Family { .. } | Origin::Drawing { .. } => DRAWN,
            Origin::Traced { .. } => TRACED,
        };
        let bends = pattern.outline.outer().bends(scale);
        let tightest = |inside: bool| {
            let of_kind = bends.iter().filter(move |it| it.inside == inside && !it.corner);
            of_kind.min_by(|a, b| a.radius.to_mm().total_cmp(&b.radius.to_mm())).copied()
        };
        let inside_corners = bends.iter().filter(|it| it.inside && it.corner).copied().collect();
        Bends { outside: tightest(false), inside: tightest(true), inside_corners }
    }
}

/// The radius that the middle of the blade runs on past a bend.
pub(super) fn path_radius(bend: &Bend, kerf: Length) -> Length {
    let off = kerf / 2.0 + OFF_THE_LINE;
    if bend.inside { bend.radius - off } else { bend.radius + off }
}
