//! The blade: a rigid rectangle that has to stand in the open at every step.

use outline::Point;

use crate::flat::{Heading, moved};
use crate::kerf::Taken;
use crate::rows::Rows;

/// What the blade may touch without harm, in millimetres: a hair that the set
/// of the teeth wears off, and what is lost in laying curves in short chords.
pub(crate) const TOUCH: f64 = 0.015;

/// The most that a blade may stand askew between the guides, in radians: about
/// 20°, what the trade's chart asks of a blade of 1/8 in on its 3/16 in (half its
/// width over the radius; common practice, no source).
pub(crate) const MOST_SKEW: f64 = 0.35;

/// The sides of the blade are looked at this often, in millimetres.
const SAMPLE: f64 = 0.25;

/// Looking to the side ends here, in millimetres: more is not needed in a kerf.
const FAR_ENOUGH: f64 = 2.0;

/// A blade's measures, in millimetres.
pub(crate) struct Body {
    pub(crate) width: f64,
    pub(crate) band: f64,
    pub(crate) kerf: f64,
    /// How far behind the teeth its sides are looked at, the back first.
    depths: Vec<f64>,
}

/// How the blade stands.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Stance {
    /// Where the middle of the teeth saws.
    pub(crate) teeth: Point,
    /// Where the way goes.
    pub(crate) heading: Heading,
    /// By how much the blade is turned from that, counter-clockwise, in radians.
    pub(crate) skew: f64,
    /// How far the band lies to the right of the middle of the kerf.
    pub(crate) play: f64,
}

/// The open, for what is in the hands: outside the wood, in kerfs and holes, and
/// where something fell.
#[derive(Clone, Copy)]
pub(crate) struct Open<'a> {
    pub(crate) taken: &'a Taken,
    pub(crate) hand: &'a Rows,
    /// The kerf is as far open before the teeth as the corners of a band that
    /// stands askew need.
    pub(crate) before: Option<(Stance, f64)>,
}

impl Open<'_> {
    /// How far a point is from the wood in the hands, at the least; below zero
    /// in it, by no more than the way out.
    pub(crate) fn room(&self, it: Point) -> f64 {
        let room = self.taken.room(it);
        if room >= -TOUCH {
            return room;
        }
        if !self.hand.have(it) {
            return self.hand.ruled.pitch;
        }
        match self.before {
            Some((stance, ahead)) => room.max(stance.before_teeth(it, ahead)),
            None => room,
        }
    }

    /// Whether a point is in the open, or touches no more than a hair.
    fn holds(&self, it: Point) -> bool {
        self.taken.is_open(it, TOUCH) || self.room(it) >= -TOUCH
    }

    /// How far a point can go in a direction; below zero for how far it has to
    /// go back.
    fn way(&self, from: Point, toward: Heading) -> f64 {
        let mut room = self.room(from);
        let mut gone = 0.0;
        if room < 0.0 {
            while room < 0.0 && gone > -FAR_ENOUGH {
                gone += room.min(-0.002);
                room = self.room(moved(from, toward, gone));
            }
            return gone;
        }
        while gone < FAR_ENOUGH {
            let step = room.max(0.002);
            room = self.room(moved(from, toward, gone + step));
            if room < 0.0 {
                break;
            }
            gone += step;
        }
        gone
    }
}

impl Stance {
    fn axis(&self) -> Heading {
        self.heading.turned(self.skew)
    }

    /// The middle of the band, so far behind the teeth.
    pub(crate) fn middle(&self, depth: f64) -> Point {
        let front = moved(self.teeth, self.heading.right(), self.play);
        moved(front, self.axis(), -depth)
    }

    /// The room of a point in the bit of kerf right before the teeth.
    fn before_teeth(&self, it: Point, ahead: f64) -> f64 {
        let along = self.heading.along(self.teeth, it);
        if (-1e-9..=ahead).contains(&along) { ahead - along } else { f64::NEG_INFINITY }
    }
}

impl Body {
    pub(crate) fn new(width: f64, band: f64, kerf: f64) -> Body {
        let count = (width / SAMPLE).ceil().max(2.0);
        let all = (0..=count as usize).map(|it| width * it as f64 / count);
        let mut depths: Vec<f64> = all.collect();
        depths.reverse();
        // What is most likely to jam is looked at first.
        let middle = depths.len() / 2;
        depths.swap(1, middle);
        Body { width, band, kerf, depths }
    }

    /// How far to the side the band can lie in its kerf.
    pub(crate) fn play(&self) -> f64 {
        (self.kerf - self.band) / 2.0
    }

    /// How far before the teeth a corner of the band can be.
    pub(crate) fn ahead(&self) -> f64 {
        self.band / 2.0 * MOST_SKEW.sin()
    }

