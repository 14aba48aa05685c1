//! The schedule against every schedule there is, on small books.
//!
//! The reckoning here is another: hour by hour, all orders and all hands tried.

use proptest::prelude::*;
use shimbook::forecast::{Forecast, Pace};

use crate::book::{Written, slot};

/// Hours a day.
const CREW: [(&str, f64); 2] = [("Ines", 4.0), ("Bashir", 3.0)];
const LEAD: usize = 2;

#[derive(Clone, Debug)]
struct Job {
    /// Clock hours.
    hours: usize,
    /// Indices into the crew; empty where anybody will do.
    people: Vec<usize>,
    follows: Vec<usize>,
    needs_part: bool,
}

/// A moment in hours: 24 to the day, day 1 first.
fn moment(day: u32, hour: f64) -> usize {
    day as usize * 24 + hour.round() as usize
}

/// Begin and end of work that cannot begin before `from`, hour by hour.
fn work(from: usize, hours: usize, window: usize) -> (usize, usize) {
    let mut at = from;
    let mut begun = None;
    for _ in 0..hours {
        while at % 24 >= window {
            at += 1;
        }
        begun.get_or_insert(at);
        at += 1;
    }
    (begun.unwrap_or(from), at)
}

fn window(people: &[usize]) -> usize {
    people
        .iter()
        .map(|person| CREW[*person].1 as usize)
        .min()
        .unwrap_or(4)
}

fn part_day(job: &Job) -> usize {
    24 * if job.needs_part { LEAD } else { 1 }
}

/// The earliest end over all orders and hands.
fn optimum(jobs: &[Job], done: &mut Vec<Option<usize>>, free: [usize; 2]) -> usize {
    let mut best = usize::MAX;
    for (index, job) in jobs.iter().enumerate() {
        let Some(ready) = job
            .follows
            .iter()
            .try_fold(part_day(job), |at, first| Some(at.max(done[*first]?)))
        else {
            continue;
        };
        if done[index].is_some() {
            continue;
        }
        let choices: Vec<Vec<usize>> = if job.people.is_empty() {
            vec![vec![0], vec![1]]
        } else {
            vec![job.people.clone()]
        };
        for people in choices {
            let from = people
                .iter()
                .map(|person| free[*person])
                .fold(ready, usize::max);
            let end = work(from, job.hours, window(&people)).1;
            let mut then = free;
            for person in &people {
                then[*person] = end;
            }
            done[index] = Some(end);
            best = best.min(optimum(jobs, done, then));
            done[index] = None;
        }
    }
    let end = done.iter().copied().collect::<Option<Vec<usize>>>();
    end.map_or(best, |ends| ends.into_iter().max().unwrap_or(24))
}

fn book(jobs: &[Job]) -> Written {
    let item = |(index, job): (usize, &Job)| {
        let takes = job.hours * job.people.len().max(1);
        let mut tail = vec![format!("j{index}"), format!("takes {takes} h")];
        let names: Vec<&str> = job.people.iter().map(|person| CREW[*person].0).collect();
        let follows: Vec<String> = job
            .follows
            .iter()
            .map(|first| format!("j{first}"))
            .collect();
        tail.extend((!names.is_empty()).then(|| format!("by {}", names.join(" + "))));
        tail.extend((!follows.is_empty()).then(|| format!("follows {}", follows.join(" + "))));
        tail.extend(job.needs_part.then(|| "needs pump".to_owned()));
        format!("- [ ] Job {index} {{{}}}\n", tail.join(", "))
    };
    let items: String = jobs.iter().enumerate().map(item).collect();
    Written::plan(&items)
        .crew(&CREW)
        .parts(&format!("pump: {{what: Pump, lead: {LEAD} days}}\n"))
}

fn end(forecast: &Forecast) -> usize {
    forecast
        .schedule
        .slots
        .iter()
        .map(|slot| moment(slot.finish_day, slot.finish_hour))
        .max()
        .unwrap_or(24)
}

