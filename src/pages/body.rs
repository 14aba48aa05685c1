//! A log's text with its holes filled: jobs, worked sums, part events, drawings, references,
//! photos.

mod jobs;
mod parts;
mod sums;

use super::Link;
use super::layout::{Layout, Message};
use crate::book::Entry;
use crate::markdown::{Photo, Piece, Prose, Reference};
use crate::photos::Size;
use crate::source::uri;
use crate::view_model;

pub use jobs::JobMention;
pub(super) use jobs::{notes, said_at};
pub use parts::PartsRow;
pub use sums::SumsRow;
pub(super) use sums::worked_from;

view_model! {
    /// One stretch of a log as its page shows it.
    pub enum BodyPart {
        /// Finished, safe HTML.
        Html {
            /// It.
            html: String => Html,
        },
        /// A job in a task list.
        Job {
            /// It.
            job: JobMention => View,
        },
        /// A sums block, worked.
        Sums {
            /// Its lines.
            rows: Vec<SumsRow> => View,
        },
        /// A parts block.
        Parts {
            /// Its lines.
            rows: Vec<PartsRow> => View,
        },
        /// Drawings of a drawing block.
        Drawings {
            /// Each as SVG.
            drawings: Vec<String> => Drawing,
            /// What is wrong with the block.
            messages: Vec<Message> => View,
        },
        /// A reference to a value, a job or a part.
        Reference {
            /// `value`, `job` or `part`.
            to: &'static str => Public,
            /// Where it leads: a value by its name, a job by its title, a part by what it is.
            link: Link => View,
            /// What it was at the end of the day.
            shows: String => Named,
        },
        /// Inline code that stands for nothing of the book.
        Code {
            /// As written.
            text: String => CrewText,
        },
        /// A picture.
        Photo {
            /// Its address in the record.
            href: String => Address,
            /// The address of the small one, where there is one.
            small: Option<String> => Address,
            /// How wide the small one is, in pixels.
            small_width: u32 => Public,
            /// How wide it is, in pixels.
            width: u32 => Public,
            /// How tall it is, in pixels.
            height: u32 => Public,
            /// The words that stand for it.
            alt: String => CrewText,
            /// The line below it.
            caption: Option<String> => CrewText,
        },
        /// A picture that cannot be shown.
        Lacking {
            /// Why, in a few words.
            why: &'static str => Public,
            /// The words that stand for it.
            alt: String => CrewText,
            /// The line below it.
            caption: Option<String> => CrewText,
        },
        /// What is kept in the shop.
        Shop {
            /// What it holds.
            parts: Vec<BodyPart> => Internal,
        },
        /// What could not be read, as written.
        Unread {
            /// It.
            text: String => Internal,
            /// Why.
            messages: Vec<Message> => View,
        },
    }
}

/// The body of the log with that index.
pub(super) fn body(layout: &Layout, index: usize) -> Vec<BodyPart> {
    pieces(layout, index, &layout.build.book.days[index].prose)
}

fn pieces(layout: &Layout, index: usize, prose: &Prose) -> Vec<BodyPart> {
    prose
        .pieces
        .iter()
        .filter_map(|piece| part(layout, index, piece))
        .collect()
}

fn part(layout: &Layout, index: usize, piece: &Piece) -> Option<BodyPart> {
    Some(match piece {
        Piece::Html(html) => BodyPart::Html { html: html.clone() },
        Piece::Entry(entry) => return entry_part(layout, index, *entry),
        Piece::Reference(reference) => reference_part(layout, index, reference),
        Piece::Photo(photo) => photo_part(layout, photo),
        Piece::Shop(prose) => BodyPart::Shop {
            parts: pieces(layout, index, prose),
        },
        Piece::Unread { text, span } => BodyPart::Unread {
            text: text.clone(),
            messages: layout.messages_at(*span),
        },
    })
}

