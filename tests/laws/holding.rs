//! Nothing but the stated acts takes a line off the hold list.
//!
//! Days of random acts are written as logs; a few lines of bookkeeping say what must be on hold each evening.

use std::collections::BTreeSet;
use std::fmt::Write as _;

use proptest::prelude::*;
use shimbook::compile::compile;
use shimbook::desk::BookFiles;
use shimbook::shop::hold;

const SHEET: &str =
    "title: T\nstart: 2031-05-02\ndays: 20\ncrew:\n  - {name: Ines, hours: 8}\n  - {name: Odd, hours: 8}\n";

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
#[allow(clippy::struct_excessive_bools, reason = "a checklist is a row of yes and no")]
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
        let lines = [(self.blocks, "blocks"), (self.brakes, "brakes"), (gap, "gap")];
        lines.into_iter().filter(|(on, _)| *on).map(|(_, id)| id.to_owned()).collect()
    }
}

/// The act as a log writes it. Making good what never was is left out: it is an error and changes nothing.
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
        Act::MeasureGap(size) => sum(format!("gap measured {size} mm")),
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
