//! `verify`: is a handover as it was sealed?

use std::path::PathBuf;

use clap::Args;

use super::terminal::{self, BOLD};
use super::{Done, Status};
use crate::diagnostics::render::visible;
use crate::handover::{UNCHANGED, verify_at};

/// Compare a handover with its seal, file by file.
///
/// Names each file that is missing, added or changed, and ends with status 1 where there is one. A
/// zip must be the one that handover wrote, byte for byte; if another program packed it again,
/// unpack it and verify the folder. It does not tell whether a vehicle is fit for anything.
#[derive(Debug, Args)]
#[command(after_help = "Example: shimbook verify /tmp/kittiwake")]
pub(super) struct Verify {
    /// Folder or zip of a handover
    handover: PathBuf,
}

impl Verify {
    pub(super) fn run(self) -> Done {
        let verified = verify_at(&self.handover)?;
        let mut text: String = verified
            .wrong
            .iter()
            .flat_map(|line| [line.as_str(), "\n"])
            .collect();
        if let Some(seal) = &verified.seal {
            let of = format!(
                "{}, day {}, for {}",
                visible(&seal.title),
                seal.day,
                visible(&seal.audience)
            );
            text.push_str(&format!(
                "{BOLD}{of}{BOLD:#}: {} files sealed\n",
                seal.files.len()
            ));
        }
        if !verified.hash.is_empty() {
            text.push_str(&format!("SHA-256 of seal.json: {}\n", verified.hash));
        }
        let fine = verified.wrong.is_empty();
        text.push_str(if fine {
            UNCHANGED
        } else {
            "Changed since it was sealed"
        });
        text.push('\n');
        terminal::print(&text)?;
        Ok(if fine { Status::Fine } else { Status::Wrong })
    }
}
