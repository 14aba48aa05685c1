//! Dice that fall the same way each time.

/// A generator of whole numbers (`SplitMix64`), the same for the same seed on every machine.
pub(crate) struct Random(u64);

impl Random {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ 0x0135_E9E6)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^ (mixed >> 31)
    }

    /// A whole number from `low` to `high`, both included.
    pub(crate) fn between(&mut self, low: i64, high: i64) -> i64 {
        low + (self.next() % (high - low + 1) as u64) as i64
    }

    /// True in so many cases of a hundred.
    pub(crate) fn chance(&mut self, percent: i64) -> bool {
        self.between(1, 100) <= percent
    }

    /// One of them.
    pub(crate) fn pick<'a, T>(&mut self, of: &'a [T]) -> &'a T {
        &of[self.between(0, of.len() as i64 - 1) as usize]
    }
}
