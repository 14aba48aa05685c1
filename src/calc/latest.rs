//! What counted at a time, of entries that are in order of time.
//!
//! In: entries that each count until the next. Out: the last that had begun.

/// The last entry that `has_begun`; those that have come before those that have not.
pub(super) fn latest<T>(entries: &[T], has_begun: impl Fn(&T) -> bool) -> Option<&T> {
    entries[..entries.partition_point(has_begun)].last()
}
