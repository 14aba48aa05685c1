//! The plan: the whole job list, a heading a day.
//!
//! In: `plan.md`. Out: the jobs in order, each with the day whose heading it stands under.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::{Context, MOST_DAYS, Planned, attributes, values};
use crate::diagnostics::{Diagnostic, Slug};
use crate::markdown::{self, Heading, Mark, PlainBox, Surroundings};
use crate::source::{FileId, Span};

/// What the plan holds.
#[derive(Clone, Debug, Default)]
pub(super) struct Read {
    /// Its jobs, in order.
    pub(super) jobs: Arc<Vec<Planned>>,
    /// Its tick boxes without a tail.
    pub(super) boxes: Arc<Vec<PlainBox>>,
}

/// Reads the plan. `days` are the build days allowed, where they are known.
pub(super) fn read(
    file: FileId,
    context: &Context,
    days: Option<u32>,
    around: &Surroundings,
    found: &mut Vec<Diagnostic>,
) -> Read {
    let walked = markdown::walk(context.sources.text(file), file, 0, around);
    let mut reader = Reader {
        context,
        found,
        days,
        day: None,
        first: BTreeMap::new(),
        planned: Vec::new(),
    };
    reader.found.extend(walked.diagnostics);
    let mut headings = walked.headings.iter().peekable();
    for (n, mark) in walked.marks.iter().enumerate() {
        while let Some(heading) = headings.next_if(|heading| heading.marks_before <= n) {
            reader.heading(heading);
        }
        reader.mark(mark);
    }
    headings.for_each(|heading| reader.heading(heading));
    Read {
        jobs: Arc::new(reader.planned),
        boxes: Arc::new(walked.plain_boxes),
    }
}

struct Reader<'a> {
    context: &'a Context<'a>,
    found: &'a mut Vec<Diagnostic>,
    days: Option<u32>,
    /// The day whose heading came last.
    day: Option<u32>,
    /// Where each job was planned first.
    first: BTreeMap<String, Span>,
    planned: Vec<Planned>,
}

impl Reader<'_> {
    /// A heading below a day's own keeps the day.
    fn heading(&mut self, heading: &Heading) {
        let day = day_of(&heading.text);
        if heading.level > 2 && day.is_none() {
            return;
        }
        self.day = day;
        if let (Some(day), Some(days)) = (day, self.days)
            && day > days
        {
            let message = format!("day {day} is after the last build day ({days})");
            let wrong = Diagnostic::warning(Slug::BadValue, heading.span, message);
            self.found
                .push(wrong.expected(format!("a day from 1 to {days}")));
        }
    }

    fn mark(&mut self, mark: &Mark) {
        let Mark::Job(line) = mark else {
            let wrong = Diagnostic::warning(
                Slug::BadValue,
                mark.span(),
                "the plan has only jobs, so this block is not read",
            );
            return self.found.push(wrong.expected("this block in a day log"));
        };
        let Some(mut mention) = attributes::read(line, self.context, self.found) else {
            return;
        };
        let Some(day) = self.day else {
            let wrong = Diagnostic::error(
                Slug::BadValue,
                line.span,
                "this job is not under a day heading",
            );
            return self
                .found
                .push(wrong.expected("a heading above it, for example `## Day 1`"));
        };
        if let Some(first) = self.first.get(&mention.id.value) {
            let wrong = Diagnostic::error(
                Slug::PlannedTwice,
                mention.id.span,
                format!("`{}` is planned twice", mention.id.value),
            );
            return self.found.push(
                wrong
                    .see(*first, "planned here first")
                    .expected("each job once"),
            );
        }
        if std::mem::take(&mut mention.ticked) {
            let wrong =
                Diagnostic::warning(Slug::TickInPlan, line.span, "a tick in the plan is ignored");
            self.found
                .push(wrong.expected("the tick in the log of the day it was done"));
        }
        if mention.title.is_none() {
            let wrong = Diagnostic::warning(
                Slug::Missing,
                line.span,
                format!("`{}` has no title", mention.id.value),
            );
            self.found.push(wrong.expected("a title before the braces"));
        }
        self.first.insert(mention.id.value.clone(), mention.id.span);
        self.planned.push(Planned { day, mention });
    }
}

/// The day in `Day 3` or `Day 3: rails`.
fn day_of(heading: &str) -> Option<u32> {
    let (word, rest) = heading.split_at_checked(3)?;
    let rest = rest.trim_start();
    let digits = rest
        .find(|c: char| !c.is_ascii_digit())
        .unwrap_or(rest.len());
    let (number, after) = rest.split_at(digits);
    let ends = !after.starts_with(|c: char| c.is_alphanumeric() || c == '.');
    (word.eq_ignore_ascii_case("day") && ends && !number.is_empty())
        .then(|| values::plain_number(number).filter(|day| (1..=MOST_DAYS).contains(day)))?
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_days_heading_may_say_more_than_the_day() {
        assert_eq!(day_of("Day 3"), Some(3));
        assert_eq!(day_of("day 12: rails"), Some(12));
        for heading in ["Days", "Day", "Day three", "Day 0", "Day 3a", "3", "Tag 3"] {
            assert_eq!(day_of(heading), None, "{heading}");
        }
    }
}
