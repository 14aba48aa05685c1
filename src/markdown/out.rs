//! Pieces, put together as they come.
//!
//! In: bits of HTML and holes. Out: a [`Prose`] whose HTML pieces are as long as they can be.

use super::escape::escape_into;
use super::{Piece, Prose};

/// A prose that grows.
#[derive(Default)]
pub(super) struct Out {
    pieces: Vec<Piece>,
    html: String,
}

impl Out {
    /// Appends finished HTML.
    pub(super) fn html(&mut self, html: &str) {
        self.html.push_str(html);
    }

    /// Appends text, made safe.
    pub(super) fn text(&mut self, text: &str) {
        escape_into(&mut self.html, text);
    }

    /// Appends a hole.
    pub(super) fn hole(&mut self, piece: Piece) {
        self.flush();
        self.pieces.push(piece);
    }

    /// Appends HTML that may have to go again; says which piece it is.
    pub(super) fn loose(&mut self, html: String) -> usize {
        self.hole(Piece::Html(html));
        self.pieces.len() - 1
    }

    /// Appends to loose HTML.
    pub(super) fn add_to(&mut self, piece: usize, more: &str) {
        if let Some(Piece::Html(html)) = self.pieces.get_mut(piece) {
            html.push_str(more);
        }
    }

    /// Takes loose HTML out again.
    pub(super) fn blank(&mut self, piece: usize) {
        if let Some(Piece::Html(html)) = self.pieces.get_mut(piece) {
            html.clear();
        }
    }

    fn flush(&mut self) {
        if !self.html.is_empty() {
            self.pieces
                .push(Piece::Html(std::mem::take(&mut self.html)));
        }
    }

    /// All of it, HTML that touches joined.
    pub(super) fn finish(mut self) -> Prose {
        self.flush();
        let mut pieces: Vec<Piece> = Vec::with_capacity(self.pieces.len());
        for piece in self.pieces {
            match (pieces.last_mut(), piece) {
                (_, Piece::Html(html)) if html.is_empty() => {}
                (Some(Piece::Html(before)), Piece::Html(html)) => before.push_str(&html),
                (_, piece) => pieces.push(piece),
            }
        }
        Prose { pieces }
    }
}
