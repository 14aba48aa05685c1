//! A sums block as worked sums: value, what it was worked from, limit, verdict.
//!
//! A check right behind the line that sets its name shares that line's row, as on an inspection
//! sheet.

use std::collections::BTreeMap;

use crate::calc::{
    Act, Check, Judgement, Moment, NameId, Outcome, Rule, State, Verdict, WorkedLine,
};
use crate::pages::Link;
use crate::pages::choice::{ChoiceView, choice_view};
use crate::pages::layout::{Layout, Message};
use crate::pages::words::VerdictView;
use crate::pages::workings::predicted;
use crate::view_model;

view_model! {
    /// One row of worked sums.
    #[derive(Default)]
    pub struct SumsRow {
        /// The anchor of its line.
        pub id: String => Address,
        /// The anchors of the checks that share the row.
        pub shares: Vec<String> => Address,
        /// The value; `None` for a remark or what could not be read.
        pub name: Option<Link> => View,
        /// What it was worked from: `measured by Ines`, the formula, `given`.
        pub from: String => Named,
        /// Is `from` a formula?
        pub formula: bool => Public,
        /// What it comes to.
        pub comes_to: String => Public,
        /// The limit as written.
        pub limit: String => Named,
        /// Is it a hold check?
        pub hold: bool => Public,
        /// The verdict at the end of the block.
        pub verdict: Option<VerdictView> => View,
        /// Remarks of its lines.
        pub remark: String => CrewText,
        /// The line as written, where it could not be read.
        pub unread: String => Internal,
        /// What a `choose` or a `stack` came to.
        pub choice: Option<ChoiceView> => View,
        /// What is wrong with its lines.
        pub messages: Vec<Message> => View,
    }
}

/// The rows of the block at a place.
pub(super) fn rows(layout: &Layout, place: (usize, usize)) -> Vec<SumsRow> {
    layout
        .build
        .worked
        .blocks
        .get(&place)
        .map_or_else(Vec::new, |lines| rows_of(layout, lines))
}

fn rows_of(layout: &Layout, lines: &[WorkedLine]) -> Vec<SumsRow> {
    let mut rows: Vec<(Option<NameId>, SumsRow)> = Vec::with_capacity(lines.len());
    for line in lines {
        if let Outcome::Check {
            check,
            rule,
            judgement,
        } = &line.outcome
        {
            let name = layout.build.worked.checks[*check].name;
            let shares = |(last, row): &&mut (Option<NameId>, SumsRow)| {
                *last == Some(name) && row.verdict.is_none()
            };
            if let Some((_, row)) = rows.last_mut().filter(shares) {
                set_check(layout, row, *check, rule, *judgement);
                add_remark(row, line);
                row.shares.push(layout.line_id(line.at));
                row.messages.extend(layout.messages_at(line.at));
                continue;
            }
        }
        rows.push(row(layout, line));
    }
    let moments = last_moments(lines);
    let mut standings: BTreeMap<NameId, Option<(&Check, &Judgement)>> = BTreeMap::new();
    for (name, row) in rows.iter_mut().filter(|(_, row)| row.verdict.is_none()) {
        let Some((name, moment)) = name.and_then(|name| Some((name, *moments.get(&name)?))) else {
            continue;
        };
        let standing = standings
            .entry(name)
            .or_insert_with(|| standing(layout, name, moment));
        if let Some((check, judgement)) = standing {
            row.limit = judgement.rule.to_string();
            row.hold = check.hold;
            row.verdict = Some(layout.verdict(check.name, judgement));
        }
    }
    rows.into_iter().map(|(_, row)| row).collect()
}

/// The last moment that a block gave each name.
fn last_moments(lines: &[WorkedLine]) -> BTreeMap<NameId, usize> {
    let values = lines.iter().filter_map(|line| match &line.outcome {
        Outcome::Value { name, moment } => Some((*name, *moment)),
        _ => None,
    });
    values.collect()
}

