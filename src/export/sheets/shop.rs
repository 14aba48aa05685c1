//! The shop's sheets: parts, what happened to them, jobs, days.
//!
//! In: a [`Build`]. Out: a row for each.

use super::{CURRENCY, Cell, CellKind, LINE, PATH, Sheet, column, maybe, place, sheet};
use crate::book::{DayLog, Part};
use crate::build::Build;
use crate::jobs::orders::Wanted;
use crate::jobs::{DayList, Job};
use crate::parts::ledger::PartEventRecord;
use crate::quantity::Literal;

pub(super) fn ledger(build: &Build) -> Sheet {
    let columns = [
        column("part", CellKind::Text, "its id"),
        column("what", CellKind::Text, "what it is"),
        maybe("from", CellKind::Text, "the supplier"),
        maybe("number", CellKind::Text, "the supplier's number"),
        maybe("serial", CellKind::Text, "the serial number"),
        column("supplied", CellKind::Text, "bought, given, lent or owned"),
        column(
            "state",
            CellKind::Text,
            "needed, ordered, in, fitted, off, sent back or scrapped",
        ),
        maybe("since_day", CellKind::Whole, "the day it came to be so"),
        maybe(
            "due_day",
            CellKind::Whole,
            "the day it is to come in, while it is awaited",
        ),
        column(
            "late",
            CellKind::Flag,
            "is it wanted, not in, and its day over?",
        ),
        column("wanted", CellKind::Flag, "is it wanted and not here?"),
        maybe("need_day", CellKind::Whole, "the day it is wanted"),
        maybe(
            "lead_days",
            CellKind::Whole,
            "days from the order to the day it is in, if they are known",
        ),
        maybe(
            "order_by_day",
            CellKind::Whole,
            "the last day to order it on, if its lead time is known",
        ),
        maybe("mass", CellKind::Number, "in `mass_unit`"),
        maybe(
            "mass_above",
            CellKind::Number,
            "how far the mass may lie above, in `mass_unit`",
        ),
        maybe(
            "mass_below",
            CellKind::Number,
            "how far the mass may lie below, in `mass_unit`",
        ),
        maybe("mass_unit", CellKind::Text, "as the book writes it"),
        maybe(
            "cost",
            CellKind::Money,
            "the latest one written, else the listed one",
        ),
        CURRENCY,
        column("spent", CellKind::Flag, "does the cost count as spent?"),
        column("ratings", CellKind::Names, "the maker's claims, as written"),
        maybe(
            "altered_day",
            CellKind::Whole,
            "the day it was cut, drilled or machined: its ratings no longer stand",
        ),
        maybe("altered_why", CellKind::Text, "what was done"),
        PATH,
        LINE,
    ];
    sheet(
        "ledger",
        "A part as it stands",
        columns,
        build
            .book
            .parts
            .values()
            .filter_map(|part| ledger_row(build, part)),
    )
}

fn ledger_row(build: &Build, part: &Part) -> Option<[Cell; 26]> {
    let id = &part.id.value;
    let story = build.ledger.parts.get(id)?;
    let wanted = build.ahead.orders.of(id);
    let mass = part.mass.as_ref().map(|mass| &mass.value);
    let figure = |of: fn(&Literal) -> f64| mass.map(of).into();
    let altered = story.altered.as_ref();
    let ratings = part
        .ratings
        .iter()
        .map(|(key, rating)| format!("{key} {}", rating.value.written));
    let [path, line] = place(build, part.id.span);
    Some([
        id.as_str().into(),
        part.what.as_str().into(),
        part.from.clone().into(),
        part.number.clone().into(),
        part.serial.clone().into(),
        part.supplied.word().into(),
        story.state.words().into(),
        story.since_day.into(),
        story.due_day.into(),
        wanted
            .is_some_and(|wanted| wanted.is_late(build.day()))
            .into(),
        wanted.is_some().into(),
        wanted.and_then(|wanted| wanted.wanted_day).into(),
        story.lead.into(),
        wanted.and_then(Wanted::order_by_day).into(),
        figure(|mass| mass.unit.reading(mass.nominal)),
        figure(|mass| mass.unit.step(mass.plus)),
        figure(|mass| mass.unit.step(mass.minus)),
        mass.map(|mass| mass.unit.name.clone()).into(),
        story.cost.into(),
        build.book.sheet.money.as_str().into(),
        story.is_spent().into(),
        ratings.collect::<Vec<_>>().into(),
        altered.map(|altered| altered.day).into(),
        altered.and_then(|altered| altered.why.clone()).into(),
        path,
        line,
    ])
}

