//! Openings inside a part: no bandsaw cut leads there, so a hand-held saw is
//! threaded into a hole.

use measure::{Figure, Length};
use outline::{Point, Ring};
use stock::{Finding, Grade, Mending};

use crate::making::{Laid, Making};
use crate::saw::checks::spot;
use crate::saw::{OFF_THE_LINE, counted};

/// Where an opening is begun, on the pattern, and with which bit.
pub(super) type Start = (Point, Length);

/// Where a part's openings are begun, one for each; none for one in which no bit
/// has room, or where another of the parts beside it lies in the way.
pub(super) fn starts(making: &Making, part: &Laid, beside: &[&Laid]) -> Vec<Option<Start>> {
    let widest_bit = making.brief.kit.machines.widest_bit;
    let start = |opening: &Ring| {
        let (at, bit) = cuts::start_in(opening, OFF_THE_LINE, widest_bit)?;
        let laid = part.placement.place.point(at);
        let meets = |other: &&Laid| {
            let wood = &other.placement.outline;
            other.key != part.key && (wood.contains(laid) || wood.to_line(laid) < bit / 2.0 + OFF_THE_LINE)
        };
        (!beside.iter().any(meets)).then_some((at, bit))
    };
    part.pattern.outline.openings().iter().map(start).collect()
}

/// How openings are sawn.
pub(super) fn step(starts: &[Option<Start>]) -> String {
    let bits: Vec<Length> = starts.iter().flatten().map(|it| it.1).collect();
    let closed = starts.len() - bits.len();
    let saw = match bits.iter().all(|it| *it >= cuts::JIG_SAW_HOLE) {
        true => "a jig saw or a coping saw",
        false => "a coping saw",
    };
    let hole = if bits.len() == 1 { "its starting hole" } else { "each starting hole" };
    let begun = format!(
        "{}: thread {saw} into {hole} and saw along the line, on the waste side",
        counted(bits.len() as u32, "opening")
    );
    let narrow = format!(
        "{} without room for a bit: cut to the line with chisel and file",
        counted(closed as u32, "opening")
    );
    match (bits.len(), closed) {
        (_, 0) => begun,
        (0, _) => narrow,
        _ => format!("{begun}; {narrow}"),
    }
}

/// Finding `opening inside the part`: no bandsaw cut leads there.
pub(super) fn find(making: &mut Making, part: &Laid) {
    let openings = part.pattern.outline.openings();
    let Some(first) = openings.first() else { return };
    let starts = starts(making, part, &[]);
    let closed = starts.iter().filter(|it| it.is_none()).count();
    let mending = if closed == 0 {
        "drill a starting hole and saw it by hand, as planned now"
    } else {
        "draw those without room for a bit wider, or cut them with chisel and file, as planned now"
    };
    making.find(Finding {
        grade: Grade::Note,
        rule: "opening inside the part".to_owned(),
        what: format!(
            "{} has {}; no bandsaw cut leads there",
            part.pattern.name,
            counted(openings.len() as u32, "opening")
        ),
        spot: spot(part, Some(first.centroid())),
        figure: Figure::new("openings", openings.len().to_string())
            .by("counted", "the pattern itself")
            .from("the first", making.units().area(first.area()))
            .from("without room for a bit", closed.to_string()),
        limit: "0".to_owned(),
        why: "every way of the blade from outside would cross the part".to_owned(),
        mendings: vec![Mending::by_hand(mending)],
    });
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixture::{brief, layout};
    use outline::Outline;
    use stock::Brief;

    fn slot(at: (f64, f64), wide: f64) -> Ring {
        let corners = [(0.0, 0.0), (30.0, 0.0), (30.0, wide), (0.0, wide)];
        Ring::new(corners.map(|it| Point::new(at.0 + it.0, at.1 + it.1)).to_vec()).unwrap()
    }

    /// The board of the panel with openings.
    fn opened(openings: Vec<Ring>) -> Brief {
        let mut brief = brief();
        let outer = brief.patterns[1].outline.outer().clone();
        brief.patterns[1].outline = Outline::new(outer, openings).unwrap();
        brief
    }

    fn starts_of(brief: &Brief, beside: bool) -> Vec<Option<Start>> {
        let layout = layout(brief);
        let mut making = Making::new(brief, &layout);
        let laid = making.laid_parts();
        let board = laid.iter().find(|it| it.key.want == brief.job.wants[1].id).unwrap();
        let mut moved = laid[0].clone();
        let middle = board.placement.place.point(board.pattern.outline.openings()[0].centroid());
        let place = outline::Place { at: Point::new(middle.x - 60.0, middle.y - 60.0), ..Default::default() };
        let over = stock::Placement {
            face: board.placement.face,
            outline: place.outline(&laid[0].pattern.outline),
            place,
            ..laid[0].placement.clone()
        };
        moved.placement = &over;
        if beside { starts(&making, board, &[board, &moved]) } else { starts(&making, board, &[board]) }
    }

    #[test]
    fn narrow_openings_are_left_to_the_chisel_and_told_apart() {
        let brief = opened(vec![slot((120.0, 80.0), 20.0), slot((180.0, 80.0), 4.0)]);
        let starts = starts_of(&brief, false);
        assert!(starts[0].is_some() && starts[1].is_none(), "{starts:?}");
        let words = step(&starts);
        assert!(words.starts_with("1 opening: thread a jig saw or a coping saw into its starting hole"));
        assert!(words.ends_with("1 opening without room for a bit: cut to the line with chisel and file"));
        let narrow = opened(vec![slot((120.0, 80.0), 9.0), slot((180.0, 80.0), 20.0)]);
        assert!(step(&starts_of(&narrow, false)).starts_with("2 openings: thread a coping saw into each"));
    }

    #[test]
    fn no_hole_is_drilled_into_a_part_that_lies_in_an_opening() {
        let brief = opened(vec![slot((120.0, 80.0), 20.0)]);
        assert!(starts_of(&brief, false)[0].is_some());
        assert_eq!(starts_of(&brief, true), [None]);
    }
}