fn entry_part(layout: &Layout, index: usize, entry: usize) -> Option<BodyPart> {
    let what = layout.build.book.days[index].entries.get(entry)?;
    Some(match what {
        Entry::Mention(mention) => BodyPart::Job {
            job: jobs::mention(layout, (index, entry), mention),
        },
        Entry::Sums(_) => BodyPart::Sums {
            rows: sums::rows(layout, (index, entry)),
        },
        Entry::Parts(block) => BodyPart::Parts {
            rows: parts::rows(layout, block),
        },
        Entry::Drawing(block) => BodyPart::Drawings {
            drawings: drawings(layout, (index, entry)),
            messages: layout.messages_at(block.span),
        },
    })
}

/// The drawings of a block, as things stood that evening.
fn drawings(layout: &Layout, place: (usize, usize)) -> Vec<String> {
    let day = layout.build.book.days[place.0].day;
    let asked = layout.build.drawings.get(&place).into_iter().flatten();
    asked
        .filter_map(|asked| {
            Some(
                asked
                    .draw(&layout.build.worked, day, layout.judge())
                    .ok()?
                    .svg,
            )
        })
        .collect()
}

fn photo_part(layout: &Layout, photo: &Photo) -> BodyPart {
    let (alt, caption) = (photo.alt.clone(), photo.caption.clone());
    let facts = match layout.build.album.photo(&photo.path) {
        Some(Ok(facts)) => facts,
        Some(Err(trouble)) => {
            return BodyPart::Lacking {
                why: trouble.short(),
                alt,
                caption,
            };
        }
        None => {
            return BodyPart::Lacking {
                why: "the picture is missing",
                alt,
                caption,
            };
        }
    };
    let href = |size| uri(&facts.print_path(&photo.path, size));
    let small = facts
        .sizes()
        .contains(&Size::Small)
        .then(|| href(Size::Small));
    let (width, height) = facts.extent(Size::Large);
    let small_width = facts.extent(Size::Small).0;
    BodyPart::Photo {
        href: href(Size::Large),
        small,
        small_width,
        width,
        height,
        alt,
        caption,
    }
}

/// A value, else a job, else a part of that name, as it was at the end of the day.
fn reference_part(layout: &Layout, index: usize, reference: &Reference) -> BodyPart {
    let text = reference.text.as_str();
    let day = layout.build.book.days[index].day;
    let found = value_part(layout, text, day)
        .or_else(|| job_part(layout, text, day))
        .or_else(|| part_part(layout, text, day));
    found.unwrap_or_else(|| BodyPart::Code {
        text: text.to_owned(),
    })
}

fn value_part(layout: &Layout, text: &str, today: u32) -> Option<BodyPart> {
    let (name, day) = match text.split_once('.') {
        Some((first, rest)) if first.starts_with("day") => {
            (rest, first[3..].parse().unwrap_or(today).min(today))
        }
        _ => (text, today),
    };
    let worked = &layout.build.worked;
    let id = worked.names.find(name)?;
    let shows = worked.on_day(id, day).map_or_else(
        || "no reading".to_owned(),
        |moment| layout.moment(id, moment, day),
    );
    Some(BodyPart::Reference {
        to: "value",
        link: Link {
            text: text.to_owned(),
            ..layout.value_link(id)
        },
        shows,
    })
}

fn job_part(layout: &Layout, id: &str, day: u32) -> Option<BodyPart> {
    let job = layout.build.jobs.job(id)?;
    let state = job
        .state_on(day)
        .map_or("not yet known", |state| state.words());
    Some(BodyPart::Reference {
        to: "job",
        link: layout.job_link(id),
        shows: state.to_owned(),
    })
}

fn part_part(layout: &Layout, id: &str, day: u32) -> Option<BodyPart> {
    let state = layout.build.ledger.state_on(id, day)?;
    Some(BodyPart::Reference {
        to: "part",
        link: layout.part_link(id),
        shows: state.words().to_owned(),
    })
}
