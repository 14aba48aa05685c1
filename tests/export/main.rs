//! `export`: what it writes reads back cell by cell, in other programs too, and harms nobody.
#![allow(
    clippy::disallowed_methods,
    reason = "a test sets books up and looks at what was written"
)]

#[path = "../cases/mod.rs"]
mod cases;
mod command;
mod reading;
mod schema;

use std::process::Command;

use shimbook::build::{Build, compile};
use shimbook::io::BookFiles;

const SHEET: &str = "title: \"Kittiwake, \\\"light\\\"\"\nstart: 2031-05-02\ndays: 8\ncrew:\n  - {name: Ines, hours: 9}\n  - {name: =Odd Ö., hours: 8}\n";
const PLAN: &str = "## Day 1\n- [ ] =HYPERLINK(\"x\"), say {a, by Ines + =Odd Ö., takes 1 h}\n- [ ] +1 “Träger” {b, needs p + q}\n- [ ] @home 'quoted' {c}\n- [ ] 'tis one {d}\n- [ ] ＝1 wide {e}\n## Day 3\n- [ ] - minus | pipe {f, follows a}\n";
const PARTS: &str = "p:\n  what: \"-two\\nlines, \\\"and\\\" 日本\"\n  from: \"\\tTern\"\n  mass: 1.5 +0.2/-0.1 lb\n  cost: 8200\n  ratings: {power: 200 kW, torque: 370 N-m}\nq: {what: \"a\\r\\nb\", cost: 0.5, supplied: lent}\n";
const LOG: &str = "---\nday: 1\n---\n# =One, two\n\n- [x] {a, took 1 h 20 min, temp: =a strap}\n- [ ] {b, held up: =no \"drill\", no bolts}\n- [x] =Yard {yard, by =Odd Ö., took 1 h, caution first_move}\n\n```parts\np: ordered, due day 2, cost 86, @remark, with \"signs\"\nq: in\n```\n\n```sums\ngap measured -0.5 +0.2/-0.1 mm, by Ines  # -remark\ngap at least -3 mm, hold\nwarm = -5 degC\nshare = 0.1 + 0.2\nlate at most 4 kg, hold\nbroken = 1 mm + 1 kg\n```\n";

/// A book whose words hold whatever CSV and spreadsheets trip over.
fn awkward() -> Build {
    compile(BookFiles::from_texts([
        ("build-sheet.yaml", SHEET),
        ("plan.md", PLAN),
        ("parts.yaml", PARTS),
        ("days/day-01.md", LOG),
    ]))
}

/// Runs Python, where there is one; else says why not.
fn python(script: &str, arguments: &[&std::path::Path]) -> Option<String> {
    let ran = Command::new("python3")
        .args(["-W", "ignore", "-c", script])
        .args(arguments)
        .env("PYTHONUTF8", "1")
        .output();
    let Ok(output) = ran else {
        println!("skipped: there is no python3 to read with");
        return None;
    };
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    assert!(
        output.status.success(),
        "{text}{}",
        String::from_utf8_lossy(&output.stderr)
    );
    Some(text)
}
