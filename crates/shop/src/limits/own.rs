//! What a shop's own woods, finishes and glues may hold.

use handbook::{Fact, Finish, Glue, Layer, OwnRows, Species};
use measure::{Minutes, Problem};

use super::{entries, name, number, own_ids, text};

/// The most coats of a layer, and layers of a finish.
const MOST_COATS: usize = 20;

/// The longest time that a table may name: two years.
const LONGEST_DAYS: f64 = 730.0;

/// # Errors
/// Says which value of which row is out of its range.
pub(super) fn check(it: &OwnRows) -> Result<(), Problem> {
    entries("own woods", it.species.len())?;
    entries("own layers of finish", it.layers.len())?;
    entries("own finishes", it.finishes.len())?;
    entries("own glues", it.glues.len())?;
    own_ids("the wood", it.species.iter().map(|row| &row.key))?;
    own_ids("the layer", it.layers.iter().map(|row| &row.key))?;
    own_ids("the finish", it.finishes.iter().map(|row| &row.key))?;
    own_ids("the glue", it.glues.iter().map(|row| &row.key))?;
    it.species.iter().try_for_each(|row| wood(row).map_err(|why| why.within(&row.name)))?;
    it.layers.iter().try_for_each(|row| layer(row).map_err(|why| why.within(&row.name)))?;
    it.finishes.iter().try_for_each(|row| finish(it, row).map_err(|why| why.within(&row.name)))?;
    it.glues.iter().try_for_each(|row| glue(row).map_err(|why| why.within(&row.name)))
}

/// A key is a word that can stand in an address.
fn key(it: &str) -> Result<(), Problem> {
    let fits = |letter: char| letter.is_ascii_lowercase() || letter.is_ascii_digit() || letter == '_';
    if it.is_empty() || it.len() > 60 || !it.chars().all(fits) {
        let message = format!("“{it}” is no key: expected 1 to 60 of a to z, 0 to 9 and _");
        return Err(Problem::new(message).hint("write it like tabled keys: black_walnut"));
    }
    Ok(())
}

fn fact(what: &str, it: Option<&Fact<impl Into<f64> + Copy>>, least: f64, most: f64) -> Result<(), Problem> {
    let Some(it) = it else { return Ok(()) };
    text("a source", &it.source)?;
    text("a note", it.note.as_deref().unwrap_or_default())?;
    number(what, it.value.into(), least, most)
}

fn wood(it: &Species) -> Result<(), Problem> {
    key(&it.key.0)?;
    name("the wood's name", &it.name)?;
    for words in [&it.latin, &it.dust, &it.heartwood, &it.sapwood].into_iter().flatten() {
        text("a fact", &words.value)?;
        text("a source", &words.source)?;
    }
    // The lightest wood is near 0.1, the heaviest near 1.3; solid wall is 1.5.
    fact("the specific gravity", it.specific_gravity.as_ref(), 0.05, 1.5)?;
    fact("the specific gravity, green", it.specific_gravity_green.as_ref(), 0.05, 1.5)?;
    fact("the density in kg/m³", it.density.as_ref(), 50.0, 1600.0)?;
    let strengths = [
        &it.rupture,
        &it.rupture_green,
        &it.compression_along,
        &it.compression_across,
        &it.tension_across,
        &it.shear,
    ];
    for strength in strengths {
        fact("a strength in MPa", strength.as_ref(), 0.01, 400.0)?;
    }
    fact("the stiffness in MPa", it.elasticity.as_ref(), 100.0, 60_000.0)?;
    fact("the hardness in newtons", it.side_hardness.as_ref(), 50.0, 40_000.0)?;
    for shrinkage in [&it.shrinkage_radial, &it.shrinkage_tangential, &it.shrinkage_volumetric] {
        fact("a shrinkage in percent", shrinkage.as_ref(), 0.1, 30.0)?;
    }
    for coefficient in [&it.coefficient_radial, &it.coefficient_tangential] {
        fact("a movement per 1 %", coefficient.as_ref(), 0.0001, 0.01)?;
    }
    fact("the fibre saturation in percent", it.fibre_saturation.as_ref(), 15.0, 40.0)
}

