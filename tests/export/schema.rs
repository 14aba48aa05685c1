//! The document is what its schema says.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use serde_json::Value;
use shimbook::export::sheets::{document, schema, sheets};

use crate::{awkward, python};

const VALIDATE: &str = "import json, sys
try:
    import jsonschema
except ImportError:
    print('skipped: this Python has no jsonschema')
    sys.exit()
document, schema = (json.load(open(path, encoding='utf-8')) for path in sys.argv[1:])
jsonschema.Draft202012Validator.check_schema(schema)
validator = jsonschema.Draft202012Validator(schema)
validator.validate(document)
for wrong in ('title', 'jobs'):
    assert not validator.is_valid({key: value for key, value in document.items() if key != wrong}), wrong
assert not validator.is_valid({**document, 'more': 1})
print('valid')";

#[test]
fn the_document_is_valid_by_its_schema() {
    let (build, dir) = (awkward(), tempfile::tempdir().unwrap());
    let sheets = sheets(&build);
    let [book, rules] = ["book.json", "book.schema.json"].map(|name| dir.path().join(name));
    fs::write(&book, document(&build, &sheets).to_string()).unwrap();
    fs::write(&rules, schema(&sheets).to_string()).unwrap();
    if let Some(said) = python(VALIDATE, &[&book, &rules]) {
        print!("{said}");
        assert!(
            said.starts_with("valid") || said.starts_with("skipped"),
            "{said}"
        );
    }
}

/// Every key of a value with its way from the top, lists gone through.
fn keys(value: &Value, way: &str, found: &mut BTreeSet<String>) {
    match value {
        Value::Object(object) => {
            for (key, value) in object {
                found.insert(format!("{way}/{key}"));
                keys(value, &format!("{way}/{key}"), found);
            }
        }
        Value::Array(items) => items.iter().for_each(|item| keys(item, way, found)),
        _ => {}
    }
}

/// Every key that a schema speaks of, with its way from the top.
fn keys_of_schema(schema: &Value, way: &str, found: &mut BTreeSet<String>) {
    let object = if schema["type"] == "array" {
        &schema["items"]
    } else {
        schema
    };
    for (key, inner) in object["properties"].as_object().into_iter().flatten() {
        found.insert(format!("{way}/{key}"));
        assert!(
            inner["description"].is_string(),
            "{way}/{key} says what it is"
        );
        keys_of_schema(inner, &format!("{way}/{key}"), found);
    }
}

#[test]
fn every_key_of_the_document_is_in_the_schema_and_every_key_of_the_schema_in_the_document() {
    let build = awkward();
    let sheets = sheets(&build);
    let (mut there, mut said) = (BTreeSet::new(), BTreeSet::new());
    keys(&document(&build, &sheets), "", &mut there);
    keys_of_schema(&schema(&sheets), "", &mut said);
    assert!(there.len() > 100);
    assert_eq!(there, said);
}

#[test]
fn the_published_schema_stays_as_it_is_until_somebody_means_to_change_it() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/export/book.schema.json");
    let now = serde_json::to_string_pretty(&schema(&sheets(&awkward()))).unwrap() + "\n";
    if std::env::var_os("SHIMBOOK_SPEC").is_some_and(|what| what == "refresh") {
        fs::write(&path, &now).unwrap();
    }
    let published: Value = serde_json::from_str(&fs::read_to_string(&path).unwrap()).unwrap();
    assert_eq!(
        published,
        serde_json::from_str::<Value>(&now).unwrap(),
        "refresh with SHIMBOOK_SPEC=refresh"
    );
}
