//! The record in a real browser: what the tests in `tests/` are written with.
//!
//! In: a book and a theme's name, or the address of a running server. Out: a [`Page`] to look at,
//! scroll, type into and photograph. Pictures and written records land under `target/browser/`,
//! never in the repository.
//!
//! ```no_run
//! use shimbook_in_a_browser::{Look, file_url, in_browser, record};
//!
//! let written = record("paper");
//! in_browser(async move |page| {
//!     page.open(&file_url(&written.join("index.html")), Look::at(390).dark()).await;
//!     page.screenshot("cover-on-a-phone").await;
//! });
//! ```
//!
//! Each test has a chromedriver, a port and a user-data folder of its own; all are gone when the
//! test ends, however it ends. Where no browser is installed the test says that it is skipped, and
//! why; with `SHIMBOOK_NEEDS_TOOLS=1` that is a failure.
#![allow(
    clippy::disallowed_methods,
    reason = "tests read and write files and ask the environment"
)]

mod driver;
mod faults;
mod page;
mod tools;
mod written;

pub use driver::in_browser;
pub use faults::{accessibility, layout, overlaps};
pub use page::{Look, Page};
pub use tools::{npm, program, skipped};
pub use written::{file_url, folder, handed, html_pages, record, write_up};
