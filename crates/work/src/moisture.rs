//! Whether the wood is as dry as the room it will live in.

use handbook::{Cut, cup, equilibrium_moisture, movement, percent, resting};
use measure::{Figure, Length, Minutes, Moisture};
use outline::Ring;
use stock::{FaceKey, Finding, Grade, Mending, Piece, Spot};

use crate::machining::used_pieces;
use crate::making::Making;

/// A piece may be this far from the moisture that it will come to (common
/// practice, no source).
const OFF: Moisture = Moisture::percent(2.0);

/// A heated house swings so far from winter to summer (common practice, no source).
pub(crate) const SWING: Moisture = Moisture::percent(4.0);

/// The middle of it where the home's air lies outside of the tables.
const MIDDLE: Moisture = Moisture::percent(9.0);

/// Where the pith of a flat-sawn board is taken to lie, as nobody has measured
/// it (estimate: the middle of a board out of a log of usual size).
pub(crate) const PITH: Length = Length::mm(100.0);

/// The moisture of a board in its home in winter and in summer.
pub(crate) fn year(making: &Making) -> (Moisture, Moisture) {
    let home = making.brief.job.home;
    let mean = equilibrium_moisture(home.temperature, home.humidity).unwrap_or(MIDDLE);
    (mean - SWING / 2.0, mean + SWING / 2.0)
}

/// Compares every used piece with the moisture that its boards will come to.
pub(crate) fn pieces(making: &mut Making) {
    let home = making.brief.job.home;
    let then = match equilibrium_moisture(home.temperature, home.humidity) {
        Ok(then) => then,
        Err(problem) => return making.cannot(Spot::Job, &problem),
    };
    for id in used_pieces(making) {
        let Ok(piece) = making.brief.piece(id) else { continue };
        let width = widest(making, piece);
        match piece.moisture {
            Some(reading) => compare(making, piece, width, reading.moisture, then),
            None => making.find(unknown(making, piece, then)),
        }
    }
}

/// How far it reaches across the grain, the widest part or strip of a piece.
fn widest(making: &Making, piece: &Piece) -> Length {
    let face = FaceKey::Piece(piece.id);
    let grain = piece.face.grain.overall;
    let parts = making.layout.placements.iter().filter(|it| it.face == face);
    let strips = making.layout.strips.iter().filter(|it| it.piece == piece.id);
    let rings = parts.map(|it| it.outline.outer()).chain(strips.map(|it| it.outline.outer()));
    rings.map(|ring| across(ring, grain)).fold(Length::ZERO, Length::max)
}

/// How far a ring reaches across a direction.
pub(crate) fn across(ring: &Ring, grain: measure::Angle) -> Length {
    let (sin, cos) = (grain.sin(), grain.cos());
    let heights = ring.corners().iter().map(|it| it.y * cos - it.x * sin);
    let (low, high) =
        heights.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), it| (low.min(it), high.max(it)));
    Length::mm(high - low)
}

fn compare(making: &mut Making, piece: &Piece, width: Length, now: Moisture, then: Moisture) {
    let Ok(wood) = making.brief.facts().wood(&piece.species) else { return };
    if (now - then).abs() <= OFF {
        return;
    }
    let units = making.units();
    let home = making.brief.job.home;
    let moved = movement(wood, Cut::FlatSawn, width, now, then);
    let near = then + if now > then { OFF } else { -OFF };
    let borne = movement(wood, Cut::FlatSawn, width, near, then).change;
    let (least, most) = resting(piece.thickness, now, then, OFF);
    let lies = format!("about {} to {}", days(least), days(most));
    let cups = cup(wood, width, PITH, now, then);
    let (state, does, mending) = if now > then {
        ("wetter", "shrink", "sticker it in the shop until the meter shows no more than")
    } else {
        ("drier", "swell", "let it lie in the shop's air until the meter shows at least")
    };
    making.find(Finding {
        grade: Grade::Mend,
        rule: "moisture off".to_owned(),
        what: format!(
            "{} is {state} than its home: {} now, {} there; {} across the grain will {does} by {}",
            piece.name,
            percent(now),
            percent(then),
            units.length(width),
            units.fine_length(moved.change.abs())
        ),
        spot: Spot::Piece { piece: piece.id },
        figure: moved
            .figure(units)
            .from("home, temperature", units.temperature(home.temperature))
            .from("home, relative humidity", percent(home.humidity))
            .from(
                format!("edges over the middle, were the pith {} away", units.length(PITH)),
                units.fine_length(cups),
            )
            .from("rest until it may be sawn", format!("{lies} (estimate from the thickness)")),
        limit: format!("{} (for {} of moisture)", units.fine_length(borne), percent(OFF)),
        why: "wood that dries or swells after it is made cups, cracks and opens its joints".to_owned(),
        mendings: vec![Mending::by_hand(format!("{mending} {}; {lies}", percent(near)))],
    });
}

