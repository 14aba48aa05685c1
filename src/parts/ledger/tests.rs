//! The rules of the ledger and the figures, and what holds for any run of events.

use std::collections::BTreeSet;

use proptest::prelude::*;
use rust_decimal::Decimal;

use super::{Ledger, PartState, keep};
use crate::book::{EventKind, Supplied};
use crate::calc::{FigureValue, Figures};
use crate::diagnostics::{Diagnostic, Severity, Slug};
use crate::parts::figures;
use crate::testing::write;

fn kept(text: &str) -> (Ledger, Vec<Diagnostic>) {
    keep(&write(text))
}

fn fine(text: &str) -> Ledger {
    let (ledger, wrong) = kept(text);
    assert_eq!(wrong, [], "nothing is wrong in this book");
    ledger
}

fn figures_of(text: &str) -> Figures {
    let book = write(text);
    figures::from(&book, &keep(&book).0)
}

fn money(text: &str) -> Decimal {
    text.parse().unwrap()
}

#[test]
fn a_part_is_where_its_events_left_it_on_any_day() {
    let ledger = fine(
        "part pump lead 2\nday 1\nevent pump: ordered\nday 3\nevent pump: in\nevent pump: fitted\nday 4\n\
         event pump: taken off\nday 5\n",
    );
    let states: Vec<_> = (0..=5)
        .map(|day| ledger.state_on("pump", day).unwrap().words())
        .collect();
    assert_eq!(
        states,
        ["needed", "ordered", "ordered", "fitted", "off", "off"]
    );
    assert_eq!(ledger.parts["pump"].since_day, Some(4));
    assert_eq!(
        (ledger.on_day(3).len(), ledger.history("pump").count()),
        (2, 4)
    );
    assert_eq!(ledger.state_on("pmup", 1), None);
}

#[test]
fn an_event_that_cannot_follow_says_where_the_part_is_and_changes_nothing() {
    let (ledger, wrong) =
        kept("part pump\nday 1\nevent pump: ordered\nday 2\nevent pump: fitted, cost 99.00\n");
    assert_eq!(wrong.len(), 1);
    assert_eq!(
        wrong[0].message,
        "`pump` cannot be fitted: it has been ordered since day 1"
    );
    assert_eq!(
        wrong[0].expected.as_deref(),
        Some("one of ordered, cancelled, in, sent back, scrapped")
    );
    assert_eq!(wrong[0].instead.as_deref(), Some("pump: in\npump: fitted"));
    assert_eq!(
        (ledger.parts["pump"].state, ledger.parts["pump"].cost),
        (PartState::Ordered, None)
    );
}

#[test]
fn a_part_that_is_not_listed_is_an_error_with_the_nearest_id() {
    let (_, wrong) = kept("part pump\nday 1\nevent pmup: in");
    assert_eq!(
        (wrong[0].slug, wrong[0].instead.as_deref()),
        (Slug::UnknownPart, Some("pump"))
    );
}

#[test]
fn a_part_is_due_when_it_was_promised_else_after_its_lead() {
    let text = "part pump lead 3\nday 1\nevent pump: ordered\nday 2\n";
    assert_eq!(fine(text).parts["pump"].due_day, Some(4));
    let again = fine(&format!("{text}event pump: ordered, due 6\n"));
    assert_eq!(
        (again.parts["pump"].due_day, again.parts["pump"].since_day),
        (Some(6), Some(1))
    );
    assert_eq!(
        fine(&format!("{text}event pump: in\n")).parts["pump"].due_day,
        None
    );
}

#[test]
fn what_is_bought_and_not_sent_back_is_spent_exactly() {
    let ledger = fine(
        "part a cost 0.10 from Tern\npart b cost 0.20\npart c cost 5.00\npart gift given cost 7.00\npart d from Tern\n\
         day 1\nevent a: in\nevent b: ordered, cost 0.30\nevent c: ordered\nevent c: sent back\nevent gift: in\n\
         event d: in\n",
    );
    assert_eq!(ledger.spent.total, money("0.40"));
    assert_eq!(ledger.spent.no_cost, ["d"]);
    assert_eq!(ledger.by_supplied[&Supplied::Given].value, money("7.00"));
    assert_eq!(ledger.by_supplied[&Supplied::Given].spent, Decimal::ZERO);
    let tern = &ledger.by_supplier[&Some("Tern".to_owned())];
    assert_eq!((tern.parts, tern.spent), (2, money("0.10")));
}

#[test]
fn what_is_fitted_is_weighed_and_what_has_no_mass_is_named() {
    let ledger = fine(
        "part a mass 4\npart b\npart c mass 2\nday 1\nevent a: in\nevent a: fitted\nevent b: in\nevent b: fitted\nday 2\nevent a: taken off",
    );
    assert_eq!(
        (ledger.fitted_on(1).kg, ledger.fitted_on(1).parts),
        (4.0, 2)
    );
    assert_eq!(
        (ledger.fitted.kg, &ledger.fitted.no_mass[..]),
        (0.0, &["b".to_owned()][..])
    );
}

