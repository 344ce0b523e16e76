//! Seeded chance.

/// Seeded numbers: splitmix64 (Steele, Lea & Flood 2014).
pub struct Random(pub u64);

impl Random {
    /// Even, from 0 to below 1.
    pub fn unit(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }

    /// Even in its logarithm.
    pub fn log(&mut self, low: f64, high: f64) -> f64 {
        low * (high / low).powf(self.unit())
    }

    /// Normal, by Box and Muller.
    pub fn normal(&mut self) -> f64 {
        let (r, angle) = (1.0 - self.unit(), std::f64::consts::TAU * self.unit());
        (-2.0 * r.ln()).sqrt() * angle.cos()
    }
}
