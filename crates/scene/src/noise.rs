//! Smooth noise and dice, from a hash of their own: the same seed gives the
//! same picture on every machine.

/// Smooth noise of the plane and of space, with mean 0 and a spread near 0.8.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Noise(u32);

/// A row of even random numbers.
#[derive(Clone, Debug)]
pub(crate) struct Dice {
    seed: u32,
    thrown: u32,
}

/// Brings the spread (standard deviation) of gradient noise to about 0.8.
const PLANE_SPREAD: f64 = 3.6;
/// The same in space.
const SPACE_SPREAD: f64 = 3.9;

impl Noise {
    pub(crate) fn new(seed: u32, layer: u32) -> Noise {
        Noise(mix(seed ^ mix(layer.wrapping_mul(0x9e37_79b9).wrapping_add(0x7f4a_7c15))))
    }

    /// Along a line.
    pub(crate) fn line(self, x: f64) -> f64 {
        self.plane(x, 0.37)
    }

    /// In the plane; features are about 1 apart.
    pub(crate) fn plane(self, x: f64, y: f64) -> f64 {
        let ((ix, fx), (iy, fy)) = (split(x), split(y));
        let columns = [ix, ix.wrapping_add(1)].map(|it| self.column(it));
        let corner = |right: usize, up: u32| {
            let hash = finish(columns[right], iy.wrapping_add(up), 0);
            slope_2(hash, fx - right as f64, fy - f64::from(up))
        };
        let (u, v) = (ease(fx), ease(fy));
        let low = blend(corner(0, 0), corner(1, 0), u);
        let high = blend(corner(0, 1), corner(1, 1), u);
        blend(low, high, v) * PLANE_SPREAD
    }

    /// In space.
    pub(crate) fn space(self, x: f64, y: f64, z: f64) -> f64 {
        let ((ix, fx), (iy, fy), (iz, fz)) = (split(x), split(y), split(z));
        let corner = |a: u32, b: u32, c: u32| {
            let hash = self.hash(ix.wrapping_add(a), iy.wrapping_add(b), iz.wrapping_add(c));
            slope_3(hash, fx - f64::from(a), fy - f64::from(b), fz - f64::from(c))
        };
        let (u, v, w) = (ease(fx), ease(fy), ease(fz));
        let floor = |c: u32| {
            let low = blend(corner(0, 0, c), corner(1, 0, c), u);
            blend(low, blend(corner(0, 1, c), corner(1, 1, c), u), v)
        };
        blend(floor(0), floor(1), w) * SPACE_SPREAD
    }

    /// Several octaves, each twice as fine and half as strong.
    pub(crate) fn rough(self, x: f64, y: f64, octaves: u32) -> f64 {
        let (mut sum, mut square, mut share, mut scale) = (0.0, 0.0, 1.0_f64, 1.0);
        for octave in 0..octaves {
            let shift = f64::from(octave) * 17.31;
            sum += share * self.plane(x * scale + shift, y * scale - shift);
            square += share * share;
            share *= 0.5;
            scale *= 2.03;
        }
        sum / square.sqrt()
    }

    /// An even number from 0 to 1 for a cell.
    pub(crate) fn cell(self, x: i32, y: i32) -> f64 {
        unit(self.hash(x as u32, y as u32, 0x51))
    }

    fn hash(self, x: u32, y: u32, z: u32) -> u32 {
        finish(self.column(x), y, z)
    }

    /// The part of the hash that a whole column shares.
    fn column(self, x: u32) -> u32 {
        let hash = self.0 ^ x.wrapping_mul(0x85eb_ca6b);
        hash ^ (hash >> 15)
    }
}

fn finish(column: u32, y: u32, z: u32) -> u32 {
    let mut hash = column.wrapping_add(y.wrapping_mul(0xc2b2_ae35));
    hash = (hash ^ (hash >> 13)).wrapping_mul(0x27d4_eb2f).wrapping_add(z.wrapping_mul(0x1656_67b1));
    hash = (hash ^ (hash >> 16)).wrapping_mul(0x7feb_352d);
    hash ^ (hash >> 15)
}

impl Dice {
    pub(crate) fn new(seed: u32) -> Dice {
        Dice { seed: mix(seed), thrown: 0 }
    }

