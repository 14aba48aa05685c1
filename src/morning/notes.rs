//! What is good to know before work begins, as prose that states nothing.
//!
//! In: last evening, and the jobs of the day. Out: paragraphs of one line that begin with a word of
//! ours, so that no line opens a list, a heading or a block; in them no sign of the crew's counts
//! as Markdown.

use super::Evening;
use crate::hold::{HoldKind, HoldLine};
use crate::jobs::hands::{self, Hands};
use crate::jobs::orders::{Listed, Reason};
use crate::jobs::{Job, total};
use crate::quantity::printed;

/// The paragraphs below the lists; `planned` and `carried` are the jobs of the day.
pub(super) fn notes(evening: &Evening, planned: &[&Job], carried: &[&Job]) -> String {
    let notes = [
        plain(evening.warning),
        today(evening, planned, carried),
        whole(evening),
        listed(
            "More work than hours",
            overloaded(evening, planned, carried),
        ),
        listed(
            "Slipped",
            carried.iter().filter_map(|job| slipped(job, evening.day)),
        ),
        parts(evening, "Late", Reason::Late),
        parts(evening, "Due today", Reason::DueToday),
        parts(evening, "At risk", Reason::AtRisk),
        parts(evening, "To be ordered today", Reason::Order),
        parts(evening, "Lead time not known", Reason::NoLead),
        parts(evening, "Ordered, due day not known", Reason::NoDueDay),
        on_hold(evening),
        before_move(evening, planned, carried),
    ];
    let mut text = String::from("\n## Before work begins\n");
    for note in notes.iter().filter(|note| !note.is_empty()) {
        text.push_str(&format!("\n{note}\n"));
    }
    text
}

/// Hours of work on the day's list against hands.
fn today(evening: &Evening, planned: &[&Job], carried: &[&Job]) -> String {
    if planned.is_empty() && carried.is_empty() {
        return "Nothing is planned for today, and nothing is carried.".to_owned();
    }
    let jobs = || planned.iter().chain(carried).copied();
    let left = total(jobs().filter_map(Job::hours_to_go));
    let open = jobs().filter(|job| job.hours_to_go().is_none()).count();
    let silent = match open {
        0 => String::new(),
        1 => " One job does not say how long it takes.".to_owned(),
        _ => format!(" {open} jobs do not say how long they take."),
    };
    format!(
        "Today’s list is {} of work{}.{silent}",
        hours(left),
        against(hands(evening))
    )
}

/// Hours of work up to the last day against hands.
fn whole(evening: &Evening) -> String {
    let Some(last) = evening.book.sheet.days else {
        return "The last day allowed is not known: the build sheet cannot be read.".to_owned();
    };
    let Some(days) = (last + 1).checked_sub(evening.day).filter(|days| *days > 0) else {
        return format!(
            "Day {} is after the last day allowed, day {last}.",
            evening.day
        );
    };
    let left = total(evening.jobs.all().filter_map(Job::hours_to_go));
    format!(
        "Up to day {last}, the last, it is {} of work{}.",
        hours(left),
        against(hands(evening) * f64::from(days))
    )
}

/// Hours of the crew that day; 0 if the crew is not known.
fn hands(evening: &Evening) -> f64 {
    hands::hours_there(evening.book, evening.day).unwrap_or(0.0)
}

/// Who has more work on the day's list than hours.
fn overloaded(
    evening: &Evening,
    planned: &[&Job],
    carried: &[&Job],
) -> impl Iterator<Item = String> {
    let list = planned.iter().chain(carried).copied();
    let over = hands::next_morning(evening.book, list)
        .into_iter()
        .filter(Hands::is_over);
    over.map(|hands| plain(&hands.words()))
}

fn against(hands: f64) -> String {
    if hands > 0.0 {
        format!(" against {} of hands", hours(hands))
    } else {
        String::new()
    }
}

fn hours(hours: f64) -> String {
    printed::plain_marks(&printed::hours(hours))
}

fn slipped(job: &Job, day: u32) -> Option<String> {
    let days = Some(job.slip(day)).filter(|days| *days > 0)?;
    Some(format!(
        "{} ({days} {})",
        plain(&job.title),
        if days == 1 { "day" } else { "days" }
    ))
}

/// The parts that are listed on the day for a reason.
fn parts(evening: &Evening, title: &str, reason: Reason) -> String {
    let all = evening.orders.on(evening.day);
    let of_reason = all.iter().filter(|part| part.reason == reason);
    let item = |part: &Listed| {
        format!(
            "{}{}",
            part_words(evening, &part.wanted.part),
            days(part, evening.day)
        )
    };
    listed(title, of_reason.map(item))
}

