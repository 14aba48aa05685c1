//! The hold list on its page, and the tag on every other.

use std::collections::BTreeSet;

use super::Link;
use super::day_nav::{DayNav, day_nav};
use super::layout::Layout;
use super::methods::{CautionView, caution_view};
use crate::book::Caution;
use crate::build::Current;
use crate::diagnostics::Severity;
use crate::hold::{self, HeldLine, HoldEvent, HoldEventKind, HoldKind, HoldLine, HoldList};
use crate::source::Span;
use crate::view_model;

view_model! {
    /// The tag: shown above everything else while anything is on the hold list.
    pub struct HoldTag {
        /// `Do not move it, run it or go under it.`; `Not current: treat as on hold.` where no line
        /// is known.
        pub words: &'static str => Public,
        /// Its lines; on a page that is not the hold list's own, the first of them.
        pub lines: Vec<HoldView> => View,
        /// How many more there are.
        pub more: usize => Public,
    }
}

view_model! {
    /// One line of the hold list.
    pub struct HoldView {
        /// `temp`, `check` or `job`.
        pub kind: &'static str => Public,
        /// The job or the value.
        pub link: Link => View,
        /// What stands against it.
        pub why: String => Named,
        /// What takes it off.
        pub clears: &'static str => Public,
        /// The line of the log it comes from.
        pub from: Option<PlaceLink> => View,
        /// Its hazards, in words.
        pub cautions: Vec<String> => Public,
    }
}

view_model! {
    /// Something that happened against the hold list, and stays in the record.
    pub struct HoldEventView {
        /// `moved`, `eased` or `withdrawn`.
        pub kind: &'static str => Public,
        /// The job that moved the vehicle, or the value whose limit was eased or withdrawn.
        pub link: Link => View,
        /// `moved on day 9 while 1 line was on hold`
        pub words: String => Named,
        /// The lines that were open then, the first of them.
        pub lines: Vec<HeldView> => View,
        /// How many more were open.
        pub more: usize => Public,
        /// The line of the log that says so.
        pub from: Option<PlaceLink> => View,
    }
}

view_model! {
    /// A line that was open when something happened against the hold list.
    pub struct HeldView {
        /// The job or the value.
        pub link: Link => View,
        /// Why it was on the list.
        pub why: String => Named,
        /// `open since the evening before`, `opened that day`, `cleared only below that line`
        pub stood: &'static str => Public,
    }
}

view_model! {
    /// A link that says the place it leads to.
    pub struct PlaceLink {
        /// The address.
        pub href: String => Address,
        /// `days/day-02.md, line 9`
        pub text: String => Address,
    }
}

view_model! {
    /// `hold.html`
    pub struct HoldPage {
        /// The way through the book.
        pub strip: DayNav => View,
        /// How many errors the book has: over them the list may be wanting.
        pub errors: usize => Public,
        /// The tag; `None` where nothing is on hold.
        pub tag: Option<HoldTag> => View,
        /// What happened against the list: whatever is cleared later, it stays.
        pub history: Vec<HoldEventView> => View,
        /// What the hazards on the list ask for.
        pub cautions: Vec<CautionView> => View,
    }
}

impl HoldTag {
    /// How many lines are on hold.
    pub(super) fn count(&self) -> usize {
        self.lines.len() + self.more
    }
}

/// So many lines stand in the tag of every other page: a hold list nobody works off would fill each
/// day's page.
const MOST_IN_TAG: usize = 40;

/// The tag at the end of a day, for a page that is not the hold list's own; `None` where nothing is
/// on hold. While the book is not current there is a tag, even with no line known.
pub(super) fn tag(layout: &Layout, day: u32) -> Option<HoldTag> {
    let build = layout.build;
    if day == build.day() {
        return tag_of(layout, &build.hold, MOST_IN_TAG);
    }
    tag_of(
        layout,
        &hold::on_day(&build.worked, &build.jobs, day),
        MOST_IN_TAG,
    )
}

fn tag_of(layout: &Layout, list: &HoldList, most: usize) -> Option<HoldTag> {
    let lines: Vec<HoldView> = list
        .lines
        .iter()
        .take(most)
        .map(|line| view(layout, line))
        .collect();
    tag_words(layout, list).map(|words| HoldTag {
        words,
        more: list.lines.len() - lines.len(),
        lines,
    })
}

/// The words of the tag; `None` where nothing is on hold and the book is current.
pub(super) fn tag_words(layout: &Layout, list: &HoldList) -> Option<&'static str> {
    if list.lines.is_empty() {
        return (!layout.build.current.is_current()).then_some(Current::TAG);
    }
    Some(list.tag())
}

fn link(layout: &Layout, kind: HoldKind, id: &str) -> Link {
    match kind {
        HoldKind::Check => Link {
            href: Layout::value_href(id),
            text: id.to_owned(),
        },
        HoldKind::Temp | HoldKind::Job => layout.job_link(id),
    }
}

fn place(layout: &Layout, at: Span) -> Option<PlaceLink> {
    layout.line_href(at).map(|href| PlaceLink {
        href,
        text: layout.place(at),
    })
}

/// What happened against the hold list on the days that count: of a day's page its own, elsewhere
/// all.
pub(super) fn history(layout: &Layout, counts: impl Fn(&HoldEvent) -> bool) -> Vec<HoldEventView> {
    layout
        .build
        .hold_history
        .iter()
        .filter(|event| counts(event))
        .map(|event| event_view(layout, event))
        .collect()
}

fn event_view(layout: &Layout, event: &HoldEvent) -> HoldEventView {
    let kind = if event.kind == HoldEventKind::Moved {
        HoldKind::Job
    } else {
        HoldKind::Check
    };
    let held = |line: &HeldLine| HeldView {
        link: link(layout, line.kind, &line.id),
        why: line.why.clone(),
        stood: line.stood.words(),
    };
    HoldEventView {
        kind: event.kind.word(),
        link: link(layout, kind, &event.id),
        words: event.words(),
        lines: event.lines.iter().map(held).collect(),
        more: event.more,
        from: place(layout, event.at),
    }
}

pub(super) fn view(layout: &Layout, line: &HoldLine) -> HoldView {
    let from = place(layout, line.at);
    HoldView {
        kind: line.kind.word(),
        link: link(layout, line.kind, &line.id),
        why: line.why.clone(),
        clears: line.clears,
        from,
        cautions: line
            .cautions
            .iter()
            .map(|caution| caution.word().replace('_', " "))
            .collect(),
    }
}

pub(super) fn page(layout: &Layout) -> HoldPage {
    let list = &layout.build.hold;
    let cautions: BTreeSet<Caution> = list
        .lines
        .iter()
        .flat_map(|line| line.cautions.iter().copied())
        .collect();
    HoldPage {
        strip: day_nav(layout, None),
        errors: layout.build.count(Severity::Error),
        tag: tag_of(layout, list, usize::MAX),
        history: history(layout, |_| true),
        cautions: cautions.into_iter().map(caution_view).collect(),
    }
}
