//! `tally`: done against plan by day, what is carried, held up and on hold, what to order.

use std::path::PathBuf;

use clap::Args;

use super::terminal::{self, BOLD, STOP, columns};
use super::{Done, Failure, Format, build, not_current, status};
use crate::build::{Build, compile_until};
use crate::diagnostics::Severity;
use crate::export::document;
use crate::forecast::Danger;
use crate::hold::{HoldEvent, HoldEventKind, HoldKind};
use crate::io;
use crate::jobs::hands;
use crate::jobs::orders::Listed;
use crate::jobs::{DayList, Job, JobState};
use crate::open_book::OpenBook;
use crate::pages::ahead::in_words;
use crate::pages::overall::overall;
use crate::quantity::data::money;
use crate::quantity::{format, printed};

/// Compare done with planned by day; list carried, held-up and on-hold work and today's orders.
#[derive(Debug, Args)]
#[command(after_help = "Example: shimbook tally book-example --day 4")]
pub(super) struct Tally {
    /// The book's folder (default: this folder or its nearest parent with a book)
    book: Option<PathBuf>,
    /// Day to report on (default: the latest)
    #[arg(long, value_name = "N")]
    day: Option<u32>,
    /// Output format
    #[arg(long, value_enum, default_value_t = Format::Text)]
    format: Format,
}

impl Tally {
    pub(super) fn run(self) -> Done {
        let build = match self.day {
            Some(day) => as_of(self.book.as_ref(), day)?,
            None => build(self.book.as_ref())?.1,
        };
        match self.format {
            Format::Text => terminal::print(&text(&build))?,
            Format::Json => terminal::print_json(&document::tally(&build))?,
        }
        Ok(status(&build))
    }
}

/// The book as it stood on the evening of a day: the logs up to then.
fn as_of(book: Option<&PathBuf>, day: u32) -> Result<Build, Failure> {
    let folder = io::find_book(book.map(PathBuf::as_path))?;
    let build = compile_until(OpenBook::new(&folder).files()?, day);
    if build.day() != day {
        return Err(Failure(format!(
            "day {day} has no log\n  the latest before it is day {}",
            build.day()
        )));
    }
    Ok(build)
}

fn text(build: &Build) -> String {
    let mut text = format!(
        "{BOLD}{}, evening of day {}{}{BOLD:#}\n",
        build.book.sheet.title,
        build.day(),
        build.book.sheet.days.map_or_else(
            || ", last day not known".to_owned(),
            |days| format!(" of {days}")
        )
    );
    text.push_str(&format!("{}\n", overall(build).sentence()));
    let warning = not_current(build);
    if !warning.is_empty() {
        text.push_str(&format!("\n{warning}"));
    }
    for (title, body) in [
        ("On hold", on_hold(build)),
        ("Done against plan", days(build)),
        ("Carried", carried(build)),
        ("More work than hours", overloaded(build)),
        ("Ahead", ahead(build)),
        ("Order", orders(build)),
    ] {
        let style = if title == "On hold" { STOP } else { BOLD };
        if !body.is_empty() {
            text.push_str(&format!("\n{style}{title}{style:#}\n{body}"));
        }
    }
    let spent = printed::with_name(&money(build.ledger.spent.total), &build.book.sheet.money);
    text.push_str(&format!(
        "\nSpent {spent}, fitted {}.\n",
        printed::kilograms(build.ledger.fitted.kg)
    ));
    text
}

fn on_hold(build: &Build) -> String {
    let list = &build.hold;
    let unsure = match build.count(Severity::Error) {
        0 => "",
        _ => {
            "  The book has errors: lines that were not read may belong here. Treat the vehicle as on hold.\n"
        }
    };
    let moved = moved(build);
    if list.lines.is_empty() {
        let nothing = if unsure.is_empty() {
            "  nothing\n"
        } else {
            unsure
        };
        return format!("{nothing}{moved}");
    }
    let name = |kind: HoldKind, id: &str| match kind {
        HoldKind::Check => id.to_owned(),
        _ => build
            .jobs
            .job(id)
            .map_or_else(|| id.to_owned(), |job| job.title.clone()),
    };
    let rows: Vec<Vec<String>> = list
        .lines
        .iter()
        .map(|line| vec![name(line.kind, &line.id), line.why.clone()])
        .collect();
    format!("{unsure}  {}\n{}{moved}", list.tag(), columns(&rows, &[]))
}

