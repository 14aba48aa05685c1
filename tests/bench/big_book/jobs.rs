//! The jobs of a large book: planned or added, done the same day or carried, some with a stopgap or
//! a caution.

use std::fmt::Write as _;

use super::parts::Parts;
use super::random::Random;
use super::{CREW, Scale};

const DOING: [&str; 8] = [
    "Fit",
    "Measure",
    "Weld",
    "Paint",
    "Line up",
    "Take apart",
    "Clean",
    "Drill",
];
const WHAT: [&str; 10] = [
    "the left rail",
    "the *front* tray",
    "the cross member",
    "the floor panel",
    "the door frame",
    "the pedal shaft",
    "the roof bow",
    "the `M8` studs",
    "the loom behind the dash",
    "the rear axle seats",
];
const CAUTIONS: [&str; 6] = [
    "hot_work",
    "lifting",
    "machining",
    "under_vehicle",
    "brakes",
    "fumes_dust",
];

/// One job and its days.
pub struct Job {
    pub id: String,
    pub first: u32,
    pub done: u32,
    title: String,
    by: &'static str,
    takes: u32,
    added: bool,
    follows: Option<String>,
    needs: Option<String>,
    caution: Option<&'static str>,
    /// The day on which its stopgap is made good.
    made_good: Option<u32>,
}

/// All jobs.
pub struct Jobs {
    pub jobs: Vec<Job>,
    /// Jobs that a day mentions.
    days: Vec<Vec<usize>>,
}

impl Jobs {
    pub fn new(scale: Scale, parts: &Parts, random: &mut Random) -> Self {
        let mut jobs = Vec::with_capacity(scale.jobs as usize);
        for number in 0..scale.jobs {
            let job = job(number, scale, &jobs, parts, random);
            jobs.push(job);
        }
        let mut days = vec![Vec::new(); scale.days as usize + 1];
        for (index, job) in jobs.iter().enumerate() {
            for day in (job.first..=job.done).chain(job.made_good) {
                days.get_mut(day as usize)
                    .into_iter()
                    .for_each(|day: &mut Vec<usize>| day.push(index));
            }
        }
        Self { jobs, days }
    }

    /// `plan.md`
    pub fn plan(&self, days: u32) -> String {
        let mut plan = "# Plan\n\nDrawn up in the winter, a heading a day.\n".to_owned();
        for day in 1..=days {
            write!(plan, "\n## Day {day}\n\n").unwrap();
            let of_day = self.days[day as usize]
                .iter()
                .map(|index| &self.jobs[*index]);
            for job in of_day.filter(|job| job.first == day && !job.added) {
                writeln!(plan, "- [ ] {} {{{}}}", job.title, job.tail()).unwrap();
            }
        }
        plan
    }

    /// The task list of a day.
    pub fn on_day(&self, day: u32, random: &mut Random) -> String {
        let mut list = String::new();
        for index in &self.days[day as usize] {
            list += &self.jobs[*index].line(day, random);
        }
        list + "\n"
    }
}

impl Job {
    fn tail(&self) -> String {
        let mut tail = format!("{}, by {}, takes {} h", self.id, self.by, self.takes);
        let pieces = [
            ("follows", self.follows.as_deref()),
            ("needs", self.needs.as_deref()),
            ("caution", self.caution),
        ];
        for (word, what) in pieces {
            if let Some(what) = what {
                write!(tail, ", {word} {what}").unwrap();
            }
        }
        tail
    }

    fn line(&self, day: u32, random: &mut Random) -> String {
        let Self { id, title, .. } = self;
        let tail = if self.added && day == self.first {
            format!("{title} {{{}", self.tail())
        } else {
            format!("{{{id}")
        };
        let took = f64::from(self.takes) * random.between(0.6, 1.4)
            / f64::from(self.done - self.first + 1);
        if day > self.done {
            return format!("- [x] {{{id}, made good by {} + {}}}\n", CREW[0], CREW[1]);
        }
        if day < self.done {
            let why = if random.percent(20) {
                ", held up: the glue is not dry"
            } else {
                ""
            };
            return format!("- [ ] {tail}, took {took:.1} h{why}}}\n");
        }
        let temp = if self.made_good.is_some() {
            ", temp: two blocks carry it"
        } else {
            ""
        };
        format!("- [x] {tail}, took {took:.1} h{temp}}}\n")
    }
}

fn job(number: u32, scale: Scale, before: &[Job], parts: &Parts, random: &mut Random) -> Job {
    let first = 1 + number * scale.days / scale.jobs.max(1);
    let done = first
        + if random.percent(25) {
            random.days(1, 4)
        } else {
            0
        };
    // What is done by then, so that nothing has to be warned of.
    let follows = before
        .get(random.below(before.len()))
        .filter(|job| job.done < first && random.percent(60));
    Job {
        id: format!("job_{number}"),
        first,
        done,
        title: format!(
            "{} {}, station {number}",
            random.of(&DOING),
            random.of(&WHAT)
        ),
        by: random.of(&CREW),
        takes: random.days(1, 6),
        added: random.percent(6),
        follows: follows.map(|job| job.id.clone()),
        needs: parts
            .in_by(first, random)
            .filter(|_| random.percent(50))
            .map(|part| part.id.clone()),
        caution: random.percent(12).then(|| random.of(&CAUTIONS)),
        made_good: random.percent(3).then(|| done + random.days(1, 6)),
    }
}
