//! Whether there is room for one thing at all.

use outline::Place;
use rand::SeedableRng;
use rand_pcg::Pcg64Mcg;

use crate::bed::Bed;
use crate::kind::{Kind, Shape};
use crate::pile::{Effort, Gaps, Pile, Setup};

/// Spots looked at in one try.
const SPOTS: usize = 40;

/// A place at which one thing of a kind lies on an empty bed; `None` if so many
/// tries found none. The same seed gives the same place.
pub fn find_room(kind: &Kind, bed: &Bed, seed: u64, tries: u32) -> Option<Place> {
    let shapes = [Shape::new(kind.clone())];
    let setup = Setup { shapes: &shapes, gaps: &Gaps { kinds: 1, ways: vec![0.0] } };
    let mut rng = Pcg64Mcg::seed_from_u64(seed);
    let mut pile = Pile::new(&setup, bed);
    pile.add(0, bed.draw_pose(&shapes[0], &mut rng), false);
    let effort = Effort { rounds: 1, strikes: 1, samples: (SPOTS, 0) };
    for _ in 0..tries {
        if pile.settle(0, &effort, &mut rng) {
            return Some(shapes[0].place(pile.things[0].pose));
        }
        pile.move_to(0, bed.draw_pose(&shapes[0], &mut rng));
    }
    None
}