/// How a value stands to limits written elsewhere, the worst of several.
fn standing<'a>(
    layout: &Layout<'a>,
    name: NameId,
    moment: usize,
) -> Option<(&'a Check, &'a Judgement)> {
    let worked = &layout.build.worked;
    let step = worked.values[name.index()].moments.get(moment)?.step;
    let judged = worked
        .checks_on(name)
        .filter_map(|check| Some((check, check.at_step(step)?)));
    let judged = judged.filter(|(_, judgement)| judgement.verdict != Verdict::Withdrawn);
    judged.max_by_key(|(_, judgement)| match judgement.verdict {
        Verdict::Withdrawn | Verdict::InLimits => 0,
        Verdict::NoReading => 1,
        Verdict::TooClose => 2,
        Verdict::OutOfLimits => 3,
    })
}

fn row(layout: &Layout, line: &WorkedLine) -> (Option<NameId>, SumsRow) {
    let mut row = SumsRow {
        id: layout.line_id(line.at),
        messages: layout.messages_at(line.at),
        ..SumsRow::default()
    };
    add_remark(&mut row, line);
    let name = match &line.outcome {
        Outcome::Remark => None,
        Outcome::Unread => {
            layout
                .build
                .sources
                .slice(line.at)
                .clone_into(&mut row.unread);
            None
        }
        Outcome::Value { name, moment } => {
            set_value(layout, &mut row, *name, *moment);
            Some(*name)
        }
        Outcome::Check {
            check,
            rule,
            judgement,
        } => {
            let name = layout.build.worked.checks[*check].name;
            row.name = Some(layout.value_link(name));
            set_check(layout, &mut row, *check, rule, *judgement);
            let judged = layout.build.worked.checks[*check]
                .judgements
                .get(*judgement);
            let judged = judged.filter(|judged| judged.value.is_some());
            row.comes_to = judged
                .and_then(|judged| {
                    let moment = layout.build.worked.at_step(name, judged.step)?;
                    Some(layout.moment(name, moment, judged.day))
                })
                .unwrap_or_default();
            Some(name)
        }
    };
    (name, row)
}

fn set_value(layout: &Layout, row: &mut SumsRow, name: NameId, moment: usize) {
    let story = &layout.build.worked.values[name.index()];
    row.name = Some(layout.value_link(name));
    let Some(moment) = story.moments.get(moment) else {
        return;
    };
    row.from = worked_from(moment);
    row.formula = moment.defined.state == State::Worked;
    row.comes_to = layout.moment(name, moment, moment.day);
    row.choice = choice_view(&layout.build.worked, name, moment, layout.judge());
    if let Some(predicted) = predicted(layout.build, name, moment) {
        row.from = format!("{}; predicted {}", row.from, predicted.shows);
    }
}

/// What is said of a reading without a tolerance.
const NO_TOLERANCE: &str = ", no tolerance given: treated as exact";

/// What a value was worked from, in words.
pub(in crate::pages) fn worked_from(moment: &Moment) -> String {
    match (moment.defined.state, &moment.defined.by) {
        (State::Measured, by) => {
            let by = by
                .as_ref()
                .map_or_else(String::new, |by| format!(" by {by}"));
            let exact = if moment.is_bare() { NO_TOLERANCE } else { "" };
            format!("measured{by}{exact}")
        }
        (State::Given, _) => "given".to_owned(),
        (State::Figure | State::Total, _) => "parts ledger".to_owned(),
        (State::Chosen, _) => format!("chosen {}", moment.defined.written),
        (State::Worked, _) => moment.defined.written.clone(),
    }
}

fn set_check(layout: &Layout, row: &mut SumsRow, check: usize, rule: &Rule, judgement: usize) {
    row.limit.clone_from(&rule.written);
    if let Act::Eased(signed) | Act::Withdrawn(signed) = &rule.act {
        let act = if matches!(rule.act, Act::Eased(_)) {
            "eased"
        } else {
            "withdrawn"
        };
        row.limit = format!(
            "{}, {act} by {}: {}",
            rule.written,
            signed.by.join(" + "),
            signed.why
        );
    }
    let check = &layout.build.worked.checks[check];
    row.hold = check.hold;
    row.verdict = check
        .judgements
        .get(judgement)
        .map(|judged| layout.verdict(check.name, judged));
}

fn add_remark(row: &mut SumsRow, line: &WorkedLine) {
    let Some(remark) = &line.remark else { return };
    if !row.remark.is_empty() {
        row.remark.push_str("; ");
    }
    row.remark.push_str(remark);
}
