//! How long jobs really take.
//!
//! In: the jobs that are done and have both hours. Out: the [`Pace`], which is set against the
//! planned hours of what is left.
//!
//! With x = ln(took / takes) of each of n done jobs, m their mean, and a prior that is worth k = 4
//! jobs which took what was planned, give or take s = 0.3 (about a third more or a quarter less):
//!
//! - mean = n·m / (n + k)
//! - variance = (k·s² + Σ(x − m)² + k·n/(n + k)·m²) / (k + n)
//! - the mean itself is uncertain by √(variance / (n + k)): drawn once a run, for all its jobs
//!
//! This is the normal model with its conjugate prior (Gelman et al., Bayesian Data Analysis, 3.3).
//! That hours slip by factors, and the sizes of k and s, are common practice. Hours made twice
//! count: the crew had to find them. The spread is never taken below 0.1.

use crate::jobs::{Job, JobList, JobState};

/// How many done jobs the prior is worth.
const PRIOR_JOBS: f64 = 4.0;
/// The spread of the prior, in logarithms.
const PRIOR_SD: f64 = 0.3;
/// The least spread that is believed, in logarithms.
const LEAST_SD: f64 = 0.1;
/// Beyond this factor an entry is a slip of the pen rather than a pace.
const MOST: f64 = 20.0;

/// How the hours of a job compare with the plan, as logarithms of took / takes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pace {
    /// How many done jobs it was learned from.
    pub jobs: usize,
    /// The middle; 0 where jobs take what was planned.
    pub mean: f64,
    /// From job to job.
    pub sd: f64,
    /// How far the middle itself is in doubt.
    pub mean_sd: f64,
}

impl Pace {
    /// Every job takes exactly what was planned.
    pub const AS_PLANNED: Self = Self {
        jobs: 0,
        mean: 0.0,
        sd: 0.0,
        mean_sd: 0.0,
    };

    /// The pace of a crew, from what it has done.
    pub fn learn(jobs: &JobList) -> Self {
        let logs: Vec<f64> = jobs.all().filter_map(log_ratio).collect();
        let (n, k) = (logs.len() as f64, PRIOR_JOBS);
        let mean = logs.iter().sum::<f64>() / n.max(1.0);
        let squares: f64 = logs.iter().map(|log| (log - mean).powi(2)).sum();
        let variance = (k * PRIOR_SD.powi(2) + squares + k * n / (n + k) * mean.powi(2)) / (k + n);
        let sd = variance.sqrt().max(LEAST_SD);
        Self {
            jobs: logs.len(),
            mean: n * mean / (n + k),
            sd,
            mean_sd: sd / (n + k).sqrt(),
        }
    }

    /// What one planned hour comes to in the middle.
    pub fn middle(&self) -> f64 {
        self.mean.exp()
    }
}

fn log_ratio(job: &Job) -> Option<f64> {
    let takes = job
        .takes
        .filter(|takes| *takes > 0.0 && job.state == JobState::Done)?;
    let ratio = Some(job.hours_spent / takes).filter(|ratio| *ratio > 0.0)?;
    Some(ratio.clamp(1.0 / MOST, MOST).ln())
}