/// Whole days, rounded up: `9 days`.
fn days(it: Minutes) -> String {
    let days = (it.to_minutes() / 1440.0).ceil();
    if days == 1.0 { "1 day".to_owned() } else { format!("{days:.0} days") }
}

fn unknown(making: &Making, piece: &Piece, then: Moisture) -> Finding {
    let home = making.brief.job.home;
    Finding {
        grade: Grade::Note,
        rule: "moisture not measured".to_owned(),
        what: format!("nobody has measured how dry {} is; it will come to {}", piece.name, percent(then)),
        spot: Spot::Piece { piece: piece.id },
        figure: Figure::new("moisture that it will come to", percent(then))
            .by("equilibrium with the air of its home", "Wood Handbook FPL-GTR-282, eq. 4-5")
            .from("temperature", making.units().temperature(home.temperature))
            .from("relative humidity", percent(home.humidity)),
        limit: format!("{} to {}", percent(then - OFF), percent(then + OFF)),
        why: "only the meter says whether it may be sawn yet".to_owned(),
        mendings: vec![Mending::by_hand("measure it in three places and write the reading on the piece")],
    }
}

#[cfg(test)]
mod tests {
    use measure::{Angle, Moisture, Temperature};

    use super::across;
    use crate::fixture::{SLAB, brief, ring, routed, told};

    #[test]
    fn wet_wood_is_told_with_its_movement() {
        // 21 °C and 50 %: 9.2 % (Wood Handbook table 4-2, 70 °F). Walnut, the
        // tangential coefficient 0.00274 (table 13-5): 200 mm · 0.00274 · (13 − 9.2)
        // = 2.08 mm.
        let mut brief = brief();
        assert!(told(&routed(&brief), "moisture off").is_empty());
        let slab = brief.pieces.iter_mut().find(|it| it.id == SLAB).unwrap();
        slab.moisture.as_mut().unwrap().moisture = Moisture::percent(13.0);
        brief.kit.units = measure::Units::MILLIMETRES;
        let route = routed(&brief);
        let [finding] = told(&route, "moisture off")[..] else { panic!("{:?}", route.findings) };
        let moved: f64 = finding.figure.value.trim_end_matches(" mm").parse().unwrap();
        assert!((moved + 2.08).abs() < 0.04, "{}", finding.figure.value);
        assert!(finding.mendings[0].label.contains("days"), "{:?}", finding.mendings);
    }

    #[test]
    fn an_unmeasured_piece_is_noted_and_a_home_outside_of_the_table_is_told() {
        let mut brief = brief();
        assert!(told(&routed(&brief), "moisture not measured").is_empty());
        brief.pieces[0].moisture = None;
        assert_eq!(told(&routed(&brief), "moisture not measured").len(), 1);
        brief.job.home.temperature = Temperature::celsius(400.0);
        assert_eq!(told(&routed(&brief), "cannot be worked out").len(), 1);
    }

    #[test]
    fn across_the_grain_is_square_to_it() {
        let ring = ring(&[[0.0, 0.0], [30.0, 0.0], [30.0, 10.0], [0.0, 10.0]]);
        assert!((across(&ring, Angle::ZERO).to_mm() - 10.0).abs() < 1e-9);
        assert!((across(&ring, Angle::degrees(90.0)).to_mm() - 30.0).abs() < 1e-9);
    }
}
