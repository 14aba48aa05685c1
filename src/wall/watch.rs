//! Watching a book's folder.
//!
//! In: the folder. Out: a call each time something in it may have been saved: soon after the system
//! says so, and every other second besides, for a system may miss something, and a folder may
//! vanish and come back. Editors that write beside and rename, and several files saved at once,
//! make one call.

use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::time::Duration;

use notify::{Event, EventKind, RecommendedWatcher, RecursiveMode, Watcher};

use crate::io::{FolderId, Stopwatch, folder_id, real_path};

/// How long things must be quiet before a save counts as done.
const QUIET: Duration = Duration::from_millis(6);
/// Somebody who saves without a pause is not waited for longer than this.
const LONGEST_MS: u128 = 80;
/// The longest time without a look.
pub const TICK: Duration = Duration::from_secs(2);
/// The same where the system says nothing of saves.
const POLL: Duration = Duration::from_millis(400);

/// How saves are noticed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Notice {
    /// The system tells.
    Told,
    /// Nobody tells, as on many network shares: the files are looked at again and again.
    Polled,
}

/// Calls `look` now, and then whenever something a book is made of may have been saved. Never ends.
pub fn keep_looking(book: &Path, notice: Notice, mut look: impl FnMut()) -> ! {
    let mut watch = Watch::new(book);
    loop {
        if notice == Notice::Told {
            watch.renew();
        }
        look();
        watch.wait(if watch.is_told() { TICK } else { POLL });
    }
}

struct Watch {
    book: PathBuf,
    /// The watcher, and which folder it watches: another one in its place has to be watched anew.
    watcher: Option<(RecommendedWatcher, FolderId)>,
    saved: Receiver<()>,
    send: std::sync::mpsc::Sender<()>,
}

impl Watch {
    fn new(book: &Path) -> Self {
        let (send, saved) = channel();
        Self {
            book: book.to_owned(),
            watcher: None,
            saved,
            send,
        }
    }

    fn is_told(&self) -> bool {
        self.watcher.is_some()
    }

    /// Watches the folder that is there now; where it cannot be watched, it is polled.
    fn renew(&mut self) {
        let now = folder_id(&self.book);
        if self.watcher.as_ref().map(|(_, watched)| *watched) != now {
            self.watcher = now.and_then(|id| Some((self.watch()?, id)));
        }
    }

    fn watch(&self) -> Option<RecommendedWatcher> {
        let book = real_path(&self.book).ok()?;
        let (send, root) = (self.send.clone(), book.clone());
        let mut watcher = notify::recommended_watcher(move |event: notify::Result<Event>| {
            if event.is_ok_and(|event| is_a_save(&event, &root)) {
                // The other end is gone only when the program is ending.
                let _ = send.send(());
            }
        });
        let watched = watcher
            .as_mut()
            .ok()?
            .watch(&book, RecursiveMode::Recursive);
        watched.ok().and(watcher.ok())
    }

    /// Waits for a save and the quiet after it, at most so long.
    fn wait(&self, longest: Duration) {
        if self.saved.recv_timeout(longest).is_err() {
            return;
        }
        let since = Stopwatch::start();
        while since.milliseconds() < LONGEST_MS {
            match self.saved.recv_timeout(QUIET) {
                Ok(()) => {}
                Err(RecvTimeoutError::Timeout | RecvTimeoutError::Disconnected) => return,
            }
        }
    }
}

/// Reading is no save, and the record is no part of the book.
fn is_a_save(event: &Event, book: &Path) -> bool {
    let touched = event.paths.iter().any(|path| is_of_the_book(path, book));
    touched && !matches!(event.kind, EventKind::Access(_)) || event.need_rescan()
}

/// Is this path one that a book is read from?
fn is_of_the_book(path: &Path, book: &Path) -> bool {
    let Ok(inside) = path.strip_prefix(book) else {
        return false;
    };
    let first = inside
        .components()
        .next()
        .map(|part| part.as_os_str().to_string_lossy().into_owned());
    matches!(
        first.as_deref(),
        Some("days" | "photos" | "plan.md" | "parts.yaml" | "build-sheet.yaml")
    )
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
