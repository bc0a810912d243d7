//! Putting feet, battens and handles on, and letting in the rest.

use handbook::{Glue, SAFE_PULL, sideways_source};
use measure::{Figure, Length, Minutes};
use stock::LetIn;

use crate::fit::Fixed;
use crate::fit::feet::{Fastening, Foot};
use crate::making::{Laid, Making};
use crate::{Fixing, Held, Operation, OperationKind, Supply, WoodScrew};

// Rates of hands (common practice, no source).
const EACH_SCREW: Minutes = Minutes::minutes(3.0);
const EACH_PLUG: Minutes = Minutes::minutes(4.0);
const EACH_HANDLE: Minutes = Minutes::minutes(8.0);
const EACH_POCKET: Minutes = Minutes::minutes(5.0);

/// Everything that is put on or in a part.
pub(super) fn fitting(making: &Making, fixed: &Fixed) -> Operation {
    let part = fixed.part;
    let screws: u32 = fixed.feet.iter().map(|(_, it)| it.count).sum();
    let plugs: u32 =
        fixed.feet.iter().filter(|it| it.1.counterbore > Length::ZERO).map(|(_, it)| it.count).sum();
    let hands = EACH_SCREW * f64::from(screws)
        + EACH_PLUG * f64::from(plugs)
        + EACH_HANDLE * fixed.handles.len() as f64
        + EACH_POCKET * fixed.pockets.len() as f64;
    let glue = making.brief.facts().glue(&making.brief.job.glue).ok();
    let mut operation = Operation::begin(OperationKind::Fit, title(part, fixed))
        .working_on(vec![part.workpiece()])
        .taking(hands)
        .using(Supply::Screw, f64::from(screws) + f64::from(plugs))
        .minding(["first", "hand_tools"]);
    operation.fixings = fixings(making, part, fixed);
    if !fixed.feet.is_empty() {
        operation = feet_on(making, part, fixed, operation);
        if plugs > 0 {
            operation = plugs_in(glue, operation);
        }
    }
    operation = handles_on(making, fixed, operation);
    pockets_filled(fixed, glue, operation)
}

fn title(part: &Laid, fixed: &Fixed) -> String {
    let feet = fixed.feet.iter().any(|it| !it.0.batten);
    let battens = fixed.feet.iter().any(|it| it.0.batten);
    let magnets = fixed.pockets.iter().any(|it| it.holds == LetIn::Magnet);
    let inserts = fixed.pockets.iter().any(|it| it.holds == LetIn::ThreadedInsert);
    let words = [
        (feet, "feet"),
        (battens, "battens"),
        (!fixed.handles.is_empty(), "handle"),
        (magnets, "magnets"),
        (inserts, "threaded inserts"),
    ];
    let there: Vec<&str> = words.iter().filter(|it| it.0).map(|it| it.1).collect();
    format!("Fit the {} of {}", there.join(", "), part.name)
}

fn feet_on(making: &Making, part: &Laid, fixed: &Fixed, mut operation: Operation) -> Operation {
    let units = making.units();
    for (foot, it) in &fixed.feet {
        operation = operation
            .set(
                &format!("screw for {}", foot.name()),
                format!("No. {} by {}, {}", it.screw.number, units.length(it.length), it.count),
            )
            .figure(hold_figure(making, part, it));
        if let Some(figure) = push_figure(making, part, it) {
            operation = operation.figure(figure);
        }
        let figure = foot.off_the_grain(making, part).and_then(|(off, _)| it.movement(making, part, off));
        if let (false, 2.., Some((_, figure))) = (foot.batten, it.count, figure) {
            operation = operation.figure(figure.from("play of the holes", units.fine_length(it.play())));
        }
    }
    if fixed.feet.iter().any(|it| it.0.batten) {
        operation = operation.step(
            "Battens: drive the middle screw home; set the screws in the slots in the middle, with washers, and only until they hold",
        );
    }
    operation
        .step("Rub wax on each screw and drive it by hand until the foot just closes")
        .step("Set the board on a flat table: if it rocks, sand the high foot")
}

fn plugs_in(glue: Option<&Glue>, operation: Operation) -> Operation {
    let wait = glue.map_or(Minutes::hours(1.0), |it| it.clamp);
    let operation = operation
        .timed_step(
            "Glue in the plugs, their grain along the foot's; over a slot glue the plug to the foot alone",
            wait,
        )
        .step("Pare the plugs flush and put finish on them");
    match glue {
        Some(glue) => operation.minding(glue.cautions.iter().map(|it| it.0.as_str())),
        None => operation,
    }
}

