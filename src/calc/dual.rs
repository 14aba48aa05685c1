//! Numbers that carry their slopes along each argument, so that a formula is written once.
//!
//! In: the nominal arguments of a formula. Out: its result and the exact partial derivatives.

use std::ops::{Add, Div, Mul, Neg, Sub};

/// The most arguments with a quantity that a formula has.
pub const MOST: usize = 8;

/// A number and its derivative along each argument.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dual {
    /// The number, in SI.
    pub value: f64,
    /// Its derivative along each argument, in SI.
    pub slope: [f64; MOST],
}

impl Dual {
    /// A number no argument moves.
    pub fn fixed(value: f64) -> Self {
        Self {
            value,
            slope: [0.0; MOST],
        }
    }

    /// The argument with the given index.
    pub fn argument(value: f64, index: usize) -> Self {
        let mut slope = [0.0; MOST];
        if let Some(own) = slope.get_mut(index) {
            *own = 1.0;
        }
        Self { value, slope }
    }

    /// A function of one number: its value and its derivative there.
    fn chain(self, value: f64, derivative: f64) -> Self {
        // A slope of zero stays zero, even where the derivative has no number.
        Self {
            value,
            slope: self
                .slope
                .map(|s| if s == 0.0 { 0.0 } else { s * derivative }),
        }
    }

    fn both(self, other: Self, value: f64, along_self: f64, along_other: f64) -> Self {
        let mut slope = [0.0; MOST];
        for (index, slot) in slope.iter_mut().enumerate() {
            *slot = along_self * self.slope[index] + along_other * other.slope[index];
        }
        Self { value, slope }
    }

    /// Square root.
    #[must_use]
    pub fn sqrt(self) -> Self {
        let root = self.value.sqrt();
        self.chain(root, 0.5 / root)
    }

    /// A power with a fixed exponent.
    #[must_use]
    pub fn power(self, exponent: f64) -> Self {
        self.chain(
            self.value.powf(exponent),
            exponent * self.value.powf(exponent - 1.0),
        )
    }

    /// e to this power.
    #[must_use]
    pub fn exp(self) -> Self {
        let power = self.value.exp();
        self.chain(power, power)
    }

    /// Sine of an angle in radians.
    #[must_use]
    pub fn sin(self) -> Self {
        self.chain(self.value.sin(), self.value.cos())
    }

    /// Cosine of an angle in radians.
    #[must_use]
    pub fn cos(self) -> Self {
        self.chain(self.value.cos(), -self.value.sin())
    }

    /// Tangent of an angle in radians.
    #[must_use]
    pub fn tan(self) -> Self {
        let tan = self.value.tan();
        self.chain(tan, 1.0 + tan * tan)
    }

    /// Angle of the point (`x`, `self`), in radians.
    #[must_use]
    pub fn atan2(self, x: Self) -> Self {
        let square = self.value * self.value + x.value * x.value;
        self.both(
            x,
            self.value.atan2(x.value),
            x.value / square,
            -self.value / square,
        )
    }
}

impl Add for Dual {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        self.both(other, self.value + other.value, 1.0, 1.0)
    }
}

impl Sub for Dual {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        self.both(other, self.value - other.value, 1.0, -1.0)
    }
}

impl Mul for Dual {
    type Output = Self;
    fn mul(self, other: Self) -> Self {
        self.both(other, self.value * other.value, other.value, self.value)
    }
}

impl Div for Dual {
    type Output = Self;
    fn div(self, other: Self) -> Self {
        let quotient = self.value / other.value;
        self.both(other, quotient, 1.0 / other.value, -quotient / other.value)
    }
}

impl Neg for Dual {
    type Output = Self;
    fn neg(self) -> Self {
        self.chain(-self.value, -1.0)
    }
}

impl Mul<f64> for Dual {
    type Output = Self;
    fn mul(self, by: f64) -> Self {
        self.chain(self.value * by, by)
    }
}

impl Add<f64> for Dual {
    type Output = Self;
    fn add(self, more: f64) -> Self {
        self.chain(self.value + more, 1.0)
    }
}

impl Sub<f64> for Dual {
    type Output = Self;
    fn sub(self, less: f64) -> Self {
        self.chain(self.value - less, 1.0)
    }
}

impl Div<f64> for Dual {
    type Output = Self;
    fn div(self, by: f64) -> Self {
        self.chain(self.value / by, 1.0 / by)
    }
}
