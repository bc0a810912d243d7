//! Faults that a photograph may show, and nobody has answered for yet.

use measure::Figure;
use stock::{Finding, Grade, Mending, Piece, Spot, ZoneKind};

use crate::machining::used_pieces;
use crate::making::Making;

/// One note for each piece in use with candidates that wait for an answer.
pub(crate) fn pieces(making: &mut Making) {
    for id in used_pieces(making) {
        let Ok(piece) = making.brief.piece(id) else { continue };
        let waiting = waiting(piece);
        let count: usize = waiting.iter().map(|it| it.1).sum();
        if count == 0 {
            continue;
        }
        let named: Vec<String> = waiting.iter().map(|&(kind, count)| kind.counted(count)).collect();
        let what = format!("{} in {} {} for an answer", joined(&named), piece.name, wait(count));
        let mut figure = Figure::new("faults that wait for an answer", count.to_string())
            .by("counted on both faces", "what the photographs may show");
        for (kind, count) in &waiting {
            figure = figure.from(kind.word(), count.to_string());
        }
        making.find(Finding {
            grade: Grade::Note,
            rule: "faults wait for an answer".to_owned(),
            what,
            spot: Spot::Piece { piece: id },
            figure,
            limit: "0".to_owned(),
            why: "parts were laid as if nothing were there".to_owned(),
            mendings: vec![Mending::by_hand("look at the piece")],
        });
    }
}

fn waiting(piece: &Piece) -> Vec<(ZoneKind, usize)> {
    let of = |kind| piece.faces().flat_map(|face| &face.candidates).filter(|it| it.kind == kind).count();
    ZoneKind::ALL.into_iter().map(|kind| (kind, of(kind))).filter(|it| it.1 > 0).collect()
}

fn joined(named: &[String]) -> String {
    match named {
        [] => String::new(),
        [only] => only.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

fn wait(count: usize) -> &'static str {
    if count == 1 { "waits" } else { "wait" }
}

#[cfg(test)]
mod tests {
    use stock::{Candidate, FarFace, Grade, Registered, ZoneId, ZoneKind};

    use crate::fixture::{brief, ring, routed, told};

    fn candidate(id: u32, kind: ZoneKind) -> Candidate {
        let area = ring(&[[300.0, 20.0], [320.0, 20.0], [320.0, 40.0], [300.0, 40.0]]);
        Candidate { id: ZoneId(id), kind, area, sure: 0.7 }
    }

    #[test]
    fn what_waits_on_either_face_is_told_by_its_kind_until_it_is_answered() {
        const RULE: &str = "faults wait for an answer";
        let mut brief = brief();
        assert!(told(&routed(&brief), RULE).is_empty());
        let mut far = brief.pieces[0].face.clone();
        far.candidates = vec![candidate(1, ZoneKind::Knot)];
        let lies =
            Registered { place: outline::Place::default(), miss: measure::Length::ZERO, problem: None };
        brief.pieces[0].far_face = Some(FarFace { face: far, lies, marks: Vec::new() });
        brief.pieces[0].face.candidates = vec![candidate(1, ZoneKind::Knot), candidate(2, ZoneKind::Check)];
        let route = routed(&brief);
        let [finding] = told(&route, RULE)[..] else { panic!("{:?}", route.findings) };
        assert!(finding.what.starts_with("2 knots and 1 check in "), "{}", finding.what);
        assert!(finding.what.ends_with(" wait for an answer"), "{}", finding.what);
        assert_eq!(finding.grade, Grade::Note);
        assert_eq!(finding.mendings[0].label, "look at the piece");
    }
}
