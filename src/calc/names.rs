//! The one set of names of a book, and what a word in a sum stands for.
//!
//! In: words. Out: [`NameId`]s, or what is wrong with the word. Figures of parts (`motor.mass`,
//! `fitted.mass`) are names like any other; only the ledger sets them.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::expression::ExprKind;
use crate::book::{Book, is_reserved};
use crate::diagnostics::{Diagnostic, Slug, nearest};
use crate::quantity::Units;
use crate::source::Span;

/// A name, by its number in the order of first mention.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct NameId(pub u32);

impl NameId {
    /// Its place in a list by name.
    pub fn index(self) -> usize {
        self.0 as usize
    }
}

/// Where a name was first mentioned.
#[derive(Clone, Copy, Debug)]
struct Mention {
    at: Span,
    /// In a sum, or only where the ledger sets it?
    in_sum: bool,
}

/// All names, with the place that mentioned each first: a sum goes before the line a figure comes
/// from. A copy shares them with its original until one of them has a name more.
#[derive(Clone, Debug, Default)]
pub struct Names {
    texts: Arc<Vec<Arc<str>>>,
    first: Arc<Vec<Mention>>,
    by_text: Arc<BTreeMap<Arc<str>, NameId>>,
}

impl Names {
    /// The name of that text, new where it was not mentioned yet.
    pub fn id(&mut self, text: &str, at: Span) -> NameId {
        let id = self.find_or_add(text, Mention { at, in_sum: true });
        if !self.first[id.index()].in_sum {
            Arc::make_mut(&mut self.first)[id.index()] = Mention { at, in_sum: true };
        }
        id
    }

    /// The same for a part's figure, which the ledger sets at a line of its own.
    pub fn figure(&mut self, text: &str, at: Span) -> NameId {
        self.find_or_add(text, Mention { at, in_sum: false })
    }

    fn find_or_add(&mut self, text: &str, first: Mention) -> NameId {
        if let Some(id) = self.by_text.get(text) {
            return *id;
        }
        let text: Arc<str> = text.into();
        let id = self.push(Arc::clone(&text), first);
        Arc::make_mut(&mut self.by_text).insert(text, id);
        id
    }

    /// A name that no text finds, where the prediction of another is kept.
    pub fn hidden(&mut self, of: NameId, at: Span) -> NameId {
        self.push(
            Arc::clone(&self.texts[of.index()]),
            Mention { at, in_sum: true },
        )
    }

    fn push(&mut self, text: Arc<str>, first: Mention) -> NameId {
        let id = NameId(self.texts.len() as u32);
        Arc::make_mut(&mut self.texts).push(text);
        Arc::make_mut(&mut self.first).push(first);
        id
    }

    /// The name of that text, if it was mentioned.
    pub fn find(&self, text: &str) -> Option<NameId> {
        self.by_text.get(text).copied()
    }

    /// The text of a name.
    pub fn text(&self, id: NameId) -> &str {
        &self.texts[id.index()]
    }

    /// Where a name was first mentioned.
    pub fn first_mention(&self, id: NameId) -> Span {
        self.first[id.index()].at
    }

    /// How many there are, hidden ones included.
    pub fn len(&self) -> usize {
        self.texts.len()
    }

    /// Is there none?
    pub fn is_empty(&self) -> bool {
        self.texts.is_empty()
    }

    /// Every name that a text finds, in the order of the alphabet.
    pub fn iter(&self) -> impl Iterator<Item = (&str, NameId)> {
        self.by_text.iter().map(|(text, id)| (&**text, *id))
    }
}

/// The number in `day3`.
pub fn day_number(word: &str) -> Option<u32> {
    let digits = word.strip_prefix("day")?;
    (!digits.is_empty() && digits.bytes().all(|b| b.is_ascii_digit()))
        .then(|| digits.parse().unwrap_or(u32::MAX))
}

/// What the words of a sum can stand for at one place of the book.
pub(super) struct Link<'a> {
    pub(super) units: &'a Units,
    pub(super) book: &'a Book,
    /// The day whose block is read; 0 for the targets.
    pub(super) today: u32,
}

impl Link<'_> {
    /// What a name in an expression stands for.
    pub(super) fn reference(
        &self,
        word: &str,
        at: Span,
        names: &mut Names,
    ) -> Result<ExprKind, Box<Diagnostic>> {
        match word.split_once('.') {
            Some((first, rest)) if day_number(first).is_some() => self.past(first, rest, at, names),
            _ => Ok(ExprKind::Name(self.name(word, at, names)?)),
        }
    }

    fn past(
        &self,
        first: &str,
        rest: &str,
        at: Span,
        names: &mut Names,
    ) -> Result<ExprKind, Box<Diagnostic>> {
        let day = day_number(first).unwrap_or(u32::MAX);
        if day >= self.today {
            return Err(Box::new(
                Diagnostic::error(
                    Slug::DayNotOver,
                    at,
                    format!("day {day} is not over on this day"),
                )
                .expected("an earlier day")
                .instead(rest),
            ));
        }
        Ok(ExprKind::Past {
            day,
            name: self.name(rest, at, names)?,
        })
    }

    /// The value, or the part's figure, that a word names.
    pub(super) fn name(
        &self,
        word: &str,
        at: Span,
        names: &mut Names,
    ) -> Result<NameId, Box<Diagnostic>> {
        if let Some((part, figure)) = word.split_once('.') {
            self.figure(part, figure, at)?;
        } else if is_reserved(word) {
            return Err(reserved(word, at));
        }
        Ok(names.id(word, at))
    }

    /// Can there be such a figure?
    fn figure(&self, part: &str, figure: &str, at: Span) -> Result<(), Box<Diagnostic>> {
        let totals: Option<&[&str]> = match part {
            "fitted" => Some(&["mass"]),
            "spent" => Some(&["total"]),
            _ => None,
        };
        if let Some(totals) = totals {
            return if totals.contains(&figure) {
                Ok(())
            } else {
                Err(no_figure(part, figure, totals, at))
            };
        }
        let Some(known) = self.book.parts.get(part) else {
            let message = format!("no part is called `{part}`");
            let near = nearest(part, self.book.parts.keys().map(String::as_str));
            return Err(Box::new(
                Diagnostic::error(Slug::UnknownPart, at, message)
                    .expected("a part of parts.yaml, fitted.mass or spent.total")
                    .maybe_instead(near.map(|near| format!("{near}.{figure}"))),
            ));
        };
        let figures: Vec<&str> = ["mass", "cost"]
            .into_iter()
            .chain(known.ratings.keys().map(String::as_str))
            .collect();
        if figures.contains(&figure) {
            Ok(())
        } else {
            Err(no_figure(part, figure, &figures, at))
        }
    }
}

fn no_figure(part: &str, figure: &str, known: &[&str], at: Span) -> Box<Diagnostic> {
    Box::new(
        Diagnostic::error(
            Slug::UnknownFigure,
            at,
            format!("`{part}` has no figure called `{figure}`"),
        )
        .expected(format!("one of {}", known.join(", ")))
        .maybe_instead(nearest(figure, known.iter().copied()).map(|near| format!("{part}.{near}"))),
    )
}

/// The finding for a word that stands for something else here.
pub(super) fn reserved(word: &str, at: Span) -> Box<Diagnostic> {
    Box::new(
        Diagnostic::error(
            Slug::Reserved,
            at,
            format!("`{word}` is a word of the format and cannot be a name"),
        )
        .expected("another name")
        .instead(format!("{word}_1")),
    )
}
