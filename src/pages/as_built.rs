//! The as-built sheet: every value with its verdicts, where it comes from, how it moved.

use std::sync::Arc;

use super::body::worked_from;
use super::layout::Layout;
use super::limits::{self, LimitView};
use super::strip::{Strip, strip};
use super::workings::{Predicted, Source, predicted, sources};
use super::{Link, words};
use crate::calc::{Check, Known, Moment, NameId, NameStory, State, Verdict};
use crate::drawings;
use crate::view_model;

view_model! {
    /// `as-built.html`
    pub struct AsBuilt {
        /// The way through the book.
        pub strip: Strip => View,
        /// The values, in the order of the alphabet.
        pub values: Vec<ValueRow> => View,
        /// Verdicts by count: in limits, too close, out of limits, no reading.
        pub counts: [usize; 4] => Public,
    }
}

view_model! {
    /// One value.
    pub struct ValueRow {
        /// Its name, which is its anchor.
        pub name: String => Address,
        /// What it is now.
        pub comes_to: String => Public,
        /// The same to sort by: the figure and the unit in SI.
        pub sorts_as: String => Public,
        /// What it was worked from.
        pub from: String => Named,
        /// Is `from` a formula?
        pub formula: bool => Public,
        /// What a reading was predicted to be.
        pub predicted: Option<Predicted> => View,
        /// The day it last changed, with the line.
        pub line: Option<Link> => View,
        /// Its checks.
        pub checks: Vec<CheckView> => View,
        /// What it was, oldest first; empty where it was nothing else and there is no more to tell.
        pub history: Vec<HistoryRow> => View,
        /// How many more there were in between, each only worked out again from the same line.
        pub history_more: usize => Public,
        /// What its spread comes from, largest first.
        pub sources: Vec<Source> => View,
        /// The limits and where it stood, as SVG; empty where there is nothing to look at.
        pub band: String => Drawing,
    }
}

view_model! {
    /// A check on a value.
    pub struct CheckView {
        /// The rule.
        pub rule: String => Named,
        /// Is it a hold check?
        pub hold: bool => Public,
        /// Is it a target?
        pub target: bool => Public,
        /// The verdict now.
        pub verdict: Option<words::VerdictView> => View,
        /// What became of its limit, oldest first; empty where it never changed.
        pub limits: Vec<LimitView> => View,
        /// What the value rests on, and its limit: `calculated, limit: maker’s figure`.
        pub basis: String => Public,
    }
}

view_model! {
    /// What a value was from a day on.
    pub struct HistoryRow {
        /// The line.
        pub line: Option<Link> => View,
        /// What it was.
        pub was: String => Public,
        /// Where it came from.
        pub from: String => Named,
    }
}

/// A book with more checks than this shows bands and sources of spread only of what is to be looked
/// at: targets, hold checks, and what is not in limits. Limits and history of the others stand
/// there as figures, and `workings NAME` tells the rest; thousands of drawings would make the sheet
/// too heavy to open.
const MOST_IN_FULL: usize = 200;

pub(super) fn page(layout: &Layout) -> AsBuilt {
    use rayon::prelude::*;
    let worked = &layout.build.worked;
    let own = |(text, id): &(&str, NameId)| {
        !text.contains('.') && !worked.values[id.index()].moments.is_empty()
    };
    let names: Vec<(&str, NameId)> = worked.names.iter().filter(own).collect();
    AsBuilt {
        strip: strip(layout, None),
        values: names
            .into_par_iter()
            .map(|(text, id)| row(layout, text, id))
            .collect(),
        counts: counts(&worked.checks),
    }
}

fn counts(checks: &[Arc<Check>]) -> [usize; 4] {
    let of = |verdict| {
        checks
            .iter()
            .filter(|check| {
                check
                    .latest()
                    .is_some_and(|judged| judged.verdict == verdict)
            })
            .count()
    };
    [
        of(Verdict::InLimits),
        of(Verdict::TooClose),
        of(Verdict::OutOfLimits),
        of(Verdict::NoReading),
    ]
}

