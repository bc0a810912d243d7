//! What a document may hold, checked before it is kept.

mod own;

use std::collections::BTreeSet;

use handbook::OwnRows;
use jiff::civil::Date;
use measure::{Length, Problem};
use stock::{Brief, Climate, Face, FeatureKind, Job, Machines, Panel, Pattern, Piece, Price, ShopKit};

/// The longest name or note.
pub(crate) const LONGEST_TEXT: usize = 300;
/// The most zones of a face, features of a pattern, wants,
/// panels and pins of a job, blades, clamps and people of a shop.
const MOST_ENTRIES: usize = 500;
/// The most grain samples of a face: a photographed one has one in each square
/// of a few centimetres, and the maker adds some.
const MOST_GRAIN: usize = 4000;
/// No piece or part is thicker.
const THICKEST: Length = Length::mm(1000.0);
const LONGEST: Length = Length::mm(30_000.0);

/// # Errors
/// Says which value is out of its range, and what the range is.
pub(crate) fn check_piece(it: &Piece, facts: &OwnRows) -> Result<(), Problem> {
    name("the piece's name", &it.name)?;
    text("the piece's place", &it.place)?;
    between("the thickness", it.thickness, THICKEST)?;
    if let Some(reading) = it.moisture {
        // Green wood may hold more than twice its own weight of water (Wood Handbook, table 4-1).
        number("the moisture in percent", reading.moisture.to_percent(), 0.0, 300.0)?;
    }
    if let Some(Price::BoardFoot(amount) | Price::Whole(amount)) = it.price {
        number("the price", amount.to_units(), 0.0, 1e9)?;
    }
    it.faces().try_for_each(check_face)?;
    if let Some(far) = &it.far_face {
        entries("marks on both faces", far.marks.len())?;
    }
    facts.wood(&it.species).map(|_| ())
}

fn check_face(it: &Face) -> Result<(), Problem> {
    number("the doubt of the lengths", it.doubt, 0.0, 1.0)?;
    entries("zones", it.zones.len())?;
    entries("faults to look at", it.candidates.len())?;
    let ids = it.zones.iter().map(|zone| zone.id).chain(it.candidates.iter().map(|it| it.id));
    own_ids("zone", ids)?;
    at_most("grain directions", it.grain.samples.len(), MOST_GRAIN)?;
    for candidate in &it.candidates {
        number("the sureness of a fault", candidate.sure, 0.0, 1.0)?;
    }
    it.zones.iter().try_for_each(|zone| text("the zone's note", &zone.note))
}

/// # Errors
/// Says which value is out of its range, and what the range is.
pub(crate) fn check_pattern(it: &Pattern) -> Result<(), Problem> {
    name("the pattern's name", &it.name)?;
    entries("features", it.features.len())?;
    own_ids("feature", it.features.iter().map(|feature| feature.id))?;
    for feature in &it.features {
        match feature.kind {
            FeatureKind::Stem { axis, .. } => between("the stem's length", axis.length(), LONGEST)?,
            FeatureKind::FoodArea { .. } | FeatureKind::LiveEdge { .. } => (),
            FeatureKind::Hollow { depth, wall, .. } => {
                between("the hollow's depth", depth, THICKEST)?;
                if !(5.0..=90.0).contains(&wall.to_degrees()) {
                    let found = wall.to_degrees();
                    return Err(Problem::new(format!(
                        "the hollow's wall slopes {found}°; expected 5° to 90°"
                    )));
                }
            }
            FeatureKind::HangingHole { diameter, .. } => between("the hole's diameter", diameter, THICKEST)?,
            FeatureKind::FootSeat { length, width, height, .. } => {
                between("the foot's length", length, THICKEST)?;
                between("the foot's width", width, THICKEST)?;
                between("the foot's height", height, THICKEST)?;
            }
            FeatureKind::Batten { length, width, height, .. } => {
                between("the batten's length", length, LONGEST)?;
                between("the batten's width", width, THICKEST)?;
                between("the batten's height", height, THICKEST)?;
            }
            FeatureKind::Handle { apart, screw, .. } => {
                between("the distance of the handle's screws", apart, LONGEST)?;
                between("the handle's screws", screw, THICKEST)?;
            }
            FeatureKind::Pocket { diameter, depth, .. } => {
                between("the pocket's diameter", diameter, THICKEST)?;
                between("the pocket's depth", depth, THICKEST)?;
            }
        }
    }
    Ok(())
}

