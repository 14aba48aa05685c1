//! What hangs on the wall now.
//!
//! In: the book as it was worked out last, or why it cannot be read. Out: news for everybody who looks on, and the
//! pages, each pressed when somebody first asks for it and kept until the book changes.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

use serde::Serialize;
use tokio::sync::broadcast;

use super::answer::{Answer, answer};
use super::prints;
use crate::desk::time_of_day;
use crate::open_book::WorkedBook;
use crate::press::Theme;

/// News that somebody slow has not read yet; beyond that, the latest does.
const WAITING: usize = 64;

/// What everybody who looks on is told.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct News {
    /// Counts the changes.
    pub number: u64,
    /// The time of the last good read: `14:02:33`; empty before the first.
    pub at: String,
    /// Is what hangs here the book as it is now?
    pub current: bool,
    /// If not, why.
    pub why: String,
}

/// The board.
pub struct Board {
    theme: Theme,
    hanging: Mutex<Hanging>,
    /// Pictures, whatever hangs here.
    photos: prints::Kept,
    news: broadcast::Sender<News>,
}

#[derive(Clone)]
struct Hanging {
    news: News,
    leaves: Option<Arc<Leaves>>,
}

/// The pages of one state of the book.
struct Leaves {
    book: Arc<WorkedBook>,
    /// The book before the latest save, to tell what changed.
    before: Option<Arc<WorkedBook>>,
    pressed: Mutex<BTreeMap<String, Arc<OnceLock<Answer>>>>,
}

impl Board {
    /// A board with nothing on it yet.
    pub fn new(theme: Theme) -> Self {
        let news =
            News { number: 0, at: String::new(), current: false, why: "The book has not been read yet.".to_owned() };
        Self {
            theme,
            hanging: Mutex::new(Hanging { news, leaves: None }),
            photos: prints::Kept::default(),
            news: broadcast::channel(WAITING).0,
        }
    }

    /// Hangs up the book as it is now.
    pub fn hang(&self, book: WorkedBook) {
        let book = Arc::new(book);
        let old = self.change(|hanging| {
            let before = hanging.leaves.as_ref().map(|leaves| Arc::clone(&leaves.book));
            hanging.news.at = time_of_day();
            (hanging.news.current, hanging.news.why) = (true, String::new());
            hanging.leaves.replace(Arc::new(Leaves { book, before, pressed: Mutex::default() }))
        });
        // A large book is let go of only after everybody was told of the new one.
        drop(old);
    }

    /// The book was looked at and is as it hangs here.
    pub fn still_right(&self) {
        let mut hanging = self.lock();
        if hanging.news.current {
            hanging.news.at = time_of_day();
        }
    }

    /// The book cannot be read: what hangs here is no longer current.
    pub fn take_no_word_for_it(&self, why: &str) {
        if self.news().current || self.news().why != why {
            self.change(|hanging| (hanging.news.current, hanging.news.why) = (false, why.to_owned()));
        }
    }

    /// The latest news.
    pub fn news(&self) -> News {
        self.lock().news.clone()
    }

    /// The latest news, and all that come after.
    pub fn listen(&self) -> (News, broadcast::Receiver<News>) {
        let hanging = self.lock();
        (hanging.news.clone(), self.news.subscribe())
    }

    /// The answer to whoever asks for a path of the record.
    pub fn answer(&self, path: &str) -> Answer {
        let Some(leaves) = self.lock().leaves.clone() else { return Answer::not_yet() };
        if let Some((photo, facts, size)) = leaves.book.build.album.print(path) {
            let on_disk = leaves.book.photos.get(photo);
            return on_disk.map_or_else(Answer::not_here, |on_disk| self.photos.answer(on_disk, facts, size));
        }
        let pressed = {
            let mut pressed = leaves.pressed.lock().unwrap_or_else(PoisonError::into_inner);
            match pressed.get(path) {
                Some(pressed) => Arc::clone(pressed),
                None if !super::answer::is_there(&leaves.book, path) => return Answer::not_here(),
                None => Arc::clone(pressed.entry(path.to_owned()).or_default()),
            }
        };
        pressed.get_or_init(|| answer(path, &leaves.book, leaves.before.as_deref(), &self.theme)).clone()
    }

    fn change<T>(&self, change: impl FnOnce(&mut Hanging) -> T) -> T {
        let mut hanging = self.lock();
        let given = change(&mut hanging);
        hanging.news.number += 1;
        // Nobody may be looking on.
        let _ = self.news.send(hanging.news.clone());
        given
    }

    fn lock(&self) -> std::sync::MutexGuard<'_, Hanging> {
        self.hanging.lock().unwrap_or_else(PoisonError::into_inner)
    }
}
