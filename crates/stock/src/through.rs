//! Which faults go through a piece, where both of its faces are known.

use measure::Length;
use outline::Outline;

use crate::{Face, Piece, Side, Zone, ZoneId, ZoneKind};

/// Faults that lie this near to each other are one, even where both faces fit
/// better: the line round a fault is drawn no finer.
const DRAWN: Length = Length::mm(1.0);

/// However badly the faces fit, faults farther apart are two.
const FARTHEST: Length = Length::mm(5.0);

/// A fault of one face, where it lies on the near one.
struct Fault {
    side: Side,
    id: ZoneId,
    kind: ZoneKind,
    area: Outline,
}

impl Piece {
    /// The piece as its near face shows it, with the faults of the far face that
    /// come through added to those of the near one.
    pub fn seen_from_near(&self) -> Piece {
        let mut seen = self.clone();
        let Some(far) = &self.far_face else { return seen };
        let first = self.face.next_id().0;
        let through = far.face.zones.iter().filter(|it| it.through);
        for (id, zone) in (first..).zip(through) {
            let area = far.lies.place.ring(&zone.area);
            seen.face.zones.push(Zone { id: ZoneId(id), area, ..zone.clone() });
        }
        seen
    }

    /// Tells of the faults that are new since `before` whether they go through:
    /// one that lies over one of the same kind on the other face does, one that
    /// is seen on one face only does not. What the maker has told of the others
    /// stays, but that all are looked at anew when the far face comes to lie
    /// elsewhere. A fault that may turn out to be on the other face too, once
    /// the maker has answered, is left as it is.
    pub fn settle_through(&mut self, before: &Piece) {
        let Some(far) = &self.far_face else { return };
        let near = far.lies.miss.max(DRAWN).min(FARTHEST);
        let relaid = before.far_face.as_ref().is_none_or(|it| it.lies.place != far.lies.place);
        let (zones, waiting) = (self.faults(zones_of), self.faults(candidates_of));
        let (had, waited) = (before.faults(zones_of), before.faults(candidates_of));
        let mut settled = Vec::new();
        for fault in &zones {
            let was = had.iter().find(|it| it.side == fault.side && it.id == fault.id);
            let is_new = relaid || was.is_none();
            let is_changed = was.is_some_and(|it| it.kind != fault.kind || it.area != fault.area);
            let answered = fault.meets(&waited, near) && !fault.meets(&waiting, near);
            let both = fault.meets(&zones, near);
            let other_is_new = zones.iter().any(|it| {
                fault.is_one_with(it, near) && !had.iter().any(|was| was.side == it.side && was.id == it.id)
            });
            if both && (is_new || is_changed || other_is_new) {
                settled.push((fault.side, fault.id, true));
            } else if !both && (is_new || answered) && !fault.meets(&waiting, near) {
                settled.push((fault.side, fault.id, false));
            }
        }
        for (side, id, through) in settled {
            let Ok(face) = self.face_on(side) else { continue };
            face.zones.iter_mut().filter(|it| it.id == id).for_each(|it| it.through = through);
        }
    }

    /// What `of` tells of both faces, as it lies on the near one.
    fn faults(&self, of: fn(&Face) -> Vec<(ZoneId, ZoneKind, Outline)>) -> Vec<Fault> {
        let near = of(&self.face).into_iter();
        let mut all: Vec<Fault> =
            near.map(|(id, kind, area)| Fault { side: Side::Near, id, kind, area }).collect();
        if let Some(far) = &self.far_face {
            all.extend(of(&far.face).into_iter().map(|(id, kind, area)| Fault {
                side: Side::Far,
                id,
                kind,
                area: far.lies.place.outline(&area),
            }));
        }
        all
    }
}

fn zones_of(face: &Face) -> Vec<(ZoneId, ZoneKind, Outline)> {
    face.zones.iter().map(|it| (it.id, it.kind, Outline::from(it.area.clone()))).collect()
}

fn candidates_of(face: &Face) -> Vec<(ZoneId, ZoneKind, Outline)> {
    face.candidates.iter().map(|it| (it.id, it.kind, Outline::from(it.area.clone()))).collect()
}

impl Fault {
    /// Whether the other is the same fault on the other face.
    fn is_one_with(&self, other: &Fault, near: Length) -> bool {
        self.side != other.side && self.kind == other.kind && self.area.distance(&other.area) <= near
    }

    fn meets(&self, others: &[Fault], near: Length) -> bool {
        others.iter().any(|it| self.is_one_with(it, near))
    }
}

impl Face {
    /// A number that neither a zone nor a candidate of this face has.
    pub fn next_id(&self) -> ZoneId {
        let ids = self.zones.iter().map(|it| it.id).chain(self.candidates.iter().map(|it| it.id));
        ZoneId(ids.map(|it| it.0).max().unwrap_or(0).saturating_add(1))
    }
}

