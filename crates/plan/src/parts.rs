//! What is known of each placed part: size, area, weight.

use measure::{Figure, Mass, Volume};
use stock::{Brief, FaceKey, Layout, PieceId, Placement};

use crate::PlannedPart;
use crate::words::number;

/// What is known of each placed part, by part.
pub(crate) fn planned_parts(brief: &Brief, layout: &Layout) -> Vec<PlannedPart> {
    layout.placements.iter().filter_map(|it| planned(brief, it)).collect()
}

fn planned(brief: &Brief, it: &Placement) -> Option<PlannedPart> {
    let want = brief.want(it.part.want).ok()?;
    let pattern = brief.pattern_of(it.part).ok()?;
    let units = brief.units();
    let area = it.outline.area();
    let (density, wood) = density(brief, it.face);
    let volume = area * want.thickness;
    let mass = weigh(volume, density);
    let size = pattern.outline.bounds();
    let sides = [size.width(), size.height(), want.thickness].map(|side| units.length(side));
    let figures = vec![
        Figure::new("size", sides.join(" × "))
            .by("the box around the outline, and the want's thickness", "the pattern"),
        Figure::new("face", units.area(area)).by("area of the outline without its openings", "the pattern"),
        Figure::new("weight", units.mass(mass))
            .by(
                "area × thickness × density, hollows and holes not taken off",
                "Wood Handbook FPL-GTR-282 (2021), eq. 4-14",
            )
            .from("area", units.area(area))
            .from("thickness", units.length(want.thickness))
            .from("density at 12 % moisture", format!("{} kg/m³", number(density, 0)))
            .from("wood", wood),
    ];
    Some(PlannedPart { part: it.part, name: brief.part_name(it.part), face: it.face, area, mass, figures })
}

/// The density of a face's wood; a panel's is the mean of its strips by width.
fn density(brief: &Brief, face: FaceKey) -> (f64, String) {
    let of_piece = |id: PieceId| brief.piece(id).and_then(|it| brief.facts().wood(&it.species)).ok();
    match face {
        FaceKey::Piece(id) => {
            of_piece(id).map_or((0.0, "not known".to_owned()), |it| (it.density().value, it.name.clone()))
        }
        FaceKey::Panel(id) => {
            let Ok(panel) = brief.panel(id) else { return (0.0, "not known".to_owned()) };
            let known = panel
                .strips()
                .filter_map(|(piece, width)| of_piece(piece).map(|it| (it.density().value, width.to_mm())));
            let (heavy, wide) = known
                .fold((0.0, 0.0), |(heavy, wide), (density, width)| (heavy + density * width, wide + width));
            let mean = if wide > 0.0 { heavy / wide } else { 0.0 };
            (mean, format!("mean of the strips of {}", panel.name))
        }
    }
}

fn weigh(volume: Volume, density: f64) -> Mass {
    Mass::kg(volume.to_litres() / 1000.0 * density)
}
