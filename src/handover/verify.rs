//! Is a handover as it was sealed?
//!
//! In: what stands in a folder or a zip, hashed as it lies there, and its seal. Out: every file that is missing, added
//! or changed. No path of a seal is ever opened: paths are only held against what was found.

use std::collections::BTreeMap;

use super::seal::{self, SEAL, SUMS, Seal};
use crate::desk::{Found, Lies};

/// How a handover stands to its seal.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Verified {
    /// The seal, where it can be read.
    pub seal: Option<Seal>,
    /// SHA-256 of the seal's file.
    pub hash: String,
    /// What is wrong, a line each, by path: `missing days/day-01.html`.
    pub wrong: Vec<String>,
}

/// Holds what lies in a folder or a zip against the seal there.
pub fn verify(lies: &Lies) -> Verified {
    let found = &lies.found;
    let Some(bytes) = lies.seal.as_deref() else {
        return Verified { wrong: vec![format!("missing {SEAL}")], ..Verified::default() };
    };
    let hash = seal::hash(bytes);
    let Some(read) = Seal::read(bytes) else {
        return Verified {
            wrong: vec![format!("changed {SEAL}: it is no seal, or no longer the one that was made")],
            hash,
            seal: None,
        };
    };
    let mut wrong = BTreeMap::new();
    for (path, sealed) in &read.files {
        match found.get(path) {
            None => drop(wrong.insert(path.clone(), format!("missing {}", shown(path)))),
            Some(Found::Other(what)) => {
                drop(wrong.insert(path.clone(), format!("changed {}: now {what}", shown(path))))
            }
            Some(Found::File(hash, bytes)) if (hash, bytes) != (&sealed.sha256, &sealed.bytes) => {
                wrong.insert(path.clone(), format!("changed {}", shown(path)));
            }
            Some(Found::File(..)) => {}
        }
    }
    match (found.get(SUMS), read.sums()) {
        (None, _) => drop(wrong.insert(SUMS.to_owned(), format!("missing {SUMS}"))),
        (Some(Found::File(hash, _)), Ok(sums)) if *hash == seal::hash(sums.as_bytes()) => {}
        _ => drop(wrong.insert(SUMS.to_owned(), format!("changed {SUMS}"))),
    }
    for path in found.keys().filter(|path| ![SEAL, SUMS].contains(&path.as_str()) && !read.files.contains_key(*path)) {
        wrong.insert(path.clone(), format!("added {}", shown(path)));
    }
    Verified { seal: Some(read), hash, wrong: wrong.into_values().collect() }
}

/// A path as a line of text: signs that would move the writing are told by their number.
fn shown(path: &str) -> String {
    let plain =
        |c: char| !c.is_control() && !('\u{202a}'..='\u{202e}').contains(&c) && !('\u{2066}'..='\u{2069}').contains(&c);
    path.chars().map(|c| if plain(c) { c.to_string() } else { c.escape_unicode().to_string() }).collect()
}
