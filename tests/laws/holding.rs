//! Nothing but the stated acts takes a line off the hold list.
//!
//! Days of random acts are written as logs; a few lines of bookkeeping say what must be on hold
//! each evening.

use std::collections::BTreeSet;
use std::fmt::Write as _;

use proptest::prelude::*;
use shimbook::build::compile;
use shimbook::diagnostics::Slug;
use shimbook::hold;
use shimbook::io::BookFiles;

const SHEET: &str = "title: T\nstart: 2031-05-02\ndays: 20\ncrew:\n  - {name: Ines, hours: 8}\n  - {name: Odd, hours: 8}\n";

/// What a day may hold.
#[derive(Clone, Copy, Debug)]
enum Act {
    PutOnBlocks,
    MakeGood,
    DropStopgap,
    WorkOnBrakes,
    FinishBrakes,
    DropBrakes,
    ChangeSpacer(u8),
    MeasureGap(u8),
    WorkGapOut,
    WriteLimitAgain,
    Paint,
}

fn act() -> impl Strategy<Value = Act> {
    prop_oneof![
        Just(Act::PutOnBlocks),
        Just(Act::MakeGood),
        Just(Act::DropStopgap),
        Just(Act::WorkOnBrakes),
        Just(Act::FinishBrakes),
        Just(Act::DropBrakes),
        (5..9u8).prop_map(Act::ChangeSpacer),
        (3..9u8).prop_map(Act::MeasureGap),
        Just(Act::WorkGapOut),
        Just(Act::WriteLimitAgain),
        Just(Act::Paint),
    ]
}

/// What must be on hold, kept by hand.
#[derive(Default)]
#[allow(
    clippy::struct_excessive_bools,
    reason = "a checklist is a row of yes and no"
)]
struct Ours {
    blocks: bool,
    ever_on_blocks: bool,
    brakes: bool,
    spacer: Option<u8>,
    /// The gap's reading, while nothing it depends on changed since.
    reading: Option<u8>,
    worked_out: bool,
}

impl Ours {
    fn take(&mut self, act: Act) {
        match act {
            Act::PutOnBlocks => (self.blocks, self.ever_on_blocks) = (true, true),
            Act::MakeGood => self.blocks = false,
            Act::WorkOnBrakes => self.brakes = true,
            Act::FinishBrakes => self.brakes = false,
            Act::ChangeSpacer(size) => {
                if self.worked_out && self.spacer != Some(size) {
                    self.reading = None;
                }
                self.spacer = Some(size);
            }
            Act::MeasureGap(size) => self.reading = Some(size),
            Act::WorkGapOut => (self.worked_out, self.reading) = (true, None),
            Act::DropStopgap | Act::DropBrakes | Act::WriteLimitAgain | Act::Paint => {}
        }
    }

    fn on_hold(&self) -> BTreeSet<String> {
        let gap = self.reading.is_none_or(|size| size < 5);
        let lines = [
            (self.blocks, "blocks"),
            (self.brakes, "brakes"),
            (gap, "gap"),
        ];
        lines
            .into_iter()
            .filter(|(on, _)| *on)
            .map(|(_, id)| id.to_owned())
            .collect()
    }
}

/// The act as a log writes it. Making good what never was is left out: it is an error and changes
/// nothing.
fn written(act: Act, ours: &Ours) -> (String, String) {
    let job = |text: &str| (format!("- {text}\n"), String::new());
    let sum = |text: String| (String::new(), format!("{text}\n"));
    match act {
        Act::PutOnBlocks => job("[ ] Blocks {blocks, temp: blocks carry it}"),
        Act::MakeGood if ours.ever_on_blocks => job("[ ] Blocks {blocks, made good by Ines}"),
        Act::DropStopgap => job("[ ] Blocks {blocks, dropped: no time}"),
        Act::WorkOnBrakes => job("[ ] Brakes {brakes, took 1 h, again: leaks, caution brakes}"),
        Act::FinishBrakes => job("[x] Brakes {brakes, caution brakes}"),
        Act::DropBrakes => job("[ ] Brakes {brakes, dropped: no time, caution brakes}"),
        Act::ChangeSpacer(size) => sum(format!("spacer = {size} mm")),
        Act::MeasureGap(size) => sum(format!("gap measured {size} ± 0 mm")),
        Act::WorkGapOut => sum("gap = spacer + 0 mm".to_owned()),
        Act::WriteLimitAgain => sum("gap at least 5 mm".to_owned()),
        Act::MakeGood | Act::Paint => job("[x] Paint {paint}"),
    }
}

