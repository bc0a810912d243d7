//! The wood of a job is sawn: its pieces are used up, and what is left of them
//! goes back on the rack.

use std::collections::BTreeSet;

use jiff::civil::Date;
use measure::{Checked, Figure, Problem};
use photo::Picture;
use serde::Serialize;
use stock::{
    Face, FaceKey, FacePicture, Finding, Grade, Job, JobId, Layout, Mending, Piece, PieceId, Sawn, Side, Spot,
};
use store::{Edit, Store};
use ts_rs::TS;

use crate::leftover::{Leftover, leftovers};
use crate::limits::check_piece;
use crate::{Shop, Trouble, clock};

/// What becomes of a job's wood when it is sawn.
#[derive(Clone, Debug, PartialEq, Serialize, TS)]
pub struct Sawing {
    /// In a line: `2 pieces are sawn; 3 leftovers go on the rack`.
    pub told: String,
    /// The pieces that are sawn.
    pub pieces: Vec<PieceId>,
    /// What is left of them, by the names that it gets on the rack.
    pub leftovers: Vec<String>,
    /// What the maker should know about that.
    pub notes: Vec<Problem>,
}

/// A piece that is sawn, and what is left of it.
struct Cut {
    piece: Piece,
    left: Vec<Leftover>,
}

impl Shop {
    /// What would become of a job's wood if it were sawn as planned; nothing is kept.
    ///
    /// # Errors
    /// As [`Shop::saw`].
    pub fn sawing(&self, job: JobId) -> Result<Sawing, Trouble> {
        let cuts = self.cuts(job)?;
        Ok(told(&cuts.value, cuts.problems))
    }

    /// The wood of a job has been sawn as planned: its pieces are marked so, and
    /// each leftover goes on the rack as a piece of its own; one change, undone as
    /// a whole. A leftover whose picture cannot be cut goes there by its outline.
    ///
    /// # Errors
    /// The job was never planned, its plan is old, none of it lies on wood, or
    /// some of that wood was sawn already.
    pub fn saw(&self, job: JobId) -> Result<Sawing, Trouble> {
        let seen = Some(self.version()?);
        let Checked { value: mut cuts, problems: mut notes } = self.cuts(job)?;
        let (own, on) = (self.kit()?.own, clock::today());
        let mut edits = Vec::new();
        for cut in &mut cuts {
            notes.extend(self.cut_pictures(cut)?);
            let mut ids = Vec::new();
            for it in &mut cut.left {
                it.piece.id = PieceId(self.reading(Store::next_number::<Piece>)?);
                check_piece(&it.piece, &own)?;
                check_written(&it.piece)?;
                ids.push(it.piece.id);
                edits.push(Edit::put(&it.piece)?);
            }
            cut.piece.sawn = Some(Sawn { job, on, leftovers: ids });
            edits.push(Edit::put(&cut.piece)?.seen(seen));
        }
        self.change(&format!("saw the wood of {}", self.job(job)?.name), &edits)?;
        Ok(told(&cuts, notes))
    }

    /// The pieces that a job's plan lies on, and what it leaves of each.
    fn cuts(&self, job: JobId) -> Result<Checked<Vec<Cut>>, Trouble> {
        let brief = self.brief(job)?;
        let view = self.plan_of(&brief)?;
        self.check_unsawn(&brief.job, "it cannot be sawn twice")?;
        let used = used(&view.plan.layout);
        if used.is_empty() {
            let message = format!("nothing in the plan of “{}” lies on wood", brief.job.name);
            return Err(Trouble::Conflict(
                Problem::new(message).hint("give the job wood, and plan it again"),
            ));
        }
        let pieces = used.into_iter().map(|id| self.whole_piece(id)).collect::<Result<Vec<_>, _>>()?;
        crate::planning::check_current(&brief.job, &view)?;
        let mut problems = Vec::new();
        let cuts = pieces.into_iter().map(|piece| {
            let left = leftovers(&piece, &view.plan.layout, &brief.kit);
            problems.extend(left.problems);
            Cut { piece, left: left.value }
        });
        Ok(Checked { value: cuts.collect(), problems })
    }

