//! Verdict, margin and basis of each check, in every place.

use std::collections::BTreeMap;

use serde_json::Value;

use crate::facts::{Fact, facts};
use crate::on_every_book;
use crate::places::{Said, Written};

/// A printed figure may be off by so much of it, to the safe side.
const THREE_FIGURES: f64 = 0.011;
const TWO_FIGURES: f64 = 0.11;

type Facts = BTreeMap<(String, String), Fact>;

#[test]
fn every_place_says_the_verdict_the_margin_and_the_basis_that_the_text_comes_to() {
    on_every_book(|texts, written| {
        let facts = facts(texts);
        assert_eq!(
            written.check["checks"].as_array().unwrap().len(),
            facts.len(),
            "{texts:#?}"
        );
        data_agree(&facts, written);
        places_agree(&facts, written);
        the_hold_list_agrees(&facts, written);
        the_shop_screen_shows_what_is_not_in_limits(&facts, written);
        the_ledger_agrees(&facts, written);
        the_cover_counts(&facts, written);
        findings_are_measured(written);
    });
}

/// Figures for scripts are the facts, and the two documents say the same.
fn data_agree(facts: &Facts, written: &Written) {
    for document in [&written.check["checks"], &written.export["checks"]] {
        for check in document.as_array().unwrap() {
            let text = |key: &str| check[key].as_str().unwrap_or_default().to_owned();
            let rule = text("rule").trim_end_matches(", hold").to_owned();
            let fact = facts
                .get(&(text("name"), rule))
                .unwrap_or_else(|| panic!("no fact for {check}"));
            assert_eq!(text("verdict"), fact.verdict, "{check} {fact:?}");
            assert_eq!(text("basis"), fact.basis, "{check} {fact:?}");
            assert_eq!(
                check["limit_basis"].as_str(),
                fact.limit_basis,
                "{check} {fact:?}"
            );
            let margin = check["margin"].as_f64().unwrap() * 1000.0;
            assert!((margin - fact.margin).abs() < 1e-6, "{check} {fact:?}");
            assert!(margin != 0.0 || margin.is_sign_positive(), "{check}");
        }
    }
}

/// Each place words the margin as every other does, and as it is.
fn places_agree(facts: &Facts, written: &Written) {
    let said = written.said();
    for (place, at_least) in [
        ("sums table", 1),
        ("workings", 1),
        ("inspection sheet", 1),
        ("as-built sheet", 1),
    ] {
        assert!(
            said.iter().filter(|said| said.place == place).count() >= at_least,
            "{place} says nothing: {said:#?}"
        );
    }
    for one in &said {
        let of_name = || facts.iter().filter(|((name, _), _)| *name == one.name);
        let exact = of_name().find(|((_, rule), _)| *rule == one.rule.trim_end_matches(", hold"));
        let fact = exact.or_else(|| of_name().next()).map(|(_, fact)| fact);
        let fact = fact.unwrap_or_else(|| panic!("no fact for {one:?}"));
        assert_eq!(one.verdict, fact.verdict, "{one:?} {fact:?}");
        margin_is_true(one, fact);
        if !one.basis.is_empty() {
            assert_eq!(
                one.basis.replace('’', "'"),
                basis_words(fact),
                "{one:?} {fact:?}"
            );
        }
        let other = said
            .iter()
            .find(|other| other.name == one.name && plain(&other.margin) != plain(&one.margin));
        assert!(other.is_none(), "{one:?} and {other:?}");
    }
}

fn basis_words(fact: &Fact) -> String {
    let limit = fact
        .limit_basis
        .map_or_else(String::new, |limit| format!(", limit: {limit}"));
    format!("{}{limit}", fact.basis)
}

/// The margin without the value in full, which only some places add.
fn plain(margin: &str) -> String {
    margin.split(", in full ").next().unwrap().to_owned()
}

/// The figures of the words, in thousandths.
fn figures(words: &str) -> Vec<f64> {
    let words = words.replace('\u{202f}', "").replace('\u{2212}', "-");
    let is_figure = |c: char| c.is_ascii_digit() || c == '.' || c == '-';
    let figures = words
        .split(|c| !is_figure(c))
        .filter_map(|figure| figure.parse::<f64>().ok());
    figures.map(|figure| figure * 1000.0).collect()
}

fn margin_is_true(said: &Said, fact: &Fact) {
    let (words, margin) = (plain(&said.margin), figures(&plain(&said.margin)));
    let begins = match (fact.verdict, fact.lower) {
        ("in limits", _) => "clear by ",
        ("out of limits", true) => "short by ",
        ("out of limits", false) => "over by ",
        _ => "",
    };
    assert!(words.starts_with(begins), "{said:?} {fact:?}");
    match fact.verdict {
        "in limits" => not_more(margin[0], fact.margin, said),
        "out of limits" => {
            not_less(margin[0], -fact.margin, THREE_FIGURES, said);
            not_less(
                margin.get(1).copied().unwrap_or(margin[0]),
                -fact.as_read,
                THREE_FIGURES,
                said,
            );
        }
        _ => {
            let inside = fact.as_read >= -1e-9;
            assert!(
                words.contains(if inside {
                    " inside the limit"
                } else {
                    " outside the limit"
                }),
                "{said:?} {fact:?}"
            );
            if inside {
                not_more(margin[0], fact.as_read, said);
            } else {
                not_less(margin[0], -fact.as_read, THREE_FIGURES, said);
            }
            not_less(margin[1], fact.spread, TWO_FIGURES, said);
        }
    }
}

