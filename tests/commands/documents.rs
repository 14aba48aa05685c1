//! The documents that scripts rely on: their keys and the kinds of their values.
//!
//! In: what `check` and `tally` print for the books, and `record.json`. Out: tests.

use std::collections::BTreeSet;

use serde_json::Value;

use crate::shop::Shop;

fn document(line: &str) -> Value {
    let ran = Shop::open().run(line);
    serde_json::from_str(&ran.stdout).unwrap_or_else(|cause| panic!("{line}: {cause}"))
}

/// Asserts that an object has these keys with values of these kinds (`text`, `number`, `count`,
/// `flag`, `null`, several with `|`).
fn has(object: &Value, keys: &[(&str, &str)]) {
    for (key, kinds) in keys {
        let value = object
            .get(*key)
            .unwrap_or_else(|| panic!("no key {key} in {object}"));
        assert!(
            kinds.split('|').any(|kind| is_of(value, kind)),
            "{key} is {value}, not {kinds}"
        );
    }
}

fn is_of(value: &Value, kind: &str) -> bool {
    match kind {
        "text" => value.is_string(),
        "number" => value.is_f64() || value.is_u64() || value.is_i64(),
        "count" => value.is_u64(),
        "flag" => value.is_boolean(),
        "null" => value.is_null(),
        "list" => value.is_array(),
        "object" => value.is_object(),
        _ => false,
    }
}

fn one_of(value: &Value, words: &[&str]) {
    assert!(
        words.contains(&value.as_str().unwrap_or_default()),
        "{value} is none of {words:?}"
    );
}

fn check_document_is_whole(document: &Value) {
    has(
        document,
        &[
            ("title", "text"),
            ("day", "count"),
            ("errors", "count"),
            ("warnings", "count"),
            ("values", "object"),
            ("checks", "list"),
            ("diagnostics", "list"),
        ],
    );
    for value in document["values"].as_object().expect("values").values() {
        has(
            value,
            &[
                ("value", "number|null"),
                ("unit", "text"),
                ("worst_case", "number"),
                ("rss", "number"),
                ("day", "count|null"),
            ],
        );
        one_of(
            &value["state"],
            &["measured", "worked", "given", "chosen", "no reading"],
        );
        assert_eq!(value["value"].is_null(), value["state"] == "no reading");
    }
    for check in document["checks"].as_array().expect("checks") {
        has(
            check,
            &[
                ("name", "text"),
                ("rule", "text"),
                ("margin", "number|null"),
                ("unit", "text"),
                ("hold", "flag"),
                ("path", "text"),
                ("line", "count"),
            ],
        );
        one_of(
            &check["verdict"],
            &["in limits", "out of limits", "too close", "no reading"],
        );
    }
    for found in document["diagnostics"].as_array().expect("diagnostics") {
        has(
            found,
            &[
                ("slug", "text"),
                ("message", "text"),
                ("path", "text"),
                ("line", "count"),
                ("column", "count"),
            ],
        );
        one_of(&found["severity"], &["error", "warning", "note"]);
    }
}

fn tally_document_is_whole(document: &Value) {
    has(
        document,
        &[
            ("day", "count"),
            ("days", "list"),
            ("jobs", "object"),
            ("parts", "object"),
            ("hold", "list"),
        ],
    );
    for day in document["days"].as_array().expect("days") {
        for key in [
            "day", "planned", "added", "early", "done", "carried", "dropped",
        ] {
            has(day, &[(key, "count")]);
        }
        has(
            day,
            &[("hours_planned", "number"), ("hours_spent", "number")],
        );
        let count = |key: &str| day[key].as_u64().expect("a count");
        assert_eq!(
            count("planned") + count("added") + count("early"),
            count("done") + count("carried") + count("dropped"),
            "the day balances: {day}"
        );
    }
    for job in document["jobs"].as_object().expect("jobs").values() {
        has(
            job,
            &[
                ("title", "text"),
                ("planned_day", "count|null"),
                ("done_day", "count|null"),
                ("slipped", "count"),
            ],
        );
        has(
            job,
            &[("hours_planned", "number"), ("hours_spent", "number")],
        );
        one_of(
            &job["state"],
            &["planned", "done", "carried", "held up", "dropped"],
        );
    }
    for part in document["parts"].as_object().expect("parts").values() {
        has(
            part,
            &[
                ("since_day", "count|null"),
                ("due_day", "count|null"),
                ("late", "flag"),
                ("order_by_day", "count|null"),
            ],
        );
        one_of(
            &part["state"],
            &[
                "needed",
                "ordered",
                "in",
                "fitted",
                "off",
                "sent back",
                "scrapped",
            ],
        );
    }
    for line in document["hold"].as_array().expect("hold") {
        has(line, &[("id", "text"), ("why", "text")]);
        one_of(&line["kind"], &["temp", "check", "job"]);
    }
    has(
        &document["money"],
        &[("currency", "text"), ("spent", "text")],
    );
    has(&document["mass"], &[("fitted_kg", "number")]);
    has(
        &document["forecast"],
        &[
            ("deadline_day", "count|null"),
            ("finish_day", "object|null"),
            ("on_time", "number|null"),
        ],
    );
}

