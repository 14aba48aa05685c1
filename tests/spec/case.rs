//! The cases of a specification file.
//!
//! In: Markdown. Out: headings, prose and fences in their order, and the same text again, so that
//! refreshed expectations land where they stood.
//!
//! | fence | holds |
//! | --- | --- |
//! | `file PATH` | a whole file of the book |
//! | `sheet` | further lines of the build sheet that cases share |
//! | `log day N` | the Markdown of a day's log, below its front matter |
//! | `sums day N`, `parts day N`, `drawing day N` | such a block in that day's log |
//! | `earlier PATH` | the text of a file when it could be worked with last |
//! | `without` | paths of files that cases share and this one does not have |
//! | `values [NAME …] [day N]` | expected: what each value came to, at the end or on the evening of a day |
//! | `checks`, `jobs`, `balance`, `people`, `ledger`, `hold`, each with `[day N]` | expected: so much of the document |
//! | `current` | expected: is the book current, and if not, why; what the sheet says of days and dates |
//! | `printed [NAME …]` | expected: what pages print of values, and of checks with what they rest on |
//! | `messages` | expected: everything that is said; without this fence nothing may be said |
//!
//! Any other fence is prose.

const EXPECTED: [&str; 10] = [
    "values", "checks", "jobs", "balance", "people", "ledger", "hold", "current", "printed",
    "messages",
];

/// A file of the specification.
pub(crate) struct Document {
    top: Vec<Piece>,
    pub(crate) cases: Vec<Case>,
}

/// One heading and what stands below it.
pub(crate) struct Case {
    pub(crate) heading: String,
    pieces: Vec<Piece>,
}

enum Piece {
    Prose(String),
    Fence(Fence),
}

/// A fenced block.
pub(crate) struct Fence {
    marks: String,
    /// What stands behind the marks.
    pub(crate) info: String,
    /// Its lines, each with its end.
    pub(crate) body: String,
}

impl Fence {
    /// An empty `messages` fence.
    pub(crate) fn messages() -> Self {
        Self {
            marks: "```".into(),
            info: "messages".into(),
            body: String::new(),
        }
    }

    /// The first word of the info string.
    pub(crate) fn word(&self) -> &str {
        self.info.split(' ').next().unwrap_or_default()
    }

    /// The words behind the first, without the day.
    pub(crate) fn names(&self) -> impl Iterator<Item = &str> {
        self.info
            .split(' ')
            .skip(1)
            .take_while(|word| *word != "day")
    }

    /// The day the fence speaks of.
    pub(crate) fn day(&self) -> Option<u32> {
        self.info
            .split_once(" day ")
            .and_then(|(_, day)| day.parse().ok())
    }

    pub(crate) fn is_expected(&self) -> bool {
        EXPECTED.contains(&self.word())
    }
}

impl Case {
    pub(crate) fn fences(&self) -> impl Iterator<Item = &Fence> {
        self.pieces.iter().filter_map(|piece| {
            if let Piece::Fence(fence) = piece {
                Some(fence)
            } else {
                None
            }
        })
    }

    pub(crate) fn fences_mut(&mut self) -> impl Iterator<Item = &mut Fence> {
        self.pieces.iter_mut().filter_map(|piece| {
            if let Piece::Fence(fence) = piece {
                Some(fence)
            } else {
                None
            }
        })
    }

    /// Adds a fence at the end, with a blank line on each side.
    pub(crate) fn add(&mut self, fence: Fence) {
        while self
            .pieces
            .pop_if(|piece| matches!(piece, Piece::Prose(line) if line.is_empty()))
            .is_some()
        {}
        let blank = || Piece::Prose(String::new());
        self.pieces.extend([blank(), Piece::Fence(fence), blank()]);
    }
}

impl Document {
    pub(crate) fn read(text: &str) -> Self {
        let mut document = Self {
            top: Vec::new(),
            cases: Vec::new(),
        };
        let mut lines = text.lines();
        while let Some(line) = lines.next() {
            if let Some(heading) = line.strip_prefix("## ") {
                document.cases.push(Case {
                    heading: heading.to_owned(),
                    pieces: Vec::new(),
                });
                continue;
            }
            let piece = if line.starts_with("```") {
                Piece::Fence(fence(line, &mut lines))
            } else {
                Piece::Prose(line.to_owned())
            };
            document
                .cases
                .last_mut()
                .map_or(&mut document.top, |case| &mut case.pieces)
                .push(piece);
        }
        document
    }

    /// The Markdown again.
    pub(crate) fn text(&self) -> String {
        let case = |case: &Case| format!("## {}\n{}", case.heading, text(&case.pieces));
        let whole = text(&self.top) + &self.cases.iter().map(case).collect::<String>();
        whole.trim_end().to_owned() + "\n"
    }
}

fn fence<'a>(opening: &str, lines: &mut impl Iterator<Item = &'a str>) -> Fence {
    let info = opening.trim_start_matches('`');
    let marks = opening[..opening.len() - info.len()].to_owned();
    let body = lines
        .take_while(|line| *line != marks)
        .flat_map(|line| [line, "\n"])
        .collect();
    Fence {
        marks,
        info: info.to_owned(),
        body,
    }
}

fn text(pieces: &[Piece]) -> String {
    let one = |piece: &Piece| match piece {
        Piece::Prose(line) => format!("{line}\n"),
        Piece::Fence(Fence { marks, info, body }) => format!("{marks}{info}\n{body}{marks}\n"),
    };
    pieces.iter().map(one).collect()
}
