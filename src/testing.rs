//! Books by hand for the tests of this folder.
//!
//! In: a text of few words. Out: a [`Book`] whose spans lie in that text. The lines:
//!
//! ```text
//! part pump bought lead 2 need 3 mass 4 cost 10.00 from Tern
//! plan 1
//! [ ] Title {id, by Ines + Odd, takes 3, follows a + b}
//! day 1
//! [x] {id, took 4}
//! event pump: ordered, due 4, cost 12.00, a remark
//! ```
//!
//! `event` lines that follow each other are one `parts` block.

use std::collections::BTreeMap;
use std::ops::Range;
use std::sync::Arc;

use crate::book::{
    Book, BuildSheet, Caution, DayLog, Entry, EventKind, Judge, Line, Mention, Part, PartEvent,
    PartsBlock, PartsLine, Planned, Supplied, UnitSystem,
};
use crate::markdown::Prose;
use crate::quantity::{Literal, Units};
use crate::source::{FileId, Sources, Span, Spanned};

/// Reads the few words above.
pub fn write(text: &str) -> Book {
    let mut sources = Sources::default();
    let file = sources.add("book.txt", text);
    let mut pen = Pen {
        file,
        book: empty(file),
        planning: None,
    };
    let mut at = 0;
    for line in text.split('\n') {
        pen.line(line, at);
        at += line.len() + 1;
    }
    pen.book
}

fn empty(file: FileId) -> Book {
    let sheet = BuildSheet {
        file,
        title: "Kittiwake".into(),
        dates: Vec::new(),
        start: Some(jiff::civil::date(2031, 5, 2)),
        days: Some(8),
        crew: Vec::new(),
        crew_known: true,
        units: UnitSystem::Metric,
        money: "EUR".into(),
        judge: Judge::WorstCase,
        targets: Vec::new(),
        audiences: BTreeMap::new(),
    };
    Book::of(sheet, Vec::new())
}

struct Pen {
    file: FileId,
    book: Book,
    planning: Option<u32>,
}

impl Pen {
    fn line(&mut self, line: &str, at: usize) {
        let indent = line.len() - line.trim_start().len();
        let (line, at) = (line.trim(), at + indent);
        if let Some(day) = line.strip_prefix("plan ") {
            self.planning = day.parse().ok();
        } else if let Some(day) = line.strip_prefix("day ") {
            self.planning = None;
            self.day(day.parse().unwrap());
        } else if let Some(part) = line.strip_prefix("part ") {
            self.part(part, at + 5);
        } else if let Some(event) = line.strip_prefix("event ") {
            self.event(event, at + 6);
        } else if line.starts_with('[') {
            self.mention(line, at);
        }
    }

    fn span(&self, range: Range<usize>) -> Span {
        Span::new(self.file, range)
    }

    fn day(&mut self, day: u32) {
        let log = DayLog {
            file: self.file,
            stem: format!("day-{day:02}"),
            day,
            date: self.book.sheet.start,
            date_why: None,
            crew: Vec::new(),
            title: None,
            entries: Vec::new(),
            plain_boxes: Vec::new(),
            prose: Prose::default(),
        };
        self.book.days.push(Arc::new(log));
    }

    /// The log that was begun last; nobody else has it yet.
    fn log(&mut self) -> Option<&mut DayLog> {
        self.book.days.last_mut().and_then(Arc::get_mut)
    }

    fn mention(&mut self, line: &str, at: usize) {
        let mention = mention(line, at, self.file);
        match self.planning {
            Some(day) => Arc::make_mut(&mut self.book.plan).push(Planned { day, mention }),
            None => self
                .log()
                .expect("a `plan` or a `day` before any job")
                .entries
                .push(Entry::Mention(mention)),
        }
    }

