//! The shop itself: open its folder, look at it, change what is kept.

use std::path::Path;
use std::sync::{Mutex, MutexGuard, PoisonError};

use measure::{Angle, Force, Moisture, Problem, Temperature};
use stock::{
    Choices, Climate, Face, Feature, FeatureId, FeatureKind, Job, JobId, Pattern, PatternId, Piece, PieceId,
    ShopKit,
};
use store::{Edit, Outcome, Store, TheKit};

use crate::limits::{check_job, check_kit, check_pattern, check_piece};
use crate::sawing::sawn_on;
use crate::view::{JobView, NewJob, NewPattern, NewPiece, ShopView};
use crate::{Trouble, clock, faces};

/// How far the grain may run off a new handle, and what hangs on its end: a
/// first guess for the maker to change (common practice, no source).
const HANDLE_WITHIN: Angle = Angle::degrees(15.0);
const HANDLE_LOAD: Force = Force::newtons(100.0);

/// A shop, open for work. Everything that the command line and the page do,
/// they do through this.
pub struct Shop {
    store: Mutex<Store>,
}

impl Shop {
    /// Opens the folder, and makes it if there is none.
    ///
    /// # Errors
    /// The folder cannot be made, read or written, or holds something else.
    pub fn open(folder: &Path) -> Result<Shop, Trouble> {
        let store = Store::open(folder).map_err(Trouble::Folder)?;
        Ok(Shop { store: Mutex::new(store) })
    }

    /// Grows with every change, whoever made it.
    ///
    /// # Errors
    /// The folder cannot be read.
    pub fn version(&self) -> Result<u32, Trouble> {
        self.reading(Store::version)
    }

    /// The whole shop at this moment.
    ///
    /// # Errors
    /// The folder cannot be read.
    pub fn view(&self) -> Result<ShopView, Trouble> {
        // The version is read first: what is read after it is as new, or newer.
        let version = self.version()?;
        let kit = self.kit()?;
        let keenness = faces::told(&self.verdicts()?);
        let (pieces, patterns, jobs, undo, redo) = self.reading(|store| {
            let all = (store.all::<Piece>()?, store.all::<Pattern>()?, store.all::<Job>()?);
            Ok((all.0, all.1, all.2, store.undo_label()?, store.redo_label()?))
        })?;
        let jobs = jobs
            .into_iter()
            .map(|job| {
                let short = self.plan_in_short(&job, &pieces, &patterns, &kit)?;
                let steps_done = self.reading(|store| store.marks(job.id))?.len() as u32;
                let steps = short.as_ref().map_or(0, |it| it.1);
                let (plan, sawn) = (short.map(|it| it.0), sawn_on(job.id, &pieces));
                Ok(JobView { job, plan, sawn, steps_done: steps_done.min(steps), steps })
            })
            .collect::<Result<_, Trouble>>()?;
        Ok(ShopView { version, today: clock::today(), kit, pieces, patterns, jobs, undo, redo, keenness })
    }

    /// The kit; a starting one until the maker has changed it.
    ///
    /// # Errors
    /// The folder cannot be read.
    pub fn kit(&self) -> Result<ShopKit, Trouble> {
        Ok(self.reading(|store| store.get::<ShopKit>(TheKit))?.unwrap_or_else(ShopKit::starting))
    }

    /// A piece on the rack.
    ///
    /// # Errors
    /// There is none with this id.
    pub fn piece(&self, id: PieceId) -> Result<Piece, Trouble> {
        self.reading(|store| store.get(id))?.ok_or_else(|| Trouble::missing("piece", id))
    }

    /// A pattern.
    ///
    /// # Errors
    /// There is none with this id.
    pub fn pattern(&self, id: PatternId) -> Result<Pattern, Trouble> {
        self.reading(|store| store.get(id))?.ok_or_else(|| Trouble::missing("pattern", id))
    }

    /// A job.
    ///
    /// # Errors
    /// There is none with this id.
    pub fn job(&self, id: JobId) -> Result<Job, Trouble> {
        self.reading(|store| store.get(id))?.ok_or_else(|| Trouble::missing("job", id))
    }

    /// A stored picture's bytes.
    ///
    /// # Errors
    /// There is none with this name.
    pub fn picture(&self, id: &stock::PictureId) -> Result<Vec<u8>, Trouble> {
        self.store().picture(id).ok_or_else(|| Trouble::missing("picture", &id.0))
    }

    /// Changes machines, people, prices or units. `seen` is the version of the
    /// shop that the change was made upon, if that is known.
    ///
    /// # Errors
    /// A value is out of its range, or somebody has changed it since.
    pub fn put_kit(&self, kit: &ShopKit, seen: Option<u32>) -> Result<(), Trouble> {
        check_kit(kit)?;
        self.change("change the shop", &[Edit::put(kit)?.seen(seen)])
    }

