//! A job where a log mentions it.

use crate::book::Mention;
use crate::jobs::MentionRecord;
use crate::markdown::title_html;
use crate::pages::layout::{Layout, Message};
use crate::pages::words;
use crate::view_model;

view_model! {
    /// One mention of a job.
    pub struct JobMention {
        /// The anchor of its line.
        pub id: String => Address,
        /// Is the box ticked?
        pub ticked: bool => Public,
        /// The title, safe HTML.
        pub title: String => Html,
        /// Its line on the jobs page.
        pub href: String => Address,
        /// Who has it.
        pub by: String => People,
        /// `3 h, planned 2 h`
        pub hours: String => Public,
        /// `held up: glue is not dry`, …
        pub notes: Vec<String> => CrewText,
        /// Its hazards.
        pub cautions: Vec<String> => Public,
        /// What is wrong with the line.
        pub messages: Vec<Message> => View,
    }
}

pub(super) fn mention(layout: &Layout, place: (usize, usize), mention: &Mention) -> JobMention {
    let job = layout.build.jobs.job(&mention.id.value);
    let said = job.and_then(|job| said_at(&job.history, place));
    let title = mention
        .title
        .as_deref()
        .or_else(|| job.map(|job| job.title.as_str()))
        .unwrap_or(&mention.id.value);
    JobMention {
        id: layout.line_id(mention.span),
        ticked: mention.ticked,
        title: title_html(title),
        href: Layout::job_href(&mention.id.value),
        by: mention
            .by
            .iter()
            .map(|name| name.value.as_str())
            .collect::<Vec<_>>()
            .join(", "),
        hours: hours(
            mention.took,
            mention.takes,
            job.map_or(0, |job| job.by.len()),
        ),
        notes: said.map_or_else(Vec::new, notes),
        cautions: mention
            .cautions
            .iter()
            .map(|caution| caution.value.word().replace('_', " "))
            .collect(),
        messages: layout.messages_at(mention.span),
    }
}

/// What a job's history holds of one mention; it is in the order of the book.
pub(in crate::pages) fn said_at(
    history: &[MentionRecord],
    place: (usize, usize),
) -> Option<&MentionRecord> {
    history
        .get(history.partition_point(|said| said.place < place))
        .filter(|said| said.place == place)
}

fn hours(took: Option<f64>, takes: Option<f64>, people: usize) -> String {
    let planned = |takes| format!("planned {}", words::shared_hours(takes, people));
    match (took, takes) {
        (Some(took), Some(takes)) => format!("{}, {}", words::hours(took), planned(takes)),
        (Some(took), None) => words::hours(took),
        (None, Some(takes)) => planned(takes),
        (None, None) => String::new(),
    }
}

/// What a mention said besides the work.
pub(in crate::pages) fn notes(said: &MentionRecord) -> Vec<String> {
    let pieces = [
        ("held up", said.held_up.as_deref()),
        ("again", said.again.as_deref()),
        ("dropped", said.dropped.as_deref()),
        ("stopgap", said.temp.as_deref()),
    ];
    let said_so = pieces
        .into_iter()
        .filter_map(|(word, why)| Some(format!("{word}: {}", why?)));
    let good = said
        .made_good
        .as_ref()
        .map(|names| format!("made good by {}", names.join(" and ")));
    said_so.chain(good).collect()
}
