//! Brings wood and patterns in: photographs, silhouettes and drawings.

use measure::{Length, Problem};
use outline::Outline;
use photo::{SheetsLie, SurveyAsk};
use stock::{Face, FacePicture, FarFace, Origin, Pattern, Piece, PieceId, TracedLine};
use store::{Edit, Store};

use crate::limits::check_piece;
use crate::view::{FarPhotoAsk, KnownLength, PhotoAsk, SheetsAt, TraceAsk};
use crate::{Shop, Trouble};

/// What long work tells while it goes on: what is being done, and how much of
/// it is done, 0 to 1.
pub type Progress<'a> = &'a (dyn Fn(&str, f64) + Sync);

/// Asked again and again by long work: whether it is to end without a result.
pub type Stop<'a> = &'a (dyn Fn() -> bool + Sync);

impl Shop {
    /// Brings in a piece by its photograph: a rectified face at true scale, with
    /// its outline, grain and what may be faults; the photograph itself is kept
    /// too. Tells what the maker should know about it.
    ///
    /// # Errors
    /// The picture cannot be read, holds no scale sheet or no wood, a value is
    /// out of its range, or it was stopped. Nothing is kept then.
    pub fn add_piece_from_photo(
        &self,
        ask: PhotoAsk,
        picture: &[u8],
        progress: Progress<'_>,
        stop: Stop<'_>,
    ) -> Result<(Piece, Vec<Problem>), Trouble> {
        self.kit()?.own.wood(&ask.species)?;
        let survey_ask = self.survey_ask(ask.thickness, ask.sheets, ask.check_line, &ask.known)?;
        let (face, problems) = self.photographed(picture, &survey_ask, progress, stop)?;
        let piece = Piece {
            id: PieceId(self.reading(Store::next_number::<Piece>)?),
            name: ask.name,
            species: ask.species,
            form: ask.form,
            thickness: ask.thickness,
            moisture: None,
            price: None,
            place: String::new(),
            face,
            far_face: None,
            sawn: None,
        };
        Ok((self.keep_piece(piece)?, problems))
    }

    /// Brings in the other face of a piece by its photograph, and finds how it
    /// lies under the near one.
    ///
    /// # Errors
    /// As [`Shop::add_piece_from_photo`], or there is no such piece, or it was sawn.
    pub fn add_far_face_from_photo(
        &self,
        id: PieceId,
        ask: &FarPhotoAsk,
        picture: &[u8],
        progress: Progress<'_>,
        stop: Stop<'_>,
    ) -> Result<(Piece, Vec<Problem>), Trouble> {
        let thickness = self.whole_piece(id)?.thickness;
        let survey_ask = self.survey_ask(thickness, ask.sheets, ask.check_line, &ask.known)?;
        let (face, mut problems) = self.photographed(picture, &survey_ask, progress, stop)?;
        // The piece may have been changed while its other face was measured.
        let seen = Some(self.version()?);
        let before = self.whole_piece(id)?;
        let lies = stock::register(&before.face.outline, &face.outline, &[]);
        problems.extend(lies.problem.clone());
        let mut piece = Piece { far_face: Some(FarFace { face, lies, marks: Vec::new() }), ..before.clone() };
        piece.settle_through(&before);
        check_piece(&piece, &self.kit()?.own)?;
        let label = format!("photograph the other face of {}", piece.name);
        self.change(&label, &[Edit::put(&piece)?.seen(seen)])?;
        Ok((piece, problems))
    }

    fn survey_ask(
        &self,
        thickness: Length,
        sheets: SheetsAt,
        check_line: Option<Length>,
        known: &[KnownLength],
    ) -> Result<SurveyAsk, Trouble> {
        let sheets = match sheets {
            SheetsAt::OnTop => SheetsLie::OnTop,
            SheetsAt::OnBench => SheetsLie::OnBench,
        };
        let pixel = |[x, y]: [f64; 2]| photo::Pixel { x, y };
        let known = known.iter().map(|it| photo::KnownLength {
            from: pixel(it.from_px),
            to: pixel(it.to_px),
            length: it.length,
        });
        let (known, keenness) = (known.collect(), self.verdicts()?.keenness());
        Ok(SurveyAsk { thickness, sheets, check_line, known, keenness })
    }

    /// A face out of its photograph; both its pictures are kept.
    fn photographed(
        &self,
        picture: &[u8],
        ask: &SurveyAsk,
        progress: Progress<'_>,
        stop: Stop<'_>,
    ) -> Result<(Face, Vec<Problem>), Trouble> {
        progress("reading the picture", 0.0);
        let read = photo::read_picture(picture)?;
        let survey = photo::survey(&read, ask, progress, stop)?;
        let to_show = read.to_show(picture)?;
        let original = Some(self.reading(|store| store.keep_picture(&to_show))?);
        let shown = FacePicture {
            picture: self.reading(|store| store.keep_picture(&survey.jpeg))?,
            width_px: survey.width_px,
            height_px: survey.height_px,
            pixel: survey.pixel,
            original,
        };
        let face = Face {
            outline: survey.outline,
            picture: Some(shown),
            zones: Vec::new(),
            candidates: survey.candidates,
            grain: survey.grain,
            doubt: survey.doubt,
        };
        Ok((face, survey.problems))
    }

    /// Adds a pattern traced from a photograph.
    ///
    /// # Errors
    /// The picture cannot be read, holds no clear silhouette, or there is
    /// neither a length nor a scale sheet, or it was stopped. Nothing is kept then.
    pub fn add_pattern_from_photo(
        &self,
        ask: TraceAsk,
        picture: &[u8],
        progress: Progress<'_>,
        stop: Stop<'_>,
    ) -> Result<(Pattern, Vec<Problem>), Trouble> {
        progress("reading the picture", 0.0);
        let read = photo::read_picture(picture)?;
        let trace = photo::TraceAsk { length: ask.length, check_line: None::<Length> };
        let traced = photo::trace(&read, &trace, progress)?;
        if stop() {
            return Err(Problem::new("the tracing was stopped").hint("nothing was kept").into());
        }
        let to_show = read.to_show(picture)?;
        let picture = self.reading(|store| store.keep_picture(&to_show))?;
        let line = TracedLine::plain(traced.outline.outer().clone());
        // A line that cannot be made smooth is kept as it was found.
        let outline = line.fitted().map_or(traced.outline, |it| Outline::from(it.ring));
        let origin = Origin::Traced { picture, line: Some(line) };
        let pattern = self.keep_pattern(ask.name, origin, outline, None)?;
        Ok((pattern, traced.problems))
    }

    /// Adds a pattern from an SVG drawing.
    ///
    /// # Errors
    /// The drawing cannot be read or holds no closed line.
    pub fn add_pattern_from_drawing(
        &self,
        ask: TraceAsk,
        file: &str,
        svg: &[u8],
    ) -> Result<Pattern, Trouble> {
        let outline = outline::read_svg(svg, ask.length)?;
        let file: String = file.chars().take(200).collect();
        self.keep_pattern(ask.name, Origin::Drawing { file }, outline, None)
    }
}
