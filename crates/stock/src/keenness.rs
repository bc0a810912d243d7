//! How sure a fault must seem before the maker is asked about it.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::ZoneKind;

/// The least sureness with which a fault of each kind is offered.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Keenness(
    /// Kinds that are not in it are offered from [`Keenness::usual`] on.
    BTreeMap<ZoneKind, f64>,
);

/// What the maker said of one fault that a photograph seemed to show.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Verdict {
    /// What it seemed to be.
    pub kind: ZoneKind,
    /// How sure that was, from 0 to 1.
    pub sure: f64,
    /// Whether a fault was there, of this kind or of another.
    pub confirmed: bool,
}

/// The newest answers of a shop, oldest first.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Verdicts {
    all: Vec<Verdict>,
}

/// So many answers weigh as much as what is assumed before the first one.
const ASSUMED: f64 = 20.0;

/// Of the faults that are there, this share is to be asked about.
const RECALL: f64 = 0.95;

/// Where more than nine of ten answers were faults, less sure ones are likely
/// faults too and are asked about: down by this much at most (common practice,
/// no source).
const MOSTLY: f64 = 9.0;
const FARTHEST_DOWN: f64 = 0.3;

impl Keenness {
    /// However many were confirmed, nothing less sure is offered.
    pub const LEAST: f64 = 0.1;
    /// However many were refused, everything as sure as this is offered.
    pub const MOST: f64 = 0.8;

    /// Where nobody has answered yet. Less than even: a fault that is missed spoils
    /// wood, one that is none costs a touch (common practice, no source). Checks and
    /// stains seem less sure than knots do, but fewer other things look like them.
    pub fn usual(kind: ZoneKind) -> f64 {
        match kind {
            ZoneKind::Check => 0.15,
            ZoneKind::Stain => 0.2,
            _ => 0.3,
        }
    }

    /// The least sureness with which a fault of this kind is offered.
    pub fn of(&self, kind: ZoneKind) -> f64 {
        self.0.get(&kind).copied().unwrap_or_else(|| Keenness::usual(kind))
    }
}

impl FromIterator<(ZoneKind, f64)> for Keenness {
    fn from_iter<I: IntoIterator<Item = (ZoneKind, f64)>>(each: I) -> Keenness {
        Keenness(each.into_iter().collect())
    }
}

impl Verdicts {
    /// The most answers of a kind that are kept; the oldest go first.
    pub const MOST: usize = 200;

    /// Adds an answer.
    pub fn add(&mut self, verdict: Verdict) {
        self.all.push(verdict);
        if self.of(verdict.kind).count() > Verdicts::MOST
            && let Some(oldest) = self.all.iter().position(|it| it.kind == verdict.kind)
        {
            self.all.remove(oldest);
        }
    }

    /// Forgets the answers of one kind.
    pub fn forget(&mut self, kind: ZoneKind) {
        self.all.retain(|it| it.kind != kind);
    }

    /// How many of a kind were confirmed, and how many refused.
    pub fn counts(&self, kind: ZoneKind) -> (usize, usize) {
        let confirmed = self.of(kind).filter(|it| it.confirmed).count();
        (confirmed, self.of(kind).count() - confirmed)
    }

    /// How sure a fault must seem to be offered, by what the maker has answered.
    ///
    /// The highest threshold with which 95 % of the confirmed faults would still
    /// be offered drops the most of the refused ones. The share offered at a
    /// threshold is the mean of the Beta distribution that the answers leave of
    /// a Dirichlet process (Ferguson, A Bayesian analysis of some nonparametric
    /// problems, 1973) whose prior weighs as much as 20 answers and has its 95 %
    /// just at the usual threshold of the kind. The way up to it is gone in the share in
    /// which refusals outweigh the prior: where nothing was refused there is
    /// nothing to drop. Where nearly all were faults it goes down instead. Five
    /// answers move it by 0.06 at most, and it stays from 0.1 to 0.8.
    pub fn keenness(&self) -> Keenness {
        let asked = ZoneKind::ALL.into_iter().filter(|&kind| self.of(kind).next().is_some());
        asked.map(|kind| (kind, self.threshold(kind))).collect()
    }

    fn of(&self, kind: ZoneKind) -> impl Iterator<Item = &Verdict> {
        self.all.iter().filter(move |it| it.kind == kind)
    }

    fn threshold(&self, kind: ZoneKind) -> f64 {
        let (confirmed, refused) = self.counts(kind);
        let (confirmed, refused) = (confirmed as f64, refused as f64);
        let usual = Keenness::usual(kind);
        let highest = self.highest(kind) - usual;
        let worth = if highest > 0.0 { refused / (refused + ASSUMED) } else { 1.0 };
        let mostly_faults = (confirmed - MOSTLY * refused).max(0.0) / (confirmed + refused + ASSUMED);
        let threshold = usual + highest * worth - FARTHEST_DOWN * mostly_faults;
        threshold.clamp(Keenness::LEAST, Keenness::MOST)
    }