    /// Points along both sides and the back edge.
    fn edge(&self, stance: Stance) -> impl Iterator<Item = Point> + '_ {
        let side = stance.axis().right();
        let sides = self.depths.iter().flat_map(move |&depth| {
            let middle = stance.middle(depth);
            [self.band / 2.0, -self.band / 2.0].map(|by| moved(middle, side, by))
        });
        std::iter::once(stance.middle(self.width)).chain(sides)
    }

    pub(crate) fn is_clear(&self, open: Open, stance: Stance) -> bool {
        self.edge(stance).all(|it| open.holds(it))
    }

    /// How deep it stands in the wood where that is deepest, in millimetres.
    pub(crate) fn deepest(&self, open: Open, stance: Stance) -> f64 {
        -self.edge(stance).map(|it| open.room(it)).fold(0.0, f64::min)
    }

    /// How the blade can stand with its teeth where they are: as it stood to its
    /// way, or as it stood before the way turned under it, or any other way.
    ///
    /// # Errors
    /// How deep it would stand in the wood at its best, in millimetres.
    pub(crate) fn settle(&self, open: Open, stood: Stance, turned: f64) -> Result<Stance, f64> {
        if self.is_clear(open, stood) {
            return Ok(stood);
        }
        let skew = (stood.skew + turned).clamp(-MOST_SKEW, MOST_SKEW);
        let kept = Stance { skew, ..stood };
        if self.is_clear(open, kept) {
            return Ok(kept);
        }
        let mut least = f64::INFINITY;
        let straight = Stance { skew: 0.0, play: 0.0, ..stood };
        let skews = [0.05, -0.05, 0.1, -0.1, 0.15, -0.15, 0.2, -0.2];
        let others = skews.iter().flat_map(|&skew| {
            [0.0, 0.8, -0.8].map(|play| Stance { skew, play: play * self.play(), ..straight })
        });
        for start in [stood, kept, straight].into_iter().chain(others) {
            match self.eased(open, start) {
                Ok(stance) => return Ok(stance),
                Err(depth) => least = least.min(depth),
            }
        }
        Err(least)
    }

    /// Moves the blade away from the wood that it touches, a few times.
    fn eased(&self, open: Open, start: Stance) -> Result<Stance, f64> {
        let mut stance = start;
        let mut least = self.deepest(open, stance);
        for _ in 0..5 {
            let eased = self.away(open, stance);
            let depth = self.deepest(open, eased);
            if depth <= TOUCH {
                return Ok(eased);
            }
            if depth > 0.9 * least {
                break;
            }
            least = least.min(depth);
            stance = eased;
        }
        Err(least)
    }

    /// The stance nearest to square on the way that keeps most clear of the
    /// wood to its sides, as that lies from the stance that it has.
    fn away(&self, open: Open, stance: Stance) -> Stance {
        let side = stance.axis().right();
        let mut slots =
            vec![Slot { depth: 0.0, from: -self.play() - stance.play, to: self.play() - stance.play }];
        for &depth in &self.depths {
            let middle = stance.middle(depth);
            let to = open.way(moved(middle, side, self.band / 2.0), side);
            let left = side.turned(std::f64::consts::PI);
            let from = -open.way(moved(middle, left, self.band / 2.0), left);
            slots.push(Slot { depth, from, to });
        }
        let (low, high) = (-MOST_SKEW - stance.skew, MOST_SKEW - stance.skew);
        let turn = least_turn(&slots, low, high, -stance.skew);
        let (from, to) = shifts(&slots, turn);
        let play = stance.play + (from + to) / 2.0;
        Stance { skew: stance.skew + turn, play: play.clamp(-self.play(), self.play()), ..stance }
    }
}

/// So much freedom to the side keeps a stance for a few steps, in millimetres.
const ENOUGH: f64 = 0.05;

/// How far the middle of the band can be shifted to the right at a depth.
struct Slot {
    depth: f64,
    from: f64,
    to: f64,
}

/// The shifts of the whole blade that every slot allows after a turn; the
/// second below the first if there is none.
fn shifts(slots: &[Slot], turn: f64) -> (f64, f64) {
    slots.iter().fold((f64::NEG_INFINITY, f64::INFINITY), |(from, to), it| {
        let by = it.depth * turn;
        (from.max(it.from - by), to.min(it.to - by))
    })
}

/// The turn that leaves the widest shift, or one that leaves half as much and
/// is nearer to what is wished.
fn least_turn(slots: &[Slot], mut low: f64, mut high: f64, wished: f64) -> f64 {
    let free = |turn: f64| {
        let (from, to) = shifts(slots, turn);
        to - from
    };
    // What is free is concave in the turn: a third is ruled out each time.
    for _ in 0..40 {
        let (a, b) = (low + (high - low) / 3.0, high - (high - low) / 3.0);
        if free(a) < free(b) { low = a } else { high = b }
    }
    let widest = (low + high) / 2.0;
    let enough = (free(widest) / 2.0).min(ENOUGH);
    if enough <= 0.0 {
        return widest;
    }
    let (mut near, mut far) = (widest, wished);
    for _ in 0..20 {
        let half = (near + far) / 2.0;
        if free(half) >= enough { near = half } else { far = half }
    }
    near
}
