//! Where a value comes from: its formula, the readings below it, its spread by source, its history,
//! its checks.
//!
//! In: a [`Build`], a name, a day. Out: plain data, for the terminal, for scripts and for the
//! as-built sheet.

use std::collections::BTreeSet;

use serde::Serialize;

use super::body::worked_from;
use super::choice::{ChoiceView, choice_view};
use super::limits::{self, LimitDocument};
use super::words;
use crate::book::Judge;
use crate::build::Build;
use crate::calc::{
    Check, Content, Judgement, Known, NameId, Results, SpreadSourceKind, Verdict, Version,
    names_read,
};
use crate::diagnostics::nearest;
use crate::quantity::data::figure;
use crate::quantity::{Sides, Term, Unit, Value, format, printed};
use crate::source::Span;
use crate::view_model;

/// Everything known of one value at the end of a day.
#[derive(Clone, Debug, Serialize)]
pub struct Workings {
    /// The name.
    pub name: String,
    /// The day.
    pub day: u32,
    /// What it is, with its spread, as text.
    pub shows: String,
    /// The nominal value in `unit`; null where there is no reading.
    pub value: Option<f64>,
    /// The unit.
    pub unit: String,
    /// Half-width of the worst-case spread.
    pub worst_case: f64,
    /// Half-width of the root-sum-square spread.
    pub rss: f64,
    /// The worst-case spread as text.
    #[serde(skip)]
    pub worst_case_shows: String,
    /// The root-sum-square spread as text.
    #[serde(skip)]
    pub rss_shows: String,
    /// `measured`, `worked`, `given`, `chosen` or `no reading`.
    pub state: &'static str,
    /// What it was worked from, as text.
    pub from: String,
    /// The line that defines it.
    pub place: String,
    /// The window a size was chosen from, what was taken and why, where it was asked for.
    pub choice: Option<ChoiceView>,
    /// What it reads, and what that reads, each name once.
    pub tree: Vec<Branch>,
    /// What its spread comes from, largest first.
    pub sources: Vec<Source>,
    /// What it was predicted to be, where it was measured.
    pub predicted: Option<Predicted>,
    /// What it was, from day to day.
    pub history: Vec<Past>,
    /// Its checks.
    pub checks: Vec<CheckOn>,
    /// Is all of this the book as it is now?
    pub current: bool,
}

/// One name below the value.
#[derive(Clone, Debug, Serialize)]
pub struct Branch {
    /// How deep below the value, from 1.
    pub depth: usize,
    /// The name.
    pub name: String,
    /// What it is.
    pub shows: String,
    /// What it was worked from.
    pub from: String,
    /// The day it came to be so.
    pub day: u32,
    /// The line.
    pub place: String,
    /// Is it told further up already?
    pub above: bool,
}

view_model! {
    /// One source of spread.
    pub struct Source {
        /// The reading, the figure, the formula.
        pub label: String => Named,
        /// `reading`, `given`, `figure` or `law`.
        pub kind: &'static str => Public,
        /// How far it moves the value, in the value's unit.
        pub moves: f64 => Public,
        /// The same as text.
        pub shows: String => Public,
        /// Its share of the worst case, from 0 to 1.
        pub worst_case_share: f64 => Public,
        /// Its share of the square of the root-sum-square, from 0 to 1.
        pub rss_share: f64 => Public,
        /// `99 %`
        pub worst_case_percent: String => Public,
        /// `99 %`
        pub rss_percent: String => Public,
        /// Who read it.
        pub by: Option<String> => People,
        /// When.
        pub day: u32 => Public,
        /// Where.
        pub place: String => Address,
    }
}

view_model! {
    /// Predicted and found.
    #[derive(PartialEq)]
    pub struct Predicted {
        /// What was predicted.
        pub shows: String => Public,
        /// Found less predicted.
        pub difference: String => Public,
        /// Does what was found lie within the predicted spread?
        pub within: bool => Public,
    }
}

/// What a value was from a day on.
#[derive(Clone, Debug, Serialize)]
pub struct Past {
    /// The day.
    pub day: u32,
    /// What it was.
    pub shows: String,
    /// What it was worked from.
    pub from: String,
    /// The line.
    pub place: String,
}

/// A check on a value.
#[derive(Clone, Debug, Serialize)]
pub struct CheckOn {
    /// The rule.
    pub rule: String,
    /// The verdict.
    pub verdict: &'static str,
    /// By how much, as text.
    pub by: String,
    /// The margin in the value's unit.
    pub margin: Option<f64>,
    /// Is it a hold check?
    pub hold: bool,
    /// The line.
    pub place: String,
    /// What became of its limit up to that day, oldest first.
    pub limits: Vec<LimitDocument>,
    /// The same as text.
    #[serde(skip)]
    pub limit_words: Vec<String>,
}

