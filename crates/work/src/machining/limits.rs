//! What the machines take: by which way a face is made flat, an edge straight, a
//! strip ripped, and what is told where a machine does not take it.

use measure::{Figure, Length, Minutes, Units};
use stock::{Finding, Grade, Machines, Mending, Spot};

use super::blank::Blank;
use super::hand;
use crate::Workpiece;
use crate::making::Making;

/// Shorter work gives the stops of a router sled no hold outside of the bit's
/// way (common practice, no source).
const LEAST_ON_SLED: Length = Length::inches(4.0);

/// How a face is made flat.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Way {
    /// On jointer or planer.
    Machine,
    /// Through the planer on a carrier board.
    Carrier,
    /// With a router on a sled.
    Sled,
    /// With hand planes.
    Hand,
}

/// The way to the first flat face.
pub(super) fn to_flat(kit: &Machines, blank: &Blank) -> Way {
    let fed = fed_alone(kit, blank, blank.after_first_face());
    way(kit, blank, fed && blank.width <= kit.jointer_width)
}

/// The way to the other face, parallel to the first.
pub(super) fn to_thickness(kit: &Machines, blank: &Blank) -> Way {
    let fed = fed_alone(kit, blank, blank.to);
    way(kit, blank, fed && blank.width <= kit.planer_width)
}

fn fed_alone(kit: &Machines, blank: &Blank, thinnest: Length) -> bool {
    blank.length >= kit.shortest_feed && blank.width >= kit.narrowest_feed && thinnest >= kit.thinnest_feed
}

/// Hands only where neither machine nor sled takes it.
fn way(kit: &Machines, blank: &Blank, on_machine: bool) -> Way {
    let on_sled = kit.sled_width.is_some_and(|it| blank.width <= it) && blank.length >= LEAST_ON_SLED;
    match (on_machine, blank.length >= kit.shortest_feed && blank.width <= kit.planer_width) {
        (true, _) => Way::Machine,
        (false, true) => Way::Carrier,
        (false, false) if on_sled => Way::Sled,
        (false, false) => Way::Hand,
    }
}

/// What is planned instead of feeding it, and what else would do.
fn otherwise(kit: &Machines, blank: &Blank) -> Vec<Mending> {
    let first = match blank.for_first_face() > Length::ZERO {
        true => hand::flat_time(blank.area),
        false => Minutes::ZERO,
    };
    let hands = (first + hand::thickness_time(blank.area, blank.for_planing())).to_words();
    let by_hand = format!("flatten it with hand planes, across the grain first: about {hands}");
    match to_thickness(kit, blank) {
        Way::Hand => vec![Mending::by_hand(format!("{by_hand}, as planned"))],
        Way::Carrier => vec![
            Mending::by_hand("carry it through the planer on a flat board, as planned"),
            Mending::by_hand(by_hand),
        ],
        Way::Machine => vec![Mending::by_hand(by_hand)],
        Way::Sled => vec![
            Mending::by_hand("flatten it with a router on a sled, as planned"),
            Mending::by_hand(by_hand),
        ],
    }
}

/// What a machine does not take, in words.
struct Beyond {
    rule: &'static str,
    what: String,
    figure: Figure,
    limit: String,
    why: &'static str,
}

fn note(making: &mut Making, spot: &Spot, it: Beyond, mendings: Vec<Mending>) {
    making.find(Finding {
        grade: Grade::Note,
        rule: it.rule.to_owned(),
        what: it.what,
        spot: spot.clone(),
        figure: it.figure,
        limit: it.limit,
        why: it.why.to_owned(),
        mendings,
    });
}

