//! What is made of whole small books.

use super::*;
use crate::diagnostics::Severity;
use crate::markdown::Piece;
use crate::source::Position;

const SHEET: &str = "title: Kittiwake\nstart: 2031-05-02\ndays: 8\ncrew:\n  - {name: Ines, hours: 9}\n  - {name: Bashir, hours: 8}\n";
const PARTS: &str = "tray_mounts: {what: Mounts}\nmotor:\n  what: Motor\n";

/// A book, and what is said of it.
struct Desk {
    files: BookFiles,
    book: Book,
    found: Vec<Diagnostic>,
}

fn books(texts: &[(&str, &str)]) -> Desk {
    let files = BookFiles::from_texts(texts.iter().copied());
    let (book, found) = read(&files);
    Desk { files, book, found }
}

/// A book whose sheet is this.
fn sheet(text: &str) -> Desk {
    books(&[
        ("build-sheet.yaml", text),
        ("days/day-01.md", "---\nday: 1\n---\n"),
    ])
}

/// A book whose first log holds this from line 4 on.
fn log(text: &str) -> Desk {
    let text = format!("---\nday: 1\n---\n{text}");
    books(&[
        ("build-sheet.yaml", SHEET),
        ("parts.yaml", PARTS),
        ("days/day-01.md", &text),
    ])
}

/// A book whose first log holds one job with this tail, at column 8 of line 4.
fn tail(tail: &str) -> Desk {
    log(&format!("- [ ] {{{tail}}}\n"))
}

impl Desk {
    /// Slug, line, column and message of everything said.
    fn said(&self) -> Vec<(&'static str, usize, usize, &str)> {
        let said = self.found.iter().map(|found| {
            let Position { line, column } = self.files.sources.position(found.at);
            (found.slug.word(), line, column, found.message.as_str())
        });
        said.collect()
    }

    /// The only thing said: slug, line, column, message, and what to write instead.
    fn only(&self) -> (&'static str, usize, usize, &str, Option<&str>) {
        let [(slug, line, column, message)] = self.said()[..] else {
            panic!("{:#?}", self.found)
        };
        (
            slug,
            line,
            column,
            message,
            self.found[0].instead.as_deref(),
        )
    }

    fn mention(&self) -> &Mention {
        let Entry::Mention(mention) = &self.book.days[0].entries[0] else {
            panic!("{:#?}", self.found)
        };
        mention
    }

    fn event(&self) -> Option<&PartEvent> {
        let Entry::Parts(block) = &self.book.days[0].entries[0] else {
            panic!("{:#?}", self.found)
        };
        block.lines[0].event.as_ref()
    }
}

fn values<T: Clone>(of: &[Spanned<T>]) -> Vec<T> {
    of.iter().map(|one| one.value.clone()).collect()
}

// --- the build sheet ---------------------------------------------------------------------------

#[test]
fn a_sheet_is_read_with_its_defaults_and_its_targets_at_their_places() {
    let text = format!(
        "{SHEET}targets: |\n  mass  at most 1300 kg   # all in\n\n  share between 47 % and 53 %\n"
    );
    let desk = sheet(&text);
    assert_eq!(desk.said(), []);
    let sheet = &desk.book.sheet;
    assert_eq!(
        (sheet.title.as_str(), sheet.days, sheet.start),
        ("Kittiwake", Some(8), Some(jiff::civil::date(2031, 5, 2)))
    );
    assert_eq!(
        sheet.crew[1],
        CrewMember {
            name: "Bashir".into(),
            hours: 8.0
        }
    );
    assert_eq!(
        (sheet.units, sheet.judge, sheet.money.as_str()),
        (UnitSystem::Metric, Judge::WorstCase, "EUR")
    );
    let lines: Vec<&str> = sheet
        .targets
        .iter()
        .map(|line| desk.files.sources.slice(line.span))
        .collect();
    assert_eq!(
        lines,
        [
            "mass  at most 1300 kg   # all in",
            "share between 47 % and 53 %"
        ]
    );
    assert_eq!(sheet.targets[1].text, lines[1]);
}

