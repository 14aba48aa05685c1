//! The writeup as the command does it, whole and stage by stage.

use std::collections::BTreeMap;
use std::path::Path;
use std::time::{Duration, Instant};

use rayon::prelude::*;
use shimbook::book::{self, Book};
use shimbook::build::compile;
use shimbook::calc;
use shimbook::calc::Figures;
use shimbook::io::{self, Output};
use shimbook::open_book::OpenBook;
use shimbook::pages::{Evenings, PageSet};
use shimbook::parts::figures;
use shimbook::photo_cache::quietly;
use shimbook::render::{Pages, Theme, press};
use shimbook::writeup;
use shimbook::{jobs, parts::ledger};

use crate::fresh;

/// Reads a book and writes its record.
pub fn write_up(folder: &Path, out: &Path) {
    let output = Output::open(out, folder).unwrap();
    let mut book = OpenBook::new(folder).look().unwrap().unwrap();
    writeup::write_up(&mut book, &Theme::built_in().unwrap(), &output, &quietly).unwrap();
}

/// The sums of a book, ready to be worked out.
pub struct Sums {
    book: Book,
    figures: Figures,
}

impl Sums {
    pub fn read(folder: &Path) -> Self {
        let (book, _) = book::read(&io::read_book(folder).unwrap());
        let figures = figures::from(&book, &ledger::keep(&book).0);
        Self { book, figures }
    }

    pub fn work_out(&self) -> usize {
        calc::work_out(&self.book, &self.figures).0.evaluations
    }
}

/// The least time of each stage over some rounds, in their order.
pub fn least(folder: &Path, rounds: usize) -> Vec<(&'static str, Duration)> {
    let mut least: BTreeMap<usize, (&'static str, Duration)> = BTreeMap::new();
    for _ in 0..rounds {
        for (index, (stage, time)) in one_round(folder, &fresh::folder()).into_iter().enumerate() {
            let so_far = least.entry(index).or_insert((stage, time));
            so_far.1 = so_far.1.min(time);
        }
    }
    least.into_values().collect()
}

fn one_round(folder: &Path, out: &Path) -> Vec<(&'static str, Duration)> {
    let mut stages = Stages::default();
    let files = stages.time("read the folder", || io::read_book(folder).unwrap());
    let (book, _) = stages.time("parse", || book::read(&files));
    let (ledger, _) = stages.time("ledger", || ledger::keep(&book));
    stages.time("jobs", || jobs::work_through(&book, &ledger));
    let figures = stages.time("figures of parts", || figures::from(&book, &ledger));
    stages.time("work out, judge", || calc::work_out(&book, &figures));
    let build = stages.time("all of these again", || compile(files));
    let evenings = stages.time("look back", || Evenings::of(&build));
    let page_set = PageSet::new(&build, &evenings);
    stages.time("lay out", || {
        page_set
            .page_ids()
            .into_par_iter()
            .for_each(|leaf| drop(page_set.lay_out(leaf)));
    });
    let theme = stages.time("read the theme", || Theme::built_in().unwrap());
    let mut pages: Pages = stages.time("lay out, press", || press(&page_set, &theme).unwrap());
    pages.insert(
        "record.json".to_owned(),
        stages.time("record.json", || writeup::record_json(&build).unwrap()),
    );
    stages.time("write", || {
        Output::open(out, folder)
            .unwrap()
            .write_all(&build.mark(), &pages)
            .unwrap()
    });
    stages.time("let go of it all", || drop((pages, book, ledger, figures)));
    stages.0
}

#[derive(Default)]
struct Stages(Vec<(&'static str, Duration)>);

impl Stages {
    fn time<T>(&mut self, stage: &'static str, work: impl FnOnce() -> T) -> T {
        let start = Instant::now();
        let done = work();
        self.0.push((stage, start.elapsed()));
        done
    }
}
