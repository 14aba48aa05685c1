//! What a day moved: values that changed, verdicts that turned.

use serde::Serialize;

use super::Link;
use super::layout::Layout;
use super::words::{self, VerdictView};
use crate::calc::{Check, NameId};

/// One value that a day changed.
#[derive(Clone, Debug, Serialize)]
pub struct Moved {
    /// The value.
    pub link: Link,
    /// What it was the evening before.
    pub from: String,
    /// What it is at the end of the day.
    pub to: String,
    /// Its checks, as they stand now.
    pub verdicts: Vec<Turned>,
}

/// How a check on it stands, and whether the day turned it.
#[derive(Clone, Debug, Serialize)]
pub struct Turned {
    /// The rule.
    pub rule: String,
    /// The verdict now.
    pub verdict: VerdictView,
    /// Was it another the evening before?
    pub turned: bool,
}

/// What the day with that index moved, leaving out what had no value before.
pub(super) fn moved(layout: &Layout, index: usize) -> Vec<Moved> {
    let worked = &layout.build.worked;
    let day = layout.build.book.days[index].day;
    let own = worked.days[index].moved.iter().filter(|name| !worked.values[name.index()].hidden);
    own.filter_map(|name| of_name(layout, *name, day)).collect()
}

fn of_name(layout: &Layout, name: NameId, day: u32) -> Option<Moved> {
    let worked = &layout.build.worked;
    let before = worked.on_day(name, day - 1)?;
    let after = worked.on_day(name, day)?;
    before.value()?;
    let (from, to) = (words::moment(before, layout.judge()), words::moment(after, layout.judge()));
    let checks = worked.values[name.index()].checks.iter().map(|index| &worked.checks[*index]);
    let verdicts: Vec<Turned> =
        checks.filter(|check| check.name == name).filter_map(|check| turned(layout, check, day)).collect();
    let nothing_turned = verdicts.iter().all(|verdict| !verdict.turned);
    if from == to && nothing_turned {
        return None;
    }
    Some(Moved { link: layout.value_link(name), from, to, verdicts })
}

fn turned(layout: &Layout, check: &Check, day: u32) -> Option<Turned> {
    let now = check.on_day(day)?;
    let before = check.on_day(day - 1);
    Some(Turned {
        rule: check.rule.written.clone(),
        verdict: layout.verdict(check.name, now),
        turned: before.is_some_and(|before| before.verdict != now.verdict),
    })
}
