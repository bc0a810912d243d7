//! What things lie on: concrete, planks or pale paper.

use crate::noise::{Noise, step};
use crate::shot::{Bench, Shot, Subject};
use crate::wood::{Colour, reseed};

/// The bench below everything.
pub(crate) struct Ground {
    bench: Bench,
    broad: Noise,
    fine: Noise,
    plank: Noise,
}

/// Width of a bench plank, in millimetres.
const PLANK: f64 = 128.0;

impl Ground {
    pub(crate) fn of(shot: &Shot) -> Ground {
        let seed = match &shot.subject {
            Subject::Slab(slab) => slab.ask().seed,
            Subject::Leaf(_) => 1,
        };
        let layer = |it| Noise::new(reseed(seed, 9), it);
        Ground { bench: shot.bench, broad: layer(1), fine: layer(2), plank: layer(3) }
    }

    pub(crate) fn colour(&self, x: f64, y: f64) -> Colour {
        match self.bench {
            Bench::Concrete => self.concrete(x, y),
            Bench::Planks => self.planks(x, y),
            Bench::Paper => self.paper(x, y),
        }
    }

    /// The side of a block that lifts a sheet: plain grey board.
    pub(crate) fn block(&self, x: f64, y: f64, z: f64) -> Colour {
        let tone = 1.0 + 0.06 * self.fine.space(x / 2.0, y / 2.0, z / 2.0);
        [0.30, 0.235, 0.165].map(|it| it * tone)
    }

    fn concrete(&self, x: f64, y: f64) -> Colour {
        let cloud = self.broad.rough(x / 260.0, y / 260.0, 3);
        let speckle = self.fine.rough(x / 3.4, y / 3.4, 2);
        let pit = step(1.75, 2.3, self.plank.plane(x / 5.0, y / 5.0));
        let tone = (1.0 + 0.055 * cloud + 0.045 * speckle) * (1.0 - 0.35 * pit);
        [0.335, 0.33, 0.315].map(|it| it * tone)
    }

    fn planks(&self, x: f64, y: f64) -> Colour {
        let row = (y / PLANK + 0.31).floor();
        let across = y - (row - 0.31) * PLANK;
        let shift = self.plank.cell(row as i32, 3) * 900.0;
        let tint = 0.9 + 0.2 * self.plank.cell(row as i32, 7);
        let line = y + 3.0 * self.broad.plane(x / 260.0 + shift, y / 90.0);
        let rings = self.broad.plane((x + shift) / 420.0, line / 9.0);
        let streak = self.fine.rough((x + shift) / 28.0, line / 0.8, 2);
        let seam = step(1.1, 0.3, across.min(PLANK - across));
        let tone = tint * (1.0 + 0.085 * rings + 0.035 * streak) * (1.0 - 0.75 * seam);
        [0.52, 0.40, 0.265].map(|it| it * tone)
    }

    fn paper(&self, x: f64, y: f64) -> Colour {
        let cloud = self.broad.rough(x / 160.0, y / 160.0, 2);
        let fibre = self.fine.rough(x / 1.4, y / 1.4, 2);
        let tone = 1.0 + 0.012 * cloud + 0.012 * fibre;
        [0.70, 0.675, 0.615].map(|it| it * tone)
    }
}
