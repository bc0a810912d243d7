//! Whether the shop's air lets the finish cure.

use handbook::{CURES_AT, Coats, percent};
use measure::{Figure, Moisture};
use stock::{Finding, Grade, Mending, Spot};

use crate::making::Making;

/// Damper air slows oils and varnishes, and waterborne ones still more (common
/// practice, no source).
const DAMPEST: Moisture = Moisture::percent(70.0);

/// Less than this nobody notices.
const NOTICED: f64 = 1.05;

/// Findings `cold air for the finish` and `damp air for the finish`.
pub(super) fn check(making: &mut Making, finish: &Coats) {
    let (units, air) = (making.units(), making.brief.kit.air);
    let Some(layer) = finish.layers.iter().find(|it| it.cures()) else { return };
    let slowed = layer.slowed(air.temperature);
    if slowed > NOTICED {
        making.find(Finding {
            grade: Grade::Note,
            rule: "cold air for the finish".to_owned(),
            what: format!(
                "the shop has {}: {} takes {slowed:.1} times as long",
                units.temperature(air.temperature),
                layer.name
            ),
            spot: Spot::Job,
            figure: Figure::new("the shop's air", units.temperature(air.temperature))
                .by(
                    "2^((20 °C − t) / 10 °C), reckoned into every wait",
                    "rule of thumb for reactions, from memory",
                )
                .from("times as long", format!("{slowed:.2}"))
                .from("layer", layer.name.clone()),
            limit: units.temperature(CURES_AT),
            why: "a finish cures by a reaction that the cold slows; food on it too early tastes of it"
                .to_owned(),
            mendings: vec![Mending::by_hand(
                "finish in a heated room, and keep the boards there until they have cured",
            )],
        });
    }
    if air.humidity > DAMPEST {
        making.find(Finding {
            grade: Grade::Note,
            rule: "damp air for the finish".to_owned(),
            what: format!(
                "the shop's air has {} of humidity: {} dries slowly in it",
                percent(air.humidity),
                layer.name
            ),
            spot: Spot::Job,
            figure: Figure::new("relative humidity", percent(air.humidity))
                .by("as the shop keeps it", "common practice, no source")
                .from("layer", layer.name.clone())
                .from("waits", "left as they are: no source says how much longer"),
            limit: percent(DAMPEST),
            why: "the times on the can are for drier air, and waterborne finishes may turn milky".to_owned(),
            mendings: vec![Mending::by_hand(
                "dry the air or wait for a dry day, and try each coat with a thumb before the next",
            )],
        });
    }
}

#[cfg(test)]
mod tests {
    use handbook::FinishKey;
    use measure::{Minutes, Temperature};

    use super::*;
    use crate::OperationKind;
    use crate::fixture::{brief, of_kind, routed, told};

    #[test]
    fn a_cold_shop_waits_longer_and_is_told() {
        let mut brief = brief();
        brief.job.finish = FinishKey::from("wiping_varnish");
        let warm = routed(&brief);
        assert!(told(&warm, "cold air for the finish").is_empty());
        brief.kit.air.temperature = Temperature::celsius(10.0);
        let cold = routed(&brief);
        assert_eq!(told(&cold, "cold air for the finish").len(), 1);
        // By hand: ten degrees colder, twice as long; a week becomes two.
        let wait = |it: &crate::Route| of_kind(it, OperationKind::Finish)[0].wait;
        assert!((wait(&cold) - wait(&warm) * 2.0).abs() < Minutes::minutes(0.01));
        let all = of_kind(&cold, OperationKind::Finish)[2].wait + of_kind(&cold, OperationKind::Cure)[0].wait;
        assert!((all - Minutes::days(14.0)).abs() < Minutes::minutes(0.01), "{all:?}");
    }

    #[test]
    fn damp_air_is_told_of_what_cures_and_wax_does_not_mind() {
        let mut brief = brief();
        brief.job.finish = FinishKey::from("wiping_varnish");
        brief.kit.air.humidity = Moisture::percent(80.0);
        let route = routed(&brief);
        let [damp] = told(&route, "damp air for the finish")[..] else { panic!() };
        assert!(damp.figure.inputs.iter().any(|it| it.value.contains("no source")), "{damp:?}");
        brief.job.finish = FinishKey::from("mineral_oil_and_wax");
        brief.kit.air.temperature = Temperature::celsius(5.0);
        let route = routed(&brief);
        assert!(told(&route, "damp air for the finish").is_empty());
        assert!(told(&route, "cold air for the finish").is_empty());
    }
}
