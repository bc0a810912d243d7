//! How one foot or batten is screwed on: screw, holes, stop, and the top's movement.

use handbook::{Cut, Screw, Species, movement, percent, screw};
use measure::{Angle, Figure, Length, Problem};
use outline::{Point, Ring};
use stock::{Feature, FeatureId, FeatureKind};

use crate::making::{Laid, Making, in_reach};
use crate::moisture::{SWING, year};

/// Screw lengths that a shop keeps, in inches.
const LENGTHS: [f64; 9] = [0.5, 0.625, 0.75, 1.0, 1.25, 1.5, 1.75, 2.0, 2.5];

/// Numbers tried from the thickest down; the foot is to be twice as wide as the plug.
const NUMBERS: [u32; 3] = [8, 6, 4];
const FOOT_OVER_PLUG: f64 = 2.0;

// How a plugged screw sits (common practice, no source).
const UNDER_HEAD: Length = Length::mm(6.0);
const DEEPEST_COUNTERBORE: Length = Length::mm(10.0);
const SHALLOWEST_PLUG: Length = Length::mm(5.0);

/// Left above the tip of the screw: it must never come through (common
/// practice, no source).
pub(super) const COVER: Length = Length::mm(4.0);

/// The least that a screw has to reach into the top (common practice, no source).
const LEAST_BITE: Length = Length::mm(8.0);

/// The hole in the foot is wider than the shank by this: one drill size.
pub(super) const PLAY: Length = Length::mm(0.4);

/// A foot this long takes two screws, each this far from its end or farther
/// (common practice, no source: seven shanks keep the end from splitting).
const TWO_SCREWS: Length = Length::mm(70.0);
const END_SHANKS: f64 = 7.0;

/// The screws of a batten stand no farther apart (common practice, no source).
const BATTEN_SPACING: Length = Length::mm(150.0);

/// No batten on a bench has more screws to each side of its middle.
const MOST_PAIRS: u32 = 50;

/// A slot is longer than shank and movement by this, half of it to each side
/// (common practice, from memory).
pub(super) const SLOT_PLAY: Length = Length::mm(1.0);

/// One foot or batten as the pattern has it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Foot {
    pub(super) id: FeatureId,
    /// Whether it is a batten: it lies across the grain on purpose.
    pub(super) batten: bool,
    pub(super) at: Point,
    pub(super) along: Angle,
    pub(super) length: Length,
    pub(super) width: Length,
    pub(super) height: Length,
}

/// How a foot or batten is held.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Fastening {
    pub(super) screw: &'static Screw,
    /// The screw's length.
    pub(super) length: Length,
    /// How many in the foot, and how far the outer ones are apart.
    pub(super) count: u32,
    pub(super) apart: Length,
    /// Depth of counterbore in the foot; zero means countersunk, no plug.
    pub(super) counterbore: Length,
    /// Through the foot.
    pub(super) clearance: Length,
    /// In the top.
    pub(super) pilot: Length,
    /// How far the screw reaches into the top: the drill's stop.
    pub(super) bite: Length,
    /// Of the top above the foot.
    pub(super) top: Length,
}

/// The feet and battens of a part that can be made, in the pattern's order.
pub(super) fn feet(features: &[Feature]) -> impl Iterator<Item = Foot> + '_ {
    drawn(features).filter(|it| it.sound().is_ok())
}

/// Every foot and batten that is drawn.
pub(super) fn drawn(features: &[Feature]) -> impl Iterator<Item = Foot> + '_ {
    features.iter().filter_map(|it| {
        let batten = matches!(it.kind, FeatureKind::Batten { .. });
        let (FeatureKind::FootSeat { at, along, length, width, height }
        | FeatureKind::Batten { at, along, length, width, height }) = it.kind
        else {
            return None;
        };
        Some(Foot { id: it.id, batten, at, along, length, width, height })
    })
}

impl Foot {
    /// Whether it has the sizes of something on the bench.
    pub(super) fn sound(&self) -> Result<(), Problem> {
        in_reach(&format!("the length of {}", self.name()), self.length)?;
        in_reach(&format!("the width of {}", self.name()), self.width)?;
        in_reach(&format!("the height of {}", self.name()), self.height)
    }

