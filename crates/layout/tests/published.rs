//! A published packing instance, for an honest figure of how tight layouts are.

mod common;
use common::*;
use layout::judge;
use measure::Length;
use stock::*;

/// One unit of the instance in millimetres: so large that the gap between
/// parts, which the instance does not ask for, takes next to nothing.
const UNIT: f64 = 100.0;
/// The strip's height and the best known length, in units of the instance.
const HEIGHT: f64 = 38.0;
const BEST_KNOWN: f64 = 30.8423;

/// The instance on a strip of this length, in units.
fn strip(length: f64) -> (Brief, f64) {
    let lines = include_str!("data/fu.txt").lines().filter(|line| !line.starts_with('#'));
    let mut patterns = Vec::new();
    let mut wants = Vec::new();
    for (index, line) in lines.enumerate() {
        let mut words = line.split_whitespace();
        let count: u32 = words.next().unwrap().parse().unwrap();
        let corner = |word: &str| {
            let (x, y) = word.split_once(',').unwrap();
            [x.parse::<f64>().unwrap() * UNIT, y.parse::<f64>().unwrap() * UNIT]
        };
        let corners: Vec<[f64; 2]> = words.map(corner).collect();
        let id = index as u32 + 1;
        patterns.push(pattern(id, &format!("piece {id}"), ring(&corners)));
        wants.push(want(id, id, count));
    }
    let area: f64 = patterns
        .iter()
        .zip(&wants)
        .map(|(it, want)| it.outline.area().to_mm2() * f64::from(want.count))
        .sum();
    let mut brief = brief(vec![plank(1, length * UNIT, HEIGHT * UNIT)], patterns, wants);
    brief.kit.allowances.edge = Length::ZERO;
    brief.kit.bandsaw.blades.iter_mut().for_each(|blade| blade.kerf = Length::ZERO);
    (brief, area / (length * HEIGHT * UNIT * UNIT))
}

#[test]
fn all_pieces_of_fu_fit_a_strip_of_five_sixths_density() {
    let (_, best) = strip(BEST_KNOWN);
    assert!((best - 0.924).abs() < 0.0005, "the published density is 92.40 %, not {best}");
    // A plan asks for all parts on the wood at hand, not for the shortest strip;
    // `cargo xtask bench place` measures that.
    let (brief, density) = strip(34.0);
    let found = run(&brief, 8).value;
    assert_eq!(judge(&brief, &found), vec![]);
    assert_eq!((found.placements.len(), found.unplaced.len()), (12, 0), "at a density of {density}");
}