#[test]
fn what_was_altered_stays_flagged_until_another_piece_is_ordered() {
    let text = "part a\nday 1\nevent a: in\nday 2\nevent a: altered, drilled for the tray\nday 3\nevent a: scrapped\n";
    let ledger = fine(text);
    assert_eq!(
        (ledger.altered_on("a", 1), ledger.altered_on("a", 3)),
        (false, true)
    );
    let altered = ledger.parts["a"].altered.as_ref().unwrap();
    assert_eq!(
        (altered.day, altered.why.as_deref()),
        (2, Some("drilled for the tray"))
    );
    assert_eq!(
        fine(&format!("{text}event a: ordered\n")).parts["a"].altered,
        None
    );
}

#[test]
fn the_figures_start_with_what_is_listed_and_move_block_by_block() {
    let figures = figures_of(
        "part a mass 4 cost 10.00 power 3\npart b\nday 1\nevent a: ordered, cost 12.00\nevent b: in\n[ ] X {x}\nevent a: in\n\
         event a: fitted\nevent b: fitted\nday 2\nevent b: altered, cut\n",
    );
    let names = |figures: &[crate::calc::Figure]| {
        figures
            .iter()
            .map(|figure| figure.name.clone())
            .collect::<Vec<_>>()
    };
    assert_eq!(
        names(&figures.at_start),
        ["a.mass", "a.cost", "a.power", "fitted.mass", "spent.total"]
    );
    assert_eq!(
        figures.at_start[3].value,
        FigureValue::Fitted {
            on: Vec::new(),
            off: Vec::new()
        }
    );
    assert_eq!(
        figures.changes.keys().copied().collect::<Vec<_>>(),
        [(0, 0), (0, 2)]
    );
    let first = &figures.changes[&(0, 0)];
    assert_eq!(names(first), ["a.cost", "spent.total"]);
    assert_eq!(first[1].value, FigureValue::Money(money("12.00")));
    let second = &figures.changes[&(0, 2)];
    assert_eq!(
        second[0].value,
        FigureValue::Fitted {
            on: vec!["a.mass".into()],
            off: Vec::new()
        }
    );
    assert_eq!(second.len(), 1);
}

fn any_event() -> impl Strategy<Value = String> {
    let kind = prop::sample::select(EventKind::ALL.to_vec());
    let extra = prop::sample::select(vec!["", ", due 3", ", cost 1.10", ", cost 0.07, cut short"]);
    let (id, next_day) = ("[abc]", prop::bool::weighted(0.2));
    (id, kind, extra, next_day).prop_map(|(id, kind, extra, next_day)| {
        let line = format!("event {id}: {}{extra}\n", kind.words());
        if next_day {
            format!("day\n{line}")
        } else {
            line
        }
    })
}

proptest! {
    #[test]
    fn any_run_of_events_is_legal_or_an_error_at_its_line_and_the_totals_agree(
        events in prop::collection::vec(any_event(), 0..40),
    ) {
        let mut day = 1;
        let mut text = "part a mass 1 cost 3.00\npart b given mass 2 cost 4.00\npart c\nday 1\n".to_owned();
        for event in &events {
            day += u32::from(event.starts_with("day"));
            text += &event.replacen("day\n", &format!("day {day}\n"), 1);
        }
        let book = write(&text);
        let (ledger, mut wrong) = keep(&book);
        wrong.retain(|found| found.severity == Severity::Error);
        prop_assert_eq!(ledger.happenings.len() + wrong.len(), events.len());
        prop_assert!(wrong.iter().all(|found| found.slug == Slug::WrongEvent));
        for (id, part) in &ledger.parts {
            let mut state = PartState::Needed;
            for happening in ledger.history(id) {
                prop_assert_eq!(state.after(happening.event), Some(happening.state));
                state = happening.state;
            }
            prop_assert_eq!(state, part.state);
            prop_assert_eq!(ledger.state_on(id, day), Some(state));
        }
        let by_supplier: Decimal = ledger.by_supplier.values().map(|value| value.spent).sum();
        let by_supplied: Decimal = ledger.by_supplied.values().map(|value| value.spent).sum();
        prop_assert_eq!((by_supplier, by_supplied), (ledger.spent.total, ledger.spent.total));
        let figures = figures::from(&book, &ledger);
        let all = || figures.at_start.iter().chain(figures.changes.values().flatten());
        let last = |name: &str| all().rfind(|figure| figure.name == name).unwrap().value.clone();
        prop_assert_eq!(last("spent.total"), FigureValue::Money(ledger.spent.total));
        let mut masses = BTreeSet::new();
        for figure in all() {
            let FigureValue::Fitted { on, off } = &figure.value else { continue };
            prop_assert!(off.iter().all(|mass| masses.remove(mass)));
            prop_assert!(on.iter().all(|mass| masses.insert(mass)));
        }
        prop_assert_eq!(masses.len() + ledger.fitted.no_mass.len(), ledger.fitted.parts);
    }
}
