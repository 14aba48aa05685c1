//! Units (being written).
use super::Dimension;
/// A unit.
#[derive(Clone, Debug, PartialEq)]
pub struct Unit {
    /// As written.
    pub name: String,
    /// SI per unit.
    pub factor: f64,
    /// Dimension.
    pub dimension: Dimension,
}
/// The units a book knows: the fixed ones and its currency.
#[derive(Clone, Debug)]
pub struct Units {
    currency: String,
}
impl Units {
    /// The fixed units and the currency `money` (ISO 4217).
    pub fn new(money: &str) -> Self {
        Self { currency: money.to_owned() }
    }
    /// The currency.
    pub fn currency(&self) -> &str {
        &self.currency
    }
}
