//! The finished record as data: one view model for each kind of page.
//!
//! In: a [`Build`](crate::build::Build). Out: a [`Draft`], whose pages have every figure already
//! as text, every link already as an address inside the record. Knows nothing of templates or
//! files: what may not be seen is taken out here, before anything is pressed.

pub(crate) mod agreeing;
pub mod ahead;
mod as_built;
mod body;
mod choice;
mod cover;
mod day;
mod draft;
mod holds;
mod inspection;
mod jobs;
mod layout;
mod ledger;
pub mod limits;
mod methods;
mod moved;
pub mod overall;
mod search;
mod shown;
mod standing;
mod strip;
pub mod view_model;
mod wall;
pub(crate) mod words;
pub mod workings;

use crate::view_model;

pub use ahead::{Evenings, KeptEvenings};
pub use as_built::AsBuilt;
pub use body::BodyPart;
pub use cover::Cover;
pub use day::DayPage;
pub use draft::{Draft, Leaf, Page, SHEETS};
pub use holds::{HoldEventView, HoldPage, HoldTag};
pub use inspection::{Inspection, InspectionRow};
pub use jobs::JobsPage;
pub use layout::Message;
pub use ledger::LedgerPage;
pub use methods::Methods;
pub use search::{FoundDay, FoundLine, FoundThing, FoundValue, SearchData};
pub use strip::Strip;
pub use wall::WallPage;

/// On the cover, in print and on every handover.
pub const STANDING: &str = "A record of work and sums. It approves nothing. Local codes, the event’s rule book, \
                            the makers’ instructions and licensed practice come first.";

view_model! {
    /// What every page carries.
    pub struct Frame {
        /// What is built.
        pub title: String => CrewText,
        /// The day whose evening the page tells of; the latest with a log, where it is no day's own
        /// page.
        pub day: u32 => Public,
        /// Build days allowed, where they are known.
        pub days: Option<u32> => Public,
        /// Jobs done by then.
        pub jobs_done: usize => Public,
        /// Jobs known by then, dropped ones left out.
        pub jobs_all: usize => Public,
        /// Jobs dropped by then.
        pub jobs_dropped: usize => Public,
        /// The date of the last day allowed.
        pub deadline: String => Public,
        /// The standing line.
        pub standing: &'static str => Public,
        /// Why the page may not be what the book says now; empty where it is.
        pub not_current: Vec<String> => Internal,
    }
}

view_model! {
    /// A link inside the record, its address relative to the record's folder.
    #[derive(PartialEq, Eq)]
    pub struct Link {
        /// The address.
        pub href: String => Address,
        /// The words.
        pub text: String => CrewText,
    }
}