#[test]
fn check_keeps_its_keys_and_kinds() {
    check_document_is_whole(&document("check good --format json"));
    check_document_is_whole(&document("check bad --format json"));
}

#[test]
fn tally_keeps_its_keys_and_kinds_and_every_day_balances() {
    tally_document_is_whole(&document("tally good --format json"));
    tally_document_is_whole(&document("tally bad --format json"));
    tally_document_is_whole(&document("tally good --day 1 --format json"));
}

#[test]
fn the_record_holds_both_documents() {
    let shop = Shop::open();
    shop.run("writeup bad");
    let text =
        std::fs::read_to_string(shop.path().join("bad/record/record.json")).expect("record.json");
    let both: Value = serde_json::from_str(&text).expect("JSON");
    assert_eq!(both["check"], document("check bad --format json"));
    assert_eq!(both["tally"], document("tally bad --format json"));
}

#[test]
fn a_value_in_error_is_left_out_and_one_without_a_reading_is_null() {
    let document = document("check bad --format json");
    assert!(document["values"].get("odd").is_none());
    assert_eq!(document["values"]["free"]["value"], Value::Null);
    assert_eq!(document["values"]["free"]["state"], "no reading");
}

#[test]
fn sarif_points_at_its_rules_and_into_the_book() {
    let shop = Shop::open();
    let document: Value =
        serde_json::from_str(&shop.run("check bad --format sarif").stdout).expect("JSON");
    assert_eq!(document["version"], "2.1.0");
    has(&document, &[("$schema", "text"), ("runs", "list")]);
    let run = &document["runs"][0];
    let rules: Vec<&str> = run["tool"]["driver"]["rules"]
        .as_array()
        .expect("rules")
        .iter()
        .filter_map(|rule| rule["id"].as_str())
        .collect();
    assert_eq!(rules.iter().collect::<BTreeSet<_>>().len(), rules.len());
    let results = run["results"].as_array().expect("results");
    assert!(results.len() >= 6);
    for result in results {
        let index = result["ruleIndex"].as_u64().expect("an index") as usize;
        assert_eq!(result["ruleId"], rules[index]);
        one_of(&result["level"], &["error", "warning", "note"]);
        has(&result["message"], &[("text", "text")]);
        let place = &result["locations"][0]["physicalLocation"];
        let path = place["artifactLocation"]["uri"].as_str().expect("a path");
        let lines = std::fs::read_to_string(shop.path().join("bad").join(path))
            .expect("a file of the book")
            .lines()
            .count();
        let region = &place["region"];
        assert!((1..=lines as u64).contains(&region["startLine"].as_u64().expect("a line")));
        for key in ["startColumn", "endLine", "endColumn"] {
            assert!(region[key].as_u64().expect("a number") >= 1);
        }
    }
}

#[test]
fn sarif_and_lines_and_json_say_the_same_things() {
    let shop = Shop::open();
    let json: Value =
        serde_json::from_str(&shop.run("check bad --format json").stdout).expect("JSON");
    let sarif: Value =
        serde_json::from_str(&shop.run("check bad --format sarif").stdout).expect("JSON");
    let from_json: Vec<String> = json["diagnostics"]
        .as_array()
        .expect("a list")
        .iter()
        .map(|found| {
            let text = |key: &str| found[key].as_str().expect("text").to_owned();
            format!(
                "{}:{}:{}: {}: {}",
                text("path"),
                found["line"],
                found["column"],
                text("severity"),
                text("message")
            )
        })
        .collect();
    let lines = shop.run("check bad --format lines").stdout;
    assert_eq!(
        lines.lines().map(str::to_owned).collect::<Vec<_>>(),
        from_json
    );
    let rules = |list: &Value, key: &str| -> Vec<Value> {
        list.as_array()
            .expect("a list")
            .iter()
            .map(|found| found[key].clone())
            .collect()
    };
    assert_eq!(
        rules(&sarif["runs"][0]["results"], "ruleId"),
        rules(&json["diagnostics"], "slug")
    );
}
