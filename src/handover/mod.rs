//! The finished record for somebody outside: one folder that needs nothing beside it, and a seal on
//! it.
//!
//! In: a worked book, an audience, photos, a theme. Out: files by path, ready to be written; or
//! what stands against a handover. Whatever leaves the house went through a
//! [`Veil`](crate::redaction::Veil). The same book gives the same bytes.

mod folder;
mod one_page;
mod paper;
mod seal;
mod standing;
mod verify;

pub use crate::io::SEAL;
pub use folder::{Handed, Made, Order, hand_over, shown_photos};
pub use one_page::WholeBook;
pub use paper::on_paper;
pub use seal::{SUMS, Seal, Sealed, hash, over_all, seal};
pub use standing::{Against, against};
pub use verify::{SEALS, Verified, verify, verify_at};

/// What is true of a handover whose files are all as they were sealed.
pub const UNCHANGED: &str = "unchanged; this is not an inspection or an approval";
