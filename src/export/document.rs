//! The two documents that scripts may rely on: `check` and `tally`.
//!
//! In: a [`Build`]. Out: plain data whose keys stay. Figures are in the unit they are shown in, to
//! the last digit that a double carries; money is text, exact.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::build::Build;
use crate::calc::{Basis, Check, Judgement, Known, NameId, Results, Verdict, Version};
use crate::diagnostics::Severity;
use crate::diagnostics::render::json::{self, Finding};
use crate::hold::{HeldLine, HoldEvent};
use crate::io::Unread;
use crate::jobs::hands::{self, Hands};
use crate::jobs::orders::Wanted;
use crate::jobs::{DayList, Job};
use crate::pages::limits::{self, LimitDocument, WithdrawnDocument};
use crate::parts::ledger::PartHistory;
use crate::quantity::data::{figure, money};
use crate::quantity::{Unit, printed};

/// What `check --format json` prints.
#[derive(Debug, Serialize)]
pub struct CheckDocument {
    /// What is built.
    pub title: String,
    /// The latest day with a log.
    pub day: u32,
    /// How many errors.
    pub errors: usize,
    /// How many warnings.
    pub warnings: usize,
    /// Every value, by name; one in error is left out.
    pub values: BTreeMap<String, ValueDocument>,
    /// Every check once, targets included; those that were withdrawn are not among them.
    pub checks: Vec<CheckLine>,
    /// The checks that were withdrawn, each with the line that does it.
    pub withdrawn: Vec<WithdrawnDocument>,
    /// What is wrong.
    pub diagnostics: Vec<Finding>,
    /// Is all of this the book as it is now? If not, treat the vehicle as on hold.
    pub current: bool,
    /// Why it is not; empty where it is.
    pub not_current: Vec<UnreadDocument>,
}

/// A file or folder that is there and cannot be worked with as it is now.
#[derive(Debug, Serialize)]
pub struct UnreadDocument {
    /// Its path in the book.
    pub path: String,
    /// The line where the trouble begins.
    pub line: usize,
    /// What is wrong with it.
    pub why: String,
    /// `last text`, `partly` or `nothing`: what is used in its place.
    pub used: &'static str,
}

/// One value.
#[derive(Debug, Serialize)]
pub struct ValueDocument {
    /// The nominal value in `unit`; null where there is no reading.
    pub value: Option<f64>,
    /// The unit it is shown in; empty for a plain number.
    pub unit: String,
    /// The larger half-width of the worst-case spread, in `unit`.
    pub worst_case: f64,
    /// The larger half-width of the root-sum-square spread, in `unit`.
    pub rss: f64,
    /// `measured`, `worked`, `given` or `no reading`.
    pub state: &'static str,
    /// What it rests on: `measured`, `corrected`, `calculated`, `given`, `maker's figure` or
    /// `chosen`; null where there is no reading.
    pub basis: Option<&'static str>,
    /// The day the value last changed; null where there is none.
    pub day: Option<u32>,
}

/// One check with its latest verdict.
#[derive(Debug, Serialize)]
pub struct CheckLine {
    /// The name.
    pub name: String,
    /// The rule as written.
    pub rule: String,
    /// `in limits`, `out of limits`, `too close` or `no reading`.
    pub verdict: &'static str,
    /// From the nominal value to the nearest limit, less the spread, in `unit`; negative outside.
    pub margin: Option<f64>,
    /// The unit of the margin.
    pub unit: String,
    /// What its value rests on; null where there is no reading.
    pub basis: Option<&'static str>,
    /// The weakest that its limit rests on; null where the limit is written as a figure.
    pub limit_basis: Option<&'static str>,
    /// Does it end in `, hold`?
    pub hold: bool,
    /// The file of the rule.
    pub path: String,
    /// Its line.
    pub line: usize,
    /// What became of its limit, oldest first.
    pub limits: Vec<LimitDocument>,
    /// The margin in words, for people.
    #[serde(skip)]
    pub by: String,
    /// What the name stands at, as the book's figures are shown, for people.
    #[serde(skip)]
    pub now: String,
}

