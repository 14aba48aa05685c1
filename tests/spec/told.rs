//! What the program says of a case's book, in the words of the specification.
//!
//! In: a case and one of its fences. Out: lines, taken from the documents that scripts rely on.

use shimbook::build::{Build, compile, compile_until};
use shimbook::diagnostics::render::json::{self, Finding, Place};
use shimbook::export::document::{
    self, CheckLine, DayDocument, JobDocument, PartDocument, PersonDocument, ValueDocument,
};
use shimbook::hold;
use shimbook::quantity::format::plain;

use crate::book;
use crate::case::{Case, Fence};

/// How many digits figures are held to.
const DIGITS: usize = 6;

/// What should stand in a fence of a case.
pub(crate) fn told(case: &Case, fence: &Fence) -> String {
    let files = book::files(case);
    let build = fence.day().map_or_else(
        || compile(files.clone()),
        |day| compile_until(files.clone(), day),
    );
    let lines = match fence.word() {
        "values" => values(&build, fence),
        "checks" => document::check(&build).checks.iter().map(check).collect(),
        "jobs" => document::tally(&build)
            .jobs
            .iter()
            .map(|(id, job)| job_line(id, job))
            .collect(),
        "balance" => document::tally(&build).days.iter().map(balance).collect(),
        "people" => document::tally(&build).people.iter().map(person).collect(),
        "ledger" => ledger(&build),
        "hold" => hold_list(&build),
        "current" => current(&build),
        "printed" => printed(&build, fence),
        _ => messages(&build),
    };
    lines.into_iter().map(|line| line + "\n").collect()
}

fn values(build: &Build, fence: &Fence) -> Vec<String> {
    let names: Vec<&str> = fence.names().collect();
    let asked = |name: &str| names.is_empty() || names.contains(&name);
    let values = document::check(build).values;
    values
        .iter()
        .filter(|(name, _)| asked(name))
        .map(|(name, value)| value_line(name, value))
        .collect()
}

/// What pages print, with plain spaces for thin ones.
fn printed(build: &Build, fence: &Fence) -> Vec<String> {
    let names: Vec<&str> = fence.names().collect();
    let asked = |name: &str| names.is_empty() || names.contains(&name);
    let document = document::check(build);
    let values = document.values.keys().filter(|name| asked(name));
    let values = values.map(|name| format!("{name}: {}", document::check_value(build, name)));
    let checks = document
        .checks
        .iter()
        .filter(|check| asked(&check.name))
        .map(|check| {
            let limit = check
                .limit_basis
                .map_or_else(String::new, |basis| format!(", limit: {basis}"));
            let basis = check.basis.unwrap_or("no value");
            let by = if check.by.is_empty() {
                String::new()
            } else {
                format!(", {}", check.by)
            };
            format!(
                "{} {}: {}{by}; {basis}{limit}",
                check.name, check.rule, check.verdict
            )
        });
    values
        .chain(checks)
        .map(|line| line.replace('\u{202f}', " "))
        .collect()
}

fn value_line(name: &str, value: &ValueDocument) -> String {
    let Some(number) = value.value else {
        return format!("{name}: {}", value.state);
    };
    let digits = |figure| plain(figure, DIGITS);
    let (worst, rss) = (digits(value.worst_case), digits(value.rss));
    let spread = match (worst.as_str(), rss.as_str()) {
        ("0", "0") => String::new(),
        (worst, rss) if worst == rss => format!(" ± {worst}"),
        _ => format!(" ± {worst} (root sum square {rss})"),
    };
    let day = value
        .day
        .map_or_else(String::new, |day| format!(", day {day}"));
    format!(
        "{name} = {}{}, {}{day}",
        digits(number),
        with_unit(&spread, &value.unit),
        value.state
    )
}

fn with_unit(figure: &str, unit: &str) -> String {
    if unit.is_empty() {
        figure.to_owned()
    } else {
        format!("{figure} {unit}")
    }
}

fn check(check: &CheckLine) -> String {
    let hold = if check.hold { ", hold" } else { "" };
    let margin = check.margin.map_or_else(String::new, |margin| {
        format!(
            ", margin {}",
            with_unit(&plain(margin, DIGITS), &check.unit)
        )
    });
    format!(
        "{} {}{hold}: {}{margin}",
        check.name, check.rule, check.verdict
    )
}

fn job_line(id: &str, job: &JobDocument) -> String {
    let day = |word: &str, day: Option<u32>| {
        day.map_or_else(String::new, |day| format!(", {word} day {day}"))
    };
    let to_go = job.hours_to_go.filter(|hours| *hours > 0.0);
    let to_go = to_go.map_or_else(String::new, |hours| {
        format!(", {} h to go", plain(hours, DIGITS))
    });
    format!(
        "{id} ({}): {}{}{}, slipped {}, {} h planned, {} h spent{to_go}",
        job.title,
        job.state,
        day("planned for", job.planned_day),
        day("done on", job.done_day),
        job.slipped,
        plain(job.hours_planned, DIGITS),
        plain(job.hours_spent, DIGITS),
    )
}

fn person((name, person): (&String, &PersonDocument)) -> String {
    let [there, work] =
        [person.hours_there, person.hours_of_work].map(|hours| plain(hours, DIGITS));
    format!("{name}: {there} h there, {work} h of work")
}

