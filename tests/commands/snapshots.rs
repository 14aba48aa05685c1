//! Commands held against what is kept of them.
//!
//! In: a name and lines of arguments, run one after the other in one folder. Out: a test that fails
//! where status, outputs or written files are not as `snapshots/NAME.txt` has them.

use std::path::Path;

use crate::shop::{Ran, Shop};

macro_rules! snapshots {
    ($($name:ident: $($line:literal),+ => $folder:literal;)*) => {
        $(#[test] fn $name() { hold_against(stringify!($name), &[$($line),+], $folder); })*

        #[test]
        fn every_snapshot_belongs_to_a_command() {
            let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/commands/snapshots");
            for entry in std::fs::read_dir(folder).expect("the snapshots are there") {
                let name = entry.expect("a file").file_name().to_string_lossy().into_owned();
                assert!([$(concat!(stringify!($name), ".txt")),*].contains(&name.as_str()), "{name}");
            }
        }
    };
}

// name: commands => the folder whose files are listed after them
snapshots! {
    start_writes_a_book_that_can_be_checked_and_written_up:
        "start new", "check new", "tally new", "writeup new" => "new";
    start_refuses_a_folder_that_holds_a_book: "start good" => "good";
    morning_writes_the_next_day_once: "morning good", "morning good" => "good";
    morning_of_a_bad_book_is_written: "morning bad", "morning nowhere" => "bad";
    check_of_a_good_book_says_what_is_open: "check good" => "";
    check_of_a_good_book_has_no_lines: "check good --format lines" => "";
    check_of_a_good_book_as_json: "check good --format json" => "";
    check_of_a_bad_book_says_where_what_and_what_to_write: "check bad" => "";
    check_of_a_bad_book_a_line_each: "check bad --format lines" => "";
    check_of_a_bad_book_as_json: "check bad --format json" => "";
    tally_of_the_latest_day: "tally good" => "";
    tally_of_an_evening_before: "tally good --day 1" => "";
    tally_of_a_day_without_a_log: "tally good --day 3" => "";
    tally_as_json: "tally good --format json" => "";
    tally_of_a_bad_book_still_speaks: "tally bad" => "";
    writeup_writes_everything_once: "writeup good", "writeup good" => "good";
    writeup_of_a_bad_book_is_complete: "writeup bad" => "bad";
    writeup_into_another_folder: "writeup good --out out/side" => "out";
    writeup_into_the_book_is_refused: "writeup good --out good", "writeup good --out good/days" => "good";
    export_writes_sheets_and_the_document: "export good --out sheets", "export good --out sheets" => "sheets";
    export_of_a_bad_book_is_complete: "export bad --out sheets", "export good --out good", "export good" => "sheets";
    handover_writes_a_sealed_folder_and_verify_holds_it_against_its_seal:
        "handover good --for audience --out handed --zip", "verify handed", "verify handed.zip",
        "handover good --for customer --out handed --zip" => "handed";
    no_command_writes_over_the_folder_of_another:
        "writeup good --out out", "export good --out out", "handover good --for audience --out out",
        "writeup bad --out out" => "out";
    handover_of_a_bad_book_writes_nothing: "handover bad --for customer --out handed", "verify handed" => "handed";
    handover_to_nobody_known_or_into_the_book_is_refused:
        "handover good --for auience --out handed", "handover good --for audience --out good",
        "handover good --for audience --out good/days" => "good";
    handover_of_what_is_on_hold_wants_a_name:
        "handover held --for audience --out handed", "handover held --for audience --out handed --as-is Sam" => "handed";
    verify_of_what_is_no_handover: "verify good", "verify good/plan.md", "verify nowhere" => "";
    formulas_are_an_entry_a_line: "formulas" => "";
    one_formula_in_full: "formulas shaft_critical_speed" => "";
    a_formula_nobody_knows: "formulas shaft_critical_sped", "formulas weather" => "";
    no_book_here: "check", "tally nowhere", "writeup nowhere" => "";
    help_lists_the_commands: "--help" => "";
}

/// Runs the lines and compares, or writes the snapshot anew where that is asked for.
fn hold_against(name: &str, lines: &[&str], folder: &str) {
    let shop = Shop::open();
    let mut told: String = lines
        .iter()
        .map(|line| spoken(line, &shop.run(line)))
        .collect();
    if !folder.is_empty() {
        told.push_str(&format!("files in {folder}\n"));
        shop.files(folder)
            .iter()
            .for_each(|file| told.push_str(&format!("  {file}\n")));
    }
    let file = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/commands/snapshots")
        .join(format!("{name}.txt"));
    if std::env::var("SHIMBOOK_SNAPSHOTS").is_ok_and(|word| word == "refresh") {
        return std::fs::write(file, told).expect("the snapshot can be written");
    }
    let kept = std::fs::read_to_string(file).unwrap_or_default();
    assert!(told == kept, "kept\n{kept}\ntold\n{told}");
}

fn spoken(line: &str, ran: &Ran) -> String {
    let marked = |mark: &str, text: &str| {
        text.lines()
            .map(|line| format!("{mark} {line}").trim_end().to_owned() + "\n")
            .collect::<String>()
    };
    format!(
        "$ shimbook {line}\n{}{}status {}\n\n",
        marked("|", &ran.stdout),
        marked("!", &ran.stderr),
        ran.status
    )
}
