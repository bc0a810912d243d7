//! A photographed slab made measurable.

use image::RgbImage;
use image::codecs::jpeg::JpegEncoder;
use measure::{Angle, Figure, Length, Problem};
use outline::{Outline, Point, Ring};
use stock::{Candidate, GrainField, Keenness};

use crate::camera::Camera;
use crate::faults::{self, Suspect};
use crate::grain::grain;
use crate::ground::{self, Ground};
use crate::rectify::{self, Frame, rectify};
use crate::uncertain::{Doubts, Face, RestsOn, Sureness};
use crate::wood::{self, Lying};
use crate::{Picture, Pixel, turned};

/// What is asked of a slab's photograph.
#[derive(Clone, Debug, PartialEq)]
pub struct SurveyAsk {
    /// How thick the wood is as it lies there; counts when the sheets lie on the bench.
    pub thickness: Length,
    /// Where the scale sheets lie.
    pub sheets: SheetsLie,
    /// The sheet's 200 mm line as it came out of the printer, if it was measured.
    pub check_line: Option<Length>,
    /// Lengths on the top face that the maker measured: the way on where no
    /// scale sheet can be read. Two or more, one along and one across.
    pub known: Vec<KnownLength>,
    /// How sure a fault must seem to be among the candidates.
    pub keenness: Keenness,
}

/// A length on the top face that was measured with a rule or a tape.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct KnownLength {
    /// One end, in the picture.
    pub from: Pixel,
    /// The other.
    pub to: Pixel,
    /// From one to the other.
    pub length: Length,
}

/// Where the scale sheets lie.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum SheetsLie {
    /// On the wood, or level with its top face.
    OnTop,
    /// On the bench beside the wood.
    #[default]
    OnBench,
}

/// A face, measured from its photograph.
#[derive(Clone, Debug)]
pub struct Survey {
    /// Where the top face ends, in millimetres from the picture's lower left corner.
    pub outline: Outline,
    /// The top face from straight above, as JPEG.
    pub jpeg: Vec<u8>,
    /// Pixels from left to right.
    pub width_px: u32,
    /// Pixels from top to bottom.
    pub height_px: u32,
    /// The side of one pixel.
    pub pixel: Length,
    /// Which way the fibres run, as far as can be seen.
    pub grain: GrainField,
    /// The face's length and width may be wrong by this share (0.003 = 0.3 %),
    /// nineteen times in twenty; see [`Survey::doubt_of`] for any other length.
    pub doubt: f64,
    /// What may be a fault, for the maker to confirm or refuse.
    pub candidates: Vec<Candidate>,
    /// All that was looked at as a possible fault, with what was measured of it.
    pub suspects: Vec<Suspect>,
    /// How many scale sheets were read.
    pub sheets_read: usize,
    /// What the measuring rests on.
    pub figures: Vec<Figure>,
    /// What makes it less sure than it could be.
    pub problems: Vec<Problem>,
    camera: Camera,
    frame: Frame,
    sureness: Sureness,
}

impl Survey {
    /// How far off the length between two points of the face may be, nineteen
    /// times in twenty. Says nothing of how well the two points were chosen.
    pub fn doubt_of(&self, from: Point, to: Point) -> Length {
        self.sureness.doubt_of(self.frame.place.point(from), self.frame.place.point(to))
    }

    /// Where the photograph shows a point of the face's plane; it may lie
    /// beyond the photograph's border, and is `None` behind the camera.
    pub fn seen_at(&self, at: Point) -> Option<Pixel> {
        self.camera.pixel(self.frame.place.point(at), self.frame.height)
    }

    /// The point of the face's plane that the photograph shows here; `None`
    /// past the horizon.
    pub fn place_at(&self, seen: Pixel) -> Option<Point> {
        Some(self.frame.own(self.camera.place(seen, self.frame.height)?))
    }
}

