//! Is a handover as it was sealed?
//!
//! In: what stands in a folder or a zip, hashed as it lies there, and its seal. Out: every file that is missing, added
//! or changed. No path of a seal is ever opened: paths are only held against what was found.

use std::collections::BTreeMap;

use super::seal::{self, SUMS, Seal, Sealed};
use crate::desk::{Found, Lies, SEAL};

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
    let mut wrong: BTreeMap<&str, String> = BTreeMap::new();
    for (path, sealed) in &read.files {
        wrong.extend(unlike(path, found.get(path), sealed).map(|line| (path.as_str(), line)));
    }
    wrong.extend(wrong_sums(&read, found.get(SUMS)).map(|line| (SUMS, line)));
    let known = |path: &str| [SEAL, SUMS].contains(&path) || read.files.contains_key(path);
    let added = found.keys().filter(|path| !known(path));
    wrong.extend(added.map(|path| (path.as_str(), format!("added {}", shown(path)))));
    let wrong = wrong.into_values().collect();
    Verified { seal: Some(read), hash, wrong }
}

/// How a file differs from what was sealed.
fn unlike(path: &str, found: Option<&Found>, sealed: &Sealed) -> Option<String> {
    match found {
        None => Some(format!("missing {}", shown(path))),
        Some(Found::Other(what)) => Some(format!("changed {}: now {what}", shown(path))),
        Some(Found::File(hash, bytes)) => {
            let same = (hash, bytes) == (&sealed.sha256, &sealed.bytes);
            (!same).then(|| format!("changed {}", shown(path)))
        }
    }
}

fn wrong_sums(seal: &Seal, found: Option<&Found>) -> Option<String> {
    match (found, seal.sums()) {
        (None, _) => Some(format!("missing {SUMS}")),
        (Some(Found::File(hash, _)), Ok(sums)) if *hash == seal::hash(sums.as_bytes()) => None,
        _ => Some(format!("changed {SUMS}")),
    }
}

/// A path as a line of text: signs that would move the writing are told by their number.
fn shown(path: &str) -> String {
    let plain =
        |c: char| !c.is_control() && !('\u{202a}'..='\u{202e}').contains(&c) && !('\u{2066}'..='\u{2069}').contains(&c);
    path.chars().map(|c| if plain(c) { c.to_string() } else { c.escape_unicode().to_string() }).collect()
}
