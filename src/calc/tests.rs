//! The timeline's rules, on small books of sums blocks.

use super::Figures;
use super::*;
use crate::book::{Block, Book, BuildSheet, CrewMember, DayLog, Entry, Judge, Line, UnitSystem};
use crate::diagnostics::Diagnostic;
use crate::markdown::Prose;
use crate::source::{FileId, Sources, Span};

/// A book with one log a string; blocks of a day are set apart by a blank line.
struct Shelf {
    sources: Sources,
    book: Book,
}

fn lines(sources: &Sources, file: FileId, from: usize, text: &str) -> Vec<Line> {
    let mut at = from;
    let mut lines = Vec::new();
    for line in text.split('\n') {
        if !line.trim().is_empty() {
            lines.push(Line {
                text: line.trim().into(),
                span: Span::new(file, at..at + line.trim().len()),
            });
        }
        at += line.len() + 1;
    }
    assert!(
        lines
            .iter()
            .all(|line: &Line| sources.slice(line.span) == line.text)
    );
    lines
}

fn shelf(days: &[&str]) -> Shelf {
    let mut sources = Sources::default();
    let sheet_file = sources.add("build-sheet.yaml", "");
    let mut logs = Vec::new();
    for (index, text) in days.iter().enumerate() {
        let file = sources.add(format!("days/day-{:02}.md", index + 1), text);
        let mut at = 0;
        let mut entries = Vec::new();
        for block in text.split("\n\n") {
            let lines = lines(&sources, file, at, block);
            entries.push(Entry::Sums(Block {
                span: Span::new(file, at..at + block.len()),
                lines,
            }));
            at += block.len() + 2;
        }
        logs.push(DayLog {
            file,
            stem: format!("day-{:02}", index + 1),
            day: index as u32 + 1,
            date_why: None,
            date: Some(jiff::civil::date(2031, 5, 2)),
            crew: vec!["Ines".into()],
            title: None,
            entries,
            plain_boxes: Vec::new(),
            prose: Prose::default(),
        });
    }
    let sheet = BuildSheet {
        file: sheet_file,
        title: "Test".into(),
        dates: Vec::new(),
        start: Some(jiff::civil::date(2031, 5, 2)),
        days: Some(8),
        crew_known: true,
        crew: vec![CrewMember {
            name: "Ines".into(),
            hours: 8.0,
        }],
        units: UnitSystem::Metric,
        money: "EUR".into(),
        judge: Judge::WorstCase,
        targets: Vec::new(),
        audiences: std::collections::BTreeMap::new(),
    };
    Shelf {
        sources,
        book: Book::of(sheet, logs),
    }
}

fn work(days: &[&str]) -> (Results, Vec<Diagnostic>, Shelf) {
    let shelf = shelf(days);
    let (worked, diagnostics) = work_out(&shelf.book, &Figures::default());
    (worked, diagnostics, shelf)
}

/// What a name is now, in its unit.
fn now(worked: &Results, name: &str) -> f64 {
    let moment = worked.latest(worked.names.find(name).unwrap()).unwrap();
    moment.unit.reading(moment.value().unwrap().nominal)
}

/// Messages as `line:column slug message`.
fn said(days: &[&str]) -> Vec<String> {
    let (_, diagnostics, shelf) = work(days);
    let show = |d: &Diagnostic| {
        let at = shelf.sources.position(d.at);
        format!("{}:{} {} {}", at.line, at.column, d.slug.word(), d.message)
    };
    diagnostics.iter().map(show).collect()
}

fn verdicts(worked: &Results) -> Vec<(String, &'static str)> {
    worked
        .checks
        .iter()
        .map(|c| {
            (
                worked.text(c.name).to_owned(),
                c.latest().unwrap().verdict.words(),
            )
        })
        .collect()
}

