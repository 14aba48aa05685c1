//! Every drawing on small books: the words say what is drawn, texts keep apart, numbers stay
//! finite.

use super::*;
use crate::book::{Block, Book, BuildSheet, CrewMember, DayLog, Entry, Judge, Line, UnitSystem};
use crate::calc::Figures;
use crate::calc::{Verdict, work_out};
use crate::diagnostics::Diagnostic;
use crate::markdown::Prose;
use crate::source::{FileId, Sources, Span};

/// The words of a drawing, its thin spaces as plain ones.
fn spaced(drawing: &Drawing) -> String {
    drawing.words.replace('\u{202f}', " ")
}

/// A book of one sums block a day, worked out.
fn worked(days: &[&str]) -> Results {
    judged_by(Judge::WorstCase, days)
}

/// The same, judged with a spread.
fn judged_by(judge: Judge, days: &[&str]) -> Results {
    let mut sources = Sources::default();
    let sheet = BuildSheet {
        file: sources.add("build-sheet.yaml", ""),
        title: "Test".into(),
        dates: Vec::new(),
        start: Some(jiff::civil::date(2031, 5, 2)),
        days: Some(days.len() as u32),
        crew_known: true,
        crew: vec![CrewMember {
            name: "Ines".into(),
            hours: 8.0,
        }],
        units: UnitSystem::Metric,
        money: "EUR".into(),
        judge,
        targets: Vec::new(),
        audiences: std::collections::BTreeMap::new(),
    };
    let logs = days.iter().enumerate().map(|(index, text)| {
        let file = sources.add(format!("days/day-{:02}.md", index + 1), text);
        let block = Block {
            span: Span::new(file, 0..text.len()),
            lines: lines(file, text),
        };
        DayLog {
            file,
            stem: format!("day-{:02}", index + 1),
            day: index as u32 + 1,
            date_why: None,
            date: Some(jiff::civil::date(2031, 5, 2)),
            crew: vec!["Ines".into()],
            title: None,
            entries: vec![Entry::Sums(block)],
            plain_boxes: Vec::new(),
            prose: Prose::default(),
        }
    });
    let days = logs.collect();
    work_out(&Book::of(sheet, days), &Figures::default()).0
}

fn lines(file: FileId, text: &str) -> Vec<Line> {
    let mut at = 0;
    let mut lines = Vec::new();
    for line in text.split('\n') {
        if !line.is_empty() {
            lines.push(Line {
                text: line.into(),
                span: Span::new(file, at..at + line.len()),
            });
        }
        at += line.len() + 1;
    }
    lines
}

fn wedges() -> Results {
    worked(&[
        "tail_angle measured 4.3 ± 0.1 deg, by Ines\nseat_span measured 698 ± 1 mm\nwedge = 0 mm\n\
         tail_after = tail_angle - atan(wedge / seat_span) as deg\ntail_after within 3.4 ± 0.4 deg\n\
         shaft_angle measured 2.1 ± 0.1 deg\npinion_angle measured 3.6 ± 0.1 deg\n\
         arch_gap at least 25 mm, hold",
        "arch_gap measured 19 ± 1 mm",
        "wedge = 12 mm",
        "wedge = 9 mm\narch_gap measured 26 ± 2 mm",
        "tail_after measured 3.61 ± 0.05 deg\narch_gap measured 31 ± 1 mm",
    ])
}

fn id(worked: &Results, name: &str) -> NameId {
    worked.names.find(name).unwrap()
}

fn band_of(days: &[&str], name: &str) -> Drawing {
    let worked = worked(days);
    sound(band(
        &worked,
        id(&worked, name),
        days.len() as u32,
        Judge::WorstCase,
    ))
}

/// One text of a drawing as a box.
#[derive(Debug)]
struct TextBox {
    text: String,
    left: f64,
    right: f64,
    top: f64,
    bottom: f64,
}

fn attribute<'a>(tag: &'a str, name: &str) -> &'a str {
    let from = tag
        .find(&format!(" {name}=\""))
        .unwrap_or_else(|| panic!("{name} in {tag}"))
        + name.len()
        + 3;
    &tag[from..from + tag[from..].find('"').unwrap()]
}

