//! Points of the unit cube that can be had one by one, in any order and without
//! the ones before: a study may be cut into parts, and its memory does not grow.

use sobol::Sobol;
use sobol::params::JoeKuoD6;

/// Most axes of a sample: as many as the smallest table of direction numbers serves.
pub const MOST_AXES: usize = 100;
/// Bits of a Sobol number, those of an `f64`'s digits.
const BITS: usize = 53;
/// Rounds of the Feistel network; four make a random permutation in practice.
const ROUNDS: u64 = 4;

/// A well-mixed number from two: the mixing function of steele2014.
fn mixed(seed: u64, index: u64) -> u64 {
    let mut z = seed.wrapping_add(index.wrapping_add(1).wrapping_mul(0x9E37_79B9_7F4A_7C15));
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    z ^ (z >> 31)
}

/// The top 53 bits as a number from 0 to below 1.
fn unit(bits: u64) -> f64 {
    (bits >> 11) as f64 / (1u64 << BITS) as f64
}

/// A stratified sample: each axis has exactly one point in each of `count` equal
/// strips; mckay1979.
#[derive(Clone, Copy, Debug)]
pub struct LatinHypercube {
    /// Number of points.
    pub count: u64,
    /// What the chance numbers come from.
    pub seed: u64,
}

impl LatinHypercube {
    /// The coordinate of point `index` (below `count`) on an axis, 0 to below 1.
    pub fn at(&self, index: u64, axis: usize) -> f64 {
        let seed = mixed(self.seed, axis as u64);
        let strip = permuted(index, self.count, seed);
        let within = unit(mixed(!seed, index));
        ((strip as f64 + within) / self.count as f64).min(1.0 - f64::EPSILON)
    }
}

/// Where `index` goes in a permutation of 0 to `count` - 1: a Feistel network on the
/// next even power of two, its cycle walked until it is back in range; black_rogaway_2002.
fn permuted(index: u64, count: u64, seed: u64) -> u64 {
    let bits = 64 - count.saturating_sub(1).leading_zeros();
    let half = bits.div_ceil(2).max(1);
    let mask = (1u64 << half) - 1;
    let mut x = index;
    loop {
        let (mut left, mut right) = (x >> half, x & mask);
        for round in 0..ROUNDS {
            let turned = left ^ (mixed(seed.wrapping_add(round), right) & mask);
            (left, right) = (right, turned);
        }
        x = left << half | right;
        if x < count {
            return x;
        }
    }
}

/// A Sobol sequence, shifted digit by digit by a seed; direction numbers of joe_kuo_2008.
#[derive(Clone, Debug)]
pub struct SobolPoints {
    /// Direction numbers of each axis, in the top 53 bits.
    directions: Vec<Vec<u64>>,
    shifts: Vec<u64>,
}

impl SobolPoints {
    /// The sequence in so many axes (at most [`MOST_AXES`]); seed 0 leaves it unshifted.
    pub fn new(axes: usize, seed: u64) -> Self {
        let table = JoeKuoD6::minimal();
        let shift = |axis| {
            if seed == 0 {
                0
            } else {
                mixed(seed, axis as u64)
            }
        };
        Self {
            directions: Sobol::<f64>::init_direction_vals(axes.min(MOST_AXES), BITS, &table),
            shifts: (0..axes).map(shift).collect(),
        }
    }

    /// The coordinate of point `index` on an axis, 0 to below 1.
    pub fn at(&self, index: u64, axis: usize) -> f64 {
        // Gray code, in which the sequence is usually drawn.
        let gray = index ^ (index >> 1);
        let used = |bit: &usize| gray >> bit & 1 == 1;
        let bits = (0..BITS).filter(used).map(|bit| self.directions[axis][bit]);
        unit(bits.fold(self.shifts[axis], |x, direction| x ^ direction))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_latin_hypercube_uses_each_strip_of_each_axis_once() {
        for count in [1, 2, 3, 7, 64, 1000] {
            let sample = LatinHypercube { count, seed: 5 };
            for axis in 0..3 {
                let strip = |i| (sample.at(i, axis) * count as f64) as u64;
                let mut strips: Vec<u64> = (0..count).map(strip).collect();
                strips.sort_unstable();
                assert!(strips.iter().copied().eq(0..count), "{count}, axis {axis}");
            }
        }
    }

    #[test]
    fn sobol_points_are_those_of_the_sequence_drawn_one_after_another() {
        // Witness: the iterator of the crate `sobol`.
        let ours = SobolPoints::new(6, 0);
        let theirs = Sobol::<f64>::new(6, &JoeKuoD6::minimal());
        for (i, point) in theirs.take(500).enumerate() {
            for (axis, wanted) in point.iter().enumerate() {
                assert_eq!(ours.at(i as u64, axis), *wanted, "point {i}, axis {axis}");
            }
        }
    }

    #[test]
    fn sobol_points_fill_every_dyadic_box() {
        // The first two axes are a (0, m, 2)-net: 2^m points, one in each box of area 2^-m
        // (niederreiter; property of the sequence), whatever the shift.
        let points = SobolPoints::new(2, 9);
        let m = 6;
        for a in 0..=m {
            let (wide, high) = (1u64 << a, 1u64 << (m - a));
            let mut boxes: Vec<u64> = (0..1u64 << m)
                .map(|i| {
                    let (x, y) = (points.at(i, 0), points.at(i, 1));
                    (x * wide as f64) as u64 * high + (y * high as f64) as u64
                })
                .collect();
            boxes.sort_unstable();
            assert!(boxes.iter().copied().eq(0..1u64 << m), "{wide} x {high}");
        }
    }
}