#[test]
fn the_example_of_the_format_comes_to_what_it_says() {
    let (worked, diagnostics, _) = work(&[
        "tail_angle measured 4.3 ± 0.1 deg # level\nseat_span measured 698 ± 1 mm\nwedge = 9 mm\n\
         tail_after = tail_angle - atan(wedge / seat_span) as deg\ntail_after within 3.4 ± 0.4 deg\narch_gap at least 25 mm, hold",
    ]);
    assert!((now(&worked, "tail_after") - 3.561_268).abs() < 1e-5);
    assert_eq!(
        verdicts(&worked),
        [
            ("tail_after".into(), "in limits"),
            ("arch_gap".into(), "no reading")
        ]
    );
    let margin = worked.checks[0]
        .latest()
        .unwrap()
        .margin
        .unwrap()
        .signed
        .to_degrees();
    assert!((margin - 0.1377).abs() < 1e-3, "{margin}");
    assert_eq!(diagnostics.len(), 1);
}

#[test]
fn a_formula_stays_live_and_is_worked_out_again_on_the_day_it_moves() {
    let (worked, _, _) = work(&[
        "a measured 10 mm\nb = 2 * a",
        "c = b + 1 mm",
        "a measured 11 mm",
    ]);
    assert!((now(&worked, "c") - 23.0).abs() < 1e-9);
    let c = worked.names.find("c").unwrap();
    assert!((worked.on_day(c, 2).unwrap().value().unwrap().nominal - 0.021).abs() < 1e-12);
    assert_eq!(worked.values[c.index()].moments.len(), 2);
}

#[test]
fn an_old_value_is_built_on_by_its_day() {
    let (worked, diagnostics, _) = work(&["x measured 10 mm", "x = day1.x + 1 mm"]);
    assert!(diagnostics.is_empty(), "{diagnostics:?}");
    assert!((now(&worked, "x") - 11.0).abs() < 1e-9);
    assert_eq!(
        said(&["x = day1.x + 1 mm"]),
        ["1:5 day-not-over day 1 is not over on this day",]
    );
}

#[test]
fn a_loop_is_an_error_that_prints_its_way_round() {
    assert_eq!(
        said(&["a = b + 1 mm\nb = c\nc = a"]),
        ["3:1 loop `c` depends on itself: c needs a, a needs b, b needs c"]
    );
    assert_eq!(
        said(&["x = 3 mm", "x = x + 1 mm"]),
        ["1:1 loop `x` depends on itself: x needs x"]
    );
}

#[test]
fn a_measured_formula_keeps_its_prediction_live() {
    let (worked, _, _) = work(&["w = 9 mm\nt = w + 1 mm", "t measured 10.2 mm", "w = 8 mm"]);
    assert!((now(&worked, "t") - 10.2).abs() < 1e-9);
    let prediction = worked.values[worked.names.find("t").unwrap().index()]
        .prediction
        .unwrap();
    assert!((worked.latest(prediction).unwrap().value().unwrap().nominal - 0.009).abs() < 1e-12);
}

#[test]
fn a_hold_clears_only_on_a_reading_taken_after_the_last_change() {
    let holds = |days: &[&str]| {
        work(days).0.checks[0]
            .holds
            .iter()
            .map(|(when, hold)| (when.day, format!("{hold:?}")))
            .collect::<Vec<_>>()
    };
    let shown = holds(&[
        "w = 9 mm\ng = w\ng at least 5 mm, hold",
        "g measured 8 ± 0 mm",
        "w = 8 mm",
        "g measured 7 ± 0 mm",
    ]);
    assert_eq!(shown[0], (1, "OnPaper".into()));
    assert_eq!(shown[1], (2, "Clear".into()));
    assert!(shown[2].1.starts_with("Overtaken"));
    assert_eq!(shown[3], (4, "Clear".into()));
}

#[test]
fn a_reading_is_overtaken_through_another_measured_value() {
    let (worked, _, _) = work(&[
        "z = 1 mm\ny = z\nx = y\nx at least 0 mm, hold",
        "y measured 1 mm\nx measured 1 mm",
        "z = 2 mm",
    ]);
    assert!(matches!(
        worked.checks[0].hold_on_day(3),
        Some(Hold::Overtaken(_))
    ));
}

#[test]
fn a_hold_is_not_taken_off_by_writing_the_limit_again() {
    let (worked, _, _) = work(&["g at least 5 mm, hold", "g at least 4 mm"]);
    assert!(worked.checks[0].hold);
    assert_eq!(worked.checks.len(), 1);
}

