//! What is done at each cut, in words.

use measure::Length;
use stock::{PartKey, SawCut, SawCutKind, SawLeg};

use crate::cut_sheet::Falling;
use crate::making::{Laid, Making};

/// Work shorter than this is not led to the blade by hand alone (common
/// practice, no source).
const SHORT: Length = Length::inches(6.0);

/// Waste shorter than this is not picked up beside a running blade (common
/// practice, no source).
const SMALL: Length = Length::inches(3.0);

/// A way that ends this near to an earlier place of its own ends in its own
/// beginning.
const CLOSED: Length = Length::mm(0.5);

/// One instruction, without the cut's number.
pub(super) fn cut(
    making: &Making,
    parts: &[&Laid],
    cut: &SawCut,
    told: &judge::CutRuling,
    falls: &[Falling],
) -> String {
    let units = making.units();
    let long = units.length(cut.length());
    let names = names(parts, &cut.parts);
    let mut words = match cut.kind {
        SawCutKind::Parting if is_straight(cut) => format!("straight, {long}, between {names}"),
        SawCutKind::Parting => format!("along the marked line, {long}, between {names}"),
        SawCutKind::Trim if is_straight(cut) => format!("straight, {long}: takes waste away"),
        SawCutKind::Trim => format!("along the marked line, {long}: takes waste away"),
        SawCutKind::Relief => {
            format!(
                "straight, {long}, square to the line and not quite to it; stop the saw and lead the work straight back"
            )
        }
        SawCutKind::Outline => along(parts, cut, &long),
        SawCutKind::Facet => format!("straight, {long}, across an outside corner of {names}"),
    };
    let turns = cut.legs.iter().filter(|it| matches!(it, SawLeg::Turned { .. })).count();
    if turns > 0 {
        words.push_str("; in the hole let the blade run free and turn the work about it, then saw on");
    }
    if told.work > Length::ZERO && told.work < SHORT {
        words.push_str("; short work: hold it in a clamp or on a carrier board, fingers well away");
    }
    let small = falls.iter().any(|it| {
        let sides = it.outline.bounds();
        sides.width().max(sides.height()) < SMALL
    });
    if small {
        words.push_str("; leave the small waste until the blade stands still");
    }
    words
}

/// What to set up before cuts in which the work's balance point leaves the table,
/// each with its number and how far; nothing if it never does.
pub(super) fn support(making: &Making, beyond: &[(u32, Length)]) -> Option<String> {
    let far = beyond.iter().map(|it| it.1).max_by(|a, b| a.to_mm().total_cmp(&b.to_mm()))?;
    let cuts: Vec<String> = beyond.iter().map(|it| it.0.to_string()).collect();
    let (cut, its) = if cuts.len() == 1 { ("cut", "its") } else { ("cuts", "their") };
    Some(format!(
        "Set up a stand, or have a second pair of hands, for {cut} {}: {its} work's balance point comes up to {} beyond the table",
        listed(&cuts.iter().map(String::as_str).collect::<Vec<_>>()),
        making.units().length(far)
    ))
}

/// Along a part's line, and what comes away from it on the way.
fn along(parts: &[&Laid], cut: &SawCut, long: &str) -> String {
    let (own, others) = cut.parts.split_at(cut.parts.len().min(1));
    let own = names(parts, own);
    let away = match others {
        [] => String::new(),
        others => format!("; the wood with {} comes away", names(parts, others)),
    };
    if is_closed(cut) {
        format!(
            "along the line of {own}, all round, {long}{away}; the cut ends in its own beginning: stop the saw, then take the part out of the ring of waste through its slit"
        )
    } else {
        format!("along the line of {own}, {long}, and straight on out of the wood{away}")
    }
}

/// `leaf board 1 and paddle 2`.
fn names(parts: &[&Laid], keys: &[PartKey]) -> String {
    let names: Vec<&str> =
        parts.iter().filter(|it| keys.contains(&it.key)).map(|it| it.name.as_str()).collect();
    if names.is_empty() { "the parts".to_owned() } else { listed(&names) }
}

/// `1, 2 and 5`.
fn listed(words: &[&str]) -> String {
    match words {
        [] => String::new(),
        [only] => (*only).to_owned(),
        [rest @ .., last] => format!("{} and {last}", rest.join(", ")),
    }
}

fn is_straight(cut: &SawCut) -> bool {
    matches!(&cut.legs[..], [SawLeg::Sawn { way }] if way.len() == 2)
}

/// Whether a cut's way, or its first place on the line, is met by its end again.
fn is_closed(cut: &SawCut) -> bool {
    let way: Vec<_> = cut.sawn().collect();
    let (Some(begin), Some(end)) = (way.first(), way.last()) else { return false };
    let meets = |other: &outline::Point| {
        way.windows(2).any(|it| {
            let edge = outline::Segment { from: it[0], to: it[1] };
            !it.contains(other) && edge.distance(*other) < CLOSED
        })
    };
    meets(end) || meets(begin)
}

#[cfg(test)]
mod tests {
    use outline::Point;
    use stock::{BladeId, Layout, WantId};

    use super::*;
    use crate::fixture::{brief, layout};

    #[test]
    fn a_line_is_one_parts_and_what_comes_away_is_named_apart() {
        let (brief, way) = (brief(), [[0.0, 0.0], [100.0, 0.0]].map(|[x, y]| Point::new(x, y)));
        let (layout, key) = (layout(&brief), |want| PartKey { want: WantId(want), copy: 1 });
        let laid = Making::new(&brief, &layout).laid_parts();
        let parts: Vec<&Laid> = laid.iter().collect();
        let cut = |parts: &[PartKey]| SawCut {
            kind: SawCutKind::Outline,
            parts: parts.to_vec(),
            blade: BladeId(1),
            legs: vec![SawLeg::Sawn { way: way.to_vec() }],
        };
        let words = |keys: &[PartKey]| along(&parts, &cut(keys), "4 in");
        let (one, other) = (parts[0].name.as_str(), parts[1].name.as_str());
        assert_eq!(
            words(&[key(1)]),
            format!("along the line of {one}, 4 in, and straight on out of the wood")
        );
        assert_eq!(
            words(&[key(2), key(1)]),
            format!(
                "along the line of {other}, 4 in, and straight on out of the wood; the wood with {one} comes away"
            )
        );
    }

    #[test]
    fn a_stand_is_asked_for_once_for_all_cuts_that_need_one() {
        let (brief, layout) = (brief(), Layout::default());
        let making = Making::new(&brief, &layout);
        assert_eq!(support(&making, &[]), None);
        let inches = |it: f64| Length::inches(it);
        let words = support(&making, &[(2, inches(3.5)), (4, inches(11.0))]).unwrap();
        assert!(words.contains("for cuts 2 and 4: "), "{words}");
        assert!(words.ends_with("up to 11 in beyond the table"), "{words}");
        assert!(support(&making, &[(7, inches(1.0))]).unwrap().contains("for cut 7: its"));
    }
}