/// What `tally --format json` prints.
#[derive(Debug, Serialize)]
pub struct TallyDocument {
    /// The day it speaks of.
    pub day: u32,
    /// How many errors the book has; while there are any, the hold list may lack what could not be
    /// read.
    pub errors: usize,
    /// How the whole vehicle stands, in one sentence.
    pub overall: String,
    /// Each day with a log.
    pub days: Vec<DayDocument>,
    /// Every job, by id.
    pub jobs: BTreeMap<String, JobDocument>,
    /// Every part, by id.
    pub parts: BTreeMap<String, PartDocument>,
    /// The crew on the latest day, by name.
    pub people: BTreeMap<String, PersonDocument>,
    /// The hold list.
    pub hold: Vec<HoldDocument>,
    /// What happened against the hold list, in the order of the book: it stays, whatever is cleared
    /// later.
    pub hold_history: Vec<HoldEventDocument>,
    /// What is spent.
    pub money: MoneyDocument,
    /// What is fitted.
    pub mass: MassDocument,
    /// When it will be done.
    pub forecast: ForecastDocument,
    /// Is all of this the book as it is now? If not, treat the vehicle as on hold.
    pub current: bool,
    /// Why it is not; empty where it is.
    pub not_current: Vec<UnreadDocument>,
}

/// One day's balance.
#[derive(Debug, Serialize)]
pub struct DayDocument {
    /// The day.
    pub day: u32,
    /// On the list that morning.
    pub planned: usize,
    /// First mentioned or opened again that day.
    pub added: usize,
    /// Planned for later, done or dropped that day.
    pub early: usize,
    /// Done.
    pub done: usize,
    /// Carried on.
    pub carried: usize,
    /// Dropped.
    pub dropped: usize,
    /// Hours of work left that morning of the jobs on the list.
    pub hours_planned: f64,
    /// Hours written that day.
    pub hours_spent: f64,
}

/// One job.
#[derive(Debug, Serialize)]
pub struct JobDocument {
    /// Its title, as written.
    pub title: String,
    /// `planned`, `done`, `carried`, `held up` or `dropped`.
    pub state: &'static str,
    /// The day it was planned for; null where it was added.
    pub planned_day: Option<u32>,
    /// The day it was done.
    pub done_day: Option<u32>,
    /// Days late.
    pub slipped: u32,
    /// `takes`, in hours.
    pub hours_planned: f64,
    /// `took`, in hours.
    pub hours_spent: f64,
    /// Hours of work left; null where nobody said how long it takes.
    pub hours_to_go: Option<f64>,
}

/// One of the crew on the latest day.
#[derive(Debug, Serialize)]
pub struct PersonDocument {
    /// Hours of that day; 0 for somebody who was not there.
    pub hours_there: f64,
    /// Hours of work on the list of that morning.
    pub hours_of_work: f64,
}

/// One part.
#[derive(Debug, Serialize)]
pub struct PartDocument {
    /// `needed`, `ordered`, `in`, `fitted`, `off`, `sent back` or `scrapped`.
    pub state: &'static str,
    /// The day it came to be so.
    pub since_day: Option<u32>,
    /// The day it is to come in.
    pub due_day: Option<u32>,
    /// Is it wanted and not in, and its day is over?
    pub late: bool,
    /// The last day to order it on, while it has to be ordered and its lead time is known.
    pub order_by_day: Option<u32>,
    /// Is it wanted and not here?
    pub wanted: bool,
    /// The day it is wanted.
    pub wanted_day: Option<u32>,
    /// Days from the order to the day it is in; null where they are not known.
    pub lead_days: Option<u32>,
}

/// One line of the hold list.
#[derive(Debug, Serialize)]
pub struct HoldDocument {
    /// `temp`, `check` or `job`.
    pub kind: &'static str,
    /// The job or the value.
    pub id: String,
    /// What stands against it.
    pub why: String,
}

/// Something that happened against the hold list.
#[derive(Debug, Serialize)]
pub struct HoldEventDocument {
    /// `moved`, `eased` or `withdrawn`.
    pub kind: &'static str,
    /// The job that moved the vehicle, or the value whose limit was eased or withdrawn.
    pub id: String,
    /// The day.
    pub day: u32,
    /// `moved on day 9 while 1 line was on hold`
    pub words: String,
    /// Who had the job, or who stands for the easing or withdrawal.
    pub by: Vec<String>,
    /// The crew's reason; null where there is none.
    pub why: Option<String>,
    /// How many lines were on hold then.
    pub open: usize,
    /// The first of those lines.
    pub lines: Vec<HeldDocument>,
    /// The file of the line that says so.
    pub path: String,
    /// That line.
    pub line: usize,
}

/// A line that was on hold then.
#[derive(Debug, Serialize)]
pub struct HeldDocument {
    /// `temp`, `check` or `job`.
    pub kind: &'static str,
    /// The job or the value.
    pub id: String,
    /// Why it was on the list.
    pub why: String,
    /// Why it counts: `open since the evening before`, `opened that day` or `cleared only below
    /// that line`.
    pub stood: &'static str,
}

/// Money.
#[derive(Debug, Serialize)]
pub struct MoneyDocument {
    /// ISO 4217 code.
    pub currency: String,
    /// `8286.00`
    pub spent: String,
}

