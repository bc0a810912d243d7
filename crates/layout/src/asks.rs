//! What a part asks of its place beside clear wood all over, as the pressing
//! search takes it.

use measure::Length;
use nest::{Asks, Live};
use outline::{Outline, Ring};
use stock::{Pattern, Side, Want};

use crate::plain::plain;
use crate::rules::{self, KeptOut};

/// Faults that every part keeps from.
const EVERY: u64 = 1;
/// Faults of the far face.
const BELOW: u64 = 2;
/// Bark and wane, which may be a live edge.
const BARK: u64 = 4;
/// From one spot of a drawn line past a live edge to the next.
const STEP: Length = Length::mm(8.0);

/// The class of a fault.
pub(crate) fn class_of(it: &KeptOut) -> u64 {
    match it.side {
        Side::Far => BELOW,
        Side::Near if rules::may_be_live(it.kind) => BARK,
        Side::Near => EVERY,
    }
}

/// What a part asks.
#[derive(Clone, Debug, Default)]
pub(crate) struct Asked {
    /// Classes of faults that it may hold anywhere.
    pub(crate) bears: u64,
    pub(crate) asks: Asks,
    /// What the plain shapes in there may be off.
    pub(crate) off: Length,
}

impl Asked {
    /// What a part of a want asks, which is to show an area if one is given.
    pub(crate) fn of(pattern: &Pattern, want: &Want, shown: Option<&Ring>) -> Asked {
        let mut asked = Asked { bears: if want.underside_shows { 0 } else { BELOW }, ..Asked::default() };
        if want.underside_shows && pattern.covered().next().is_some() {
            let below: Vec<Outline> =
                rules::shown_below(pattern).iter().map(|it| asked.made_plain(it)).collect();
            asked.asks.keeps_off.push((BELOW, below));
        }
        if pattern.has_live_edge() {
            // A pattern that is live edge all over has no core; nothing holds it then.
            let core = rules::core(pattern).unwrap_or_else(|| pattern.outline.clone());
            let core = asked.made_plain(&core);
            asked.asks.keeps_off.push((BARK, vec![core.clone()]));
            asked.asks.live = Some(Live { core, past: rules::live_lines(pattern, STEP) });
        }
        asked.asks.shows = shown.map(|area| (pattern.outline.outer().centroid(), area.clone()));
        asked
    }

    /// What a strip of a panel asks: its underside is glued in or planed off.
    pub(crate) fn of_strip() -> Asked {
        Asked { bears: BELOW, ..Asked::default() }
    }

    fn made_plain(&mut self, shape: &Outline) -> Outline {
        let (plain, off) = plain(shape);
        self.off = self.off.max(off);
        plain
    }

    /// Whether only the pressing search sees to all of it.
    pub(crate) fn is_pressed_only(&self) -> bool {
        self.asks.live.is_some() || self.asks.shows.is_some()
    }
}
