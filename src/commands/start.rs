//! `start`: a new book that can be written up at once.

use std::path::PathBuf;

use clap::Args;

use super::terminal;
use super::{Done, Failure, Status};
use crate::io;

/// Create a new book with remarks that teach the format.
#[derive(Debug, Args)]
#[command(after_help = "Example: shimbook start my-build")]
pub(super) struct Start {
    /// Folder for the new book (created if missing)
    dir: PathBuf,
}

/// The files of a new book; `{start}` stands for today.
const FILES: [(&str, &str); 4] = [
    ("build-sheet.yaml", include_str!("start/build-sheet.yaml")),
    ("plan.md", include_str!("start/plan.md")),
    ("parts.yaml", include_str!("start/parts.yaml")),
    ("days/day-01.md", include_str!("start/day-01.md")),
];

impl Start {
    pub(super) fn run(self) -> Done {
        if let Some(there) = FILES
            .iter()
            .map(|(path, _)| self.dir.join(path))
            .find(|path| io::is_there(path))
        {
            return Err(Failure(format!(
                "{} already contains a book: {}\n  choose another folder; nothing was written",
                self.dir.display(),
                there.display()
            )));
        }
        let today = io::today().to_string();
        for (path, text) in FILES {
            let text = text.replace("{start}", &today);
            if path == io::SHEET {
                // The sheet comes first and makes the folder; what follows must stay inside it.
                io::create_new(&self.dir.join(path), text.as_bytes())?;
            } else {
                io::create_in_book(&self.dir, path, text.as_bytes())?;
            }
        }
        terminal::print(&next_steps(&self.dir.display().to_string()))?;
        Ok(Status::Fine)
    }
}

fn next_steps(dir: &str) -> String {
    let rows = [
        [
            format!("shimbook wall {dir}"),
            "view it in a browser; it updates on every save".to_owned(),
        ],
        [
            format!("edit {dir}/days/day-01.md"),
            "six things to try, ten minutes".to_owned(),
        ],
        [
            format!("edit {dir}/build-sheet.yaml"),
            "then your own vehicle, days and crew; also plan.md and parts.yaml".to_owned(),
        ],
        [
            format!("shimbook morning {dir}"),
            "on the second day: its log with that day's jobs".to_owned(),
        ],
    ];
    let rows: Vec<Vec<String>> = rows.into_iter().map(|row| row.to_vec()).collect();
    format!(
        "Created a new book in {dir}. Next:\n{}",
        terminal::columns(&rows, &[])
    )
}