/// The forecast at the end of the latest day.
#[derive(Debug, Serialize)]
pub struct ForecastDocument {
    /// The last day allowed; null where it is not known.
    pub deadline_day: Option<u32>,
    /// The day by whose end it is done; null where the last day or the crew is not known.
    pub finish_day: Option<FinishDocument>,
    /// The share of runs that are done by the deadline; null where that is not known.
    pub on_time: Option<f64>,
}

/// The day by whose end it is done, in one, five and nine runs of ten.
#[derive(Debug, Serialize)]
pub struct FinishDocument {
    /// One in ten.
    pub p10: u32,
    /// Five in ten.
    pub p50: u32,
    /// Nine in ten.
    pub p90: u32,
}

/// Mass.
#[derive(Debug, Serialize)]
pub struct MassDocument {
    /// Of what is fitted, in kg.
    pub fitted_kg: f64,
}

/// The check document of a book.
pub fn check(build: &Build) -> CheckDocument {
    CheckDocument {
        title: build.book.sheet.title.clone(),
        day: build.day(),
        errors: build.count(Severity::Error),
        warnings: build.count(Severity::Warning),
        values: values(&build.worked),
        checks: build
            .worked
            .checks
            .iter()
            .filter(|check| !check.withdrawn)
            .map(|check| check_line(build, check))
            .collect(),
        withdrawn: limits::withdrawn(build),
        diagnostics: json::all(&build.diagnostics, &build.sources),
        current: build.current.is_current(),
        not_current: not_current(build),
    }
}

fn not_current(build: &Build) -> Vec<UnreadDocument> {
    let document = |unread: &Unread| UnreadDocument {
        path: unread.path.clone(),
        line: build.sources.position(unread.at).line,
        why: unread.why.clone(),
        used: unread.used.word(),
    };
    build.current.unread.iter().map(document).collect()
}

/// The names that the crew gave to values: no part's figures, and none whose line is in error.
pub(crate) fn own_names(worked: &Results) -> impl Iterator<Item = (&str, NameId)> {
    worked.names.iter().filter(|(text, id)| {
        let story = &worked.values[id.index()];
        !text.contains('.')
            && !story.broken
            && (!story.moments.is_empty() || !story.checks.is_empty())
    })
}

fn values(worked: &Results) -> BTreeMap<String, ValueDocument> {
    own_names(worked)
        .filter_map(|(text, id)| Some((text.to_owned(), value(worked.latest(id))?)))
        .collect()
}

/// A name's document; `None` where it is in error.
fn value(moment: Option<&Version>) -> Option<ValueDocument> {
    let silent = |unit: String| ValueDocument {
        value: None,
        unit,
        worst_case: 0.0,
        rss: 0.0,
        state: "no reading",
        basis: None,
        day: None,
    };
    let Some(moment) = moment else {
        return Some(silent(String::new()));
    };
    match &moment.known {
        Known::Broken => None,
        Known::NoReading(_) => Some(silent(moment.unit.name.clone())),
        Known::Value(value) => {
            let unit = &moment.unit;
            Some(ValueDocument {
                value: Some(figure(unit.reading(value.nominal))),
                unit: unit.name.clone(),
                worst_case: figure(unit.step(value.worst_case().half_width())),
                rss: figure(unit.step(value.rss().half_width())),
                state: moment.defined.state.word(),
                basis: Some(moment.defined.basis().word()),
                day: Some(moment.day),
            })
        }
    }
}

fn check_line(build: &Build, check: &Check) -> CheckLine {
    let judgement = check.latest();
    let unit = judgement.map_or_else(Unit::none, |judgement| judgement.unit.clone());
    CheckLine {
        by: judgement.map_or_else(String::new, Judgement::margin_words),
        now: judged_value(build, check),
        name: build.worked.text(check.name).to_owned(),
        rule: check.limit().to_owned(),
        limits: limits::documents(build, check, u32::MAX),
        verdict: judgement
            .map_or(Verdict::NoReading, |judgement| judgement.verdict)
            .words(),
        margin: judgement.and_then(Judgement::margin_figure),
        unit: unit.name,
        basis: build.worked.basis(check.name, build.day()).map(Basis::word),
        limit_basis: build
            .worked
            .limit_basis(&check.rule, build.day())
            .map(Basis::word),
        hold: check.hold,
        path: build.sources.path(check.rule.at.file).to_owned(),
        line: build.sources.position(check.rule.at).line,
    }
}

