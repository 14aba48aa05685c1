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
    format!("{number:.14e}")
        .parse()
        .map_or(number, without_sign_of_zero)
}

/// A small difference of large figures: its last digits are noise.
pub fn difference(number: f64) -> f64 {
    format!("{number:.11e}")
        .parse()
        .map_or(number, without_sign_of_zero)
}

/// `-0` is 0.
fn without_sign_of_zero(number: f64) -> f64 {
    if number == 0.0 { 0.0 } else { number }
}
