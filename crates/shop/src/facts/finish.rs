//! What is known of a finish, and when each of its coats can go on.

use handbook::{CautionKey, Coats, FinishKey, Layer, LayerKind, SheetLine, caution};
use measure::{Minutes, Temperature};

use crate::view::{CoatTime, FinishSheet, FinishTimes, RowSheet};
use crate::{Shop, Trouble};

impl Shop {
    /// All that is known of a finish: its layers, its times in the shop's air, its cautions.
    ///
    /// # Errors
    /// No finish has this key.
    pub fn finish_sheet(&self, key: &str) -> Result<FinishSheet, Trouble> {
        let kit = self.kit()?;
        let coats = kit.own.finish(&FinishKey::from(key)).map_err(Trouble::Missing)?;
        let own = |it: &Layer| kit.own.layers.iter().any(|row| row.key == it.key);
        Ok(FinishSheet {
            key: coats.finish.key.clone(),
            name: coats.finish.name.clone(),
            own: kit.own.finishes.iter().any(|row| row.key == coats.finish.key),
            care: coats.finish.care.clone(),
            layers: coats.layers.iter().map(|it| layer_sheet(it, own(it))).collect(),
            times: times(&coats, kit.air.temperature),
            air: kit.units.temperature(kit.air.temperature),
            faults: coats
                .faults()
                .iter()
                .map(|it| format!("{} over {}: {}", it.over.name, it.under.name, it.why))
                .collect(),
        })
    }
}

/// When each coat can go on at the soonest in air of this temperature, from the first one on.
fn times(finish: &Coats, air: Temperature) -> FinishTimes {
    let (mut at, mut coats) = (Minutes::ZERO, Vec::new());
    let (mut handle, mut food) = (Minutes::ZERO, Minutes::ZERO);
    for (index, layer) in finish.layers.iter().enumerate() {
        let slowed = layer.slowed(air);
        for coat in 1..=layer.coats {
            let wait = if coat < layer.coats { layer.recoat } else { finish.wait_after(index) } * slowed;
            (handle, food) = (at + layer.handle.min(layer.food) * slowed, at + layer.food * slowed);
            coats.push(CoatTime { layer: layer.name.clone(), coat, of: layer.coats, at, ready: at + wait });
            at += wait;
        }
    }
    let slowest = finish.layers.iter().map(|it| it.slowed(air)).fold(1.0, f64::max);
    FinishTimes { coats, handle, food, slowed: (slowest > 1.0).then_some(slowest) }
}

fn kind_words(it: LayerKind) -> &'static str {
    match it {
        LayerKind::Film => "cures to a film on top",
        LayerKind::CuringOil => "soaks in and cures",
        LayerKind::Oil => "soaks in and never cures",
        LayerKind::Wax => "stays soft on top",
    }
}

fn layer_sheet(it: &Layer, own: bool) -> RowSheet {
    let mut lines: Vec<SheetLine> = vec![
        line("on the wood", kind_words(it.kind)),
        line("suits", &it.food_note),
        line("coats", it.coats.to_string()),
        line("from coat to coat", it.recoat.to_words()),
        line("from the last coat to handling", it.handle.to_words()),
        line("from the last coat to food", it.food.to_words()),
        line("a litre covers", format!("{} m²", it.coverage)),
        line("hands for a square metre", format!("{} min", it.hands)),
    ];
    lines.extend(it.thinned.as_ref().map(|how| line("thinning", how)));
    lines.extend(it.tell.as_ref().map(|what| line("tell whoever eats from it", what)));
    lines.extend(it.renew.map(|months| line("renew after", format!("{months} months"))));
    RowSheet {
        key: it.key.0.clone(),
        name: it.name.clone(),
        own,
        lines,
        source: Some(it.confidence.of(&it.source)),
        cautions: cautions(&it.cautions),
    }
}

/// A line of a row, whose source stands with the row.
fn line(name: &str, value: impl Into<String>) -> SheetLine {
    SheetLine {
        name: name.to_owned(),
        value: Some(value.into()),
        printed: None,
        source: None,
        confidence: None,
        note: None,
    }
}

/// The cautions of a row in words.
pub(super) fn cautions(keys: &[CautionKey]) -> Vec<String> {
    keys.iter().filter_map(|key| caution(key).ok()).map(|it| it.text.clone()).collect()
}

#[cfg(test)]
mod tests {
    use handbook::OwnRows;

    use super::*;

    fn of(key: &str, celsius: f64) -> FinishTimes {
        times(&OwnRows::NONE.finish(&FinishKey::from(key)).unwrap(), Temperature::celsius(celsius))
    }

    fn hours(it: &FinishTimes) -> Vec<f64> {
        it.coats.iter().map(|it| it.at.to_hours()).collect()
    }

    /// Three coats, 12 h between them, 2 days to handling and 7 to food: `finishes.toml`.
    #[test]
    fn coats_follow_one_another_as_the_table_says() {
        let varnish = of("wiping_varnish", 20.0);
        assert_eq!(hours(&varnish), [0.0, 12.0, 24.0]);
        assert_eq!((varnish.handle.to_hours(), varnish.food.to_hours()), (24.0 + 48.0, 24.0 + 168.0));
        assert_eq!(varnish.slowed, None);
    }

    #[test]
    fn a_shop_colder_by_ten_degrees_doubles_every_wait_for_what_cures() {
        let (warm, cold) = (of("wiping_varnish", 20.0), of("wiping_varnish", 10.0));
        assert_eq!(hours(&cold), hours(&warm).iter().map(|it| it * 2.0).collect::<Vec<f64>>());
        assert_eq!((cold.food, cold.slowed), (warm.food * 2.0, Some(2.0)));
        assert_eq!(of("mineral_oil_and_wax", 10.0), of("mineral_oil_and_wax", 20.0), "nothing in it cures");
    }

    #[test]
    fn wax_waits_until_the_varnish_below_has_cured() {
        let waxed = of("varnish_then_wax", 20.0);
        assert_eq!(hours(&waxed), [0.0, 12.0, 24.0, 24.0 + 168.0]);
        assert_eq!(waxed.food.to_hours(), 24.0 + 168.0 + 1.0);
    }
}
