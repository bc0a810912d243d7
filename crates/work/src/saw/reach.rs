//! Whether the work passes between blade and column, and under the guide.

use measure::{Figure, Length};
use outline::{Point, Ring, hull};
use stock::{Finding, Grade, Mending};

use crate::making::{Laid, Making};

/// How far the work reaches from the blade toward the column while a part is
/// sawn with its waste on the column's side: the farthest that the wood stands
/// out, square to the line, over all places of the line. A blank that is turned
/// over saws the other way round with the same reach.
pub(super) fn reach(part: &Ring, wood: &[Point]) -> Length {
    let mut most = 0.0_f64;
    for edge in part.edges() {
        let long = edge.length().to_mm();
        if long <= 0.0 {
            continue;
        }
        let (nx, ny) = ((edge.to.y - edge.from.y) / long, (edge.from.x - edge.to.x) / long);
        let out = wood.iter().map(|it| (it.x - edge.from.x) * nx + (it.y - edge.from.y) * ny);
        most = out.fold(most, f64::max);
    }
    Length::mm(most)
}

/// Whether straight cuts have to free a blank first, or even that is too large:
/// findings `work meets the column` and `too thick for the bandsaw`.
pub(super) fn check(making: &mut Making, part: &Laid, wood: &[Point], thickness: Length) -> bool {
    let units = making.units();
    let saw = &making.brief.kit.bandsaw;
    let (throat, height) = (saw.throat, saw.height);
    if thickness > height {
        making.find(Finding {
            grade: Grade::Stop,
            rule: "too thick for the bandsaw".to_owned(),
            what: format!(
                "{} is {} thick, under the guide pass {}",
                part.name,
                units.length(thickness),
                units.length(height)
            ),
            spot: part.spot_within(),
            figure: Figure::new("thickness when sawn", units.length(thickness))
                .by("finished thickness + 2 · sanding", "the shop's own allowances")
                .from("finished", units.length(part.want.thickness)),
            limit: units.length(height),
            why: "the guide cannot be set above it".to_owned(),
            mendings: vec![Mending::by_hand("saw it from thinner wood, or with a hand-held saw")],
        });
    }
    let ring = part.placement.outline.outer();
    let whole = reach(ring, wood);
    if whole <= throat {
        return false;
    }
    let own = hull(ring.corners().to_vec());
    let blank = reach(ring, &own);
    if blank <= throat {
        return true;
    }
    making.find(Finding {
        grade: Grade::Mend,
        rule: "work meets the column".to_owned(),
        what: format!(
            "{} cut free to its own blank reaches {} toward the column, the throat has {}",
            part.name,
            units.length(blank),
            units.length(throat)
        ),
        spot: part.spot_within(),
        figure: Figure::new("reach toward the column", units.length(blank))
            .by(
                "farthest wood outward from the line, over all of the line",
                "derived: the waste on the column's side",
            )
            .from("out of the whole face", units.length(whole)),
        limit: units.length(throat),
        why: "the cut stops with the blade caught in its own kerf".to_owned(),
        mendings: vec![
            Mending::by_hand("saw the far side with a hand-held jig saw or a bow saw"),
            Mending::by_hand("make it shorter, or saw it in two halves from both ends"),
        ],
    });
    true
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixture::ring;

    #[test]
    fn a_square_in_a_plank_reaches_as_far_as_its_longer_rest() {
        // By hand: a square from 100 to 200 in a plank from 0 to 900 by 0 to 300:
        // right of it 700 mm stand out, above it 100, left 100, below 100.
        let part = ring(&[[100.0, 100.0], [200.0, 100.0], [200.0, 200.0], [100.0, 200.0]]);
        let wood = ring(&[[0.0, 0.0], [900.0, 0.0], [900.0, 300.0], [0.0, 300.0]]);
        assert_eq!(reach(&part, wood.corners()), Length::mm(700.0));
        assert_eq!(reach(&part, part.corners()), Length::ZERO);
    }
}
