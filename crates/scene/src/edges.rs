//! The edges of a slab: bark line, wood line and sawn ends.

use measure::Problem;
use outline::{Point, Ring};

use crate::noise::{Dice, Noise};
use crate::slab::{Look, SlabAsk};

/// Between two corners of an edge, in millimetres.
const PITCH: f64 = 1.5;

/// The lines that bound a slab.
pub(crate) struct Edges {
    /// Bark and all.
    pub(crate) outline: Ring,
    /// Without bark.
    pub(crate) wood_line: Ring,
    /// The wood line of the log, drawn past the slab's ends.
    pub(crate) log_line: Ring,
    /// The same, smooth as the yearly rings are: sapwood keeps its distance to it.
    pub(crate) smooth_line: Ring,
}

/// The log goes on beyond the slab by this much, in millimetres.
const BEYOND: f64 = 120.0;

/// How much of the wobble a line shows.
#[derive(Clone, Copy, PartialEq)]
enum Line {
    Bark,
    Wood,
    Smooth,
}

/// The lines of the upper face.
pub(crate) fn edges(ask: &SlabAsk, dice: &mut Dice) -> Result<Edges, Problem> {
    let sides = if ask.live_edge {
        [Side::live(ask, 1, dice), Side::live(ask, 2, dice)]
    } else {
        [Side::sawn(ask); 2]
    };
    let ends = [End::sawn(ask, 3, dice), End::sawn(ask, 4, dice)];
    let ring = |line: Line, beyond: f64| ring(ask.length.to_mm() / 2.0 + beyond, &sides, &ends, line);
    Ok(Edges {
        outline: ring(Line::Bark, 0.0)?,
        wood_line: ring(Line::Wood, 0.0)?,
        log_line: ring(Line::Wood, BEYOND)?,
        smooth_line: ring(Line::Smooth, BEYOND)?,
    })
}

/// Counter-clockwise: near edge, right end, far edge, left end.
fn ring(half: f64, sides: &[Side; 2], ends: &[End; 2], line: Line) -> Result<Ring, Problem> {
    let edge = |side: &Side, x: f64| match line {
        Line::Bark => side.outer(x, 1.0),
        Line::Wood => side.outer(x, 1.0) - side.bark(x),
        Line::Smooth => side.outer(x, 0.25) - side.bark,
    };
    // An end meets the edge where both agree; a few rounds settle it.
    let corner = |right: f64, up: f64| {
        let (side, end) = (&sides[usize::from(up > 0.0)], &ends[usize::from(right > 0.0)]);
        let mut x = right * half;
        for _ in 0..8 {
            x = right * half + end.wander(up * edge(side, x));
        }
        Point::new(x, up * edge(side, x))
    };
    let mut corners = Vec::new();
    let mut along = |from: Point, to: Point, at: &dyn Fn(f64) -> Point| {
        let count = (from.distance(to).to_mm() / PITCH).ceil();
        corners.push(from);
        corners.extend((1..count as usize).map(|it| at(it as f64 / count)));
    };
    let [a, b, c, d] = [corner(-1.0, -1.0), corner(1.0, -1.0), corner(1.0, 1.0), corner(-1.0, 1.0)];
    let between = |from: f64, to: f64, share: f64| from + (to - from) * share;
    along(a, b, &|share| {
        let x = between(a.x, b.x, share);
        Point::new(x, -edge(&sides[0], x))
    });
    along(b, c, &|share| {
        let y = between(b.y, c.y, share);
        Point::new(half + ends[1].wander(y), y)
    });
    along(c, d, &|share| {
        let x = between(c.x, d.x, share);
        Point::new(x, edge(&sides[1], x))
    });
    along(d, a, &|share| {
        let y = between(d.y, a.y, share);
        Point::new(-half + ends[0].wander(y), y)
    });
    Ring::new(corners)
}

/// One long edge, as a distance out from the slab's middle line.
#[derive(Clone, Copy)]
struct Side {
    half: f64,
    noise: Noise,
    sway: f64,
    taper: f64,
    bulge: [f64; 3],
    bark: f64,
}

impl Side {
    fn sawn(ask: &SlabAsk) -> Side {
        let half = ask.width.to_mm() / 2.0;
        Side { half, noise: Noise::new(0, 0), sway: 0.0, taper: 0.0, bulge: [0.0, 0.0, 1.0], bark: 0.0 }
    }

    fn live(ask: &SlabAsk, layer: u32, dice: &mut Dice) -> Side {
        let (length, width) = (ask.length.to_mm(), ask.width.to_mm());
        let bulge = [
            width * dice.between(0.02, 0.06),
            length * dice.between(-0.35, 0.35),
            length * dice.between(0.06, 0.12),
        ];
        let bark = match ask.look {
            Look::Walnut | Look::Oak | Look::Pine => 8.0,
            Look::Maple | Look::Ash | Look::Wenge => 6.0,
            Look::Cherry | Look::Beech => 4.0,
        };
        let noise = Noise::new(ask.seed, 10 + layer);
        Side { half: width * 0.455, noise, sway: width, taper: width * 0.05 / length, bulge, bark }
    }

    /// `wobble` is the share of the short wobbles that shows.
    fn outer(&self, x: f64, wobble: f64) -> f64 {
        let short = 0.009 * self.noise.line(x / 63.0 + 40.0) + 0.0026 * self.noise.line(x / 11.0 + 90.0);
        let wander = 0.035 * self.noise.line(x / 260.0) + wobble * short;
        let [high, middle, wide] = self.bulge;
        let off = (x - middle) / wide;
        self.half - self.taper * x + self.sway * wander + high * (-off * off).exp()
    }

    fn bark(&self, x: f64) -> f64 {
        if self.bark == 0.0 {
            return 0.0;
        }
        let rough = 0.24 * self.noise.line(x / 34.0 + 7.0) + 0.12 * self.noise.line(x / 9.0 + 3.0);
        (self.bark * (1.0 + rough)).max(0.3 * self.bark)
    }
}

/// One sawn end, as a distance along from where it should be.
struct End {
    skew: f64,
    rough: f64,
    noise: Noise,
}

impl End {
    fn sawn(ask: &SlabAsk, layer: u32, dice: &mut Dice) -> End {
        let noise = Noise::new(ask.seed, 20 + layer);
        if ask.live_edge {
            End { skew: dice.between(-0.03, 0.03), rough: 0.5, noise }
        } else {
            End { skew: dice.between(-0.004, 0.004), rough: 0.0, noise }
        }
    }

    fn wander(&self, y: f64) -> f64 {
        self.skew * y + self.rough * self.noise.line(y / 35.0)
    }
}