#[test]
fn wrong_dimensions_are_errors_at_the_operands() {
    assert_eq!(
        said(&["a = 4 + 1 deg"]),
        ["1:9 unit-mismatch an angle is added to a plain number"]
    );
    assert_eq!(
        said(&["a = 4 mm\na at least 3 kg"]),
        ["2:12 unit-mismatch the limit is a mass but the value is a length"]
    );
    assert_eq!(
        said(&["a = sin(3 mm)"]),
        ["1:9 unit-mismatch this must be an angle; it is a length"]
    );
    assert_eq!(
        said(&["a = 4 mm as deg"]),
        ["1:13 unit-mismatch a length cannot be shown in `deg`"]
    );
    assert!(said(&["p = 100 N-m * 3000 rpm as kW\np at least 20 kW"]).is_empty());
}

#[test]
fn what_is_refused_in_a_sum_is_refused_at_its_place() {
    assert_eq!(
        said(&["a = 1 // 2"]),
        ["1:7 bad-expression `//` is not a division"]
    );
    assert_eq!(
        said(&["a = b = 2"]),
        ["1:7 bad-expression a sum cannot have a second `=`"]
    );
    assert_eq!(
        said(&["a = 2^3^2"]),
        ["1:5 bad-expression a power of a power needs brackets"]
    );
    assert_eq!(
        said(&["a = 3 mm\nb = a + 2 ± 1 mm"]),
        ["2:11 bad-expression `±` cannot be inside a sum"]
    );
    assert_eq!(
        said(&["a = 1 +"]),
        ["1:8 bad-expression something is missing at the end"]
    );
    assert_eq!(
        said(&["a = (1 + 2"]),
        ["1:5 bad-expression this bracket is never closed"]
    );
    assert_eq!(
        said(&["a = 12,5 mm"]),
        ["1:5 decimal-comma use a decimal point, not a comma"]
    );
    assert_eq!(
        said(&["a = 3 inch"]),
        ["1:7 unknown-unit `inch` is not a unit Shimbook knows"]
    );
    assert_eq!(
        said(&["a = 3 mm\nb = 2 a"]),
        ["2:7 unknown-unit `a` is not a unit Shimbook knows"]
    );
    assert_eq!(
        said(&["a = 1 mm\nb = a a"]),
        ["2:7 bad-expression a sign is missing before a"]
    );
    assert_eq!(
        said(&["a = tlit(1 mm, 2 mm)"]),
        ["1:5 unknown-function `tlit` is not a function Shimbook knows"]
    );
    assert_eq!(
        said(&["a = tilt(1 mm)"]),
        ["1:5 bad-arguments `tilt` needs `span`"]
    );
    assert_eq!(
        said(&["a = tilt(1 mm, lift: 2 mm)"]),
        ["1:16 bad-arguments `lift` is given twice"]
    );
    assert_eq!(
        said(&["a = 1 mm / 0"]),
        ["1:12 no-number this is 0, and a value cannot be divided by 0"]
    );
    assert_eq!(
        said(&["a measurd 3 mm"]),
        [
            "1:3 bad-statement `measurd` does not begin a statement",
            "1:1 unknown-name no line gives `a` a value",
        ]
    );
    assert_eq!(
        said(&["pi = 3"]),
        ["1:1 reserved `pi` is a word of the format and cannot be a name"]
    );
}

#[test]
fn limits_read_with_the_unit_of_their_clause() {
    let (worked, diagnostics, _) = work(&[
        "a = 16.5 mm\na between 16 and 17 mm\nt measured 80 ± 0 degC\nt within 80 ± 5 degC\nb = 10 mm\nb within 10 +0.2/-0.1 mm\n\
         c = 48 %\nc between 47 % and 53 %\nd = -1 mm\nd between -2 and 2 mm\ne = 9.95 mm\ne within 10 ± 0.1 mm",
    ]);
    assert!(diagnostics.is_empty(), "{diagnostics:?}");
    assert!(
        verdicts(&worked)
            .iter()
            .all(|(_, verdict)| *verdict == "in limits"),
        "{:?}",
        verdicts(&worked)
    );
}