/// Measures the top face of a slab. `progress` hears what is being done and
/// which share of the whole is behind it; `stop` is asked before each step and at the end.
///
/// # Errors
/// No scale sheet can be read, no wood stands out from what it lies on, or it
/// was stopped.
pub fn survey(
    picture: &Picture,
    ask: &SurveyAsk,
    progress: &dyn Fn(&str, f64),
    stop: &dyn Fn() -> bool,
) -> Result<Survey, Problem> {
    let begin = |step: &str, share: f64| {
        progress(step, share);
        if stop() { Err(stopped()) } else { Ok(()) }
    };
    check_thickness(ask.thickness)?;
    begin("looking for the scale sheets", 0.0)?;
    let (ground, ask) = find_ground(picture, ask)?;
    let ask = &ask;
    begin("telling the wood from the bench", 0.3)?;
    let lying = Lying { thickness: ask.thickness, height: face_height(ask), sheets: ask.sheets };
    let (face, unsure) = wood::face(picture, &ground, lying)?;
    begin("drawing the face at true scale", 0.7)?;
    let frame = frame_along(&face, &ground, ask)?;
    let image = rectify(picture, ground.camera(), &frame);
    let outline = outline_in(&face, &frame)?;
    begin("reading the grain", 0.85)?;
    let hidden = |at: Point| ground.sheet_shows(frame.place.point(at), frame.height);
    let seen = |at: Point| ground.camera().pixel(frame.place.point(at), frame.height);
    let grain = grain(&picture.image, &outline, seen, hidden);
    begin("looking for faults", 0.9)?;
    let suspects = faults::suspects(&image, frame.pixel, &outline, &grain, hidden);
    let candidates = faults::candidates(&suspects, |kind| ask.keenness.of(kind));
    let doubts = Doubts {
        height: frame.height,
        rests_on: match ask.sheets {
            _ if ground.sheets.is_empty() => RestsOn::Lengths,
            SheetsLie::OnBench => RestsOn::Bench,
            SheetsLie::OnTop => RestsOn::Face,
        },
        print_measured: ask.check_line.is_some(),
        face: Face::of(&face),
    };
    let sureness = Sureness::of(&ground.fit, doubts);
    let doubt = sureness.share(&spans(&face));
    let (mut figures, mut problems) = ground.told(picture);
    problems.extend(unsure);
    problems.extend(reaches_rim(picture, &ground, &face, frame.height));
    figures.push(sureness.figure(doubt));
    let jpeg = to_jpeg(&image)?;
    begin("done", 1.0)?;
    let (width_px, height_px, pixel) = (frame.width_px, frame.height_px, frame.pixel);
    let camera = ground.camera().clone();
    let sheets_read = ground.sheets.len();
    Ok(Survey {
        outline,
        jpeg,
        width_px,
        height_px,
        pixel,
        grain,
        doubt,
        candidates,
        suspects,
        sheets_read,
        figures,
        problems,
        camera,
        frame,
        sureness,
    })
}

fn stopped() -> Problem {
    Problem::new("the measuring was stopped").hint("nothing was kept; send the picture again when you like")
}

/// The scene, by its sheets; where none can be read, by the lengths that were
/// measured on the face, which is then the plane that everything lies on.
fn find_ground(picture: &Picture, ask: &SurveyAsk) -> Result<(Ground, SurveyAsk), Problem> {
    match ground::ground(picture, ask.check_line) {
        Ok(ground) => Ok((ground, ask.clone())),
        Err(problem) if ask.known.is_empty() => {
            let way = "or type two lengths on the wood that you measured, one along and one across";
            let hint = problem.hint.map_or(way.to_owned(), |it| format!("{it}, {way}"));
            Err(Problem { message: problem.message, hint: Some(hint) })
        }
        Err(_) => {
            let ground = ground::by_lengths(picture, &ask.known)?;
            Ok((ground, SurveyAsk { sheets: SheetsLie::OnTop, ..ask.clone() }))
        }
    }
}

/// Wood thicker than this is a beam, not a slab for boards.
const THICKEST: Length = Length::mm(300.0);