proptest! {
    #![proptest_config(crate::dice(200))]

    #[test]
    fn nothing_but_the_stated_acts_takes_a_line_off_the_hold_list(acts in prop::collection::vec(act(), 1..12)) {
        let mut ours = Ours::default();
        let mut texts = vec![("build-sheet.yaml".to_owned(), SHEET.to_owned())];
        let mut expected = Vec::new();
        for (index, act) in acts.iter().enumerate() {
            let (jobs, sums) = written(*act, &ours);
            ours.take(*act);
            let mut log = format!("---\nday: {}\n---\n\n{jobs}\n```sums\n{sums}", index + 1);
            if index == 0 {
                writeln!(log, "gap at least 5 mm, hold").unwrap();
            }
            log.push_str("```\n");
            texts.push((format!("days/day-{:02}.md", index + 1), log));
            expected.push(ours.on_hold());
        }
        let build = compile(BookFiles::from_texts(texts.iter().map(|(path, text)| (path.as_str(), text.as_str()))));
        for (index, expected) in expected.into_iter().enumerate() {
            let list = hold::on_day(&build.worked, &build.jobs, index as u32 + 1);
            let lines: BTreeSet<String> = list.lines.into_iter().map(|line| line.id).collect();
            prop_assert_eq!(lines, expected, "evening {} of {:?}", index + 1, acts);
        }
    }
}

/// What a line of a log may hold where the vehicle moves.
#[derive(Clone, Copy, Debug)]
enum Deed {
    Act(Act),
    Move { ticked: bool, hours: u8 },
}

fn deed() -> impl Strategy<Value = Deed> {
    prop_oneof![
        3 => act().prop_map(Deed::Act),
        2 => (any::<bool>(), 0..3u8).prop_map(|(ticked, hours)| Deed::Move { ticked, hours }),
    ]
}

/// The lines that count as open at a move, straight from the rule: what was open on the evening
/// before, or opened by anything of that day, and not cleared between then and the move. `lines` is
/// what is on hold after each deed of the book, the deeds of a day being `day`.
fn open_at(before: &BTreeSet<String>, lines: &[BTreeSet<String>], at: usize) -> BTreeSet<String> {
    let ids = ["blocks", "brakes", "gap"].map(str::to_owned);
    let counts = |id: &String| {
        let mut states = vec![before.contains(id)];
        states.extend(lines.iter().map(|lines| lines.contains(id)));
        // The stretches of the day on which it is open, as from where to where it is so.
        (0..states.len()).any(|from| {
            let opens = states[from] && (from == 0 || !states[from - 1]);
            let end = (from..states.len()).find(|state| !states[*state]);
            // State `n` is what holds after deed `n`; a clearing above the move is one of an
            // earlier deed.
            opens && end.is_none_or(|end| end > at)
        })
    };
    ids.into_iter().filter(counts).collect()
}

/// The log of a day, each deed where it comes, and for each move the lines that must count.
fn day_of(deeds: &[Deed], ours: &mut Ours, first: bool) -> (String, Vec<BTreeSet<String>>) {
    // Before the first day nothing is known of the gap, so its line is opened by the day.
    let before = if first {
        BTreeSet::new()
    } else {
        ours.on_hold()
    };
    let mut log = if first {
        "```sums\ngap at least 5 mm, hold\n```\n".to_owned()
    } else {
        String::new()
    };
    let mut lines = if first {
        vec![ours.on_hold()]
    } else {
        Vec::new()
    };
    let mut moves = Vec::new();
    for deed in deeds {
        match deed {
            Deed::Act(act) => {
                let (jobs, sums) = written(*act, ours);
                ours.take(*act);
                let sums = if sums.is_empty() {
                    sums
                } else {
                    format!("```sums\n{sums}```\n")
                };
                writeln!(log, "{jobs}\n{sums}").unwrap();
            }
            Deed::Move { ticked, hours } => {
                let tick = if *ticked { 'x' } else { ' ' };
                // A done job that is ticked again with hours is an error: `again` makes it a new
                // go.
                writeln!(log, "- [{tick}] Yard {{yard, took {hours} h, again: once more, caution first_move}}\n")
                    .unwrap();
                if *ticked || *hours > 0 {
                    moves.push(lines.len() + 1);
                }
            }
        }
        lines.push(ours.on_hold());
    }
    let open = moves
        .into_iter()
        .map(|at| open_at(&before, &lines, at))
        .collect();
    (log, open)
}

proptest! {
    #![proptest_config(crate::dice(200))]

    #[test]
    fn a_first_move_is_told_exactly_of_the_lines_that_count_as_open(
        days in prop::collection::vec(prop::collection::vec(deed(), 0..7), 1..5)
    ) {
        let mut ours = Ours::default();
        let mut texts = vec![("build-sheet.yaml".to_owned(), SHEET.to_owned())];
        let mut expected = Vec::new();
        for (index, deeds) in days.iter().enumerate() {
            let day = index as u32 + 1;
            let (log, open) = day_of(deeds, &mut ours, index == 0);
            texts.push((format!("days/day-{day:02}.md"), format!("---\nday: {day}\n---\n\n{log}")));
            expected.extend(open.into_iter().filter(|open| !open.is_empty()).map(|open| (day, open)));
        }
        let build = compile(BookFiles::from_texts(texts.iter().map(|(path, text)| (path.as_str(), text.as_str()))));
        let told: Vec<(u32, BTreeSet<String>)> = build
            .hold_history
            .iter()
            .map(|event| (event.day, event.lines.iter().map(|line| line.id.clone()).collect()))
            .collect();
        prop_assert_eq!(&told, &expected, "{:?}", days);
        let warned = build.diagnostics.iter().filter(|found| found.slug == Slug::MovedOnHold).count();
        prop_assert_eq!(warned, told.len());
    }
}
