//! Watching a book while the crew works.
//!
//! In: the book's folder. Out: a call each time something in it was saved. Editors that write beside and
//! rename, and several files saved at once, make one call.

use std::path::{Path, PathBuf};
use std::sync::mpsc::channel;
use std::time::Duration;

use notify::{EventKind, RecursiveMode};
use notify_debouncer_full::{DebounceEventResult, new_debouncer};

/// How long things must be quiet before a save counts as done.
const QUIET: Duration = Duration::from_millis(60);

/// Calls `saved` after every save of something that a book is made of: its sheet, plan and parts, its logs, its photos.
/// Reading them is no save, and the record is no part of the book. Ends only when the watch itself fails.
pub fn on_every_save(book: &Path, mut saved: impl FnMut()) -> Result<(), notify::Error> {
    let book = &real(book)?;
    let (send, receive) = channel();
    let mut watch = new_debouncer(QUIET, None, move |result: DebounceEventResult| {
        // The other end is gone only when the command is ending.
        let _ = send.send(result);
    })?;
    watch.watch(book, RecursiveMode::Recursive)?;
    for result in receive {
        let events = result.unwrap_or_default();
        let saves = events.iter().filter(|event| !matches!(event.kind, EventKind::Access(_)));
        if saves.flat_map(|event| &event.paths).any(|path| is_of_the_book(path, book)) {
            saved();
        }
    }
    Ok(())
}

/// The folder as the watch will name it.
fn real(book: &Path) -> Result<PathBuf, notify::Error> {
    crate::desk::real_path(book).map_err(notify::Error::io)
}

/// Is this path one that a book is read from?
fn is_of_the_book(path: &Path, book: &Path) -> bool {
    let Ok(inside) = path.strip_prefix(book) else { return false };
    let first = inside.components().next().map(|part| part.as_os_str().to_string_lossy().into_owned());
    matches!(first.as_deref(), Some("days" | "photos" | "plan.md" | "parts.yaml" | "build-sheet.yaml"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_the_crew_writes_is_of_the_book() {
        let of = |path: &str| is_of_the_book(&Path::new("/b").join(path), Path::new("/b"));
        assert!(of("days/day-01.md") && of("photos/a.png") && of("build-sheet.yaml"));
        assert!(!of("record/index.html") && !of("record/days/day-01.html") && !of(".git/index"));
    }
}