    /// `foot` or `batten`.
    pub(super) const fn word(&self) -> &'static str {
        if self.batten { "batten" } else { "foot" }
    }

    /// By its number: `foot 3`.
    pub(super) fn name(&self) -> String {
        format!("{} {}", self.word(), self.id)
    }

    /// Its four corners on the pattern.
    pub(super) fn corners(&self) -> [Point; 4] {
        let (sin, cos) = (self.along.sin(), self.along.cos());
        let (half, wide) = (self.length.to_mm() / 2.0, self.width.to_mm() / 2.0);
        [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)].map(|(x, y)| {
            let (x, y) = (x * half, y * wide);
            Point::new(self.at.x + x * cos - y * sin, self.at.y + x * sin + y * cos)
        })
    }

    /// Where its screws go into the top, on the pattern.
    pub(super) fn screws(&self, held: &Fastening) -> impl Iterator<Item = Point> {
        let (count, half) = (held.count, held.apart.to_mm() / 2.0);
        let (at, sin, cos) = (self.at, self.along.sin(), self.along.cos());
        (0..count).map(move |index| {
            let share = if count < 2 { 0.0 } else { 2.0 * f64::from(index) / f64::from(count - 1) - 1.0 };
            Point::new(at.x + share * half * cos, at.y + share * half * sin)
        })
    }

    /// The hollows over it, with their depths.
    pub(super) fn hollows(&self, part: &Laid) -> Vec<(FeatureId, Length)> {
        let Ok(own) = Ring::new(self.corners().to_vec()) else { return Vec::new() };
        let over = |area: &Ring| {
            area.contains(self.at)
                || own.corners().iter().any(|&it| area.contains(it))
                || area.corners().iter().any(|&it| own.contains(it))
        };
        let over = part.pattern.hollows().filter(|(_, area, ..)| over(area));
        over.map(|(id, _, depth, _)| (id, depth)).collect()
    }

    /// What is left of the top above it: a hollow takes its depth away.
    pub(super) fn top(&self, part: &Laid) -> Length {
        let deepest = self.hollows(part).into_iter().map(|it| it.1).fold(Length::ZERO, Length::max);
        part.want.thickness - deepest
    }

    /// How far the screws that are kept would reach into the top, if they hold
    /// at all, short ones first.
    fn bites(&self) -> impl DoubleEndedIterator<Item = Length> {
        let through = self.height - self.counterbore();
        LENGTHS.iter().map(move |&it| Length::inches(it) - through).filter(|&it| it >= LEAST_BITE)
    }

    /// The least that any screw would reach into the top, if one holds at all.
    pub(super) fn least_bite(&self) -> Option<Length> {
        self.bites().next()
    }

    /// The screw, the holes and the stop.
    ///
    /// # Errors
    /// No screw is both long enough to hold and short enough not to come through.
    pub(super) fn fastening(&self, part: &Laid) -> Result<Fastening, Problem> {
        let screw = self.screw()?;
        let wood = hardest(part);
        let counterbore = self.counterbore();
        let through = self.height - counterbore;
        let top = self.top(part);
        let bite = self.bites().rev().find(|&it| it <= top - COVER).ok_or_else(|| {
            Problem::new(format!("no screw fits {} of {}", self.name(), part.name))
                .hint("make it lower or glue it")
        })?;
        let end = (screw.shank * END_SHANKS).max(self.width / 2.0);
        // A foot that is wider than long has no room for two along its length.
        let two = self.length >= TWO_SCREWS && self.length > end * 2.0;
        let apart = if two { self.length - end * 2.0 } else { Length::ZERO };
        Ok(Fastening {
            screw,
            length: bite + through,
            count: self.screw_count(apart),
            apart,
            counterbore,
            clearance: screw.shank + PLAY,
            pilot: wood.map_or(screw.root, |wood| screw.lead_hole(wood)),
            bite,
            top,
        })
    }

    /// How many screws it takes when the outer ones are so far apart; a batten
    /// an odd number, as the middle one holds it.
    fn screw_count(&self, apart: Length) -> u32 {
        match (apart > Length::ZERO, self.batten) {
            (false, _) => 1,
            (true, false) => 2,
            (true, true) => {
                let pairs = (apart / 2.0 / BATTEN_SPACING).ceil().clamp(1.0, f64::from(MOST_PAIRS));
                pairs as u32 * 2 + 1
            }
        }
    }

    fn screw(&self) -> Result<&'static Screw, Problem> {
        let fits = |screw: &&Screw| screw.plug * FOOT_OVER_PLUG <= self.width;
        let found = NUMBERS.iter().filter_map(|&it| screw(it).ok()).find(fits);
        found.map_or_else(|| screw(NUMBERS[NUMBERS.len() - 1]), Ok)
    }

    /// How deep the head goes into the foot.
    pub(super) fn counterbore(&self) -> Length {
        let depth = (self.height - UNDER_HEAD).min(DEEPEST_COUNTERBORE);
        if depth >= SHALLOWEST_PLUG { depth } else { Length::ZERO }
    }

    /// Between its length as it lies and the top's fibres there; a foot's own
    /// fibres run along its length.
    pub(super) fn off_the_grain(&self, making: &Making, part: &Laid) -> Option<(Angle, Angle)> {
        off_the_grain(making, part, self.at, self.along)
    }
}

