//! Audiences: who outside the crew may see what.
//!
//! In: the `audiences` of the build sheet. Out: what each may see, beside the ready-made ones. What
//! a description leaves out is not seen.

use std::collections::BTreeMap;

use super::yaml::{Fields, Node, Value};
use super::{NamesSeen, Permissions, ids};
use crate::diagnostics::{Diagnostic, Slug};

const KEYS: [&str; 4] = ["costs", "serials", "suppliers", "names"];
const SHAPE: &str = "a name for each, for example `sponsor: {costs: no, serials: no, suppliers: yes, names: initials}`";

/// The audiences of every book.
pub(super) fn ready_made() -> BTreeMap<String, Permissions> {
    Permissions::READY_MADE
        .iter()
        .map(|(name, permissions)| ((*name).to_owned(), *permissions))
        .collect()
}

/// Adds the audiences that a sheet describes.
pub(super) fn read(
    node: &Node,
    audiences: &mut BTreeMap<String, Permissions>,
    found: &mut Vec<Diagnostic>,
) {
    let Value::Map(entries) = &node.value else {
        found.push(
            Diagnostic::error(Slug::BadValue, node.span, "these are not audiences").expected(SHAPE),
        );
        return;
    };
    for (key, described) in entries {
        if Permissions::READY_MADE
            .iter()
            .any(|(name, _)| *name == key.value)
        {
            let message = format!("`{}` is built in and cannot be changed", key.value);
            let wrong = Diagnostic::error(Slug::BadValue, key.span, message);
            found.push(
                wrong
                    .expected("another name")
                    .instead(format!("{}_1", key.value)),
            );
            continue;
        }
        match ids::new_id(&key.value, key.span) {
            Ok(name) => drop(audiences.insert(name.value, permissions(described, found))),
            Err(wrong) => found.push(*wrong),
        }
    }
}

fn permissions(node: &Node, found: &mut Vec<Diagnostic>) -> Permissions {
    let fields = Fields::of(node, &KEYS, node.span, found);
    let seen = |key: &str, found: &mut Vec<Diagnostic>| {
        fields
            .get(key)
            .and_then(|node| node.read("yes or no", found, yes_or_no))
            .unwrap_or_default()
    };
    let (costs, serials, suppliers) = (
        seen("costs", found),
        seen("serials", found),
        seen("suppliers", found),
    );
    let names = fields
        .get("names")
        .and_then(|node| node.read("full, initials or none", found, names));
    Permissions {
        costs,
        serials,
        suppliers,
        names: names.unwrap_or_default(),
    }
}

fn yes_or_no(text: &str) -> Option<bool> {
    match text {
        "yes" | "true" => Some(true),
        "no" | "false" => Some(false),
        _ => None,
    }
}

fn names(text: &str) -> Option<NamesSeen> {
    match text {
        "full" => Some(NamesSeen::Full),
        "initials" => Some(NamesSeen::Initials),
        "none" => Some(NamesSeen::None),
        _ => None,
    }
}