#[cfg(test)]
mod tests {
    use handbook::SpeciesKey;
    use measure::Angle;
    use outline::{Place, Point, Ring};

    use super::*;
    use crate::{Candidate, FarFace, Form, PieceId, Registered};

    fn square(x: f64, y: f64) -> Ring {
        let corners = [[x, y], [x + 20.0, y], [x + 20.0, y + 20.0], [x, y + 20.0]];
        Ring::new(corners.map(|[x, y]| Point::new(x, y)).to_vec()).unwrap()
    }

    fn knot(id: u32, x: f64, y: f64, through: bool) -> Zone {
        Zone { id: ZoneId(id), kind: ZoneKind::Knot, area: square(x, y), through, note: String::new() }
    }

    /// A plank 900 by 200 mm, turned over about its length: x goes on, y is turned.
    fn plank() -> Piece {
        let face = Face::rectangle(Length::mm(900.0), Length::mm(200.0)).unwrap();
        let place = Place { at: Point::new(0.0, 200.0), turn: Angle::degrees(180.0), mirrored: true };
        let lies = Registered { place, miss: Length::mm(0.5), problem: None };
        Piece {
            id: PieceId(1),
            name: "plank".to_owned(),
            species: SpeciesKey::from("hard_maple"),
            form: Form::Plank,
            thickness: Length::mm(30.0),
            moisture: None,
            price: None,
            place: String::new(),
            face: face.clone(),
            far_face: Some(FarFace { face, lies, marks: Vec::new() }),
            sawn: None,
        }
    }

    fn through(piece: &Piece) -> (Vec<bool>, Vec<bool>) {
        let told = |face: &Face| face.zones.iter().map(|it| it.through).collect();
        (told(&piece.face), told(&piece.far_face.as_ref().unwrap().face))
    }

    #[test]
    fn a_fault_on_both_faces_goes_through_and_one_on_one_face_does_not() {
        let mut before = plank();
        before.face.zones = vec![knot(1, 100.0, 30.0, true), knot(2, 500.0, 30.0, true)];
        let mut after = before.clone();
        // On the near face it lies from (110, 30) to (130, 50): 200 less 150 to 170.
        after.far_face.as_mut().unwrap().face.zones =
            vec![knot(1, 110.0, 150.0, false), knot(2, 300.0, 0.0, true)];
        after.settle_through(&before);
        assert_eq!(through(&after), (vec![true, true], vec![true, false]));
        let seen = after.seen_from_near();
        assert_eq!(seen.face.zones.len(), 3, "the far one that goes through is added");
        let bounds = seen.face.zones[2].area.bounds();
        assert!(bounds.low.distance(Point::new(110.0, 30.0)) < Length::mm(1e-6), "{bounds:?}");
        assert_eq!(seen.face.zones[2].id, ZoneId(3));
    }

    #[test]
    fn what_the_maker_told_stays_until_the_face_lies_elsewhere() {
        let mut before = plank();
        before.far_face.as_mut().unwrap().face.zones = vec![knot(1, 300.0, 0.0, true)];
        let mut after = before.clone();
        after.face.zones = vec![knot(1, 700.0, 100.0, true)];
        after.settle_through(&before);
        assert_eq!(through(&after), (vec![false], vec![true]));
        let before = after.clone();
        after.far_face.as_mut().unwrap().lies.place.at.x = 3.0;
        after.settle_through(&before);
        assert_eq!(through(&after), (vec![false], vec![false]));
    }

    #[test]
    fn what_waits_for_an_answer_is_left_until_it_is_answered() {
        let mut before = plank();
        let waiting =
            Candidate { id: ZoneId(7), kind: ZoneKind::Knot, area: square(100.0, 150.0), sure: 0.7 };
        before.far_face.as_mut().unwrap().face.candidates = vec![waiting];
        let mut after = before.clone();
        after.face.zones = vec![knot(1, 100.0, 30.0, true)];
        after.settle_through(&before);
        assert_eq!(through(&after).0, [true]);
        let before = after.clone();
        after.far_face.as_mut().unwrap().face.candidates.clear();
        after.settle_through(&before);
        assert_eq!(through(&after).0, [false], "refused: nothing is seen on the other face");
    }

    #[test]
    fn a_piece_with_one_face_is_left_alone() {
        let mut piece = Piece { far_face: None, ..plank() };
        piece.face.zones = vec![knot(1, 0.0, 0.0, true)];
        let before = Piece { face: Face { zones: Vec::new(), ..piece.face.clone() }, ..piece.clone() };
        let same = piece.clone();
        piece.settle_through(&before);
        assert_eq!(piece, same);
        assert_eq!(piece.seen_from_near(), same);
    }
}