/// # Errors
/// Says which value is out of its range, and what the range is.
pub(crate) fn check_job(it: &Job) -> Result<(), Problem> {
    name("the job's name", &it.name)?;
    entries("wants", it.wants.len())?;
    entries("panels", it.panels.len())?;
    entries("pins", it.choices.pins.len())?;
    entries("pieces", it.pieces.len())?;
    entries("people", it.people.len())?;
    entries("blades", it.choices.blades.len())?;
    entries("kinds of zone", it.choices.allowed_zones.len())?;
    entries("sets", it.choices.sets.len())?;
    it.choices.sets.iter().try_for_each(|set| entries("wants of a set", set.wants.len()))?;
    entries("figures to be shown", it.choices.shows.len())?;
    own_ids("want", it.wants.iter().map(|want| want.id))?;
    own_ids("panel", it.panels.iter().map(|panel| panel.id))?;
    for want in &it.wants {
        between("the finished thickness", want.thickness, THICKEST)?;
        if want.count > Brief::MOST_PARTS {
            return Err(Problem::new(format!(
                "{} parts wanted; at most {} are planned",
                want.count,
                Brief::MOST_PARTS
            )));
        }
    }
    for panel in &it.panels {
        check_panel(panel)?;
    }
    let dates = Date::constant(2000, 1, 1)..=Date::constant(2199, 12, 31);
    if !dates.contains(&it.due) {
        return Err(Problem::new(format!("the day is {}; expected one from 2000 to 2199", it.due)));
    }
    check_air("the room's air", it.home)
}

/// The air that the tables of moisture are good for.
fn check_air(what: &str, it: Climate) -> Result<(), Problem> {
    let (humidity, warmth) = (it.humidity.to_percent(), it.temperature.to_celsius());
    if !(0.0..=100.0).contains(&humidity) {
        return Err(Problem::new(format!("{what} has {humidity} % humidity; expected 0 to 100")));
    }
    if !(-30.0..=60.0).contains(&warmth) {
        return Err(Problem::new(format!("{what} has {warmth} °C; expected -30 to 60")));
    }
    Ok(())
}

fn check_machines(it: &ShopKit) -> Result<(), Problem> {
    let far = Length::mm(10_000.0);
    between("the bandsaw's throat", it.bandsaw.throat, far)?;
    between("the bandsaw's height", it.bandsaw.height, far)?;
    between("the bandsaw's wheel", it.bandsaw.wheel, far)?;
    between("the jointer's width", it.machines.jointer_width, far)?;
    between("the planer's width", it.machines.planer_width, far)?;
    check_least(&it.machines, far)?;
    between("the straight saw's kerf", it.machines.straight_kerf, Length::mm(20.0))?;
    between("the widest bit", it.machines.widest_bit, far)?;
    if let Some(caul) = it.caul {
        between("the depth of the cauls", caul, Length::mm(500.0))?;
    }
    for clamp in &it.clamps {
        name("the clamp's name", &clamp.name)?;
        between("the clamp's reach", clamp.reach, far)?;
        number("the clamp's force in newtons", clamp.force.to_newtons(), 1.0, 1e6)?;
        number("the number of clamps", f64::from(clamp.count), 0.0, 10_000.0)?;
    }
    let left_on = it.allowances;
    for (what, length) in [
        ("the way kept from edges", left_on.edge),
        ("the planing allowance", left_on.planing),
        ("the sanding allowance", left_on.sanding),
        ("the jointing allowance", left_on.joint),
        ("the trimming allowance", left_on.trim),
        ("the smallest offcut", left_on.keep_offcut),
    ] {
        number(&format!("{what} in mm"), length.to_mm(), 0.0, 1000.0)?;
    }
    it.clear_of.iter().try_for_each(|(kind, way)| {
        number(&format!("the way kept from {} in mm", kind.word()), way.to_mm(), 0.0, 1000.0)
    })
}

/// What is too small or too wide for the machines.
fn check_least(it: &Machines, far: Length) -> Result<(), Problem> {
    between("the shortest feed", it.shortest_feed, far)?;
    between("the narrowest feed", it.narrowest_feed, far)?;
    between("the thinnest feed", it.thinnest_feed, far)?;
    between("the shortest rip", it.shortest_rip, far)?;
    between("the narrowest rip", it.narrowest_rip, far)?;
    between("the shortest crosscut", it.shortest_crosscut, far)?;
    it.sled_width.map_or(Ok(()), |width| between("the sled's width", width, far))
}

fn check_prices(it: &ShopKit) -> Result<(), Problem> {
    text("the sign of the money", &it.currency)?;
    let prices = it.prices;
    for (what, amount) in [
        ("the price of an hour", prices.hour),
        ("the price of finish", prices.finish_litre),
        ("the price of glue", prices.glue_litre),
        ("the price of abrasive", prices.abrasive),
        ("the price of a screw", prices.screw),
    ] {
        number(what, amount.to_units(), 0.0, 1e9)?;
    }
    number("the margin in percent", prices.margin_percent, 0.0, 10_000.0)
}

fn check_panel(it: &Panel) -> Result<(), Problem> {
    name("the panel's name", &it.name)?;
    between("the panel's length", it.length, Length::mm(10_000.0))?;
    between("the panel's thickness", it.thickness, THICKEST)?;
    let strips = it.runs.iter().fold(0, |sum: u32, run| sum.saturating_add(run.count));
    if strips > Panel::MOST_STRIPS {
        return Err(Problem::new(format!(
            "{strips} strips in a panel; at most {} are glued",
            Panel::MOST_STRIPS
        )));
    }
    it.runs.iter().try_for_each(|run| between("the strip's width", run.width, THICKEST))
}

