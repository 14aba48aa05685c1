//! What is true of a story on the evening of a log, computed from the story alone.
//!
//! In: a [`Story`] and how many of its logs are written. Out: [`Facts`]. Nothing of the library is
//! used here.

use std::collections::BTreeMap;

use super::book::{Became, CREW, Said, Story};

#[derive(Clone, Debug, Default)]
pub(super) struct Facts {
    pub(super) day: u32,
    /// Hours left; `None` if the job does not say how long it takes. Only jobs that are known by
    /// then.
    pub(super) to_go: BTreeMap<usize, Option<f64>>,
    /// Hours of work left on the morning of the latest log.
    pub(super) planned: f64,
    /// Hours there and hours of work of each of the crew on the latest log.
    pub(super) people: BTreeMap<&'static str, (f64, f64)>,
    /// The same on the next morning.
    pub(super) tomorrow: BTreeMap<&'static str, (f64, f64)>,
    pub(super) parts: Vec<PartFact>,
}

#[derive(Clone, Debug, Default)]
pub(super) struct PartFact {
    pub(super) wanted: bool,
    pub(super) wanted_day: Option<u32>,
    pub(super) due: Option<u32>,
    pub(super) order_by: Option<u32>,
    pub(super) lead: Option<u32>,
    pub(super) to_order: bool,
    pub(super) ordered: bool,
}

#[derive(Clone, Copy, Debug, Default)]
#[allow(clippy::struct_excessive_bools, reason = "each is a fact of its own")]
struct Now {
    known: bool,
    open: bool,
    stopgap: bool,
    /// Has the job been on a day's list?
    listed: bool,
    /// Half hours that still count.
    spent: i64,
}

impl Facts {
    pub(super) fn at(story: &Story, logs: usize) -> Self {
        let mut now: Vec<Now> = story
            .jobs
            .iter()
            .map(|job| Now {
                known: job.planned.is_some(),
                open: true,
                ..Now::default()
            })
            .collect();
        let mut parts = vec![("needed", None); story.parts.len()];
        let mut facts = Self::default();
        for log in &story.logs[..logs] {
            facts.day = log.day;
            facts.morning(story, &mut now, &log.crew);
            for said in &log.said {
                match *said {
                    Said::Job(job, took, became) => now[job].take(took, became),
                    Said::Ordered(part, due) => {
                        let lead = story.parts[part].lead;
                        parts[part] = ("ordered", due.or(lead.map(|lead| log.day + lead)));
                    }
                    Said::Cancelled(part) => parts[part] = ("needed", None),
                    Said::In(part) => parts[part] = ("in", None),
                    Said::SentBack(part) => parts[part] = ("sent back", None),
                }
            }
        }
        let left = |job: usize| {
            if now[job].open {
                left(story.jobs[job].takes, now[job].spent)
            } else {
                Some(0.0)
            }
        };
        facts.to_go = (0..now.len())
            .filter(|job| now[*job].known)
            .map(|job| (job, left(job)))
            .collect();
        let next: Vec<usize> = (0..now.len())
            .filter(|job| now[*job].is_on_list(story.jobs[*job].planned, facts.day + 1))
            .collect();
        let everybody: Vec<&str> = CREW.iter().map(|(name, _)| *name).collect();
        facts.tomorrow = people(story, &next, &everybody, |job| left(job).unwrap_or(0.0));
        facts.parts = (0..parts.len())
            .map(|part| facts.part(story, &now, part, parts[part]))
            .collect();
        facts
    }

