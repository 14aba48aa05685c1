//! What stands in a line: text, code, links, pictures, notes.
//!
//! In: inline events. Out: HTML, and holes for references and pictures.

use std::ops::Range;

use pulldown_cmark::{CowStr, Event, LinkType};

use super::{LinkHere, Note, Open, Walker, plain_text};
use crate::diagnostics::Slug;
use crate::markdown::id::is_reference;
use crate::markdown::link::{self, Goes};
use crate::markdown::{Photo, Piece, Reference, escape_href};
use crate::source::Span;

/// What a link to somewhere else carries: the place learns nothing of where it was read.
const OUTSIDE: &str = " rel=\"noopener noreferrer\"";

impl<'a> Walker<'a> {
    pub(super) fn inline(&mut self, event: Event<'a>, range: Range<usize>) {
        self.open_rest();
        match event {
            Event::Code(code) => self.inline_code(&code, range),
            Event::InlineHtml(html) => self.raw_in_line(&html, range),
            Event::Text(text)
            | Event::Html(text)
            | Event::InlineMath(text)
            | Event::DisplayMath(text) => {
                self.out.text(&text);
            }
            Event::FootnoteReference(name) => self.note_reference(&name),
            Event::SoftBreak => self.out.html("\n"),
            Event::HardBreak => self.out.html("<br>\n"),
            Event::Rule => self.out.html("<hr>\n"),
            Event::TaskListMarker(ticked) => self.out.html(tick_box(ticked)),
            Event::Start(_) | Event::End(_) => {}
        }
    }

    pub(super) fn inline_code(&mut self, code: &CowStr, range: Range<usize>) {
        if self.links == 0 && is_reference(code) {
            let span = self.place.span(range);
            return self.out.hole(Piece::Reference(Reference {
                text: code.to_string(),
                span,
            }));
        }
        self.out.html("<code>");
        self.out.text(code);
        self.out.html("</code>");
    }

    pub(super) fn link(&mut self, kind: LinkType, address: &CowStr, range: Range<usize>) {
        self.open_rest();
        let mail = if kind == LinkType::Email {
            "mailto:"
        } else {
            ""
        };
        match link::link(
            self.around,
            &format!("{mail}{address}"),
            self.place.span(range.clone()),
        ) {
            Err(found) => {
                self.open.push(Open::Silent);
                self.warn_of(*found, |around| link::nearest_log(around, address));
            }
            Ok(Goes::Out(href)) => self.open_link(&href, OUTSIDE),
            Ok(Goes::To(href)) => self.open_link(&href, ""),
            Ok(Goes::Far(href, far)) => {
                self.walked.far_links.push(far);
                self.open_link(&href, "");
            }
            Ok(Goes::Here(anchor)) => {
                self.links += 1;
                let href = escape_href(&anchor);
                let opens = self.out.loose(format!("<a href=\"#{href}\">"));
                self.open.push(Open::LinkHere(LinkHere {
                    opens,
                    closes: opens,
                    anchor,
                    range,
                }));
            }
        }
    }

    fn open_link(&mut self, href: &str, rel: &str) {
        self.links += 1;
        self.out.html(&format!("<a href=\"{href}\"{rel}>"));
        self.open.push(Open::Link);
    }

    pub(super) fn image(&mut self, address: &CowStr, title: &CowStr, range: Range<usize>) {
        self.open_rest();
        let alt = plain_text(&self.gather());
        let span = self.place.span(range);
        match link::photo(self.around, address, span) {
            Ok(path) => self.photo(path, alt, title, span),
            Err(found) => {
                let unread = found.slug == Slug::Unreadable;
                match link::photo_path(address).filter(|_| unread || found.slug == Slug::NoPhoto) {
                    // Its place is kept, so that it is seen that something is missing there.
                    Some(path) => self.photo(path, alt, title, span),
                    None => self.out.text(&alt),
                }
                self.warn_of(*found, |around| {
                    link::nearest_photo(around, address).filter(|_| !unread)
                });
            }
        }
    }

    fn photo(&mut self, path: String, alt: String, title: &CowStr, span: Span) {
        let caption = (!title.is_empty()).then(|| title.to_string());
        self.out.hole(Piece::Photo(Photo {
            path,
            alt,
            caption,
            span,
        }));
    }

    pub(super) fn note(&mut self, name: &CowStr) {
        let note = self.numbered(name);
        let number = note.number;
        let first = !std::mem::replace(&mut note.written, true);
        let id = if first {
            format!(" id=\"note_{number}\"")
        } else {
            String::new()
        };
        self.out
            .html(&format!("<div class=\"note\"{id}><sup>{number}</sup>\n"));
        self.open.push(Open::Tag("</div>\n"));
    }

    pub(super) fn note_reference(&mut self, name: &CowStr) {
        let in_link = self.links > 0;
        let note = self.numbered(name);
        let number = note.number;
        let first = !std::mem::replace(&mut note.referred, true);
        let id = if first {
            format!(" id=\"from_note_{number}\"")
        } else {
            String::new()
        };
        if in_link {
            return self.out.html(&format!("<sup{id}>{number}</sup>"));
        }
        self.out.html(&format!(
            "<sup{id}><a href=\"#note_{number}\">{number}</a></sup>"
        ));
    }

    pub(super) fn numbered(&mut self, name: &CowStr) -> &mut Note {
        let count = &mut self.anchors.notes;
        self.notes.entry(name.to_string()).or_insert_with(|| {
            *count += 1;
            Note {
                number: *count,
                ..Note::default()
            }
        })
    }
}

fn tick_box(ticked: bool) -> &'static str {
    if ticked {
        "<input type=\"checkbox\" disabled checked aria-label=\"done\"> "
    } else {
        "<input type=\"checkbox\" disabled aria-label=\"to do\"> "
    }
}
