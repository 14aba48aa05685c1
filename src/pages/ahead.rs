//! What is ahead, as pages show it: when it will be done, why not sooner, what would help, what to
//! order.

use std::collections::BTreeMap;
use std::sync::Arc;

use rayon::prelude::*;

use super::Link;
use super::layout::{Layout, SHORT_BOOK};
use super::words;
use crate::book::{Book, EarlierBook};
use crate::build::Build;
use crate::diagnostics::Severity;
use crate::drawings::{self, Finish};
use crate::forecast::{self, Danger, Forecast, Help, Lever, Pusher};
use crate::jobs::orders::Listed;
use crate::jobs::{self, JobList, JobState};
use crate::parts::ledger;
use crate::quantity::format;
use crate::view_model;

view_model! {
    /// The evening's look ahead.
    pub struct AheadView {
        /// `Done by day 8 in 62 of 100 runs; most likely day 8, between day 7 and day 10.`
        pub words: String => Public,
        /// Is the deadline in danger?
        pub in_danger: bool => Public,
        /// The finish on the scale of days, as SVG.
        pub drawing: String => Drawing,
        /// Why it may not be done in time.
        pub dangers: Vec<DangerView> => View,
        /// What would help most.
        pub helps: Vec<HelpView> => View,
        /// How the crew's hours compare with its plans.
        pub pace: String => Public,
    }
}

view_model! {
    /// Why it may not be done in time.
    pub struct DangerView {
        /// The job.
        pub link: Option<Link> => View,
        /// What of it.
        pub words: String => Named,
    }
}

view_model! {
    /// Something that would help.
    pub struct HelpView {
        /// The job or the part.
        pub link: Link => View,
        /// `half the hours: 0.6 days sooner`
        pub words: String => Public,
    }
}

view_model! {
    /// A part to be ordered, or at risk.
    pub struct OrderRow {
        /// The part.
        pub part: Link => View,
        /// From whom.
        pub from: String => Supplier,
        /// `order today: day 3 is the last day for it`
        pub words: String => Public,
        /// Is it past its day?
        pub late: bool => Public,
        /// The job that wants it first.
        pub job: Option<Link> => View,
    }
}

/// What was ahead on the evenings, by day: in a short book on every one, in a longer one on the
/// latest only, for each evening costs a forecast of its own.
#[derive(Debug, Default)]
pub struct Evenings(BTreeMap<u32, Arc<Forecast>>);

/// The evenings of a former build of the same book; an evening is as it was while the logs up to it
/// are.
#[derive(Debug, Default)]
pub struct KeptEvenings {
    before: EarlierBook,
    /// By how many logs were written.
    forecasts: BTreeMap<usize, Arc<Forecast>>,
}

impl Evenings {
    /// Looks back at the evenings of a build.
    pub fn of(build: &Build) -> Self {
        Self::again(build, &mut KeptEvenings::default())
    }

    /// The same, with the evenings of a former build where they are still right.
    pub fn again(build: &Build, kept: &mut KeptEvenings) -> Self {
        let same = kept.before.same_days(&build.book).unwrap_or(0);
        kept.forecasts.retain(|logs, _| *logs <= same);
        let logs = build.book.days.len();
        let earlier = if logs <= SHORT_BOOK as usize {
            1..logs
        } else {
            0..0
        };
        let wanting: Vec<usize> = earlier
            .filter(|logs| !kept.forecasts.contains_key(logs))
            .collect();
        let looked = wanting
            .into_par_iter()
            .map(|logs| (logs, Arc::new(as_of(&build.book, logs))));
        kept.forecasts.extend(looked.collect::<Vec<_>>());
        let earlier = kept
            .forecasts
            .range(..logs)
            .map(|(_, forecast)| (forecast.day, Arc::clone(forecast)));
        Self(
            earlier
                .chain([(build.ahead.day, Arc::clone(&build.ahead))])
                .collect(),
        )
    }

    /// What was ahead on the evening of a day, where it was looked at.
    pub(super) fn on(&self, day: u32) -> Option<&Forecast> {
        self.0.get(&day).map(|forecast| &**forecast)
    }
}

/// The look ahead when so many logs were written.
fn as_of(book: &Book, logs: usize) -> Forecast {
    let then = Book {
        sheet: Arc::clone(&book.sheet),
        plan: Arc::clone(&book.plan),
        plan_boxes: Arc::clone(&book.plan_boxes),
        plan_file: book.plan_file,
        parts: Arc::clone(&book.parts),
        days: book.days[..logs].to_vec(),
    };
    let (ledger, _) = ledger::keep(&then);
    let (jobs, _) = jobs::work_through(&then, &ledger);
    forecast::look(&then, &jobs, &ledger).0
}

/// The look ahead from the evening of a day; `None` where none was taken, or nothing is planned at
/// all.
pub(super) fn view(layout: &Layout, day: u32) -> Option<AheadView> {
    let forecast = layout.evenings.on(day)?;
    if layout.build.jobs.jobs.is_empty() {
        return None;
    }
    let outlook = &forecast.outlook;
    let finish = forecast
        .deadline
        .filter(|_| forecast.known && outlook.runs > 0)
        .map(|deadline| Finish {
            today: day,
            deadline,
            p10: outlook.p10,
            p50: outlook.p50,
            p90: outlook.p90,
        });
    let helps = if forecast.known {
        outlook.helps.as_slice()
    } else {
        &[]
    };
    Some(AheadView {
        words: in_words(forecast, &layout.build.jobs),
        in_danger: !forecast.danger.is_empty(),
        drawing: finish.map_or_else(String::new, |finish| drawings::finish(finish).svg),
        dangers: forecast
            .danger
            .iter()
            .map(|danger| danger_view(layout, danger))
            .collect(),
        helps: helps.iter().map(|help| help_view(layout, help)).collect(),
        pace: pace(forecast),
    })
}