fn check_thickness(thickness: Length) -> Result<(), Problem> {
    if thickness > Length::ZERO && thickness <= THICKEST {
        return Ok(());
    }
    let message = format!(
        "the wood cannot be {:.1} mm thick; from 0 to {:.0} mm is measured",
        thickness.to_mm(),
        THICKEST.to_mm()
    );
    Err(Problem::new(message).hint("measure its thickness with a rule"))
}

/// How high the top face lies above the sheets.
fn face_height(ask: &SurveyAsk) -> Length {
    match ask.sheets {
        SheetsLie::OnTop => Length::ZERO,
        SheetsLie::OnBench => ask.thickness,
    }
}

/// Nearer than this share of the picture's shorter side to its border, wood may go on beyond it.
const AT_BORDER: f64 = 0.045;

fn reaches_rim(picture: &Picture, ground: &Ground, face: &Outline, height: Length) -> Option<Problem> {
    let (width, tall) = (f64::from(picture.width_px()), f64::from(picture.height_px()));
    let edge = AT_BORDER * width.min(tall);
    let at_border = face.outer().corners().iter().any(|&at| {
        let seen = ground.camera().pixel(at, height);
        seen.is_some_and(|it| it.x.min(it.y).min(width - it.x).min(tall - it.y) < edge)
    });
    at_border.then(|| {
        Problem::new("the wood reaches the border of the picture, where it may be cut off")
            .hint("step back until bench shows all round it")
    })
}

/// A face's picture is this fine.
const FINEST_PIXEL: Length = Length::mm(0.5);

/// The longest side of a face's picture: as fine as a screen shows, and quick to load.
const LONGEST_PX: f64 = 2200.0;

/// Of what lies round the face, this much is shown, so that lost wood can be brought back.
const EDGE: Length = Length::mm(30.0);

/// The frame along the face's longer side, as upright as the photograph.
fn frame_along(face: &Outline, ground: &Ground, ask: &SurveyAsk) -> Result<Frame, Problem> {
    let corners = face.outer().corners();
    let mut turn = turned::along(corners);
    let right = ground.camera().turn.inverse() * nalgebra::Vector3::x();
    if turn.cos() * right.x + turn.sin() * right.y < 0.0 {
        turn += Angle::degrees(180.0);
    }
    let around = |pixel| rectify::frame_around(corners, turn, face_height(ask), pixel, EDGE);
    let fine = around(FINEST_PIXEL).ok_or_else(|| Problem::new("the face has no size"))?;
    let longest = f64::from(fine.width_px.max(fine.height_px));
    let coarser = FINEST_PIXEL * (longest / LONGEST_PX).max(1.0);
    around(coarser).ok_or_else(|| Problem::new("the face has no size"))
}

/// The outline in the frame's own millimetres.
fn outline_in(face: &Outline, frame: &Frame) -> Result<Outline, Problem> {
    let corners = face.outer().corners().iter().map(|&at| frame.own(at)).collect();
    Ok(Outline::from(Ring::new(corners)?))
}

/// The face's longest ways: between its farthest corners, along and across.
fn spans(face: &Outline) -> Vec<(Point, Point)> {
    let corners = face.outer().corners();
    let turn = turned::along(corners);
    let ends = [0.0, 45.0, 90.0, 135.0].map(|more| {
        let (sin, cos) = ((turn + Angle::degrees(more)).sin(), (turn + Angle::degrees(more)).cos());
        let along = |at: &&Point| at.x * cos + at.y * sin;
        let least = corners.iter().min_by(|a, b| along(a).total_cmp(&along(b)));
        let most = corners.iter().max_by(|a, b| along(a).total_cmp(&along(b)));
        least.copied().zip(most.copied())
    });
    ends.into_iter().flatten().collect()
}

/// JPEG quality of a face's picture: no blocks can be seen in wood.
const QUALITY: u8 = 88;

pub(crate) fn to_jpeg(image: &RgbImage) -> Result<Vec<u8>, Problem> {
    let mut bytes = Vec::new();
    let written = JpegEncoder::new_with_quality(&mut bytes, QUALITY).encode_image(image);
    written.map_err(|trouble| Problem::new(format!("the face's picture could not be written: {trouble}")))?;
    Ok(bytes)
}
