//! The last text of each file that could be read, kept beside a record.
//!
//! In: the folder of a record. Out: the texts that its last writing worked with, by path. Whatever
//! cannot be read of them is left out: they are only ever used where the book itself cannot be
//! read.

use std::path::Path;
use std::sync::Arc;

use super::files::{LastTexts, is_log};
use super::folder::{LARGE, PARTS, PLAN, SHEET, SMALL};
use super::plain_files::{self, PathKind};
use crate::source::SourceFile;

/// The folder inside a record that holds them, each under its path in the book.
pub const LAST: &str = ".shimbook-last";

/// The texts that were written beside the record in a folder; none where there are none.
pub fn last_texts(record: &Path) -> LastTexts {
    let folder = record.join(LAST);
    let is_ours = folder.symlink_metadata().is_ok_and(|about| about.is_dir());
    let Some(root) = folder.canonicalize().ok().filter(|_| is_ours) else {
        return LastTexts::new();
    };
    let names = std::fs::read_dir(root.join("days"))
        .into_iter()
        .flatten()
        .flatten();
    let logs = names.filter_map(|entry| Some(format!("days/{}", entry.file_name().to_str()?)));
    let logs = logs.filter(|path| is_log(path)).map(|path| (path, LARGE));
    let all = [SHEET, PARTS, PLAN]
        .map(|path| (path.to_owned(), SMALL))
        .into_iter()
        .chain(logs);
    all.filter_map(|(path, limit)| Some((path.clone(), last_text(&root, path, limit)?)))
        .collect()
}

fn last_text(root: &Path, path: String, limit: u64) -> Option<Arc<SourceFile>> {
    let on_disk = root.join(&path);
    if plain_files::stands(&on_disk, root).ok()? != PathKind::File {
        return None;
    }
    let text = String::from_utf8(plain_files::bytes(&on_disk, limit).ok()??).ok()?;
    Some(Arc::new(SourceFile::new(path, &text)))
}