fn not_more(printed: f64, fact: f64, said: &Said) {
    assert!(
        printed <= fact + 1e-6 && printed >= fact * (1.0 - THREE_FIGURES) - 1e-6,
        "{said:?}: {printed} for {fact}"
    );
}

fn not_less(printed: f64, fact: f64, share: f64, said: &Said) {
    assert!(
        printed >= fact - 1e-6 && printed <= fact * (1.0 + share) + 1e-6,
        "{said:?}: {printed} for {fact}"
    );
}

/// Each check that is not in limits is on the shop screen once: on hold, or among the others.
fn the_shop_screen_shows_what_is_not_in_limits(facts: &Facts, written: &Written) {
    let shown = |hold: bool| -> Vec<(String, String)> {
        let rule = |rule: &str| rule.trim_end_matches(", hold").to_owned();
        let rows = written.screen_rows(hold).into_iter();
        let mut rows: Vec<_> = rows.map(|said| (said.name, rule(&said.rule))).collect();
        rows.sort();
        rows
    };
    let expected = |hold: bool| -> Vec<(String, String)> {
        let open = facts.iter().filter(|(_, fact)| fact.verdict != "in limits");
        let open = open.filter(|(_, fact)| fact.hold == hold);
        open.map(|((name, rule), _)| {
            (
                name.clone(),
                if hold { String::new() } else { rule.clone() },
            )
        })
        .collect()
    };
    assert_eq!(shown(true), expected(true), "on hold");
    assert_eq!(shown(false), expected(false), "other checks");
}

/// The hold list, the tally and the next morning say the margin of a hold check as the pages do.
fn the_hold_list_agrees(facts: &Facts, written: &Written) {
    let lines = written.tally["hold"].as_array().unwrap();
    let said = written.said();
    for ((name, rule), fact) in facts
        .iter()
        .filter(|(_, fact)| fact.hold && fact.verdict != "in limits")
    {
        let line = lines
            .iter()
            .find(|line| line["id"] == name.as_str())
            .unwrap_or_else(|| panic!("{name} {rule}"));
        let why = line["why"].as_str().unwrap();
        let margin = said
            .iter()
            .find(|said| said.name == *name && said.place == "workings")
            .unwrap();
        let margin = plain(&margin.margin)
            .replace('\u{202f}', " ")
            .replace('\u{2212}', "-");
        assert!(
            why.starts_with(&format!("{}, {margin}", fact.verdict)),
            "{why} {margin}"
        );
        assert!(
            written.morning.replace('\\', "").contains(why),
            "{why} in {}",
            written.morning
        );
    }
}

/// The drawing of masses says the margin of its target as the cover does.
fn the_ledger_agrees(facts: &Facts, written: &Written) {
    let target = facts.keys().find(|(name, _)| name == "whole");
    let (Some(_), Some(drawing)) = (target, written.mass_drawing()) else {
        return;
    };
    let said = written.said();
    let cover = said
        .iter()
        .find(|said| said.name == "whole" && said.place == "cover")
        .unwrap();
    assert!(
        drawing.ends_with(&format!(", {}", plain(&cover.margin))),
        "{drawing} {cover:?}"
    );
}

/// The cover counts the targets by basis.
fn the_cover_counts(facts: &Facts, written: &Written) {
    let targets: Vec<&Fact> = facts.values().filter(|fact| fact.target).collect();
    if targets.is_empty() {
        return;
    }
    let held: Vec<&&Fact> = targets
        .iter()
        .filter(|fact| fact.verdict == "in limits")
        .collect();
    let count = |basis: &str| held.iter().filter(|fact| fact.basis == basis).count();
    let bases = ["measured", "calculated", "given", "maker's figure"];
    let counts: Vec<String> = bases
        .iter()
        .filter(|b| count(b) > 0)
        .map(|b| format!("{} {b}", count(b)))
        .collect();
    let counts = if counts.is_empty() {
        String::new()
    } else {
        format!(": {}", counts.join(", "))
    };
    let noun = if targets.len() == 1 {
        "target"
    } else {
        "targets"
    };
    let sentence = format!(
        "{} of {} {noun} in limits{counts}",
        held.len(),
        targets.len()
    );
    let page = written.pages["index.html"]
        .root_element()
        .text()
        .collect::<String>();
    assert!(page.contains(&sentence), "{sentence}");
}

/// A sum is never listed as a finding.
fn findings_are_measured(written: &Written) {
    let basis = |row: &Value| row["basis"].as_str().unwrap().to_owned();
    for row in written.inspection["rows"].as_array().unwrap() {
        assert!(
            basis(row).is_empty() || basis(row).starts_with("measured"),
            "{row}"
        );
    }
    for row in written.inspection["not_measured"].as_array().unwrap() {
        assert!(!basis(row).starts_with("measured"), "{row}");
    }
}
