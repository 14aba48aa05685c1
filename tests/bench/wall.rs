//! From a save to the news of it, beside a full writeup of the same book in the same run; then many
//! who look on.
//!
//! In: nothing but a seed. Out: two tables. The book is that of `writeup`: a year with 10,000 lines
//! of sums.
//!
//! `cargo bench --bench wall`; `cargo bench --bench wall -- 60` lets 200 listeners look on for 60
//! s.

#![allow(
    clippy::disallowed_methods,
    reason = "a bench makes folders of its own and looks at the clock"
)]

mod big_book;
mod fresh;
#[path = "../wall/looker.rs"]
#[allow(dead_code, reason = "tests ask more")]
mod looker;

use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use big_book::{Scale, book};
use looker::{Looker, get};
use shimbook::io::Output;
use shimbook::open_book::OpenBook;
use shimbook::photo_cache::quietly;
use shimbook::render::Theme;
use shimbook::wall::{Guests, Notice, Wall};
use shimbook::writeup;

const SEED: u64 = 41;
const DAYS: u32 = 365;
const SAVES: usize = 60;
const LISTENERS: usize = 200;
/// Aims: from a save to the news of it.
const AIM_MS: f64 = 30.0;
const AIM_SHARE: f64 = 20.0;

fn main() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::create_dir(folder.path().join("days")).unwrap();
    for (path, text) in book(Scale::days(DAYS), SEED) {
        std::fs::write(folder.path().join(path), text).unwrap();
    }
    let address = hang(folder.path());
    Looker::new(&address).current();
    saves(folder.path(), &address);
    let seconds = std::env::args()
        .skip(1)
        .find_map(|argument| argument.parse().ok())
        .unwrap_or(10);
    many(folder.path(), &address, seconds);
    fresh::remove_all();
}

fn hang(folder: &Path) -> String {
    let wall = Wall::open(0, Guests::ThisMachine, Theme::built_in().unwrap()).unwrap();
    let (address, folder) = (wall.address().unwrap(), folder.to_owned());
    std::thread::spawn(move || wall.stand(&folder, Notice::Told).unwrap());
    address
}

fn saves(folder: &Path, address: &str) {
    let mut full: Vec<Duration> = (0..7).map(|_| full_writeup(folder)).collect();
    let full = share(&mut full, 0.5);
    println!("{:<44} {:8.1} ms", "full writeup, median", full);
    for (what, day) in [
        ("the latest log", DAYS),
        ("a log in the middle", DAYS / 2),
        ("the first log", 1),
    ] {
        let (mut news, mut pages) = one_line_saves(&log(folder, day), address, day);
        let (median, most) = (share(&mut news, 0.5), share(&mut news, 0.95));
        println!("save of {what}, to the news");
        println!(
            "{:<44} {median:8.1} ms  (aim: at most {AIM_MS})",
            "  median"
        );
        println!("{:<44} {most:8.1} ms", "  95th percentile");
        println!(
            "{:<44} {:8.1}     (aim: at least {AIM_SHARE})",
            "  full writeup / median",
            full / median
        );
        println!(
            "{:<44} {:8.1} ms",
            "  to the day's page in hand, median",
            share(&mut pages, 0.5)
        );
    }
}

fn log(folder: &Path, day: u32) -> PathBuf {
    folder.join(format!("days/day-{day:03}.md"))
}

/// Saves a log with one reading changed, again and again: the times to the news, and to the page in
/// hand.
fn one_line_saves(log: &Path, address: &str, day: u32) -> (Vec<Duration>, Vec<Duration>) {
    let text = std::fs::read_to_string(log).unwrap();
    let mut looker = Looker::new(address);
    looker.current();
    let one = |save: usize| {
        std::thread::sleep(Duration::from_millis(150));
        let text = format!(
            "{text}\n```sums\nbench_gap measured {} ± 1 mm\n```\n",
            20 + save % 9
        );
        let start = Instant::now();
        std::fs::write(log, text).unwrap();
        looker.current();
        let told = start.elapsed();
        let page = get(address, &format!("days/day-{day:03}.html"));
        assert!(page.text().contains("bench_gap"));
        (told, start.elapsed())
    };
    let times = (0..SAVES).map(one).unzip();
    std::fs::write(log, text).unwrap();
    looker.current();
    times
}

fn full_writeup(folder: &Path) -> Duration {
    let out = fresh::folder();
    let start = Instant::now();
    let output = Output::open(&out, folder).unwrap();
    let mut book = OpenBook::new(folder).look().unwrap().unwrap();
    writeup::write_up(&mut book, &Theme::built_in().unwrap(), &output, &quietly).unwrap();
    start.elapsed()
}

/// The time that this share of them stays below, in ms.
fn share(times: &mut [Duration], share: f64) -> f64 {
    times.sort_unstable();
    let index = ((times.len() as f64 * share) as usize).min(times.len() - 1);
    times[index].as_secs_f64() * 1e3
}

/// Many who look on while somebody saves once a second.
fn many(folder: &Path, address: &str, seconds: usize) {
    let listeners: Vec<_> = (0..LISTENERS)
        .map(|_| {
            let mut looker = Looker::new(address);
            looker.current();
            std::thread::spawn(move || {
                (0..seconds)
                    .map(|_| looker.current()["number"].as_u64().unwrap())
                    .collect::<Vec<_>>()
            })
        })
        .collect();
    let log = log(folder, DAYS);
    let text = std::fs::read_to_string(&log).unwrap();
    let before = resident();
    for save in 0..seconds {
        std::fs::write(
            &log,
            format!(
                "{text}\n```sums\nbench_gap measured {} ± 1 mm\n```\n",
                20 + save % 9
            ),
        )
        .unwrap();
        std::thread::sleep(Duration::from_secs(1));
    }
    let told: Vec<Vec<u64>> = listeners
        .into_iter()
        .map(|listener| listener.join().unwrap())
        .collect();
    let all = told
        .iter()
        .filter(|told| told.windows(2).all(|two| two[1] == two[0] + 1))
        .count();
    println!(
        "{LISTENERS} listeners, {seconds} saves in as many seconds: {all} were told of every one"
    );
    println!("memory before {before:.0} MB, after {:.0} MB", resident());
}

/// What the process holds in memory, in MB; 0 where the system does not say.
fn resident() -> f64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find_map(|line| line.strip_prefix("VmRSS:"));
    let kilobytes = line.and_then(|line| line.trim().trim_end_matches(" kB").parse::<f64>().ok());
    kilobytes.unwrap_or(0.0) / 1024.0
}