fn text_boxes(svg: &str) -> Vec<TextBox> {
    svg.split("<text").skip(1).map(text_box).collect()
}

fn text_box(element: &str) -> TextBox {
    let (tag, rest) = element.split_once('>').unwrap();
    let text = rest
        .split_once("</text>")
        .unwrap()
        .0
        .replace("&lt;", "<")
        .replace("&gt;", ">")
        .replace("&quot;", "\"")
        .replace("&#39;", "'")
        .replace("&amp;", "&");
    let (x, y): (f64, f64) = (
        attribute(tag, "x").parse().unwrap(),
        attribute(tag, "y").parse().unwrap(),
    );
    let wide = ink::width(&text);
    let left = match attribute(tag, "text-anchor") {
        "start" => x,
        "middle" => x - wide / 2.0,
        _ => x - wide,
    };
    TextBox {
        text,
        left,
        right: left + wide,
        top: y - 0.8 * FONT_SIZE,
        bottom: y + 0.2 * FONT_SIZE,
    }
}

/// The same drawing, after looking that nothing overlaps, leaves the paper or is no number.
fn sound(drawing: Drawing) -> Drawing {
    let svg = &drawing.svg;
    assert!(!svg.contains("NaN") && !svg.contains("inf"), "{svg}");
    let size: Vec<f64> = attribute(svg, "viewBox")
        .split(' ')
        .map(|part| part.parse().unwrap())
        .collect();
    let boxes = text_boxes(svg);
    for (index, a) in boxes.iter().enumerate() {
        let inside =
            a.left >= -0.1 && a.right <= size[2] + 0.1 && a.top >= 0.0 && a.bottom <= size[3];
        assert!(inside, "{a:?} leaves the paper {size:?}");
        for b in &boxes[index + 1..] {
            let apart =
                a.right <= b.left || b.right <= a.left || a.bottom <= b.top || b.bottom <= a.top;
            assert!(apart, "{a:?} and {b:?} overlap");
        }
    }
    assert_eq!(attribute(svg, "aria-label"), ink::escaped(&drawing.words));
    drawing
}

fn texts(drawing: &Drawing) -> Vec<String> {
    text_boxes(&drawing.svg)
        .into_iter()
        .map(|text| text.text)
        .collect()
}

#[test]
fn a_band_says_where_a_value_stands_and_where_it_stood() {
    let worked = wedges();
    let drawing = sound(band(
        &worked,
        id(&worked, "tail_after"),
        4,
        Judge::WorstCase,
    ));
    assert_eq!(
        drawing.words,
        "tail_after: 3.56 ± 0.11° on day 4; limits 3 to 3.8, in limits, clear by 0.137°, worst case; \
         before that 3.32 ± 0.11 on day 3, 4.3 ± 0.1 on day 1"
    );
    let shown = texts(&drawing);
    for text in [
        "tail_after, °",
        "3",
        "3.8",
        "day 4",
        "day 1",
        "in limits",
        "3 … 3.8",
    ] {
        assert!(shown.iter().any(|t| t == text), "{text} in {shown:?}");
    }
    assert!(!drawing.svg.contains("class=\"over\""));
}

#[test]
fn out_of_limits_is_hatched_and_said() {
    let worked = wedges();
    let drawing = sound(band(&worked, id(&worked, "arch_gap"), 2, Judge::Rss));
    assert!(
        spaced(&drawing)
            .contains("at least 25, out of limits, short by 7 mm (6 mm as read), worst case"),
        "{}",
        drawing.words
    );
    assert!(drawing.svg.contains("class=\"over\""));
    let plain = sound(band(&worked, id(&worked, "arch_gap"), 5, Judge::Rss));
    assert!(plain.svg.matches('M').count() < drawing.svg.matches('M').count());
}

