//! What is left of a piece, made ready to go on the rack.

use measure::{Checked, Length, Problem};
use outline::{Bounds, Outline, Place};
use stock::{FaceKey, FarFace, Form, Layout, Piece, PieceId, Price, ShopKit};

use crate::limits::LONGEST_TEXT;

/// A leftover of a piece.
#[derive(Clone, Debug)]
pub(crate) struct Leftover {
    /// As it goes on the rack, but for its number and its pictures.
    pub(crate) piece: Piece,
    /// Where it was on the near face of the whole piece.
    pub(crate) near: Bounds,
    /// Where it was on the far one.
    pub(crate) far: Option<Bounds>,
}

/// The kerf of a usual 1/4 in blade, for a shop that has listed no blade
/// (common practice, no source).
const USUAL_KERF: Length = Length::inches(0.042);

/// Arcs of grown lines may be this much off; they are grown by as much more.
const ARC: Length = Length::mm(0.05);

impl Leftover {
    /// Its outline, where it was on the whole piece.
    pub(crate) fn on_whole(&self) -> Outline {
        Place { at: self.near.low, ..Place::default() }.outline(&self.piece.face.outline)
    }
}

/// What a layout leaves of a piece, in the layout's order. A leftover ends where
/// the wood does, keeps the kerf from every part, and shares no wood with another.
pub(crate) fn leftovers(of: &Piece, layout: &Layout, kit: &ShopKit) -> Checked<Vec<Leftover>> {
    let mut gone = sawn_away(of.id, layout, kit);
    let mut left: Vec<Leftover> = Vec::new();
    let mut problems = Vec::new();
    for offcut in layout.offcuts.iter().filter(|it| it.face == FaceKey::Piece(of.id)) {
        let free = offcut.outline.minus(&gone).into_iter().next();
        match free.and_then(|it| leftover(of, left.len() + 1, &it)) {
            Some(found) => {
                problems.extend(found.problems);
                gone.push(found.value.on_whole());
                left.push(found.value);
            }
            None => {
                let message = format!("an offcut of “{}” lies where none of its wood is left", of.name);
                problems.push(Problem::new(message).hint("it does not go on the rack"));
            }
        }
    }
    Checked { value: left, problems }
}

/// What the saw takes of a piece: its parts and strips, and the widest kerf
/// round each that a blade of the shop makes.
fn sawn_away(piece: PieceId, layout: &Layout, kit: &ShopKit) -> Vec<Outline> {
    let blades = kit.bandsaw.blades.iter().map(|it| it.kerf);
    let curved = blades.reduce(Length::max).unwrap_or(USUAL_KERF);
    let straight = kit.machines.straight_kerf;
    let parts = layout.placements.iter().filter(|it| it.face == FaceKey::Piece(piece));
    let strips = layout.strips.iter().filter(|it| it.piece == piece);
    let parts = parts.map(|it| (&it.outline, curved));
    let strips = strips.map(|it| (&it.outline, straight));
    parts.chain(strips).flat_map(|(it, kerf)| it.offset(kerf + ARC, ARC)).collect()
}

/// The part of a piece under a shape; `None` where there is no wood.
fn leftover(of: &Piece, number: usize, shape: &Outline) -> Option<Checked<Leftover>> {
    let mut cut = of.face.cut_out(shape)?;
    let name = named(&of.name, number);
    let mut problems = Vec::new();
    let far = of.far_face.as_ref().and_then(|it| it.cut_out(&cut));
    if of.far_face.is_some() && far.is_none() {
        cut = of.seen_from_near().face.cut_out(shape)?;
        let message = format!("the far face of “{name}” is lost: how it lies under the near one is not sure");
        problems.push(Problem::new(message).hint("its faults that go through are marked on the near face"));
    }
    let (far_face, far): (Option<FarFace>, Option<Bounds>) = far.unzip();
    let share = cut.face.area() / of.face.area();
    let piece = Piece {
        id: PieceId(0),
        name,
        species: of.species.clone(),
        form: Form::Offcut,
        thickness: of.thickness,
        moisture: of.moisture,
        price: of.price.map(|price| match price {
            Price::BoardFoot(each) => Price::BoardFoot(each),
            Price::Whole(all) => Price::Whole(all * share),
        }),
        place: of.place.clone(),
        face: cut.face,
        far_face,
        sawn: None,
    };
    Some(Checked { value: Leftover { piece, near: cut.from, far }, problems })
}

/// `Walnut slab, offcut 1`; a name that would grow too long is cut short.
fn named(whole: &str, number: usize) -> String {
    let tail = format!(", offcut {number}");
    let head: String = whole.chars().take(LONGEST_TEXT - tail.chars().count()).collect();
    format!("{head}{tail}")
}

#[cfg(test)]
mod tests;
