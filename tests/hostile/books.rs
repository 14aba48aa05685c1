//! Books that nobody writes by mistake, out of a seed.
//!
//! In: a number. Out: what lies in the book's folder, by path: files of any bytes, links that lead
//! out, pipes and folders in place of files. The same number gives the same book.

use std::collections::BTreeMap;
use std::fs;
use std::os::unix::fs::symlink;
use std::path::Path;
use std::process::Command;

#[path = "../bench/big_book/random.rs"]
#[allow(dead_code)]
mod random;

use random::Random;

/// What lies at a path.
pub enum Thing {
    /// A file.
    File(Vec<u8>),
    /// A link.
    Link(&'static str),
    /// A pipe.
    Pipe,
    /// A folder.
    Folder,
}

/// The folder.
pub type Things = BTreeMap<String, Thing>;

/// What is said where a book can say something.
const SAID: [&str; 48] = [
    "<script>canary()</script>",
    "\"><img src=x onerror=canary()>",
    "' onmouseover='canary()",
    "</title></style></svg><svg onload=canary()>",
    "<!--",
    "-->",
    "]]>",
    "<a href=javascript:canary()>x</a>",
    "[x](javascript:canary())",
    "[x](data:text/html,canary)",
    "![x](file:///etc/passwd)",
    "{{ 7 * 7 }}",
    "{% include 'x' %}",
    "{# x",
    "../../etc/passwd",
    "/etc/passwd",
    "C:\\con",
    "NUL",
    "~root",
    "$(id)",
    "`id`",
    "%00",
    "%s%n",
    "\u{202e}12.5 mm\u{202c}",
    "\u{2066}x\u{2069}",
    "\u{200f}א\u{200f}",
    "אבג 12.5",
    "\u{feff}",
    "\u{200b}",
    "\u{0}",
    "\u{7}\u{1b}[2J",
    "\u{85}\u{2028}",
    "1e999",
    "-1e308",
    "1e-320",
    "99999999999999999999",
    "-1",
    "0",
    "4294967296",
    "9999-12-31",
    "0000-00-00",
    "inf",
    "nan",
    "0x10",
    "1/0",
    "|",
    "---",
    "```",
];

/// Names of logs.
const NAMES: [&str; 18] = [
    "day-01",
    "day-1",
    "<script>canary()<x>",
    "con",
    "aux.nul",
    "day 02 ",
    "-rf",
    "..",
    "...",
    "a%2f..%2fb",
    "index.html",
    "..\\..\\x",
    "\u{202e}gpj",
    "é\u{301}",
    "a\nb",
    "\"'",
    "#line-1",
    "?x=1",
];

/// Book number `seed`.
pub fn book(seed: u64) -> Things {
    let mut dice = Random(seed.wrapping_mul(0x2545_f491_4f6c_dd1d) + 1);
    let mut things = Things::new();
    file(&mut things, "build-sheet.yaml", sheet(&mut dice));
    file(&mut things, "parts.yaml", parts(&mut dice));
    file(&mut things, "plan.md", plan(&mut dice));
    for day in 1..=dice.days(1, 4) {
        file(
            &mut things,
            &format!("days/day-{day:02}.md"),
            log(day, &mut dice),
        );
    }
    if dice.percent(30) {
        let name = dice.of(&NAMES);
        file(&mut things, &format!("days/{name}.md"), log(9, &mut dice));
    }
    if dice.percent(5) {
        file(
            &mut things,
            &format!("days/{}.md", "x".repeat(dice.of(&[200, 245, 252]))),
            log(8, &mut dice),
        );
    }
    spoil_files(&mut things, &mut dice);
    if dice.percent(30) {
        put_something_else(&mut things, &mut dice);
    }
    if seed % 200 == 7 {
        file(&mut things, "days/day-07.md", long_line(&mut dice));
    }
    things
}

/// Lays a book down at `a/book` in a folder, beside something that no book may reach.
pub fn lay_down(things: &Things, folder: &Path) {
    fs::write(folder.join("secret"), "canary of the neighbour").unwrap();
    for (path, thing) in things {
        let at = folder.join("a/book").join(path);
        fs::create_dir_all(at.parent().unwrap()).unwrap();
        match thing {
            // A name that this file system does not take is no book's fault.
            Thing::File(bytes) => drop(fs::write(&at, bytes)),
            Thing::Link(to) => symlink(to, &at).unwrap(),
            Thing::Pipe => assert!(Command::new("mkfifo").arg(&at).status().unwrap().success()),
            Thing::Folder => fs::create_dir_all(&at).unwrap(),
        }
    }
}

fn file(things: &mut Things, path: &str, text: String) {
    things.insert(path.to_owned(), Thing::File(text.into_bytes()));
}

/// Mostly what belongs there, sometimes what does not.
fn say(dice: &mut Random, usual: &str) -> String {
    match dice.below(10) {
        0 => dice.of(&SAID).to_owned(),
        1 => format!("{usual}{}", dice.of(&SAID)),
        2 if dice.percent(10) => dice
            .of(&["9", "(", "-", "word ", "é", "> ", "[", ","])
            .repeat(dice.below(3000)),
        _ => usual.to_owned(),
    }
}

fn sheet(dice: &mut Random) -> String {
    let mut sheet = String::new();
    let lines = [
        ("title", "Heron, a van"),
        ("start", "2031-05-02"),
        ("days", "5"),
        ("crew", "[{name: Ines, hours: 9}, {name: Bashir, hours: 8}]"),
        ("units", "metric"),
        ("money", "EUR"),
        ("judge", "worst-case"),
    ];
    for (key, usual) in lines {
        let said = say(dice, usual);
        sheet += &format!(
            "{key}: {}\n",
            if dice.percent(50) {
                said
            } else {
                quoted(&said)
            }
        );
    }
    sheet
        + &format!(
            "targets: |\n  {} at most {}\n",
            say(dice, "gap"),
            say(dice, "3 mm")
        )
}

/// As YAML quotes it; a list stays a list.
fn quoted(said: &str) -> String {
    if said.starts_with('[') {
        said.to_owned()
    } else {
        format!("{said:?}")
            .replace("\\u{", "\\\\u{")
            .replace('\u{0}', "\\0")
    }
}

fn parts(dice: &mut Random) -> String {
    let mut list = String::new();
    for index in 0..dice.below(5) {
        let (what, mass) = (say(dice, "Motor"), say(dice, "41 kg"));
        let (cost, lead, need) = (
            say(dice, "8200.00"),
            say(dice, "5 days"),
            say(dice, "day 3"),
        );
        let id = say(dice, &format!("part_{index}"));
        list += &format!(
            "{id}:\n  what: {}\n  mass: {mass}\n  cost: {cost}\n  lead: {lead}\n  need: {need}\n  ratings: {{torque: {}}}\n",
            quoted(&what),
            say(dice, "370 N-m")
        );
    }
    list
}

fn job(index: usize, dice: &mut Random) -> String {
    let tick = dice.of(&["[ ]", "[x]"]);
    let (title, id, by, hours) = (
        say(dice, "Hang the tray"),
        say(dice, &format!("job_{index}")),
        say(dice, "Ines"),
        say(dice, "3 h"),
    );
    let more = dice.of(&[
        "",
        ", held up: X",
        ", again: X",
        ", dropped: X",
        ", temp: X",
        ", caution lifting",
        ", made good by X",
        ", follows job_0 + X",
        ", needs part_0",
        ", took X",
    ]);
    let more = more.replace('X', &say(dice, "words"));
    format!("- {tick} {title} {{{id}, by {by}, takes {hours}{more}}}\n")
}

fn plan(dice: &mut Random) -> String {
    let mut plan = String::new();
    for index in 0..dice.below(8) {
        if index % 3 == 0 {
            plan += &format!("## Day {}\n\n", say(dice, "1"));
        }
        plan += &job(index, dice);
    }
    plan
}

fn log(day: u32, dice: &mut Random) -> String {
    let head = say(dice, &format!("day: {day}"));
    let mut log = format!(
        "---\n{head}\ncrew: [{}]\n---\n# {}\n\n",
        say(dice, "Ines"),
        say(dice, "Tray hung")
    );
    for index in 0..dice.below(8) {
        log += &match dice.below(7) {
            0 => job(index, dice),
            1 => format!(
                "```parts\npart_{index}: {}, due day {}\npart_{index}: {}\n```\n",
                say(dice, "ordered"),
                say(dice, "4"),
                say(dice, "in")
            ),
            2 => format!(
                "```drawing\nband {}\nsources {}\nhistory gap\n```\n",
                say(dice, "gap"),
                say(dice, "gap")
            ),
            3 => format!(
                "{}\n\n> {}\n\n| a | {} |\n|---|---|\n| `gap` | {} |\n\n",
                say(dice, "The tyre touched."),
                say(dice, "a"),
                say(dice, "b"),
                say(dice, "c")
            ),
            4 => format!(
                "![{}](../photos/{} \"{}\")\n\n[{}]({})\n\n",
                say(dice, "arch"),
                say(dice, "a.png"),
                say(dice, "t"),
                say(dice, "x"),
                say(dice, "day-01.md")
            ),
            _ => sums(dice),
        };
    }
    log
}

fn sums(dice: &mut Random) -> String {
    let mut block = "```sums\n".to_owned();
    for _ in 0..dice.below(6) {
        let usual = dice_name(dice.below(4));
        let (name, value, spread) = (say(dice, usual), say(dice, "4.3"), say(dice, "0.1"));
        let unit = dice.of(&["mm", "deg", "kg", "%", "degC", "furlong", ""]);
        block += &match dice.below(6) {
            0 => format!(
                "{name} measured {value} ± {spread} {unit}  # {}\n",
                say(dice, "level")
            ),
            1 => format!("{name} = {value} {unit}\n"),
            2 => format!(
                "{name} = {} * {} + gap / {value} as {unit}\n",
                dice_name(dice.below(4)),
                dice_name(dice.below(4))
            ),
            3 => format!("{name} at least {value} {unit}, hold\n"),
            4 => format!("{name} within {value} ± {spread} {unit}\n"),
            _ => format!(
                "choose {name} from {value} to {spread} {unit}\nstack {name} from {value} {unit} x2\n"
            ),
        };
    }
    block + "```\n"
}

fn dice_name(index: usize) -> &'static str {
    ["gap", "tail_angle", "wedge", "part_0.mass"][index % 4]
}