#[test]
fn the_spread_that_judged_is_named_and_drawn() {
    let by = |judge| {
        let worked = judged_by(
            judge,
            &["a measured 10 ± 3 mm\nb measured 5 ± 4 mm\nc = a + b\nc at most 21 mm"],
        );
        spaced(&sound(band(&worked, id(&worked, "c"), 1, judge)))
    };
    assert!(
        by(Judge::WorstCase).starts_with("c: 15 ± 7 mm"),
        "{}",
        by(Judge::WorstCase)
    );
    assert!(
        by(Judge::Rss).starts_with("c: 15 ± 5 mm"),
        "{}",
        by(Judge::Rss)
    );
    assert!(by(Judge::Rss).contains("clear by 1 mm, root-sum-square"));
}

#[test]
fn a_name_without_a_value_draws_an_empty_frame() {
    let worked = worked(&["x = later + 1 mm\nx at least 3 mm", "later = 3 mm"]);
    let drawing = sound(band(&worked, id(&worked, "x"), 1, Judge::WorstCase));
    assert_eq!(spaced(&drawing), "x: no reading: later; ≥ 3 mm");
    assert_eq!(
        sound(history(&worked, id(&worked, "later"), 1, Judge::WorstCase)).words,
        "later: no reading"
    );
    assert_eq!(
        spaced(&sound(sources(&worked, id(&worked, "x"), 1))),
        "x: no reading: later; ≥ 3 mm"
    );
}

#[test]
fn odd_figures_draw_without_a_number_that_is_none() {
    for days in [
        &["x = 0 mm\nx within 0 ± 0 mm"][..],
        &["x = 5 mm\nx between 5 and 5 mm\nx at least 7 mm\nx at most 4 mm"],
        &["x measured 5e300 ± 1e299 mm\nx within 1e-300 ± 1e-301 mm"],
        &["x = 1e-300 mm", "x = 1e305 mm", "x = -1e305 mm"],
        &[
            "x = 3.4 mm\nx within 3.4 ± 0.01 mm",
            "x = 900000 mm",
            "x = 3.401 mm",
        ],
        &["x = -40 degC\nx within -40 ± 5 degC"],
        &["x = 12\nx at least 3"],
    ] {
        let worked = worked(days);
        for day in 1..=days.len() as u32 {
            let x = id(&worked, "x");
            sound(band(&worked, x, day, Judge::WorstCase));
            sound(history(&worked, x, day, Judge::Rss));
            sound(sources(&worked, x, day));
        }
    }
}

#[test]
fn many_days_are_thinned_out_and_the_rest_counted() {
    let texts: Vec<String> = (1..=60)
        .map(|day| format!("x measured {day} ± 0.5 mm\nx at most 40 mm"))
        .collect();
    let days: Vec<&str> = texts.iter().map(String::as_str).collect();
    let drawing = band_of(&days, "x");
    assert!(
        drawing.words.ends_with("on day 55 and 54 earlier"),
        "{}",
        drawing.words
    );
    let worked = worked(&days);
    let drawing = sound(history(&worked, id(&worked, "x"), 60, Judge::WorstCase));
    assert!(
        drawing
            .words
            .contains("48 earlier, then 49.0 ± 0.5 on day 49, out of limits"),
        "{}",
        drawing.words
    );
}

#[test]
fn a_history_shows_what_was_predicted_and_limits_as_they_were() {
    let wedges = wedges();
    let drawing = sound(history(
        &wedges,
        id(&wedges, "tail_after"),
        5,
        Judge::WorstCase,
    ));
    assert!(
        drawing.words.contains("3.61 ± 0.05 on day 5, in limits"),
        "{}",
        drawing.words
    );
    assert!(
        drawing.words.contains("predicted 3.56 ± 0.11 on day 5"),
        "{}",
        drawing.words
    );
    assert!(texts(&drawing).contains(&"predicted".to_owned()));
    let moved = worked(&["x = 5 mm\nx at least 3 mm", "x at least 4 mm"]);
    let drawing = sound(history(&moved, id(&moved, "x"), 2, Judge::WorstCase));
    assert!(
        drawing
            .words
            .ends_with("at least 3 from day 1, at least 4 from day 2"),
        "{}",
        drawing.words
    );
}

