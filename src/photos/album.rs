//! The photos that a book shows.
//!
//! In: the book, and what was found when its photos were looked at. Out: by path what is known of
//! each, what is wrong with them at which place of which log, and which of them a path in the
//! record is.

use std::collections::{BTreeMap, BTreeSet};

use rayon::prelude::*;

use super::{Facts, Size, Trouble};
use crate::book::Book;
use crate::diagnostics::Diagnostic;
use crate::markdown::{Piece, Prose};
use crate::source::Span;

/// What is known of a photo, or why it cannot be shown.
pub type Photographed = Result<Facts, Trouble>;

/// The photos that a book shows, by their path in the book; one that is not there has no entry.
#[derive(Clone, Debug, Default)]
pub struct Album {
    photos: BTreeMap<String, Photographed>,
    /// By their path in the record.
    prints: BTreeMap<String, (String, Size)>,
}

impl Album {
    /// An album of these photos.
    pub fn new(photos: BTreeMap<String, Photographed>) -> Self {
        let prints = photos
            .iter()
            .filter_map(|(path, found)| Some((path, found.as_ref().ok()?)));
        let prints = prints.flat_map(|(path, facts)| {
            facts
                .sizes()
                .iter()
                .map(move |size| (facts.print_path(path, *size), (path.clone(), *size)))
        });
        Self {
            prints: prints.collect(),
            photos,
        }
    }

    /// What is known of a photo.
    pub fn photo(&self, path: &str) -> Option<&Photographed> {
        self.photos.get(path)
    }

    /// The photos that can be shown.
    pub fn good(&self) -> impl Iterator<Item = (&str, &Facts)> {
        self.photos
            .iter()
            .filter_map(|(path, found)| Some((path.as_str(), found.as_ref().ok()?)))
    }

    /// Which photo a path in the record is, and in which size.
    pub fn print(&self, path: &str) -> Option<(&str, &Facts, Size)> {
        let (photo, size) = self.prints.get(path)?;
        Some((photo, self.photos.get(photo)?.as_ref().ok()?, *size))
    }

    /// The same without photos whose pixels turned out to be broken.
    #[must_use]
    pub fn without(self, spoilt: BTreeMap<String, Trouble>) -> Self {
        let mut photos = self.photos;
        photos.extend(
            spoilt
                .into_iter()
                .map(|(path, trouble)| (path, Err(trouble))),
        );
        Self::new(photos)
    }

    /// What is wrong with the photos, at each place that shows one of them.
    pub fn findings(&self, book: &Book) -> Vec<Diagnostic> {
        let troubled = |(path, places): (&str, Vec<Span>)| match self.photos.get(path) {
            Some(Err(trouble)) => places.into_iter().map(|at| trouble.at(path, at)).collect(),
            _ => Vec::new(),
        };
        shown(book).into_iter().flat_map(troubled).collect()
    }
}

/// The paths of the photos that the logs show, `shop` blocks too, and where.
pub fn shown(book: &Book) -> BTreeMap<&str, Vec<Span>> {
    let mut places = BTreeMap::new();
    book.days
        .iter()
        .for_each(|log| gather(&log.prose, &mut places));
    places
}

/// The paths of the photos that the logs show outside `shop` blocks.
pub fn shown_outside(book: &Book) -> BTreeSet<&str> {
    let pieces = book.days.iter().flat_map(|log| &log.prose.pieces);
    pieces
        .filter_map(|piece| {
            if let Piece::Photo(photo) = piece {
                Some(photo.path.as_str())
            } else {
                None
            }
        })
        .collect()
}

fn gather<'b>(prose: &'b Prose, places: &mut BTreeMap<&'b str, Vec<Span>>) {
    for piece in &prose.pieces {
        match piece {
            Piece::Photo(photo) => places
                .entry(photo.path.as_str())
                .or_default()
                .push(photo.span),
            Piece::Shop(prose) => gather(prose, places),
            _ => {}
        }
    }
}

/// Photos with more pixels are worked one after the other, so that memory stays within what one of
/// the largest takes.
const LARGE_ONE: u64 = 16_000_000;

/// Does something with each photo, side by side where they are not too large for that.
pub fn in_turns<E: Send>(
    photos: &[(&str, &Facts)],
    work: impl Fn(&str, &Facts) -> Result<(), E> + Sync,
) -> Result<(), E> {
    let pixels = |facts: &Facts| u64::from(facts.width) * u64::from(facts.height);
    let (large, rest): (Vec<_>, Vec<_>) = photos
        .iter()
        .partition(|(_, facts)| pixels(facts) > LARGE_ONE);
    rest.into_par_iter()
        .with_max_len(1)
        .try_for_each(|(path, facts)| work(path, facts))?;
    large
        .into_iter()
        .try_for_each(|(path, facts)| work(path, facts))
}
