//! Figures as other programs read them.
//!
//! In: numbers of the calculation. Out: the same without the noise of their last digits, and money
//! with two decimals.

use rust_decimal::Decimal;

/// An amount with two decimals, as everywhere: `8286.00`.
pub fn money(amount: Decimal) -> String {
    format!(
        "{:.2}",
        amount.round_dp_with_strategy(2, rust_decimal::RoundingStrategy::MidpointAwayFromZero)
    )
}

/// A figure without the noise of the last bit: what was written as 4.3 is printed as 4.3.
pub fn figure(number: f64) -> f64 {
    rounded(number, 14)
}

/// A small difference of large figures: its last digits are noise.
pub fn difference(number: f64) -> f64 {
    rounded(number, 11)
}

/// With so many digits behind its first; `-0` is 0.
fn rounded(number: f64, digits: usize) -> f64 {
    let rounded = format!("{number:.digits$e}").parse().unwrap_or(number);
    if rounded == 0.0 { 0.0 } else { rounded }
}
