//! The towns' moistures, against an older table and against the equation.

use handbook::*;
use measure::{Moisture, Temperature};

use crate::{number, rows};

/// FPL-RN-268 (1998), also Wood Handbook table 13-1 (from memory), on older
/// climate normals: they differ by less than a point in a mean year. Los
/// Angeles and Denver were measured at other stations, and are left out.
#[test]
fn towns_meet_the_older_table() {
    let mut compared = 0;
    for row in rows(include_str!("cities_1998.csv")) {
        let (town, state) = row[0].rsplit_once(' ').unwrap();
        if ["Los Angeles", "Denver"].contains(&town) {
            continue;
        }
        let city = all_cities().iter().find(|it| it.name == format!("{town}, {state}")).unwrap();
        for (month, old) in city.months.iter().zip(&row[1..]) {
            assert!((month.to_percent() - number(old)).abs() < 1.0, "{}: {month:?}, {old}", city.name);
        }
        compared += 1;
    }
    assert_eq!(compared, 5);
}

/// Anywhere between a desert's summer and a wet coast's winter.
#[test]
fn every_town_is_there_once_and_within_what_air_can_do() {
    let mut names: Vec<&str> = all_cities().iter().map(|it| it.name.as_str()).collect();
    names.sort_unstable();
    names.dedup();
    assert_eq!((names.len(), all_cities().len()), (36, 36));
    let at =
        |humidity| equilibrium_moisture(Temperature::celsius(15.0), Moisture::percent(humidity)).unwrap();
    let (driest, dampest) = (at(10.0), at(90.0));
    for city in all_cities() {
        assert!(city.months.iter().all(|it| *it > driest && *it < dampest), "{city:?}");
    }
}