fn row(layout: &Layout, text: &str, id: NameId) -> ValueRow {
    let worked = &layout.build.worked;
    let story = &worked.values[id.index()];
    let checks = || worked.checks_on(id);
    let latest = story.moments.last();
    let in_full = worked.checks.len() <= MOST_IN_FULL || checks().any(|check| is_to_look_at(check));
    let band = if in_full {
        band(layout, id)
    } else {
        String::new()
    };
    let sources = if in_full {
        sources(layout.build, id, layout.build.day())
    } else {
        Vec::new()
    };
    let (history, history_more) = history(
        layout,
        id,
        &story.moments,
        band.is_empty() && sources.len() < 2,
    );
    ValueRow {
        name: text.to_owned(),
        comes_to: latest.map_or_else(String::new, |moment| {
            layout.moment(id, moment, layout.build.day())
        }),
        sorts_as: latest.and_then(sorts_as).unwrap_or_default(),
        from: latest.map_or_else(String::new, worked_from) + &unread(story),
        formula: latest.is_some_and(|moment| moment.defined.state == State::Worked),
        predicted: latest.and_then(|moment| predicted(layout.build, id, moment)),
        line: latest.and_then(|moment| line(layout, moment)),
        checks: checks().map(|check| check_view(layout, check)).collect(),
        history,
        history_more,
        sources,
        band,
    }
}

/// Says that a later line about the value could not be read.
fn unread(story: &NameStory) -> String {
    story.unread.map_or_else(String::new, |line| {
        format!("; a later line, of day {}, could not be read", line.day)
    })
}

/// `0.027 m`
fn sorts_as(moment: &Moment) -> Option<String> {
    let Known::Value(value) = &moment.known else {
        return None;
    };
    Some(
        format!("{} {}", value.nominal, moment.unit.dimension.symbol())
            .trim_end()
            .to_owned(),
    )
}

fn is_to_look_at(check: &Check) -> bool {
    let in_limits = check
        .latest()
        .is_some_and(|judged| judged.verdict == Verdict::InLimits);
    check.target || check.hold || (!in_limits && !check.withdrawn)
}

/// The band of a value that has checks.
fn band(layout: &Layout, id: NameId) -> String {
    let worked = &layout.build.worked;
    if worked.checks_on(id).next().is_some() {
        return drawings::band(worked, id, layout.build.day(), layout.judge()).svg;
    }
    String::new()
}

/// So many times of being worked out again from one line are told: with every reading that moves a
/// whole book, the sheet would else grow with days times values.
const MOST_AGAIN: usize = 30;

/// What a value was, where that says more than what it is now, and how many rows are left out. What
/// was measured or written stays, however often.
fn history(
    layout: &Layout,
    name: NameId,
    moments: &[Moment],
    alone: bool,
) -> (Vec<HistoryRow>, usize) {
    if alone && moments.len() < 2 {
        return (Vec::new(), 0);
    }
    let again =
        |index: usize| index > 0 && moments[index].defined.at == moments[index - 1].defined.at;
    let left_out = (0..moments.len())
        .filter(|index| again(*index))
        .count()
        .saturating_sub(MOST_AGAIN);
    let (mut rows, mut passed) = (Vec::new(), 0);
    for (index, moment) in moments.iter().enumerate() {
        if again(index) && passed < left_out {
            passed += 1;
        } else {
            rows.push(history_row(layout, name, moment));
        }
    }
    (rows, left_out)
}

fn line(layout: &Layout, moment: &Moment) -> Option<Link> {
    let href = layout.line_href(moment.defined.at)?;
    Some(Link {
        href,
        text: format!("day {}", moment.day),
    })
}

fn check_view(layout: &Layout, check: &Check) -> CheckView {
    CheckView {
        rule: check.limit().to_owned(),
        hold: check.hold,
        target: check.target,
        verdict: check
            .latest()
            .map(|judgement| layout.verdict(check.name, judgement)),
        limits: limits::views(layout, check),
        basis: layout.basis(check),
    }
}

fn history_row(layout: &Layout, name: NameId, moment: &Moment) -> HistoryRow {
    HistoryRow {
        line: line(layout, moment),
        was: layout.moment(name, moment, moment.day),
        from: worked_from(moment),
    }
}
