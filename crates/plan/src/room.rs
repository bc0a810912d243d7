//! Room for the saw: where parts lie too near for any cut, all are laid anew with
//! more between them.

use layout::{Config, lay_out};
use measure::{Checked, Length};
use stock::{Brief, Layout};
use work::SawnFaces;

/// So much more is kept between parts, the first that serves: a narrow blade's
/// turn, and one in which a middling blade comes about.
const ROOMS: [Length; 2] = [Length::mm(12.0), Length::mm(24.0)];

/// A layout with its cuts.
pub(crate) struct Sawn {
    pub(crate) laid: Checked<Layout>,
    pub(crate) faces: SawnFaces,
}

impl Sawn {
    pub(crate) fn of(brief: &Brief, laid: Checked<Layout>) -> Sawn {
        Sawn { faces: SawnFaces::of(brief, &laid.value), laid }
    }

    /// The same, or one that holds no less on no more wood, in which cuts come to
    /// more parts. Once `stop` says so, the best so far is the answer.
    pub(crate) fn with_room(
        self,
        brief: &Brief,
        progress: &(dyn Fn(&Layout) + Sync),
        stop: &(dyn Fn() -> bool + Sync),
    ) -> Sawn {
        let mut best = self;
        for room in ROOMS {
            if best.crowded() == 0 || stop() {
                break;
            }
            let config = Config { room, ..Config::default() };
            let again = lay_out(brief, &config, &|_, _| progress(&best.laid.value), stop);
            if stop() || !holds_as_much(&again.value, &best.laid.value) {
                continue;
            }
            let again = Sawn::of(brief, again);
            if again.crowded() < best.crowded() {
                best = again;
            }
        }
        best
    }

    fn crowded(&self) -> usize {
        self.faces.crowded().count()
    }
}

/// Whether a layout leaves no more out than another, and takes no more faces.
fn holds_as_much(one: &Layout, other: &Layout) -> bool {
    let left_out = |it: &Layout| it.unplaced.len() + it.unplaced_strips.len();
    left_out(one) <= left_out(other) && one.used.len() <= other.used.len()
}