/// Findings `too wide for the planer`, `too short to feed`, `too narrow to feed`
/// and `too thin to feed`: all are planned for otherwise, so they are notes.
pub(super) fn feed(making: &mut Making, blank: &Blank) {
    let units = making.units();
    let kit = &making.brief.kit.machines;
    let instead = otherwise(kit, blank);
    let halves = match blank.workpiece {
        Workpiece::Panel(_) => "glue it up in two halves, plane both and glue these together last",
        Workpiece::Piece(_) | Workpiece::Strips(_) | Workpiece::Part(_) => {
            "rip it through the middle, plane both halves and glue them again"
        }
    };
    let longer = match blank.workpiece {
        Workpiece::Part(_) => "lay it on wood of its own thickness, which is planed before it is sawn out",
        Workpiece::Panel(_) => "make the panel that long and cut it to length when it is planed",
        Workpiece::Piece(_) | Workpiece::Strips(_) => {
            "take a longer piece: machine it in one length and cut it afterwards"
        }
    };
    let with = |mending: &str| instead.iter().cloned().chain([Mending::by_hand(mending)]).collect::<Vec<_>>();
    let mut beyond = Vec::new();
    if blank.width > kit.planer_width {
        beyond.push((too_wide(units, blank, kit), with(halves)));
    }
    if blank.length < kit.shortest_feed {
        let mut mendings = with(longer);
        mendings.push(Mending::by_hand("glue two long runners to its sides and saw them off afterwards"));
        beyond.push((too_short(units, blank, kit), mendings));
    }
    if blank.width < kit.narrowest_feed {
        beyond.push((
            too_narrow(units, blank, kit),
            with("machine it while it is still part of a wider piece and rip it afterwards"),
        ));
    }
    if blank.to < kit.thinnest_feed && blank.to > Length::ZERO {
        beyond.push((too_thin(units, blank, kit), with("plane it thicker and sand down the rest")));
    }
    for (it, mendings) in beyond {
        note(making, &blank.spot, it, mendings);
    }
}

fn too_wide(units: Units, blank: &Blank, kit: &Machines) -> Beyond {
    let widest = units.length(kit.planer_width);
    Beyond {
        rule: "too wide for the planer",
        what: format!("{} is {} wide, the planer takes {widest}", blank.name, units.length(blank.width)),
        figure: Figure::new("width", units.length(blank.width))
            .by("side of the box around the outline that lies across the grain", "measured on the outline")
            .from("length", units.length(blank.longest)),
        limit: widest,
        why: "a machine that it does not pass cannot make it flat",
    }
}

fn too_short(units: Units, blank: &Blank, kit: &Machines) -> Beyond {
    let shortest = units.length(kit.shortest_feed);
    Beyond {
        rule: "too short to feed",
        what: format!(
            "{} goes over the machines {} long, they need {shortest}",
            blank.name,
            units.length(blank.length)
        ),
        figure: Figure::new("length", units.length(blank.length))
            .by("side of the box around it that lies along the grain", "measured on the outline")
            .from("width", units.length(blank.width)),
        limit: shortest,
        why: "a short piece tips into the cutters or is thrown back",
    }
}

fn too_narrow(units: Units, blank: &Blank, kit: &Machines) -> Beyond {
    let narrowest = units.length(kit.narrowest_feed);
    Beyond {
        rule: "too narrow to feed",
        what: format!(
            "{} is {} wide, jointer and planer need {narrowest}",
            blank.name,
            units.length(blank.width)
        ),
        figure: Figure::new("width", units.length(blank.width))
            .by("side of the box around the outline that lies across the grain", "measured on the outline")
            .from("length", units.length(blank.longest)),
        limit: narrowest,
        why: "a narrow piece tips over under the rollers and leaves no room for a push block",
    }
}

fn too_thin(units: Units, blank: &Blank, kit: &Machines) -> Beyond {
    let thinnest = units.fine_length(kit.thinnest_feed);
    Beyond {
        rule: "too thin to feed",
        what: format!(
            "{} is planed to {}, jointer and planer need {thinnest}",
            blank.name,
            units.fine_length(blank.to)
        ),
        figure: Figure::new("planed thickness", units.fine_length(blank.to))
            .by("finished thickness + what is still to be taken", "the shop's own allowances")
            .from("thickness now", units.length(blank.now)),
        limit: thinnest,
        why: "a thin piece is lifted into the knives and shatters",
    }
}

