//! Watching a book while the crew works.
//!
//! In: the book's folder. Out: a call each time something in it was saved. Editors that write beside and
//! rename, and several files saved at once, make one call.

use std::path::Path;
use std::sync::mpsc::channel;
use std::time::Duration;

use notify::RecursiveMode;
use notify_debouncer_full::{DebounceEventResult, new_debouncer};

/// How long things must be quiet before a save counts as done.
const QUIET: Duration = Duration::from_millis(60);

/// Calls `saved` after every save in the book's folder, what is written into `out` left aside. Ends only
/// when the watch itself fails.
pub fn on_every_save(book: &Path, out: &Path, mut saved: impl FnMut()) -> Result<(), notify::Error> {
    let (send, receive) = channel();
    let mut watch = new_debouncer(QUIET, None, move |result: DebounceEventResult| {
        // The other end is gone only when the command is ending.
        let _ = send.send(result);
    })?;
    watch.watch(book, RecursiveMode::Recursive)?;
    for result in receive {
        let events = result.unwrap_or_default();
        if events.iter().flat_map(|event| &event.paths).any(|path| concerns(path, out)) {
            saved();
        }
    }
    Ok(())
}

fn concerns(path: &Path, out: &Path) -> bool {
    !path.starts_with(out)
}
