//! Finishes: what is put on, in which order, how much, and when it is ready.

use std::sync::LazyLock;

use measure::{Area, Minutes, Temperature, Volume};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::facts::table;
use crate::{CautionKey, Confidence, FinishKey, LayerKey};

/// What is put on in coats: a varnish, an oil, a wax.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
#[serde(deny_unknown_fields)]
pub struct Layer {
    /// Its key: `wiping_varnish`.
    pub key: LayerKey,
    /// The trade's name.
    pub name: String,
    /// What it does on the wood.
    pub kind: LayerKind,
    /// How many coats are usual.
    pub coats: u32,
    /// From one coat to the next.
    pub recoat: Minutes,
    /// From the last coat until it may be handled with care.
    pub handle: Minutes,
    /// From the last coat until food may touch it.
    pub food: Minutes,
    /// Square metres that a litre covers, one coat.
    pub coverage: f64,
    /// Minutes of hands for a square metre, one coat.
    pub hands: f64,
    /// How it is thinned, if it is.
    pub thinned: Option<String>,
    /// What it suits.
    pub food_note: String,
    /// Months until its owner gives it a new coat; nothing where it only wears through.
    #[serde(default)]
    pub renew: Option<u32>,
    /// What whoever eats from it should be told is in it.
    #[serde(default)]
    pub tell: Option<String>,
    /// What to take care of.
    pub cautions: Vec<CautionKey>,
    /// Where that comes from.
    pub source: String,
    /// How sure we are of it.
    pub confidence: Confidence,
}

/// What a layer does on the wood.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum LayerKind {
    /// Cures to a film on top.
    Film,
    /// Soaks in and cures.
    CuringOil,
    /// Soaks in and never cures.
    Oil,
    /// Stays soft on top.
    Wax,
}

/// A finish: its layers from the wood up.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
#[serde(deny_unknown_fields)]
pub struct Finish {
    /// Its key.
    pub key: FinishKey,
    /// The trade's name.
    pub name: String,
    /// From the wood up.
    pub layers: Vec<LayerKey>,
    /// How the owner keeps it.
    pub care: String,
}

/// Whether one kind may go over another.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// As soon as the lower one takes a coat.
    Yes,
    /// Once the lower one has cured as for food.
    AfterCure,
    /// Never.
    No,
}

/// A rule of order with its reason.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
#[serde(deny_unknown_fields)]
pub struct OrderRule {
    /// The lower kind.
    pub under: LayerKind,
    /// The upper kind.
    pub over: LayerKind,
    /// Whether it may.
    pub verdict: Verdict,
    /// Whether the lower layer is scuffed before, so that the upper one holds.
    #[serde(default)]
    pub scuff: bool,
    /// Why.
    pub why: String,
}

/// A finish with its layers looked up, from the wood up.
#[derive(Clone, Debug, PartialEq)]
pub struct Coats<'a> {
    /// The finish.
    pub finish: &'a Finish,
    /// Its layers.
    pub layers: Vec<&'a Layer>,
}

/// Two layers in an order that does not hold.
#[derive(Clone, Debug, PartialEq)]
pub struct OrderFault<'a> {
    /// The lower layer.
    pub under: &'a Layer,
    /// The layer that will not hold on it.
    pub over: &'a Layer,
    /// Why.
    pub why: &'static str,
}

#[derive(Deserialize)]
struct Rows {
    layer: Vec<Layer>,
    finish: Vec<Finish>,
    order: Vec<OrderRule>,
}

static FINISHES: LazyLock<Rows> =
    LazyLock::new(|| table("finishes.toml", include_str!("../data/finishes.toml")));

/// The air that the tables' times are for, at the least.
pub const CURES_AT: Temperature = Temperature::celsius(20.0);

/// Where the rules of order come from.
pub const ORDER_SOURCE: &str = "common practice: a curing finish first, oil and wax on top, never after";