    /// The next even number between these two.
    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        self.thrown = self.thrown.wrapping_add(1);
        low + (high - low) * unit(mix(self.seed ^ mix(self.thrown)))
    }

    /// The next bell-shaped number of this spread about 0: the sum of four even ones.
    pub(crate) fn bell(&mut self, spread: f64) -> f64 {
        let sum: f64 = (0..4).map(|_| self.between(-0.5, 0.5)).sum();
        sum * 3.0_f64.sqrt() * spread
    }

    /// Whether something of this chance happens.
    pub(crate) fn chance(&mut self, share: f64) -> bool {
        self.between(0.0, 1.0) < share
    }
}

/// 0 below `low`, 1 above `high`, smooth between; falls if `low > high`.
pub(crate) fn step(low: f64, high: f64, x: f64) -> f64 {
    let share = ((x - low) / (high - low)).clamp(0.0, 1.0);
    share * share * (3.0 - 2.0 * share)
}

pub(crate) fn blend(from: f64, to: f64, share: f64) -> f64 {
    from + (to - from) * share
}

/// Scrambles 32 bits.
pub(crate) fn mix(mut bits: u32) -> u32 {
    bits = (bits ^ (bits >> 16)).wrapping_mul(0x7feb_352d);
    bits = (bits ^ (bits >> 15)).wrapping_mul(0x846c_a68b);
    bits ^ (bits >> 16)
}

/// The whole number below `x`, and what is left. (Faster than `f64::floor`,
/// which is a call on machines without a rounding instruction.)
fn split(x: f64) -> (u32, f64) {
    let toward_zero = x as i32;
    let below = toward_zero - i32::from(f64::from(toward_zero) > x);
    (below as u32, x - f64::from(below))
}

fn unit(bits: u32) -> f64 {
    f64::from(bits >> 8) / f64::from(1 << 24)
}

fn ease(x: f64) -> f64 {
    x * x * x * (x * (x * 6.0 - 15.0) + 10.0)
}

/// Eight even ways in the plane. (Looked up, for a processor guesses wrong where a
/// random number decides which way to go on.)
const WAYS_2: [[f64; 2]; 8] = {
    const DIAGONAL: f64 = std::f64::consts::FRAC_1_SQRT_2;
    [
        [1.0, 0.0],
        [-1.0, 0.0],
        [0.0, 1.0],
        [0.0, -1.0],
        [DIAGONAL, DIAGONAL],
        [-DIAGONAL, -DIAGONAL],
        [-DIAGONAL, DIAGONAL],
        [DIAGONAL, -DIAGONAL],
    ]
};

fn slope_2(hash: u32, x: f64, y: f64) -> f64 {
    let way = WAYS_2[(hash & 7) as usize];
    x * way[0] + y * way[1]
}

/// Which two axes a way in space lies between.
const PAIRS: [[usize; 2]; 3] = [[0, 1], [1, 2], [2, 0]];
const SIGNS: [f64; 2] = [1.0, -1.0];

fn slope_3(hash: u32, x: f64, y: f64, z: f64) -> f64 {
    let [a, b] = PAIRS[(hash % 3) as usize].map(|axis| [x, y, z][axis]);
    let (first, second) = (SIGNS[(hash >> 8 & 1) as usize], SIGNS[(hash >> 9 & 1) as usize]);
    (first * a + second * b) * std::f64::consts::FRAC_1_SQRT_2
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn noise_is_centred_and_spread_as_said() {
        let noise = Noise::new(7, 1);
        let spread = |at: &dyn Fn(f64) -> f64| {
            let values: Vec<f64> = (0..40_000).map(|it| at(f64::from(it))).collect();
            let mean = values.iter().sum::<f64>() / values.len() as f64;
            let square = values.iter().map(|it| (it - mean).powi(2)).sum::<f64>() / values.len() as f64;
            assert!(mean.abs() < 0.05, "mean {mean}");
            square.sqrt()
        };
        let plane = spread(&|it| noise.plane(it * 0.37, it * 0.118));
        let space = spread(&|it| noise.space(it * 0.37, it * 0.118, it * 0.061));
        assert!((0.7..0.9).contains(&plane), "plane {plane}");
        assert!((0.7..0.9).contains(&space), "space {space}");
    }
}
