//! A day's log: what happened, written while it happens.
//!
//! In: `days/*.md`. Out: a [`DayLog`] whose day may still have to be settled with the other logs.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;
use std::sync::Arc;

use jiff::civil::Date;

use super::yaml::{self, Fields, Node};
use super::{
    Block, BuildSheet, Context, DayLog, Entry, Line, MOST_DAYS, PartsBlock, attributes, events,
    sheet, values,
};
use crate::diagnostics::{Diagnostic, Severity, Slug};
use crate::markdown::{self, FarLink, Fence, FenceKind, Mark, Piece, Prose, Surroundings};
use crate::source::{FileId, Sources, Span, Spanned};

/// Front matter longer than this is not read.
const LONGEST_FRONT: usize = 16 * 1024;

/// A log, and where it says its day.
#[derive(Debug)]
pub(super) struct Read {
    pub(super) log: Arc<DayLog>,
    /// `None` where neither the log nor its name says a day.
    pub(super) day: Option<Spanned<u32>>,
    /// The anchors of its headings.
    pub(super) anchors: BTreeSet<String>,
    /// Its links to headings of other logs.
    pub(super) far_links: Vec<FarLink>,
    pub(super) found: Vec<Diagnostic>,
}

/// What the front matter says.
#[derive(Default)]
struct Front {
    day: Option<Spanned<u32>>,
    date: Option<Dated>,
    crew: Option<Vec<String>>,
}

/// A date that a log gives, and why it is not the one of its day.
struct Dated {
    is: Date,
    why: Option<String>,
    at: Span,
}

/// Reads one log.
pub(super) fn read(
    file: FileId,
    sheet: &BuildSheet,
    context: &Context,
    around: &Surroundings,
) -> Read {
    let mut found = Vec::new();
    let stem = stem(context.sources.path(file)).to_owned();
    let (front, body) = Reader {
        context,
        sheet,
        file,
        found: &mut found,
    }
    .front(&stem);
    let walked = markdown::walk(context.sources.text(file), file, body, around);
    found.extend(walked.diagnostics);
    let (entries, prose) = entries(&walked.marks, walked.prose, context, &mut found);
    let day = front.day.as_ref().map_or(1, |day| day.value);
    let (date, date_why) = front.date.map_or_else(
        || (sheet.date_on(day), None),
        |date| (Some(date.is), date.why),
    );
    let log = DayLog {
        file,
        stem,
        day,
        date,
        date_why,
        crew: front.crew.unwrap_or_else(|| {
            sheet
                .crew
                .iter()
                .map(|member| member.name.clone())
                .collect()
        }),
        title: walked
            .headings
            .into_iter()
            .next()
            .map(|heading| heading.text),
        entries,
        plain_boxes: walked.plain_boxes,
        prose,
    };
    Read {
        log: Arc::new(log),
        day: front.day,
        anchors: walked.anchors,
        far_links: walked.far_links,
        found,
    }
}

/// What the top of a log says.
#[derive(Clone, Debug, Default)]
pub(super) struct Top {
    /// Its day, as far as one can be told.
    pub(super) day: Option<Spanned<u32>>,
    /// Why the log cannot be worked with; empty where it can.
    pub(super) wrong: Vec<Diagnostic>,
}

/// Reads the top of a log. Without a day, or with lines that cannot be read, a log cannot be worked
/// with.
pub(super) fn top(sources: &Sources, file: FileId) -> Top {
    let context = Context {
        sources,
        crew: &[],
        parts: &BTreeMap::new(),
        currency: "",
    };
    let mut wrong = Vec::new();
    let unknown = sheet::empty(file);
    let mut reader = Reader {
        context: &context,
        sheet: &unknown,
        file,
        found: &mut wrong,
    };
    let (Front { day, .. }, _) = reader.front(stem(sources.path(file)));
    let is_broken = wrong
        .iter()
        .any(|found| matches!(found.slug, Slug::BadYaml | Slug::TooDeep));
    // Who is in the crew is not known here.
    wrong.retain(|found| found.severity == Severity::Error && found.slug != Slug::UnknownPerson);
    if day.is_some() && !is_broken {
        wrong.clear();
    }
    Top { day, wrong }
}

/// The name of a file without folder and `.md`.
fn stem(path: &str) -> &str {
    let name = path.rsplit('/').next().unwrap_or(path);
    name.strip_suffix(".md").unwrap_or(name)
}