#[test]
fn sources_come_largest_first_with_who_read_them() {
    let worked = wedges();
    let drawing = sound(sources(&worked, id(&worked, "tail_after"), 4));
    assert!(
        drawing
            .words
            .contains("its spread comes from tail_angle (read day 1, Ines) 99 % of the worst case"),
        "{}",
        drawing.words
    );
    assert!(drawing.words.contains("seat_span (read day 1)"));
    assert!(
        sound(sources(&worked, id(&worked, "wedge"), 4))
            .words
            .contains("9 without spread")
    );
}

#[test]
fn more_than_eight_sources_are_counted() {
    let readings: Vec<String> = (1..=11)
        .map(|n| format!("r{n} measured 5 ± {n} mm"))
        .collect();
    let sum: Vec<String> = (1..=11).map(|n| format!("r{n}")).collect();
    let text = format!("{}\ns = {}", readings.join("\n"), sum.join(" + "));
    let worked = worked(&[&text]);
    let drawing = sound(sources(&worked, id(&worked, "s"), 1));
    assert!(drawing.words.ends_with("; and 3 more"));
    assert!(drawing.words.contains("comes from r11 "));
    assert!(texts(&drawing).contains(&"and 3 more".to_owned()));
}

#[test]
fn a_driveline_gives_the_angle_at_each_joint() {
    let worked = wedges();
    let names = ["tail_after", "shaft_angle", "pinion_angle"].map(|name| id(&worked, name));
    let drawing = sound(driveline(&worked, &names, 4, Judge::WorstCase).unwrap());
    assert!(
        drawing
            .words
            .contains("tail_after 3.56 ± 0.11° (limits 3 to 3.8, in limits)"),
        "{}",
        drawing.words
    );
    assert!(
        drawing
            .words
            .contains("1.46 ± 0.21° between tail_after and shaft_angle"),
        "{}",
        drawing.words
    );
    assert!(
        drawing
            .words
            .contains("1.5 ± 0.2° between shaft_angle and pinion_angle")
    );
    assert!(texts(&drawing).contains(&"side view, + falls rightward, slopes drawn ×5".to_owned()));
}

#[test]
fn a_joint_between_shafts_that_share_a_reading_counts_it_once() {
    let worked = worked(&["a measured 3 ± 0.1 deg\nb = a + 1 deg\nc = b * 1\nd = 0 deg"]);
    let of = |names: &[&str]| {
        let names: Vec<NameId> = names.iter().map(|name| id(&worked, name)).collect();
        sound(driveline(&worked, &names, 1, Judge::WorstCase).unwrap()).words
    };
    assert!(
        of(&["a", "b"]).contains("joint angles 1° between a and b"),
        "{}",
        of(&["a", "b"])
    );
    assert!(of(&["d", "d"]).contains("joint angles 0°"));
    of(&["a", "b", "c", "d"]);
}

#[test]
fn a_driveline_of_anything_but_angles_says_so() {
    let worked = worked(&["a = 3 deg\nw = 9 mm\nsteep = 88 deg\nback = -170 deg"]);
    let of = |names: &[&str]| {
        driveline(
            &worked,
            &names.iter().map(|n| id(&worked, n)).collect::<Vec<_>>(),
            1,
            Judge::Rss,
        )
    };
    assert_eq!(of(&["a", "w"]).unwrap_err(), "w is a length, not an angle");
    assert_eq!(
        of(&["a"]).unwrap_err(),
        "a driveline has two to four slopes, not 1"
    );
    sound(of(&["steep", "back", "a"]).unwrap());
}

#[test]
fn hours_beyond_the_hands_are_hatched_and_said() {
    let day = |label: &str, hands, work| DayHours {
        label: label.into(),
        hands,
        work,
    };
    let drawing = sound(hours(&[
        day("day 5", 24.0, 26.0),
        day("day 6", 24.0, 22.5),
        day("day 7", 0.0, 3.0),
        day("a day with a long name", 24.0, 0.0),
        day("day 9", f64::NAN, -1.0),
    ]));
    assert!(
        drawing
            .words
            .contains("day 5 26 h of 24, 2 h too much, day 6 22.5 h of 24, day 7 3 h of 0")
    );
    assert!(texts(&drawing).contains(&"26 h of 24".to_owned()));
    assert_eq!(drawing.svg.matches("class=\"over\"").count(), 4);
    sound(hours(&[]));
}

