//! A book of sums blocks, worked out as a crew would get it.
//!
//! In: the text of each day's sums blocks, blocks set apart by a blank line. Out: what every name
//! came to, in the unit it is shown in. Nothing inside the program is called but `work_out`.

// Each suite uses its own part of this.
#![allow(dead_code)]

use shimbook::book::{Block, Book, BuildSheet, CrewMember, DayLog, Entry, Judge, Line, UnitSystem};
use shimbook::calc::Figures;
use shimbook::calc::{Results, Verdict, Version, work_out};
use shimbook::diagnostics::Diagnostic;
use shimbook::markdown::Prose;
use shimbook::quantity::{Sides, Value};
use shimbook::source::{FileId, Sources, Span};

/// A worked book, and what was said about it.
pub struct Bench {
    pub worked: Results,
    pub diagnostics: Vec<Diagnostic>,
}

/// Works out a book that judges by the worst case.
pub fn work(days: &[&str]) -> Bench {
    work_judged_by(Judge::WorstCase, days)
}

/// Works out a book.
pub fn work_judged_by(judge: Judge, days: &[&str]) -> Bench {
    let mut sources = Sources::default();
    let sheet = build_sheet(judge, sources.add("build-sheet.yaml", ""));
    let days = days
        .iter()
        .zip(1..)
        .map(|(text, day)| day_log(&mut sources, day, text))
        .collect();
    let book = Book::of(sheet, days);
    let (worked, diagnostics) = work_out(&book, &Figures::default());
    Bench {
        worked,
        diagnostics,
    }
}

fn build_sheet(judge: Judge, file: FileId) -> BuildSheet {
    BuildSheet {
        file,
        title: "Bench".into(),
        dates: Vec::new(),
        start: Some(jiff::civil::date(2031, 5, 2)),
        days: Some(8),
        crew_known: true,
        crew: vec![CrewMember {
            name: "Ines".into(),
            hours: 8.0,
        }],
        units: UnitSystem::Metric,
        money: "EUR".into(),
        judge,
        targets: Vec::new(),
        audiences: std::collections::BTreeMap::new(),
    }
}

fn day_log(sources: &mut Sources, day: u32, text: &str) -> DayLog {
    let file = sources.add(format!("days/day-{day:02}.md"), text);
    // The sources keep text in one form (line ends, byte-order mark): spans are those of the text
    // as kept.
    let text = sources.text(file).to_owned();
    let mut entries = Vec::new();
    let mut at = 0;
    for block in text.split("\n\n") {
        let span = Span::new(file, at..at + block.len());
        entries.push(Entry::Sums(Block {
            span,
            lines: lines(file, at, block),
        }));
        at += block.len() + 2;
    }
    DayLog {
        file,
        stem: format!("day-{day:02}"),
        day,
        date_why: None,
        date: Some(jiff::civil::date(2031, 5, 2)),
        crew: vec!["Ines".into()],
        title: None,
        entries,
        plain_boxes: Vec::new(),
        prose: Prose::default(),
    }
}

fn lines(file: FileId, mut at: usize, block: &str) -> Vec<Line> {
    let mut lines = Vec::new();
    for line in block.split('\n') {
        if !line.trim().is_empty() {
            let from = at + line.len() - line.trim_start().len();
            lines.push(Line {
                text: line.trim().into(),
                span: Span::new(file, from..from + line.trim().len()),
            });
        }
        at += line.len() + 1;
    }
    lines
}

impl Bench {
    /// The latest moment of a name.
    pub fn moment(&self, name: &str) -> &Version {
        let id = self
            .worked
            .names
            .find(name)
            .unwrap_or_else(|| panic!("nothing is called {name}"));
        self.worked
            .latest(id)
            .unwrap_or_else(|| panic!("{name} never came to anything: {:?}", self.said()))
    }

    /// What a name came to, in SI.
    pub fn value(&self, name: &str) -> &Value {
        self.moment(name)
            .value()
            .unwrap_or_else(|| panic!("{name} has no value: {:?}", self.said()))
    }

    /// What a name came to, in the unit it is shown in.
    pub fn shown(&self, name: &str) -> f64 {
        self.moment(name).unit.reading(self.value(name).nominal)
    }

    /// Its worst-case spread, in the unit it is shown in.
    pub fn worst(&self, name: &str) -> Sides {
        self.in_unit(name, self.value(name).worst_case())
    }

    /// Its root-sum-square spread, in the unit it is shown in.
    pub fn rss(&self, name: &str) -> Sides {
        self.in_unit(name, self.value(name).rss())
    }

    fn in_unit(&self, name: &str, sides: Sides) -> Sides {
        let unit = &self.moment(name).unit;
        Sides {
            up: unit.step(sides.up),
            down: unit.step(sides.down),
        }
    }

    /// Has a name a value?
    pub fn has_value(&self, name: &str) -> bool {
        let moment = self
            .worked
            .names
            .find(name)
            .and_then(|id| self.worked.latest(id));
        moment.is_some_and(|moment| moment.value().is_some())
    }

    /// The verdict on a name's only check.
    pub fn verdict(&self, name: &str) -> Verdict {
        let check = self
            .worked
            .checks
            .iter()
            .find(|check| self.worked.text(check.name) == name);
        check
            .and_then(|check| check.latest())
            .map_or_else(|| panic!("{name} was not judged"), |last| last.verdict)
    }

    /// What was said, in short.
    pub fn said(&self) -> Vec<String> {
        self.diagnostics
            .iter()
            .map(|d| format!("{}: {}", d.slug.word(), d.message))
            .collect()
    }
}
