//! Where spread comes from: the list of readings, given tolerances, figures and rules of thumb.
//!
//! In: one entry for each as it is met. Out: a label and a place for each [`SourceId`], so that a
//! result can say which reading matters most.

use std::sync::Arc;

use crate::quantity::SourceId;
use crate::source::Span;

/// One source of spread.
#[derive(Clone, Debug)]
pub struct SpreadSource {
    /// What it is called: the value's name, the formula's name.
    pub label: String,
    /// The line it stands in.
    pub at: Span,
    /// What it is.
    pub kind: SpreadSourceKind,
    /// The day of the line; 0 before the first.
    pub day: u32,
    /// Who read it, where the line says so.
    pub by: Option<String>,
}

/// Kinds of sources.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SpreadSourceKind {
    /// Read off the vehicle.
    Reading,
    /// Given with a tolerance.
    Given,
    /// A part's figure.
    Figure,
    /// A formula that is only a rule of thumb, or one whose bend the spread may cross.
    Law,
}

/// All sources, by [`SourceId`].
#[derive(Clone, Debug, Default)]
pub struct SpreadSources(Vec<Arc<SpreadSource>>);

impl SpreadSources {
    /// Adds a source.
    pub fn add(&mut self, origin: SpreadSource) -> SourceId {
        self.0.push(Arc::new(origin));
        SourceId(self.0.len() as u32 - 1)
    }

    /// Gives sources another name, where `name` has one for them; who read it is not told either.
    pub fn rename(&mut self, name: impl Fn(&SpreadSource) -> Option<String>) {
        for origin in &mut self.0 {
            if let Some(label) = name(origin) {
                *origin = Arc::new(SpreadSource {
                    label,
                    by: None,
                    ..SpreadSource::clone(origin)
                });
            }
        }
    }

    /// The source behind an id.
    pub fn get(&self, id: SourceId) -> &SpreadSource {
        &self.0[id.0 as usize]
    }
}
