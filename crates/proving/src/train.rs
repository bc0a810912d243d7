//! Trains the models that weigh faults, on photographs with known truth.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};

use measure::Problem;
use photo::Suspect;
use scene::marks::FaultMark;
use stock::ZoneKind;

use crate::boosted::Boosted;
use crate::judged::{is_same, lies_along, measured, touch, true_faults};
use crate::logistic::Logistic;
use outline::Ring;

/// What was measured of a suspect, and whether it truly is a fault of its kind.
pub(crate) struct Lesson {
    pub(crate) traits: Vec<f64>,
    pub(crate) is_fault: bool,
}

/// A model that was learned from lessons.
pub(crate) trait Learned {
    /// How sure it is that what has these traits is a fault, from 0 to 1.
    fn sure(&self, traits: &[f64]) -> f64;

    /// As the table holds it.
    fn written(&self, name: &str) -> String;
}

/// Where the table is kept.
const TABLE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../photo/src/faults/model/table.rs");

/// With fewer faults, or fewer others, no model is learned.
const LEAST: usize = 10;
/// From so many faults on trees learn better than a logistic model does.
const ENOUGH: usize = 400;

/// Learns from every picture, and writes the table of weights.
pub(crate) fn train(pictures: &[PathBuf]) -> Result<(), Problem> {
    let mut lessons = BTreeMap::<ZoneKind, Vec<Lesson>>::new();
    for picture in pictures {
        for (kind, lesson) in lessons_of(picture)? {
            lessons.entry(kind).or_default().push(lesson);
        }
    }
    let mut table = HEAD.to_owned();
    let mut arms = String::new();
    for (kind, lessons) in &lessons {
        let faults = lessons.iter().filter(|it| it.is_fault).count();
        println!("{}: {} spots, of which {faults} are", kind.word(), lessons.len());
        if faults < LEAST || lessons.len() - faults < LEAST {
            continue;
        }
        let (model, form): (Box<dyn Learned>, &str) = if faults < ENOUGH {
            (Box::new(Logistic::learn(lessons)), "Weights")
        } else {
            (Box::new(Boosted::grow(lessons)), "Trees")
        };
        tell(&*model, lessons);
        let name = format!("{kind:?}").to_uppercase();
        let _ = writeln!(arms, "        ZoneKind::{kind:?} => Some(Model::{form}(&{name})),");
        table.push_str(&model.written(&name));
    }
    let _ = write!(table, "{MATCH}{arms}        _ => None,\n    }}\n}}\n");
    fs::write(TABLE, table).map_err(|it| Problem::new(format!("{TABLE}: {it}")))
}

const HEAD: &str = "//! Written by `cargo run --release -p proving -- --train`: not to be changed by hand.

use stock::ZoneKind;

use super::{Model, Tree, Trees, Weights};
";
const MATCH: &str = "
/// The model of a kind, if one was trained.
pub(super) fn of(kind: ZoneKind) -> Option<Model> {
    match kind {
";

fn lessons_of(picture: &Path) -> Result<Vec<(ZoneKind, Lesson)>, Problem> {
    let it = measured(picture)?;
    let Ok(found) = it.found else { return Ok(Vec::new()) };
    let faults = true_faults(&found, &it.marks);
    let lesson = |suspect: &Suspect| {
        let is_fault = is_it(suspect, &faults);
        // What touches another fault is neither right nor wrong.
        let unclear = !is_fault && faults.iter().any(|it| touch(&suspect.area, &it.1));
        (!unclear).then(|| (suspect.kind, Lesson { traits: suspect.traits.clone(), is_fault }))
    };
    Ok(found.suspects.iter().filter_map(lesson).collect())
}

fn is_it(suspect: &Suspect, faults: &[(&FaultMark, Ring)]) -> bool {
    faults.iter().filter(|it| it.0.kind == suspect.kind).any(|(_, truth)| match suspect.kind {
        ZoneKind::Check => lies_along(&suspect.area, truth),
        ZoneKind::Wane | ZoneKind::Stain => touch(&suspect.area, truth),
        _ => is_same(&suspect.area, truth),
    })
}

/// How it does on its own lessons: recall and wrong ones at one half, and
/// how true its sureness is.
fn tell(model: &dyn Learned, lessons: &[Lesson]) {
    let judged: Vec<(f64, bool)> = lessons.iter().map(|it| (model.sure(&it.traits), it.is_fault)).collect();
    let (mut right, mut all, mut wrong) = (0, 0, 0);
    for &(sure, is_fault) in &judged {
        all += usize::from(is_fault);
        right += usize::from(is_fault && sure >= 0.5);
        wrong += usize::from(!is_fault && sure >= 0.5);
    }
    println!("  at one half: {right} of {all} found, {wrong} wrong");
    for tenth in 0..5 {
        let (low, high) = (f64::from(tenth) * 0.2, f64::from(tenth) * 0.2 + 0.2);
        let within = judged.iter().filter(|it| it.0 >= low && it.0 < high + 1e-12);
        let (count, are) = within.fold((0, 0), |sum, it| (sum.0 + 1, sum.1 + usize::from(it.1)));
        println!("  sure {low:.1} to {high:.1}: {are} of {count}");
    }
}
