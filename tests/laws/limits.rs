//! A hold limit is never talked away: it is eased or withdrawn only by two different people of the
//! crew.
//!
//! Days of random lines are written as logs. The reference below knows nothing of how the program
//! keeps limits. It lists every figure that a reading must lie inside at the least, and every
//! figure that can be asked of it at the most.

use std::fmt::Write as _;

use proptest::prelude::*;
use shimbook::build::compile;
use shimbook::hold;
use shimbook::io::BookFiles;

const SHEET: &str = "title: T\nstart: 2031-05-02\ndays: 30\ncrew:\n  - {name: Ines, hours: 8}\n  - {name: Odd, hours: 8}\n";

/// Limits in millimetres, or as far beyond the rod.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Limit {
    low: i32,
    high: i32,
    beyond_rod: bool,
}

impl Limit {
    fn with(self, rod: i32) -> (i32, i32) {
        let from = if self.beyond_rod { rod } else { 0 };
        (self.low + from, self.high + from)
    }

    fn written(self) -> String {
        let rod = if self.beyond_rod { "rod + " } else { "" };
        format!("gap between {rod}{} mm and {rod}{} mm", self.low, self.high)
    }
}

/// Who stands behind a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Names {
    Nobody,
    One,
    OneTwice,
    Two,
}

impl Names {
    fn tail(self, act: &str) -> String {
        match self {
            Self::Nobody => String::new(),
            Self::One => format!(", {act} by Ines: why"),
            Self::OneTwice => format!(", {act} by Odd + Odd: why"),
            Self::Two => format!(", {act} by Ines + Odd: why"),
        }
    }
}

#[derive(Clone, Copy, Debug)]
enum Act {
    Limit(Limit, bool, Names),
    Withdraw(Names),
    Rod(i32),
    Measure(i32, Option<i32>),
    WorkOut,
}

fn act() -> impl Strategy<Value = Act> {
    let names = prop_oneof![
        3 => Just(Names::Nobody),
        1 => Just(Names::One),
        1 => Just(Names::OneTwice),
        3 => Just(Names::Two)
    ];
    let limit = (10..24i32, 0..14i32, any::<bool>()).prop_map(|(low, wide, beyond_rod)| {
        let low = if beyond_rod { low - 10 } else { low };
        Limit {
            low,
            high: low + wide,
            beyond_rod,
        }
    });
    let signs = prop_oneof![Just(Names::One), Just(Names::OneTwice), Just(Names::Two)];
    prop_oneof![
        4 => (limit, prop::bool::weighted(0.8), names).prop_map(|(limit, hold, names)| Act::Limit(limit, hold, names)),
        1 => signs.prop_map(Act::Withdraw),
        2 => (8..13i32).prop_map(Act::Rod),
        4 => (12..34i32, prop::option::weighted(0.8, 0..2i32)).prop_map(|(size, spread)| Act::Measure(size, spread)),
        1 => Just(Act::WorkOut),
    ]
}

/// The last reading, while it is the gap's.
#[derive(Clone, Copy)]
struct Reading {
    size: i32,
    spread: Option<i32>,
    block: usize,
    stale: bool,
}

/// What can be said of the check without knowing how it is kept.
#[derive(Default)]
struct Reference {
    block: usize,
    rod: i32,
    /// Does the check exist, and does it count?
    counts: bool,
    hold: bool,
    /// The lines since somebody signed last, and those of them that this block wrote.
    lines: Vec<Limit>,
    fresh: Vec<Limit>,
    /// Figures that any reading must lie inside; figures that may be asked for.
    least: Vec<(i32, i32)>,
    most: Vec<(i32, i32)>,
    reading: Option<Reading>,
    worked_out: bool,
}

/// The strictest of several limits.
fn strictest(limits: &[(i32, i32)]) -> Option<(i32, i32)> {
    limits
        .iter()
        .copied()
        .reduce(|(a, b), (c, d)| (a.max(c), b.min(d)))
}

impl Reference {
    fn begin_with(&mut self, limit: Limit) {
        self.lines.clear();
        self.fresh.clear();
        self.least.clear();
        self.most.clear();
        self.add(limit);
    }

    fn add(&mut self, limit: Limit) {
        self.lines.push(limit);
        self.fresh.push(limit);
    }

    fn limit(&mut self, limit: Limit, hold: bool, names: Names) {
        if !self.counts {
            (self.counts, self.hold) = (true, hold);
            self.begin_with(limit);
        } else if !self.hold {
            self.hold = hold;
            self.begin_with(limit);
        } else if names == Names::Two {
            self.signed(limit, hold);
        } else {
            self.add(limit);
        }
    }

    /// Two people signed. Where nothing is eased it is a line like any other.
    fn signed(&mut self, limit: Limit, hold: bool) {
        let (low, high) = limit.with(self.rod);
        let eases =
            |limits: &[(i32, i32)]| strictest(limits).is_some_and(|(a, b)| low < a || high > b);
        if !hold || eases(&self.surely()) {
            if let Some(reading) = self
                .reading
                .as_mut()
                .filter(|reading| reading.block < self.block)
            {
                reading.stale = true;
            }
            self.hold = hold;
            self.begin_with(limit);
        } else if eases(&self.perhaps()) {
            // Whether it eases depends on what counted: only its own figure is sure from here on.
            self.most = self.perhaps();
            self.least.clear();
            self.fresh.clear();
            self.add(limit);
        } else {
            self.add(limit);
        }
    }

