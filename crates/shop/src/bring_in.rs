//! Brings wood and patterns in: photographs, silhouettes and drawings.

use measure::{Length, Problem};
use outline::Outline;
use photo::{SheetsLie, SurveyAsk};
use stock::{Face, FacePicture, Origin, Pattern, Piece, PieceId, TracedLine};
use store::Store;

use crate::view::{PhotoAsk, SheetsAt, TraceAsk};
use crate::{Shop, Trouble};

/// What long work tells while it goes on: what is being done, and how much of
/// it is done, 0 to 1.
pub type Progress<'a> = &'a (dyn Fn(&str, f64) + Sync);

impl Shop {
    /// Brings in a piece by its photograph: a rectified face at true scale,
    /// with its outline and grain. Tells what the maker should know about it.
    ///
    /// # Errors
    /// The picture cannot be read, holds no scale sheet or no wood, or a value
    /// is out of its range. Nothing is kept then.
    pub fn add_piece_from_photo(
        &self,
        ask: PhotoAsk,
        picture: &[u8],
        progress: Progress<'_>,
    ) -> Result<(Piece, Vec<Problem>), Trouble> {
        self.kit()?.own.wood(&ask.species)?;
        progress("reading the picture", 0.0);
        let picture = photo::read_picture(picture)?;
        let sheets = match ask.sheets {
            SheetsAt::OnTop => SheetsLie::OnTop,
            SheetsAt::OnBench => SheetsLie::OnBench,
        };
        let survey_ask = SurveyAsk {
            thickness: ask.thickness,
            sheets,
            check_line: ask.check_line,
            known: Vec::new(),
            keenness: stock::Keenness::default(),
        };
        let survey = photo::survey(&picture, &survey_ask, progress, &|| false)?;
        let picture = self.reading(|store| store.keep_picture(&survey.jpeg))?;
        let face = Face {
            outline: survey.outline,
            picture: Some(FacePicture {
                picture,
                width_px: survey.width_px,
                height_px: survey.height_px,
                pixel: survey.pixel,
                original: None,
            }),
            zones: Vec::new(),
            candidates: survey.candidates,
            grain: survey.grain,
            doubt: survey.doubt,
        };
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
        };
        Ok((self.keep_piece(piece)?, survey.problems))
    }

    /// Adds a pattern traced from a photograph.
    ///
    /// # Errors
    /// The picture cannot be read, holds no clear silhouette, or there is
    /// neither a length nor a scale sheet. Nothing is kept then.
    pub fn add_pattern_from_photo(
        &self,
        ask: TraceAsk,
        picture: &[u8],
        progress: Progress<'_>,
    ) -> Result<(Pattern, Vec<Problem>), Trouble> {
        progress("reading the picture", 0.0);
        let read = photo::read_picture(picture)?;
        let trace = photo::TraceAsk { length: ask.length, check_line: None::<Length> };
        let traced = photo::trace(&read, &trace, progress)?;
        let picture = self.reading(|store| store.keep_picture(picture))?;
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
