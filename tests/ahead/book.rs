//! Books in a few words.

use shimbook::build::{Build, compile};
use shimbook::diagnostics::Diagnostic;
use shimbook::forecast::{self, Forecast, Pace, Slot};
use shimbook::io::BookFiles;

/// A book in texts; jobs are list items, parts YAML, a log a text of list items and blocks.
#[derive(Clone, Debug)]
pub struct Written {
    pub days: u32,
    pub crew: Vec<(&'static str, f64)>,
    pub plan: String,
    pub parts: String,
    pub logs: Vec<String>,
}

impl Written {
    /// A plan of items, all on day 1, for one person of 8 hours.
    pub fn plan(items: &str) -> Self {
        let plan = format!("## Day 1\n\n{items}\n");
        Self {
            days: 8,
            crew: vec![("Ines", 8.0)],
            plan,
            parts: String::new(),
            logs: Vec::new(),
        }
    }

    pub fn crew(mut self, crew: &[(&'static str, f64)]) -> Self {
        self.crew = crew.to_vec();
        self
    }

    pub fn days(mut self, days: u32) -> Self {
        self.days = days;
        self
    }

    pub fn parts(mut self, parts: &str) -> Self {
        self.parts = parts.into();
        self
    }

    /// The log of the next day.
    pub fn log(mut self, text: &str) -> Self {
        self.logs.push(text.into());
        self
    }

    pub fn build(&self) -> Build {
        let crew: Vec<String> = self
            .crew
            .iter()
            .map(|(name, hours)| format!("  - {{name: {name}, hours: {hours}}}\n"))
            .collect();
        let sheet = format!(
            "title: Kittiwake\nstart: 2031-05-02\ndays: {}\ncrew:\n{}",
            self.days,
            crew.concat()
        );
        let mut texts = vec![
            ("build-sheet.yaml".to_owned(), sheet),
            ("plan.md".to_owned(), self.plan.clone()),
            ("parts.yaml".to_owned(), self.parts.clone()),
        ];
        for (log, day) in self.logs.iter().zip(1..) {
            texts.push((
                format!("days/day-{day:02}.md"),
                format!("---\nday: {day}\n---\n\n{log}\n"),
            ));
        }
        compile(BookFiles::from_texts(
            texts
                .iter()
                .map(|(path, text)| (path.as_str(), text.as_str())),
        ))
    }

    pub fn look(&self) -> (Forecast, Vec<Diagnostic>) {
        let build = self.build();
        forecast::look(&build.book, &build.jobs, &build.ledger)
    }

    pub fn forecast(&self) -> Forecast {
        self.look().0
    }

    pub fn forecast_at(&self, pace: Pace) -> Forecast {
        let build = self.build();
        forecast::look_at_pace(&build.book, &build.jobs, &build.ledger, pace).0
    }
}

/// The slot of a job.
pub fn slot<'a>(forecast: &'a Forecast, job: &str) -> &'a Slot {
    forecast
        .schedule
        .slots
        .iter()
        .find(|slot| slot.job == job)
        .expect("the job is open")
}