/// What happened against the hold list: it stays, whatever is cleared.
fn moved(build: &Build) -> String {
    let name = |event: &HoldEvent| match build
        .jobs
        .job(&event.id)
        .filter(|_| event.kind == HoldEventKind::Moved)
    {
        Some(job) => job.title.clone(),
        None => event.id.clone(),
    };
    let lines: Vec<String> = build
        .hold_history
        .iter()
        .map(|event| format!("  {}: {}\n", name(event), event.words()))
        .collect();
    lines.concat()
}

fn days(build: &Build) -> String {
    let head = [
        "day",
        "planned",
        "added",
        "early",
        "done",
        "carried",
        "dropped",
        "hours planned",
        "spent",
    ];
    let mut rows = vec![head.map(str::to_owned).to_vec()];
    rows.extend(build.jobs.days.iter().map(|list| day(list)));
    columns(&rows, &[0, 1, 2, 3, 4, 5, 6, 7, 8])
}

fn day(list: &DayList) -> Vec<String> {
    let counts = [
        list.day as usize,
        list.planned,
        list.added,
        list.early,
        list.done,
        list.carried,
        list.dropped,
    ];
    let hours = [list.hours_planned, list.hours_spent];
    counts
        .iter()
        .map(usize::to_string)
        .chain(
            hours
                .iter()
                .map(|hours| printed::marks(&format::hours(*hours))),
        )
        .collect()
}

fn carried(build: &Build) -> String {
    let open = build
        .jobs
        .all()
        .filter(|job| matches!(job.state, JobState::Carried | JobState::HeldUp));
    let rows: Vec<Vec<String>> = open.map(carried_row).collect();
    columns(&rows, &[])
}

fn carried_row(job: &Job) -> Vec<String> {
    let state = job.held_up().map_or_else(
        || job.state.words().to_owned(),
        |why| format!("held up: {why}"),
    );
    let slip = if job.slipped > 0 {
        format!("{} late", days_words(job.slipped))
    } else {
        String::new()
    };
    vec![job.title.clone(), job.by.join(", "), slip, state]
}

/// Who had more work than hours that morning.
fn overloaded(build: &Build) -> String {
    let hands = hands::on_day(&build.book, &build.jobs, build.day());
    let rows: Vec<Vec<String>> = hands
        .iter()
        .filter(|hands| hands.is_over())
        .map(|hands| vec![hands.words()])
        .collect();
    columns(&rows, &[])
}

fn days_words(days: u32) -> String {
    if days == 1 {
        "1 day".to_owned()
    } else {
        format!("{days} days")
    }
}

fn ahead(build: &Build) -> String {
    let forecast = &build.ahead;
    let mut text = format!("  {}\n", in_words(forecast, &build.jobs));
    for danger in &forecast.danger {
        text.push_str(&format!("  {}.\n", in_titles(danger, build)));
    }
    text
}

/// The reason, with titles in place of ids.
fn in_titles(danger: &Danger, build: &Build) -> String {
    let job = |id: &str| {
        build
            .jobs
            .job(id)
            .map_or_else(|| id.to_owned(), |job| job.title.clone())
    };
    danger.words(job, |id| what(build, id))
}

/// What a part is.
fn what(build: &Build, id: &str) -> String {
    build
        .book
        .parts
        .get(id)
        .map_or_else(|| id.to_owned(), |part| part.what.clone())
}

fn orders(build: &Build) -> String {
    let from = |id: &str| {
        build
            .book
            .parts
            .get(id)
            .and_then(|part| part.from.clone())
            .unwrap_or_default()
    };
    let listed = build.ahead.orders.on(build.day());
    if listed.is_empty() {
        let has_errors = build.count(Severity::Error) > 0;
        return format!(
            "  {}\n",
            build.ahead.orders.nothing(build.day(), has_errors)
        );
    }
    let row = |listed: &Listed| {
        let part = &listed.wanted.part;
        vec![what(build, part), from(part), listed.words()]
    };
    columns(&listed.iter().map(row).collect::<Vec<_>>(), &[])
}
