//! The program held against published figures, through sums blocks as a crew writes them.
//!
//! The figures stand in `published-checks.json`, each with its source and how it is known; rows
//! that say "from memory" were written down from memory and recomputed where that was possible.

#[path = "../bench/mod.rs"]
mod bench;
mod catalogue;
mod driveline;
mod fractions;
mod performance;
mod published;
mod reference;
mod shop_sums;
mod trades;
mod uncertainty;
mod units;

/// Every row that some test holds the program against.
fn rows_run() -> Vec<&'static str> {
    let tables = [
        units::ROWS,
        uncertainty::ROWS,
        driveline::ROWS,
        shop_sums::ROWS,
        fractions::ROWS,
        performance::ROWS,
        trades::ROWS,
    ];
    tables
        .iter()
        .flat_map(|rows| rows.iter().map(|held| held.row))
        .chain(performance::ROAD_TEST_ROWS)
        .collect()
}

#[test]
fn every_row_of_the_data_file_is_run_and_no_other() {
    let mut run = rows_run();
    run.sort_unstable();
    let mut listed: Vec<String> = published::all().into_iter().map(|row| row.id).collect();
    listed.sort_unstable();
    assert_eq!(listed, run);
}

#[test]
fn every_row_names_its_source_and_how_it_is_known() {
    for row in published::all() {
        assert!(
            row.source.len() > 3 && row.how.len() > 3,
            "{} is not sourced",
            row.id
        );
    }
}
