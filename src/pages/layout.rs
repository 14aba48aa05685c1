//! What every page's layout asks for: addresses, titles, messages, the frame.
//!
//! In: a [`Build`]. Out: small pieces that the pages share, so that one thing has one address
//! everywhere.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use super::ahead::Evenings;
use super::overall::Course;
use super::shown::Shown;
use super::standing::{Counts, Standing};
use super::{Frame, Link, STANDING, words};
use crate::book::Judge;
use crate::build::Build;
use crate::calc::{Check, Judgement, Moment, NameId};
use crate::diagnostics::{Diagnostic, lines_that_need_it};
use crate::jobs::{Job, total};
use crate::source::{FileId, Span, uri};
use crate::view_model;

/// A book of more days than this is shown by the week, and looks ahead from the latest evening
/// only.
pub(super) const SHORT_BOOK: u32 = 16;

/// At most so many reasons are told on every page why a book is not current.
const MOST_REASONS: usize = 8;

/// The build, and where things stand in its record.
pub(super) struct Layout<'a> {
    pub(super) build: &'a Build,
    /// What was ahead on the evenings.
    pub(super) evenings: &'a Evenings,
    /// Findings of each file, by place.
    findings: BTreeMap<FileId, Vec<&'a Diagnostic>>,
    /// Logs by file, for links to lines.
    logs: BTreeMap<FileId, usize>,
    /// Findings that others follow from, by place: where they are in the list.
    causes: BTreeMap<Span, usize>,
    /// Lines that have a place of their own, by log.
    shown: Vec<OnceLock<Shown>>,
    /// How many jobs still open are planned for each day.
    planned: BTreeMap<u32, usize>,
    /// How many checks were not in limits, by day.
    standing: OnceLock<Standing>,
    /// What the sentence on the whole vehicle counts, by day.
    course: OnceLock<Course>,
}

view_model! {
    /// A finding as a page shows it.
    pub struct Message {
        /// `error`, `warning` or `note`.
        pub severity: &'static str => Public,
        /// What is wrong.
        pub message: String => CrewText,
        /// What was expected.
        pub expected: Option<String> => Internal,
        /// What to write instead.
        pub instead: Option<String> => Internal,
        /// `2 lines that need it: …`, for the cause of other findings.
        pub needed: Option<String> => Internal,
        /// `days/day-02.md, line 9`
        pub place: String => Address,
        /// Where the record shows it.
        pub href: Option<String> => Address,
    }
}

impl<'a> Layout<'a> {
    pub(super) fn new(build: &'a Build, evenings: &'a Evenings) -> Self {
        let mut findings: BTreeMap<FileId, Vec<&Diagnostic>> = BTreeMap::new();
        for finding in &build.diagnostics {
            findings.entry(finding.at.file).or_default().push(finding);
        }
        // Places within a file are looked up by their order, whatever the causes are.
        for of_file in findings.values_mut() {
            of_file.sort_by_key(|finding| finding.at.start);
        }
        let logs = build
            .book
            .days
            .iter()
            .enumerate()
            .map(|(index, log)| (log.file, index))
            .collect();
        let mut planned = BTreeMap::new();
        for day in build
            .jobs
            .all()
            .filter(|job| job.state.is_open())
            .filter_map(|job| job.planned_day)
        {
            *planned.entry(day).or_insert(0) += 1;
        }
        Self {
            build,
            evenings,
            findings,
            causes: causes(&build.diagnostics),
            logs,
            shown: build.book.days.iter().map(|_| OnceLock::new()).collect(),
            planned,
            standing: OnceLock::new(),
            course: OnceLock::new(),
        }
    }

    /// Planned hours of the open jobs of a day.
    pub(super) fn planned_hours(&self, day: u32) -> f64 {
        let jobs = self
            .build
            .jobs
            .all()
            .filter(|job| job.state.is_open() && job.planned_day == Some(day));
        total(jobs.filter_map(Job::hours_to_go))
    }

    /// How many open jobs are planned for a day.
    pub(super) fn planned_on(&self, day: u32) -> usize {
        self.planned.get(&day).copied().unwrap_or(0)
    }

    /// How many checks were not in limits at the end of a day.
    pub(super) fn open_checks_on(&self, day: u32) -> Counts {
        self.standing
            .get_or_init(|| Standing::of(self.build.worked.checks.iter().map(|check| &**check)))
            .on(day)
    }