pub(super) fn part_events(build: &Build) -> Sheet {
    let columns = [
        column("day", CellKind::Whole, "the day of the log"),
        column("part", CellKind::Text, "the part's id"),
        column(
            "event",
            CellKind::Text,
            "ordered, cancelled, in, fitted, taken off, sent back, scrapped or altered",
        ),
        column("state", CellKind::Text, "where the part was after it"),
        maybe(
            "due_day",
            CellKind::Whole,
            "the due day that stands after it",
        ),
        maybe("cost", CellKind::Money, "the cost the line gives"),
        CURRENCY,
        maybe("remark", CellKind::Text, "what else the line says"),
        PATH,
        LINE,
    ];
    let row = |event: &PartEventRecord| {
        let [path, line] = place(build, event.span);
        [
            event.day.into(),
            event.part.as_str().into(),
            event.event.words().into(),
            event.state.words().into(),
            event.due_day.into(),
            event.cost.into(),
            build.book.sheet.money.as_str().into(),
            event.remark.clone().into(),
            path,
            line,
        ]
    };
    sheet(
        "part-events",
        "Something that happened to a part",
        columns,
        build.ledger.happenings.iter().map(row),
    )
}

pub(super) fn jobs(build: &Build) -> Sheet {
    let columns = [
        column("job", CellKind::Text, "its id"),
        column("title", CellKind::Text, "as written"),
        column(
            "state",
            CellKind::Text,
            "planned, done, carried, held up or dropped",
        ),
        maybe("held_up", CellKind::Text, "on what"),
        maybe(
            "planned_day",
            CellKind::Whole,
            "the day it was planned for; none where a log added it",
        ),
        maybe("added_day", CellKind::Whole, "the day whose log added it"),
        maybe("done_day", CellKind::Whole, "the day it was done"),
        column(
            "slipped",
            CellKind::Whole,
            "days between the planned day (or the day it was added) and the day done, or the latest day",
        ),
        column("by", CellKind::Names, "who has it"),
        maybe("hours_planned", CellKind::Number, "in h"),
        column("hours_spent", CellKind::Number, "in h"),
        column(
            "hours_twice",
            CellKind::Number,
            "of those, hours of work that had to be made again, in h",
        ),
        maybe(
            "hours_to_go",
            CellKind::Number,
            "hours of work left, in h; none where nobody said how long it takes",
        ),
        column("follows", CellKind::Names, "the jobs it comes after"),
        column("needs", CellKind::Names, "the parts it needs"),
        column("cautions", CellKind::Names, "its hazards"),
        PATH,
        LINE,
    ];
    sheet(
        "jobs",
        "A job as it stands",
        columns,
        build.jobs.all().map(|job| job_row(build, job)),
    )
}

fn job_row(build: &Build, job: &Job) -> [Cell; 18] {
    let [path, line] = place(build, job.at);
    let ids = |ids: &[crate::source::Spanned<String>]| {
        ids.iter()
            .map(|id| id.value.clone())
            .collect::<Vec<_>>()
            .into()
    };
    [
        job.id.as_str().into(),
        job.title.as_str().into(),
        job.state.words().into(),
        job.held_up().into(),
        job.planned_day.into(),
        job.added_day.into(),
        job.done_day.into(),
        job.slipped.into(),
        job.by.clone().into(),
        job.takes.into(),
        job.hours_spent.into(),
        job.hours_twice.into(),
        job.hours_to_go().into(),
        ids(&job.follows),
        ids(&job.needs),
        job.cautions
            .iter()
            .map(|caution| caution.word().to_owned())
            .collect::<Vec<_>>()
            .into(),
        path,
        line,
    ]
}

pub(super) fn days(build: &Build) -> Sheet {
    let columns = [
        column("day", CellKind::Whole, "the build day"),
        maybe(
            "date",
            CellKind::Text,
            "ISO 8601; empty if the first day is not known",
        ),
        maybe(
            "date_why",
            CellKind::Text,
            "why that is not the date that the build sheet gives",
        ),
        maybe("title", CellKind::Text, "the first heading of its log"),
        column("crew", CellKind::Names, "who was there"),
        column("planned", CellKind::Whole, "jobs on the list that morning"),
        column(
            "added",
            CellKind::Whole,
            "jobs first mentioned, or opened again, that day",
        ),
        column(
            "early",
            CellKind::Whole,
            "jobs planned for later, done or dropped that day",
        ),
        column("done", CellKind::Whole, "jobs done at its end"),
        column(
            "carried",
            CellKind::Whole,
            "jobs neither done nor dropped at its end",
        ),
        column("dropped", CellKind::Whole, "jobs dropped at its end"),
        column(
            "hours_planned",
            CellKind::Number,
            "work left that morning of the jobs on the list, in h",
        ),
        column("hours_spent", CellKind::Number, "written that day, in h"),
        PATH,
    ];
    let days = build.jobs.days.iter().zip(&build.book.days);
    sheet(
        "days",
        "A day with a log, and its balance",
        columns,
        days.map(|(list, log)| day_row(build, list, log)),
    )
}

fn day_row(build: &Build, list: &DayList, log: &DayLog) -> [Cell; 14] {
    [
        list.day.into(),
        log.date.map(|date| date.to_string()).into(),
        log.date_why.clone().into(),
        log.title.clone().into(),
        log.crew.clone().into(),
        list.planned.into(),
        list.added.into(),
        list.early.into(),
        list.done.into(),
        list.carried.into(),
        list.dropped.into(),
        list.hours_planned.into(),
        list.hours_spent.into(),
        build.sources.path(log.file).into(),
    ]
}