#[test]
fn what_a_sheet_may_choose_is_read() {
    let desk = sheet(&format!(
        "{SHEET}units: us\njudge: rss\nmoney: USD\ntargets: mass at most 3 kg\n"
    ));
    let sheet = &desk.book.sheet;
    assert_eq!(
        (sheet.units, sheet.judge, sheet.money.as_str()),
        (UnitSystem::Us, Judge::Rss, "USD")
    );
    assert_eq!(sheet.targets[0].text, "mass at most 3 kg");
    assert_eq!(desk.said(), []);
}

#[test]
fn an_unknown_key_names_the_nearest() {
    let desk = sheet(&format!("{SHEET}untis: us\n"));
    assert_eq!(
        desk.only(),
        (
            "unknown-key",
            7,
            1,
            "`untis` is not a key Shimbook knows",
            Some("units")
        )
    );
}

#[test]
fn a_key_written_twice_is_said_at_the_second() {
    let desk = sheet(&format!("{SHEET}title: Other\n"));
    assert_eq!(
        desk.only(),
        (
            "duplicate-key",
            7,
            1,
            "`title` is written twice; only the first counts",
            None
        )
    );
    assert_eq!(desk.book.sheet.title, "Kittiwake");
}

#[test]
fn needed_keys_are_missed_and_wrong_values_underlined() {
    let desk = sheet(
        "start: 2031-13-02\ndays: 0\ncrew: [{name: Ines, hours: 30}, {name: Ines, hours: 8}, {hours: 2}]\nmoney: euro\n",
    );
    assert_eq!(
        desk.said(),
        [
            ("missing", 1, 1, "`title` is missing"),
            ("bad-date", 1, 8, "`2031-13-02` is not a date"),
            ("bad-value", 2, 7, "this value is of the wrong kind"),
            ("bad-value", 3, 28, "this value is of the wrong kind"),
            ("missing", 3, 58, "`name` is missing"),
            ("bad-value", 3, 40, "two crew members are called `Ines`"),
            ("bad-value", 4, 8, "this value is of the wrong kind"),
        ]
        .into_iter()
        .sorted_by_place()
    );
    assert_eq!(desk.book.sheet.title, "Title not known");
    assert_eq!(desk.book.sheet.money, "EUR");
}

/// Orders expected findings as the program does.
trait SortedByPlace {
    fn sorted_by_place(self) -> Vec<(&'static str, usize, usize, &'static str)>;
}

impl<I: Iterator<Item = (&'static str, usize, usize, &'static str)>> SortedByPlace for I {
    fn sorted_by_place(self) -> Vec<(&'static str, usize, usize, &'static str)> {
        let mut all: Vec<_> = self.collect();
        all.sort_by_key(|(_, line, column, _)| (*line, *column));
        all
    }
}

#[test]
fn a_broken_sheet_still_gives_a_book() {
    let desk = sheet("title: [x\n");
    assert_eq!(desk.only().0, "bad-yaml");
    assert_eq!(desk.book.sheet.title, "Title not known");
    assert_eq!(desk.book.sheet.start, None);
    assert_eq!(desk.book.days.len(), 1);
}

#[test]
fn a_missing_sheet_and_a_missing_log_are_said() {
    let desk = books(&[]);
    assert_eq!(
        desk.said(),
        [
            ("missing", 1, 1, "build-sheet.yaml is missing"),
            ("missing", 1, 1, "the book has no day log yet"),
        ]
    );
}

#[test]
fn names_for_values_are_refused() {
    let desk = sheet(&format!("{SHEET}units: &u us\n"));
    assert_eq!(
        desk.only(),
        (
            "bad-yaml",
            7,
            8,
            "anchors (`&`), aliases (`*`) and tags (`!`) are not read",
            None
        )
    );
}

// --- parts ---------------------------------------------------------------------------------------

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
                "`if` is a word of the format and cannot be an id"
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

// --- logs ----------------------------------------------------------------------------------------

fn days(logs: &[(&str, &str)]) -> Desk {
    books(&[&[("build-sheet.yaml", SHEET)], logs].concat())
}

