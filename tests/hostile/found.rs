//! What the fuzzers found, by name, each fed again as it was found.

use crate::feed;

#[test]
fn a_key_over_several_lines_is_said_on_one() {
    feed::yaml("motor: {wha-\n\nxx\ng}\nplate: {what: Plate}\n");
}

#[test]
fn seeds_of_the_whole_book_reach_their_pages() {
    feed::whole_book(
        "=== build-sheet.yaml\ntitle: x\n=== days/day-01.md\n---\nday: 1\n---\n```sums\nx measured 1 ± 0.1 mm\n```\n",
    );
}