/// Bytes that are no text, ends cut off, other line ends.
fn spoil_files(things: &mut Things, dice: &mut Random) {
    for thing in things.values_mut() {
        let Thing::File(bytes) = thing else { continue };
        match dice.below(12) {
            0 => bytes.truncate(dice.below(bytes.len())),
            1 => {
                let at = dice.below(bytes.len());
                bytes.splice(at..at, (0..dice.below(40)).map(|n| (n * 37 + 128) as u8));
            }
            2 => {
                *bytes = String::from_utf8_lossy(bytes)
                    .replace('\n', "\r\n")
                    .into_bytes();
            }
            3 => drop(bytes.splice(0..0, *b"\xef\xbb\xbf")),
            4 => bytes
                .iter_mut()
                .step_by(17 + dice.below(90))
                .for_each(|byte| *byte ^= 1 << 5),
            5 => bytes.retain(|byte| *byte != b'`'),
            _ => {}
        }
    }
}

fn put_something_else(things: &mut Things, dice: &mut Random) {
    let path = dice.of(&[
        "build-sheet.yaml",
        "plan.md",
        "parts.yaml",
        "days/day-01.md",
        "days/day-02.md",
        "photos/a.png",
        "photos/x",
    ]);
    let thing = match dice.below(4) {
        0 => Thing::Link(dice.of(&[
            "/etc/passwd",
            "../../secret",
            "/dev/zero",
            "/",
            ".",
            "no/such",
        ])),
        1 => Thing::Pipe,
        2 => Thing::Folder,
        _ => Thing::File(b"\x89PNG\r\n\x1a\n<script>canary()</script>".to_vec()),
    };
    things.insert(path.to_owned(), thing);
}

/// Ten million bytes on one line.
fn long_line(dice: &mut Random) -> String {
    let piece = dice.of(&["word ", "1 + ", ", x", "[", "> ", "`a` ", "*a ", "\u{202e}"]);
    let line = piece.repeat(10_000_000 / piece.len());
    match dice.below(3) {
        0 => format!("---\nday: 7\n---\n{line}\n"),
        1 => format!("---\nday: 7\n---\n```sums\nx = {line}\n```\n"),
        _ => format!("---\nday: 7\n---\n- [ ] A {{a{line}}}\n"),
    }
}
