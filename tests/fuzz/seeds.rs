//! Seeds for the fuzzing targets, taken from the specification and the example book.
//!
//! In: `tests/spec/*.md`, `book-example/`. Out: `corpus/TARGET/…` beside this file, one file a
//! seed.

#[path = "../spec/case.rs"]
#[allow(dead_code)]
mod case;
// Built with the coverage pass as all else, so that nothing is built twice; it gives the pass what
// it calls.
#[path = "../growth/counted/count.rs"]
#[allow(dead_code)]
mod count;
#[path = "feed/mod.rs"]
mod feed;

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use case::{Case, Document, Fence};

/// Keeps each seed once, under the target it is for.
struct Seeds(BTreeSet<(&'static str, String)>);

impl Seeds {
    fn add(&mut self, target: &'static str, text: &str) {
        if !text.trim().is_empty() {
            self.0.insert((target, text.to_owned()));
        }
    }

    /// A line of a sums block: as a statement, its right side, and each word after a figure as a
    /// unit.
    fn line(&mut self, line: &str) {
        self.add("statement", line);
        let right = line
            .split_once('=')
            .or_else(|| line.split_once(" measured "));
        let Some((_, right)) = right else { return };
        let right = right.split('#').next().unwrap_or_default().trim();
        self.add("expression", right);
        self.add("literal", right);
        for word in right
            .split(' ')
            .filter(|word| word.starts_with(|first: char| first.is_alphabetic() || first == '%'))
        {
            self.add("unit", word);
        }
    }

    /// A file of a book.
    fn file(&mut self, path: &str, text: &str) {
        if path.ends_with(".yaml") {
            self.add("yaml", text);
            return;
        }
        if let Some((head, _)) = text
            .strip_prefix("---\n")
            .and_then(|rest| rest.split_once("\n---"))
        {
            self.add("front_matter", head);
        }
        for line in text
            .lines()
            .filter(|line| line.trim_start().starts_with("- ["))
        {
            let tail = line
                .rsplit_once('{')
                .and_then(|(_, tail)| tail.strip_suffix('}'));
            self.add("job_tail", tail.unwrap_or_default());
        }
        for (word, body) in blocks(text) {
            match word {
                "sums" => {
                    self.add("statement", body);
                    body.lines().for_each(|line| self.line(line));
                }
                "parts" => self.add("parts_event", body),
                _ => {}
            }
        }
    }

    fn book(&mut self, files: &[(String, String)]) {
        let whole: String = files
            .iter()
            .map(|(path, text)| format!("{}{path}\n{text}", feed::FILE))
            .collect();
        self.add("whole_book", &whole);
        files.iter().for_each(|(path, text)| self.file(path, text));
    }

    fn case(&mut self, case: &Case) {
        let mut files = vec![("build-sheet.yaml".to_owned(), SHEET.to_owned())];
        for fence in case.fences().filter(|fence| !fence.is_expected()) {
            add(&mut files, fence);
        }
        self.book(&files);
    }
}

const SHEET: &str = "title: x\nstart: 2031-05-02\ndays: 5\ncrew: [{name: Ines, hours: 9}, {name: Bashir, hours: 8}]\n";

/// Puts what a fence says into the files of its book.
fn add(files: &mut Vec<(String, String)>, fence: &Fence) {
    let body = match fence.word() {
        "file" => {
            return files.push((
                fence.info.trim_start_matches("file ").to_owned(),
                fence.body.clone(),
            ));
        }
        "sheet" => return files[0].1.push_str(&fence.body),
        "log" => fence.body.clone(),
        word @ ("sums" | "parts" | "drawing") => format!("```{word}\n{}```\n", fence.body),
        _ => return,
    };
    let day = fence.day().unwrap_or(1);
    let path = format!("days/day-{day:02}.md");
    match files.iter_mut().find(|(there, _)| *there == path) {
        Some((_, text)) => *text += &format!("\n{body}"),
        None => files.push((path, format!("---\nday: {day}\n---\n{body}"))),
    }
}

/// The fenced blocks of a text: the word behind the marks, and what is inside.
fn blocks(text: &str) -> impl Iterator<Item = (&str, &str)> {
    text.split("```")
        .skip(1)
        .step_by(2)
        .filter_map(|block| block.split_once('\n'))
}

fn spec(seeds: &mut Seeds, folder: &Path) -> std::io::Result<()> {
    for entry in std::fs::read_dir(folder)? {
        let path = entry?.path();
        if path.extension().is_some_and(|kind| kind == "md") {
            Document::read(&std::fs::read_to_string(path)?)
                .cases
                .iter()
                .for_each(|case| seeds.case(case));
        }
    }
    Ok(())
}

fn example(seeds: &mut Seeds, folder: &Path) -> std::io::Result<()> {
    let logs = std::fs::read_dir(folder.join("days"))?.map(|entry| entry.map(|entry| entry.path()));
    let mut paths: Vec<PathBuf> = ["build-sheet.yaml", "parts.yaml", "plan.md"]
        .map(|name| folder.join(name))
        .to_vec();
    paths.extend(logs.collect::<std::io::Result<Vec<_>>>()?);
    let mut files = Vec::new();
    for path in paths {
        let inside = path
            .strip_prefix(folder)
            .unwrap_or(&path)
            .display()
            .to_string();
        files.push((inside, std::fs::read_to_string(&path)?));
    }
    seeds.book(&files);
    Ok(())
}

fn main() -> std::io::Result<()> {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut seeds = Seeds(BTreeSet::new());
    spec(&mut seeds, &here.join("../spec"))?;
    example(&mut seeds, &here.join("../../book-example"))?;
    for (number, (target, text)) in seeds.0.iter().enumerate() {
        let folder = here.join("corpus").join(target);
        std::fs::create_dir_all(&folder)?;
        std::fs::write(folder.join(format!("seed-{number:04}")), text)?;
    }
    println!("{} seeds", seeds.0.len());
    Ok(())
}
