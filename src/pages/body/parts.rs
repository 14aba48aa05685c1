//! A parts block, a line each: what happened and where the part is then.

use crate::book::{PartEvent, PartsBlock};
use crate::pages::Link;
use crate::pages::layout::{Layout, Message};
use crate::quantity::data::money;
use crate::quantity::printed;
use crate::view_model;

view_model! {
    /// One line of a parts block.
    pub struct PartsRow {
        /// The anchor of its line.
        pub id: String => Address,
        /// The part; `None` where the line could not be read.
        pub part: Option<Link> => View,
        /// What happened.
        pub event: String => Public,
        /// Due day, cost, remark.
        pub details: String => CrewText,
        /// The line as written.
        pub written: String => Internal,
        /// What is wrong with it.
        pub messages: Vec<Message> => View,
    }
}

pub(super) fn rows(layout: &Layout, block: &PartsBlock) -> Vec<PartsRow> {
    let mut rows = Vec::with_capacity(block.lines.len());
    for line in &block.lines {
        let event = line.event.as_ref();
        rows.push(PartsRow {
            id: layout.line_id(line.line.span),
            part: event.map(|event| layout.part_link(&event.id.value)),
            event: event.map_or_else(String::new, |event| event.what.value.words().to_owned()),
            details: event.map_or_else(String::new, |event| details(layout, event)),
            written: line.line.text.clone(),
            messages: layout.messages_at(line.line.span),
        });
    }
    rows
}

fn details(layout: &Layout, event: &PartEvent) -> String {
    let currency = &layout.build.book.sheet.money;
    let due = event.due.map(|day| format!("due day {day}"));
    let cost = event
        .cost
        .as_ref()
        .map(|cost| printed::with_name(&money(cost.value), currency));
    [due, cost, event.remark.clone()]
        .into_iter()
        .flatten()
        .collect::<Vec<_>>()
        .join(", ")
}
