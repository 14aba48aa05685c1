//! The build sheet: the vehicle, the days allowed, the crew, the targets.
//!
//! In: `build-sheet.yaml`. Out: a [`BuildSheet`]. What could not be read is not known, or has its
//! usual value.

use jiff::civil::Date;

use super::yaml::{self, Fields, Node};
use super::{BuildSheet, CrewMember, Judge, Line, MOST_DAYS, UnitSystem, audiences, values};
use crate::diagnostics::{Diagnostic, Slug};
use crate::source::{FileId, Sources, Span};

/// The most people a crew can have.
const MOST_CREW: usize = 200;
const KEYS: [&str; 10] = [
    "title",
    "start",
    "days",
    "dates",
    "crew",
    "units",
    "money",
    "judge",
    "targets",
    "audiences",
];

impl BuildSheet {
    /// The title, where the sheet says it.
    pub fn title_given(&self) -> Option<&str> {
        Some(self.title.as_str()).filter(|title| *title != NO_TITLE)
    }
}

/// What a build is called while its title cannot be read.
const NO_TITLE: &str = "Title not known";

/// A sheet that says nothing: whatever has no usual value is not known.
pub(super) fn empty(file: FileId) -> BuildSheet {
    BuildSheet {
        file,
        title: NO_TITLE.to_owned(),
        start: None,
        days: None,
        dates: Vec::new(),
        crew: Vec::new(),
        crew_known: false,
        units: UnitSystem::default(),
        money: "EUR".to_owned(),
        judge: Judge::default(),
        targets: Vec::new(),
        audiences: audiences::ready_made(),
    }
}

/// Reads the sheet. `told` says that its file is known not to be readable.
pub(super) fn read(
    sources: &Sources,
    file: FileId,
    told: bool,
    found: &mut Vec<Diagnostic>,
) -> BuildSheet {
    let text = sources.text(file);
    if told && text.is_empty() {
        return empty(file);
    }
    match yaml::parse(sources.file(file), file, 0..text.len()) {
        Ok(node) => Reader { sources, found }.sheet(&node, file),
        Err(wrong) => {
            found.push(*wrong);
            empty(file)
        }
    }
}

struct Reader<'a> {
    sources: &'a Sources,
    found: &'a mut Vec<Diagnostic>,
}