    /// Gives the leftovers of a piece their parts of its pictures; tells which
    /// they could not get.
    fn cut_pictures(&self, cut: &mut Cut) -> Result<Vec<Problem>, Trouble> {
        let mut notes = Vec::new();
        let sides = [(Side::Near, Some(cut.piece.face.clone())), (Side::Far, far_face(&cut.piece))];
        for (side, whole) in sides {
            let Some(known) = whole.and_then(|it| it.picture) else { continue };
            if cut.left.is_empty() {
                continue;
            }
            let read = self.picture(&known.picture).and_then(|bytes| Ok(photo::read_picture(&bytes)?));
            let read = match read {
                Ok(read) => read,
                Err(trouble) => {
                    notes.push(pictureless(&cut.piece.name, trouble.problem()));
                    continue;
                }
            };
            for it in &mut cut.left {
                let Some(part) = (match side {
                    Side::Near => Some(it.near),
                    Side::Far => it.far,
                }) else {
                    continue;
                };
                match self.cut_picture(&read, &known, part)? {
                    Ok(picture) => it.piece.face_on(side)?.picture = Some(picture),
                    Err(problem) => notes.push(pictureless(&it.piece.name, &problem)),
                }
            }
        }
        Ok(notes)
    }

    /// A part of a face's picture, kept; or why it cannot be cut.
    fn cut_picture(
        &self,
        read: &Picture,
        known: &FacePicture,
        part: outline::Bounds,
    ) -> Result<Result<FacePicture, Problem>, Trouble> {
        let cut = match read.cut_out(known, part) {
            Ok(cut) => cut,
            Err(problem) => return Ok(Err(problem)),
        };
        let picture = self.reading(|store| store.keep_picture(&cut.jpeg))?;
        let (width_px, height_px) = (cut.width_px, cut.height_px);
        Ok(Ok(FacePicture {
            picture,
            width_px,
            height_px,
            pixel: known.pixel,
            original: known.original.clone(),
        }))
    }

    /// A piece that was not sawn yet.
    ///
    /// # Errors
    /// There is none with this id, or it was sawn.
    pub(crate) fn whole_piece(&self, id: PieceId) -> Result<Piece, Trouble> {
        let piece = self.piece(id)?;
        match &piece.sawn {
            None => Ok(piece),
            Some(sawn) => {
                let message = format!("“{}” {}", piece.name, self.sawn_for(sawn)?);
                Err(Trouble::Conflict(
                    Problem::new(message).hint("take what was left of it, or undo the sawing"),
                ))
            }
        }
    }

    /// `was sawn for “Harvest supper” on 2026-12-01`.
    pub(crate) fn sawn_for(&self, sawn: &Sawn) -> Result<String, Trouble> {
        let job = self.reading(|store| store.get::<Job>(sawn.job))?;
        let job = job.map_or("a job that was taken away".to_owned(), |it| format!("“{}”", it.name));
        Ok(format!("was sawn for {job} on {}", sawn.on))
    }

    /// # Errors
    /// The wood of the job was sawn already; `so` says what does not go therefore.
    pub(crate) fn check_unsawn(&self, job: &Job, so: &str) -> Result<(), Trouble> {
        match sawn_on(job.id, &self.reading(|store| store.all::<Piece>())?) {
            None => Ok(()),
            Some(day) => {
                let message = format!("the wood of “{}” was sawn on {day}: {so}", job.name);
                let hint = "undo the sawing, or start another job for what is still wanted";
                Err(Trouble::Conflict(Problem::new(message).hint(hint)))
            }
        }
    }

