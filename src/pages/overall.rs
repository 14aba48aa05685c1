//! How the whole vehicle stands: one sentence, led by whether it may be released.
//!
//! In: a build. Out: the [`Overall`] of any evening. Cover, wall, tally, handovers and the head of
//! a day's page use it, so that none of them can sound better than another: what is built may still
//! be on hold.

use super::counts::{CheckCountsByDay, JobCounts, JobCountsByDay};
use super::words::count;
use crate::book::Caution;
use crate::build::Build;
use crate::calc::Check;
use crate::diagnostics::Severity;
use crate::hold::{self, HoldEventKind};
use crate::jobs::JobState;
use crate::jobs::orders::{Orders, Wanted};

/// So many moves are named in the sentence; the others are counted.
const MOST_MOVES: usize = 2;

/// How the vehicle stands on an evening.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Overall {
    stage: Stage,
    /// Something keeps it from being released.
    held: bool,
    /// What is to be said of it, what matters most first.
    says: Vec<String>,
}

/// How far the work is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum Stage {
    #[default]
    NotBegun,
    BeingBuilt,
    Built,
    /// No log could be read.
    NotKnown,
}

impl Overall {
    /// `Built, not released: 1 line on hold, first move dropped, a part due on day 9.`
    pub fn sentence(&self) -> String {
        let stage = match self.stage {
            Stage::NotBegun => "Not begun",
            Stage::BeingBuilt => "Being built",
            Stage::Built => "Built",
            Stage::NotKnown => "Stage not known",
        };
        let held = if self.held { ", not released" } else { "" };
        match (self.says.is_empty(), self.stage) {
            (false, _) => format!("{stage}{held}: {}.", self.says.join(", ")),
            (true, Stage::NotBegun) => format!("{stage}."),
            (true, _) => format!("{stage}. Nothing is on hold."),
        }
    }
}

/// How the vehicle stands on the latest evening.
pub fn overall(build: &Build) -> Overall {
    let on_hold = build.hold.lines.len();
    Course::of(build).on(build, build.day(), on_hold, Some(&build.ahead.orders))
}

/// What the sentence counts, by the day from which it holds: added up once for all evenings.
pub(crate) struct Course {
    progress: JobCountsByDay,
    /// Checks that are on no hold list.
    checks: CheckCountsByDay,
}

impl Course {
    pub(crate) fn of(build: &Build) -> Self {
        let checks = build.worked.checks.iter().map(|check| &**check);
        Self {
            progress: JobCountsByDay::of(&build.jobs),
            checks: CheckCountsByDay::of(checks.filter(|check: &&Check| !check.hold)),
        }
    }

    pub(super) fn jobs_on(&self, day: u32) -> JobCounts {
        self.progress.on(day)
    }

    /// The evening of a day, with so many lines on hold, and the parts that were wanted then, where
    /// that is known.
    pub(crate) fn on(
        &self,
        build: &Build,
        day: u32,
        on_hold: usize,
        orders: Option<&Orders>,
    ) -> Overall {
        let jobs = self.progress.on(day);
        let open = jobs.all - jobs.done;
        let none_planned = jobs.all + jobs.dropped == 0;
        let errors = build.count(Severity::Error);
        let failing = build
            .worked
            .choices
            .values()
            .filter(|story| day == build.day() && story.fails())
            .count();
        let out = self.checks.on(day).out + failing;
        let moves = moves(build, day);
        let told = |number: usize, one, many| (number > 0).then(|| count(number, one, many));
        let current = build.current.is_current();
        let held = errors + on_hold + out + moves.len() > 0 || !current;
        let first = [
            (!current).then(|| "not current (treat as on hold)".to_owned()),
            told(errors, "error in the book", "errors in the book"),
            told(on_hold, "line on hold", "lines on hold"),
        ];
        let then = [
            first_move_dropped(build, day).then(|| "first move dropped".to_owned()),
            // Hold checks out of limits are among the lines on hold.
            match on_hold {
                0 => told(out, "check out of limits", "checks out of limits"),
                _ => told(
                    out,
                    "other check out of limits",
                    "other checks out of limits",
                ),
            },
        ];
        let parts = orders.map_or_else(Vec::new, |orders| parts(orders, day));
        let stage = match day {
            0 if !current => Stage::NotKnown,
            0 => Stage::NotBegun,
            _ if open > 0 || none_planned => Stage::BeingBuilt,
            _ => Stage::Built,
        };
        let says = first
            .into_iter()
            .flatten()
            .chain(moves)
            .chain(then.into_iter().flatten());
        let says = says.chain(parts).chain(told(open, "job open", "jobs open"));
        Overall {
            stage,
            held,
            says: says.collect(),
        }
    }
}

/// The wanted parts that are not in: those that are late by themselves.
fn parts(orders: &Orders, day: u32) -> Vec<String> {
    let (late, coming): (Vec<&Wanted>, Vec<&Wanted>) =
        orders.all().partition(|wanted| wanted.is_late(day));
    let late = match late[..] {
        [] => None,
        [part] => Some(part.due_day.map_or_else(
            || "a part late".to_owned(),
            |due| format!("a part late, due on day {due}"),
        )),
        _ => Some(format!("{} parts late", late.len())),
    };
    let coming = match coming[..] {
        [] => None,
        [
            Wanted {
                due_day: Some(due), ..
            },
        ] => Some(format!("a part due on day {due}")),
        [
            Wanted {
                wanted_day: Some(day),
                ..
            },
        ] => Some(format!("a part wanted on day {day}")),
        [_] => Some("a part not in".to_owned()),
        _ => Some(format!("{} parts not in", coming.len())),
    };
    late.into_iter().chain(coming).collect()
}