fn hardest<'a>(part: &Laid<'a>) -> Option<&'a Species> {
    let harder = |a: &'a Species, b: &'a Species| if b.gravity().value > a.gravity().value { b } else { a };
    part.woods.iter().copied().reduce(harder)
}

impl Fastening {
    /// The play of two screws in their holes against each other.
    pub(super) fn play(&self) -> Length {
        self.clearance - self.screw.shank
    }

    /// The slots of a batten's outer screws, and how far the wood moves between
    /// the middle and them.
    pub(super) fn slot(&self, making: &Making, part: &Laid, off: Angle) -> Option<(Length, Figure)> {
        let (moved, figure) = movement_between(making, part, self.apart / 2.0, off)?;
        let slot = self.screw.shank + moved + SLOT_PLAY;
        Some((slot, figure))
    }

    /// How far the top moves between the two screws through a year, and how
    /// that came about.
    pub(super) fn movement(&self, making: &Making, part: &Laid, off: Angle) -> Option<(Length, Figure)> {
        movement_between(making, part, self.apart, off)
    }
}

/// How far the wood moves through a year between two screws on a line that lies
/// so far off its grain, and how that came about; in the wood that moves most.
pub(super) fn movement_between(
    making: &Making,
    part: &Laid,
    apart: Length,
    off: Angle,
) -> Option<(Length, Figure)> {
    let moves = |it: &Species| it.tangential_coefficient().value;
    let wood = part.woods.iter().copied().reduce(|a, b| if moves(b) > moves(a) { b } else { a })?;
    let units = making.units();
    let (low, high) = year(making);
    let moved = movement(wood, Cut::FlatSawn, apart * off.sin(), low, high);
    let figure = moved
        .figure(units)
        .from("screws apart", units.length(apart))
        .from("their line off the top's grain", format!("{:.0}°", off.to_degrees()))
        .from("swing of moisture in a year", percent(SWING));
    Some((moved.change.abs(), figure))
}

/// Between a direction on the pattern and the top's fibres at a point of it as
/// the part lies; and the direction on the pattern that runs with them.
pub(super) fn off_the_grain(making: &Making, part: &Laid, at: Point, along: Angle) -> Option<(Angle, Angle)> {
    let place = part.placement.place;
    let grain = making.brief.face(part.placement.face).ok()?.grain.at(place.point(at));
    let turn = if place.mirrored { Angle::degrees(180.0) + place.turn - grain } else { grain - place.turn };
    let to = Angle::degrees(turn.to_degrees().rem_euclid(180.0));
    Some((place.direction(along).between_lines(grain), to))
}