/// # Errors
/// Says which value is out of its range, and what the range is.
pub(crate) fn check_kit(it: &ShopKit) -> Result<(), Problem> {
    name("the shop's name", &it.name)?;
    entries("blades", it.bandsaw.blades.len())?;
    entries("clamps", it.clamps.len())?;
    entries("people", it.people.len())?;
    entries("closed days", it.closed.len())?;
    if it.bandsaw.blades.is_empty() {
        return Err(Problem::new("the bandsaw has no blade").hint("keep at least one"));
    }
    if it.people.is_empty() {
        return Err(Problem::new("nobody works in the shop").hint("keep at least one person"));
    }
    own_ids("blade", it.bandsaw.blades.iter().map(|blade| blade.id))?;
    own_ids("person", it.people.iter().map(|person| person.id))?;
    check_machines(it)?;
    own::check(&it.own)?;
    check_prices(it)?;
    check_air("the shop's air", it.air)?;
    for blade in &it.bandsaw.blades {
        between("the blade's width", blade.width, Length::mm(100.0))?;
        between("the blade's kerf", blade.kerf, Length::mm(20.0))?;
        number("the blade's teeth in an inch", blade.teeth_per_inch, 0.1, 100.0)?;
    }
    for person in &it.people {
        text("the person's name", &person.name)?;
        if let Some(day) = person.week.iter().flatten().find(|day| day.from >= day.to) {
            let message = format!("{} works from {} to {}", person.name, day.from, day.to);
            return Err(Problem::new(message).hint("let the day end after it begins"));
        }
    }
    Ok(())
}

fn name(what: &str, it: &str) -> Result<(), Problem> {
    if it.trim().is_empty() {
        return Err(Problem::new(format!("{what} is empty")).hint("give it a name"));
    }
    text(what, it)
}

fn text(what: &str, it: &str) -> Result<(), Problem> {
    let long = it.chars().count();
    if long > LONGEST_TEXT {
        return Err(Problem::new(format!("{what} has {long} letters; at most {LONGEST_TEXT} are kept")));
    }
    Ok(())
}

fn entries(what: &str, count: usize) -> Result<(), Problem> {
    at_most(what, count, MOST_ENTRIES)
}

fn at_most(what: &str, count: usize, most: usize) -> Result<(), Problem> {
    if count > most {
        return Err(Problem::new(format!("{count} {what}; at most {most} are kept")));
    }
    Ok(())
}

/// Changes and places name a thing by its id; two with the same one would be taken for each other.
fn own_ids<I: Ord + Copy + std::fmt::Display>(
    what: &str,
    ids: impl Iterator<Item = I>,
) -> Result<(), Problem> {
    let mut seen = BTreeSet::new();
    let mut ids = ids;
    match ids.find(|&id| !seen.insert(id)) {
        Some(id) => {
            Err(Problem::new(format!("{what} {id} is there twice")).hint("give each a number of its own"))
        }
        None => Ok(()),
    }
}

pub(crate) fn number(what: &str, it: f64, least: f64, most: f64) -> Result<(), Problem> {
    if (least..=most).contains(&it) {
        return Ok(());
    }
    Err(Problem::new(format!("{what} is {it}; expected {least} to {most}")))
}

pub(crate) fn between(what: &str, it: Length, most: Length) -> Result<(), Problem> {
    if it > Length::ZERO && it <= most {
        return Ok(());
    }
    let (found, most) = (it.to_mm(), most.to_mm());
    Err(Problem::new(format!("{what} is {found} mm; expected more than 0 and at most {most} mm")))
}

#[cfg(test)]
mod tests {
    use super::*;
    use measure::{Money, Temperature};

    #[test]
    fn a_shop_to_start_from_is_within_every_limit() {
        check_kit(&ShopKit::starting()).unwrap();
    }

    #[test]
    fn values_out_of_range_are_told_with_their_range() {
        let told = |alter: fn(&mut ShopKit)| {
            let mut kit = ShopKit::starting();
            alter(&mut kit);
            check_kit(&kit).expect_err("out of range").message
        };
        assert_eq!(
            told(|it| it.prices.hour = Money::units(-5.0)),
            "the price of an hour is -5; expected 0 to 1000000000"
        );
        assert!(told(|it| it.bandsaw.throat = Length::ZERO).contains("throat is 0 mm; expected more than 0"));
        assert!(told(|it| it.air.temperature = Temperature::celsius(400.0)).contains("expected -30 to 60"));
        assert!(told(|it| it.people.clear()).contains("nobody works"));
        assert!(told(|it| it.bandsaw.blades.clear()).contains("no blade"));
        let twice = |it: &mut ShopKit| it.bandsaw.blades.push(it.bandsaw.blades[1].clone());
        assert_eq!(told(twice), "blade 2 is there twice");
        assert!(told(|it| it.bandsaw.blades[0].teeth_per_inch = -4.0).contains("teeth"));
    }
}