/// The moves up to a day that were made while lines were on hold.
fn moves(build: &Build, day: u32) -> Vec<String> {
    let moved = |event: &&hold::HoldEvent| event.kind == HoldEventKind::Moved && event.day <= day;
    let mut moves: Vec<String> = build
        .hold_history
        .iter()
        .filter(moved)
        .map(hold::HoldEvent::words)
        .collect();
    let more = moves.len().saturating_sub(MOST_MOVES);
    moves.truncate(MOST_MOVES);
    if more > 0 {
        moves.push(format!(
            "moved on hold {} more",
            count(more, "time", "times")
        ));
    }
    moves
}

fn first_move_dropped(build: &Build, day: u32) -> bool {
    let movers = build
        .jobs
        .all()
        .filter(|job| job.cautions.contains(&Caution::FirstMove));
    movers
        .into_iter()
        .any(|job| job.state_on(day) == Some(JobState::Dropped))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::build::compile;
    use crate::io::BookFiles;

    const SHEET: &str = "title: T\nstart: 2031-05-02\ndays: 8\ncrew:\n  - {name: Ines, hours: 8}\n";
    const PARTS: &str = "pump: {what: Pump}\n";

    fn sentences(days: &[&str]) -> Vec<String> {
        let mut texts = vec![
            ("build-sheet.yaml".to_owned(), SHEET.to_owned()),
            ("parts.yaml".into(), PARTS.into()),
        ];
        let log = |(index, text): (usize, &&str)| {
            (
                format!("days/day-{:02}.md", index + 1),
                format!("---\nday: {}\n---\n\n{text}\n", index + 1),
            )
        };
        texts.extend(days.iter().enumerate().map(log));
        let evening = |day: usize| {
            let texts = texts
                .iter()
                .take(2 + day)
                .map(|(path, text)| (path.as_str(), text.as_str()));
            overall(&compile(BookFiles::from_texts(texts))).sentence()
        };
        (1..=days.len()).map(evening).collect()
    }

    #[test]
    fn what_is_built_and_on_hold_is_not_released() {
        let told = sentences(&[
            "- [x] Clamp {clamp, took 1 h, temp: a clamp}\n- [ ] Paint {paint, takes 1 h}",
            "- [x] {paint, took 1 h}\n- [ ] Yard {yard, dropped: no light, caution first_move}\n\n```parts\npump: ordered, due day 9\n```",
            "- [x] {clamp, took 1 h, made good by Ines}\n\n```parts\npump: in\n```",
        ]);
        assert_eq!(
            told[0],
            "Being built, not released: 1 line on hold, 1 job open."
        );
        assert_eq!(
            told[1],
            "Built, not released: 1 line on hold, first move dropped, a part due on day 9."
        );
        assert_eq!(told[2], "Built: first move dropped.");
    }

    #[test]
    fn a_move_on_hold_is_said_for_ever() {
        let told = sentences(&[
            "- [x] Clamp {clamp, took 1 h, temp: a clamp}\n- [x] Yard {yard, took 1 h, caution first_move}",
            "- [x] {clamp, took 1 h, made good by Ines}",
        ]);
        assert_eq!(
            told[0],
            "Built, not released: 1 line on hold, moved on day 1 while 1 line was on hold."
        );
        assert_eq!(
            told[1],
            "Built, not released: moved on day 1 while 1 line was on hold."
        );
    }

    #[test]
    fn a_check_out_of_limits_and_an_error_are_said() {
        let told = sentences(&[
            "- [x] Paint {paint, took 1 h}\n\n```sums\na = 3 mm\na at least 5 mm\nb = 3 nothings\n```",
        ]);
        assert_eq!(
            told[0],
            "Built, not released: 1 error in the book, 1 check out of limits."
        );
    }

    #[test]
    fn a_hold_check_is_not_counted_a_second_time_among_the_checks() {
        let told = sentences(&[
            "- [x] Paint {paint, took 1 h}\n\n```sums\na = 3 mm\na at least 5 mm\nb = 3 mm\nb at least 5 mm, hold\n```",
        ]);
        assert_eq!(
            told[0],
            "Built, not released: 1 line on hold, 1 other check out of limits."
        );
    }

    #[test]
    fn a_book_that_is_not_current_is_never_called_released() {
        let told = sentences(&[
            "- [x] Paint {paint, took 1 h}",
            "<<<<<<< mine\n- [ ] Paint again {again, takes 1 h}",
        ]);
        assert!(
            told[1]
                .starts_with("Being built, not released: not current (treat as on hold), 1 error"),
            "{}",
            told[1]
        );
    }

    #[test]
    fn nothing_is_called_built_where_nothing_was_to_be_built() {
        assert_eq!(
            sentences(&["A quiet day."]),
            ["Being built. Nothing is on hold."]
        );
        assert_eq!(
            sentences(&["- [x] Paint {paint, took 1 h}"]),
            ["Built. Nothing is on hold."]
        );
    }
}
