//! What things lie on: floors, bench tops, boards, paper.

use crate::noise::{Noise, step};
use crate::palette::{Palette, palette};
use crate::shot::{Bench, Shot, Subject};
use crate::slab::Look;
use crate::things::Thing;
use crate::wood::{Colour, mixed, reseed};

/// The bench below everything.
pub(crate) struct Ground {
    bench: Bench,
    broad: Noise,
    fine: Noise,
    plank: Noise,
    boards: Palette,
    things: Vec<Thing>,
}

/// Width of a planed board, in millimetres.
const BOARD: f64 = 176.0;
/// Width of a bench plank, in millimetres.
const PLANK: f64 = 128.0;

impl Ground {
    pub(crate) fn of(shot: &Shot) -> Ground {
        let (seed, look) = match &shot.subject {
            Subject::Slab(slab) => (slab.ask().seed, slab.ask().look),
            Subject::Leaf(_) => (1, Look::Maple),
        };
        let layer = |it| Noise::new(reseed(seed, 9), it);
        Ground {
            bench: shot.bench,
            broad: layer(1),
            fine: layer(2),
            plank: layer(3),
            boards: palette(look),
            things: shot.things.clone(),
        }
    }

    pub(crate) fn colour(&self, x: f64, y: f64) -> Colour {
        let bench = match self.bench {
            Bench::Concrete => self.concrete(x, y),
            Bench::Planks => self.planks(x, y),
            Bench::Paper => self.paper(x, y),
            Bench::Plywood => self.plywood(x, y),
            Bench::Boards => self.boards(x, y),
            Bench::Sawdust => self.sawdust(x, y),
        };
        self.things.iter().fold(bench, |below, it| it.over(below, x, y))
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

    /// Rotary-cut veneer: broad flames, short pores.
    fn plywood(&self, x: f64, y: f64) -> Colour {
        let flame = self.broad.rough(x / 420.0, y / 85.0, 2);
        let rings = step(0.25, 0.75, (2.6 * flame - (2.6 * flame).floor() - 0.5).abs() * 2.0);
        let pore = step(1.0, 1.7, self.fine.plane(x / 7.0, y / 0.7));
        let streak = self.plank.rough(x / 60.0, y / 1.6, 2);
        let tone = (1.0 - 0.07 * rings + 0.02 * streak) * (1.0 - 0.16 * pore);
        [0.63, 0.485, 0.315].map(|it| it * tone)
    }

    /// Planed boards side by side, each with its own tone and figure.
    fn boards(&self, x: f64, y: f64) -> Colour {
        let row = (y / BOARD + 0.17).floor();
        let across = y - (row - 0.17) * BOARD;
        let shift = self.plank.cell(row as i32, 3) * 900.0;
        let tint = 0.86 + 0.24 * self.plank.cell(row as i32, 7);
        let line = y + 9.0 * self.broad.plane(x / 340.0 + shift, y / 120.0);
        let year = line / 6.5 + 0.8 * self.broad.plane((x + shift) / 500.0, line / 30.0);
        let share = year - year.floor();
        let late = step(0.3, 0.9, share) * step(1.0, 0.94, share) * 0.8;
        let streak = self.fine.rough((x + shift) / 26.0, line / 0.7, 2);
        let seam = step(1.0, 0.25, across.min(BOARD - across));
        let tone = tint * (1.0 + (0.03 + self.boards.streaks) * streak).max(0.3) * (1.0 - 0.75 * seam);
        mixed(self.boards.early, self.boards.late, late).map(|it| it * tone)
    }

    /// Heaps and a thin scatter of sawdust on concrete.
    fn sawdust(&self, x: f64, y: f64) -> Colour {
        let heap = self.plank.rough(x / 170.0, y / 170.0, 3);
        // Turned against each other, so that no grid of the noise shows.
        let (u, v) = (0.83 * x + 0.56 * y, 0.83 * y - 0.56 * x);
        let crumb = 0.75 * self.fine.plane(u / 1.6, v / 1.1) + 0.75 * self.plank.plane(x / 1.3, y / 1.9);
        let cover = step(1.5, 2.1, 0.9 * heap + crumb + 0.7);
        let dust = [0.60, 0.44, 0.26].map(|it| it * (0.92 + 0.09 * crumb));
        mixed(self.concrete(x, y), dust, 0.85 * cover)
    }

    fn paper(&self, x: f64, y: f64) -> Colour {
        let cloud = self.broad.rough(x / 160.0, y / 160.0, 2);
        let fibre = self.fine.rough(x / 1.4, y / 1.4, 2);
        let tone = 1.0 + 0.012 * cloud + 0.012 * fibre;
        [0.70, 0.675, 0.615].map(|it| it * tone)
    }
}