/// The day that a log's name says: the digits after `day`, or the only ones there are.
fn day_of_name(stem: &str) -> Option<u32> {
    let lower = stem.to_lowercase();
    let digits = |text: &str| {
        text.split(|c: char| !c.is_ascii_digit())
            .find(|run| !run.is_empty())
            .map(str::to_owned)
    };
    let after_day = lower.split("day").skip(1).find_map(|after| {
        let after = after.trim_start_matches(['-', '_', ' ', '.']);
        after
            .starts_with(|c: char| c.is_ascii_digit())
            .then(|| digits(after))?
    });
    let runs = lower
        .split(|c: char| !c.is_ascii_digit())
        .filter(|run| !run.is_empty())
        .count();
    let run = after_day.or_else(|| if runs == 1 { digits(&lower) } else { None })?;
    run.parse().ok()
}

/// What a log's date looks like.
const DATE: &str =
    "a date, for example `2031-05-04`, or a date and a reason: `2031-05-04, rain on Saturday`";

struct Reader<'a> {
    context: &'a Context<'a>,
    sheet: &'a BuildSheet,
    file: FileId,
    found: &'a mut Vec<Diagnostic>,
}

impl Reader<'_> {
    /// The front matter, and where the text after it begins.
    fn front(&mut self, stem: &str) -> (Front, usize) {
        let text = self.context.sources.text(self.file);
        let (node, body) = match front_matter(text) {
            Some((range, body)) => (self.front_node(range), body),
            None if text.starts_with("---\n") => {
                let wrong = Diagnostic::error(
                    Slug::BadYaml,
                    self.context.sources.line(self.file, 1),
                    "the front matter is not closed",
                );
                self.found
                    .push(wrong.expected("a second `---` line within 16 KiB"));
                (None, 0)
            }
            None => (None, 0),
        };
        let closed = node.is_some() || !text.starts_with("---\n");
        let mut front = node.map(|node| self.fields(&node)).unwrap_or_default();
        self.settle_day(&mut front, day_of_name(stem), closed);
        self.compare_date(&front);
        (front, body)
    }

    fn front_node(&mut self, range: Range<usize>) -> Option<Node> {
        let parsed = yaml::parse(self.context.sources.file(self.file), self.file, range);
        parsed.map_err(|wrong| self.found.push(*wrong)).ok()
    }

    fn fields(&mut self, node: &Node) -> Front {
        let fields = Fields::of(
            node,
            &["day", "date", "crew"],
            Sources::top(self.file),
            self.found,
        );
        let day = fields.get("day").and_then(|node| {
            Some(Spanned::new(
                node.whole(1..=MOST_DAYS, self.found)?,
                node.span,
            ))
        });
        let date = fields.get("date").and_then(|node| self.date(node));
        let crew = fields.get("crew").and_then(|node| self.crew(node));
        Front { day, date, crew }
    }

    /// `2031-05-04`, or `2031-05-04, why it is that day`.
    fn date(&mut self, node: &Node) -> Option<Dated> {
        let text = node.text(DATE, self.found)?;
        let (date, why) = match text.split_once(',') {
            Some((date, why)) => (date.trim(), Some(why.trim().to_owned())),
            None => (text, None),
        };
        let is = sheet::date_in(date, node.span, self.found)?;
        if why.as_deref() == Some("") {
            let wrong = Diagnostic::error(
                Slug::BadDate,
                node.span,
                "the reason is missing after the comma",
            );
            self.found.push(wrong.expected(DATE));
            return None;
        }
        Some(Dated {
            is,
            why,
            at: node.span,
        })
    }

    /// Compares the log's date with the one that the build sheet gives its day. Where the sheet has
    /// no first day, that is said there.
    fn compare_date(&mut self, front: &Front) {
        let (Some(day), Some(date)) = (&front.day, &front.date) else {
            return;
        };
        let Some(given) = self.sheet.date_on(day.value) else {
            return;
        };
        if date.why.is_some() || date.is == given {
            return;
        }
        let message = format!(
            "this log is dated {}, but the date of day {} is {given}",
            date.is, day.value
        );
        let wrong = Diagnostic::error(Slug::WrongDate, date.at, message);
        self.found.push(wrong.expected(format!(
            "`date: {given}`, or a reason: `date: {}, why`; if days are not consecutive, `dates:` in the build sheet",
            date.is
        )));
    }

    fn crew(&mut self, node: &Node) -> Option<Vec<String>> {
        let expected = "a list of names, for example `[Ines, Bashir]`";
        let mut crew = Vec::new();
        for item in node.list(expected, self.found)? {
            let Some(name) = item.text(expected, self.found) else {
                continue;
            };
            let name = Spanned::new(name.to_owned(), item.span);
            if values::is_known(&name, self.context.crew, self.found) && !crew.contains(&name.value)
            {
                crew.push(name.value);
            }
        }
        Some(crew)
    }

    /// Holds the log's day against its name. Nothing more is said where the front matter is broken.
    fn settle_day(&mut self, front: &mut Front, named: Option<u32>, readable: bool) {
        match (&front.day, named) {
            (Some(day), Some(named)) if day.value != named => {
                let message = format!(
                    "this log gives day {}, but its file name gives day {named}",
                    day.value
                );
                let wrong = Diagnostic::error(Slug::DayNumber, day.span, message);
                self.found.push(wrong.expected("the same number in both"));
            }
            (None, named) => {
                if readable
                    && !self.found.iter().any(|found| {
                        matches!(found.slug, Slug::BadYaml | Slug::BadValue | Slug::TooDeep)
                    })
                {
                    self.missing_day(named);
                }
                let named = named.filter(|day| (1..=MOST_DAYS).contains(day));
                front.day = named.map(|day| Spanned::new(day, Sources::top(self.file)));
            }
            _ => {}
        }
    }

    fn missing_day(&mut self, named: Option<u32>) {
        let message = if named.is_some() {
            "this log does not give its day number"
        } else {
            "neither this log nor its file name gives its day number, so it is not read"
        };
        let wrong = Diagnostic::error(Slug::Missing, Sources::top(self.file), message);
        let day = named.map_or_else(|| "1".to_owned(), |day| day.to_string());
        self.found.push(
            wrong
                .expected("`day:` between two `---` lines at the top")
                .instead(format!("---\nday: {day}\n---")),
        );
    }
}