    /// Brings in a piece by its measures.
    ///
    /// # Errors
    /// A value is out of its range, or the species is unknown.
    pub fn add_piece(&self, ask: NewPiece) -> Result<Piece, Trouble> {
        let piece = Piece {
            id: PieceId(self.reading(Store::next_number::<Piece>)?),
            name: ask.name,
            species: ask.species,
            form: ask.form,
            thickness: ask.thickness,
            moisture: None,
            price: ask.price,
            place: String::new(),
            face: Face::rectangle(ask.length, ask.width)?,
            far_face: None,
            sawn: None,
        };
        self.keep_piece(piece)
    }

    /// Changes a piece, and works out what follows for its two faces. `seen` is
    /// the version of the shop that the change was made upon, if that is known.
    ///
    /// # Errors
    /// There is none with this id, it was sawn, a value is out of its range, or
    /// somebody has changed it since.
    pub fn put_piece(&self, mut piece: Piece, seen: Option<u32>) -> Result<Piece, Trouble> {
        let before = self.whole_piece(piece.id)?;
        if piece.sawn.is_some() {
            let message = format!("“{}” is written down as sawn, and is not", piece.name);
            return Err(Problem::new(message).hint("say of its job that the wood is sawn").into());
        }
        check_piece(&piece, &self.kit()?.own)?;
        self.settle(&before, &mut piece);
        self.change(&format!("change {}", piece.name), &[Edit::put(&piece)?.seen(seen)])?;
        Ok(piece)
    }

    /// Takes a piece off the rack.
    ///
    /// # Errors
    /// There is none with this id, a job still wants it, or it was sawn for one
    /// and is the record of that.
    pub fn remove_piece(&self, id: PieceId) -> Result<(), Trouble> {
        let seen = Some(self.version()?);
        let Piece { name, sawn, .. } = self.piece(id)?;
        let jobs = self.reading(|store| store.all::<Job>())?;
        if let Some(sawn) = sawn.filter(|it| jobs.iter().any(|job| job.id == it.job)) {
            let message = format!("“{name}” {}, and tells what was made of it", self.sawn_for(&sawn)?);
            return Err(Trouble::Conflict(Problem::new(message).hint("take the job away first")));
        }
        let needed = |job: &&Job| job.panels.iter().flat_map(|panel| &panel.runs).any(|run| run.piece == id);
        if let Some(job) = jobs.iter().find(needed) {
            return Err(in_use(&name, &job.name));
        }
        let mut edits = vec![Edit::remove::<Piece>(id)];
        for mut job in jobs.into_iter().filter(|job| job.pieces.contains(&id)) {
            job.pieces.retain(|it| *it != id);
            job.choices.pins.retain(|pin| pin.face != stock::FaceKey::Piece(id));
            edits.push(Edit::put(&job)?.seen(seen));
        }
        self.change(&format!("take {name} off the rack"), &edits)
    }

    /// Adds a pattern drawn by parameters; a handle is marked as such, so that
    /// its grain and its strength are looked at.
    ///
    /// # Errors
    /// A parameter is out of its range.
    pub fn add_pattern(&self, ask: NewPattern) -> Result<Pattern, Trouble> {
        let outline = ask.family.outline()?;
        let stem = ask.family.handle().map(|axis| FeatureKind::Stem {
            axis,
            within: HANDLE_WITHIN,
            load: HANDLE_LOAD,
        });
        let origin = stock::Origin::Family { family: ask.family };
        self.keep_pattern(ask.name, origin, outline, stem)
    }

    /// Changes a pattern. `seen` is the version of the shop that the change was
    /// made upon, if that is known.
    ///
    /// # Errors
    /// There is none with this id, a value is out of its range, or somebody has
    /// changed it since.
    pub fn put_pattern(&self, pattern: &Pattern, seen: Option<u32>) -> Result<(), Trouble> {
        self.pattern(pattern.id)?;
        check_pattern(pattern)?;
        self.change(&format!("change {}", pattern.name), &[Edit::put(pattern)?.seen(seen)])
    }

    /// Takes a pattern away.
    ///
    /// # Errors
    /// There is none with this id, or a job still wants it.
    pub fn remove_pattern(&self, id: PatternId) -> Result<(), Trouble> {
        let name = self.pattern(id)?.name;
        let jobs = self.reading(|store| store.all::<Job>())?;
        if let Some(job) = jobs.iter().find(|job| job.wants.iter().any(|want| want.pattern == id)) {
            return Err(in_use(&name, &job.name));
        }
        self.change(&format!("take {name} away"), &[Edit::remove::<Pattern>(id)])
    }