/// Findings `too short to rip` and `too narrow to rip`: planned at the bandsaw.
pub(super) fn rip(making: &mut Making, name: &str, spot: &Spot, length: Length, strip: Length) {
    let units = making.units();
    let kit = &making.brief.kit.machines;
    let bandsaw = || Mending::by_hand("rip it on the bandsaw against its fence, as planned");
    if length < kit.shortest_rip {
        let shortest = units.length(kit.shortest_rip);
        let short = Beyond {
            rule: "too short to rip",
            what: format!("{name} is ripped {} long, the table saw needs {shortest}", units.length(length)),
            figure: Figure::new("length", units.length(length))
                .by("shortest length that is ripped", "measured on the outline")
                .from("narrowest strip", units.length(strip)),
            limit: shortest,
            why: "a short piece turns between blade and fence and is thrown back",
        };
        let mendings = vec![
            bandsaw(),
            Mending::by_hand(
                "rip it while it is still part of a longer piece and cut it to length afterwards",
            ),
            Mending::by_hand("screw it to a long sled that runs along the fence"),
        ];
        note(making, spot, short, mendings);
    }
    let kit = &making.brief.kit.machines;
    if strip < kit.narrowest_rip {
        let narrowest = units.length(kit.narrowest_rip);
        let narrow = Beyond {
            rule: "too narrow to rip",
            what: format!(
                "a strip of {name} is {} wide, the table saw needs {narrowest}",
                units.length(strip)
            ),
            figure: Figure::new("width", units.length(strip))
                .by("width in the panel + jointing", "the shop's own allowances")
                .from("length", units.length(length)),
            limit: narrowest,
            why: "between blade and fence it leaves no room for a push stick",
        };
        let mendings = vec![
            bandsaw(),
            Mending::by_hand("let it fall off on the far side of the blade, the fence moved for each strip"),
            Mending::by_hand("make the panel of fewer and wider strips"),
        ];
        note(making, spot, narrow, mendings);
    }
}

/// Finding `too short to crosscut`: sawn and shot by hand.
pub(super) fn crosscut(making: &mut Making, name: &str, spot: &Spot, length: Length) {
    let units = making.units();
    let shortest = making.brief.kit.machines.shortest_crosscut;
    if length >= shortest {
        return;
    }
    let short = Beyond {
        rule: "too short to crosscut",
        what: format!(
            "{name} is cut to {}, the sled of the table saw holds {} or more",
            units.length(length),
            units.length(shortest)
        ),
        figure: Figure::new("length", units.length(length))
            .by("length when trimmed", "the job itself")
            .from("left on for trimming, each end", units.length(making.brief.kit.allowances.trim)),
        limit: units.length(shortest),
        why: "it brings the hands to the blade",
    };
    let mendings = vec![
        Mending::by_hand("saw and shoot its ends by hand, as planned"),
        Mending::by_hand("glue up one panel for several parts and cut it when it is planed"),
        Mending::by_hand("clamp it on the sled with a hold-down, both hands off it"),
    ];
    note(making, spot, short, mendings);
}

#[cfg(test)]
mod tests {
    use stock::{Brief, PanelId, StripRun};

    use super::*;
    use crate::fixture::{MAPLE, SLAB, brief, layout, of_kind, routed, told};
    use crate::{Machine, OperationKind, Route, route};

    fn count(brief: &Brief, rule: &str) -> usize {
        told(&routed(brief), rule).len()
    }

    /// A plank of this size in place of the slab, for the paddle.
    fn slab(brief: &mut Brief, length: f64, width: f64) {
        let face = stock::Face::rectangle(Length::mm(length), Length::mm(width));
        brief.pieces.iter_mut().find(|it| it.id == SLAB).unwrap().face = face.expect("a sound face");
    }

    #[test]
    fn work_too_wide_for_the_planer_is_told_with_its_way() {
        let mut brief = brief();
        assert_eq!(count(&brief, "too wide for the planer"), 0, "290 mm pass 12 1/2 in");
        brief.kit.machines.planer_width = Length::mm(250.0);
        let route = routed(&brief);
        let [finding] = told(&route, "too wide for the planer")[..] else { panic!() };
        assert!(finding.mendings[0].label.starts_with("flatten it with a router"), "{finding:?}");
        assert!(finding.mendings[1].label.contains("hand planes"), "{finding:?}");
        brief.kit.machines.sled_width = Some(Length::mm(280.0));
        let route = routed(&brief);
        let finding = told(&route, "too wide for the planer")[0];
        // 0.1798 m²: 15 + 36 min for the one face, 20 + 65 for the other.
        assert!(finding.mendings[0].label.ends_with("as planned"), "{finding:?}");
        assert!(finding.mendings[0].label.contains("hand planes"), "{finding:?}");
    }

    #[test]
    fn work_is_fed_with_the_grain_and_not_across_it() {
        let mut brief = brief();
        slab(&mut brief, 290.0, 620.0);
        assert_eq!(count(&brief, "too short to feed"), 1, "the grain runs along 290 mm");
        brief.pieces[0].face.grain = stock::GrainField::straight(measure::Angle::degrees(88.0));
        assert_eq!(count(&brief, "too short to feed"), 0, "and now along 620 mm");
    }