fn handles_on(making: &Making, fixed: &Fixed, mut operation: Operation) -> Operation {
    let units = making.units();
    for handle in &fixed.handles {
        operation = operation
            .set(
                &format!("screws for handle {}", handle.id),
                format!(
                    "{} thick, through {} of wood",
                    units.fine_length(handle.screw),
                    units.length(handle.grip)
                ),
            )
            .step(format!("Put handle {} on with a washer under each head", handle.id));
        operation = if handle.slot.is_some() {
            operation.step("Tighten the screw in the round hole; the one in the slot only until it holds, so that the wood can move")
        } else {
            operation.step("Tighten both until they hold; do not crush the wood")
        };
    }
    operation
}

fn pockets_filled(fixed: &Fixed, glue: Option<&Glue>, mut operation: Operation) -> Operation {
    for pocket in &fixed.pockets {
        operation = match (pocket.holds, glue) {
            (LetIn::Magnet, _) => operation.step(format!(
                "Mark which side of the magnet pulls, glue it into pocket {} and close the hole: no bare metal near food",
                pocket.id
            )),
            (LetIn::ThreadedInsert, _) => operation.step(format!(
                "Wax the insert and turn it square into pocket {} until it lies just below the face",
                pocket.id
            )),
        };
    }
    operation
}

fn fixings(making: &Making, part: &Laid, fixed: &Fixed) -> Vec<Fixing> {
    let feet = fixed.feet.iter().map(|(foot, it)| screwed(making, part, foot, it));
    let handles = fixed.handles.iter().map(|it| it.fixing(part));
    feet.chain(handles).chain(fixed.pockets.iter().map(|it| it.fixing(part))).collect()
}

fn screwed(making: &Making, part: &Laid, foot: &Foot, it: &Fastening) -> Fixing {
    let slot = foot.off_the_grain(making, part).and_then(|(off, _)| it.slot(making, part, off));
    let screw = WoodScrew {
        number: it.screw.number,
        length: it.length,
        shank: it.screw.shank,
        head: it.screw.head,
        counterbore: it.counterbore,
        plug: it.screw.plug,
        hole: it.clearance,
        slot: slot.map(|it| it.0).filter(|_| foot.batten && it.count > 1),
        pilot: it.pilot,
        bite: it.bite,
    };
    let (length, width, height) = (foot.length, foot.width, foot.height);
    Fixing {
        part: part.key,
        pattern: part.pattern.id,
        feature: foot.id,
        at: foot.at,
        along: foot.along,
        holes: foot.screws(it).collect(),
        top: it.top,
        held: Held::Screwed { batten: foot.batten, length, width, height, screw },
    }
}

/// What each screw of a foot bears, in the lightest of the part's woods.
fn hold_figure(making: &Making, part: &Laid, it: &Fastening) -> Figure {
    let units = making.units();
    let lighter = part.lightest();
    let thread = it.bite.min(it.screw.thread(it.length));
    let pull = lighter.map(|wood| it.screw.pull_out(wood, thread)).unwrap_or_default();
    let figure = Figure::new("each screw bears", units.force(pull * SAFE_PULL))
        .by("108.25 G² D L · 0.18", "Wood Handbook FPL-GTR-282 (2021), eq. 8-10; design rule for wood screws")
        .from("shank D", units.fine_length(it.screw.shank))
        .from("thread in the top L", units.fine_length(thread))
        .from("tears out at", units.force(pull));
    match lighter {
        Some(wood) => {
            figure.from(format!("specific gravity of {}", wood.name), format!("{:.2}", wood.gravity().value))
        }
        None => figure,
    }
}

/// What each screw of a foot bears when the board is pushed over the table.
fn push_figure(making: &Making, part: &Laid, it: &Fastening) -> Option<Figure> {
    let units = making.units();
    let lighter = part.lightest()?;
    let bears = it.screw.sideways(lighter, it.bite)?;
    let figure = Figure::new("each screw bears sideways", units.force(bears))
        .by("K D², in full from seven shanks deep, in proportion down to four", sideways_source())
        .from("shank D", units.fine_length(it.screw.shank))
        .from("reach into the top", units.fine_length(it.bite));
    Some(
        figure
            .from(format!("specific gravity of {}", lighter.name), format!("{:.2}", lighter.gravity().value)),
    )
}
