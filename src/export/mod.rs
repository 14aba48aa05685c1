//! The book as data for other programs: documents for JSON, sheets for CSV.
//!
//! In: a [`Build`](crate::build::Build). Out: values to serialize, and tables of cells. Keys are
//! only ever added.

pub mod document;
pub mod sheets;
