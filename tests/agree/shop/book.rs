//! Random books of jobs and parts: planned, carried, dropped, done with a stopgap, ordered, late,
//! sent back.
//!
//! In: a seed. Out: a [`Story`] and its texts. Jobs follow nothing, so that the day each could
//! begin is known by hand.

use crate::random::Random;

/// The crew, with the hours of a day.
pub(super) const CREW: [(&str, i64); 3] = [("Ines", 9), ("Bashir", 8), ("Odd", 4)];
/// The last day of every book.
pub(super) const DAYS: u32 = 6;

/// What happens in a book.
#[derive(Clone, Debug, Default)]
pub(super) struct Story {
    pub(super) parts: Vec<Part>,
    pub(super) jobs: Vec<Job>,
    pub(super) logs: Vec<Log>,
}

#[derive(Clone, Debug)]
pub(super) struct Part {
    pub(super) lent: bool,
    pub(super) lead: Option<u32>,
    pub(super) need: Option<u32>,
}

#[derive(Clone, Debug)]
pub(super) struct Job {
    /// `None` if a log adds it.
    pub(super) planned: Option<u32>,
    pub(super) by: Vec<&'static str>,
    /// Half hours.
    pub(super) takes: Option<i64>,
    pub(super) needs: Vec<usize>,
}

