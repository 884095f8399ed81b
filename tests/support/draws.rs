//! Random numbers that are the same on every run.

/// A stream of random numbers.
///
/// Source: the 64-bit generator "splitmix64", G. L. Steele, D. Lea and C. H. Flood,
/// "Fast Splittable Pseudorandom Number Generators", OOPSLA 2014 (constants from
/// memory).
#[derive(Clone, Debug)]
pub struct Draws {
    state: u64,
}

impl Draws {
    /// A stream that depends on the number it starts from alone.
    #[must_use]
    pub const fn from(start: u64) -> Self {
        Self { state: start }
    }

    /// The next number, evenly from 0 up to but not including 1.
    pub fn even(&mut self) -> f64 {
        self.state = self.state.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.state;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^= z >> 31;
        let [a, b, c, d, ..] = z.to_be_bytes();
        f64::from(u32::from_be_bytes([a, b, c, d])) / 4_294_967_296.0
    }

    /// The next whole number from one to another, both included.
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_precision_loss,
        reason = "ranges of tests are far below 2^32"
    )]
    pub fn whole(&mut self, from: i64, to: i64) -> i64 {
        from + (self.even() * (to - from + 1) as f64).floor() as i64
    }

    /// The next normal error of standard error 1 (Box and Muller's method).
    pub fn normal(&mut self) -> f64 {
        let radius = (-2.0 * (1.0 - self.even()).ln()).sqrt();
        radius * (std::f64::consts::TAU * self.even()).cos()
    }
}