    /// Starts a job: all the wood on the rack may go into it that was not sawn.
    ///
    /// # Errors
    /// A value is out of its range.
    pub fn add_job(&self, ask: NewJob) -> Result<Job, Trouble> {
        let kit = self.kit()?;
        let pieces = self.reading(|store| store.all::<Piece>())?;
        let job = plain_job(JobId(self.reading(Store::next_number::<Job>)?), ask, &pieces, &kit);
        check_job(&job)?;
        self.change(&format!("start {}", job.name), &[Edit::put(&job)?])?;
        Ok(job)
    }

    /// Changes a job. `seen` is the version of the shop that the change was made
    /// upon, if that is known.
    ///
    /// # Errors
    /// There is none with this id, a value is out of its range, or somebody has
    /// changed it since.
    pub fn put_job(&self, job: &Job, seen: Option<u32>) -> Result<(), Trouble> {
        self.job(job.id)?;
        check_job(job)?;
        self.change(&format!("change {}", job.name), &[Edit::put(job)?.seen(seen)])
    }

    /// Takes a job away.
    ///
    /// # Errors
    /// There is none with this id.
    pub fn remove_job(&self, id: JobId) -> Result<(), Trouble> {
        let name = self.job(id)?.name;
        self.change(&format!("take {name} away"), &[Edit::remove::<Job>(id)])
    }

    /// Takes the last change back; tells what it was.
    ///
    /// # Errors
    /// The folder cannot be written.
    pub fn undo(&self) -> Result<Option<String>, Trouble> {
        self.writing(Store::undo)
    }

    /// Does the change again that was taken back last.
    ///
    /// # Errors
    /// The folder cannot be written.
    pub fn redo(&self) -> Result<Option<String>, Trouble> {
        self.writing(Store::redo)
    }

    pub(crate) fn keep_piece(&self, piece: Piece) -> Result<Piece, Trouble> {
        check_piece(&piece, &self.kit()?.own)?;
        self.change(&format!("bring in {}", piece.name), &[Edit::put(&piece)?])?;
        Ok(piece)
    }

    pub(crate) fn keep_pattern(
        &self,
        name: String,
        origin: stock::Origin,
        outline: outline::Outline,
        feature: Option<FeatureKind>,
    ) -> Result<Pattern, Trouble> {
        let id = PatternId(self.reading(Store::next_number::<Pattern>)?);
        let features = feature.map(|kind| Feature { id: FeatureId(1), kind }).into_iter().collect();
        let pattern = Pattern { id, name, origin, outline, features };
        check_pattern(&pattern)?;
        self.change(&format!("add {}", pattern.name), &[Edit::put(&pattern)?])?;
        Ok(pattern)
    }

    pub(crate) fn change(&self, label: &str, edits: &[Edit]) -> Result<(), Trouble> {
        let at = clock::now().to_string();
        match self.writing(|store| store.change(label, &at, edits))? {
            Outcome::Made => Ok(()),
            Outcome::Overtaken => {
                let problem = Problem::new("somebody has changed this on another device meanwhile");
                Err(Trouble::Conflict(problem.hint("look at it as it is now, and change it again")))
            }
        }
    }

    pub(crate) fn reading<T>(&self, read: impl FnOnce(&Store) -> Result<T, Problem>) -> Result<T, Trouble> {
        read(&self.store()).map_err(Trouble::Folder)
    }

    pub(crate) fn writing<T>(
        &self,
        write: impl FnOnce(&mut Store) -> Result<T, Problem>,
    ) -> Result<T, Trouble> {
        write(&mut self.store()).map_err(Trouble::Folder)
    }

    /// The store holds nothing between two calls that a panic could leave
    /// half done: every change is one transaction.
    fn store(&self) -> MutexGuard<'_, Store> {
        self.store.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

fn in_use(name: &str, job: &str) -> Trouble {
    let message = format!("“{name}” is wanted by the job “{job}”");
    Trouble::Conflict(Problem::new(message).hint("take it out of the job first"))
}

/// A job as it begins: every whole piece may be sawn, nothing is wanted yet.
pub(crate) fn plain_job(id: JobId, ask: NewJob, pieces: &[Piece], kit: &ShopKit) -> Job {
    Job {
        id,
        name: ask.name,
        wants: Vec::new(),
        panels: Vec::new(),
        pieces: pieces.iter().filter(|it| it.sawn.is_none()).map(|it| it.id).collect(),
        people: Vec::new(),
        due: ask.due,
        finish: handbook::FinishKey::from("wiping_varnish"),
        glue: kit.glue.clone(),
        // A heated room through the year (common practice, no source).
        home: Climate { temperature: Temperature::celsius(21.0), humidity: Moisture::percent(40.0) },
        choices: Choices::default(),
        seed: 1,
    }
}
