//! Numbers that look drawn by lot and are the same for the same seed (`SplitMix64`, Steele and
//! others 2014).

/// A source of numbers; the field is its seed.
pub struct Random(pub u64);

impl Random {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// From 0 up to, and without, `count`; 0 where that is 0.
    pub fn below(&mut self, count: usize) -> usize {
        (self.next() % count.max(1) as u64) as usize
    }

    /// From `least` to `most`.
    pub fn days(&mut self, least: u32, most: u32) -> u32 {
        least + self.below((most - least + 1) as usize) as u32
    }

    /// Between two numbers.
    pub fn between(&mut self, least: f64, most: f64) -> f64 {
        least + (most - least) * self.below(10_000) as f64 / 10_000.0
    }

    /// True in so many cases of a hundred.
    pub fn percent(&mut self, chance: usize) -> bool {
        self.below(100) < chance
    }

    /// One of them.
    pub fn of<T: Copy>(&mut self, choices: &[T]) -> T {
        choices[self.below(choices.len())]
    }
}