    pub(super) fn judge(&self) -> Judge {
        self.build.book.sheet.judge
    }

    /// What a page carries that tells how things stood at the end of a day.
    pub(super) fn frame(&self, day: u32) -> Frame {
        let sheet = &self.build.book.sheet;
        let jobs = self.course().jobs_on(day);
        Frame {
            title: sheet.title.clone(),
            day,
            days: sheet.days,
            jobs_done: jobs.done,
            jobs_all: jobs.all,
            jobs_dropped: jobs.dropped,
            deadline: sheet
                .days
                .map_or_else(|| words::NOT_KNOWN.to_owned(), |days| self.date_of(days)),
            standing: STANDING,
            not_current: self.not_current(),
        }
    }

    fn course(&self) -> &Course {
        self.course.get_or_init(|| Course::of(self.build))
    }

    /// How the whole vehicle stood at the end of a day, with so many lines on hold then.
    pub(super) fn overall(&self, day: u32, on_hold: usize) -> String {
        let orders = self.evenings.on(day).map(|forecast| &forecast.orders);
        self.course()
            .on(self.build, day, on_hold, orders)
            .sentence()
    }

    /// Why the book is not current, a line each; the first few and how many more there are.
    fn not_current(&self) -> Vec<String> {
        let mut reasons = self.build.current.reasons(&self.build.sources);
        let more = reasons.len().saturating_sub(MOST_REASONS);
        reasons.truncate(MOST_REASONS);
        if more > 0 {
            reasons.push(format!(
                "And {} more",
                words::count(more, "file or folder", "files and folders")
            ));
        }
        reasons
    }

    /// The date of a day: its log's, else the build sheet's.
    pub(super) fn date_of(&self, day: u32) -> String {
        let days = &self.build.book.days;
        if let Ok(index) = days.binary_search_by_key(&day, |log| log.day) {
            return days[index]
                .date
                .map_or_else(|| words::NOT_KNOWN.to_owned(), |date| date.to_string());
        }
        let date = self.build.book.sheet.date_on(day);
        date.map_or_else(|| words::NOT_KNOWN.to_owned(), |date| date.to_string())
    }

    /// The address of a day's page; none where the day has no log.
    pub(super) fn day_href(&self, day: u32) -> Option<String> {
        let days = &self.build.book.days;
        let index = days.binary_search_by_key(&day, |log| log.day).ok()?;
        Some(Self::log_href(&days[index].stem))
    }

    /// The address of a log's page.
    pub(super) fn log_href(stem: &str) -> String {
        uri(&format!("days/{stem}.html"))
    }

    /// Where the record shows a line: a log's page, at the line where it has a place of its own.
    pub(super) fn line_href(&self, at: Span) -> Option<String> {
        let log = *self.logs.get(&at.file)?;
        let page = Self::log_href(&self.build.book.days[log].stem);
        let line = self.build.sources.position(at).line;
        Some(if self.shown(log).has_place(line) {
            format!("{page}#{}", self.line_id(at))
        } else {
            page
        })
    }

    /// Which lines the page of the log with that index shows by themselves.
    fn shown(&self, log: usize) -> &Shown {
        self.shown[log].get_or_init(|| Shown::of(&self.build.sources, &self.build.book.days[log]))
    }

    /// The anchor of a line on its page.
    pub(super) fn line_id(&self, at: Span) -> String {
        format!("line-{}", self.build.sources.position(at).line)
    }

    /// `days/day-02.md, line 9`
    pub(super) fn place(&self, at: Span) -> String {
        format!(
            "{}, line {}",
            self.build.sources.path(at.file),
            self.build.sources.position(at).line
        )
    }

    pub(super) fn value_href(name: &str) -> String {
        format!("as-built.html#value-{name}")
    }

    pub(super) fn value_link(&self, name: NameId) -> Link {
        let text = self.build.worked.text(name);
        match text.split_once('.') {
            Some((part, _)) if self.build.book.parts.contains_key(part) => Link {
                href: Self::part_href(part),
                text: text.to_owned(),
            },
            Some(_) => Link {
                href: "ledger.html".to_owned(),
                text: text.to_owned(),
            },
            None => Link {
                href: Self::value_href(text),
                text: text.to_owned(),
            },
        }
    }

