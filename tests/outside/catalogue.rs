//! What the catalogue says of itself.

use shimbook::calc::catalogue::all;
use shimbook::quantity::{Literal, Units};

use crate::bench::work;

#[test]
fn every_worked_example_comes_to_what_it_says_to_the_digits_printed() {
    for formula in all() {
        let (call, says) = (formula.worked.call, formula.worked.comes_to);
        let printed = Literal::read(says, &Units::new("EUR")).unwrap();
        let bench = work(&[&format!("x = {call} as {}", printed.unit.name)]);
        assert!(bench.diagnostics.is_empty(), "{call}: {:?}", bench.said());
        let figure = says.split(' ').next().unwrap_or_default();
        let places = figure.split_once('.').map_or(0, |(_, decimals)| decimals.len());
        assert_eq!(format!("{:.places$}", bench.shown("x")), figure, "{call} comes to {}", bench.shown("x"));
    }
}

#[test]
fn every_row_a_formula_says_it_is_held_against_is_run() {
    let run = crate::rows_run();
    for formula in all() {
        for id in formula.held_against {
            assert!(run.contains(id), "{} is said to be held against {id}", formula.name);
        }
    }
}

#[test]
fn every_formula_is_shown_in_a_unit_of_what_it_gives() {
    for formula in all() {
        let unit = Units::new("EUR").named(formula.shown_in);
        assert!(unit.is_ok_and(|unit| unit.dimension == formula.dimension), "{}", formula.name);
    }
}
