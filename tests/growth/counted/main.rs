//! Work grows no faster than n log n, whatever the text looks like.
//!
//! Each shape is a book of about `n` bytes in which one thing repeats or nests; the whole way is
//! gone, from the parsers to the pages and the messages, at 1 k, 2 k, … 256 k (slow ones to 64 k),
//! and what it takes is counted. Part of the fuzzing crate, for it is built with the same coverage
//! pass; `.ci/run` runs it. `growth WORD` runs the shapes that hold the word, and tells each size;
//! `growth --share 1/2` runs every other shape.

// Built without the coverage pass, by `clippy` for one, it has nothing to count.
#[cfg_attr(not(fuzzing), allow(dead_code))]
mod count;
mod shapes;

use std::process::ExitCode;
use std::sync::OnceLock;

use count::{Work, counted};
use shapes::{Book, SHAPES, Shape};
use shimbook::build::compile;
use shimbook::diagnostics::render::terminal;
use shimbook::export::document;
use shimbook::io::BookFiles;
use shimbook::pages::PageSet;
use shimbook::pages::ahead::Evenings;
use shimbook::render::{Theme, press};

const SMALLEST: usize = 1 << 10;
const LARGEST: usize = 1 << 18;
/// Slow shapes go no further than this size, where not asked for by name.
const FAR_ENOUGH: usize = 1 << 16;
/// A shape is slow that takes more steps than these.
const QUICK: u64 = 20_000_000;
/// Below this the fixed cost of a record hides the growth.
const JUDGED_FROM: usize = 1 << 14;
/// A share more than n log n: a page's fixed cost, buffers that double.
const SLACK: f64 = 1.15;

fn theme() -> &'static Theme {
    static THEME: OnceLock<Theme> = OnceLock::new();
    THEME.get_or_init(|| Theme::built_in().expect("the built-in theme is in order"))
}

/// The whole way of a book; what it wrote, in bytes.
fn whole_way(book: &Book) -> usize {
    let build = compile(BookFiles::from_texts(
        book.iter()
            .map(|(path, text)| (path.as_str(), text.as_str())),
    ));
    let said = terminal::all(
        &build.diagnostics,
        &build.sources,
        &terminal::Styles::default(),
    );
    let _ = (document::check(&build), document::tally(&build));
    let evenings = Evenings::of(&build);
    let pages =
        press(&PageSet::new(&build, &evenings), theme()).expect("every record can be pressed");
    said.len() + pages.values().map(Vec::len).sum::<usize>()
}

/// What one size took.
struct Sized {
    size: usize,
    work: Work,
    wrote: usize,
    ms: u128,
}

/// Measures size after size. What is slow goes to [`FAR_ENOUGH`] only, unless it is to be told.
fn measure(shape: &Shape, tell: bool) -> Vec<Sized> {
    let mut measured = Vec::new();
    let mut size = SMALLEST;
    while size <= LARGEST {
        let sized = measure_one(shape, size);
        if tell {
            println!("    {sized}");
        }
        let slow = size >= FAR_ENOUGH && sized.work.steps > QUICK;
        measured.push(sized);
        if slow && !tell {
            break;
        }
        size *= 2;
    }
    measured
}

fn measure_one(shape: &Shape, size: usize) -> Sized {
    let book = (shape.book)(size);
    let mut wrote = 0;
    let begun = std::time::Instant::now();
    let work = counted(|| wrote = whole_way(&book));
    Sized {
        size,
        work,
        wrote,
        ms: begun.elapsed().as_millis(),
    }
}

impl std::fmt::Display for Sized {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let Self {
            size,
            work,
            wrote,
            ms,
        } = self;
        let (steps, bytes, peak) = (work.steps, work.bytes, work.peak);
        write!(
            f,
            "{size:>7}: {steps:>11} steps, {bytes:>11} bytes asked for, {peak:>10} at once, {wrote:>9} written, {ms} ms"
        )
    }
}

/// What is counted, by name.
type Counted = (&'static str, fn(&Sized) -> u64);

/// Where something grew faster than it may, in words.
fn too_fast(shape: &Shape, measured: &[Sized]) -> Option<String> {
    let figures: [Counted; 4] = [
        ("steps", |sized| sized.work.steps),
        ("bytes asked for", |sized| sized.work.bytes),
        ("bytes held at once", |sized| sized.work.peak),
        ("bytes written", |sized| sized.wrote as u64),
    ];
    measured
        .windows(2)
        .filter(|pair| pair[1].size >= JUDGED_FROM)
        .find_map(|pair| {
            let allowed = n_log_n(pair[1].size) / n_log_n(pair[0].size) * SLACK;
            let judged = if shape.evenings {
                &figures[3..]
            } else {
                &figures[..]
            };
            judged.iter().find_map(|(what, of)| {
                let grew = of(&pair[1]) as f64 / of(&pair[0]) as f64;
                (grew > allowed).then(|| {
                    format!(
                        "{grew:.2} times the {what} from {} to {}",
                        pair[0].size, pair[1].size
                    )
                })
            })
        })
}

fn n_log_n(size: usize) -> f64 {
    size as f64 * (size as f64).ln()
}

/// Which shapes are tried: those that hold a word, or one share of many.
enum Asked {
    Word(String),
    Share(usize, usize),
}

/// `WORD`, `--share 1/2`, or nothing.
fn asked() -> Asked {
    let words: Vec<String> = std::env::args().skip(1).collect();
    match words.as_slice() {
        [] => Asked::Share(1, 1),
        [option, share] if option == "--share" => {
            let (which, of) = share.split_once('/').expect("a share is written 1/2");
            let number = |text: &str| text.parse().expect("a share is written 1/2");
            Asked::Share(number(which), number(of))
        }
        words => Asked::Word(words.join(" ")),
    }
}

fn main() -> ExitCode {
    let asked = asked();
    let tell = matches!(asked, Asked::Word(_));
    whole_way(&shapes::empty());
    let shapes: Vec<&Shape> = match &asked {
        Asked::Word(word) => SHAPES
            .iter()
            .filter(|shape| shape.name.contains(word))
            .collect(),
        Asked::Share(which, of) => SHAPES.iter().skip(which - 1).step_by(*of).collect(),
    };
    let failed = shapes.iter().filter(|shape| !held(shape, tell)).count();
    println!(
        "{} of {} shapes, {failed} grow too fast",
        shapes.len(),
        SHAPES.len()
    );
    if failed == 0 {
        ExitCode::SUCCESS
    } else {
        ExitCode::FAILURE
    }
}

/// Tries a shape and says how it went.
fn held(shape: &Shape, tell: bool) -> bool {
    if tell {
        println!("{}", shape.name);
    }
    let measured = measure(shape, tell);
    let steps = measured
        .last()
        .map_or(0, |last| last.work.steps / last.size as u64);
    let wrong = too_fast(shape, &measured);
    match &wrong {
        Some(why) => println!("FAILED {}: {why}", shape.name),
        None => println!("held   {}: {steps} steps a byte", shape.name),
    }
    wrong.is_none()
}