/// The tally document at the end of the latest day.
pub fn tally(build: &Build) -> TallyDocument {
    let day = build.day();
    let hold = build.hold.lines.iter();
    TallyDocument {
        day,
        errors: build.count(Severity::Error),
        overall: crate::pages::overall::overall(build).sentence(),
        days: build
            .jobs
            .days
            .iter()
            .map(|list| day_document(list))
            .collect(),
        jobs: build
            .jobs
            .all()
            .map(|job| (job.id.clone(), job_document(job)))
            .collect(),
        parts: build
            .ledger
            .parts
            .iter()
            .map(|(id, part)| (id.clone(), part_document(build, id, part)))
            .collect(),
        people: people(build),
        hold: hold
            .map(|line| HoldDocument {
                kind: line.kind.word(),
                why: printed::plain_marks(&line.why),
                id: line.id.clone(),
            })
            .collect(),
        hold_history: build
            .hold_history
            .iter()
            .map(|event| hold_event(build, event))
            .collect(),
        money: MoneyDocument {
            currency: build.book.sheet.money.clone(),
            spent: money(build.ledger.spent.total),
        },
        mass: MassDocument {
            fitted_kg: figure(build.ledger.fitted.kg),
        },
        forecast: forecast(build),
        current: build.current.is_current(),
        not_current: not_current(build),
    }
}

fn people(build: &Build) -> BTreeMap<String, PersonDocument> {
    let hands = hands::on_day(&build.book, &build.jobs, build.day()).into_iter();
    let person = |hands: Hands| {
        let person = PersonDocument {
            hours_there: figure(hands.there),
            hours_of_work: figure(hands.work),
        };
        (hands.name, person)
    };
    hands.map(person).collect()
}

fn hold_event(build: &Build, event: &HoldEvent) -> HoldEventDocument {
    let held = |line: &HeldLine| HeldDocument {
        kind: line.kind.word(),
        id: line.id.clone(),
        why: line.why.clone(),
        stood: line.stood.words(),
    };
    HoldEventDocument {
        kind: event.kind.word(),
        id: event.id.clone(),
        day: event.day,
        words: event.words(),
        by: event.by.clone(),
        why: event.why.clone(),
        open: event.open(),
        lines: event.lines.iter().map(held).collect(),
        path: build.sources.path(event.at.file).to_owned(),
        line: build.sources.position(event.at).line,
    }
}

fn forecast(build: &Build) -> ForecastDocument {
    let outlook = build.ahead.known.then_some(&build.ahead.outlook);
    ForecastDocument {
        deadline_day: build.book.sheet.days,
        finish_day: outlook.map(|outlook| FinishDocument {
            p10: outlook.p10,
            p50: outlook.p50,
            p90: outlook.p90,
        }),
        on_time: outlook.map(|outlook| figure(outlook.on_time)),
    }
}

fn day_document(list: &DayList) -> DayDocument {
    DayDocument {
        day: list.day,
        planned: list.planned,
        added: list.added,
        early: list.early,
        done: list.done,
        carried: list.carried,
        dropped: list.dropped,
        hours_planned: figure(list.hours_planned),
        hours_spent: figure(list.hours_spent),
    }
}

fn job_document(job: &Job) -> JobDocument {
    JobDocument {
        title: job.title.clone(),
        state: job.state.words(),
        planned_day: job.planned_day,
        done_day: job.done_day,
        slipped: job.slipped,
        hours_planned: figure(job.takes.unwrap_or(0.0)),
        hours_spent: figure(job.hours_spent),
        hours_to_go: job.hours_to_go().map(figure),
    }
}

fn part_document(build: &Build, id: &str, part: &PartHistory) -> PartDocument {
    let wanted = build.ahead.orders.of(id);
    PartDocument {
        state: part.state.words(),
        since_day: part.since_day,
        due_day: part.due_day,
        late: wanted.is_some_and(|wanted| wanted.is_late(build.day())),
        order_by_day: wanted.and_then(Wanted::order_by_day),
        wanted: wanted.is_some(),
        wanted_day: wanted.and_then(|wanted| wanted.wanted_day),
        lead_days: part.lead,
    }
}

/// What a name stands at now, with the spread that checks are judged with, as text.
pub fn check_value(build: &Build, name: &str) -> String {
    let (worked, judge) = (&build.worked, build.book.sheet.judge);
    let moment = worked
        .names
        .find(name)
        .and_then(|id| Some((id, worked.latest(id)?)));
    let shown = |(id, moment)| crate::pages::words::moment(worked, id, moment, build.day(), judge);
    moment.map_or_else(|| "no reading".to_owned(), shown)
}

/// The same for a check, with as many digits as its verdict needs.
fn judged_value(build: &Build, check: &Check) -> String {
    let in_full = check.latest().and_then(|judged| {
        crate::pages::verdict_digits::in_full(
            judged,
            build.worked.shown_by(check.name, build.book.sheet.judge),
        )
    });
    in_full.unwrap_or_else(|| check_value(build, build.worked.text(check.name)))
}