    pub(super) fn job_href(id: &str) -> String {
        format!("jobs.html#job-{id}")
    }

    pub(super) fn part_href(id: &str) -> String {
        format!("ledger.html#part-{id}")
    }

    /// A job's title as plain words.
    pub(super) fn job_title(&self, id: &str) -> String {
        self.build
            .jobs
            .job(id)
            .map_or_else(|| id.to_owned(), |job| plain(&job.title))
    }

    pub(super) fn job_link(&self, id: &str) -> Link {
        Link {
            href: Self::job_href(id),
            text: self.job_title(id),
        }
    }

    pub(super) fn part_link(&self, id: &str) -> Link {
        let text = self
            .build
            .book
            .parts
            .get(id)
            .map_or_else(|| id.to_owned(), |part| part.what.clone());
        Link {
            href: Self::part_href(id),
            text,
        }
    }

    /// A verdict in words; what it waits for is named where that is another name than its own.
    pub(super) fn verdict(&self, of: NameId, judgement: &Judgement) -> words::VerdictView {
        let wanting = judgement.wanting.filter(|name| *name != of);
        let shown_by = self.build.worked.shown_by(of, self.judge());
        words::verdict(
            judgement,
            wanting.map(|name| self.build.worked.text(name)),
            shown_by,
        )
    }

    /// What the value of a check rests on now, and the weakest that its limit rests on:
    /// `calculated, limit: maker’s figure`; empty if there is no value.
    pub(super) fn basis(&self, check: &Check) -> String {
        let (worked, day) = (&self.build.worked, self.build.day());
        let Some(basis) = worked.basis(check.name, day) else {
            return String::new();
        };
        let limit = worked.limit_basis(&check.rule, day);
        let limit = limit.map_or_else(String::new, |limit| format!(", limit: {}", limit.printed()));
        format!("{}{limit}", basis.printed())
    }

    /// What a name was at a moment, beside its limits at the end of a day.
    pub(super) fn moment(&self, name: NameId, moment: &Moment, day: u32) -> String {
        words::moment(&self.build.worked, name, moment, day, self.judge())
    }

    /// Findings that begin within a place.
    pub(super) fn messages_at(&self, at: Span) -> Vec<Message> {
        let Some(findings) = self.findings.get(&at.file) else {
            return Vec::new();
        };
        let from = findings.partition_point(|finding| finding.at.start < at.start);
        findings[from..]
            .iter()
            .take_while(|finding| finding.at.start <= at.end)
            .map(|finding| self.message(finding))
            .collect()
    }

    /// Findings of a file that no line of its page shows.
    pub(super) fn other_messages(&self, file: FileId) -> Vec<Message> {
        let findings = self.findings.get(&file).into_iter().flatten();
        let shown = self.logs.get(&file).map(|log| self.shown(*log));
        let elsewhere =
            findings.filter(|finding| shown.is_none_or(|shown| !shown.is_in_place(finding.at)));
        elsewhere.map(|finding| self.message(finding)).collect()
    }

    /// The lines that cannot be worked out before this finding is put right.
    fn needed(&self, cause: &Diagnostic) -> Option<String> {
        let at = self
            .causes
            .get(&cause.at)
            .filter(|_| cause.because.is_none())?;
        lines_that_need_it(&self.build.diagnostics[*at..], &self.build.sources)
    }

    pub(super) fn message(&self, finding: &Diagnostic) -> Message {
        Message {
            severity: finding.severity.word(),
            message: finding.message.clone(),
            expected: finding.expected.clone(),
            instead: finding.instead.clone(),
            needed: self.needed(finding),
            place: self.place(finding.at),
            href: self.line_href(finding.at),
        }
    }
}

/// Findings that others follow from: by place, where they are in the list.
fn causes(findings: &[Diagnostic]) -> BTreeMap<Span, usize> {
    let pairs = findings.windows(2).enumerate();
    let causes =
        pairs.filter(|(_, pair)| pair[0].because.is_none() && pair[1].because == Some(pair[0].at));
    causes.map(|(index, pair)| (pair[0].at, index)).collect()
}

/// Markdown of a title as plain words.
pub(super) fn plain(title: &str) -> String {
    title.replace(['`', '*', '~'], "")
}