fn layer(it: &Layer) -> Result<(), Problem> {
    key(&it.key.0)?;
    name("the layer's name", &it.name)?;
    text("what it suits", &it.food_note)?;
    text("how it is thinned", it.thinned.as_deref().unwrap_or_default())?;
    text("what is in it", it.tell.as_deref().unwrap_or_default())?;
    number("the months until it is renewed", f64::from(it.renew.unwrap_or(1)), 1.0, 240.0)?;
    text("its source", &it.source)?;
    number("the coats", f64::from(it.coats), 1.0, MOST_COATS as f64)?;
    number("square metres to a litre", it.coverage, 0.1, 200.0)?;
    number("minutes of hands for a square metre", it.hands, 0.0, 600.0)?;
    for (what, time) in
        [("days to the next coat", it.recoat), ("days to handling", it.handle), ("days to food", it.food)]
    {
        days(what, time)?;
    }
    for caution in &it.cautions {
        handbook::caution(caution)?;
    }
    Ok(())
}

fn finish(all: &OwnRows, it: &Finish) -> Result<(), Problem> {
    key(&it.key.0)?;
    name("the finish's name", &it.name)?;
    text("how it is kept", &it.care)?;
    number("the layers", it.layers.len() as f64, 1.0, MOST_COATS as f64)?;
    all.coats(it).map(|_| ())
}

fn glue(it: &Glue) -> Result<(), Problem> {
    key(&it.key.0)?;
    name("the glue's name", &it.name)?;
    text("what water does to it", &it.water)?;
    text("what is known of food", &it.food)?;
    text("its source", &it.source)?;
    for (what, time) in [
        ("days open", it.open),
        ("days to full pressure", it.closed),
        ("days in clamps", it.clamp),
        ("days to machining", it.machine),
        ("days to full strength", it.full),
    ] {
        days(what, time)?;
    }
    number("grams on a square metre", it.spread, 1.0, 2000.0)?;
    number("grams in a litre", it.grams_per_litre, 100.0, 3000.0)?;
    for pressure in [it.pressure_medium, it.pressure_dense] {
        number("the pressure in MPa", pressure.to_mpa(), 0.0, 10.0)?;
    }
    number("the coldest in °C", it.coldest.to_celsius(), -20.0, 60.0)?;
    fact("the driest wood in percent", it.driest.as_ref(), 0.0, 40.0)?;
    fact("the wettest wood in percent", it.wettest.as_ref(), 0.0, 40.0)?;
    for caution in &it.cautions {
        handbook::caution(caution)?;
    }
    Ok(())
}

fn days(what: &str, it: Minutes) -> Result<(), Problem> {
    number(what, it.to_minutes() / 1440.0, 0.0, LONGEST_DAYS)
}

#[cfg(test)]
mod tests {
    use handbook::{Confidence, FinishKey, LayerKey, SpeciesKey, all_layers, all_species};

    use super::*;

    #[test]
    fn tabled_rows_pass_as_a_shops_own() {
        let own = OwnRows {
            species: all_species().to_vec(),
            layers: all_layers().to_vec(),
            finishes: handbook::all_finishes().to_vec(),
            glues: handbook::all_glues().to_vec(),
        };
        check(&own).unwrap();
        assert_eq!(own.all_species().count(), all_species().len(), "each stands in its own place");
    }

    #[test]
    fn rows_that_cannot_be_are_told_by_name_and_range() {
        let told = |own: OwnRows| check(&own).unwrap_err().to_string();
        let plum =
            || Species { key: SpeciesKey::from("plum"), name: "plum".to_owned(), ..all_species()[0].clone() };
        let heavy = Fact {
            value: 9.0,
            printed: None,
            source: "the kitchen scales".to_owned(),
            confidence: Confidence::Own,
            note: None,
        };
        let wood = Species { specific_gravity: Some(heavy), ..plum() };
        let told_of = told(OwnRows { species: vec![wood], ..OwnRows::default() });
        assert!(told_of.contains("plum") && told_of.contains("specific gravity"), "{told_of}");
        let wood = Species { key: SpeciesKey::from("../plum"), ..plum() };
        assert!(told(OwnRows { species: vec![wood], ..OwnRows::default() }).contains("no key"));
        let twice = OwnRows { species: vec![plum(), plum()], ..OwnRows::default() };
        assert_eq!(told(twice), "the wood plum is there twice (give each a number of its own)");
        let finish = Finish {
            key: FinishKey::from("ours"),
            name: "ours".to_owned(),
            layers: vec![LayerKey::from("lard")],
            care: String::new(),
        };
        assert!(told(OwnRows { finishes: vec![finish], ..OwnRows::default() }).contains("lard"));
    }
}