    #[test]
    fn a_panel_goes_over_the_machines_before_its_ends_are_trimmed() {
        let mut brief = brief();
        brief.kit.machines.shortest_feed = Length::mm(445.0);
        assert_eq!(count(&brief, "too short to feed"), 0, "420 mm and 15 at each end");
        brief.kit.machines.shortest_feed = Length::mm(455.0);
        let route = routed(&brief);
        let [finding] = told(&route, "too short to feed")[..] else { panic!() };
        let labels: Vec<&str> = finding.mendings.iter().map(|it| it.label.as_str()).collect();
        assert!(labels.iter().any(|it| it.contains("cut it to length when it is planed")), "{labels:?}");
    }

    #[test]
    fn narrow_and_thin_work_rides_on_a_board() {
        let mut brief = brief();
        let rules = ["too narrow to feed", "too thin to feed"];
        assert!(rules.iter().all(|it| count(&brief, it) == 0));
        brief.kit.machines.narrowest_feed = Length::mm(115.0);
        assert_eq!(count(&brief, rules[0]), 1, "the cherry plank, 110 mm");
        brief.kit.machines.narrowest_feed = Length::inches(0.75);
        brief.job.wants[0].thickness = Length::mm(5.5);
        let route = routed(&brief);
        assert_eq!(told(&route, rules[1]).len(), 1, "6 of 6.35 mm");
        let slab = of_kind(&route, OperationKind::Plane)[0];
        assert!(slab.steps[0].text.contains("carrier board"), "{:?}", slab.steps);
        assert_eq!(slab.machine, Some(Machine::Planer));
    }

    fn ripped_at(route: &Route) -> Vec<Option<Machine>> {
        of_kind(route, OperationKind::Rip).iter().map(|it| it.machine).collect()
    }

    #[test]
    fn what_is_too_short_or_too_narrow_to_rip_goes_to_the_bandsaw() {
        let mut brief = brief();
        let rules = ["too short to rip", "too narrow to rip"];
        let route = routed(&brief);
        assert!(rules.iter().all(|it| told(&route, it).is_empty()));
        assert!(ripped_at(&route).iter().all(|it| *it == Some(Machine::TableSaw)));
        brief.job.panels[0].runs[1] = StripRun { width: Length::mm(9.0), ..brief.job.panels[0].runs[1] };
        let route = routed(&brief);
        assert_eq!(told(&route, rules[1]).len(), 1, "9 and 3 of 12.7 mm");
        assert!(ripped_at(&route).contains(&Some(Machine::Bandsaw)));
        brief.job.panels[0].runs[1].width = Length::mm(60.0);
        brief.kit.machines.shortest_rip = Length::mm(1300.0);
        let route = routed(&brief);
        assert_eq!(told(&route, rules[0]).len(), 1, "the cherry plank, 1200 mm; the maple is 1500");
    }

    #[test]
    fn a_panel_too_short_for_the_sled_has_its_ends_shot_by_hand() {
        let mut brief = brief();
        assert_eq!(count(&brief, "too short to crosscut"), 0);
        brief.kit.machines.shortest_crosscut = Length::mm(430.0);
        let route = routed(&brief);
        assert_eq!(told(&route, "too short to crosscut").len(), 1);
        let trimmed = of_kind(&route, OperationKind::Crosscut);
        assert_eq!(trimmed.last().unwrap().machine, None);
    }

    #[test]
    fn a_strip_of_a_short_piece_is_jointed_by_hand_and_of_a_long_one_on_the_jointer() {
        let mut brief = brief();
        let jointed = |route: &Route| of_kind(route, OperationKind::Joint)[0].machine;
        assert_eq!(jointed(&routed(&brief)), Some(Machine::Jointer));
        let maple = brief.pieces.iter_mut().find(|it| it.id == MAPLE).unwrap();
        maple.face = stock::Face::rectangle(Length::mm(470.0), Length::mm(120.0)).expect("a sound face");
        brief.kit.machines.shortest_feed = Length::mm(480.0);
        let layout = layout(&brief);
        assert!(layout.strips.iter().any(|it| it.strip.panel == PanelId(1)));
        assert_eq!(jointed(&route(&brief, &layout)), None);
    }
}
