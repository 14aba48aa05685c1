//! A record still to be laid out, page by page.
//!
//! In: a [`Build`] and the looks ahead of its evenings. Out: for each [`Leaf`] its address and,
//! when asked for, its view model. Pages are laid out one at a time, so that nobody has to hold
//! them all, and a page that nobody looks at costs nothing.

use serde::Serialize;

use super::ahead::Evenings;
use super::layout::{Layout, Message};
use super::view_model::{Rewriter, ViewModel};
use super::{
    AsBuilt, Cover, DayPage, Frame, HoldPage, Inspection, JobsPage, LedgerPage, Methods, WallPage,
};
use super::{
    SearchData, as_built, cover, day, holds, inspection, jobs, ledger, methods, search, wall,
};
use crate::build::Build;
use crate::diagnostics::Severity;

/// One page of the record.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Leaf {
    /// `index.html`
    Cover,
    /// `jobs.html`
    Jobs,
    /// `ledger.html`
    Ledger,
    /// `as-built.html`
    AsBuilt,
    /// `hold.html`
    Hold,
    /// `methods.html`
    Methods,
    /// `days/….html`, by index into the book's days.
    Day(usize),
}

/// The sheets beside the days: those every page leads to, in the order of their links.
pub const SHEETS: [(Leaf, &str, &str); 6] = [
    (Leaf::Cover, "index.html", "Cover"),
    (Leaf::Jobs, "jobs.html", "Jobs"),
    (Leaf::Ledger, "ledger.html", "Parts ledger"),
    (Leaf::AsBuilt, "as-built.html", "As built"),
    (Leaf::Hold, "hold.html", "Hold list"),
    (Leaf::Methods, "methods.html", "Methods"),
];

/// What a page shows.
#[derive(Debug, Serialize)]
#[serde(untagged)]
pub enum Page {
    /// The cover.
    Cover(Box<Cover>),
    /// The job table.
    Jobs(Box<JobsPage>),
    /// The parts ledger.
    Ledger(Box<LedgerPage>),
    /// The as-built sheet.
    AsBuilt(Box<AsBuilt>),
    /// The hold list.
    Hold(Box<HoldPage>),
    /// Methods and their sources.
    Methods(Box<Methods>),
    /// A day.
    Day(Box<DayPage>),
}

impl ViewModel for Page {
    fn rewrite(self, rewriter: &dyn Rewriter) -> Self {
        match self {
            Self::Cover(page) => Self::Cover(page.rewrite(rewriter)),
            Self::Jobs(page) => Self::Jobs(page.rewrite(rewriter)),
            Self::Ledger(page) => Self::Ledger(page.rewrite(rewriter)),
            Self::AsBuilt(page) => Self::AsBuilt(page.rewrite(rewriter)),
            Self::Hold(page) => Self::Hold(page.rewrite(rewriter)),
            Self::Methods(page) => Self::Methods(page.rewrite(rewriter)),
            Self::Day(page) => Self::Day(page.rewrite(rewriter)),
        }
    }
}

/// A build, ready to be laid out.
pub struct Draft<'a> {
    layout: Layout<'a>,
}

impl<'a> Draft<'a> {
    /// Makes ready to lay a build out.
    pub fn new(build: &'a Build, evenings: &'a Evenings) -> Self {
        Self {
            layout: Layout::new(build, evenings),
        }
    }

    /// Every page there is, the long sheets first.
    pub fn leaves(&self) -> Vec<Leaf> {
        let sheets = [
            Leaf::AsBuilt,
            Leaf::Jobs,
            Leaf::Ledger,
            Leaf::Cover,
            Leaf::Hold,
            Leaf::Methods,
        ];
        sheets
            .into_iter()
            .chain((0..self.layout.build.book.days.len()).map(Leaf::Day))
            .collect()
    }

    /// A page's path in the record.
    pub fn path(&self, leaf: Leaf) -> String {
        match leaf {
            Leaf::Day(index) => format!("days/{}.html", self.layout.build.book.days[index].stem),
            sheet => SHEETS
                .iter()
                .find(|(of, ..)| *of == sheet)
                .map_or_else(String::new, |(_, path, _)| (*path).to_owned()),
        }
    }

    /// The page at a path in the record.
    pub fn find(&self, path: &str) -> Option<Leaf> {
        let stem = path
            .strip_prefix("days/")
            .and_then(|name| name.strip_suffix(".html"));
        if let Some(stem) = stem {
            let index = self
                .layout
                .build
                .book
                .days
                .iter()
                .position(|log| log.stem == stem)?;
            return Some(Leaf::Day(index));
        }
        SHEETS
            .iter()
            .find(|(_, of, _)| *of == path)
            .map(|(leaf, ..)| *leaf)
    }

    /// What a page carries at its head and foot: on a day's page as things stood that evening.
    pub fn frame(&self, leaf: Leaf) -> Frame {
        let build = self.layout.build;
        self.layout.frame(match leaf {
            Leaf::Day(index) => build.book.days[index].day,
            _ => build.day(),
        })
    }

    /// Lays the shop screen out; `before` is the build before this one, to tell what changed.
    pub fn wall(&self, before: Option<&Build>) -> WallPage {
        wall::page(&self.layout, before)
    }

    /// The errors of the book, as a page shows them.
    pub fn errors(&self) -> Vec<Message> {
        let errors = self
            .layout
            .build
            .diagnostics
            .iter()
            .filter(|finding| finding.severity == Severity::Error);
        errors.map(|finding| self.layout.message(finding)).collect()
    }

    /// Every check as a line of an inspection sheet.
    pub fn inspection(&self) -> Inspection {
        inspection::inspection(&self.layout)
    }

    /// What the search line finds.
    pub fn search(&self) -> SearchData {
        search::data(&self.layout)
    }

    /// Lays a page out.
    pub fn lay_out(&self, leaf: Leaf) -> Page {
        let layout = &self.layout;
        match leaf {
            Leaf::Cover => Page::Cover(Box::new(cover::cover(layout))),
            Leaf::Jobs => Page::Jobs(Box::new(jobs::page(layout))),
            Leaf::Ledger => Page::Ledger(Box::new(ledger::page(layout))),
            Leaf::AsBuilt => Page::AsBuilt(Box::new(as_built::page(layout))),
            Leaf::Hold => Page::Hold(Box::new(holds::page(layout))),
            Leaf::Methods => Page::Methods(Box::new(methods::page(layout))),
            Leaf::Day(index) => Page::Day(Box::new(day::page(layout, index))),
        }
    }
}