#[test]
fn a_log_knows_its_day_its_date_and_its_crew() {
    let desk = days(&[
        (
            "days/day-02.md",
            "---\nday: 2\ncrew: [Ines]\n---\n# On *it*\n",
        ),
        (
            "days/day-01.md",
            "---\nday: 1\ndate: 2031-05-01, we could not wait\n---\n",
        ),
    ]);
    assert_eq!(desk.said(), []);
    let [one, two] = &desk.book.days[..] else {
        panic!()
    };
    assert_eq!(
        (
            one.day,
            one.date.unwrap().to_string().as_str(),
            one.crew.len()
        ),
        (1, "2031-05-01", 2)
    );
    assert_eq!(
        (one.date_why.as_deref(), two.date_why.as_deref()),
        (Some("we could not wait"), None)
    );
    assert_eq!(
        (two.stem.as_str(), two.date.unwrap().to_string().as_str()),
        ("day-02", "2031-05-03")
    );
    assert_eq!(
        (two.crew.join(" ").as_str(), two.title.as_deref()),
        ("Ines", Some("On it"))
    );
}

#[test]
fn days_are_ordered_by_their_number_not_by_their_name() {
    let desk = days(&[
        ("days/b.md", "---\nday: 1\n---\n"),
        ("days/a.md", "---\nday: 10\n---\n"),
        ("days/c.md", "---\nday: 9\n---\n"),
    ]);
    assert_eq!(
        desk.book.days.iter().map(|log| log.day).collect::<Vec<_>>(),
        [1, 9, 10]
    );
}

#[test]
fn a_log_that_does_not_say_its_day_takes_it_from_its_name() {
    let desk = days(&[("days/day-03.md", "# x\n")]);
    assert_eq!(
        desk.only(),
        (
            "missing",
            1,
            1,
            "this log does not give its day number",
            Some("---\nday: 3\n---")
        )
    );
    assert_eq!(desk.book.days[0].day, 3);
}

#[test]
fn a_log_whose_name_says_another_day_is_an_error() {
    let desk = days(&[("days/day-03.md", "---\nday: 2\n---\n")]);
    assert_eq!(
        desk.only(),
        (
            "day-number",
            2,
            6,
            "this log gives day 2, but its file name gives day 3",
            None
        )
    );
}

#[test]
fn the_second_log_of_a_day_is_not_read() {
    let desk = days(&[
        ("days/a.md", "---\nday: 2\n---\n"),
        ("days/b.md", "---\nday: 2\n---\n"),
    ]);
    assert_eq!(
        desk.only(),
        (
            "day-number",
            2,
            6,
            "days/a.md already has day 2, so this log is not read",
            None
        )
    );
    assert_eq!(desk.found[0].also[0].1, "the log that counts");
    assert_eq!(desk.book.days.len(), 1);
}

#[test]
fn broken_front_matter_is_said_once_and_the_text_still_read() {
    let desk = days(&[("days/day-01.md", "---\nday: [\n---\n# Title\n")]);
    assert_eq!(desk.only().0, "bad-yaml");
    assert_eq!(desk.book.days[0].title.as_deref(), Some("Title"));
    let desk = days(&[("days/day-01.md", "---\nday: 1\n# Title\n")]);
    assert_eq!(
        desk.only(),
        ("bad-yaml", 1, 1, "the front matter is not closed", None)
    );
}

#[test]
fn a_ruled_pair_in_the_middle_is_no_front_matter() {
    let desk = log("x\n\n---\nday: 9\n\n---\n");
    assert_eq!(desk.said(), []);
    assert_eq!(desk.book.days[0].day, 1);
}

#[test]
fn somebody_who_is_not_in_the_crew_is_named_with_the_nearest() {
    let desk = days(&[("days/day-01.md", "---\nday: 1\ncrew: [Ines, Bashri]\n---\n")]);
    assert_eq!(
        desk.only(),
        (
            "unknown-person",
            3,
            14,
            "no crew member is called `Bashri`",
            Some("Bashir")
        )
    );
    assert_eq!(desk.book.days[0].crew, ["Ines"]);
}

#[test]
fn entries_stand_in_the_order_of_the_log_and_the_text_points_at_them() {
    let desk = log(
        "- [x] One {one}\n- [ ] Bad {2x}\n\n```sums\na = 1 mm\n```\n\n```drawing\nband a\n```\n",
    );
    assert_eq!(desk.only().0, "bad-id");
    let day = &desk.book.days[0];
    assert!(matches!(
        day.entries[..],
        [Entry::Mention(_), Entry::Sums(_), Entry::Drawing(_)]
    ));
    let holes: Vec<String> = day
        .prose
        .pieces
        .iter()
        .filter(|piece| !matches!(piece, Piece::Html(_)))
        .map(|piece| match piece {
            Piece::Entry(n) => n.to_string(),
            Piece::Unread { text, .. } => text.clone(),
            piece => format!("{piece:?}"),
        })
        .collect();
    assert_eq!(holes, ["0", "[ ] Bad {2x}", "1", "2"]);
}