#[derive(Clone, Debug)]
pub(super) struct Log {
    pub(super) day: u32,
    pub(super) crew: Vec<&'static str>,
    pub(super) said: Vec<Said>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Said {
    /// A job, half hours, and what became of it.
    Job(usize, i64, Became),
    Ordered(usize, Option<u32>),
    Cancelled(usize),
    In(usize),
    SentBack(usize),
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Became {
    Added,
    Carried,
    Done,
    DoneWithStopgap,
    Dropped,
    MadeGood,
    Again,
}

/// How a job is while the book is made up.
#[derive(Clone, Copy, PartialEq, Eq)]
enum State {
    Unknown,
    Open,
    Done,
    Stopgap,
    Dropped,
}

pub(super) fn story(seed: u64) -> Story {
    let mut dice = Random::new(seed ^ 0x5409);
    let mut story = Story::default();
    for _ in 0..6 {
        let lead = dice.chance(60).then(|| dice.between(0, 3) as u32);
        let need = dice.chance(25).then(|| dice.between(1, 6) as u32);
        story.parts.push(Part {
            lent: dice.chance(20),
            lead,
            need,
        });
    }
    for job in 0..6 {
        let by = CREW
            .iter()
            .filter(|_| dice.chance(45))
            .map(|(name, _)| *name)
            .take(2)
            .collect();
        let takes = dice.chance(85).then(|| dice.between(1, 24));
        let needs = (0..6).filter(|_| dice.chance(25)).collect();
        let planned = (job < 5).then(|| dice.between(1, 6) as u32);
        story.jobs.push(Job {
            planned,
            by,
            takes,
            needs,
        });
    }
    let mut states = [
        State::Open,
        State::Open,
        State::Open,
        State::Open,
        State::Open,
        State::Unknown,
    ];
    let mut parts = ["needed"; 6];
    let last = dice.between(1, 5) as u32;
    for day in (1..=last)
        .filter(|day| *day == last || dice.chance(80))
        .collect::<Vec<_>>()
    {
        let mut crew: Vec<&str> = CREW
            .iter()
            .filter(|_| dice.chance(75))
            .map(|(name, _)| *name)
            .collect();
        if crew.is_empty() {
            crew.push("Ines");
        }
        let mut said: Vec<Said> = (0..6)
            .filter_map(|job| say(&mut dice, job, &mut states[job]))
            .collect();
        said.extend((0..6).filter_map(|part| happen(&mut dice, part, day, &mut parts[part])));
        story.logs.push(Log { day, crew, said });
    }
    story
}

fn say(dice: &mut Random, job: usize, state: &mut State) -> Option<Said> {
    if !dice.chance(55) {
        return None;
    }
    let (next, became) = match (*state, dice.between(1, 10)) {
        (State::Unknown, 1..=4) => (State::Open, Became::Added),
        (State::Open, 1..=4) => (State::Open, Became::Carried),
        (State::Open, 5..=6) => (State::Done, Became::Done),
        (State::Open, 7..=8) => (State::Stopgap, Became::DoneWithStopgap),
        (State::Open, 9) => (State::Dropped, Became::Dropped),
        (State::Open, _) | (State::Done, 1..=3) => (State::Open, Became::Again),
        (State::Stopgap, 1..=5) => (State::Done, Became::MadeGood),
        _ => return None,
    };
    *state = next;
    let took = if matches!(became, Became::Dropped | Became::Added) {
        0
    } else {
        dice.between(0, 9)
    };
    Some(Said::Job(job, took, became))
}

fn happen(dice: &mut Random, part: usize, day: u32, state: &mut &'static str) -> Option<Said> {
    if !dice.chance(40) {
        return None;
    }
    let (next, said) = match *state {
        "needed" | "sent back" if dice.chance(70) => {
            let due = dice.chance(75).then(|| day + dice.between(0, 3) as u32);
            ("ordered", Said::Ordered(part, due))
        }
        "ordered" if dice.chance(20) => ("needed", Said::Cancelled(part)),
        "in" if dice.chance(40) => ("sent back", Said::SentBack(part)),
        "in" => return None,
        _ => ("in", Said::In(part)),
    };
    *state = next;
    Some(said)
}

/// The texts of a story.
pub(super) fn texts(story: &Story) -> Vec<(String, String)> {
    let member = |(name, hours): &(&str, i64)| format!("  - {{name: {name}, hours: {hours}}}\n");
    let crew = CREW.iter().map(member).collect::<Vec<_>>().concat();
    let sheet = format!("title: Kittiwake\nstart: 2031-05-02\ndays: {DAYS}\ncrew:\n{crew}");
    let mut plan = String::new();
    for day in 1..=DAYS {
        plan += &format!("## Day {day}\n\n");
        for (index, job) in story
            .jobs
            .iter()
            .enumerate()
            .filter(|(_, job)| job.planned == Some(day))
        {
            plan += &first_line(index, job);
        }
        plan += "\n";
    }
    let lines = story
        .parts
        .iter()
        .enumerate()
        .map(|(index, part)| part_line(index, part));
    let parts = lines.collect::<Vec<_>>().concat();
    let mut texts = vec![
        ("build-sheet.yaml".to_owned(), sheet),
        ("plan.md".to_owned(), plan),
        ("parts.yaml".to_owned(), parts),
    ];
    texts.extend(
        story
            .logs
            .iter()
            .map(|log| (format!("days/day-0{}.md", log.day), log_text(story, log))),
    );
    texts
}

fn first_line(index: usize, job: &Job) -> String {
    let by = if job.by.is_empty() {
        String::new()
    } else {
        format!(", by {}", job.by.join(" + "))
    };
    let takes = job
        .takes
        .map_or_else(String::new, |takes| format!(", takes {} h", halves(takes)));
    let ids: Vec<String> = job
        .needs
        .iter()
        .map(|part| format!("part_{part}"))
        .collect();
    let needs = if ids.is_empty() {
        String::new()
    } else {
        format!(", needs {}", ids.join(" + "))
    };
    format!("- [ ] Job {index} {{job_{index}{by}{takes}{needs}}}\n")
}

fn part_line(index: usize, part: &Part) -> String {
    let lead = part
        .lead
        .map_or_else(String::new, |lead| format!(", lead: {lead} days"));
    let need = part
        .need
        .map_or_else(String::new, |need| format!(", need: day {need}"));
    let lent = if part.lent { ", supplied: lent" } else { "" };
    format!("part_{index}: {{what: Part {index}{lead}{need}{lent}}}\n")
}

fn log_text(story: &Story, log: &Log) -> String {
    let mut text = format!(
        "---\nday: {}\ncrew: [{}]\n---\n\n",
        log.day,
        log.crew.join(", ")
    );
    let mut events = String::new();
    for said in &log.said {
        match said {
            Said::Job(job, _, Became::Added) => text += &first_line(*job, &story.jobs[*job]),
            Said::Job(job, took, became) => text += &job_line(*job, *took, *became),
            Said::Ordered(part, due) => {
                let due = due.map_or_else(String::new, |due| format!(", due day {due}"));
                events += &format!("part_{part}: ordered{due}\n");
            }
            Said::Cancelled(part) => events += &format!("part_{part}: cancelled, sold out\n"),
            Said::In(part) => events += &format!("part_{part}: in\n"),
            Said::SentBack(part) => events += &format!("part_{part}: sent back\n"),
        }
    }
    if events.is_empty() {
        text
    } else {
        format!("{text}\n```parts\n{events}```\n")
    }
}

fn job_line(job: usize, took: i64, became: Became) -> String {
    let took = if took == 0 {
        String::new()
    } else {
        format!(", took {} h", halves(took))
    };
    let (tick, word) = match became {
        Became::Added | Became::Carried => (' ', ""),
        Became::Done => ('x', ""),
        Became::DoneWithStopgap => ('x', ", temp: a rope"),
        Became::Dropped => (' ', ", dropped: no time"),
        Became::MadeGood => ('x', ", made good by Ines"),
        Became::Again => (' ', ", again: bent"),
    };
    format!("- [{tick}] {{job_{job}{took}{word}}}\n")
}

fn halves(halves: i64) -> String {
    if halves % 2 == 0 {
        (halves / 2).to_string()
    } else {
        format!("{}.5", halves / 2)
    }
}
