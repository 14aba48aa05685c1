//! What a day moved: values that changed, verdicts that turned.

use std::collections::BTreeSet;

use super::Link;
use super::layout::Layout;
use super::words::VerdictView;
use crate::calc::{Check, NameId};
use crate::view_model;

view_model! {
    /// One value that a day changed.
    pub struct Moved {
        /// The value.
        pub link: Link => View,
        /// What it was the evening before.
        pub from: String => Public,
        /// What it is at the end of the day.
        pub to: String => Public,
        /// Its checks, as they stand now.
        pub verdicts: Vec<Turned> => View,
    }
}

view_model! {
    /// How a check on it stands, and whether the day turned it.
    pub struct Turned {
        /// The rule.
        pub rule: String => Named,
        /// The verdict now.
        pub verdict: VerdictView => View,
        /// Was it another the evening before?
        pub turned: bool => Public,
    }
}

/// More than this on one day is no longer read; what turned and what is checked comes first.
const MOST: usize = 14;

view_model! {
    /// What a day moved.
    pub struct MovedToday {
        /// The values, turned verdicts first, then checked ones.
        pub rows: Vec<Moved> => View,
        /// How many more there are.
        pub more: usize => Public,
        /// How many verdicts turned.
        pub turned: usize => Public,
    }
}

/// What the day with that index moved, leaving out what had no value before.
pub(super) fn moved(layout: &Layout, index: usize) -> MovedToday {
    let worked = &layout.build.worked;
    let day = layout.build.book.days[index].day;
    // A verdict may turn because its limit moved, so the names of all checks judged that day are
    // looked at too.
    let judged = worked.days[index]
        .judged
        .iter()
        .map(|check| worked.checks[*check].name);
    let names: BTreeSet<NameId> = worked.days[index]
        .moved
        .iter()
        .copied()
        .chain(judged)
        .collect();
    let own = names
        .into_iter()
        .filter(|name| !worked.values[name.index()].hidden);
    let mut rows: Vec<Moved> = own.filter_map(|name| of_name(layout, name, day)).collect();
    rows.sort_by_key(Moved::rank);
    let turned = rows
        .iter()
        .flat_map(|row| &row.verdicts)
        .filter(|verdict| verdict.turned)
        .count();
    let more = rows.len().saturating_sub(MOST);
    rows.truncate(MOST);
    MovedToday { rows, more, turned }
}

impl Moved {
    fn rank(&self) -> u8 {
        match self.verdicts.iter().any(|verdict| verdict.turned) {
            true => 0,
            false if !self.verdicts.is_empty() => 1,
            false => 2,
        }
    }
}

fn of_name(layout: &Layout, name: NameId, day: u32) -> Option<Moved> {
    let worked = &layout.build.worked;
    let before = worked.on_day(name, day - 1)?;
    let after = worked.on_day(name, day)?;
    before.value()?;
    let (from, to) = (
        layout.moment(name, before, day),
        layout.moment(name, after, day),
    );
    let verdicts: Vec<Turned> = worked
        .checks_on(name)
        .filter_map(|check| turned(layout, check, day))
        .collect();
    let nothing_turned = verdicts.iter().all(|verdict| !verdict.turned);
    if from == to && nothing_turned {
        return None;
    }
    Some(Moved {
        link: layout.value_link(name),
        from,
        to,
        verdicts,
    })
}

fn turned(layout: &Layout, check: &Check, day: u32) -> Option<Turned> {
    let now = check.on_day(day)?;
    let before = check.on_day(day - 1);
    Some(Turned {
        rule: now.rule.to_string(),
        verdict: layout.verdict(check.name, now),
        turned: before.is_some_and(|before| before.verdict != now.verdict),
    })
}