    fn morning(&mut self, story: &Story, now: &mut [Now], crew: &[&'static str]) {
        let mut list = Vec::new();
        for (job, now) in now.iter_mut().enumerate() {
            if now.is_on_list(story.jobs[job].planned, self.day) {
                now.listed = true;
                list.push(job);
            }
        }
        let hours = |job: usize| left(story.jobs[job].takes, now[job].spent).unwrap_or(0.0);
        self.planned = list.iter().map(|job| hours(*job)).sum();
        self.people = people(story, &list, crew, hours);
    }

    fn part(
        &self,
        story: &Story,
        now: &[Now],
        part: usize,
        (state, due): (&str, Option<u32>),
    ) -> PartFact {
        let Some(listed) = story.parts.get(part).filter(|_| state != "in") else {
            return PartFact::default();
        };
        let wanting = story.jobs.iter().zip(now).filter(|(job, now)| {
            job.needs.contains(&part) && now.known && (now.open || now.stopgap)
        });
        let first = wanting
            .map(|(job, _)| job.planned.unwrap_or(0).max(self.day + 1))
            .min();
        let wanted_day = listed.need.or(first);
        let ordered = state == "ordered";
        let to_order = !ordered && (!listed.lent || listed.lead.is_some());
        let order_by = wanted_day
            .zip(listed.lead)
            .map(|(day, lead)| day.saturating_sub(lead).max(1));
        PartFact {
            wanted: wanted_day.is_some() || ordered,
            wanted_day,
            due,
            order_by: order_by.filter(|_| to_order),
            lead: listed.lead,
            to_order,
            ordered,
        }
    }
}

impl Now {
    fn is_on_list(&self, planned: Option<u32>, day: u32) -> bool {
        self.known && self.open && (self.listed || planned.is_some_and(|planned| planned <= day))
    }

    fn take(&mut self, took: i64, became: Became) {
        match became {
            Became::Added => (self.known, self.listed) = (true, true),
            Became::Carried => {}
            Became::Done | Became::Dropped => self.open = false,
            Became::DoneWithStopgap => (self.open, self.stopgap) = (false, true),
            Became::MadeGood => self.stopgap = false,
            Became::Again => {
                self.listed |= !self.open;
                (self.open, self.spent) = (true, 0);
            }
        }
        self.spent += took;
    }
}

impl PartFact {
    pub(super) fn is_late(&self, day: u32) -> bool {
        self.wanted && self.due.or(self.wanted_day).is_some_and(|by| by < day)
    }

    /// The list of the morning's log that the part is on, and its words on a page; `None` if it is
    /// on none.
    pub(super) fn listed(&self, day: u32) -> Option<(&'static str, String)> {
        let wanted = self
            .wanted_day
            .map_or_else(String::new, |day| format!(", wanted on day {day}"));
        let due = self.due.unwrap_or(0);
        if !self.wanted {
            return None;
        }
        if !self.to_order && self.is_late(day) {
            let late = if self.due.is_some() {
                format!("late: was due on day {due}")
            } else {
                "late: not in".into()
            };
            return Some(("Late", late + &wanted));
        }
        if self.due == Some(day) {
            return Some(("Due today", format!("due today, not in{wanted}")));
        }
        if self.wanted_day.is_some_and(|wanted| due > wanted) {
            return Some(("At risk", format!("at risk: due on day {due}{wanted}")));
        }
        if let Some(by) = self.order_by.filter(|by| *by <= day) {
            let (lead, wanted_day) = (self.lead.unwrap_or(0), self.wanted_day.unwrap_or(0));
            let words = match by {
                _ if day + lead > wanted_day => {
                    format!("order now: it comes on day {}", day + lead)
                }
                by if by == day => "order today: the last day for it".to_owned(),
                by => format!("order today: day {by} was the last day for it"),
            };
            return Some(("To be ordered today", words + &wanted));
        }
        if self.to_order && self.lead.is_none() {
            return Some((
                "Lead time not known",
                format!("lead time not known{wanted}"),
            ));
        }
        let no_day = self.ordered && self.due.is_none();
        no_day.then(|| {
            (
                "Ordered, due day not known",
                format!("ordered, due day not known{wanted}"),
            )
        })
    }
}

fn left(takes: Option<i64>, spent: i64) -> Option<f64> {
    let (takes, spent) = (takes? as f64 / 2.0, spent as f64 / 2.0);
    Some(f64::max(takes - spent, takes / 5.0))
}

fn people(
    story: &Story,
    list: &[usize],
    there: &[&'static str],
    hours: impl Fn(usize) -> f64,
) -> BTreeMap<&'static str, (f64, f64)> {
    let mut people: BTreeMap<&str, (f64, f64)> = CREW
        .iter()
        .map(|(name, hours)| {
            (
                *name,
                (
                    if there.contains(name) {
                        *hours as f64
                    } else {
                        0.0
                    },
                    0.0,
                ),
            )
        })
        .collect();
    for job in list {
        let by: Vec<&&str> = story.jobs[*job]
            .by
            .iter()
            .filter(|name| there.contains(name))
            .collect();
        for name in &by {
            people.get_mut(**name).unwrap().1 += hours(*job) / by.len() as f64;
        }
    }
    people
}