    fn part(&mut self, line: &str, at: usize) {
        let mut words = line.split(' ');
        let id = words.next().unwrap();
        let span = self.span(at..at + id.len());
        let mut part = Part {
            id: Spanned::new(id.into(), span),
            what: id.into(),
            from: None,
            number: None,
            serial: None,
            mass: None,
            cost: None,
            supplied: Supplied::Bought,
            lead: None,
            need: None,
            ratings: BTreeMap::new(),
        };
        while let Some(word) = words.next() {
            let mut next = || words.next().unwrap();
            match word {
                "given" => part.supplied = Supplied::Given,
                "lead" => part.lead = next().parse().ok(),
                "need" => part.need = next().parse().ok(),
                "mass" => part.mass = Some(Spanned::new(kg(next()), span)),
                "cost" => part.cost = Some(Spanned::new(next().parse().unwrap(), span)),
                "from" => part.from = Some(next().into()),
                "power" => drop(
                    part.ratings
                        .insert("power".into(), Spanned::new(kg(next()), span)),
                ),
                other => assert_eq!(other, "bought"),
            }
        }
        Arc::make_mut(&mut self.book.parts).insert(id.into(), part);
    }

    fn event(&mut self, text: &str, at: usize) {
        let span = self.span(at..at + text.len());
        let (id, rest) = text.split_once(": ").unwrap();
        let mut pieces = rest.split(", ");
        let words = pieces.next().unwrap();
        let what = EventKind::ALL
            .into_iter()
            .find(|kind| kind.words() == words)
            .unwrap();
        let mut event = PartEvent {
            id: Spanned::new(id.into(), self.span(at..at + id.len())),
            what: Spanned::new(what, span),
            due: None,
            cost: None,
            remark: None,
        };
        for piece in pieces {
            match piece.split_once(' ') {
                Some(("due", day)) => event.due = day.parse().ok(),
                Some(("cost", cost)) => {
                    event.cost = Some(Spanned::new(cost.parse().unwrap(), span));
                }
                _ => event.remark = Some(piece.into()),
            }
        }
        let line = PartsLine {
            line: Line {
                text: text.into(),
                span,
            },
            event: Some(event),
        };
        let entries = &mut self.log().unwrap().entries;
        match entries.last_mut() {
            Some(Entry::Parts(block)) => block.lines.push(line),
            _ => entries.push(Entry::Parts(PartsBlock {
                span,
                lines: vec![line],
            })),
        }
    }
}

fn kg(text: &str) -> Literal {
    Literal::read(&format!("{text} kg"), &Units::new("EUR")).unwrap()
}

fn mention(line: &str, at: usize, file: FileId) -> Mention {
    let open = line.rfind('{').unwrap();
    let title = line[3..open].trim();
    let tail = line[open + 1..].trim_end_matches('}');
    let whole = Span::new(file, at..at + line.len());
    let mut pieces = tail.split(", ");
    let id = pieces.next().unwrap();
    let id_at = at + open + 1;
    let mut mention = Mention {
        span: whole,
        id: Spanned::new(id.into(), Span::new(file, id_at..id_at + id.len())),
        title: (!title.is_empty()).then(|| title.into()),
        ticked: line.starts_with("[x]"),
        by: Vec::new(),
        takes: None,
        took: None,
        follows: Vec::new(),
        needs: Vec::new(),
        held_up: None,
        again: None,
        dropped: None,
        temp: None,
        made_good: None,
        cautions: Vec::new(),
    };
    for piece in pieces {
        says(&mut mention, piece, whole);
    }
    mention
}

fn says(mention: &mut Mention, piece: &str, span: Span) {
    let list = |rest: &str| {
        rest.split(" + ")
            .map(|word| Spanned::new(word.to_owned(), span))
            .collect::<Vec<_>>()
    };
    let (key, rest) = piece.split_once(' ').unwrap_or((piece, ""));
    match key {
        "by" => mention.by = list(rest),
        "takes" => mention.takes = rest.parse().ok(),
        "took" => mention.took = rest.parse().ok(),
        "follows" => mention.follows = list(rest),
        "needs" => mention.needs = list(rest),
        "held" => mention.held_up = Some(rest.trim_start_matches("up: ").into()),
        "again:" => mention.again = Some(rest.into()),
        "dropped:" => mention.dropped = Some(rest.into()),
        "temp:" => mention.temp = Some(rest.into()),
        "made" => {
            let names = rest.strip_prefix("good by ").map(list).unwrap_or_default();
            mention.made_good = Some(Spanned::new(names, span));
        }
        "caution" => {
            let kind = Caution::ALL
                .iter()
                .find(|kind| kind.word() == rest)
                .unwrap();
            mention.cautions.push(Spanned::new(*kind, span));
        }
        other => panic!("unknown word in a test book: {other}"),
    }
}
