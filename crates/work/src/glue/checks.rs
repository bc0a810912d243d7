//! What can go wrong in a glue-up.

use handbook::{Glue, percent};
use measure::{Figure, Moisture};
use stock::{Finding, Grade, Mending, Panel, Piece, Spot};

use crate::glue::clamping::Clamping;
use crate::glue::{CLAMP_EACH, SPREAD_EACH, most_joints, moving, reading, stages};
use crate::machining::counted;
use crate::making::Making;

/// Neighbours in a joint may differ so much in moisture (common practice, no source).
const APART: Moisture = Moisture::percent(2.0);

/// All findings about a panel.
pub(super) fn panel(making: &mut Making, panel: &Panel, glue: &Glue, clamping: &Clamping) {
    clamps(making, panel, clamping);
    open_time(making, panel, glue, clamping);
    slow_clamping(making, panel, glue, clamping);
    cold(making, panel, glue);
    washed(making, panel, glue);
    neighbours(making, panel);
}

fn clamps(making: &mut Making, panel: &Panel, clamping: &Clamping) {
    if clamping.there >= clamping.count {
        return;
    }
    let units = making.units();
    making.find(Finding {
        grade: Grade::Mend,
        rule: "too few clamps".to_owned(),
        what: format!(
            "{} takes {} clamps that reach {}, the shop has {}",
            panel.name,
            clamping.count,
            units.length(clamping.reach),
            clamping.there
        ),
        spot: Spot::Panel { panel: panel.id },
        figure: clamping.figure(units),
        limit: clamping.there.to_string(),
        why: "a joint that is pressed too little stays thick with glue and weak".to_owned(),
        mendings: vec![
            Mending::by_hand("borrow clamps, or press with wedges in a frame"),
            Mending::by_hand("glue it up in halves with stiff cauls along the outer strips"),
        ],
    });
}

fn open_time(making: &mut Making, panel: &Panel, glue: &Glue, clamping: &Clamping) {
    let joints = panel.strips().count().saturating_sub(1);
    let most = most_joints(glue, clamping.count);
    if joints <= most {
        return;
    }
    let takes = SPREAD_EACH * joints as f64;
    let count = stages(joints + 1, most).len();
    making.find(Finding {
        grade: Grade::Note,
        rule: "more joints than the glue stays open".to_owned(),
        what: format!(
            "{} has {}; {most} can be closed while the {} is open",
            panel.name,
            counted(joints as u32, "joint"),
            glue.name
        ),
        spot: Spot::Panel { panel: panel.id },
        figure: Figure::new("joints", joints.to_string())
            .by(
                "the smaller of open time / spreading, and (closed time - clamps · tightening) / spreading",
                glue.confidence.of(&glue.source),
            )
            .from("open time", glue.open.to_words())
            .from("closed time", glue.closed.to_words())
            .from("spreading all of them", format!("{} min", takes.to_minutes()))
            .from("clamps", clamping.count.to_string())
            .from("tightening, each clamp", format!("{} min", CLAMP_EACH.to_minutes())),
        limit: most.to_string(),
        why: "glue that has skinned over before the joint closes does not hold".to_owned(),
        mendings: vec![
            Mending::by_hand(format!("glue it up in {count} stages, as planned")),
            Mending::by_hand("take a glue that stays open longer, or a second pair of hands"),
        ],
    });
}

/// Finding `more clamps than the glue allows`: stages cannot mend it, since one
/// joint alone takes all the clamps.
fn slow_clamping(making: &mut Making, panel: &Panel, glue: &Glue, clamping: &Clamping) {
    let takes = SPREAD_EACH + CLAMP_EACH * f64::from(clamping.count);
    if panel.strips().count() < 2 || takes <= glue.closed {
        return;
    }
    making.find(Finding {
        grade: Grade::Mend,
        rule: "more clamps than the glue allows".to_owned(),
        what: format!(
            "one joint of {} and its {} take {}; {} has to be under pressure within {}",
            panel.name,
            counted(clamping.count, "clamp"),
            takes.to_words(),
            glue.name,
            glue.closed.to_words()
        ),
        spot: Spot::Panel { panel: panel.id },
        figure: Figure::new("time to full pressure", takes.to_words())
            .by("one joint · spreading + clamps · tightening", "common practice, no source")
            .from("spreading, each joint", format!("{} min", SPREAD_EACH.to_minutes()))
            .from("clamps", clamping.count.to_string())
            .from("tightening, each clamp", format!("{} min", CLAMP_EACH.to_minutes())),
        limit: glue.closed.to_words(),
        why: "glue that has skinned over before it is pressed does not hold".to_owned(),
        mendings: vec![
            Mending::by_hand("take a glue that stays open longer, or a second pair of hands"),
            Mending::by_hand("use wider outer strips or stiff cauls, so that fewer clamps do"),
        ],
    });
}

