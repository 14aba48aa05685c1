//! A second reference: 200 random networks, worked out by `networkx`.
//!
//! `tests/reference/networks.py` makes `tests/reference/networks.json`; nothing of this program is
//! in it.

use std::process::Command;

use serde::Deserialize;

use crate::book::Written;

#[derive(Debug, PartialEq, Deserialize)]
struct Networks {
    networks: Vec<Network>,
}

#[derive(Debug, PartialEq, Deserialize)]
struct Network {
    length: f64,
    jobs: Vec<Job>,
}

#[derive(Debug, PartialEq, Deserialize)]
struct Job {
    id: String,
    hours: f64,
    follows: Vec<String>,
    early: f64,
    late: f64,
}

fn kept() -> Networks {
    serde_json::from_str(include_str!("../reference/networks.json")).expect("the results are JSON")
}

fn plan(network: &Network) -> Written {
    let item = |job: &Job| {
        let follows = if job.follows.is_empty() {
            String::new()
        } else {
            format!(", follows {}", job.follows.join(" + "))
        };
        format!(
            "- [ ] Job {} {{{}, takes {} h{follows}}}\n",
            job.id, job.id, job.hours
        )
    };
    Written::plan(&network.jobs.iter().map(item).collect::<String>())
}

#[test]
fn early_and_late_times_agree_with_a_second_reference_on_200_networks() {
    let networks = kept().networks;
    assert_eq!(networks.len(), 200);
    for network in &networks {
        let found = plan(network).forecast().network;
        assert_eq!(found.length, network.length);
        for (node, job) in found.nodes.iter().zip(&network.jobs) {
            let (times, expected) = ((node.early_start, node.late_start), (job.early, job.late));
            assert_eq!((&node.job, times), (&job.id, expected), "{network:?}");
            let critical = job.early == job.late && job.hours > 0.0;
            assert_eq!(
                found.critical.contains(&job.id),
                critical,
                "{} in {network:?}",
                job.id
            );
        }
    }
}

/// Needs a `python3` that has `networkx`; says so where there is none.
#[test]
fn the_second_reference_can_be_made_again() {
    let root = env!("CARGO_MANIFEST_DIR");
    let made = Command::new("python3")
        .arg("tests/reference/networks.py")
        .current_dir(root)
        .output();
    match made {
        Ok(made) if made.status.success() => {
            let again: Networks =
                serde_json::from_slice(&made.stdout).expect("the results are JSON");
            assert_eq!(again, kept());
        }
        Ok(made) if String::from_utf8_lossy(&made.stderr).contains("ModuleNotFoundError") => {
            println!("skipped: python3 has no networkx (pip install networkx)");
        }
        Err(error) => println!("skipped: python3 does not run here ({error})"),
        Ok(made) => panic!(
            "networks.py failed: {}",
            String::from_utf8_lossy(&made.stderr)
        ),
    }
}