#[test]
fn a_link_to_a_heading_that_another_log_does_not_have_is_warned_of() {
    let desk = days(&[
        (
            "days/day-01.md",
            "---\nday: 1\n---\n[a](day-02.md#tail-on) [b](day-02.md#tial-on)\n",
        ),
        ("days/day-02.md", "---\nday: 2\n---\n# Tail on\n"),
    ]);
    assert_eq!(
        desk.only(),
        (
            "bad-link",
            4,
            24,
            "days/day-02.md has no heading `#tial-on`",
            Some("#tail-on")
        )
    );
}

#[test]
fn a_log_without_any_number_is_not_read() {
    let desk = days(&[("days/monday.md", "x\n")]);
    assert_eq!(
        desk.only().3,
        "neither this log nor its file name gives its day number, so it is not read"
    );
    assert!(desk.book.days.is_empty());
}

// --- tails ---------------------------------------------------------------------------------------

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
            "`day3` is a word of the format and cannot be an id",
            Some("day3_1")
        )
    );
    assert_eq!(
        tail("by Ines, takes 3 h").only(),
        (
            "bad-id",
            4,
            8,
            "the braces begin with `by`, not with the job's id",
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

// --- events --------------------------------------------------------------------------------------

fn event(line: &str) -> Desk {
    log(&format!("```parts\n{line}\n```\n"))
}

#[test]
fn an_event_is_read_with_its_figures_and_remarks() {
    let desk = event("tray_mounts:  ordered, due day 4, cost 86.00, by boat, slowly  # again");
    assert_eq!(desk.said(), []);
    let event = desk.event().unwrap();
    assert_eq!(
        (event.id.value.as_str(), event.what.value, event.due),
        ("tray_mounts", EventKind::Ordered, Some(4))
    );
    assert_eq!(event.cost.as_ref().unwrap().value.to_string(), "86.00");
    assert_eq!(event.remark.as_deref(), Some("by boat, slowly, again"));
    assert_eq!(
        desk.files.sources.slice(event.cost.as_ref().unwrap().span),
        "86.00"
    );
}

#[test]
fn a_line_of_remarks_is_no_event_and_no_fault() {
    let desk = event("# later: motor");
    assert_eq!(desk.said(), []);
    assert!(desk.event().is_none());
}

#[test]
fn an_event_that_cannot_be_read_is_said_at_its_place() {
    assert_eq!(
        event("motor: fited").only(),
        (
            "bad-event",
            5,
            8,
            "`fited` is not a parts event",
            Some("fitted")
        )
    );
    assert_eq!(
        event("motor fitted").only(),
        (
            "bad-event",
            5,
            1,
            "this line does not name a part and an event",
            None
        )
    );
    assert_eq!(
        event("motr: in").only(),
        (
            "unknown-part",
            5,
            1,
            "no part is called `motr`",
            Some("motor")
        )
    );
    assert_eq!(
        event("motor: ordered, due 4").only(),
        ("bad-event", 5, 17, "this is not a due day", None)
    );
    assert_eq!(
        event("motor: in, due day 4").only(),
        (
            "bad-event",
            5,
            12,
            "only an `ordered` part can have a due day",
            None
        )
    );
    assert_eq!(
        event("motor: in, cost 86,00").only(),
        (
            "decimal-comma",
            5,
            17,
            "use a decimal point, not a comma, in a cost",
            Some("86.00")
        )
    );
    assert_eq!(
        event("motor: in, cost lots").only(),
        ("bad-event", 5, 12, "this is not a cost", None)
    );
    assert_eq!(
        event("motor: altered").only(),
        ("bad-event", 5, 8, "`altered` needs a reason after it", None)
    );
}

// --- the plan ------------------------------------------------------------------------------------

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

// --- all of it -----------------------------------------------------------------------------------

#[test]
fn findings_come_by_file_then_by_place_however_the_logs_are_read() {
    let logs: Vec<(String, String)> = (1..=40)
        .map(|n| {
            (
                format!("days/day-{n:02}.md"),
                format!("---\nday: {n}\n---\n- [ ] {{2x}}\n- [ ] {{x, takse 3 h}}\n"),
            )
        })
        .collect();
    let texts: Vec<(&str, &str)> = logs
        .iter()
        .map(|(path, text)| (path.as_str(), text.as_str()))
        .collect();
    let desk = days(&texts);
    let places: Vec<_> = desk
        .found
        .iter()
        .map(|found| (found.at.file, found.at.start))
        .collect();
    assert_eq!(places.len(), 80);
    assert!(places.is_sorted());
}

#[test]
fn no_text_makes_the_reader_panic() {
    let texts = [
        "---",
        "---\n",
        "---\n---",
        "- [ ] {",
        "- [ ] }{",
        "```sums",
        "> ```parts\n> x",
        "{",
        "\u{feff}---\r\nday: 1\r\n---\r\n",
        "a: |",
        "a: >5\n x",
        "'",
        "\"\\",
        "- - ? [",
        "é: é\n é",
        "|",
        "# Day",
        "![](",
        "[^1]\n\n[^1]:",
        "\0",
    ];
    for text in texts {
        books(&[
            ("build-sheet.yaml", text),
            ("parts.yaml", text),
            ("plan.md", text),
            ("days/day-01.md", text),
        ]);
        log(text);
        tail(text);
        event(text);
    }
}

mod any_text {
    use proptest::prelude::*;

    use super::*;

    /// Bits that mean something to some reader.
    const BITS: &[&str] = &[
        "- ",
        "[ ] ",
        "[x] ",
        "{",
        "}",
        "a",
        "motor",
        ", ",
        "by Ines",
        "takes 3 h",
        "held up: ",
        "```",
        "~~~",
        "sums",
        "parts",
        "shop",
        "drawing",
        "\n",
        "\n\n",
        "> ",
        "  ",
        "    ",
        "\t",
        "# ",
        "## Day 1",
        "|",
        "---",
        "`a`",
        "*",
        "_",
        "[a](b.md)",
        "![x](photos/x.png)",
        "[^1]",
        "[^1]: n",
        "<br>",
        "<b>",
        "é",
        "°",
        ": ",
        "- a",
        "'",
        "\"",
        "[",
        "]",
        "due day 3",
        "cost 3",
        "ordered",
        "#top",
        "1. ",
        "\\",
        "&",
    ];

    fn text() -> impl Strategy<Value = String> {
        prop::collection::vec(prop::sample::select(BITS), 0..60).prop_map(|bits| bits.concat())
    }

    /// Every tag that is opened is closed, in order.
    fn assert_balanced(html: &str) {
        let mut open: Vec<&str> = Vec::new();
        for tag in html.split('<').skip(1) {
            let name = tag.split(['>', ' ', '\n']).next().unwrap_or_default();
            match name.strip_prefix('/') {
                Some(name) => assert_eq!(open.pop(), Some(name), "{html}"),
                None if matches!(name, "br" | "hr" | "input") => {}
                None => open.push(name),
            }
        }
        assert!(open.is_empty(), "{open:?} in {html}");
    }

    fn html(prose: &crate::markdown::Prose) -> String {
        let piece = |piece: &Piece| match piece {
            Piece::Html(html) => html.clone(),
            Piece::Shop(prose) => html(prose),
            _ => String::new(),
        };
        prose.pieces.iter().map(piece).collect()
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn gives_balanced_pages_and_places_inside_its_file(text in text()) {
            let front = format!("---\nday: 1\n---\n{text}");
            let desk = books(&[
                ("build-sheet.yaml", &text), ("parts.yaml", &text), ("plan.md", &text), ("days/day-01.md", &front), ("days/day-02.md", &text),
            ]);
            for found in &desk.found {
                let file = desk.files.sources.text(found.at.file);
                prop_assert!(file.get(found.at.range()).is_some(), "{:?} in {:?}", found, file);
            }
            for day in &desk.book.days {
                assert_balanced(&html(&day.prose));
                for entry in &day.entries {
                    if let Entry::Sums(block) = entry {
                        for line in &block.lines {
                            prop_assert_eq!(desk.files.sources.slice(line.span), &line.text);
                        }
                    }
                }
            }
        }
    }
}
