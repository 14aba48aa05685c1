//! Dimensions (being written).
/// A dimension.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub struct Dimension;
