//! The chain of jobs: what follows what, who has it, which day.
//!
//! In: jobs with their day, the people who have them, and the jobs they follow. Out: a column a
//! day, a lane a person, a slip of paper a job, and a line from each job to the ones that follow
//! it. Lines run in the gaps between the slips and never across a text. A job that was done before
//! one it follows has a dashed line.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use super::Drawing;
use super::ink::{self, Ink, Side};

/// How a job stands, as its box shows it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LinkState {
    /// A full box.
    Done,
    /// A hatched box.
    Carried,
    /// An empty box.
    Planned,
}

/// A job of the chain.
#[derive(Clone, Debug)]
pub struct ChainJob {
    /// Its title in plain words.
    pub title: String,
    /// The day it was done, else the day it is reckoned for.
    pub day: u32,
    /// Who has it; it lies in the lane of the first.
    pub by: Vec<String>,
    /// How it stands.
    pub state: LinkState,
    /// The jobs it follows, by their place in the list.
    pub follows: Vec<usize>,
    /// Does it decide when all is done?
    pub decides: bool,
}

/// The height of a slip and of the gap above it.
const SLIP: f64 = 34.0;
const GAP: f64 = 8.0;
const ROW: f64 = SLIP + GAP;
/// The room between two columns, where lines go up and down.
const GUTTER: f64 = 26.0;
/// The narrowest slip, and the width the drawing likes to have.
const NARROWEST: f64 = 118.0;
const LIKED: f64 = 1060.0;
/// The heading of the days.
const TOP: f64 = 24.0;

/// What follows what, by day and person.
pub fn chain(jobs: &[ChainJob]) -> Drawing {
    let sheet = Sheet::new(jobs);
    let mut ink = Ink::new(sheet.width);
    sheet.rule(&mut ink);
    for (index, job) in jobs.iter().enumerate() {
        for before in job.follows.iter().filter(|before| **before < jobs.len()) {
            sheet.line(&mut ink, *before, index);
        }
    }
    for (index, job) in jobs.iter().enumerate() {
        sheet.slip(&mut ink, index, job);
    }
    ink.finish(sheet.height, words(jobs))
}

/// Where everything lies.
struct Sheet<'a> {
    jobs: &'a [ChainJob],
    days: Vec<u32>,
    /// Each lane's person, top and bottom.
    lanes: Vec<(&'a str, f64, f64)>,
    left: f64,
    column: f64,
    width: f64,
    height: f64,
    /// The left upper corner of each job's slip.
    corners: Vec<(f64, f64)>,
}

impl<'a> Sheet<'a> {
    fn new(jobs: &'a [ChainJob]) -> Self {
        let mut days: Vec<u32> = jobs.iter().map(|job| job.day).collect();
        days.sort_unstable();
        days.dedup();
        let rows = rows(jobs);
        let left = rows
            .keys()
            .map(|(person, _)| ink::width(person))
            .fold(0.0, f64::max)
            .min(90.0)
            + 12.0;
        let column = ((LIKED - left) / days.len().max(1) as f64).clamp(NARROWEST + GUTTER, 300.0);
        // The last slips' right sides stay clear of the edge, which a printer cuts.
        let width = left + column * days.len() as f64 + 3.0;
        let mut sheet = Self {
            jobs,
            days,
            lanes: Vec::new(),
            left,
            column,
            width,
            height: TOP,
            corners: Vec::new(),
        };
        sheet.corners = vec![(0.0, 0.0); jobs.len()];
        sheet.lay(&rows);
        sheet
    }

