//! Literals (being written).
use super::{Unit, Units};
use crate::text::Slug;
use std::ops::Range;
/// A written value.
#[derive(Clone, Debug, PartialEq)]
pub struct Literal {
    /// SI.
    pub nominal: f64,
    /// SI.
    pub plus: f64,
    /// SI.
    pub minus: f64,
    /// Shown in.
    pub unit: Unit,
}
/// What is wrong with a piece of text, with byte offsets into that text.
#[derive(Clone, Debug, PartialEq)]
pub struct Fault {
    /// Kind.
    pub slug: Slug,
    /// Place in the text that was read.
    pub at: Range<usize>,
    /// What is wrong.
    pub message: String,
    /// What was expected.
    pub expected: Option<String>,
    /// What to write.
    pub instead: Option<String>,
}
impl Literal {
    /// Reads `41 kg`, `8000 rpm ± 50 rpm`, `5 ft 6 in`.
    pub fn read(text: &str, units: &Units) -> Result<Self, Fault> {
        let _ = (text, units);
        unimplemented!()
    }
}
