//! The maker's hand on a photographed face: what is a fault, where its edge is.

use stock::{Candidate, Face, Keenness, Piece, PieceId, Verdict, Verdicts, Zone, ZoneKind};
use store::{Edit, TheVerdicts};

use crate::limits::check_piece;
use crate::view::{Answer, EdgeAsk, KeennessLine};
use crate::{Shop, Trouble};

impl Shop {
    /// Makes each candidate a zone, or takes it away, and remembers the answers for
    /// the next photographs; one change, undone as a whole.
    ///
    /// # Errors
    /// There is no such piece, face or candidate, the piece was sawn, or a candidate
    /// is answered twice.
    pub fn answer(&self, id: PieceId, answers: &[Answer]) -> Result<Piece, Trouble> {
        let seen = Some(self.version()?);
        let before = self.whole_piece(id)?;
        if answers.is_empty() {
            return Ok(before);
        }
        let (mut piece, mut verdicts) = (before.clone(), self.verdicts()?);
        for answer in answers {
            let asked = settled(piece.face_on(answer.face)?, answer)?;
            verdicts.add(Verdict { kind: asked.kind, sure: asked.sure, confirmed: answer.is.is_some() });
        }
        piece.settle_through(&before);
        check_piece(&piece, &self.kit()?.own)?;
        let label = match answers {
            [Answer { is: Some(kind), .. }] => format!("find {} in {}", kind.counted(1), piece.name),
            [_] => format!("find no fault in {}", piece.name),
            many => format!("answer for {} faults of {}", many.len(), piece.name),
        };
        self.change(&label, &[Edit::put(&piece)?.seen(seen), Edit::put(&verdicts)?.seen(seen)])?;
        Ok(piece)
    }

    /// Forgets what was answered about one kind of fault.
    ///
    /// # Errors
    /// The folder cannot be written.
    pub fn forget_answers(&self, kind: ZoneKind) -> Result<(), Trouble> {
        let seen = Some(self.version()?);
        let mut verdicts = self.verdicts()?;
        verdicts.forget(kind);
        let label = format!("forget the answers about {}", kind.word());
        self.change(&label, &[Edit::put(&verdicts)?.seen(seen)])
    }

    /// Mends the edge of a face where a hand has drawn on its picture.
    ///
    /// # Errors
    /// There is no such piece or face, the piece was sawn, the face has no picture,
    /// or the strokes leave no wood.
    pub fn mend_edge(&self, id: PieceId, ask: &EdgeAsk) -> Result<Piece, Trouble> {
        let seen = Some(self.version()?);
        let before = self.whole_piece(id)?;
        let mut piece = before.clone();
        let face = piece.face_on(ask.face)?;
        let shown = face.picture.as_ref().ok_or_else(|| {
            measure::Problem::new("this face has no picture to draw on").hint("redraw its edge instead")
        })?;
        let bytes = self.picture(&shown.picture)?;
        let strokes: Vec<photo::Stroke> =
            ask.strokes.iter().map(|it| photo::Stroke { wood: it.wood, line: it.line.clone() }).collect();
        face.outline = photo::mend_edge(&bytes, shown.pixel, &face.outline, &strokes)?;
        self.settle(&before, &mut piece);
        check_piece(&piece, &self.kit()?.own)?;
        self.change(&format!("mend the edge of {}", piece.name), &[Edit::put(&piece)?.seen(seen)])?;
        Ok(piece)
    }

    /// Works out what follows from a change to a piece with two faces: how the
    /// far one lies, if an edge or a mark has changed, and which faults go through.
    pub(crate) fn settle(&self, before: &Piece, piece: &mut Piece) {
        let near = piece.face.outline.clone();
        let Some(far) = &mut piece.far_face else { return };
        let same = before.far_face.as_ref().filter(|was| {
            was.marks == far.marks && was.face.outline == far.face.outline && before.face.outline == near
        });
        far.lies = match same {
            Some(was) => was.lies.clone(),
            None => stock::register(&near, &far.face.outline, &far.marks),
        };
        piece.settle_through(before);
    }

    /// The answers so far.
    pub(crate) fn verdicts(&self) -> Result<Verdicts, Trouble> {
        Ok(self.reading(|store| store.get::<Verdicts>(TheVerdicts))?.unwrap_or_default())
    }
}

/// Takes an answered candidate off its face, and puts a zone there if it is one.
fn settled(face: &mut Face, answer: &Answer) -> Result<Candidate, Trouble> {
    let place = face.candidates.iter().position(|it| it.id == answer.candidate);
    let place = place.ok_or_else(|| Trouble::missing("candidate", answer.candidate))?;
    let asked = face.candidates.remove(place);
    if let Some(kind) = answer.is {
        let area = asked.area.clone();
        face.zones.push(Zone { id: asked.id, kind, area, through: true, note: String::new() });
    }
    Ok(asked)
}

/// What the answers have come to, one sentence a kind that has any.
pub(crate) fn told(verdicts: &Verdicts) -> Vec<KeennessLine> {
    let keenness = verdicts.keenness();
    let asked = ZoneKind::ALL.into_iter().filter(|&kind| verdicts.counts(kind) != (0, 0));
    asked.map(|kind| KeennessLine { kind, told: sentence(kind, verdicts, &keenness) }).collect()
}

fn sentence(kind: ZoneKind, verdicts: &Verdicts, keenness: &Keenness) -> String {
    let (confirmed, refused) = verdicts.counts(kind);
    let percent = |share: f64| (share * 100.0).round();
    let (now, usual) = (percent(keenness.of(kind)), percent(Keenness::usual(kind)));
    let were = if confirmed == 1 { "was a fault" } else { "were faults" };
    let from = if now == usual {
        format!("you are asked from {usual} % sureness on, as at the start")
    } else {
        format!("you are asked from {now} % sureness on, in place of {usual} %")
    };
    format!(
        "of {} that photographs seemed to show, {confirmed} {were}: {from}",
        kind.counted(confirmed + refused)
    )
}