impl Reader<'_> {
    fn sheet(&mut self, node: &Node, file: FileId) -> BuildSheet {
        let mut sheet = empty(file);
        let fields = Fields::of(node, &KEYS, Sources::top(file), self.found);
        if let Some(title) = fields.need("title", "the name of the build", self.found) {
            sheet.title = title
                .text("the name of the build", self.found)
                .map_or(sheet.title, str::to_owned);
        }
        if let Some(start) = fields.need(
            "start",
            "the date of day 1, for example 2031-05-02",
            self.found,
        ) {
            sheet.start = read_date(start, self.found);
        }
        if let Some(days) = fields.need(
            "days",
            "the number of build days, for example 8",
            self.found,
        ) {
            sheet.days = days.whole(1..=MOST_DAYS, self.found);
        }
        if let Some(dates) = fields.get("dates") {
            sheet.dates = self.dates(dates, &sheet);
        }
        if let Some(crew) = fields.need("crew", "a list of `{name: Ines, hours: 9}`", self.found) {
            let said = self.found.len();
            sheet.crew = self.crew(crew);
            sheet.crew_known = self.found.len() == said;
        }
        self.choices(&fields, &mut sheet);
        if let Some(node) = fields.get("audiences") {
            audiences::read(node, &mut sheet.audiences, self.found);
        }
        sheet.targets = fields
            .get("targets")
            .map(|node| self.targets(node))
            .unwrap_or_default();
        sheet
    }

    /// The dates of the first days, where days do not follow each other.
    fn dates(&mut self, node: &Node, sheet: &BuildSheet) -> Vec<Date> {
        let Some(items) = node.list(
            "a list of dates, for example `[2031-05-02, 2031-05-09]`",
            self.found,
        ) else {
            return Vec::new();
        };
        let mut dates: Vec<Date> = Vec::new();
        for item in items.iter().take(MOST_DAYS as usize) {
            let Some(date) = read_date(item, self.found) else {
                return dates;
            };
            let wrong = match dates.last() {
                None if let Some(start) = sheet.start.filter(|start| *start != date) => {
                    format!("the first of `dates` is {date}, and `start` is {start}")
                }
                Some(before) if date <= *before => {
                    format!("{date} follows {before} in `dates` but is not later")
                }
                _ => {
                    dates.push(date);
                    continue;
                }
            };
            let wrong = Diagnostic::error(
                Slug::WrongDate,
                item.span,
                format!("{wrong}; the dates from here on are not read"),
            );
            self.found
                .push(wrong.expected("the date of each build day in order, day 1 first"));
            return dates;
        }
        if let Some(days) = sheet.days {
            self.count_dates(&dates, node.span, days);
        }
        dates
    }

    fn count_dates(&mut self, dates: &[Date], at: Span, days: u32) {
        let Some(last) = dates.last() else { return };
        let message = match dates.len().cmp(&(days as usize)) {
            std::cmp::Ordering::Equal => return,
            std::cmp::Ordering::Less => format!(
                "`dates` has {} dates for {days} days; later days count on from {last}, one day each",
                dates.len()
            ),
            std::cmp::Ordering::Greater => {
                format!("`dates` has {} dates for {days} days", dates.len())
            }
        };
        let expected = format!("a date for each of the {days} days");
        self.found
            .push(Diagnostic::warning(Slug::WrongDate, at, message).expected(expected));
    }

    /// What has a default.
    fn choices(&mut self, fields: &Fields, sheet: &mut BuildSheet) {
        let units = fields.get("units").and_then(|node| {
            node.read("metric or us", self.found, |text| match text {
                "metric" => Some(UnitSystem::Metric),
                "us" => Some(UnitSystem::Us),
                _ => None,
            })
        });
        let judge = fields.get("judge").and_then(|node| {
            node.read("worst-case or rss", self.found, |text| match text {
                "worst-case" => Some(Judge::WorstCase),
                "rss" => Some(Judge::Rss),
                _ => None,
            })
        });
        let money = fields.get("money").and_then(|node| {
            let is_code =
                |text: &str| text.len() == 3 && text.bytes().all(|b| b.is_ascii_uppercase());
            node.read(
                "three capital letters of ISO 4217, for example EUR",
                self.found,
                |text| is_code(text).then(|| text.to_owned()),
            )
        });
        sheet.units = units.unwrap_or_default();
        sheet.judge = judge.unwrap_or_default();
        sheet.money = money.unwrap_or_else(|| sheet.money.clone());
    }

    fn crew(&mut self, node: &Node) -> Vec<CrewMember> {
        let Some(items) = node.list("a list of `{name: Ines, hours: 9}`", self.found) else {
            return Vec::new();
        };
        if items.is_empty() {
            let wrong = Diagnostic::error(Slug::Missing, node.span, "the crew is empty");
            self.found
                .push(wrong.expected("at least one `{name: Ines, hours: 9}`"));
        }
        if let Some(first_left_out) = items.get(MOST_CREW) {
            let message =
                format!("the crew has more than {MOST_CREW} members; the rest is not read");
            self.found.push(Diagnostic::error(
                Slug::BadValue,
                first_left_out.span,
                message,
            ));
        }
        let mut crew: Vec<CrewMember> = Vec::new();
        for item in items.iter().take(MOST_CREW) {
            let Some((member, at)) = self.member(item) else {
                continue;
            };
            if crew.iter().any(|other| other.name == member.name) {
                let wrong = Diagnostic::error(
                    Slug::BadValue,
                    at,
                    format!("two crew members are called `{}`", member.name),
                );
                self.found.push(wrong.expected("a different name for each"));
            } else {
                crew.push(member);
            }
        }
        crew
    }

    fn member(&mut self, node: &Node) -> Option<(CrewMember, Span)> {
        let fields = Fields::of(node, &["name", "hours"], node.span, self.found);
        let name_node = fields.need("name", "`name: Ines`", self.found);
        let hours = fields.need("hours", "working hours a day", self.found);
        let hours = hours.and_then(|node| {
            let hours = |text: &str| {
                text.trim_end_matches('h')
                    .trim_end()
                    .parse()
                    .ok()
                    .filter(|hours| *hours > 0.0 && *hours <= 24.0)
            };
            node.read("hours a day: more than 0, at most 24", self.found, hours)
        });
        let name_node = name_node?;
        let plain =
            |name: &str| (!name.contains(['+', ',', '{', '}', '\n'])).then(|| name.to_owned());
        let name = name_node.read("a name without `+`, `,` or braces", self.found, plain)?;
        Some((
            CrewMember {
                name,
                hours: hours.unwrap_or(8.0),
            },
            name_node.span,
        ))
    }

    /// The lines of the targets, each at its place.
    fn targets(&mut self, node: &Node) -> Vec<Line> {
        if node
            .text("check lines below `targets: |`", self.found)
            .is_none()
        {
            return Vec::new();
        }
        let written = self.sources.slice(node.span);
        let quoted = written.len() > 1 && written.starts_with(['"', '\'']);
        let inner = usize::from(quoted);
        let whole = Span::new(
            node.span.file,
            node.span.start as usize + inner..node.span.end as usize - inner,
        );
        let lines = values::split(self.sources, whole, '\n').into_iter();
        let lines = lines.map(|span| Line {
            text: self.sources.slice(span).to_owned(),
            span,
        });
        lines.filter(|line| !line.text.is_empty()).collect()
    }
}

/// A date as `2031-05-02`.
pub(super) fn read_date(node: &Node, found: &mut Vec<Diagnostic>) -> Option<Date> {
    date_in(
        node.text("a date, for example 2031-05-02", found)?,
        node.span,
        found,
    )
}

/// The date in a text at a place.
pub(super) fn date_in(text: &str, at: Span, found: &mut Vec<Diagnostic>) -> Option<Date> {
    let plain = text.len() == 10 && text.bytes().all(|b| b.is_ascii_digit() || b == b'-');
    let date = plain.then(|| text.parse::<Date>().ok()).flatten();
    if date.is_none() {
        let wrong = Diagnostic::error(Slug::BadDate, at, format!("`{text}` is not a date"));
        found.push(wrong.expected("year, month and day, for example 2031-05-02"));
    }
    date
}
