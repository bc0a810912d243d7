//! A blade put on: its set-up card, and what to look at before the first cut.

use cuts::{RadiusSource, least_radius};
use measure::{Figure, Length, System, Units};
use stock::{Bandsaw, Blade, Finding, Grade, Mending, Spot};

use crate::saw::tension::Test;
use crate::{Operation, Step};

/// The guide stands so far above the work (common practice, no source).
const GUIDE_ABOVE: Length = Length::inches(0.25);

/// Teeth in the thickness of the work (common practice, from memory).
const FEWEST_TEETH: f64 = 3.0;
const MOST_TEETH: f64 = 24.0;

/// Speeds of wood-cutting bandsaws, feet per minute (common practice, from
/// memory).
const SLOWEST: u32 = 2500;
const FASTEST: u32 = 5000;

/// What is set on the saw for a blade and work of a thickness.
pub(super) fn set_up(
    operation: Operation,
    units: Units,
    saw: &Bandsaw,
    blade: Option<&Blade>,
    thickness: Length,
) -> Operation {
    let guide = (thickness + GUIDE_ABOVE).min(saw.height.max(thickness));
    let operation = match blade {
        Some(blade) => of_blade(operation, units, saw, blade, thickness),
        None => operation.set("blade", "none in the shop: a narrow one"),
    };
    operation
        .set("guide above the table", units.length(guide))
        .set("guides", "just clear of the blade, behind the gullets; bearing just clear of the back")
        .set("speed", speed(units, saw.speed_fpm))
}

fn of_blade(
    operation: Operation,
    units: Units,
    saw: &Bandsaw,
    blade: &Blade,
    thickness: Length,
) -> Operation {
    let teeth = format!("{}, {} teeth per inch", units.length(blade.width), blade.teeth_per_inch);
    let operation = operation
        .set("blade", teeth)
        .set("kerf", units.fine_length(blade.kerf))
        .set("teeth in the work", format!("{:.0}", in_the_work(blade, thickness)));
    let Some(test) = Test::new(saw, blade) else { return operation };
    operation
        .set(
            "tension",
            format!(
                "{} from the side, midway, guide raised to {}, moves it {} to {}; \
                 never more than the blade's maker says",
                units.force(test.push),
                units.length(test.span),
                units.fine_length(test.least),
                units.fine_length(test.most),
            ),
        )
        .figure(test.figure(units))
        .figure(radius_figure(blade, units))
}

/// The least radius of a blade as a figure that can be opened.
pub(super) fn radius_figure(blade: &Blade, units: Units) -> Figure {
    let (radius, source) = least_radius(blade);
    let (formula, from) = match source {
        RadiusSource::Chart => (
            "looked up by its width",
            "blade radius chart of the trade, common practice; between its rows by powers",
        ),
        RadiusSource::Chord => (
            "1.6 · width² / (8 · (kerf - band)) - band / 2",
            "derived: the band as a chord in its own kerf; 1.6 from the trade's chart",
        ),
        RadiusSource::HalfChart => (
            "half the chart's radius",
            "blade radius chart of the trade, common practice; its kerf would let it turn tighter still",
        ),
    };
    let figure = Figure::new("least radius of the blade", units.length(radius))
        .by(formula, from)
        .from("width of the blade", units.length(blade.width))
        .from("kerf", units.fine_length(blade.kerf));
    match blade.thickness {
        Some(band) => figure.from("band", units.fine_length(band)),
        None => figure.from("band", "not measured"),
    }
}

/// Puts the steps of a blade's change around those of an operation.
pub(super) fn mounting(mut operation: Operation, why: &str) -> Operation {
    let before = [
        "Power off and locked: take the old blade off, put this one on, teeth down and toward you".to_owned(),
        format!("This blade: {why}"),
        "Tension it, turn the upper wheel by hand and track the blade to run in the middle of the tyre".to_owned(),
        "Set the side guides just clear behind the gullets and the bearing just clear of the back, above the table and below; square the table to the blade".to_owned(),
        "Test cut in waste of the same thickness: square, straight without force, no burning".to_owned(),
    ];
    let steps = before.into_iter().map(|text| Step { text, timer: None });
    operation.steps.splice(0..0, steps);
    operation.steps.push(Step { text: "Take the tension off at the end of the day".to_owned(), timer: None });
    operation
}

