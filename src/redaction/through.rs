//! A view model on its way to somebody outside, field by field.
//!
//! In: a view model as data, and the name of its type. Out: the same shape; what has no class is
//! nothing.

use serde_json::{Map, Value};

use super::fields::{Class, class};
use super::{Veil, WITHHELD, html};
use crate::book::NamesSeen;

/// An object of a type; of one of several kinds where it says which.
pub(super) fn object(veil: &Veil, kind: &str, value: Value) -> Value {
    match value {
        Value::Object(fields) => {
            let kind = which(kind, &fields);
            let seen = fields.into_iter().map(|(name, value)| {
                let value =
                    class(&kind, &name).map_or(Value::Null, |class| field(veil, class, value));
                (name, value)
            });
            Value::Object(seen.collect::<Map<_, _>>())
        }
        Value::Array(items) => Value::Array(
            items
                .into_iter()
                .map(|item| object(veil, kind, item))
                .collect(),
        ),
        // A view model is no bare text or number.
        _ => Value::Null,
    }
}

fn field(veil: &Veil, class: Class, value: Value) -> Value {
    let sight = veil.sight;
    match class {
        Class::Own => value,
        Class::Crew(_) if sight.names == NamesSeen::None => Value::Array(Vec::new()),
        Class::Suppliers(_) if !sight.suppliers => Value::Array(Vec::new()),
        Class::In(kind) | Class::Crew(kind) | Class::Suppliers(kind) => object(veil, kind, value),
        Class::Words => texts(value, &|text| veil.words(text)),
        Class::Remark => texts(value, &|text| veil.remark(text)),
        Class::Html => texts(value, &|text| html::seen(veil, text, Veil::remark)),
        Class::Svg => texts(value, &|text| html::seen(veil, text, Veil::words)),
        Class::Address => texts(value, &|text| veil.address(text)),
        Class::People => texts(value, &|text| people(veil, text)),
        Class::Money if sight.costs => value,
        Class::Money => texts(value, &|text| {
            if text.is_empty() {
                String::new()
            } else {
                WITHHELD.to_owned()
            }
        }),
        Class::Supplier if sight.suppliers => texts(value, &|text| veil.words(text)),
        Class::Supplier | Class::Never => nothing(&value),
    }
}

/// Every text of a value; what is no text goes.
fn texts(value: Value, seen: &dyn Fn(&str) -> String) -> Value {
    match value {
        Value::String(text) => Value::String(seen(&text)),
        Value::Array(items) => {
            Value::Array(items.into_iter().map(|item| texts(item, seen)).collect())
        }
        _ => Value::Null,
    }
}

/// The same shape with nothing in it.
fn nothing(value: &Value) -> Value {
    match value {
        Value::String(_) => Value::String(String::new()),
        Value::Array(_) => Value::Array(Vec::new()),
        _ => Value::Null,
    }
}

/// A list of names as the audience may see them, each once.
fn people(veil: &Veil, names: &str) -> String {
    let names: Vec<String> = names
        .split(", ")
        .filter(|name| !name.is_empty())
        .map(str::to_owned)
        .collect();
    veil.people(&names).join(", ")
}

/// Puts other addresses in a view model: `address` for those that stand alone, `html` for the HTML
/// that holds some.
pub fn readdress(
    kind: &str,
    value: &mut Value,
    address: &dyn Fn(&str) -> String,
    html: &dyn Fn(&str) -> String,
) {
    match value {
        Value::Array(items) => items
            .iter_mut()
            .for_each(|item| readdress(kind, item, address, html)),
        Value::Object(fields) => {
            let kind = which(kind, fields);
            for (name, value) in fields {
                match class(&kind, name) {
                    Some(Class::In(kind) | Class::Crew(kind) | Class::Suppliers(kind)) => {
                        readdress(kind, value, address, html);
                    }
                    Some(Class::Address) => *value = texts(value.take(), address),
                    Some(Class::Html) => *value = texts(value.take(), html),
                    _ => {}
                }
            }
        }
        _ => {}
    }
}

/// The type of an object, of one of several kinds where it says which.
fn which(kind: &str, fields: &Map<String, Value>) -> String {
    match fields.get("kind").and_then(Value::as_str) {
        Some(which) if class(kind, "kind").is_none() => format!("{kind}/{which}"),
        _ => kind.to_owned(),
    }
}
