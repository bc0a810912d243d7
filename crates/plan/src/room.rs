//! Room for the saw: where parts lie too near for any cut, all are laid anew with
//! more between them.

use std::collections::BTreeSet;

use layout::{Config, lay_out};
use measure::{Checked, Length};
use stock::{Brief, FaceKey, Layout};
use work::SawnFaces;

/// So much more is kept between parts, the first that serves: a narrow blade's
/// turn, and one in which a middling blade comes about.
const ROOMS: [Length; 2] = [Length::mm(12.0), Length::mm(24.0)];

/// A layout with the cuts of its faces.
pub(crate) struct LaidOut {
    pub(crate) laid: Checked<Layout>,
    pub(crate) sawn: SawnFaces,
}

impl LaidOut {
    pub(crate) fn of(brief: &Brief, laid: Checked<Layout>) -> LaidOut {
        LaidOut { sawn: SawnFaces::of(brief, &laid.value), laid }
    }

    /// The same or, if cuts do not come between its parts, one of the same parts
    /// on the same faces in which cuts come to more of them.
    ///
    /// `progress` gets the share that is done. Once `stop` says so, the best so
    /// far is the answer.
    pub(crate) fn with_room(
        self,
        brief: &Brief,
        progress: &(dyn Fn(&Layout, f64) + Sync),
        stop: &(dyn Fn() -> bool + Sync),
    ) -> LaidOut {
        let mut best = self;
        for (round, room) in ROOMS.into_iter().enumerate() {
            if best.sawn.crowded().count() == 0 || stop() {
                break;
            }
            let done = |share: f64| (round as f64 + share) / ROOMS.len() as f64;
            let config = Config { room, ..Config::default() };
            let searched = |_: &Layout, share: f64| progress(&best.laid.value, done(share));
            let again = lay_out(brief, &config, &searched, stop);
            if stop() || held(&again.value) != held(&best.laid.value) {
                continue;
            }
            let again = LaidOut::of(brief, again);
            if again.sawn.without_cuts() < best.sawn.without_cuts() {
                best = again;
            }
        }
        best
    }
}

/// What a layout leaves out, and the faces that it takes: layouts of which these
/// are the same hold the same.
fn held(layout: &Layout) -> (Vec<stock::PartKey>, Vec<stock::StripKey>, BTreeSet<FaceKey>) {
    let faces = layout.used.iter().map(|it| it.0).collect();
    (layout.unplaced.clone(), layout.unplaced_strips.clone(), faces)
}
