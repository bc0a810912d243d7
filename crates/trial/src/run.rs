//! Runs instances one after the other, and tells what came of them.

use std::fs;
use std::path::PathBuf;
use std::sync::Mutex;
use std::time::Instant;

use measure::{Length, Problem};
use nest::{Bed, Filling, Lying, Task, fill, shortest_strip};

use crate::instance::{Aim, Face, Instance, Known};
use crate::{picture, verdict};

/// All instances of a study.
pub(crate) struct Study {
    seconds: f64,
    seed: u64,
    rejected: usize,
    densities: Vec<f64>,
    peer_ratios: Vec<f64>,
    gaps: Vec<f64>,
    cut_ratios: Vec<f64>,
    face_ratios: Vec<f64>,
}

impl Study {
    pub(crate) fn new(seconds: f64, seed: u64) -> Study {
        Study {
            seconds,
            seed,
            rejected: 0,
            densities: Vec::new(),
            peer_ratios: Vec::new(),
            gaps: Vec::new(),
            cut_ratios: Vec::new(),
            face_ratios: Vec::new(),
        }
    }

    pub(crate) fn run(&mut self, instance: &Instance) -> Result<(), Problem> {
        match instance.aim {
            Aim::Strip { width, units } => self.strip(instance, width, units),
            Aim::Value { known, of } => self.value(instance, known, of),
            Aim::Faces => self.faces(instance),
        }
    }

    fn strip(&mut self, instance: &Instance, width: Length, units: f64) -> Result<(), Problem> {
        let begun = Instant::now();
        let area = instance.area();
        let density = |length: Length| 100.0 * area / (length.to_mm() * width.to_mm());
        let course = Mutex::new(Vec::new());
        let strip = shortest_strip(&instance.kinds, width, self.seed, &|| self.share(begun), &|length| {
            note(&course, begun, density(length));
        });
        let strip = strip.ok_or_else(|| Problem::new(format!("{} found no strip", instance.name)))?;
        let places = strip.places.iter().enumerate();
        let lying: Vec<Lying> = places
            .flat_map(|(kind, places)| {
                places.iter().map(move |&place| Lying { kind, bed: 0, place, fixed: false })
            })
            .collect();
        let wanted: usize = instance.kinds.iter().map(|it| it.1).sum();
        assert_eq!(lying.len(), wanted, "a strip holds everything");
        self.judge(instance, &[verdict::strip_face(strip.length, width)?], &lying, &course)?;
        let density = density(strip.length);
        println!(
            "{}: density {density:.2} %, length {:.3}, {:.1} s, seed {}",
            instance.name,
            strip.length.to_mm() * units,
            begun.elapsed().as_secs_f64(),
            self.seed
        );
        self.densities.push(density);
        Ok(())
    }

    fn value(&mut self, instance: &Instance, known: f64, of: Known) -> Result<(), Problem> {
        let begun = Instant::now();
        let course = Mutex::new(Vec::new());
        let found = self.fill(instance, instance.faces.len(), begun, &course);
        self.judge(instance, &instance.faces, &found.lying, &course)?;
        let ratio = found.value / known;
        println!(
            "{}: value {:.0}, {} {known:.0}, ratio {ratio:.4}, {} things, all are worth {:.0}, {:.1} s, seed {}",
            instance.name,
            found.value,
            match of {
                Known::Peer => "peer",
                Known::Best => "best",
                Known::Cut => "cut for",
            },
            found.lying.len(),
            instance.value(),
            begun.elapsed().as_secs_f64(),
            self.seed
        );
        match of {
            Known::Peer => self.peer_ratios.push(ratio),
            Known::Best => self.gaps.push(100.0 * (1.0 - ratio)),
            Known::Cut => self.cut_ratios.push(ratio),
        }
        Ok(())
    }