    /// The highest threshold, in hundredths, that still offers enough of the faults.
    fn highest(&self, kind: ZoneKind) -> f64 {
        let faults: Vec<f64> = self.of(kind).filter(|it| it.confirmed).map(|it| it.sure).collect();
        let share = |threshold: f64| {
            let offered = faults.iter().filter(|&&it| it >= threshold).count() as f64;
            (ASSUMED * assumed(threshold, Keenness::usual(kind)) + offered) / (ASSUMED + faults.len() as f64)
        };
        let mut steps = (0..=100).rev().map(|it| f64::from(it) / 100.0);
        // Rounding must not lose a threshold that holds exactly.
        steps.find(|&it| share(it) >= RECALL - 1e-12).unwrap_or(0.0)
    }
}

/// The share of faults that is assumed to seem at least so sure: before any answer they
/// seem evenly as sure from the usual threshold to 1, but for the share that nobody is
/// asked about.
fn assumed(threshold: f64, usual: f64) -> f64 {
    if threshold >= usual {
        RECALL * (1.0 - threshold) / (1.0 - usual)
    } else {
        RECALL + (1.0 - RECALL) * (usual - threshold) / usual
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn answers(confirmed: &[(usize, f64)], refused: &[(usize, f64)]) -> Verdicts {
        let mut all = Verdicts::default();
        for (each, confirmed) in [(confirmed, true), (refused, false)] {
            for &(count, sure) in each {
                (0..count).for_each(|_| all.add(Verdict { kind: ZoneKind::Knot, sure, confirmed }));
            }
        }
        all
    }

    fn knots(confirmed: &[(usize, f64)], refused: &[(usize, f64)]) -> f64 {
        answers(confirmed, refused).keenness().of(ZoneKind::Knot)
    }

    #[test]
    fn without_answers_and_for_other_kinds_it_is_the_usual() {
        assert_eq!(knots(&[], &[]), Keenness::usual(ZoneKind::Knot));
        assert_eq!(answers(&[(30, 0.9)], &[(30, 0.5)]).keenness().of(ZoneKind::Check), 0.15);
    }

    #[test]
    fn a_handful_of_answers_moves_it_little() {
        for all in [knots(&[(5, 0.95)], &[]), knots(&[], &[(5, 0.6)]), knots(&[(3, 0.9)], &[(2, 0.55)])] {
            assert!((all - Keenness::usual(ZoneKind::Knot)).abs() <= 0.06 + 1e-12, "{all}");
        }
    }

    #[test]
    fn refused_ones_are_dropped_where_the_confirmed_were_surer() {
        // Worked by hand: 20 · 0.95 · (1 − t) / 0.7 + 100 ≥ 0.95 · 120 holds up to t = 0.484,
        // 0.48 in hundredths; 100 refusals outweigh the prior by 100 / 120.
        let found = knots(&[(100, 0.9)], &[(100, 0.55)]);
        assert!((found - (0.3 + 0.18 * 100.0 / 120.0)).abs() < 1e-9, "{found}");
        // As many faults at 0.55 would be lost with it: it stays below them.
        let found = knots(&[(50, 0.9), (50, 0.55)], &[(100, 0.52)]);
        assert!((Keenness::usual(ZoneKind::Knot)..=0.55).contains(&found), "{found}");
    }

    #[test]
    fn at_least_nineteen_of_twenty_confirmed_stay_offered() {
        for low in 1..=9_usize {
            let sure: Vec<(usize, f64)> = (0..100).map(|it| (1, 0.5 + 0.005 * f64::from(it))).collect();
            let all = answers(&sure, &[(10 * low, 0.5 + 0.05 * low as f64)]);
            let threshold = all.keenness().of(ZoneKind::Knot);
            let lost = sure.iter().filter(|it| it.1 < threshold).count();
            assert!(lost <= 5, "{lost} of 100 lost at {threshold}");
        }
    }

    #[test]
    fn where_nearly_all_are_faults_less_sure_ones_are_asked_about() {
        let found = knots(&[(60, 0.8)], &[(1, 0.6)]);
        assert!(found < 0.35, "{found}");
        assert!(knots(&[(200, 0.99)], &[]) >= Keenness::LEAST);
        assert!(knots(&[], &[(200, 0.99)]) <= Keenness::MOST);
    }

    #[test]
    fn the_oldest_answers_go_first_and_a_kind_can_be_forgotten() {
        let mut all = answers(&[(200, 0.9)], &[(150, 0.6)]);
        assert_eq!(all.counts(ZoneKind::Knot), (50, 150));
        all.add(Verdict { kind: ZoneKind::Check, sure: 0.7, confirmed: true });
        all.forget(ZoneKind::Knot);
        assert_eq!((all.counts(ZoneKind::Knot), all.counts(ZoneKind::Check)), ((0, 0), (1, 0)));
    }
}