/// The days of a part, in brackets, as far as the title of its list does not say them.
fn days(part: &Listed, today: u32) -> String {
    let wanted = part
        .wanted
        .wanted_day
        .map(|day| format!("wanted on day {day}"));
    let due = part.wanted.due_day;
    let words = match part.reason {
        Reason::DueToday => None,
        Reason::Late => due.map(|day| format!("was due day {day}")).or(wanted),
        Reason::AtRisk => Some(
            [due.map(|day| format!("due day {day}")), wanted]
                .into_iter()
                .flatten()
                .collect::<Vec<_>>()
                .join(", "),
        ),
        Reason::NoLead | Reason::NoDueDay => wanted,
        Reason::Order => {
            let past = part.wanted.order_by_day().filter(|by| *by < today);
            past.map(|by| format!("day {by} was the last day for it"))
        }
    };
    words.map_or_else(String::new, |words| format!(" ({words})"))
}

fn part_words(evening: &Evening, id: &str) -> String {
    let Some(part) = evening.book.parts.get(id) else {
        return plain(id);
    };
    let from = part
        .from
        .as_ref()
        .map_or_else(String::new, |from| format!(", from {}", plain(from)));
    format!("{}{from}", plain(&part.what))
}

fn on_hold(evening: &Evening) -> String {
    if evening.hold.lines.is_empty() {
        return String::new();
    }
    let lines = listed(
        "On hold",
        evening
            .hold
            .lines
            .iter()
            .map(|line| hold_words(evening, line)),
    );
    format!("{} {lines}", evening.hold.tag())
}

/// What must be cleared before a first move on the day's list.
fn before_move(evening: &Evening, planned: &[&Job], carried: &[&Job]) -> String {
    let held = evening
        .hold
        .moves_held(planned.iter().chain(carried).copied());
    let move_words = |(job, lines): (&Job, usize)| {
        let lines = if lines == 1 {
            "1 line is".to_owned()
        } else {
            format!("{lines} lines are")
        };
        format!("{} ({lines} on hold)", plain(&job.title))
    };
    let jobs: Vec<String> = held.map(move_words).collect();
    if jobs.is_empty() {
        return String::new();
    }
    format!(
        "Before the first move, clear the hold list, and write it above the job: {}.",
        jobs.join("; ")
    )
}

fn hold_words(evening: &Evening, line: &HoldLine) -> String {
    let job = evening
        .jobs
        .job(&line.id)
        .filter(|_| line.kind != HoldKind::Check);
    let name = job.map_or(line.id.as_str(), |job| job.title.as_str());
    format!(
        "{}, {}",
        plain(name),
        plain(&printed::plain_marks(&line.why))
    )
}

/// `Slipped: this; that.`, or nothing where there is none.
fn listed(title: &str, items: impl Iterator<Item = String>) -> String {
    let items: Vec<String> = items.collect();
    if items.is_empty() {
        String::new()
    } else {
        format!("{title}: {}.", items.join("; "))
    }
}

/// Words as one line of text in which no sign counts as Markdown.
fn plain(words: &str) -> String {
    let words = words
        .split(|c: char| c.is_whitespace() || c.is_control())
        .filter(|word| !word.is_empty());
    let mut out = String::new();
    let mut before = ' ';
    let line = words.collect::<Vec<_>>().join(" ");
    let mut signs = line.chars().peekable();
    while let Some(sign) = signs.next() {
        let after = signs.peek().copied().unwrap_or(' ');
        let counts = match sign {
            '\\' | '`' | '*' | '[' | ']' | '<' | '~' => true,
            '_' => !(before.is_alphanumeric() && after.is_alphanumeric()),
            '&' => after.is_ascii_alphanumeric() || after == '#',
            _ => false,
        };
        if counts {
            out.push('\\');
        }
        out.push(sign);
        before = sign;
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_signs_that_would_count_are_escaped() {
        assert_eq!(
            plain("arch_gap & rails,\n 3 - 4"),
            "arch_gap & rails, 3 - 4"
        );
        assert_eq!(
            plain("_Ream_ `a` [x](y) <b> &amp; a__b"),
            "\\_Ream\\_ \\`a\\` \\[x\\](y) \\<b> \\&amp; a\\_\\_b"
        );
    }
}
