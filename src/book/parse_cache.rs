//! What was read before, so that only what changed is read again.
//!
//! In: a file's text and everything else its reading depends on. Out: what reading it gave, with
//! its findings; the very same (by its `Arc`) as long as nothing it depends on changed, so that
//! later stages can tell by the address alone that a log is as it was.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::{Book, BuildSheet, DayLog, Part, Planned, log, plan};
use crate::diagnostics::Diagnostic;
use crate::markdown::Surroundings;
use crate::source::{FileId, SourceFile};

/// The parts of a book, by id.
pub type Parts = BTreeMap<String, Part>;

/// What a former reading of the same book left.
#[derive(Debug, Default)]
pub struct ParseCache {
    around: Option<Arc<Surroundings>>,
    /// The build sheet and the parts as they are, whether they can be worked with or not.
    pub(super) tried_sheet: CacheEntry<BuildSheet>,
    pub(super) tried_parts: CacheEntry<()>,
    /// What the top of each log says.
    pub(super) tops: BTreeMap<FileId, (Arc<SourceFile>, log::Top)>,
    pub(super) sheet: CacheEntry<BuildSheet>,
    pub(super) parts: CacheEntry<Parts>,
    pub(super) plan: CacheEntry<plan::Read>,
    logs: BTreeMap<FileId, CacheEntry<log::Read>>,
}

impl ParseCache {
    /// The surroundings, the very same as before where they are equal.
    pub(super) fn around(&mut self, now: Surroundings) -> Arc<Surroundings> {
        match &self.around {
            Some(before) if **before == now => Arc::clone(before),
            _ => Arc::clone(self.around.insert(Arc::new(now))),
        }
    }

    /// A slot for each of these logs, in their order; those of other files go.
    pub(super) fn logs(&mut self, files: &[FileId]) -> Vec<&mut CacheEntry<log::Read>> {
        self.logs.retain(|file, _| files.contains(file));
        for file in files {
            self.logs.entry(*file).or_default();
        }
        let mut slots: BTreeMap<FileId, _> = self
            .logs
            .iter_mut()
            .map(|(file, slot)| (*file, slot))
            .collect();
        files.iter().filter_map(|file| slots.remove(file)).collect()
    }
}

/// What every day of a book stands on.
type SharedInputs = (Arc<BuildSheet>, Arc<Parts>, Arc<Vec<Planned>>);

/// A book as it was before, by the places of its pieces in memory.
#[derive(Debug, Default)]
pub struct EarlierBook {
    ground: Option<SharedInputs>,
    days: Vec<Arc<DayLog>>,
}

impl EarlierBook {
    /// How many of the first days are as they were; `None` where sheet, parts or plan are not.
    /// Takes the book in place of the one before.
    pub fn same_days(&mut self, book: &Book) -> Option<usize> {
        let stands = self.ground.as_ref().is_some_and(|(sheet, parts, plan)| {
            Arc::ptr_eq(sheet, &book.sheet)
                && Arc::ptr_eq(parts, &book.parts)
                && Arc::ptr_eq(plan, &book.plan)
        });
        let same = self
            .days
            .iter()
            .zip(&book.days)
            .take_while(|(was, is)| Arc::ptr_eq(was, is))
            .count();
        self.ground = Some((
            Arc::clone(&book.sheet),
            Arc::clone(&book.parts),
            Arc::clone(&book.plan),
        ));
        self.days.clone_from(&book.days);
        stands.then_some(same)
    }
}

/// Everything that the reading of one file depends on.
#[derive(Debug)]
pub(super) struct CacheKey {
    pub(super) file: FileId,
    pub(super) text: Arc<SourceFile>,
    /// Is the file known to be unreadable?
    pub(super) told: bool,
    pub(super) sheet: Option<Arc<BuildSheet>>,
    pub(super) parts: Option<Arc<Parts>>,
    pub(super) around: Option<Arc<Surroundings>>,
}

impl CacheKey {
    fn is_as(&self, before: &Self) -> bool {
        self.file == before.file
            && self.told == before.told
            && (Arc::ptr_eq(&self.text, &before.text) || self.text == before.text)
            && same(self.sheet.as_ref(), before.sheet.as_ref())
            && same(self.parts.as_ref(), before.parts.as_ref())
            && same(self.around.as_ref(), before.around.as_ref())
    }
}

/// The very same, or both none.
fn same<T>(now: Option<&Arc<T>>, before: Option<&Arc<T>>) -> bool {
    match (now, before) {
        (Some(now), Some(before)) => Arc::ptr_eq(now, before),
        (None, None) => true,
        _ => false,
    }
}

/// What reading one file gave.
#[derive(Debug)]
pub(super) struct CacheEntry<T>(Option<Filled<T>>);

#[derive(Debug)]
struct Filled<T> {
    from: CacheKey,
    made: Arc<T>,
    found: Vec<Diagnostic>,
}

impl<T> Default for CacheEntry<T> {
    fn default() -> Self {
        Self(None)
    }
}

impl<T> CacheEntry<T> {
    /// What is in it, made again where something it depends on changed.
    pub(super) fn get(
        &mut self,
        from: CacheKey,
        make: impl FnOnce(&mut Vec<Diagnostic>) -> T,
    ) -> (Arc<T>, &[Diagnostic]) {
        let filled = match self.0.take() {
            Some(filled) if from.is_as(&filled.from) => filled,
            _ => {
                let mut found = Vec::new();
                Filled {
                    from,
                    made: Arc::new(make(&mut found)),
                    found,
                }
            }
        };
        let filled = self.0.insert(filled);
        (Arc::clone(&filled.made), &filled.found)
    }
}