#[test]
fn masses_stand_largest_first_against_the_target() {
    let rows: Vec<(String, f64)> = (1..=17)
        .map(|n| {
            (
                format!("part number {n} of the whole vehicle"),
                f64::from(n) * 10.0,
            )
        })
        .collect();
    let limit = |most: f64, margin: &str| {
        Some(MassLimit {
            most,
            margin: margin.to_owned(),
        })
    };
    let drawing = sound(mass(&rows, limit(1300.0, "over by 230 kg")));
    assert!(
        spaced(&drawing)
            .starts_with("what weighs what: part number 17 of the whole vehicle 170 kg")
    );
    assert!(
        spaced(&drawing).ends_with("and 3 more 60 kg; 1530 kg of 1300 kg, over by 230 kg"),
        "{}",
        drawing.words
    );
    assert!(
        sound(mass(&rows, limit(2000.0, "clear by 463 kg")))
            .words
            .ends_with(", clear by 463 kg")
    );
    assert!(spaced(&sound(mass(&rows[..1], None))).ends_with("10 kg in all"));
    assert!(
        spaced(&sound(mass(&rows[..3], limit(0.0, "over by 60 kg"))))
            .ends_with("60 kg of 0 kg, over by 60 kg")
    );
    sound(mass(&[], None));
    sound(mass(&[("odd".into(), f64::INFINITY)], limit(f64::NAN, "")));
}

#[test]
fn each_verdict_has_a_sign_of_its_own() {
    let all = [
        Verdict::InLimits,
        Verdict::TooClose,
        Verdict::OutOfLimits,
        Verdict::NoReading,
    ];
    let place = |verdict| {
        sound(gauge(verdict))
            .svg
            .split("<circle")
            .nth(1)
            .map(|dot| attribute(dot, "cx").to_owned())
    };
    assert_eq!(
        all.map(place),
        [
            Some("14".into()),
            Some("26".into()),
            Some("35".into()),
            None
        ]
    );
    assert_eq!(gauge(Verdict::TooClose).words, "too close");
}

#[test]
fn a_limit_set_anew_is_held_against_the_value_that_stands() {
    let worked = worked(&["x = 5 mm\nx at most 6 mm", "y = 1 mm", "x at most 4 mm"]);
    let drawing = sound(history(&worked, id(&worked, "x"), 3, Judge::WorstCase));
    assert!(
        drawing
            .words
            .starts_with("x, mm: 5 on day 1, in limits; 5 on day 3, out of limits;"),
        "{}",
        drawing.words
    );
    assert!(drawing.svg.contains("class=\"over\""));
    assert!(
        !sound(history(&worked, id(&worked, "x"), 2, Judge::WorstCase))
            .svg
            .contains("class=\"over\"")
    );
}

#[test]
fn captions_and_figures_are_not_cut_short() {
    let unequal =
        worked(&["x measured 10.123 +0.0040/-0.0010 mm\nx between 10.1201 and 10.1249 mm"]);
    let drawing = sound(band(&unequal, id(&unequal, "x"), 1, Judge::Rss));
    assert!(
        texts(&drawing).iter().all(|text| !text.ends_with('…')),
        "{:?}",
        texts(&drawing)
    );
    assert!(texts(&drawing).contains(&"10.1201".to_owned()));
    let text =
        "a name far longer than anybody would write for a slope of a shaft".replace(' ', "_");
    let worked = worked(&[&format!(
        "{text} = 3 deg\nb = 1 deg\n{text} at most 2 deg, hold"
    )]);
    for name in [text.as_str(), "b"] {
        sound(band(&worked, id(&worked, name), 1, Judge::Rss));
    }
    let names = [text.as_str(), "b", text.as_str()].map(|name| id(&worked, name));
    assert!(
        sound(driveline(&worked, &names, 1, Judge::Rss).unwrap())
            .words
            .contains(&text)
    );
}