    /// Lays the slips, lane by lane.
    fn lay(&mut self, rows: &BTreeMap<(&'a str, u32), Vec<usize>>) {
        let mut people: Vec<&str> = rows.keys().map(|(person, _)| *person).collect();
        people.dedup();
        for person in people {
            let top = self.height;
            let mut deepest = 0;
            for (column, day) in self.days.clone().iter().enumerate() {
                let here = rows.get(&(person, *day)).map_or(&[][..], Vec::as_slice);
                deepest = deepest.max(here.len());
                for (row, job) in here.iter().enumerate() {
                    let x = self.left + self.column * column as f64 + GUTTER;
                    self.corners[*job] = (x, top + GAP + ROW * row as f64);
                }
            }
            self.height = top + ROW * deepest as f64 + GAP;
            self.lanes.push((person, top, self.height));
        }
    }

    fn slip_width(&self) -> f64 {
        self.column - GUTTER
    }

    /// Days, lanes and their rules.
    fn rule(&self, ink: &mut Ink) {
        for (column, day) in self.days.iter().enumerate() {
            let x = self.left + self.column * column as f64;
            ink.faint(
                x + GUTTER,
                14.0,
                Side::Start,
                &format!("day {day}"),
                self.slip_width(),
            );
        }
        for (person, top, _) in &self.lanes {
            ink.hair((0.0, *top), (self.width, *top));
            let name = if person.is_empty() { "anybody" } else { person };
            ink.text(0.0, top + GAP + 14.0, Side::Start, name, self.left - 4.0);
        }
        ink.hair((0.0, self.height - 0.5), (self.width, self.height - 0.5));
    }

    fn slip(&self, ink: &mut Ink, index: usize, job: &ChainJob) {
        let (x, y) = self.corners[index];
        let wide = self.slip_width();
        ink.paper(x, y, wide, SLIP);
        ink.outline(x, y, wide, SLIP);
        if job.decides {
            ink.line(
                (x + 1.0, y + SLIP - 1.0),
                (x + wide - 1.0, y + SLIP - 1.0),
                2.6,
            );
        }
        let box_at = y + 7.0;
        match job.state {
            LinkState::Done => ink.wash(x + 5.0, box_at, 8.0, 8.0, "1"),
            LinkState::Carried => ink.hatch(x + 5.0, box_at, 8.0, 8.0),
            LinkState::Planned => ink.outline(x + 5.0, box_at, 8.0, 8.0),
        }
        let with = match job.by.len() {
            0 | 1 => String::new(),
            others => format!(" +{}", others - 1),
        };
        let room = wide - 20.0;
        let (first, second) = ink::fit_two(&job.title, room - ink::width(&with));
        let lines = if second.is_empty() {
            [first + &with, second]
        } else {
            [first, second + &with]
        };
        for (line, text) in lines.iter().enumerate() {
            ink.text(
                x + 18.0,
                y + 14.0 + 14.0 * line as f64,
                Side::Start,
                text,
                room,
            );
        }
    }

    /// From a job to one that follows it.
    fn line(&self, ink: &mut Ink, before: usize, after: usize) {
        let thick = if self.jobs[before].decides && self.jobs[after].decides {
            2.4
        } else {
            1.1
        };
        let (from, to) = (self.corners[before], self.corners[after]);
        let (start, end) = (from.1 + SLIP / 2.0, to.1 + SLIP / 2.0);
        let right = from.0 + self.slip_width();
        // Lines of different jobs keep a little apart.
        let apart = 2.5 * (before % 4) as f64;
        if self.jobs[after].day < self.jobs[before].day {
            ink.dashed((from.0, start), (to.0 + self.slip_width(), end));
        } else if from.0 >= to.0 {
            // The same day: down the left side.
            let x = from.0 - 5.0 - apart;
            ink.line_through(&[(from.0, start), (x, start), (x, end), (to.0, end)], thick);
            ink.head(to.0, end);
        } else if right + GUTTER >= to.0 {
            let x = right + 6.0 + apart;
            ink.line_through(&[(right, start), (x, start), (x, end), (to.0, end)], thick);
            ink.head(to.0, end);
        } else {
            // Over the days between, in the gap above the row it goes to.
            let (out, gap, down) = (right + 6.0 + apart, to.1 - GAP / 2.0, to.0 - 8.0);
            let points = [
                (right, start),
                (out, start),
                (out, gap),
                (down, gap),
                (down, end),
                (to.0, end),
            ];
            ink.line_through(&points, thick);
            ink.head(to.0, end);
        }
    }
}

/// The jobs of each person and day, in their order.
fn rows(jobs: &[ChainJob]) -> BTreeMap<(&str, u32), Vec<usize>> {
    let mut rows: BTreeMap<(&str, u32), Vec<usize>> = BTreeMap::new();
    for (index, job) in jobs.iter().enumerate() {
        rows.entry((job.by.first().map_or("", String::as_str), job.day))
            .or_default()
            .push(index);
    }
    rows
}

fn words(jobs: &[ChainJob]) -> String {
    let mut order: Vec<&ChainJob> = jobs.iter().collect();
    order.sort_by_key(|job| job.day);
    let mut words = "what follows what".to_owned();
    let mut day = None;
    for job in order {
        let sign = if day == Some(job.day) { ";" } else { "." };
        let _ = write!(words, "{sign} ");
        if day != Some(job.day) {
            let _ = write!(words, "Day {}: ", job.day);
            day = Some(job.day);
        }
        words.push_str(&one(job, jobs));
    }
    words
}

/// `Motor and box into the rails, Ines and Bashir, carried, after Make the motor mounts`
fn one(job: &ChainJob, jobs: &[ChainJob]) -> String {
    let mut words = job.title.clone();
    if !job.by.is_empty() {
        let _ = write!(words, ", {}", job.by.join(" and "));
    }
    words.push_str(match job.state {
        LinkState::Done => ", done",
        LinkState::Carried => ", carried",
        LinkState::Planned => "",
    });
    if job.decides {
        words.push_str(", decides the end");
    }
    let before: Vec<&str> = job
        .follows
        .iter()
        .filter_map(|at| Some(jobs.get(*at)?.title.as_str()))
        .collect();
    if !before.is_empty() {
        let _ = write!(words, ", after {}", before.join(" and "));
    }
    words
}