/// The outlook in a sentence.
pub fn in_words(forecast: &Forecast, jobs: &JobList) -> String {
    let outlook = &forecast.outlook;
    let Some(deadline) = forecast.deadline.filter(|_| forecast.known) else {
        return "When it will be done is not known: the days or the crew of the build sheet cannot be read.".to_owned();
    };
    if outlook.runs == 0 {
        return nothing_open(deadline, outlook.p50, jobs);
    }
    let chance = (100.0 * outlook.on_time).round();
    let span = if outlook.p10 == outlook.p90 {
        String::new()
    } else {
        format!(", between day {} and day {}", outlook.p10, outlook.p90)
    };
    format!(
        "Done by day {deadline} in {chance} of 100 runs; most likely by day {}{span}.",
        outlook.p50
    )
}

/// The words where no job is open. That is less than finished: what is on hold, and what was
/// dropped, stands elsewhere.
fn nothing_open(deadline: u32, since: u32, jobs: &JobList) -> String {
    let when = match (since.checked_sub(deadline), deadline.saturating_sub(since)) {
        (Some(0), _) => ", the last day allowed".to_owned(),
        (Some(over), _) => format!(
            ", {} after the last day allowed",
            words::count(over as usize, "day", "days")
        ),
        (None, left) => format!(
            ", {} before the last day allowed",
            words::count(left as usize, "day", "days")
        ),
    };
    let dropped = jobs
        .all()
        .filter(|job| job.state == JobState::Dropped)
        .count();
    let dropped = match dropped {
        0 => String::new(),
        1 => format!("; 1 of {} jobs was dropped", jobs.jobs.len()),
        many => format!("; {many} of {} jobs were dropped", jobs.jobs.len()),
    };
    format!("No job is open since day {since}{when}{dropped}.")
}

/// Its job linked by its title, and the rest of the sentence.
fn danger_view(layout: &Layout, danger: &Danger) -> DangerView {
    let (link, words) = match &danger.what {
        Pusher::Job(id) => (Some(layout.job_link(id)), danger.says.clone()),
        Pusher::Part { id, job } => {
            let words = format!("waits for {}, {}", layout.part_link(id).text, danger.says);
            (Some(layout.job_link(job)), words)
        }
        Pusher::Person(name) => (None, format!("{name} {}", danger.says)),
    };
    DangerView { link, words }
}

fn pace(forecast: &Forecast) -> String {
    let pace = &forecast.pace;
    if pace.jobs == 0 {
        return "No job with planned and spent hours is done yet: reckoned as planned.".to_owned();
    }
    let jobs = words::count(pace.jobs, "done job", "done jobs");
    format!(
        "Learnt from {jobs}: work takes {} times what was planned.",
        format::plain(pace.middle(), 2)
    )
}

fn help_view(layout: &Layout, help: &Help) -> HelpView {
    let sooner = sooner(help.days);
    match &help.lever {
        Lever::Job(job) => HelpView {
            link: layout.job_link(job),
            words: format!("in half the hours: {sooner}"),
        },
        Lever::Part(part) => HelpView {
            link: layout.part_link(part),
            words: format!("here tomorrow: {sooner}"),
        },
    }
}

/// How much sooner, to the half day: a forecast tells no more.
fn sooner(days: f64) -> String {
    match (days * 2.0).round() as u32 {
        0 => "less than half a day sooner".to_owned(),
        1 => "about half a day sooner".to_owned(),
        2 => "about 1 day sooner".to_owned(),
        halves => format!(
            "about {} days sooner",
            format::plain(f64::from(halves) / 2.0, 3)
        ),
    }
}

/// What has to be ordered by the evening of a day, and what is late or at risk.
pub(super) fn orders(layout: &Layout, day: u32) -> Vec<OrderRow> {
    let listed = layout
        .evenings
        .on(day)
        .map_or_else(Vec::new, |forecast| forecast.orders.on(day));
    listed.iter().map(|listed| row(layout, listed)).collect()
}

/// The sentence for an evening on which nothing is listed; empty if something is.
pub(super) fn no_orders(layout: &Layout, day: u32) -> &'static str {
    let has_errors = layout.build.count(Severity::Error) > 0;
    layout
        .evenings
        .on(day)
        .map_or("", |forecast| forecast.orders.nothing(day, has_errors))
}

fn row(layout: &Layout, listed: &Listed) -> OrderRow {
    let wanted = listed.wanted;
    let part = layout.build.book.parts.get(&wanted.part);
    OrderRow {
        part: layout.part_link(&wanted.part),
        from: part.and_then(|part| part.from.clone()).unwrap_or_default(),
        words: listed.words(),
        late: listed.is_late(),
        job: wanted.job.as_ref().map(|job| layout.job_link(job)),
    }
}
