//! A second reference: some hundred random sums, worked out by `pint` (units) and `uncertainties`
//! (spreads).
//!
//! `tests/reference/make.py` makes the sums and `tests/reference/results.json`; nothing of this
//! program is in it.

use std::process::Command;

use serde::Deserialize;

use crate::bench::work;

#[derive(Deserialize)]
struct Results {
    cases: Vec<Case>,
}

#[derive(Deserialize)]
struct Case {
    readings: Vec<String>,
    sum: String,
    nominal: f64,
    rss: f64,
    worst: f64,
    /// In the unit behind `as`, where there is one.
    shown: Option<f64>,
}

fn results(text: &str) -> Vec<Case> {
    serde_json::from_str::<Results>(text)
        .expect("the results are JSON")
        .cases
}

fn kept() -> Vec<Case> {
    results(include_str!("../reference/results.json"))
}

fn same(found: f64, expected: f64) -> bool {
    (found - expected).abs() <= 1e-9 * expected.abs()
}

impl Case {
    /// What differs from the reference.
    fn differs(&self) -> Option<String> {
        let text = format!("{}\n{}", self.readings.join("\n"), self.sum);
        let bench = work(&[&text]);
        if let Some(error) = bench
            .diagnostics
            .iter()
            .find(|d| d.severity == shimbook::diagnostics::Severity::Error)
        {
            return Some(format!("{text}\n  {}", error.message));
        }
        let r = bench.value("r");
        let figures = [
            ("nominal", r.nominal, self.nominal),
            (
                "shown",
                bench.shown("r"),
                self.shown.unwrap_or_else(|| bench.shown("r")),
            ),
        ];
        let spreads = [
            ("rss up", r.rss().up, self.rss),
            ("rss down", r.rss().down, self.rss),
            ("worst up", r.worst_case().up, self.worst),
            ("worst down", r.worst_case().down, self.worst),
        ];
        // The reference knows slopes only. Where a reading's end reaches further than its slope,
        // the program takes the end: its spread may be wider there, never narrower.
        let narrower = |found: f64, expected: f64| found < expected * (1.0 - 1e-9);
        let bent = spreads
            .iter()
            .any(|(_, found, expected)| *found > expected * (1.0 + 1e-9));
        let wrong = figures
            .iter()
            .find(|(_, found, expected)| !same(*found, *expected));
        let wrong = wrong.or_else(|| {
            spreads.iter().find(|(_, found, expected)| {
                if bent {
                    narrower(*found, *expected)
                } else {
                    !same(*found, *expected)
                }
            })
        });
        wrong.map(|(what, found, expected)| {
            format!("{text}\n  {what}: {found} instead of {expected}")
        })
    }
}

/// Is a spread wider than the slopes say?
fn is_bent(case: &Case) -> bool {
    let bench = work(&[&format!("{}\n{}", case.readings.join("\n"), case.sum)]);
    bench.has_value("r") && bench.value("r").worst_case().half_width() > case.worst * (1.0 + 1e-9)
}

#[test]
fn few_sums_bend_so_far_that_the_ends_of_a_reading_count() {
    let cases = kept();
    let bent = cases.iter().filter(|case| is_bent(case)).count();
    assert!(bent * 20 < cases.len(), "{bent} of {} sums", cases.len());
}

#[test]
fn units_and_spreads_agree_with_a_second_reference() {
    let cases = kept();
    assert!(cases.len() >= 500, "only {} sums", cases.len());
    let wrong: Vec<String> = cases.iter().filter_map(Case::differs).collect();
    assert!(
        wrong.is_empty(),
        "{} of {} sums differ\n{}",
        wrong.len(),
        cases.len(),
        wrong[..wrong.len().min(5)].join("\n")
    );
}

/// Needs a `python3` that has both packages; says so where there is none.
#[test]
fn the_second_reference_can_be_made_again() {
    let root = env!("CARGO_MANIFEST_DIR");
    let made = Command::new("python3")
        .arg("tests/reference/make.py")
        .current_dir(root)
        .output();
    let made = match made {
        Ok(made) if made.status.success() => made,
        Ok(made) if String::from_utf8_lossy(&made.stderr).contains("ModuleNotFoundError") => {
            println!(
                "skipped: python3 has no pint or no uncertainties (pip install pint uncertainties)"
            );
            return;
        }
        Err(error) => {
            println!("skipped: python3 does not run here ({error})");
            return;
        }
        Ok(made) => panic!("make.py failed: {}", String::from_utf8_lossy(&made.stderr)),
    };
    let (again, kept) = (results(&String::from_utf8_lossy(&made.stdout)), kept());
    assert_eq!(again.len(), kept.len());
    for (again, kept) in again.iter().zip(&kept) {
        assert_eq!((&again.readings, &again.sum), (&kept.readings, &kept.sum));
        let pairs = [
            (again.nominal, kept.nominal),
            (again.rss, kept.rss),
            (again.worst, kept.worst),
        ];
        assert!(
            pairs.iter().all(|(a, b)| same(*a, *b)),
            "{} came to something else",
            kept.sum
        );
    }
}