fn in_the_work(blade: &Blade, thickness: Length) -> f64 {
    blade.teeth_per_inch * thickness.to_inches()
}

fn speed(units: Units, feet_per_minute: u32) -> String {
    match units.system {
        System::Inches => format!("{feet_per_minute} ft/min"),
        System::Millimetres => format!("{:.0} m/min", f64::from(feet_per_minute) * 0.3048),
    }
}

/// Finding `teeth do not suit the thickness`.
pub(super) fn teeth(units: Units, blade: &Blade, thickness: Length, spot: Spot) -> Option<Finding> {
    let teeth = in_the_work(blade, thickness);
    if teeth_suit(blade, thickness) {
        return None;
    }
    Some(Finding {
        grade: Grade::Note,
        rule: "teeth do not suit the thickness".to_owned(),
        what: format!("{teeth:.1} teeth of the {} blade stand in the work", units.length(blade.width)),
        spot,
        figure: Figure::new("teeth in the work", format!("{teeth:.1}"))
            .by("teeth per inch · thickness", "common practice, from memory")
            .from("teeth per inch", blade.teeth_per_inch.to_string())
            .from("thickness", units.length(thickness)),
        limit: format!("{FEWEST_TEETH} to {MOST_TEETH}"),
        why: "too few catch and tear, too many clog and burn".to_owned(),
        mendings: vec![Mending::by_hand("mount a blade of the same width with other teeth")],
    })
}

/// Whether as many teeth of a blade stand in work of a thickness as should.
pub(super) fn teeth_suit(blade: &Blade, thickness: Length) -> bool {
    (FEWEST_TEETH..=MOST_TEETH).contains(&in_the_work(blade, thickness))
}

/// Finding `kerf below the band`.
pub(super) fn kerf(units: Units, blade: &Blade) -> Option<Finding> {
    let band = blade.thickness.filter(|it| *it >= blade.kerf)?;
    Some(Finding {
        grade: Grade::Mend,
        rule: "kerf below the band".to_owned(),
        what: format!(
            "the {} blade's band is written down as {}, its kerf as {}",
            units.length(blade.width),
            units.fine_length(band),
            units.fine_length(blade.kerf)
        ),
        spot: Spot::Job,
        figure: Figure::new("band", units.fine_length(band)).by("measured", "the shop's own list"),
        limit: format!("less than {}", units.fine_length(blade.kerf)),
        why: "a band as thick as its own cut is stuck in it; no cut is planned with it".to_owned(),
        mendings: vec![Mending::by_hand(
            "measure a cut and the band again, and write both into the shop's list",
        )],
    })
}

/// Finding `speed beyond the usual`.
pub(super) fn speed_finding(units: Units, saw: &Bandsaw) -> Option<Finding> {
    if (SLOWEST..=FASTEST).contains(&saw.speed_fpm) {
        return None;
    }
    Some(Finding {
        grade: Grade::Note,
        rule: "speed beyond the usual".to_owned(),
        what: format!("the bandsaw runs at {}", speed(units, saw.speed_fpm)),
        spot: Spot::Job,
        figure: Figure::new("speed of the blade", speed(units, saw.speed_fpm))
            .by("written down", "the shop's own list"),
        limit: format!("{} to {}", speed(units, SLOWEST), speed(units, FASTEST)),
        why: "slow teeth tear, fast ones burn (common practice, from memory); the saw's manual comes first"
            .to_owned(),
        mendings: vec![Mending::by_hand(
            "look at the manual and write the speed for wood into the shop's list",
        )],
    })
}