/// Every finish that is known, the wrong orders too.
pub fn all_finishes() -> &'static [Finish] {
    &FINISHES.finish
}

/// Every layer that is known.
pub fn all_layers() -> &'static [Layer] {
    &FINISHES.layer
}

/// Whether one kind of layer may go over another, and why.
pub fn may_go_over(under: LayerKind, over: LayerKind) -> &'static OrderRule {
    let rule = FINISHES.order.iter().find(|rule| rule.under == under && rule.over == over);
    rule.expect("the table has a rule for every two kinds; a test reads all sixteen")
}

impl OrderRule {
    /// How long after the last coat of a lower layer the upper one may go on.
    pub fn after(&self, under: &Layer) -> Option<Minutes> {
        match self.verdict {
            Verdict::Yes => Some(under.recoat),
            Verdict::AfterCure => Some(under.food),
            Verdict::No => None,
        }
    }
}

impl Layer {
    /// How much of it the area takes with all its coats.
    pub fn quantity(&self, area: Area) -> Volume {
        Volume::mm3(area.to_m2() / self.coverage * f64::from(self.coats) * 1e6)
    }

    /// Minutes of hands for one coat on the area.
    pub fn hands_for(&self, area: Area) -> Minutes {
        Minutes::minutes(self.hands * area.to_m2())
    }

    /// How many times as long it takes in colder air than [`CURES_AT`]: twice for
    /// each 10 °C if it cures (rule of thumb for reactions, from memory). Warm air
    /// is not trusted to make it faster.
    pub fn slowed(&self, air: Temperature) -> f64 {
        let colder = CURES_AT.to_celsius() - air.to_celsius();
        if self.cures() { (colder.max(0.0) / 10.0).exp2() } else { 1.0 }
    }

    /// Whether it cures.
    pub const fn cures(&self) -> bool {
        match self.kind {
            LayerKind::Film | LayerKind::CuringOil => true,
            LayerKind::Oil | LayerKind::Wax => false,
        }
    }
}

impl<'a> Coats<'a> {
    /// The wait after the last coat of a layer: until the next layer may go on,
    /// or, above the last one, until food may touch it.
    pub fn wait_after(&self, index: usize) -> Minutes {
        match (self.layers.get(index), self.layers.get(index + 1)) {
            (Some(under), Some(over)) => {
                may_go_over(under.kind, over.kind).after(under).unwrap_or(under.food)
            }
            (Some(last), None) => last.food,
            (None, _) => Minutes::ZERO,
        }
    }

    /// The rule by which a layer goes over the one below it; none on bare wood.
    pub fn rule_below(&self, index: usize) -> Option<&'static OrderRule> {
        let under = self.layers.get(index.checked_sub(1)?)?;
        Some(may_go_over(under.kind, self.layers.get(index)?.kind))
    }

    /// The layers that the owner can renew: those that hold on the top one.
    pub fn renewed(&self) -> impl Iterator<Item = (&'a Layer, u32)> {
        let top = self.layers.last().copied();
        let holds =
            move |it: &Layer| top.is_some_and(|top| may_go_over(top.kind, it.kind).verdict != Verdict::No);
        self.layers.iter().filter_map(move |&it| it.renew.filter(|_| holds(it)).map(|months| (it, months)))
    }

    /// Every two layers that do not hold on one another.
    pub fn faults(&self) -> Vec<OrderFault<'a>> {
        let upper = |i: usize| self.layers[i + 1..].iter();
        let pairs =
            self.layers.iter().enumerate().flat_map(|(i, &under)| upper(i).map(move |&over| (under, over)));
        let fault = |(under, over): (&'a Layer, &'a Layer)| {
            let rule = may_go_over(under.kind, over.kind);
            (rule.verdict == Verdict::No).then_some(OrderFault { under, over, why: &rule.why })
        };
        pairs.filter_map(fault).collect()
    }
}
