//! The search data of a handover hold no more than its pages: what has gone there is not found
//! here.

use std::collections::BTreeSet;

use serde_json::Value;
use shimbook::handover::{Order, hand_over};
use shimbook::render::{Pages, SEARCH, Theme, press};

use crate::book::{Kind, Made};

/// The data without the call around them.
fn data(files: &Pages) -> Value {
    let text = std::str::from_utf8(&files[SEARCH]).expect("text");
    let json = text
        .strip_prefix("shimbookSearch(")
        .and_then(|rest| rest.strip_suffix(");\n"))
        .expect("a call");
    serde_json::from_str(json).expect("JSON")
}

fn handed(made: &Made, audience: &str, theme: &Theme) -> Pages {
    let book = made.worked();
    let permissions = book.build.book.sheet.audiences[audience];
    let order = Order {
        audience,
        permissions,
        as_is: Some("The signer"),
        sources: String::new(),
    };
    hand_over(&book, &made.photos, theme, &order)
        .expect("it can be made")
        .files
}

/// Every text of some data, in small letters.
fn texts(data: &Value) -> String {
    match data {
        Value::String(text) => text.to_lowercase() + "\n",
        Value::Array(items) => items.iter().map(texts).collect(),
        Value::Object(fields) => fields.values().map(texts).collect(),
        _ => String::new(),
    }
}

#[test]
fn the_crew_finds_secrets_of_every_kind_and_the_audience_finds_none() {
    let theme = Theme::built_in().expect("the theme");
    for seed in 0..20 {
        let made = Made::new(seed, 2);
        let own = texts(&data(
            &press(&made.worked().page_set(), &theme).expect("the record"),
        ));
        // A hold check that is worked out from a cost stays, and its figures may hold those digits.
        let outside = made.safety.iter().fold(
            texts(&data(&handed(&made, "audience", &theme))),
            |text, shown| text.replace(&shown.to_lowercase(), ""),
        );
        let found = |text: &str| -> BTreeSet<String> {
            let there = made
                .secrets
                .iter()
                .filter(|(_, secret)| text.contains(&secret.to_lowercase()));
            there.map(|(kind, _)| format!("{kind:?}")).collect()
        };
        for kind in [
            Kind::Cost,
            Kind::Serial,
            Kind::Supplier,
            Kind::Name,
            Kind::Shop,
        ] {
            assert!(
                found(&own).contains(&format!("{kind:?}")),
                "seed {seed}: the crew finds no {kind:?}"
            );
        }
        let long = made
            .secrets
            .iter()
            .filter(|(_, secret)| secret.len() > 3 && outside.contains(&secret.to_lowercase()));
        assert_eq!(
            long.map(|(_, secret)| secret).collect::<Vec<_>>(),
            [""; 0],
            "seed {seed}"
        );
        assert!(outside.len() > 1000, "there is something to find");
    }
}

#[test]
fn every_hit_of_a_handover_leads_to_a_place_that_is_there() {
    let theme = Theme::built_in().expect("the theme");
    for audience in ["audience", "customer"] {
        let files = handed(&Made::new(3, 2), audience, &theme);
        let data = data(&files);
        let has = |page: &str, anchor: &str| {
            let text = files
                .get(page)
                .map(|bytes| String::from_utf8_lossy(bytes).into_owned());
            text.is_some_and(|text| anchor.is_empty() || text.contains(&format!("id=\"{anchor}\"")))
        };
        let rows = |of: &Value| of.as_array().cloned().unwrap_or_default();
        let text = |value: &Value| value.as_str().unwrap_or_default().to_owned();
        let mut places = Vec::new();
        for (kind, page, prefix) in [
            ("jobs", "jobs.html", "job-"),
            ("parts", "ledger.html", "part-"),
            ("values", "as-built.html", "value-"),
        ] {
            let here = rows(&data[kind])
                .into_iter()
                .filter(|row| kind != "values" || row[2].is_null());
            places.extend(here.map(|row| (page.to_owned(), format!("{prefix}{}", text(&row[0])))));
        }
        for day in rows(&data["days"]) {
            places.extend(
                rows(&day[3])
                    .iter()
                    .map(|line| (text(&day[1]), text(&line[0]))),
            );
        }
        let lost: Vec<_> = places
            .iter()
            .filter(|(page, anchor)| !has(page, anchor))
            .collect();
        assert!(
            lost.is_empty() && places.len() > 40,
            "{audience}: {} of {}: {lost:?}",
            lost.len(),
            places.len()
        );
    }
}
