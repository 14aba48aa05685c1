//! What logs and plan leave out: tick boxes that are no jobs, and ticks without hours.
//!
//! In: the book as read and its job list. Out: one note a file on each, at the first such line,
//! with what to write.

use std::collections::{BTreeMap, BTreeSet};

use crate::book::{Book, is_id, is_reserved};
use crate::calc::Results;
use crate::diagnostics::{Diagnostic, Slug};
use crate::jobs::{Job, JobList, JobState, MentionRecord};
use crate::markdown::PlainBox;

/// An id is made of so many words of a title at most.
const MOST_WORDS: usize = 3;
/// Words that say little in an id.
const SMALL_WORDS: [&str; 18] = [
    "the", "a", "an", "and", "or", "of", "to", "in", "on", "at", "for", "with", "it", "its", "all",
    "up", "into", "from",
];

/// One note a file that has tick boxes without a tail.
pub(super) fn plain_boxes(book: &Book, jobs: &JobList, worked: &Results) -> Vec<Diagnostic> {
    let plan = (book.plan_boxes.as_slice(), "the plan");
    let logs = book
        .days
        .iter()
        .map(|log| (log.plain_boxes.as_slice(), "this log"));
    let mut files = [plan]
        .into_iter()
        .chain(logs)
        .filter(|(boxes, _)| !boxes.is_empty())
        .peekable();
    if files.peek().is_none() {
        return Vec::new();
    }
    let mut taken = taken(book, jobs, worked);
    files
        .filter_map(|(boxes, file)| note(boxes, file, &mut taken))
        .collect()
}

/// Every id that stands for something.
fn taken(book: &Book, jobs: &JobList, worked: &Results) -> BTreeSet<String> {
    let jobs = jobs.by_id.keys().cloned();
    let values = worked.names.iter().map(|(text, _)| text.to_owned());
    jobs.chain(book.parts.keys().cloned())
        .chain(values)
        .collect()
}

fn note(boxes: &[PlainBox], file: &str, taken: &mut BTreeSet<String>) -> Option<Diagnostic> {
    let first = boxes.first()?;
    let message = match boxes.len() {
        1 => format!("1 tick box of {file} is not a job, because no id in braces ends its line"),
        many => format!(
            "{many} tick boxes of {file} are not jobs, because no id in braces ends their lines; the first is this"
        ),
    };
    let tick = if first.ticked { 'x' } else { ' ' };
    let title = first.title.trim_end_matches(['{', '}']).trim_end();
    let id = free_id(title, taken);
    let line = format!("- [{tick}] {title} {{{id}}}").replace("]  {", "] {");
    taken.insert(id);
    let note = Diagnostic::note(Slug::PlainBox, first.span, message);
    Some(
        note.expected("an id in braces at the end of each line that is a job")
            .instead(line),
    )
}

/// An id from a title that stands for nothing yet.
fn free_id(title: &str, taken: &BTreeSet<String>) -> String {
    let id = id_from(title);
    let free = |id: &String| !taken.contains(id) && !is_reserved(id);
    let numbered = (2..).map(|number| format!("{id}_{number}"));
    std::iter::once(id.clone())
        .chain(numbered)
        .find(free)
        .unwrap_or(id)
}

/// The first words of a title that say something, joined by `_`; `job` where none can be in an id.
fn id_from(title: &str) -> String {
    let words = title
        .split(|c: char| !c.is_alphanumeric())
        .map(str::to_lowercase);
    let words = words.filter(|word| {
        !word.is_empty() && word.is_ascii() && !SMALL_WORDS.contains(&word.as_str())
    });
    let first = words.skip_while(|word| !word.starts_with(|c: char| c.is_ascii_alphabetic()));
    let id = first.take(MOST_WORDS).collect::<Vec<_>>().join("_");
    if is_id(&id) && id.len() <= 40 {
        id
    } else {
        "job".to_owned()
    }
}

/// One note a log in which jobs are ticked and nothing says how long they took that day.
pub(super) fn ticks_without_hours(jobs: &JobList) -> Vec<Diagnostic> {
    let mut days: BTreeMap<u32, Vec<(&Job, &MentionRecord)>> = BTreeMap::new();
    for job in jobs.all() {
        for said in silent_ticks(job) {
            days.entry(said.day).or_default().push((job, said));
        }
    }
    days.into_values()
        .filter_map(|ticks| hours_wanting(&ticks))
        .collect()
}

/// The ticks that did the job, with no hours in their log.
fn silent_ticks(job: &Job) -> impl Iterator<Item = &MentionRecord> {
    let with_hours: BTreeSet<u32> = job
        .history
        .iter()
        .filter(|said| said.took.is_some())
        .map(|said| said.day)
        .collect();
    let mut was = JobState::Planned;
    job.history.iter().filter(move |said| {
        let before = std::mem::replace(&mut was, said.state);
        let did = said.ticked
            && said.state == JobState::Done
            && (before != JobState::Done || said.again.is_some());
        did && !said.refused && said.made_good.is_none() && !with_hours.contains(&said.day)
    })
}

fn hours_wanting(ticks: &[(&Job, &MentionRecord)]) -> Option<Diagnostic> {
    let (job, said) = ticks.iter().min_by_key(|(_, said)| said.place)?;
    let message = match ticks.len() {
        1 => format!(
            "{} is ticked without the hours it took, so the day's hours are short",
            job.id
        ),
        many => {
            format!(
                "{many} jobs are ticked without the hours they took, so the day's hours are short; the first is {}",
                job.id
            )
        }
    };
    let note = Diagnostic::note(Slug::TickWithoutHours, said.span, message);
    Some(note.expected(format!(
        "`took`, such as `{{{}, took 2 h}}`; `took 0 h` where it took no time",
        job.id
    )))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_id_is_made_of_the_words_that_say_something_and_is_new() {
        assert_eq!(id_from("Paint the cab, and the doors"), "paint_cab_doors");
        assert_eq!(id_from("2 bolts into the *bracket*"), "bolts_bracket");
        assert_eq!(id_from("Träger §§"), "job");
        let taken: BTreeSet<String> = ["paint", "paint_2"].map(str::to_owned).into();
        assert_eq!(free_id("Paint", &taken), "paint_3");
        assert_eq!(free_id("Measured", &taken), "measured_2");
    }
}
