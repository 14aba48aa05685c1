//! What the search line finds, as a script.
//!
//! In: [`SearchData`](crate::record::SearchData) as data, through the veil already where there is one. Out: a script that
//! hands it to `record.js`. It is a script and no JSON, for a page opened from a folder may load nothing else; rows stand as
//! lists without the names of their fields, for there are many.

use serde_json::{Value, json};

use super::clean::clean;

/// The script's name in a record.
pub const SEARCH: &str = "search-data.js";

pub(super) fn script(data: &Value) -> Vec<u8> {
    let rows = json!({
        "values": rows(&data["values"], &|row| list(row, &["id", "says", "href"])),
        "jobs": rows(&data["jobs"], &|row| list(row, &["id", "name", "says"])),
        "parts": rows(&data["parts"], &|row| list(row, &["id", "name", "says"])),
        "days": rows(&data["days"], &|day| {
            json!([day["day"], day["href"], day["title"], by_place(&day["lines"])])
        }),
    });
    clean(format!("shimbookSearch({rows});\n").into_bytes())
}

fn rows(of: &Value, row: &dyn Fn(&Value) -> Value) -> Value {
    of.as_array().into_iter().flatten().map(row).collect()
}

/// The lines of a log, those of one place in one list behind it.
fn by_place(lines: &Value) -> Vec<Vec<Value>> {
    let mut places: Vec<Vec<Value>> = Vec::new();
    for line in lines.as_array().into_iter().flatten() {
        match places.last_mut().filter(|place| place.first() == Some(&line["at"])) {
            Some(place) => place.push(line["says"].clone()),
            None => places.push(vec![line["at"].clone(), line["says"].clone()]),
        }
    }
    places
}

/// The fields in their order; empty ones at the end are left out.
fn list(row: &Value, fields: &[&str]) -> Value {
    let mut list: Vec<Value> = fields.iter().map(|field| row[field].clone()).collect();
    while list.last().is_some_and(|last| last.as_str() == Some("")) {
        list.pop();
    }
    Value::Array(list)
}