    /// What to know about a job's wood that was sawn for other jobs meanwhile:
    /// nothing is planned on it.
    pub(crate) fn sawn_elsewhere(&self, job: &Job) -> Result<Vec<Finding>, Trouble> {
        let pieces = self.reading(|store| store.all::<Piece>())?;
        let mut findings = Vec::new();
        for piece in &pieces {
            let Some(sawn) = piece.sawn.as_ref().filter(|it| it.job != job.id) else { continue };
            let of_panel = job.panels.iter().flat_map(|it| &it.runs).any(|run| run.piece == piece.id);
            let pinned = job.choices.pins.iter().any(|it| it.face == FaceKey::Piece(piece.id));
            if of_panel || pinned || job.pieces.contains(&piece.id) {
                let grade = if of_panel || pinned { Grade::Mend } else { Grade::Note };
                findings.push(finding(piece, sawn, &self.sawn_for(sawn)?, grade));
            }
        }
        Ok(findings)
    }
}

/// The day on which the wood of a job was sawn, if it was.
pub(crate) fn sawn_on(job: JobId, pieces: &[Piece]) -> Option<Date> {
    pieces.iter().filter_map(|it| it.sawn.as_ref()).find(|it| it.job == job).map(|it| it.on)
}

fn finding(piece: &Piece, sawn: &Sawn, told: &str, grade: Grade) -> Finding {
    Finding {
        grade,
        rule: "wood that was sawn".to_owned(),
        what: format!("“{}” {told}; nothing is planned on it", piece.name),
        spot: Spot::Job,
        figure: Figure::new("sawn on", sawn.on.to_string())
            .by("the day on which it was said", "the rack")
            .from("leftovers on the rack", sawn.leftovers.len().to_string()),
        limit: "not sawn yet".to_owned(),
        why: "what was made of it is gone; what was left of it lies on the rack as wood of its own"
            .to_owned(),
        mendings: vec![Mending::by_hand("take it out of the job, and choose what was left of it")],
    }
}

/// The pieces that parts or strips lie on.
fn used(layout: &Layout) -> BTreeSet<PieceId> {
    let piece = |face: FaceKey| match face {
        FaceKey::Piece(id) => Some(id),
        FaceKey::Panel(_) => None,
    };
    layout.used.iter().filter_map(|&(face, _)| piece(face)).collect()
}

fn far_face(piece: &Piece) -> Option<Face> {
    piece.far_face.as_ref().map(|it| it.face.clone())
}

fn pictureless(name: &str, why: &Problem) -> Problem {
    let message = format!("what is left of “{name}” goes on the rack without a picture: {}", why.message);
    Problem::new(message).hint("its outline, zones and grain are carried over")
}

/// What is kept has to be read again.
fn check_written(piece: &Piece) -> Result<(), Problem> {
    let written = serde_json::to_string(piece).map_err(|it| it.to_string());
    let read = written.and_then(|it| serde_json::from_str::<Piece>(&it).map_err(|it| it.to_string()));
    read.map(|_| ()).map_err(|why| {
        Problem::new(format!("“{}” cannot be written down: {why}", piece.name))
            .hint("redraw the edge or the zones of the piece that it is of, more plainly")
    })
}

fn told(cuts: &[Cut], notes: Vec<Problem>) -> Sawing {
    let leftovers: Vec<String> =
        cuts.iter().flat_map(|it| &it.left).map(|it| it.piece.name.clone()).collect();
    let sawn = match cuts.len() {
        1 => "1 piece is sawn".to_owned(),
        many => format!("{many} pieces are sawn"),
    };
    let left = match leftovers.len() {
        0 => "nothing is left that is worth keeping".to_owned(),
        1 => "1 leftover goes on the rack".to_owned(),
        many => format!("{many} leftovers go on the rack"),
    };
    let pieces = cuts.iter().map(|it| it.piece.id).collect();
    Sawing { told: format!("{sawn}; {left}"), pieces, leftovers, notes }
}

#[cfg(test)]
mod tests;
