//! Finishing: which layers in which order, how much, how long until food.

mod rules;

use handbook::{Finish, Layer, finish};
use measure::{Area, Figure, Minutes};
use stock::Spot;

use crate::making::{Laid, Making};
use crate::{Operation, OperationId, OperationKind, Supply, Workpiece};

/// Hands for setting out and cleaning up, each coat (common practice, no source).
const SET_OUT: Minutes = Minutes::minutes(10.0);

/// Looking the parts over and writing down the day.
const SET_ASIDE: Minutes = Minutes::minutes(5.0);

/// All coats on all parts, from the wood up; answers with the last of them.
pub(crate) fn coats(making: &mut Making, parts: &[Laid]) -> Option<OperationId> {
    rules::check(making, parts);
    let finish = match finish(&making.brief.job.finish) {
        Ok(finish) => finish,
        Err(problem) => {
            making.cannot(Spot::Job, &problem);
            return None;
        }
    };
    if parts.is_empty() {
        return None;
    }
    let area: Area = parts.iter().map(Laid::surface).sum();
    let layers = finish.layers();
    let count: u32 = layers.iter().map(|it| it.coats).sum();
    let (mut done, mut last) = (0, None);
    for (index, layer) in layers.iter().enumerate() {
        for coat in 1..=layer.coats {
            done += 1;
            let wait = wait(finish, index, layer, coat);
            let operation = one_coat(making, parts, layer, (coat, done, count), area, wait);
            last = Some(making.add(operation));
        }
    }
    last
}

/// The wait after a coat: to the next coat of the layer, to the next layer, or,
/// after the last of all, until it may be handled.
fn wait(finish: &Finish, index: usize, layer: &Layer, coat: u32) -> Minutes {
    if coat < layer.coats {
        return layer.recoat;
    }
    let last = index + 1 == finish.layers().len();
    if last { layer.handle.min(layer.food) } else { finish.wait_after(index) }
}

fn one_coat(
    making: &Making,
    parts: &[Laid],
    layer: &Layer,
    (coat, done, count): (u32, u32, u32),
    area: Area,
    wait: Minutes,
) -> Operation {
    let units = making.units();
    let litres = layer.quantity(area).to_litres() / f64::from(layer.coats.max(1));
    let amount = Figure::new("finish for this coat", format!("{:.0} ml", litres * 1000.0))
        .by("area / square metres to a litre", layer.confidence.of(&layer.source))
        .from("area, both faces and edges", units.area(area))
        .from("a litre covers", format!("{:.0} m²", layer.coverage));
    let between = Figure::new("wait after it", duration(wait))
        .by("what the layer needs before the next", layer.confidence.of(&layer.source))
        .from("coat", format!("{done} of {count}"));
    let workpieces: Vec<Workpiece> = parts.iter().map(Laid::workpiece).collect();
    let mut operation = Operation::begin(
        OperationKind::Finish,
        format!("Put on {}, coat {coat} of {}", layer.name, layer.coats),
    )
    .working_on(workpieces)
    .taking(SET_OUT + layer.hands_for(area))
    .then_waiting(wait)
    .minding(["first"])
    .minding(layer.cautions.iter().map(|it| it.0.as_str()))
    .using(Supply::Finish, litres)
    .figure(amount)
    .figure(between);
    if coat == 1 {
        operation = operation.step("Wipe all dust off");
        if let Some(thinned) = &layer.thinned {
            operation = operation.set("thinned", thinned.clone());
        }
    } else {
        operation = operation.step("Scuff lightly with worn fine grit and wipe the dust off");
    }
    let operation = operation
        .step("Coat the underside and the edges first, then the food face: every face gets the same")
        .step("Stand it on points so that air reaches all faces");
    let rags = layer.cautions.iter().any(|it| it.0 == "oily_rags");
    if rags { operation.step("Spread the rags flat outdoors or sink them in water, now") } else { operation }
}

/// The last wait, from the last coat until food may touch the parts. Feet are
/// screwed on meanwhile.
pub(crate) fn cure(making: &mut Making, parts: &[Laid], last_coat: OperationId) {
    let Ok(finish) = finish(&making.brief.job.finish) else { return };
    let layers = finish.layers();
    let (Some(last), false) = (layers.last(), parts.is_empty()) else { return };
    let rest = last.food - last.handle.min(last.food);
    let figure = Figure::new("from the last coat to food", duration(last.food))
        .by("curing time of the last layer", last.confidence.of(&last.source))
        .from("of it before handling", duration(last.handle.min(last.food)));
    let operation = Operation::begin(OperationKind::Cure, format!("Let the {} cure before food", last.name))
        .working_on(parts.iter().map(Laid::workpiece).collect())
        .taking(SET_ASIDE)
        .then_waiting(rest)
        .step("Write the day of the last coat on a slip and leave it with the parts")
        .step("Stand them where air reaches all faces, warm and out of the sun")
        .timed_step("No food on it, no stacking, no wrapping until it has cured", rest)
        .minding(["first", "food_rules"])
        .figure(figure);
    making.add_after(operation, vec![last_coat]);
}

/// A stretch of time in the words of the can: hours up to two days, then days.
pub(crate) fn duration(it: Minutes) -> String {
    let hours = it.to_hours();
    if hours < 2.0 {
        format!("{:.0} min", it.to_minutes())
    } else if hours <= 48.0 {
        format!("{hours:.0} h")
    } else {
        format!("{:.0} days", hours / 24.0)
    }
}
