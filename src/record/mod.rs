//! The finished record as data: one view model for each kind of page.
//!
//! In: a [`Build`]. Out: a [`Record`], every figure already text, every link
//! already an address inside the record. Knows nothing of templates or files: what may not be seen is
//! taken out here, before anything is pressed.

pub mod ahead;
mod as_built;
mod body;
mod choice;
mod cover;
mod day;
pub mod document;
pub mod drawing;
mod holds;
mod jobs;
mod layout;
mod ledger;
mod methods;
mod moved;
pub mod sheets;
mod shown;
mod standing;
mod strip;
mod words;
pub mod workings;

use serde::Serialize;

pub use as_built::AsBuilt;
pub use body::BodyPart;
pub use cover::Cover;
pub use day::DayPage;
pub use holds::{HoldPage, HoldTag};
pub use jobs::JobsPage;
pub use ledger::LedgerPage;
pub use methods::Methods;
pub use strip::Strip;

use crate::compile::Build;
use layout::Layout;

/// On the cover, in print and on every handover.
pub const STANDING: &str = "A record of work and sums. It approves nothing. Local codes, the event’s rule book, \
                            the makers’ instructions and licensed practice come first.";

/// Everything the pages show.
#[derive(Debug, Serialize)]
pub struct Record {
    /// What every page carries.
    pub frame: Frame,
    /// `index.html`
    pub cover: Cover,
    /// `days/….html`
    pub days: Vec<DayPage>,
    /// `ledger.html`
    pub ledger: LedgerPage,
    /// `as-built.html`
    pub as_built: AsBuilt,
    /// `jobs.html`
    pub jobs: JobsPage,
    /// `hold.html`
    pub hold: HoldPage,
    /// `methods.html`
    pub methods: Methods,
}

/// What every page carries.
#[derive(Debug, Serialize)]
pub struct Frame {
    /// What is built.
    pub title: String,
    /// The latest day with a log.
    pub day: u32,
    /// Build days allowed.
    pub days: u32,
    /// Jobs done.
    pub jobs_done: usize,
    /// Jobs in all, dropped ones left out.
    pub jobs_all: usize,
    /// The date of the last day allowed.
    pub deadline: String,
    /// The standing line.
    pub standing: &'static str,
    /// What is wrong with the book, where something is.
    pub errors: usize,
    /// How many warnings.
    pub warnings: usize,
}

/// A link inside the record, its address relative to the record's folder.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Link {
    /// The address.
    pub href: String,
    /// The words.
    pub text: String,
}

/// Lays out the whole record.
pub fn lay_out(build: &Build) -> Record {
    let layout = Layout::new(build);
    let sheets = || {
        let (ledger, jobs) = (ledger::page(&layout), jobs::page(&layout));
        (cover::cover(&layout), ledger, jobs, holds::page(&layout), methods::page(&layout))
    };
    let long = || (day::days(&layout), as_built::page(&layout));
    let ((cover, ledger, jobs, hold, methods), (days, as_built)) = rayon::join(sheets, long);
    Record { frame: layout.frame(), cover, days, ledger, as_built, jobs, hold, methods }
}
