//! Chance, the same on every machine.
//!
//! In: a seed; a spread of logarithms. Out: random bits and log-normal factors in whole 4096ths.
//! Bits: `SplitMix64` (Steele, Lea and Flood, OOPSLA 2014). A factor is one of 4096 equally likely
//! points of its distribution, the middles of as many equal slices of probability, worked out once
//! with the inverse normal (Wichura, algorithm AS 241, Applied Statistics 37 (1988), the form for
//! seven figures). Rounding to 4096ths takes away the last digits in which mathematical libraries
//! differ, and a draw is a look-up. The points reach to 3.7 standard deviations.

const POINT_BITS: u32 = 12;
const POINTS: usize = 1 << POINT_BITS;
/// Bits behind the point of a factor.
pub(super) const ONE_BITS: u32 = 12;
/// The factor 1.
pub(super) const ONE: u64 = 1 << ONE_BITS;
/// No job takes more than this many times its hours.
const MOST: f64 = 32.0;

/// A stream of random bits.
#[derive(Clone, Debug)]
pub(super) struct Bits(u64);

impl Bits {
    /// The stream of one run.
    pub(super) fn of_run(run: u32) -> Self {
        let mut seed = Self(0x5EED_0000_0000_0000 ^ u64::from(run));
        Self(seed.next())
    }

    #[inline]
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mixed = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        let mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^ (mixed >> 31)
    }
}

/// The points of a log-normal distribution.
#[derive(Clone, Debug)]
pub(super) struct Factors(Vec<u32>);

impl Factors {
    /// Logarithms with this mean and standard deviation.
    pub(super) fn new(mean: f64, sd: f64) -> Self {
        let point = |index: usize| {
            let z = inverse_normal((index as f64 + 0.5) / POINTS as f64);
            ((mean + sd * z).exp().clamp(1.0 / MOST, MOST) * ONE as f64).round() as u32
        };
        Self((0..POINTS).map(point).collect())
    }

    /// One of them, in 4096ths.
    #[inline]
    pub(super) fn draw(&self, bits: &mut Bits) -> u64 {
        let index = (bits.next() >> (64 - POINT_BITS)) as usize;
        self.0.get(index).copied().map_or(ONE, u64::from)
    }
}

/// The standard normal value below which a share `p` lies; `p` strictly between 0 and 1.
fn inverse_normal(p: f64) -> f64 {
    let from_middle = p - 0.5;
    if from_middle.abs() <= 0.425 {
        let r = 0.180_625 - from_middle * from_middle;
        return from_middle * middle(r);
    }
    let r = (-p.min(1.0 - p).ln()).sqrt();
    let z = if r <= 5.0 {
        tail(r - 1.6)
    } else {
        far_tail(r - 5.0)
    };
    z.copysign(from_middle)
}

fn middle(r: f64) -> f64 {
    (((59.109_374_720 * r + 159.291_132_02) * r + 50.434_271_938) * r + 3.387_132_717_9)
        / (((67.187_563_600 * r + 78.757_757_664) * r + 17.895_169_469) * r + 1.0)
}

fn tail(r: f64) -> f64 {
    (((0.170_238_211_03 * r + 1.306_728_481_6) * r + 2.756_815_390_0) * r + 1.423_437_277_7)
        / ((0.120_211_329_75 * r + 0.737_001_642_50) * r + 1.0)
}

fn far_tail(r: f64) -> f64 {
    (((0.017_337_203_997 * r + 0.428_682_943_37) * r + 3.081_226_386_0) * r + 6.657_905_115_0)
        / ((0.012_258_202_635 * r + 0.241_978_942_25) * r + 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Values of the standard normal table, to ten figures (worked out with Python's
    /// `statistics.NormalDist`).
    #[test]
    fn the_inverse_normal_has_the_values_of_the_table() {
        let table = [
            (0.5, 0.0),
            (0.6, 0.253_347_103_1),
            (0.9, 1.281_551_565_5),
            (0.975, 1.959_963_984_5),
            (0.001, -3.090_232_306_2),
            (1e-12, -7.034_483_825_3),
        ];
        for (p, z) in table {
            assert!(
                (inverse_normal(p) - z).abs() < 2e-6,
                "{p}: {} instead of {z}",
                inverse_normal(p)
            );
        }
    }

    /// The first numbers `SplitMix64` gives from seed 1234567, as its authors' code prints them.
    #[test]
    fn the_bits_are_those_of_splitmix64() {
        let mut bits = Bits(1_234_567);
        let first = [
            6_457_827_717_110_365_317,
            3_203_168_211_198_807_973,
            9_817_491_932_198_370_423,
        ];
        assert_eq!(first.map(|_| bits.next()), first);
    }

    #[test]
    fn factors_have_the_middle_and_the_spread_they_were_asked_for() {
        let factors = Factors::new(0.2, 0.3);
        let logs: Vec<f64> = factors
            .0
            .iter()
            .map(|point| (f64::from(*point) / ONE as f64).ln())
            .collect();
        let mean = logs.iter().sum::<f64>() / logs.len() as f64;
        let sd =
            (logs.iter().map(|log| (log - mean).powi(2)).sum::<f64>() / logs.len() as f64).sqrt();
        assert!(
            (mean - 0.2).abs() < 1e-3 && (sd - 0.3).abs() < 1e-3,
            "{mean} {sd}"
        );
        assert!(
            Factors::new(0.0, 0.0)
                .0
                .iter()
                .all(|point| u64::from(*point) == ONE)
        );
    }
}