/// The range of the front matter, and where the text after it begins.
fn front_matter(text: &str) -> Option<(Range<usize>, usize)> {
    let inner = text.strip_prefix("---\n")?;
    let mut at = 4;
    for line in inner.split_inclusive('\n') {
        if matches!(line.trim_end(), "---" | "...") && line.starts_with(['-', '.']) {
            return Some((4..at, at + line.len()));
        }
        at += line.len();
        if at > LONGEST_FRONT {
            return None;
        }
    }
    None
}

/// Reads what states something; what cannot be read shows as it is written.
fn entries(
    marks: &[Mark],
    prose: Prose,
    context: &Context,
    found: &mut Vec<Diagnostic>,
) -> (Vec<Entry>, Prose) {
    let mut entries = Vec::with_capacity(marks.len());
    let mut places: Vec<Option<usize>> = Vec::with_capacity(marks.len());
    for mark in marks {
        let entry = entry(mark, context, found);
        places.push(entry.is_some().then_some(entries.len()));
        entries.extend(entry);
    }
    let pieces = prose.pieces.into_iter().map(|piece| match piece {
        Piece::Entry(n) => match (places.get(n).copied().flatten(), marks.get(n)) {
            (None, Some(mark)) => unread(mark.span(), context.sources),
            (place, _) => Piece::Entry(place.unwrap_or_default()),
        },
        piece => piece,
    });
    (
        entries,
        Prose {
            pieces: pieces.collect(),
        },
    )
}

fn unread(span: Span, sources: &Sources) -> Piece {
    Piece::Unread {
        text: sources.slice(span).to_owned(),
        span,
    }
}

fn entry(mark: &Mark, context: &Context, found: &mut Vec<Diagnostic>) -> Option<Entry> {
    match mark {
        Mark::Job(line) => attributes::read(line, context, found).map(Entry::Mention),
        Mark::Fence(fence) => Some(match fence.kind {
            FenceKind::Sums => Entry::Sums(block(fence, context.sources)),
            FenceKind::Drawing => Entry::Drawing(block(fence, context.sources)),
            FenceKind::Parts => Entry::Parts(PartsBlock {
                span: fence.span,
                lines: events::read(fence, context, found),
            }),
        }),
    }
}

fn block(fence: &Fence, sources: &Sources) -> Block {
    let lines = fence.lines.iter().map(|span| Line {
        text: sources.slice(*span).to_owned(),
        span: *span,
    });
    Block {
        span: fence.span,
        lines: lines.collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_logs_name_says_its_day_where_it_can_be_told() {
        assert_eq!(day_of_name("day-02"), Some(2));
        assert_eq!(day_of_name("2031-05-03-day-2"), Some(2));
        assert_eq!(day_of_name("Day_11 rails"), Some(11));
        assert_eq!(day_of_name("03"), Some(3));
        assert_eq!(day_of_name("2031-05-03"), None);
        assert_eq!(day_of_name("monday"), None);
    }

    #[test]
    fn front_matter_stands_at_the_very_start_only() {
        assert_eq!(front_matter("---\nday: 1\n---\n# x"), Some((4..11, 15)));
        assert_eq!(front_matter("---\n---"), Some((4..4, 7)));
        assert_eq!(front_matter("\n---\nday: 1\n---\n"), None);
        assert_eq!(front_matter("---\nday: 1\n"), None);
        assert_eq!(
            front_matter(&format!("---\n{}---\n", "a: 1\n".repeat(4000))),
            None
        );
    }
}
