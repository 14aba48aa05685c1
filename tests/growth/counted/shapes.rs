//! The shapes: books of about `n` bytes in which one thing repeats, nests or refers to itself.

use std::collections::BTreeMap;
use std::fmt::Write as _;

/// Texts by path.
pub type Book = BTreeMap<String, String>;

/// One shape.
pub struct Shape {
    /// What repeats.
    pub name: &'static str,
    /// A book of about that many bytes.
    pub book: fn(usize) -> Book,
    /// Is it a shape of many evenings? Each has its own list of all that is open, so that only what
    /// is written is judged.
    pub evenings: bool,
}

macro_rules! shapes {
    ($($name:literal => $book:expr,)* evenings: $($evening:literal => $days:expr,)*) => {
        /// All of them.
        pub const SHAPES: &[Shape] = &[
            $(Shape { name: $name, book: $book, evenings: false },)*
            $(Shape { name: $evening, book: $days, evenings: true },)*
        ];
    };
}

shapes! {
    // Written values and units.
    "a number of many digits" => |n| sums(format!("x measured {} mm\n", "7".repeat(n))),
    "a number of many decimals" => |n| sums(format!("x measured 1.{} mm\n", "7".repeat(n))),
    "a fraction of fractions" => |n| sums(format!("x measured {}2 in\n", "1/".repeat(n / 2))),
    "feet and inches over and over" => |n| sums(format!("x measured {}\n", "5 ft 6 in ".repeat(n / 10))),
    "degrees, minutes and seconds over and over" => |n| sums(format!("x = {}\n", "3° 06' ".repeat(n / 8))),
    "a tolerance of tolerances" => |n| sums(format!("x measured 1 {} mm\n", "± 1 ".repeat(n / 5))),
    "a unit that is a long product" => |n| sums(format!("x = 1 {}m\n", "m-".repeat(n / 2))),
    "a unit that is a long quotient" => |n| sums(format!("x = 1 m{}\n", "/s".repeat(n / 2))),
    "a unit of one long word" => |n| sums(format!("x = 1 {}\n", "m".repeat(n))),
    "many unknown units" => |n| sums(lines(n, |i| format!("u{i} = 1 furlong{i}"))),
    "many values, each with a unit and a tolerance" => |n| sums(lines(n, |i| format!("v{i} measured {i} ± 0.1 mm"))),
    // Expressions.
    "brackets in brackets" => |n| sums(format!("x = {}1{}\n", "(".repeat(n / 2), ")".repeat(n / 2))),
    "brackets that never close" => |n| sums(format!("x = {}\n", "(".repeat(n))),
    "a long sum" => |n| sums(format!("a = 1\nx = a{}\n", " + a".repeat(n / 4))),
    "a long product of readings" => |n| sums(format!("a measured 1 ± 0.1\nx = a{}\n", " * a".repeat(n / 4))),
    "many signs" => |n| sums(format!("x = {}1\n", "-".repeat(n))),
    "powers of powers" => |n| sums(format!("x = 2{}\n", "^2".repeat(n / 2))),
    "functions in functions" => |n| sums(format!("x = {}1{}\n", "abs(".repeat(n / 5), ")".repeat(n / 5))),
    "choices in choices" => |n| sums(format!("x = {}2{}\n", "if(1 < 2, 1, ".repeat(n / 14), ")".repeat(n / 14))),
    "a function of many arguments" => |n| sums(format!("x = max(1{})\n", ", 1".repeat(n / 3))),
    "many named arguments" => |n| sums(format!("x = tilt({})\n", "rise: 1 mm, ".repeat(n / 12))),
    "many comparisons" => |n| sums(format!("x = if(1 < 2{}, 1, 2)\n", " and 1 < 2".repeat(n / 10))),
    "words with nothing between" => |n| sums(format!("x = {}\n", "a ".repeat(n / 2))),
    "a very long name" => |n| sums(format!("{0} = 1 mm\nx = {0} + 1 mm\n", "n".repeat(n / 2))),
    // Statements.
    "limits that go on and on" => |n| sums(format!("a = 1\na between 1{}\n", " and 2".repeat(n / 6))),
    "hold over and over" => |n| sums(format!("a = 1\na at least 1{}\n", ", hold".repeat(n / 6))),
    "one remark of many marks" => |n| sums(format!("a = 1 {}\n", "# ".repeat(n / 2))),
    "lines that are no statement" => |n| sums(lines(n, |_| "what is this".to_owned())),
    "one letter a line" => |n| sums("x\n".repeat(n / 2)),
    "one line of many pieces" => |n| sums(format!("x = {}\n", "1, ".repeat(n / 3))),
    "a name set over and over in one block" => |n| sums(lines(n, |i| format!("x = {i} mm"))),
    "a name set over and over, a block each" => |n| log(lines(n, |i| format!("```sums\nx = {i} mm\n```"))),
    "many checks on one name" => |n| sums(format!("x measured 5 ± 1 mm\n{}", lines(n, |i| format!("x at least {i} mm")))),
    "many checks that hold, none ever measured" => |n| sums(lines(n, |i| format!("c{i} at least 1 mm, hold"))),
    "many names that nothing defines" => |n| sums(lines(n, |i| format!("x{i} = nowhere{i} + 1 mm"))),
    "near misses of known names" => |n| sums(lines(n, |i| format!("gap_{i} = 1 mm\ny{i} = gap_{i}x + 1 mm"))),
    "a chain of names" => |n| sums("c0 = 1 mm\n".to_owned() + &lines(n, |i| format!("c{} = c{i} + 1 mm", i + 1))),
    "a chain of names, last first" => |n| sums(lines(n, |i| format!("c{i} = c{} + 1 mm", i + 1))),
    "a fan of names" => |n| sums("hub measured 5 ± 0.1 mm\n".to_owned() + &lines(n, |i| format!("f{i} = hub * {i}"))),
    "one long ring of names" => |n| { let m = n / 20; sums((0..m).map(|i| format!("a{i} = a{} + 1 mm\n", (i + 1) % m)).collect()) },
    "many choices" => |n| sums(lines(n, |i| format!("q{i} = w{i} + 1 mm\nq{i} between 3 mm and 5 mm\nchoose w{i} from 0 to 9 mm"))),
    "one stack of many sizes" => |n| sums(format!("w between 3 mm and 5 mm\nstack w from 1 mm{}\n", ", 1 mm x2".repeat(n / 9))),
    "many stacks" => |n| sums(lines(n, |i| format!("w{i} between 3 mm and 5 mm\nstack w{i} from 1 mm x5, 2 mm x5"))),
    // Jobs.
    "a tail of many commas" => |n| log(format!("- [ ] A {{a{}}}\n", ",".repeat(n))),
    "a tail of many pieces that say nothing" => |n| log(format!("- [ ] A {{a{}}}\n", ", x".repeat(n / 3))),
    "a tail of many words" => |n| log(format!("- [ ] A {{a, held up: {}}}\n", "word, ".repeat(n / 6))),
    "a tail that says one thing over and over" => |n| log(format!("- [ ] A {{a{}}}\n", ", by Ines".repeat(n / 9))),
    "a job that follows many" => |n| log(format!("- [ ] A {{a, follows b{}}}\n", " + b".repeat(n / 4))),
    "a job that follows many unknown ones" => |n| log(format!("- [ ] A {{a, follows b{}}}\n",
        (0..n / 8).map(|i| format!(" + b{i}")).collect::<String>())),
    "many jobs" => |n| log(lines(n, |i| format!("- [ ] Job {i} {{job{i}, by Ines, takes 3 h}}"))),
    "many jobs done" => |n| log(lines(n, |i| format!("- [x] Job {i} {{job{i}, by Ines, takes 3 h, took 2 h}}"))),
    "a chain of jobs" => |n| log(lines(n, |i| format!("- [ ] Job {i} {{job{i}, takes 1 h, follows job{}}}", i.saturating_sub(1)))),
    "a fan of jobs" => |n| log(lines(n, |i| format!("- [ ] Job {i} {{job{i}, takes 1 h, follows job0}}"))),
    "one job mentioned over and over" => |n| log(lines(n, |_| "- [ ] Job {job, took 1 h}".to_owned())),
    "many jobs held up" => |n| log(lines(n, |i| format!("- [ ] Job {i} {{job{i}, held up: nothing to hand}}"))),
    "many stopgaps" => |n| log(lines(n, |i| format!("- [x] Job {i} {{job{i}, temp: a strap, caution lifting}}"))),
    "many jobs without a title" => |n| log(lines(n, |i| format!("- [ ] {{job{i}}}"))),
    "many ids a letter from another" => |n| log(lines(n, |i| format!("- [ ] Hang the tray {{tray_{i}}}"))),
    "many jobs in the plan" => |n| with("plan.md", format!("## Day 1\n{}", lines(n, |i| format!("- [ ] Job {i} {{job{i}, takes 1 h}}")))),
    "many days in the plan" => |n| with("plan.md", lines(n, |i| format!("## Day {i}"))),
    // Parts.
    "many events of one part" => |n| parts("p: {what: P}\n".to_owned(), lines(n, |i| if i % 2 == 0 { "p: in" } else { "p: sent back" }.to_owned())),
    "many events of unknown parts" => |n| parts("p: {what: P}\n".to_owned(), lines(n, |i| format!("p{i}: in"))),
    "an event of many pieces" => |n| parts("p: {what: P}\n".to_owned(), format!("p: in{}\n", ", x".repeat(n / 3))),
    "many parts" => |n| parts(lines(n, |i| format!("p{i}: {{what: P, mass: 1 kg, cost: 1.00}}")), "p0: in\n".to_owned()),
    "many ratings of one part" => |n| parts(format!("p:\n  what: P\n  ratings:\n{}", lines(n, |i| format!("    r{i}: 1 N-m"))), "p: in\n".to_owned()),
    // YAML.
    "YAML that nests" => |n| with("parts.yaml", format!("a: {}\n", "[".repeat(n))),
    "YAML that nests by indent" => |n| with("parts.yaml", (0..2000.min((n as f64).sqrt() as usize)).map(|i| format!("{}a:\n", " ".repeat(i))).collect()),
    "YAML aliases that multiply" => |n| with("parts.yaml", "a0: &a0 [x, x]\n".to_owned() + &lines(n, |i| format!("a{0}: &a{0} [*a{i}, *a{i}]", i + 1))),
    "YAML keys twice" => |n| with("parts.yaml", "p: {what: x}\n".repeat(n / 13)),
    "YAML keys that are unknown" => |n| with("build-sheet.yaml", SHEET.to_owned() + &lines(n, |i| format!("key{i}: 1"))),
    "YAML of one long word" => |n| with("parts.yaml", format!("p: {{what: {}}}\n", "w".repeat(n))),
    "YAML quotes that never close" => |n| with("parts.yaml", format!("p: \"{}\n", "\\\" ".repeat(n / 3))),
    "YAML remarks" => |n| with("parts.yaml", "# what\n".repeat(n / 7)),
    "YAML text in folds" => |n| with("parts.yaml", format!("p:\n  what: >\n{}", "    word\n\n".repeat(n / 10))),
    "a crew of many" => |n| with("build-sheet.yaml", format!("title: x\nstart: 2031-05-02\ndays: 5\ncrew:\n{}", lines(n, |i| format!("  - {{name: Ines {i}, hours: 8}}")))),
    "many targets" => |n| with("build-sheet.yaml", format!("{SHEET}targets: |\n{}", lines(n, |i| format!("  t{i} at most 1 mm")))),
    "a long head" => |n| Book::from([sheet(), ("days/day-01.md".into(), format!("---\nday: 1\n{}---\n", lines(n, |i| format!("key{i}: 1"))))]),
    "a crew of many strangers in a head" => |n| Book::from([sheet(), ("days/day-01.md".into(), format!("---\nday: 1\ncrew: [{}]\n---\n", "Nobody, ".repeat(n.min(15_000) / 8)) + &"word ".repeat(n / 5))]),
    // Markdown.
    "quotes in quotes" => |n| log(format!("{}x\n", "> ".repeat(n / 2))),
    "lists in lists" => |n| log(format!("{}x\n", "- ".repeat(n / 2))),
    "lists in lists, by indent" => |n| log((0..(n as f64).sqrt() as usize).map(|i| format!("{}- x\n", " ".repeat(2 * i))).collect()),
    "a long list" => |n| log("- x\n".repeat(n / 4)),
    "opening brackets" => |n| log("[".repeat(n)),
    "closing brackets" => |n| log("a]".repeat(n / 2)),
    "half a link over and over" => |n| log("[a](".repeat(n / 4)),
    "links to nothing" => |n| log(lines(n, |i| format!("[a](#nothing{i})"))),
    "links to logs that are not there" => |n| log(lines(n, |i| format!("[a](day-{i}.md)"))),
    "pictures that are not there" => |n| log(lines(n, |i| format!("![a](../photos/a{i}.png)"))),
    "pictures in pictures" => |n| log("![".repeat(n / 2)),
    "stars" => |n| log("*a **b ".repeat(n / 7)),
    "stars and underscores" => |n| log("*_a_".repeat(n / 4)),
    "ticks of growing length" => |n| log((1..(2.0 * n as f64).sqrt() as usize).map(|i| format!("{} ", "`".repeat(i))).collect()),
    "code that is an id" => |n| sums_and("a = 1 mm\n", "`a` ".repeat(n / 4)),
    "code that is no id" => |n| log("`a b` ".repeat(n / 6)),
    "code that is almost an id" => |n| sums_and("gap_one = 1 mm\n", (0..n / 10).map(|i| format!("`gap_{i}` ")).collect()),
    "a table of many rows" => |n| log(format!("a | b\n--|--\n{}", "1 | 2\n".repeat(n / 6))),
    "a table of many columns" => |n| log(format!("{0}\n{1}\n{0}\n", "|a".repeat(n / 6), "|-".repeat(n / 6))),
    "a table with rows too short" => |n| log(format!("{}|\n{}|\n{}", "|a".repeat(9), "|-".repeat(9), "|a\n".repeat(n / 3))),
    "notes" => |n| log(lines(n, |i| format!("x[^{i}]\n\n[^{i}]: note"))),
    "notes that are not there" => |n| log(lines(n, |i| format!("x[^{i}]"))),
    "one note, referred to over and over" => |n| log(format!("[^1]: note\n\n{}", "x[^1] ".repeat(n / 6))),
    "named links" => |n| log(lines(n, |i| format!("[l{i}]\n\n[l{i}]: https://example.org/{i}\n"))),
    "the same heading over and over" => |n| log("# Tray hung\n\n".repeat(n / 13)),
    "headings that count on" => |n| log(lines(n, |i| format!("# a-{}\n\n# a\n", i % 100))),
    "tags" => |n| log("<div>\n".repeat(n / 6)),
    "tags in a line" => |n| log(format!("x {}\n", "<b>".repeat(n / 3))),
    "tags that never end" => |n| log("<a ".repeat(n / 3)),
    "declarations that never end" => |n| log("a <!A ".repeat(n / 6)),
    "remarks that never end" => |n| log("a <!-- ".repeat(n / 7)),
    "signs by name" => |n| log("&amp;&lt;&x".repeat(n / 10)),
    "backslashes" => |n| log("\\".repeat(n)),
    "one long line" => |n| log("word ".repeat(n / 5)),
    "many short lines" => |n| log("a\n".repeat(n / 2)),
    "many paragraphs" => |n| log("a\n\n".repeat(n / 3)),
    "carriage returns" => |n| log("a\r\n".repeat(n / 3)),
    "blocks that are empty" => |n| log("```sums\n```\n".repeat(n / 12)),
    "blocks that are not closed" => |n| log("```sums\n> ".repeat(n / 10)),
    "blocks nearly ours" => |n| log("```sum\nx\n```\n".repeat(n / 14)),
    "shop blocks" => |n| log("```shop\n# x\n- y\n```\n".repeat(n / 20)),
    "letters without width" => |n| log(format!("a{}\n", "\u{301}".repeat(n / 2))),
    "letters from right to left" => |n| sums(format!("x = {}\n", "\u{202e}a".repeat(n / 4))),
    // Drawings.
    "drawings of one name" => |n| log(format!("```sums\nx measured 1 ± 0.1 mm\nx at least 0 mm\n```\n```drawing\n{}```\n", "band x\n".repeat(n / 7))),
    "drawings of nothing" => |n| log(format!("```drawing\n{}```\n", lines(n, |i| format!("band x{i}")))),
    "one drawing of many joints" => |n| log(format!("```sums\nx measured 1 ± 0.1 deg\n```\n```drawing\ndriveline{}\n```\n", " x".repeat(n / 2))),
    "sources of a value with many" => |n| { let block = lines(n, |i| format!("s{i} measured 1 ± 0.1 mm"));
        let sum = (0..block.lines().count()).map(|i| format!("s{i}")).collect::<Vec<_>>();
        log(format!("```sums\n{block}{}```\n```drawing\nsources t0\n```\n", sum.chunks(50).enumerate().map(|(i, names)| format!("t{i} = {}\n", names.join(" + "))).collect::<String>())) },
    evenings:
    "days whose jobs are never done" => |n| days(n, |day| format!("- [ ] Job {day} {{job{day}, by Ines, takes 3 h}}\n")),
    "days whose stopgaps are never made good" => |n| days(n, |day| format!("- [x] Job {day} {{job{day}, temp: a strap}}\n")),
    "days whose hold checks are never measured" => |n| days(n, |day| format!("```sums\nc{day} at least 1 mm, hold\n```\n")),
    "days that measure one thing again" => |n| days(n, |day| format!("```sums\nx measured {day} ± 0.1 mm\nx at least 5 mm\n```\n")),
    "days that move what all days have worked out" => |n| days(n, |day| format!("```sums\nx measured {day} ± 0.1 mm\ny{day} = x * {day}\n```\n")),
}