fn best(jobs: &[Job]) -> usize {
    optimum(jobs, &mut vec![None; jobs.len()], [24; 2])
}

/// Does the schedule keep to hours, order, parts and one job at a time?
fn keeps_to_all(jobs: &[Job], forecast: &Forecast) {
    let mut busy: [Vec<(usize, usize)>; 2] = Default::default();
    for (index, job) in jobs.iter().enumerate() {
        let its = slot(forecast, &format!("j{index}"));
        let people: Vec<usize> = its
            .by
            .iter()
            .map(|name| CREW.iter().position(|(known, _)| known == name).unwrap())
            .collect();
        let (from, to) = (
            moment(its.start_day, its.start_hour),
            moment(its.finish_day, its.finish_hour),
        );
        assert!(
            job.people.is_empty() && people.len() == 1 || people == job.people,
            "j{index}: {people:?}"
        );
        assert_eq!(
            (from, to),
            work(from, job.hours, window(&people)),
            "j{index} works other hours than there are"
        );
        assert!(
            from >= part_day(job),
            "j{index} begins before its part is in"
        );
        for first in &job.follows {
            let before = slot(forecast, &format!("j{first}"));
            assert!(
                moment(before.finish_day, before.finish_hour) <= from,
                "j{index} begins before j{first} is done"
            );
        }
        for person in &people {
            busy[*person].push((from, to));
        }
    }
    for times in &mut busy {
        times.sort_unstable();
        assert!(
            times.windows(2).all(|pair| pair[0].1 <= pair[1].0),
            "two jobs at once: {times:?}"
        );
    }
}

fn job(index: usize) -> impl Strategy<Value = Job> {
    let people = prop_oneof![Just(vec![]), Just(vec![0]), Just(vec![1]), Just(vec![0, 1])];
    let follows = proptest::collection::btree_set(0..index.max(1), 0..=index.min(2));
    (1_usize..7, people, follows, proptest::bool::weighted(0.25)).prop_map(
        move |(hours, people, follows, needs_part)| {
            let follows = follows.into_iter().filter(|first| *first < index).collect();
            Job {
                hours,
                people,
                follows,
                needs_part,
            }
        },
    )
}

fn jobs() -> impl Strategy<Value = Vec<Job>> {
    (1_usize..6).prop_flat_map(|many| (0..many).map(job).collect::<Vec<_>>())
}

proptest! {
    #![proptest_config(crate::cases::dice("ahead", 300))]

    #[test]
    fn a_schedule_keeps_to_everything_and_is_never_better_than_the_best_there_is(jobs in jobs()) {
        let forecast = book(&jobs).forecast_at(Pace::AS_PLANNED);
        keeps_to_all(&jobs, &forecast);
        let (found, best) = (end(&forecast), best(&jobs));
        prop_assert!(found >= best, "{found} is before {best}");
        prop_assert_eq!(Some(found / 24), forecast.schedule.finish_day.map(|day| day as usize));
        prop_assert_eq!(Some(forecast.outlook.p50), forecast.schedule.finish_day);
    }

    /// One person, no parts: any order ends at the same time. A chain: there is only one order.
    #[test]
    fn a_schedule_is_the_best_there_is_where_the_order_does_not_matter(jobs in jobs(), chained in any::<bool>()) {
        let mut jobs = jobs;
        for (index, job) in jobs.iter_mut().enumerate() {
            job.needs_part = false;
            job.people = if chained && !job.people.is_empty() { job.people.clone() } else { vec![0] };
            job.follows = if chained { index.checked_sub(1).into_iter().collect() } else { job.follows.clone() };
        }
        let forecast = book(&jobs).forecast_at(Pace::AS_PLANNED);
        keeps_to_all(&jobs, &forecast);
        prop_assert_eq!(end(&forecast), best(&jobs));
    }
}