    /// Figures that count for sure: each line at the end of its block, and the latest line at the
    /// end of every block.
    fn surely(&self) -> Vec<(i32, i32)> {
        let now = self
            .fresh
            .iter()
            .chain(self.lines.last())
            .map(|line| line.with(self.rod));
        self.least.iter().copied().chain(now).collect()
    }

    /// Figures that can count at the most: each line at the end of every block.
    fn perhaps(&self) -> Vec<(i32, i32)> {
        self.most
            .iter()
            .copied()
            .chain(self.lines.iter().map(|line| line.with(self.rod)))
            .collect()
    }

    /// The limit that counts, where that is sure.
    fn sure(&self) -> Option<(i32, i32)> {
        let (least, most) = (strictest(&self.surely()), strictest(&self.perhaps()));
        least.filter(|least| Some(*least) == most && self.counts)
    }

    fn close(&mut self) {
        (self.least, self.most) = (self.surely(), self.perhaps());
        self.fresh.clear();
        if !self.hold {
            self.least.clear();
            self.most.clear();
        }
        self.block += 1;
    }

    fn is_inside(&self, limits: &[(i32, i32)]) -> bool {
        self.reading.filter(|reading| !reading.stale).is_some_and(
            |Reading { size, spread, .. }| {
                spread.is_some_and(|spread| {
                    limits
                        .iter()
                        .all(|(low, high)| size - spread >= *low && size + spread <= *high)
                })
            },
        )
    }

    /// May it be off the hold list? Must it be?
    fn off(&self) -> (bool, bool) {
        if !self.counts || !self.hold {
            return (true, true);
        }
        let today = self
            .reading
            .is_some_and(|reading| reading.block + 1 == self.block);
        (
            self.is_inside(&self.least),
            today && self.is_inside(&self.most),
        )
    }
}

/// The acts of a block as a log writes them; the rod is set first, for it counts from the end of
/// the block.
fn written(acts: &[Act], ours: &mut Reference) -> String {
    let mut lines = String::new();
    let rod = acts.iter().rev().find_map(|act| {
        if let Act::Rod(size) = act {
            Some(*size)
        } else {
            None
        }
    });
    if let Some(size) = rod {
        let moved = ours.worked_out && size != ours.rod;
        ours.rod = size;
        if let Some(reading) = ours.reading.as_mut().filter(|_| moved) {
            reading.stale = true;
        }
        writeln!(lines, "rod = {size} mm").unwrap();
    }
    for act in acts {
        match *act {
            Act::Rod(_) => {}
            Act::WorkOut => {
                (ours.worked_out, ours.reading) = (true, None);
                lines.push_str("gap = rod + 10 mm\n");
            }
            Act::Measure(size, spread) => {
                ours.reading = Some(Reading {
                    size,
                    spread,
                    block: ours.block,
                    stale: false,
                });
                let spread = spread.map_or_else(String::new, |spread| format!(" ± {spread}"));
                writeln!(lines, "gap measured {size}{spread} mm").unwrap();
            }
            Act::Limit(limit, hold, names) => {
                ours.limit(limit, hold, names);
                let hold = if hold { ", hold" } else { "" };
                writeln!(lines, "{}{hold}{}", limit.written(), names.tail("eased")).unwrap();
            }
            Act::Withdraw(names) => {
                let Some((low, high)) = ours.sure().filter(|(low, high)| low <= high) else {
                    continue;
                };
                let limit = Limit {
                    low,
                    high,
                    beyond_rod: false,
                };
                writeln!(lines, "{}{}", limit.written(), names.tail("withdrawn")).unwrap();
                if names == Names::Two || !ours.hold {
                    (ours.counts, ours.hold) = (false, false);
                    ours.lines.clear();
                    ours.fresh.clear();
                    ours.least.clear();
                    ours.most.clear();
                }
            }
        }
    }
    ours.close();
    lines
}

proptest! {
    #![proptest_config(crate::dice(400))]

    #[test]
    fn a_hold_limit_is_eased_or_withdrawn_by_two_different_people_only(
        days in prop::collection::vec(prop::collection::vec(act(), 1..5), 1..9),
    ) {
        let mut ours = Reference { rod: 10, ..Reference::default() };
        let mut texts = vec![("build-sheet.yaml".to_owned(), SHEET.to_owned())];
        let mut expected = Vec::new();
        for (index, acts) in days.iter().enumerate() {
            let first = if index == 0 { "```sums\nrod = 10 mm\n```\n\n" } else { "" };
            let log = format!("---\nday: {}\n---\n\n{first}```sums\n{}```\n", index + 1, written(acts, &mut ours));
            texts.push((format!("days/day-{:02}.md", index + 1), log));
            expected.push(ours.off());
        }
        let build = compile(BookFiles::from_texts(texts.iter().map(|(path, text)| (path.as_str(), text.as_str()))));
        for (index, (may, must)) in expected.into_iter().enumerate() {
            let list = hold::on_day(&build.worked, &build.jobs, index as u32 + 1);
            let on = list.lines.iter().any(|line| line.id == "gap");
            let book: String = texts.iter().map(|(_, text)| text.as_str()).collect();
            prop_assert!(on || may, "on evening {} the line is off and may not be:\n{book}", index + 1);
            prop_assert!(!on || !must, "on evening {} the line is on and must not be:\n{book}", index + 1);
        }
    }
}
