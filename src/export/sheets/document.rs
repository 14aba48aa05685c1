//! The sheets as one JSON document, and its JSON Schema (2020-12).
//!
//! In: the sheets. Out: `book.json` and `book.schema.json`. The schema is made from the columns
//! that the document is made from.

use serde_json::{Map, Value, json};

use super::{Cell, CellKind, Column, Sheet};
use crate::build::Build;
use crate::pages::STANDING;
use crate::quantity::data::money;

/// What stands in the document beside the sheets: key, kind, and what it says.
const HEAD: [(&str, CellKind, &str); 9] = [
    ("$schema", CellKind::Text, "where the schema stands"),
    ("title", CellKind::Text, "the name of the build"),
    (
        "standing",
        CellKind::Text,
        "what this record is, and what it is not",
    ),
    (
        "start",
        CellKind::Text,
        "the date of day 1, ISO 8601; null where it is not known",
    ),
    (
        "last_day",
        CellKind::Whole,
        "the last build day allowed; null where it is not known",
    ),
    (
        "day",
        CellKind::Whole,
        "the latest day with a log; 0 before the first",
    ),
    ("currency", CellKind::Text, "of all money, ISO 4217"),
    (
        "current",
        CellKind::Flag,
        "is this the book as it is now? If not, treat the vehicle as on hold",
    ),
    (
        "not_current",
        CellKind::Names,
        "what cannot be read or worked with now, and why, a line each",
    ),
];

/// Those of them that may be null.
const NOT_ALWAYS: [&str; 2] = ["start", "last_day"];

/// The whole book as one document.
pub fn document(build: &Build, sheets: &[Sheet]) -> Value {
    let sheet = &build.book.sheet;
    let head = [
        "book.schema.json".into(),
        sheet.title.as_str().into(),
        STANDING.into(),
        sheet.start.map(|start| start.to_string()).into(),
        sheet.days.into(),
        build.day().into(),
        sheet.money.as_str().into(),
        build.current.is_current().into(),
        build.current.reasons(&build.sources).into(),
    ];
    let head = HEAD.iter().map(|(key, ..)| (*key).to_owned()).zip(head);
    Value::Object(
        head.chain(sheets.iter().map(|sheet| (key(sheet), rows(sheet))))
            .collect(),
    )
}

fn key(sheet: &Sheet) -> String {
    sheet.name.replace('-', "_")
}

fn rows(sheet: &Sheet) -> Value {
    let names = || sheet.columns.iter().map(|column| column.name.to_owned());
    let row = |row: &Vec<Cell>| Value::Object(names().zip(row.iter().map(value)).collect());
    Value::Array(sheet.rows.iter().map(row).collect())
}

fn value(cell: &Cell) -> Value {
    match cell {
        Cell::Nothing => Value::Null,
        Cell::Text(text) => text.as_str().into(),
        Cell::Names(names) => names.as_slice().into(),
        Cell::Number(number) => (*number).into(),
        Cell::Whole(count) => (*count).into(),
        Cell::Money(amount) => money(*amount).into(),
        Cell::Flag(flag) => (*flag).into(),
    }
}

/// The schema of [`document`].
pub fn schema(sheets: &[Sheet]) -> Value {
    let head = HEAD.iter().map(|(key, kind, about)| {
        let schema = if NOT_ALWAYS.contains(key) {
            or_null(kind_schema(*kind))
        } else {
            kind_schema(*kind)
        };
        ((*key).to_owned(), described(schema, about))
    });
    let rows = sheets.iter().map(|sheet| (key(sheet), sheet_schema(sheet)));
    let mut schema = object(&head.chain(rows).collect());
    schema["$schema"] = "https://json-schema.org/draft/2020-12/schema".into();
    described(schema, "A build book, as `shimbook export` writes it")
}

fn sheet_schema(sheet: &Sheet) -> Value {
    let columns = sheet
        .columns
        .iter()
        .map(|column| (column.name.to_owned(), column_schema(column)));
    described(
        json!({ "type": "array", "items": object(&columns.collect()) }),
        sheet.about,
    )
}

/// An object with these keys, all of them, and no others.
fn object(properties: &Map<String, Value>) -> Value {
    let required: Vec<&String> = properties.keys().collect();
    json!({ "type": "object", "required": required, "additionalProperties": false, "properties": properties })
}

fn column_schema(column: &Column) -> Value {
    let schema = kind_schema(column.kind);
    described(
        if column.always {
            schema
        } else {
            or_null(schema)
        },
        column.about,
    )
}

fn or_null(mut schema: Value) -> Value {
    schema["type"] = json!([schema["type"], "null"]);
    schema
}

fn kind_schema(kind: CellKind) -> Value {
    match kind {
        CellKind::Text => json!({ "type": "string" }),
        CellKind::Names => json!({ "type": "array", "items": { "type": "string" } }),
        CellKind::Number => json!({ "type": "number" }),
        CellKind::Whole => json!({ "type": "integer", "minimum": 0 }),
        CellKind::Money => json!({ "type": "string", "pattern": "^-?[0-9]+\\.[0-9]{2}$" }),
        CellKind::Flag => json!({ "type": "boolean" }),
    }
}

fn described(mut schema: Value, about: &str) -> Value {
    schema["description"] = about.into();
    schema
}
