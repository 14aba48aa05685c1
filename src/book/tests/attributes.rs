//! Attributes of a job: what may stand in braces.

use super::*;

#[test]
fn a_whole_tail_is_read() {
    let desk = log(
        "- [x] Ream _it_ {box_plate, by Ines + Bashir, takes 2 h, took 1 h 30 min, follows a + b, needs motor, temp: stand, blocks and tape, caution lifting, caution brakes}\n",
    );
    assert_eq!(desk.said(), []);
    let mention = desk.mention();
    assert_eq!(
        (
            mention.id.value.as_str(),
            mention.title.as_deref(),
            mention.ticked
        ),
        ("box_plate", Some("Ream _it_"), true)
    );
    assert_eq!(values(&mention.by), ["Ines", "Bashir"]);
    assert_eq!((mention.takes, mention.took), (Some(2.0), Some(1.5)));
    assert_eq!(
        (values(&mention.follows), values(&mention.needs)),
        (vec!["a".into(), "b".into()], vec!["motor".into()])
    );
    assert_eq!(mention.temp.as_deref(), Some("stand, blocks and tape"));
    assert_eq!(
        values(&mention.cautions),
        [Caution::Lifting, Caution::Brakes]
    );
    assert_eq!(desk.files.sources.slice(mention.by[1].span), "Bashir");
}

#[test]
fn a_piece_without_a_key_belongs_to_the_words_before_it() {
    let desk = tail("x, held up: waiting for glue, tape and tea, by Ines");
    assert_eq!(desk.said(), []);
    assert_eq!(
        desk.mention().held_up.as_deref(),
        Some("waiting for glue, tape and tea")
    );
    assert_eq!(values(&desk.mention().by), ["Ines"]);
}

#[test]
fn a_piece_that_says_nothing_known_is_an_error_with_the_nearest() {
    let only = |text: &str| tail(text).found[0].instead.clone();
    assert_eq!(
        tail("x, takse 3 h").only(),
        (
            "bad-tail",
            4,
            11,
            "`takse 3 h` is not a job attribute",
            Some("takes 3 h")
        )
    );
    assert_eq!(only("x, held up waiting"), Some("held up: waiting".into()));
    assert_eq!(
        only("x, by Ines, drpoped: no time"),
        Some("dropped: no time".into())
    );
    assert_eq!(
        tail("x, takes 3 h,").only(),
        (
            "bad-tail",
            4,
            21,
            "the text after this comma is missing",
            None
        )
    );
}

#[test]
fn hours_want_their_unit_and_a_point() {
    assert_eq!(
        tail("x, takes 3").only(),
        (
            "bad-tail",
            4,
            17,
            "`takes` needs hours or minutes",
            Some("takes 3 h")
        )
    );
    assert_eq!(
        tail("x, took 4,5 h").only(),
        (
            "decimal-comma",
            4,
            16,
            "use a decimal point, not a comma, in hours",
            Some("4.5 h")
        )
    );
}

#[test]
fn a_key_said_twice_or_against_another_is_an_error() {
    assert_eq!(
        tail("x, takes 3 h, takes 4 h").only(),
        ("bad-tail", 4, 22, "`takes` is written twice", None)
    );
    let desk = tail("x, dropped: no, held up: yes");
    assert_eq!(
        desk.only(),
        (
            "bad-tail",
            4,
            24,
            "`held up` and dropped cannot both be true",
            None
        )
    );
    assert_eq!(
        (desk.mention().dropped.as_deref(), &desk.mention().held_up),
        (Some("no"), &None)
    );
    let desk = log("- [x] {x, held up: no}\n");
    assert_eq!(
        desk.only(),
        (
            "bad-tail",
            4,
            11,
            "`held up` and the tick cannot both be true",
            None
        )
    );
}

#[test]
fn words_that_are_missing_are_missed() {
    assert_eq!(
        tail("x, held up:").only(),
        (
            "bad-tail",
            4,
            11,
            "add text after the colon of `held up:`",
            None
        )
    );
    assert_eq!(
        tail("x, made good").only(),
        ("made-good", 4, 11, "`made good` needs a name", None)
    );
    assert_eq!(
        tail("x, by").only(),
        ("unknown-person", 4, 13, "a name is missing", None)
    );
}

#[test]
fn made_good_names_people_of_the_crew() {
    let desk = tail("x, made good by Ines + Bashir");
    assert_eq!(
        values(&desk.mention().made_good.as_ref().unwrap().value),
        ["Ines", "Bashir"]
    );
    assert_eq!(tail("x, made good by Odd").only().0, "unknown-person");
}

#[test]
fn ids_parts_people_and_cautions_are_checked_at_their_place() {
    assert_eq!(
        tail("x, needs tray_mount").only(),
        (
            "unknown-part",
            4,
            17,
            "no part is called `tray_mount`",
            Some("tray_mounts")
        )
    );
    assert_eq!(
        tail("x, follows a b").only(),
        ("bad-id", 4, 19, "`a b` is not an id", Some("a_b"))
    );
    assert_eq!(
        tail("x, caution hot work").only(),
        (
            "unknown-caution",
            4,
            19,
            "`hot work` is not a caution Shimbook knows",
            Some("hot_work")
        )
    );
    assert_eq!(
        tail("day3").only(),
        (
            "reserved",
            4,
            8,
            "`day3` is a reserved word and cannot be an id",
            Some("day3_1")
        )
    );
    assert_eq!(
        tail("by Ines, takes 3 h").only(),
        (
            "bad-id",
            4,
            8,
            "the braces begin with `by` instead of the job's id",
            None
        )
    );
    assert_eq!(tail("").only(), ("bad-id", 4, 8, "the id is missing", None));
}

#[test]
fn a_job_that_shares_its_id_with_a_part_is_warned_of_once() {
    let desk = log("- [ ] One {motor}\n- [ ] {motor}\n");
    assert_eq!(
        desk.only(),
        (
            "shared-id",
            4,
            12,
            "`motor` is the id of a job and of a part",
            None
        )
    );
    assert_eq!(desk.found[0].severity, Severity::Warning);
}