fn balance(day: &DayDocument) -> String {
    format!(
        "day {}: {} planned + {} added + {} early = {} done + {} carried + {} dropped; {} h planned, {} h spent",
        day.day,
        day.planned,
        day.added,
        day.early,
        day.done,
        day.carried,
        day.dropped,
        plain(day.hours_planned, DIGITS),
        plain(day.hours_spent, DIGITS),
    )
}

fn ledger(build: &Build) -> Vec<String> {
    let tally = document::tally(build);
    let sum = format!(
        "spent {} {}, fitted {} kg",
        tally.money.spent,
        tally.money.currency,
        plain(tally.mass.fitted_kg, DIGITS)
    );
    let part = |(id, part): (&String, &PartDocument)| {
        let altered = build.ledger.altered_on(id, build.day());
        part_line(id, part)
            + if altered {
                ", altered: its ratings do not stand"
            } else {
                ""
            }
    };
    tally.parts.iter().map(part).chain([sum]).collect()
}

fn part_line(id: &str, part: &PartDocument) -> String {
    let day = |word: &str, day: Option<u32>| {
        day.map_or_else(String::new, |day| format!("{word} day {day}"))
    };
    let late = if part.late { ", late" } else { "" };
    let (since, due) = (day(" since", part.since_day), day(", due", part.due_day));
    format!(
        "{id}: {}{since}{due}{late}{}",
        part.state,
        day(", order by", part.order_by_day)
    )
}

fn hold_list(build: &Build) -> Vec<String> {
    let list = hold::on_day(&build.worked, &build.jobs, build.day());
    let line = |line: &hold::HoldLine| {
        format!(
            "{} {}: {}; to clear: {}",
            line.kind.word(),
            line.id,
            line.why,
            line.clears
        )
    };
    let tag = if list.lines.is_empty() {
        "nothing on hold"
    } else {
        list.tag()
    };
    let history = build.hold_history.iter().map(hold_event);
    [tag.to_owned()]
        .into_iter()
        .chain(list.lines.iter().map(line))
        .chain(history)
        .collect()
}

fn hold_event(event: &hold::HoldEvent) -> String {
    let line = |line: &hold::HeldLine| {
        format!("{} {} ({})", line.kind.word(), line.id, line.stood.words())
    };
    let lines: Vec<String> = event.lines.iter().map(line).collect();
    format!(
        "{} {}: {}: {}",
        event.kind.word(),
        event.id,
        event.words(),
        lines.join(", ")
    )
}

fn current(build: &Build) -> Vec<String> {
    let check = document::check(build);
    let tally = document::tally(build);
    let day =
        |day: Option<u32>| day.map_or_else(|| "not known".to_owned(), |day| format!("day {day}"));
    let head = if check.current {
        "current"
    } else {
        "not current: treat as on hold"
    };
    let sheet = format!(
        "{}: last day {}, done by {}",
        check.title,
        day(tally.forecast.deadline_day),
        day(tally.forecast.finish_day.as_ref().map(|finish| finish.p50))
    );
    let reasons = build.current.reasons(&build.sources);
    [head.to_owned()]
        .into_iter()
        .chain(reasons)
        .chain([sheet])
        .collect()
}

fn messages(build: &Build) -> Vec<String> {
    let findings = json::all(&build.diagnostics, &build.sources);
    let each: Vec<Vec<String>> = build
        .diagnostics
        .iter()
        .zip(&findings)
        .map(|(found, finding)| {
            let line = build
                .sources
                .file(found.at.file)
                .line_range(finding.place.line);
            message(finding, &build.sources.text(found.at.file)[line])
        })
        .collect();
    each.join(&String::new())
}

/// Where, the line with its place ruled under, what is wrong, what was expected, what to write.
fn message(finding: &Finding, line: &str) -> Vec<String> {
    let place = &finding.place;
    let mut lines = vec![format!(
        "{} {}, {}",
        finding.severity,
        finding.slug,
        where_it_is(place)
    )];
    if !line.trim().is_empty() {
        lines.extend([line.replace('\t', " "), rule(place, line)]);
    }
    lines.push(finding.message.clone());
    lines.extend(
        finding
            .cause
            .iter()
            .map(|cause| format!("because of {}", where_it_is(cause))),
    );
    lines.extend(
        finding
            .expected
            .iter()
            .map(|words| format!("expected: {words}")),
    );
    lines.extend(
        finding
            .instead
            .iter()
            .map(|words| format!("write: {words}")),
    );
    lines.extend(
        finding
            .see
            .iter()
            .map(|see| format!("see {}: {}", where_it_is(&see.place), see.message)),
    );
    lines
}

fn where_it_is(place: &Place) -> String {
    let to = if place.end_line > place.line {
        format!(" to {}", place.end_line)
    } else {
        String::new()
    };
    format!("{} line {}{to}", place.path, place.line)
}

fn rule(place: &Place, line: &str) -> String {
    let end = if place.end_line > place.line {
        line.chars().count() + 1
    } else {
        place.end_column
    };
    let long = end.saturating_sub(place.column).max(1);
    format!("{}{}", " ".repeat(place.column - 1), "^".repeat(long))
}
