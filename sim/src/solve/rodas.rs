//! Coefficients of a stiffly accurate, L-stable Rosenbrock method of order 5(4)
//! with eight stages and a dense output of order 4, in the transformed form of
//! hairer1996 ch. IV.7.
//!
//! Source: steinebach2023 (the set published there as Rodas5P). Order, stability
//! and dense output are checked below.

/// Number of stages.
pub const STAGES: usize = 8;

/// Order of the embedded error estimate plus one.
pub const ERROR_ORDER: f64 = 5.0;

/// Diagonal of the method.
pub const GAMMA: f64 = 0.211_937_563_194_290_14;

/// Weights of earlier stages in the argument of each stage; the last row, with
/// one for the last stage, is also the step.
pub const A: [[f64; STAGES]; STAGES] = [
    [0.0; STAGES],
    [3.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0],
    [
        2.849_394_379_747_939,
        0.458_422_422_044_639_23,
        0.0,
        0.0,
        0.0,
        0.0,
        0.0,
        0.0,
    ],
    [
        -6.954_028_509_809_101,
        2.489_845_061_869_568,
        -10.358_996_098_473_584,
        0.0,
        0.0,
        0.0,
        0.0,
        0.0,
    ],
    [
        2.802_998_627_562_896_4,
        0.507_246_473_622_820_6,
        -0.398_831_254_177_052_4,
        -0.047_211_872_304_046_41,
        0.0,
        0.0,
        0.0,
        0.0,
    ],
    stiffly_accurate(0),
    stiffly_accurate(1),
    stiffly_accurate(2),
];

/// The last three rows: one set of weights, and a one for each stage after the fifth.
const fn stiffly_accurate(ones: usize) -> [f64; STAGES] {
    let mut row = [
        -7.502_846_399_306_121,
        2.561_846_144_803_919,
        -11.627_539_656_261_098,
        -0.182_687_676_599_422_56,
        0.030_198_172_008_377_946,
        0.0,
        0.0,
        0.0,
    ];
    let mut i = 0;
    while i < ones {
        row[5 + i] = 1.0;
        i += 1;
    }
    row
}

/// Weights of earlier stages, over the step, in the right-hand side of each stage.
pub const C: [[f64; STAGES]; STAGES] = [
    [0.0; STAGES],
    [-14.155_112_264_123_755, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0],
    [
        -17.972_960_358_859_52,
        -2.859_693_295_451_294,
        0.0,
        0.0,
        0.0,
        0.0,
        0.0,
        0.0,
    ],
    [
        147.121_502_757_117_16,
        -1.412_214_027_182_13,
        71.689_402_513_023_58,
        0.0,
        0.0,
        0.0,
        0.0,
        0.0,
    ],
    [
        165.435_170_248_716_76,
        -0.459_282_345_649_112_6,
        42.909_383_369_586_03,
        -5.961_986_721_573_306,
        0.0,
        0.0,
        0.0,
        0.0,
    ],
    [
        24.854_864_614_690_072,
        -3.000_922_700_283_218_6,
        47.493_111_002_076_8,
        5.581_419_782_155_812_5,
        -0.661_069_182_524_947_1,
        0.0,
        0.0,
        0.0,
    ],
    [
        30.912_732_140_285_99,
        -3.120_824_334_993_797_4,
        77.799_546_460_708_92,
        34.286_460_282_947_83,
        -19.097_331_116_725_623,
        -28.087_943_162_872_662,
        0.0,
        0.0,
    ],
    [
        37.802_771_233_905_63,
        -3.257_196_902_907_227_6,
        112.269_188_494_963_27,
        66.934_723_124_404_7,
        -40.066_189_370_910_02,
        -54.667_802_628_779_68,
        -9.488_616_523_096_27,
        0.0,
    ],
];

/// Weights of the stages in the three dense-output vectors.
pub const DENSE: [[f64; STAGES]; 3] = [
    [
        25.948_786_856_663_858,
        -2.557_972_484_584_623_5,
        10.433_815_404_888_879,
        -2.367_925_102_268_520_4,
        0.524_948_541_321_073,
        1.124_108_831_045_040_4,
        0.427_287_619_443_187_4,
        -0.172_022_210_701_554_93,
    ],
    [
        -9.915_688_506_951_71,
        -0.968_994_459_411_515_4,
        3.043_803_724_297_845_3,
        -24.495_224_566_215_796,
        20.176_138_334_709_044,
        15.980_663_614_246_51,
        -6.789_040_303_419_874,
        -6.710_236_069_923_372,
    ],
    [
        11.419_903_575_922_262,
        2.887_964_514_613_699_4,
        72.921_379_959_960_29,
        80.125_118_346_226_43,
        -52.072_871_366_152_654,
        -59.789_936_252_667_29,
        -0.155_826_842_827_519_13,
        4.883_087_185_713_722,
    ],
];

#[cfg(test)]
mod tests {
    use super::*;

    /// One step of `y' = f(y)` with slope `j`; the end, the error estimate, and `y` at share `s`.
    fn step(f: impl Fn(f64) -> f64, j: impl Fn(f64) -> f64, y: f64, h: f64, s: f64) -> [f64; 3] {
        let shift = 1.0 / (GAMMA * h) - j(y);
        let mut k = [0.0; STAGES];
        for i in 0..STAGES {
            let argument = y + (0..i).map(|j| A[i][j] * k[j]).sum::<f64>();
            let right = f(argument) + (0..i).map(|j| C[i][j] / h * k[j]).sum::<f64>();
            k[i] = right / shift;
        }
        let end = y
            + k[STAGES - 1]
            + (0..STAGES - 1)
                .map(|j| A[STAGES - 1][j] * k[j])
                .sum::<f64>();
        let dense = DENSE.map(|weights| weights.iter().zip(k).map(|(w, k)| w * k).sum::<f64>());
        let s1 = 1.0 - s;
        let inside = y * s1 + s * (end + s1 * (dense[0] + s * (dense[1] + s * dense[2])));
        [end, k[STAGES - 1], inside]
    }

    /// log2 of the fall of an error of one step when the step is halved.
    fn local_order(error: impl Fn(f64) -> f64) -> f64 {
        (error(0.04) / error(0.02)).abs().log2()
    }

    #[test]
    fn order_5_with_an_estimate_of_order_4_and_dense_output_of_order_4() {
        // y' = −y² from 1 has the solution 1/(1 + t): nonlinear, so all order conditions count.
        let one = |h, s| step(|y| -y * y, |y| -2.0 * y, 1.0, h, s);
        assert!(local_order(|h| one(h, 1.0)[0] - 1.0 / (1.0 + h)) > 5.6);
        assert!(local_order(|h| one(h, 1.0)[1]) > 4.6);
        for s in [0.25, 0.5, 0.75] {
            assert!(local_order(|h| one(h, s)[2] - 1.0 / (1.0 + s * h)) > 4.6);
        }
    }

    #[test]
    fn l_stable() {
        let amplification = |z: f64| step(|y| z * y, |_| z, 1.0, 1.0, 1.0)[0];
        for z in [-0.1, -1.0, -10.0, -1e2, -1e4] {
            assert!(
                amplification(z).abs() <= 1.0,
                "R({z}) = {}",
                amplification(z)
            );
        }
        assert!(amplification(-1e9).abs() < 1e-6, "damped out at infinity");
    }
}
