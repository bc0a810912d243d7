//! What the judge is told, and what it says.

use measure::{Angle, Area, Length};
use outline::{Outline, Point};
use stock::{Bandsaw, PartKey};

/// Everything that is true before the first cut.
#[derive(Clone, Copy, Debug)]
pub struct Bench<'a> {
    /// The face, in millimetres; its openings are holes in the wood.
    pub wood: &'a Outline,
    /// The parts that lie on it, with their finished outlines.
    pub parts: &'a [(PartKey, &'a Outline)],
    /// The bandsaw.
    pub saw: &'a Bandsaw,
    /// How thick the wood is when it is sawn.
    pub thickness: Length,
    /// The wood that the plan means to leave outside each line.
    pub spare: Length,
}

/// What came of sawing a plan.
#[derive(Clone, Debug, PartialEq)]
#[must_use]
pub struct Ruling {
    /// Why the plan cannot be sawn as it is; nothing for one that can.
    pub refusals: Vec<Refusal>,
    /// The figures of each cut, in the plan's order.
    pub cuts: Vec<CutRuling>,
    /// The figures of each part, in the bench's order.
    pub parts: Vec<PartRuling>,
}

/// One reason why a plan cannot be sawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Refusal {
    /// In which cut, from 0; none where it is no cut's fault.
    pub cut: Option<usize>,
    /// Where on the face.
    pub at: Point,
    /// What is wrong.
    pub fault: Fault,
    /// What was found; the fault says of what.
    pub figure: Length,
    /// What is allowed.
    pub limit: Length,
}

/// What can be wrong with a plan. Where it says nothing of a figure, the
/// refusal's figure and limit are zero.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fault {
    /// The plan or the wood is too large to be judged: the figure is the wood's
    /// longest side or the length of all cuts, or zero where there are too many
    /// points, holes or cuts, or a way scribbles in one place or leaves the wood
    /// too often.
    TooMuch,
    /// The shop has no such blade.
    UnknownBlade,
    /// The band cannot pass through its own kerf, or the blade has no sound
    /// measures: the figure is the kerf, the limit the band.
    BladeBinds,
    /// The wood does not pass under the guide: its thickness and the saw's height.
    TooThick,
    /// A cut or a hole names a part that is not on the face.
    UnknownPart,
    /// The cut is no way: no legs, a point or an angle that is no number, or legs
    /// that do not join: the figure is the gap.
    Broken,
    /// A hole takes wood of a part: how deep it enters.
    HoleInPart,
    /// A hole to start from lies in no opening of its part: how far it is out.
    HoleOutsideOpening,
    /// Before the cut the blade would have to stand in the wood: how deep.
    BeginsInWood,
    /// The cut meets no wood.
    SawsNothing,
    /// The cut meets wood that has come apart from what it saws. Where it follows
    /// parts, only what holds one of them counts: the rest is not on the table.
    MeetsOtherWood,
    /// The blade has no room to stand: how deep it would have to enter the wood.
    Jams,
    /// The kerf enters a part: how deep.
    InPart,
    /// The wood would strike the column: how far it reaches, and the throat.
    MeetsColumn,
    /// The cut ends in the wood and is none that the blade is led back out of.
    EndsInWood,
    /// A cut that the blade is led back out of is not straight: how far it bends.
    ReliefBends,
    /// The blade cannot get away from the wood where the cut begins or ends.
    Trapped,
    /// A part comes off while another is sawn, or is loose before a cut along it.
    CutLoose,
    /// A loose part is too short to be held by hand: its longer side.
    TooShortToHold,
    /// In the end a part still hangs on another.
    HangsTogether,
    /// In the end a part still hangs on waste: how far that reaches from its
    /// line or, where that is allowed, how long it follows it.
    NotFreed,
}

/// The figures of one cut.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct CutRuling {
    /// How far the wood in the hands reaches toward the column at the most, from
    /// the middle of the teeth.
    pub reach: Length,
    /// By how much the blade had to stand askew at the most.
    pub skew: Angle,
    /// The longer side of what is in the hands when the cut begins.
    pub work: Length,
    /// Its shorter side.
    pub work_across: Length,
    /// How far the balance point of what is in the hands lies beyond the table
    /// at the most; zero if it is on it all the time.
    pub overhang: Length,
    /// The wood that becomes dust.
    pub dust: Area,
    /// What comes off, in its order.
    pub falls: Vec<Fall>,
}

/// What comes off in a cut.
#[derive(Clone, Debug, PartialEq)]
pub struct Fall {
    /// Its area.
    pub area: Area,
    /// Its longer side.
    pub longest: Length,
    /// Its balance point.
    pub middle: Point,
    /// The parts in it; none in waste.
    pub parts: Vec<PartKey>,
    /// How far the teeth have come along the cut by then.
    pub after: Length,
}

/// The figures of one part.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PartRuling {
    /// Which part.
    pub part: PartKey,
    /// After which cut no more than sanding was left to it, from 0.
    pub freed_by: Option<usize>,
    /// How far what is left outside its line reaches from it at the most.
    pub left_most: Length,
    /// Where that is.
    pub left_most_at: Point,
    /// What is left outside its line, spread evenly along it.
    pub left_mean: Length,
    /// How deep a kerf enters it; zero if none does.
    pub gouge: Length,
}

/// A length of so many millimetres; zero if that is no number.
pub(crate) fn mm(millimetres: f64) -> Length {
    Length::mm(if millimetres.is_finite() { millimetres } else { 0.0 })
}