const SHEET: &str = "title: x\nstart: 2031-05-02\ndays: 5\ncrew: [{name: Ines, hours: 9}, {name: Bashir, hours: 8}]\n";

fn sheet() -> (String, String) {
    ("build-sheet.yaml".to_owned(), SHEET.to_owned())
}

/// A book with one short log.
pub fn empty() -> Book {
    log("x\n".to_owned())
}

fn log(text: String) -> Book {
    Book::from([
        sheet(),
        (
            "days/day-01.md".to_owned(),
            format!("---\nday: 1\n---\n{text}"),
        ),
    ])
}

fn sums(block: String) -> Book {
    log(format!("```sums\n{block}```\n"))
}

fn sums_and(block: &str, text: String) -> Book {
    log(format!("```sums\n{block}```\n\n{text}\n"))
}

fn parts(list: String, events: String) -> Book {
    let mut book = log(format!("```parts\n{events}```\n"));
    book.insert("parts.yaml".to_owned(), list);
    book
}

fn with(path: &str, text: String) -> Book {
    let mut book = empty();
    book.insert(path.to_owned(), text);
    book
}

/// A log a day, 256 bytes of the size each, as many days as a book can have at most.
fn days(size: usize, log: impl Fn(usize) -> String) -> Book {
    let days = (size / 256).min(1000);
    let sheet = SHEET.replace("days: 5", &format!("days: {days}"));
    let logs = (1..=days).map(|day| {
        (
            format!("days/day-{day:04}.md"),
            format!("---\nday: {day}\n---\n{}", log(day)),
        )
    });
    logs.chain([("build-sheet.yaml".to_owned(), sheet)])
        .collect()
}

/// Lines by number, about `size` bytes of them.
fn lines(size: usize, line: impl Fn(usize) -> String) -> String {
    let mut text = String::new();
    for index in 0.. {
        if text.len() >= size {
            break;
        }
        let _ = writeln!(text, "{}", line(index));
    }
    text
}