#[test]
fn a_rise_of_temperature_is_never_taken_for_a_reading() {
    assert_eq!(
        said(&["h = 60 degC\nc = 20 degC\nr = h - c\nr at most 30 degC"]),
        ["4:11 unit-mismatch a rise of temperature is compared with a reading",]
    );
    assert_eq!(
        said(&["h = 60 degC\nc = 20 degC\nr = h + c"]),
        ["3:9 unit-mismatch two temperature readings cannot be added"]
    );
    let (worked, d, _) = work(&["h = 60 degC\nc = 20 degC\nr = h - c\nr at most 50 K\nw = c + r"]);
    assert!(d.is_empty());
    assert!((now(&worked, "r") - 40.0).abs() < 1e-9);
    assert!((now(&worked, "w") - 60.0).abs() < 1e-9);
}

#[test]
fn a_name_that_nothing_defines_is_a_warning_with_the_nearest_name() {
    assert_eq!(
        said(&["wedge = 9 mm\nx = wegde + 1 mm"]),
        ["2:5 unknown-name no line gives `wegde` a value"]
    );
    assert!(said(&["x = later + 1 mm", "later = 3 mm"]).is_empty());
}

#[test]
fn setting_a_name_twice_in_one_block_warns_and_the_last_stands() {
    assert_eq!(
        said(&["a = 1 mm\na = 2 mm"]),
        ["2:1 twice-in-block `a` is set twice in this block; the last line counts"]
    );
    let (worked, _, _) = work(&["a = 1 mm\na = 2 mm"]);
    assert!((now(&worked, "a") - 2.0).abs() < 1e-12);
}

#[test]
fn a_broken_line_leaves_the_rest_of_the_block_worked_out() {
    let (worked, diagnostics, _) = work(&["a = 1 mm\nb = 3 inch\nc = a + 1 mm\nd = b + 1 mm"]);
    assert_eq!(diagnostics.len(), 1);
    assert!((now(&worked, "c") - 2.0).abs() < 1e-12);
    assert_eq!(
        worked
            .latest(worked.names.find("d").unwrap())
            .unwrap()
            .known,
        Known::Broken
    );
}

#[test]
fn a_smallest_of_two_carries_the_reach_of_the_other() {
    let (worked, _, _) = work(&["a = 10 ± 0.1 mm\nb = 10.05 ± 2 mm\nm = min(a, b)"]);
    let sides = worked
        .latest(worked.names.find("m").unwrap())
        .unwrap()
        .value()
        .unwrap()
        .worst_case();
    // The winner's own 0.1 mm, and the 1.95 mm by which the other may undercut it.
    assert!((sides.down - 2.05e-3).abs() < 1e-12);
    assert!((sides.up - 0.1e-3).abs() < 1e-12);
}

#[test]
fn only_what_changed_is_worked_out_again() {
    let chain: Vec<String> = (1..10_000)
        .map(|n| format!("x{n} = x{} + 1 mm", n - 1))
        .collect();
    let day1 = format!("x0 measured 1 mm\n{}", chain.join("\n"));
    let (worked, _, _) = work(&[&day1, "x9000 measured 5 mm"]);
    // Day 1 works out each name once; day 2 the measured one, its prediction and the 999 below it.
    assert_eq!(worked.evaluations, 10_000 + 1_001);
    assert!((now(&worked, "x9999") - 1004.0).abs() < 1e-6);
}

/// The choice of a name as it stands.
fn choice<'w>(worked: &'w Results, name: &str) -> &'w ChoiceOutcome {
    let id = worked.names.find(name).unwrap();
    &worked.choices[&id].found.last().unwrap().outcome
}