proptest::proptest! {
    #![proptest_config(proptest::test_runner::Config { cases: 96, failure_persistence: None, ..Default::default() })]

    #[test]
    fn any_figures_draw_soundly(
        figures in proptest::collection::vec((-9.0..9.0_f64, -12..12_i32, 0.0..9.0_f64, -9..3_i32), 1..9),
        limits in (-9.0..9.0_f64, 0.0..9.0_f64, -6..6_i32),
        rss in proptest::bool::ANY,
    ) {
        let (middle, side, ten) = limits;
        let texts: Vec<String> = figures.iter().map(|(x, power, spread, less)| {
            format!("x measured {x:.3}e{power} ± {spread:.2}e{} mm\nx within {middle:.2}e{ten} ± {side:.2}e{ten} mm\n\
                     x at most {side:.3}e{ten} mm", power + less)
        }).collect();
        let days: Vec<&str> = texts.iter().map(String::as_str).collect();
        let worked = worked(&days);
        let (x, judge) = (id(&worked, "x"), if rss { Judge::Rss } else { Judge::WorstCase });
        assert!(worked.latest(x).unwrap().value().is_some());
        assert_eq!(worked.checks.len(), 2);
        sound(band(&worked, x, days.len() as u32, judge));
        sound(history(&worked, x, days.len() as u32, judge));
        sound(sources(&worked, x, days.len() as u32));
    }
}

fn read(text: &str) -> (Vec<String>, Vec<String>) {
    let mut sources = Sources::default();
    let file = sources.add("days/day-05.md", text);
    let worked = wedges();
    let (asked, diagnostics) = read_block(&lines(file, text), &worked, 5, Judge::WorstCase);
    let drawings = asked
        .iter()
        .map(|asked| asked.draw(&worked, 5, Judge::WorstCase).unwrap());
    let said = |d: &Diagnostic| {
        let instead = d.instead.as_deref().unwrap_or("-");
        format!(
            "{} [{}] {} > {instead}",
            d.slug.word(),
            sources.slice(d.at),
            d.message
        )
    };
    let words = drawings.map(|drawing| sound(drawing).words.split(':').next().unwrap().to_owned());
    (words.collect(), diagnostics.iter().map(said).collect())
}

#[test]
fn a_block_draws_a_drawing_a_line() {
    let (drawn, said) = read(
        "driveline tail_after shaft_angle pinion_angle   # side view\nband tail_after\n# only a remark\nsources tail_after\nhistory arch_gap",
    );
    assert!(said.is_empty(), "{said:?}");
    assert_eq!(drawn.len(), 4);
    assert_eq!(drawn[1], "tail_after");
}

#[test]
fn what_cannot_be_drawn_is_an_error_at_its_place() {
    let (drawn, said) = read(
        "bnad wedge\nband wegde\nband\nband wedge arch_gap\ndriveline wedge tail_after\nhistroy wedge # so\nsources wedge",
    );
    assert_eq!(drawn.len(), 1);
    assert_eq!(
        said,
        [
            "bad-drawing [bnad] no drawing is called bnad > band",
            "unknown-name [wegde] nothing in the book says what wegde is > wedge",
            "bad-drawing [band] band needs a name > -",
            "bad-drawing [arch_gap] band draws one name > band wedge",
            "bad-drawing [driveline wedge tail_after] wedge is a length, not an angle > -",
            "bad-drawing [histroy] no drawing is called histroy > history",
        ]
    );
}

#[test]
fn words_of_the_crew_are_escaped() {
    let day = DayHours {
        label: "<b> & \"x\"".into(),
        hands: 8.0,
        work: 9.0,
    };
    let drawing = sound(hours(&[day]));
    assert!(!drawing.svg.contains("<b>"));
    assert!(drawing.words.contains("<b> & \"x\""));
}
