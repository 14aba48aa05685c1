//! The plan.

use super::*;

fn plan(text: &str) -> Desk {
    books(&[
        ("build-sheet.yaml", SHEET),
        ("plan.md", text),
        ("days/day-01.md", "---\nday: 1\n---\n"),
    ])
}

#[test]
fn jobs_of_the_plan_have_the_day_of_their_heading() {
    let desk = plan(
        "# Plan\n\n## Day 1\n- [ ] One {one}\n### Rails\n- [ ] Two {two}\n\n## Day 2: arches\n- [ ] Three {three}\n",
    );
    assert_eq!(desk.said(), []);
    let planned: Vec<(u32, &str)> = desk
        .book
        .plan
        .iter()
        .map(|planned| (planned.day, planned.mention.id.value.as_str()))
        .collect();
    assert_eq!(planned, [(1, "one"), (1, "two"), (2, "three")]);
}

#[test]
fn what_does_not_belong_into_a_plan_is_said() {
    let desk = plan(
        "- [ ] Zero {zero}\n## Day 1\n- [x] One {one}\n## Day 9\n- [ ] One {one}\n- [ ] {two}\n```sums\na = 1\n```\n",
    );
    assert_eq!(
        desk.said(),
        [
            ("bad-value", 1, 3, "this job is not under a day heading"),
            ("tick-in-plan", 3, 3, "a tick in the plan is ignored"),
            ("bad-value", 4, 1, "day 9 is after the last build day (8)"),
            ("planned-twice", 5, 12, "`one` is planned twice"),
            ("missing", 6, 3, "`two` has no title"),
            (
                "bad-value",
                7,
                1,
                "the plan has only jobs, so this block is not read"
            ),
        ]
    );
    assert!(!desk.book.plan[0].mention.ticked);
    let first = desk.found[3].also[0].0;
    assert_eq!(
        desk.files.sources.position(first),
        Position {
            line: 3,
            column: 12
        }
    );
}