fn found<'w>(worked: &'w Results, name: &str) -> &'w Found {
    match choice(worked, name) {
        ChoiceOutcome::Found(found) => found,
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_choice_takes_the_middle_of_the_window_that_every_check_leaves() {
    let (worked, diagnostics, _) = work(&[
        "gap measured 16.7 ± 0.1 mm\nchoose plate from 0 to 30 mm\nplay = gap - plate",
        "play between 0.5 and 1.5 mm",
    ]);
    assert!(diagnostics.is_empty(), "{diagnostics:?}");
    let found = found(&worked, "plate");
    assert_eq!(found.windows.len(), 1);
    assert!(
        (found.windows[0].0 - 0.0153).abs() < 1e-12 && (found.windows[0].1 - 0.0161).abs() < 1e-12
    );
    assert!((now(&worked, "plate") - 15.7).abs() < 1e-9);
    assert!(
        found
            .handy
            .iter()
            .any(|handy| handy.size == 0.0155 || handy.size == 0.016)
    );
    assert_eq!(
        worked
            .latest(worked.names.find("plate").unwrap())
            .unwrap()
            .defined
            .state,
        State::Chosen
    );
}

#[test]
fn an_aim_takes_the_nearest_point_of_any_window() {
    let (worked, _, _) = work(&["choose w from 0 to 20 mm aim 3 mm\nw at least 5 mm"]);
    assert!((now(&worked, "w") - 5.0).abs() < 1e-9);
}

#[test]
fn a_choice_is_made_again_when_what_it_hangs_on_changes_until_it_is_measured() {
    let (worked, _, _) = work(&[
        "gap measured 16 mm\nchoose plate from 0 to 30 mm\nplay = gap - plate\nplay between 0.5 and 1.5 mm",
        "gap measured 17 mm",
        "plate measured 15.9 mm\ngap measured 18 mm",
    ]);
    let plate = worked.names.find("plate").unwrap();
    let on = |day| worked.on_day(plate, day).unwrap().value().unwrap().nominal;
    assert!((on(1) - 0.015).abs() < 1e-12);
    assert!((on(2) - 0.016).abs() < 1e-12);
    assert!((on(3) - 0.0159).abs() < 1e-12);
    let story = &worked.choices[&plate];
    assert!(story.settled);
    // The window still follows what it depends on, to be shown beside what was found.
    assert!((found(&worked, "plate").best - 0.017).abs() < 1e-12);
}

#[test]
fn two_checks_that_exclude_each_other_are_named_with_how_much() {
    let (worked, diagnostics, _) =
        work(&["choose w from 0 to 20 mm\nw at least 12 mm\nr = 16 mm - w\nr at least 7 mm"]);
    assert!(
        matches!(choice(&worked, "w"), ChoiceOutcome::Nothing(Exclusion::Pair { apart, .. }) if (apart - 3e-3).abs() < 1e-9)
    );
    assert_eq!(
        diagnostics[0].message,
        "nothing from 0 mm to 20 mm fits for `w`"
    );
    assert_eq!(
        diagnostics[0].expected.as_deref(),
        Some("room for both w at least 12 mm and r at least 7 mm: they exclude each other by 3 mm")
    );
    assert!(worked.choices.values().all(|story| story.fails()));
}

#[test]
fn a_check_that_nothing_meets_is_named_with_how_far_short() {
    let (worked, _, _) = work(&["choose w from 0 to 20 mm\nw at least 25 mm"]);
    assert!(
        matches!(choice(&worked, "w"), ChoiceOutcome::Nothing(Exclusion::Alone { short, .. }) if (short - 5e-3).abs() < 1e-9)
    );
}

#[test]
fn a_choice_that_hangs_on_another_unsettled_one_has_no_reading() {
    let (worked, _, _) =
        work(&["choose a from 0 to 9 mm\nchoose b from 0 to 9 mm\nc = a + b\nc at most 5 mm"]);
    assert!(matches!(choice(&worked, "a"), ChoiceOutcome::Wanting(_)));
    assert!(matches!(choice(&worked, "b"), ChoiceOutcome::Wanting(_)));
}

#[test]
fn what_is_asked_wrongly_is_said_at_its_place() {
    assert_eq!(
        said(&["choose w from 0 to 9 mm"]),
        ["1:1 no-window no check depends on `w`"]
    );
    assert_eq!(
        said(&["choose w from 9 to 3 mm\nw at least 1 mm"])[0],
        "1:15 empty-limits this range is empty: its first end is above its second"
    );
    assert_eq!(
        said(&["choose w from 0 mm to 3 deg"])[0],
        "1:23 unit-mismatch one end is a length, the other is an angle"
    );
    assert_eq!(
        said(&["choose w between 1 and 2 mm"])[0],
        "1:10 bad-statement `from` is missing"
    );
    assert_eq!(
        said(&["stack s from"])[0],
        "1:13 bad-statement a piece of stock is missing"
    );
    assert_eq!(
        said(&["stack s from 3 mm x0"])[0],
        "1:14 bad-statement this is more stock than Shimbook searches"
    );
}

#[test]
fn a_stack_takes_the_fewest_pieces_and_their_tolerances_count() {
    let (worked, diagnostics, _) = work(&[
        "gap measured 9.3 ± 0.05 mm\nleft = gap - shims\nleft between 0.2 and 0.5 mm\nstack shims from 6 ± 0.02 mm x2, 3 mm x4, 0.5 mm",
    ]);
    assert!(diagnostics.is_empty(), "{diagnostics:?}");
    assert_eq!(
        found(&worked, "shims").pieces,
        [("6 ± 0.02 mm".to_owned(), 1), ("3 mm".to_owned(), 1)]
    );
    let spread = worked
        .latest(worked.names.find("left").unwrap())
        .unwrap()
        .value()
        .unwrap()
        .worst_case();
    assert!((spread.up - 0.07e-3).abs() < 1e-12);
}

#[test]
fn a_stack_after_a_choice_of_the_same_name_lands_in_its_window() {
    let (worked, diagnostics, _) =
        work(&["choose s from 2 to 4 mm\ns at least 1 mm\nstack s from 1.5 mm x9, 0.4 mm"]);
    assert!(diagnostics.is_empty(), "{diagnostics:?}");
    assert!((now(&worked, "s") - 3.0).abs() < 1e-9);
}

#[test]
fn torque_that_turns_is_a_power_and_its_share_of_a_power_a_plain_number() {
    let (worked, diagnostics, _) = work(&["share = 100 N-m * 3000 rpm / 62.83185307 kW as %"]);
    assert!(diagnostics.is_empty(), "{diagnostics:?}");
    assert!((now(&worked, "share") - 50.0).abs() < 1e-6);
}

#[test]
fn a_temperature_reading_has_no_multiple() {
    assert_eq!(
        said(&["a = 2 * 20 degC"]),
        ["1:9 unit-mismatch a temperature reading cannot be multiplied or divided"]
    );
}

#[test]
fn a_kinder_limit_does_not_clear_a_hold_with_an_old_reading() {
    let (worked, _, _) = work(&[
        "g measured 20 ± 1 mm\ng at least 25 mm, hold",
        "g at least 5 mm, hold, eased by Ines: why",
        "g measured 20 ± 1 mm",
    ]);
    let holds: Vec<Hold> = [1, 2, 3]
        .iter()
        .filter_map(|day| worked.checks[0].hold_on_day(*day))
        .collect();
    assert!(
        matches!(
            holds[..],
            [Hold::Verdict(_), Hold::Overtaken(_), Hold::Clear]
        ),
        "{holds:?}"
    );
}

#[test]
fn a_flat_place_does_not_hide_what_a_reading_does_at_its_ends() {
    let (worked, _, _) = work(&[
        "x measured 0 ± 1 mm\ny = x * x\ny at most 0.5 mm2, hold\na measured 0 ± 5 deg\nb = cos(a)\nb at least 0.999\n\
         f = joint_fluctuation(a)\nf at most 0.1 %\nv measured 1 ± 0.6 mm\nw = 1 mm2 / v\nw at most 1.7 mm",
    ]);
    assert!(
        verdicts(&worked)
            .iter()
            .all(|(_, verdict)| *verdict == "too close"),
        "{:?}",
        verdicts(&worked)
    );
}

#[test]
fn a_gentle_curve_stays_with_its_slope() {
    let (worked, _, _) = work(&["x measured 10 ± 0.3 mm\ny = x * x"]);
    let sides = worked
        .latest(worked.names.find("y").unwrap())
        .unwrap()
        .value()
        .unwrap()
        .worst_case();
    assert!((sides.up - 6e-6).abs() < 1e-18, "{}", sides.up);
}
