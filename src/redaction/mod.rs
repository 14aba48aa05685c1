//! The record as somebody outside the crew may see it.
//!
//! In: a [`Build`] and a [`Sight`]. Out: the build without what may not be seen, and pages in which
//! every field was let through on purpose. Two doors stand one behind the other:
//!
//! 1. [`Veil::build`] takes out of the worked book what it knows by where it comes from: `shop`
//!    blocks, costs and everything that hangs on them, serial numbers, suppliers, findings. Pages
//!    are laid out from what is left, so drawings, workings, windows and anchors never hold it.
//! 2. [`Veil::page`] goes through the finished view model field by field. Each field declares its
//!    [`Sensitivity`] beside its type; a field without one does not compile. Names of the crew are
//!    replaced here, and serial numbers, suppliers and sums of money in text that the crew wrote.
//!
//! What concerns safety passes both: hold lines, cautions, hold checks with their figures, whatever
//! they are worked out from, ratings nothing checks, altered parts, work made again.

mod build;
mod html;
mod masks;
mod money;
mod prose;

pub use html::through as through_html;

use crate::book::{NamesSeen, Sight};
use crate::build::Build;
use crate::pages::view_model::{Rewriter, Sensitivity, ViewModel};
use masks::{Masks, Where};

/// What stands in the place of what may not be seen.
pub const WITHHELD: &str = "withheld";

/// Between the book and somebody outside.
#[derive(Debug)]
pub struct Veil {
    sight: Sight,
    masks: Masks,
    currency: String,
}

impl Veil {
    /// The veil for an audience of a book.
    pub fn new(build: &Build, sight: Sight) -> Self {
        let mut masks = Masks::new(&build.book, sight);
        let values = build.worked.names.iter().map(|(text, _)| text);
        let jobs = build.jobs.by_id.keys().map(String::as_str);
        masks.ids(
            values
                .chain(jobs)
                .chain(build.book.parts.keys().map(String::as_str)),
        );
        Self {
            sight,
            masks,
            currency: build.book.sheet.money.clone(),
        }
    }

    /// The build as this audience may see it.
    pub fn build(&self, build: &Build) -> Build {
        build::veiled(self, build)
    }

    /// A view model as this audience may see it.
    #[must_use]
    pub fn page<T: ViewModel>(&self, page: T) -> T {
        page.rewrite(self)
    }

    /// Words of the crew: names, serials and suppliers go where they may not be seen.
    pub fn words(&self, text: &str) -> String {
        self.masks.put_on(text, Where::Words)
    }

    /// People as this audience may see them, each once.
    fn people(&self, names: &[String]) -> Vec<String> {
        let mut shown: Vec<String> = Vec::new();
        for name in names {
            let name = if self.sight.names == NamesSeen::Full {
                self.words(name)
            } else {
                self.masks.person(name)
            };
            if !shown.contains(&name) {
                shown.push(name);
            }
        }
        shown
    }

    /// Names separated by commas as this audience may see them, each once.
    fn list_of_people(&self, names: &str) -> String {
        let names = names.split(", ").filter(|name| !name.is_empty());
        let names: Vec<String> = names.map(str::to_owned).collect();
        self.people(&names).join(", ")
    }

    /// Words of the crew in which sums of money go too.
    pub fn remark(&self, text: &str) -> String {
        let text = self.words(text);
        if self.sight.costs {
            text
        } else {
            money::without(&text, &self.currency, self.masks.costs())
        }
    }

    /// An address, an anchor, a file's path or an id. The same goes in and out everywhere, so that
    /// links still lead.
    pub fn address(&self, text: &str) -> String {
        self.masks.put_on(text, Where::Address)
    }

    /// What is withheld, in words: `costs and what is worked out from them`; nothing where all is
    /// seen.
    pub fn withheld(&self) -> Vec<&'static str> {
        let Sight {
            costs,
            serials,
            suppliers,
            names,
        } = self.sight;
        let names = match names {
            NamesSeen::Full => None,
            NamesSeen::Initials => Some("names but for initials"),
            NamesSeen::None => Some("names"),
        };
        let rest = [
            (!costs).then_some("costs and what is worked out from them"),
            (!serials).then_some("serial numbers"),
            (!suppliers).then_some("suppliers"),
        ];
        rest.into_iter().flatten().chain(names).collect()
    }
}

impl Rewriter for Veil {
    fn text(&self, sensitivity: Sensitivity, text: String) -> String {
        let Sight {
            costs, suppliers, ..
        } = self.sight;
        match sensitivity {
            Sensitivity::Named => self.words(&text),
            Sensitivity::CrewText => self.remark(&text),
            Sensitivity::Html => html::seen(self, &text, Self::remark),
            Sensitivity::Drawing => html::seen(self, &text, Self::words),
            Sensitivity::Address => self.address(&text),
            Sensitivity::People => self.list_of_people(&text),
            Sensitivity::Money if costs || text.is_empty() => text,
            Sensitivity::Money => WITHHELD.to_owned(),
            Sensitivity::Supplier if suppliers => self.words(&text),
            // Suppliers are hidden; the others are not rules for texts.
            Sensitivity::Supplier
            | Sensitivity::Public
            | Sensitivity::Internal
            | Sensitivity::View
            | Sensitivity::CrewRows
            | Sensitivity::SupplierRows => String::new(),
        }
    }

    fn shows_rows(&self, sensitivity: Sensitivity) -> bool {
        match sensitivity {
            Sensitivity::CrewRows => self.sight.names != NamesSeen::None,
            Sensitivity::SupplierRows => self.sight.suppliers,
            _ => false,
        }
    }
}
