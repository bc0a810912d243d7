//! What the machines take, and what is left of a thickness.

use std::collections::BTreeSet;

use measure::{Figure, Length};
use stock::{Change, FaceKey, Finding, Grade, Mending, PanelId, PieceId, Spot};

use crate::making::{Laid, Making};

/// How a face is made flat.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Way {
    /// On jointer or planer.
    Machine,
    /// With a router on a sled, or a hand plane.
    Sled,
}

/// On the machine if it is neither too wide nor too short for it.
pub(super) fn way(length: Length, width: Length, widest: Length, shortest: Length) -> Way {
    if width <= widest && length >= shortest { Way::Machine } else { Way::Sled }
}

fn spot(face: FaceKey) -> Spot {
    match face {
        FaceKey::Piece(piece) => Spot::Piece { piece },
        FaceKey::Panel(panel) => Spot::Panel { panel },
    }
}

/// Findings `too wide for the planer` and `too short to feed`: both are planed
/// for with the sled, so they are notes.
pub(super) fn feed(making: &mut Making, face: FaceKey, length: Length, width: Length) {
    let units = making.units();
    let kit = &making.brief.kit.machines;
    let name = making.brief.face_name(face);
    if width > kit.planer_width {
        let widest = units.length(kit.planer_width);
        making.find(Finding {
            grade: Grade::Note,
            rule: "too wide for the planer".to_owned(),
            what: format!("{name} is {} wide, the planer takes {widest}", units.length(width)),
            spot: spot(face),
            figure: Figure::new("width", units.length(width))
                .by("shorter side of the box around the outline", "measured on the outline")
                .from("longer side", units.length(length)),
            limit: widest,
            why: "a machine that it does not pass cannot make it flat".to_owned(),
            mendings: vec![
                Mending::by_hand("flatten it with a router on a sled, as planned"),
                Mending::by_hand("flatten it with a hand plane, across the grain first"),
                Mending::by_hand("rip it through the middle, plane both halves and glue them again"),
            ],
        });
    }
    if length < kit.shortest_feed {
        let shortest = units.length(kit.shortest_feed);
        making.find(Finding {
            grade: Grade::Note,
            rule: "too short to feed".to_owned(),
            what: format!("{name} is {} long, the machines need {shortest}", units.length(length)),
            spot: spot(face),
            figure: Figure::new("length", units.length(length))
                .by("longer side of the box around the outline", "measured on the outline")
                .from("width", units.length(width)),
            limit: shortest,
            why: "a short piece tips into the cutters or is thrown back".to_owned(),
            mendings: vec![
                Mending::by_hand("flatten it with a router on a sled, as planned"),
                Mending::by_hand("flatten it with a hand plane against a stop"),
                Mending::by_hand("glue two long runners to its sides and saw them off afterwards"),
            ],
        });
    }
}

/// Findings `too thin for its thickness`: pieces and panels against the parts
/// out of them, pieces against the panels out of them.
pub(super) fn thicknesses(making: &mut Making, parts: &[Laid]) {
    let planing = making.brief.kit.allowances.planing;
    let mut told = BTreeSet::new();
    for part in parts {
        let face = part.placement.face;
        let (now, taken) = match face {
            FaceKey::Piece(id) => (making.brief.piece(id).map(|it| it.thickness), planing),
            FaceKey::Panel(id) => (making.brief.panel(id).map(|it| it.thickness), Length::ZERO),
        };
        let Ok(now) = now else { continue };
        if told.insert((face, part.want.id)) {
            part_thickness(making, part, now, taken);
        }
    }
    let strips: BTreeSet<(PieceId, PanelId)> =
        making.layout.strips.iter().map(|it| (it.piece, it.strip.panel)).collect();
    for (piece, panel) in strips {
        strip_thickness(making, piece, panel);
    }
}

fn part_thickness(making: &mut Making, part: &Laid, now: Length, taken: Length) {
    let units = making.units();
    let sanding = making.brief.kit.allowances.sanding;
    let left = now - taken * 2.0 - sanding * 2.0;
    let wanted = part.want.thickness;
    if left >= wanted {
        return;
    }
    let face = making.brief.face_name(part.placement.face);
    let mut mendings = Vec::new();
    if left > Length::ZERO {
        mendings.push(Mending::by(
            Change::Thickness { want: part.want.id, to: left },
            format!("make {} {} thick", part.pattern.name, units.length(left)),
        ));
    }
    mendings.push(Mending::by_hand("take a thicker piece"));
    making.find(Finding {
        grade: Grade::Stop,
        rule: "too thin for its thickness".to_owned(),
        what: format!(
            "{face} leaves {} after planing and sanding, {} wants {}",
            units.length(left),
            part.pattern.name,
            units.length(wanted)
        ),
        spot: part.spot_within(),
        figure: Figure::new("thickness left", units.length(left))
            .by("rough thickness - 2 · planing - 2 · sanding", "the shop's own allowances")
            .from("thickness now", units.length(now))
            .from("planing, each face", units.fine_length(taken))
            .from("sanding, each face", units.fine_length(sanding)),
        limit: units.length(wanted),
        why: "what the machines take off cannot be put back".to_owned(),
        mendings,
    });
}

fn strip_thickness(making: &mut Making, piece: PieceId, panel: PanelId) {
    let (Ok(wood), Ok(panel)) = (making.brief.piece(piece), making.brief.panel(panel)) else { return };
    let units = making.units();
    let planing = making.brief.kit.allowances.planing;
    let left = wood.thickness - planing * 2.0;
    if left >= panel.thickness {
        return;
    }
    making.find(Finding {
        grade: Grade::Stop,
        rule: "strip too thin for its panel".to_owned(),
        what: format!(
            "{} leaves {} after planing, {} wants {}",
            wood.name,
            units.length(left),
            panel.name,
            units.length(panel.thickness)
        ),
        spot: Spot::Panel { panel: panel.id },
        figure: Figure::new("thickness left", units.length(left))
            .by("rough thickness - 2 · planing", "the shop's own allowances")
            .from("thickness now", units.length(wood.thickness))
            .from("planing, each face", units.fine_length(planing)),
        limit: units.length(panel.thickness),
        why: "a thin strip leaves a trough in the panel".to_owned(),
        mendings: vec![
            Mending::by_hand(format!("make {} {} thick", panel.name, units.length(left))),
            Mending::by_hand("rip these strips out of a thicker piece"),
        ],
    });
}