/// The workings of a name at the end of a day; the nearest name where the book has no such value.
pub fn workings(build: &Build, name: &str, day: u32) -> Result<Workings, Option<String>> {
    let worked = &build.worked;
    let known = || {
        worked
            .names
            .iter()
            .filter(|(_, id)| !worked.values[id.index()].moments.is_empty())
            .map(|(text, _)| text)
    };
    let id = worked
        .names
        .find(name)
        .filter(|id| !worked.values[id.index()].moments.is_empty());
    let id = id.ok_or_else(|| nearest(name, known()).map(str::to_owned))?;
    Ok(Teller { build, day }.tell(id))
}

/// What a value's spread comes from at the end of a day, largest first.
pub(super) fn sources(build: &Build, id: NameId, day: u32) -> Vec<Source> {
    let moment = build.worked.on_day(id, day);
    let value = moment.and_then(|moment| Some((moment.value()?, &moment.unit)));
    value.map_or_else(Vec::new, |(value, unit)| {
        Teller { build, day }.sources(value, unit)
    })
}

struct Teller<'b> {
    build: &'b Build,
    day: u32,
}

impl Teller<'_> {
    fn worked(&self) -> &Results {
        &self.build.worked
    }

    fn judge(&self) -> Judge {
        self.build.book.sheet.judge
    }

    fn tell(&self, id: NameId) -> Workings {
        let name = self.worked().text(id).to_owned();
        let Some(moment) = self.worked().on_day(id, self.day) else {
            return self.nothing_yet(name);
        };
        let value = moment.value();
        let unit = &moment.unit;
        Workings {
            name,
            day: self.day,
            shows: self.shows(id, moment, self.day),
            value: value.map(|value| figure(unit.reading(value.nominal))),
            unit: unit.name.clone(),
            worst_case: value.map_or(0.0, |value| {
                figure(unit.step(value.worst_case().half_width()))
            }),
            rss: value.map_or(0.0, |value| figure(unit.step(value.rss().half_width()))),
            worst_case_shows: spread_shows(value.map(Value::worst_case), unit),
            rss_shows: spread_shows(value.map(Value::rss), unit),
            state: if value.is_some() {
                moment.defined.state.word()
            } else {
                "no reading"
            },
            from: worked_from(moment),
            place: self.place(moment.defined.at),
            choice: choice_view(self.worked(), id, moment, self.judge()),
            tree: self.tree(moment),
            sources: value.map_or_else(Vec::new, |value| self.sources(value, unit)),
            predicted: predicted(self.build, id, moment),
            history: self.history(id),
            checks: self.checks(id),
            current: self.build.current.is_current(),
        }
    }

    fn shows(&self, name: NameId, moment: &Version, day: u32) -> String {
        words::moment(self.worked(), name, moment, day, self.judge())
    }

    fn nothing_yet(&self, name: String) -> Workings {
        Workings {
            name,
            day: self.day,
            shows: "no reading".to_owned(),
            value: None,
            unit: String::new(),
            worst_case: 0.0,
            rss: 0.0,
            worst_case_shows: String::new(),
            rss_shows: String::new(),
            state: "no reading",
            from: "nothing yet".to_owned(),
            place: String::new(),
            choice: None,
            tree: Vec::new(),
            sources: Vec::new(),
            predicted: None,
            history: Vec::new(),
            checks: Vec::new(),
            current: self.build.current.is_current(),
        }
    }

    fn place(&self, at: Span) -> String {
        format!(
            "{}, line {}",
            self.build.sources.path(at.file),
            self.build.sources.position(at).line
        )
    }

    /// What it reads, depth first; a name that was told already is only named again.
    fn tree(&self, top: &Version) -> Vec<Branch> {
        let mut branches = Vec::new();
        let mut told = BTreeSet::new();
        let below = |moment: &Version, depth: usize| -> Vec<(NameId, usize)> {
            names_read(&moment.defined.content)
                .into_iter()
                .rev()
                .map(|name| (name, depth))
                .collect()
        };
        let mut waiting = below(top, 1);
        while let Some((name, depth)) = waiting.pop() {
            let above = !told.insert(name);
            let moment = self.worked().on_day(name, self.day);
            branches.push(self.branch(name, depth, moment, above));
            if let Some(moment) = moment.filter(|_| !above) {
                waiting.extend(below(moment, depth + 1));
            }
        }
        branches
    }

    fn branch(&self, name: NameId, depth: usize, moment: Option<&Version>, above: bool) -> Branch {
        Branch {
            depth,
            name: self.worked().text(name).to_owned(),
            shows: moment.map_or_else(
                || "no reading".to_owned(),
                |moment| self.shows(name, moment, self.day),
            ),
            from: moment.map_or_else(String::new, worked_from),
            day: moment.map_or(0, |moment| moment.day),
            place: moment.map_or_else(String::new, |moment| self.place(moment.defined.at)),
            above,
        }
    }

    fn sources(&self, value: &Value, unit: &Unit) -> Vec<Source> {
        let reach = |term: &Term| term.up().max(term.down());
        let worst: f64 = value.terms().iter().map(reach).sum();
        let largest = value.terms().iter().map(reach).fold(0.0, f64::max);
        let square: f64 = value
            .terms()
            .iter()
            .map(|term| (reach(term) / largest).powi(2))
            .sum();
        let mut terms: Vec<&Term> = value.terms().iter().collect();
        terms.sort_by(|a, b| reach(b).total_cmp(&reach(a)).then(a.source.cmp(&b.source)));
        let source = |term: &Term| {
            let origin = self.worked().origins.get(term.source);
            Source {
                label: origin.label.clone(),
                kind: match origin.kind {
                    SpreadSourceKind::Reading => "reading",
                    SpreadSourceKind::Given => "given",
                    SpreadSourceKind::Figure => "figure",
                    SpreadSourceKind::Law => "law",
                },
                moves: figure(unit.step(reach(term))),
                shows: printed::difference(reach(term), unit),
                worst_case_share: figure(reach(term) / worst),
                rss_share: figure((reach(term) / largest).powi(2) / square),
                worst_case_percent: percent(reach(term) / worst),
                rss_percent: percent((reach(term) / largest).powi(2) / square),
                by: origin.by.clone(),
                day: origin.day,
                place: self.place(origin.at),
            }
        };
        terms.into_iter().map(source).collect()
    }

    fn history(&self, id: NameId) -> Vec<Past> {
        let moments = self.worked().values[id.index()]
            .moments
            .iter()
            .take_while(|moment| moment.day <= self.day);
        moments
            .map(|moment| Past {
                day: moment.day,
                shows: self.shows(id, moment, moment.day),
                from: worked_from(moment),
                place: self.place(moment.defined.at),
            })
            .collect()
    }

    fn checks(&self, id: NameId) -> Vec<CheckOn> {
        let on = self.worked().checks_on(id);
        on.filter(|check| check.since_day <= self.day)
            .map(|check| self.check(check))
            .collect()
    }

    fn check(&self, check: &Check) -> CheckOn {
        let judged = check.on_day(self.day);
        let wanting = judged
            .and_then(|judged| judged.wanting)
            .filter(|name| *name != check.name);
        let shown_by = self.worked().shown_by(check.name, self.judge());
        let view = judged.map(|judged| {
            words::verdict(
                judged,
                wanting.map(|name| self.worked().text(name)),
                shown_by,
            )
        });
        CheckOn {
            rule: judged.map_or_else(
                || check.rule.written.clone(),
                |judged| judged.rule.to_string(),
            ),
            limits: limits::documents(self.build, check, self.day),
            limit_words: check
                .limits
                .iter()
                .take_while(|line| line.day <= self.day)
                .map(limits::words)
                .collect(),
            verdict: judged
                .map_or(Verdict::NoReading, |judged| judged.verdict)
                .words(),
            by: view.map_or_else(String::new, |view| view.margin),
            margin: judged.and_then(Judgement::margin_figure),
            hold: check.hold,
            place: self.place(check.rule.at),
        }
    }
}

