//! A job as the line that carries it on.
//!
//! In: an open job. Out: `- [ ] Title {id, by …, held up: why}`, read once before it is given: a
//! title or a reason whose signs would make another line of it is left out or written with other
//! signs.

use crate::book::{self, Mention};
use crate::jobs::Job;

/// The line that carries a job on. It changes neither its state nor its hours, hands or title.
pub(super) fn write(job: &Job) -> String {
    let title = Some(job.title.as_str())
        .filter(|title| *title != job.id && !title.contains(char::is_control));
    let why = job.held_up().map(str::trim);
    let plain = why.map(plain);
    let tries = [(title, why), (None, why), (title, plain.as_deref())];
    let lines = tries.into_iter().map(|(title, why)| line(job, title, why));
    let good = lines.into_iter().find(|line| carries_on(line, job));
    good.unwrap_or_else(|| line(job, None, plain.as_deref()))
}

fn line(job: &Job, title: Option<&str>, why: Option<&str>) -> String {
    let title = title.map_or_else(String::new, |title| format!("{title} "));
    let by = if job.by.is_empty() {
        String::new()
    } else {
        format!(", by {}", job.by.join(" + "))
    };
    let held_up = why.map_or_else(String::new, |why| format!(", held up: {why}"));
    format!("- [ ] {title}{{{}{by}{held_up}}}\n", job.id)
}

/// Does the line say of this job what it should, and nothing else?
fn carries_on(line: &str, job: &Job) -> bool {
    let Some(mention) = book::read_line(line) else {
        return false;
    };
    let Mention {
        id,
        title,
        by,
        held_up,
        ..
    } = &mention;
    id.value == job.id
        && title.as_ref().is_none_or(|title| *title == job.title)
        && by.iter().map(|name| &name.value).eq(&job.by)
        && held_up.is_some() == job.held_up().is_some()
        && !mention.ticked
}

/// A reason without the signs that a tail is made of.
fn plain(why: &str) -> String {
    let sign = |c: char| match c {
        '{' => '(',
        '}' => ')',
        c if c.is_control() => ' ',
        c => c,
    };
    why.chars().map(sign).collect()
}
