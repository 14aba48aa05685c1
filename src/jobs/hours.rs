//! Hours of a job: how many are left, and whose they are.
//!
//! In: a job, or its hours. Out: hours of work, all hands together. Every page, document and
//! forecast asks here.
//!
//! What is left of a job is `takes` less `took` so far, and never less than a fifth of `takes`
//! while it is not done (a rule of our own). Work that had to be made again does not count. A job
//! by several people is shared equally by those of them who are there.

use super::Job;

/// What is left of a job that is not done is at least its hours divided by this.
pub const LEAST_PART: u32 = 5;

/// What is left of a job of `takes` hours, of which `done` are done, while it is not finished.
pub fn left(takes: f64, done: f64) -> f64 {
    let left = (takes - done).max(takes / f64::from(LEAST_PART));
    // Differences leave noise in the last bits: 3 less 2.9 is 0.1.
    (left * 1e9).round() / 1e9
}

/// A sum of hours; of none it is 0, and not the negative zero that `sum` begins with.
pub fn total(hours: impl Iterator<Item = f64>) -> f64 {
    hours.sum::<f64>() + 0.0
}

/// Those of `by` who are there: they share the work. `there` are the people of a day.
pub fn sharing<'b>(by: &'b [String], there: &[String]) -> Vec<&'b str> {
    by.iter()
        .filter(|name| there.contains(name))
        .map(String::as_str)
        .collect()
}

impl Job {
    /// Hours of work that still count.
    pub fn hours_done(&self) -> f64 {
        self.hours_spent - self.hours_twice
    }

    /// Hours of work that are left: 0 if it is done or dropped, `None` if nobody said how long it
    /// takes.
    pub fn hours_to_go(&self) -> Option<f64> {
        if self.state.is_open() {
            self.takes.map(|takes| left(takes, self.hours_done()))
        } else {
            Some(0.0)
        }
    }

    /// Who had it at the end of a day.
    pub fn by_on(&self, day: u32) -> &[String] {
        let until = self.history.partition_point(|said| said.day <= day);
        let said = self.history[..until]
            .iter()
            .rev()
            .find(|said| !said.by.is_empty());
        said.map_or(&self.first_by, |said| &said.by)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_fifth_of_a_job_is_left_while_it_is_not_done() {
        assert_eq!(
            [left(10.0, 4.0), left(10.0, 9.5), left(10.0, 12.0)],
            [6.0, 2.0, 2.0]
        );
        assert_eq!([left(0.0, 0.0), left(0.3, 0.1)], [0.0, 0.2]);
    }

    #[test]
    fn the_sum_of_no_hours_is_not_a_negative_zero() {
        assert!(total(std::iter::empty()).is_sign_positive());
    }
}
