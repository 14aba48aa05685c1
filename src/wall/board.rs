//! What the wall shows now.
//!
//! In: looks at the book: as it was worked out last, or why it cannot be read. Out: news for
//! everybody who looks on, and the pages, each pressed when somebody first asks for it and kept
//! until the book changes. Pages are current only while looks at the book end: one that hangs or
//! breaks off makes them not current.

use std::collections::BTreeMap;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::{Arc, Mutex, OnceLock, PoisonError};
use std::time::Duration;

use serde::Serialize;
use tokio::sync::broadcast;

use super::answer::{Answer, Hung, answer};
use super::prints;
use super::watch::TICK;
use crate::io::{Clock, ClockReading, FileError};
use crate::open_book::WorkedBook;
use crate::render::Theme;

/// News that somebody slow has not read yet; beyond that, the latest does.
const WAITING: usize = 64;

/// Pages whose book was looked at longer ago than this are not current: three looks should have
/// ended since.
const TOO_LONG_AGO: Duration = TICK.saturating_mul(3);
const NOT_READ_YET: &str = "The book has not been read yet.";
const SILENT: &str = "The program has not finished a look at the book for some time.";
const FAILED: &str = "The program failed while it read the book, and tries again.";

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

/// What everybody is told while there is no news.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Beat {
    /// The time of the last look at the book that was finished: `14:02:33`; empty before the first.
    pub looked: String,
    /// Is what hangs here the book as it is now?
    pub current: bool,
    /// If not, why.
    pub why: String,
}

/// The board.
pub struct Board {
    theme: Theme,
    clock: Clock,
    hanging: Mutex<Hanging>,
    /// Pictures, whatever hangs here.
    photos: prints::Kept,
    news: broadcast::Sender<News>,
}

#[derive(Clone)]
struct Hanging {
    news: News,
    leaves: Option<Arc<Leaves>>,
    /// Why the last look did not find a book that is current; `None` where it did.
    trouble: Option<String>,
    /// When the last look was finished.
    looked: Option<ClockReading>,
}

/// An answer that is made by whoever asks first.
type PressedOnce = Arc<OnceLock<Answer>>;

/// The pages of one state of the book.
struct Leaves {
    book: Arc<WorkedBook>,
    /// The book before the latest save, to tell what changed.
    before: Option<Arc<WorkedBook>>,
    /// By path, and by what is said on them of the book not being current.
    pressed: Mutex<BTreeMap<(String, String), PressedOnce>>,
}

impl Board {
    /// A board with nothing on it yet.
    pub fn new(theme: Theme) -> Self {
        Self::with_clock(theme, Clock::of_this_machine())
    }

    /// A board that tells the age of the last look by a clock of the caller's.
    pub fn with_clock(theme: Theme, clock: Clock) -> Self {
        let why = NOT_READ_YET.to_owned();
        let news = News {
            number: 0,
            at: String::new(),
            current: false,
            why: why.clone(),
        };
        Self {
            theme,
            clock,
            hanging: Mutex::new(Hanging {
                news,
                leaves: None,
                trouble: Some(why),
                looked: None,
            }),
            photos: prints::Kept::default(),
            news: broadcast::channel(WAITING).0,
        }
    }

    /// Looks at the book, and hangs up what it has become. A look that breaks off is told like any
    /// other trouble.
    pub fn look(&self, look: impl FnOnce() -> Result<Option<WorkedBook>, FileError>) {
        match catch_unwind(AssertUnwindSafe(look)) {
            Ok(Ok(Some(book))) => self.hang(book),
            Ok(Ok(None)) => self.still_right(),
            Ok(Err(error)) => {
                self.finished(Some(format!("The book cannot be read: {}.", error.message)));
            }
            Err(_) => self.broke_off(),
        }
    }

    /// The look broke off. What hangs here is not current until another one is finished.
    pub(super) fn broke_off(&self) {
        self.change(|hanging| hanging.trouble = Some(FAILED.to_owned()), false);
    }

    /// Tells everybody where the last look is too long ago, or no longer is.
    pub fn tell_the_age(&self) {
        self.change(|_| {}, false);
    }