    /// Tries with the fewest faces, then with one more, until all things lie.
    fn faces(&mut self, instance: &Instance) -> Result<(), Problem> {
        let bound = instance.fewest_faces();
        for count in bound..=instance.faces.len() {
            let begun = Instant::now();
            let course = Mutex::new(Vec::new());
            let found = self.fill(instance, count, begun, &course);
            self.judge(instance, &instance.faces[..count], &found.lying, &course)?;
            let wanted: usize = instance.kinds.iter().map(|it| it.1).sum();
            println!(
                "{}: {} of {wanted} things on {count} faces, bound {bound}, {:.1} s, seed {}",
                instance.name,
                found.lying.len(),
                begun.elapsed().as_secs_f64(),
                self.seed
            );
            if found.lying.len() == wanted {
                self.face_ratios.push(count as f64 / bound as f64);
                return Ok(());
            }
        }
        self.face_ratios.push(f64::INFINITY);
        Ok(())
    }

    fn fill(
        &self,
        instance: &Instance,
        faces: usize,
        begun: Instant,
        course: &Mutex<Vec<(f64, f64)>>,
    ) -> Filling {
        let beds: Vec<Bed> = instance.faces[..faces].iter().map(Face::bed).collect();
        let task = Task { kinds: &instance.kinds, beds: &beds, may: &|_, _| true, gap: &|_, _| instance.gap };
        fill(&task, &[], self.seed, &|| self.share(begun), &|found| note(course, begun, found.value))
    }

    fn share(&self, begun: Instant) -> f64 {
        begun.elapsed().as_secs_f64() / self.seconds
    }

    /// Has a layout judged, and keeps it for the second judge.
    fn judge(
        &mut self,
        instance: &Instance,
        faces: &[Face],
        lying: &[Lying],
        course: &Mutex<Vec<(f64, f64)>>,
    ) -> Result<(), Problem> {
        let faults = verdict::faults(instance, faces, lying);
        for fault in &faults {
            println!("{}: {fault}", instance.name);
        }
        self.rejected += usize::from(!faults.is_empty());
        let folder = PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/../../target/layouts"));
        let wrong = |it: std::io::Error| Problem::new(format!("{} cannot be made: {it}", folder.display()));
        fs::create_dir_all(&folder).map_err(wrong)?;
        let rows = course.lock().map(|it| it.clone()).unwrap_or_default();
        picture::course(&folder.join(format!("{}-course.svg", instance.name)), &rows, self.seconds)?;
        picture::layout(&folder.join(format!("{}.svg", instance.name)), instance, faces, lying)?;
        let rows: String = rows.iter().map(|(seconds, value)| format!("{seconds:.3} {value:.4}\n")).collect();
        fs::write(folder.join(format!("{}.course", instance.name)), rows).map_err(wrong)?;
        verdict::write(&folder.join(format!("{}.json", instance.name)), instance, faces, lying)
    }

    pub(crate) fn figures(&self) {
        let figure = |name: &str, value: f64| println!("figure: {name} {value:.4}");
        figure("place.rejected", self.rejected as f64);
        let mean = |it: &[f64]| it.iter().sum::<f64>() / it.len() as f64;
        let least = |it: &[f64]| it.iter().copied().fold(f64::INFINITY, f64::min);
        let most = |it: &[f64]| it.iter().copied().fold(0.0, f64::max);
        let of = |name: &str, all: &[f64], of: &dyn Fn(&[f64]) -> f64| {
            if !all.is_empty() {
                figure(name, of(all));
            }
        };
        of("place.strip_mean_density_pct", &self.densities, &mean);
        of("place.hideknap_min_ratio", &self.peer_ratios, &least);
        of("place.known_gap_pct", &self.gaps, &mean);
        of("place.hides_worst_ratio", &self.face_ratios, &most);
        of("place.slab_ratio", &self.cut_ratios, &mean);
    }
}

/// Notes how good a layout was after how many seconds.
fn note(course: &Mutex<Vec<(f64, f64)>>, begun: Instant, value: f64) {
    if let Ok(mut course) = course.lock() {
        course.push((begun.elapsed().as_secs_f64(), value));
    }
}