fn cold(making: &mut Making, panel: &Panel, glue: &Glue) {
    let units = making.units();
    let air = making.brief.kit.air.temperature;
    if air >= glue.coldest {
        return;
    }
    making.find(Finding {
        grade: Grade::Mend,
        rule: "too cold for the glue".to_owned(),
        what: format!(
            "the shop has {}, {} needs {}",
            units.temperature(air),
            glue.name,
            units.temperature(glue.coldest)
        ),
        spot: Spot::Panel { panel: panel.id },
        figure: Figure::new("air of the shop", units.temperature(air))
            .by("as written down for the shop", glue.confidence.of(&glue.source))
            .from("glue", glue.name.clone()),
        limit: units.temperature(glue.coldest),
        why: "cold glue dries to chalk and does not hold".to_owned(),
        mendings: vec![Mending::by_hand("warm shop, wood and glue overnight before the glue-up")],
    });
}

fn washed(making: &mut Making, panel: &Panel, glue: &Glue) {
    if glue.for_boards {
        return;
    }
    making.find(Finding {
        grade: Grade::Mend,
        rule: "glue that water opens".to_owned(),
        what: format!("{} bears this of water: {}", glue.name, glue.water),
        spot: Spot::Panel { panel: panel.id },
        figure: Figure::new("suits a board that is washed", "no")
            .by("looked up for the glue", glue.confidence.of(&glue.source))
            .from("glue", glue.name.clone())
            .from("food", glue.food.clone()),
        limit: "yes".to_owned(),
        why: "a board is washed, and its joints with it".to_owned(),
        mendings: vec![Mending::by_hand("glue it with a water-resistant white glue")],
    });
}

/// Findings about two strips side by side: their moisture and their movement.
fn neighbours(making: &mut Making, panel: &Panel) {
    let mut told = Vec::new();
    for pair in panel.runs.windows(2) {
        let (Ok(one), Ok(other)) = (making.brief.piece(pair[0].piece), making.brief.piece(pair[1].piece))
        else {
            continue;
        };
        let key = (one.id.min(other.id), one.id.max(other.id));
        if told.contains(&key) {
            continue;
        }
        told.push(key);
        apart(making, panel, one, other);
        let facts = making.brief.facts();
        if let (Ok(a), Ok(b)) = (facts.wood(&one.species), facts.wood(&other.species)) {
            moving::step(making, panel, a, b);
            moving::joint(making, panel, (one, a), (other, b));
        }
    }
}

fn apart(making: &mut Making, panel: &Panel, one: &Piece, other: &Piece) {
    let (Some(a), Some(b)) = (one.moisture, other.moisture) else { return };
    let differ = (a.moisture - b.moisture).abs();
    if differ <= APART {
        return;
    }
    making.find(Finding {
        grade: Grade::Mend,
        rule: "strips of different moisture".to_owned(),
        what: format!(
            "{} ({}) is glued to {} ({})",
            one.name,
            percent(a.moisture),
            other.name,
            percent(b.moisture)
        ),
        spot: Spot::Panel { panel: panel.id },
        figure: Figure::new("difference of moisture", percent(differ))
            .by("M₁ - M₂", "common practice, no source")
            .from(one.name.clone(), reading(one.moisture))
            .from(other.name.clone(), reading(other.moisture)),
        limit: percent(APART),
        why: "the wetter strip shrinks after glueing, leaves a trough and pulls at the joint".to_owned(),
        mendings: vec![Mending::by_hand("let both lie in the same air until the meter shows the same")],
    });
}
