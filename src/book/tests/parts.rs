//! The parts list: what a part may be.

use super::*;

fn parts(text: &str) -> Desk {
    books(&[
        ("build-sheet.yaml", SHEET),
        ("parts.yaml", text),
        ("days/day-01.md", "---\nday: 1\n---\n"),
    ])
}

#[test]
fn a_part_is_read_as_it_is_written() {
    let desk = parts(
        "motor:\n  what: Motor\n  from: Tern\n  serial: 0417\n  mass: 41 ± 1 kg\n  cost: 8200.00\n  supplied: lent\n  lead: 5 days\n  need: day 3\n  ratings: {torque: 370 N-m, speed: 8000 rpm}\n",
    );
    assert_eq!(desk.said(), []);
    let part = &desk.book.parts["motor"];
    assert_eq!(
        (part.what.as_str(), part.serial.as_deref()),
        ("Motor", Some("0417"))
    );
    assert_eq!(
        (part.lead, part.need, part.supplied),
        (Some(5), Some(3), Supplied::Lent)
    );
    assert_eq!(part.cost.as_ref().unwrap().value.to_string(), "8200.00");
    let mass = part.mass.as_ref().unwrap();
    assert_eq!((mass.value.nominal, mass.value.plus), (41.0, 1.0));
    assert_eq!(desk.files.sources.slice(mass.span), "41 ± 1 kg");
    assert_eq!(part.ratings.keys().collect::<Vec<_>>(), ["speed", "torque"]);
}

#[test]
fn a_wrong_value_of_a_part_is_underlined_where_it_stands() {
    let desk = parts("motor:\n  what: Motor\n  mass: \"41 kgs\"\n");
    let (slug, line, column, _, instead) = desk.only();
    assert_eq!(
        (slug, line, column, instead),
        ("unknown-unit", 3, 13, Some("kg"))
    );
}

#[test]
fn what_a_part_cannot_be_is_said() {
    let desk = parts(
        "a: {what: A, mass: 3 m}\nb: {what: B, mass: -3 kg}\nc: {cost: '12,50'}\nif: {what: D}\n2x: {what: E}\na: {what: F}\n",
    );
    assert_eq!(
        desk.said(),
        [
            ("unit-mismatch", 1, 20, "this is not a mass"),
            ("bad-value", 2, 20, "a mass cannot be negative"),
            ("missing", 3, 1, "`what` is missing"),
            ("decimal-comma", 3, 11, "use a decimal point, not a comma"),
            (
                "reserved",
                4,
                1,
                "`if` is a reserved word and cannot be an id"
            ),
            ("bad-id", 5, 1, "`2x` is not an id"),
            (
                "duplicate-key",
                6,
                1,
                "`a` is written twice; only the first counts"
            ),
        ]
    );
    assert_eq!(desk.book.parts["c"].what, "c");
    assert_eq!(desk.book.parts["a"].what, "A");
}

#[test]
fn an_empty_parts_file_is_no_fault() {
    assert_eq!(parts("").said(), []);
    assert_eq!(parts("# later\n").said(), []);
}