    /// Hangs up the book as it is now.
    fn hang(&self, book: WorkedBook) {
        let book = Arc::new(book);
        let build = &book.build;
        let trouble =
            Some(build.current.reasons(&build.sources).join(". ")).filter(|why| !why.is_empty());
        let now = self.clock.now();
        let old = self.change(
            |hanging| {
                let before = hanging
                    .leaves
                    .as_ref()
                    .map(|leaves| Arc::clone(&leaves.book));
                hanging.found(trouble.map(|why| format!("{why}.")), now);
                hanging.leaves.replace(Arc::new(Leaves {
                    book,
                    before,
                    pressed: Mutex::default(),
                }))
            },
            true,
        );
        // A large book is let go of only after everybody was told of the new one.
        drop(old);
    }

    /// The book was looked at and is as it hangs here.
    fn still_right(&self) {
        let now = self.clock.now();
        self.change(|hanging| hanging.found(hanging.trouble.clone(), now), false);
    }

    /// A look was finished, and what hangs here stays.
    fn finished(&self, trouble: Option<String>) {
        let now = self.clock.now();
        self.change(|hanging| hanging.found(trouble, now), false);
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

    /// What is told while there is no news.
    pub fn beat(&self) -> Beat {
        self.tell_the_age();
        let Hanging { news, looked, .. } = self.lock().clone();
        Beat {
            looked: looked.map_or_else(String::new, |looked| looked.time_of_day),
            current: news.current,
            why: news.why,
        }
    }

    /// The answer to whoever asks for a path of the record.
    pub fn answer(&self, path: &str) -> Answer {
        let Hanging { leaves, news, .. } = self.lock().clone();
        let Some(leaves) = leaves else {
            return Answer::not_yet();
        };
        if let Some((photo, facts, size)) = leaves.book.build.album.print(path) {
            let on_disk = leaves.book.photos.get(photo);
            return on_disk.map_or_else(Answer::not_here, |on_disk| {
                self.photos.answer(on_disk, facts, size)
            });
        }
        let pressed = {
            let mut pressed = leaves
                .pressed
                .lock()
                .unwrap_or_else(PoisonError::into_inner);
            let key = (path.to_owned(), news.why.clone());
            match pressed.get(&key) {
                Some(pressed) => Arc::clone(pressed),
                None if !super::answer::is_there(&leaves.book, path) => return Answer::not_here(),
                None => Arc::clone(pressed.entry(key).or_default()),
            }
        };
        let hung = Hung {
            book: &leaves.book,
            before: leaves.before.as_deref(),
            not_current: &news.why,
        };
        pressed
            .get_or_init(|| answer(path, &hung, &self.theme))
            .clone()
    }

    /// Changes what hangs here, and tells everybody where `always`, or where it is no longer
    /// current or is so again.
    fn change<T>(&self, change: impl FnOnce(&mut Hanging) -> T, always: bool) -> T {
        let now = self.clock.now();
        let mut hanging = self.lock();
        let given = change(&mut hanging);
        let why = hanging.why_not(&now);
        if always || hanging.news.why != why {
            hanging.news = News {
                number: hanging.news.number + 1,
                current: why.is_empty(),
                why,
                ..hanging.news.clone()
            };
            // Nobody may be looking on.
            let _ = self.news.send(hanging.news.clone());
        }
        given
    }

    fn lock(&self) -> std::sync::MutexGuard<'_, Hanging> {
        self.hanging.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Hanging {
    /// What a look that was finished found.
    fn found(&mut self, trouble: Option<String>, now: ClockReading) {
        if trouble.is_none() {
            self.news.at.clone_from(&now.time_of_day);
        }
        self.trouble = trouble;
        self.looked = Some(now);
    }

    /// Why what hangs here is not current; empty where it is.
    fn why_not(&self, now: &ClockReading) -> String {
        let is_old =
            |looked: &ClockReading| now.running.saturating_sub(looked.running) > TOO_LONG_AGO;
        match &self.trouble {
            Some(why) => why.clone(),
            None if self.looked.as_ref().is_some_and(is_old) => SILENT.to_owned(),
            None => String::new(),
        }
    }
}