fn spread_shows(sides: Option<Sides>, unit: &Unit) -> String {
    sides.map_or_else(String::new, |sides| {
        printed::spread(sides.half_width(), unit)
    })
}

/// A share in percent, to two figures.
fn percent(share: f64) -> String {
    format!("{} %", format::plain(100.0 * share, 2))
}

/// What a reading was predicted to be by the formula it replaced, and how the two compare.
pub(super) fn predicted(build: &Build, id: NameId, found: &Version) -> Option<Predicted> {
    let hidden = build.worked.values[id.index()].prediction?;
    let prediction = build.worked.on_day(hidden, found.day)?;
    let (Known::Value(found_value), Content::Value(..)) = (&found.known, &found.defined.content)
    else {
        return None;
    };
    let predicted = prediction.value()?;
    let difference = format::difference(found_value.nominal, predicted.nominal);
    let sides = build.book.sheet.judge.spread(predicted);
    let slack = 1e-12 * found_value.nominal.abs().max(predicted.nominal.abs());
    Some(Predicted {
        shows: words::moment(
            &build.worked,
            id,
            prediction,
            found.day,
            build.book.sheet.judge,
        ),
        difference: printed::difference(difference, &found.unit),
        within: difference <= sides.up + slack && -difference <= sides.down + slack,
    })
}
