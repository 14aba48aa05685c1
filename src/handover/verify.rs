//! Is a handover as it was sealed?
//!
//! In: what is in a folder or a zip, hashed as it lies there, and its seal. Out: every file that is
//! missing, added or changed, and what else is wrong with the zip. No path of a seal is ever
//! opened: paths are only compared with what was found.

use std::collections::BTreeMap;
use std::path::Path;

use super::seal::{self, SUMS, Seal, Sealed};
use crate::diagnostics::render::visible;
use crate::io::{FileError, FoundFile, HandoverFiles, SEAL, SealCheck, Seals, Sizes, look_at};

/// How the desk reads seals.
pub const SEALS: Seals = Seals { sizes, judge };

/// How a handover compares with its seal.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Verified {
    /// The seal, where it can be read.
    pub seal: Option<Seal>,
    /// SHA-256 of the seal's file.
    pub hash: String,
    /// What is wrong, a line each, by path: `missing days/day-01.html`.
    pub wrong: Vec<String>,
}

/// Compares what is at a path, a folder or a zip, with its seal.
pub fn verify_at(path: &Path) -> Result<Verified, FileError> {
    Ok(verify(&look_at(path, sizes)?))
}

fn sizes(seal: &[u8]) -> Sizes {
    Seal::read(seal)
        .and_then(|seal| seal.sizes().ok())
        .unwrap_or_default()
}

fn judge(lies: &HandoverFiles) -> SealCheck {
    let Some(seal) = lies.seal.as_deref().and_then(Seal::read) else {
        return SealCheck::default();
    };
    let found = &lies.found;
    let unchanged = seal
        .files
        .iter()
        .filter(|(path, sealed)| unlike(path, found.get(*path), sealed).is_none());
    let sums = wrong_sums(&seal, found.get(SUMS)).is_none().then_some(SUMS);
    let unchanged = unchanged
        .map(|(path, _)| path.as_str())
        .chain([SEAL])
        .chain(sums)
        .map(str::to_owned);
    SealCheck {
        whole: verify(lies).wrong.is_empty(),
        unchanged: unchanged.collect(),
    }
}

/// Compares what is in a folder or a zip with the seal there.
pub fn verify(lies: &HandoverFiles) -> Verified {
    let found = &lies.found;
    let mut wrong = lies.odd.clone();
    let Some(bytes) = lies.seal.as_deref() else {
        wrong.push(format!("missing {SEAL}"));
        return Verified {
            wrong,
            ..Verified::default()
        };
    };
    let hash = seal::hash(bytes);
    let Some(read) = Seal::read(bytes) else {
        wrong.push(format!(
            "changed {SEAL}: it is not a seal, or no longer the one that was made"
        ));
        return Verified {
            wrong,
            hash,
            seal: None,
        };
    };
    let mut by_path: BTreeMap<&str, String> = BTreeMap::new();
    for (path, sealed) in read
        .files
        .iter()
        .filter(|(path, _)| !lies.cut_short || found.contains_key(*path))
    {
        by_path.extend(unlike(path, found.get(path), sealed).map(|line| (path.as_str(), line)));
    }
    by_path.extend(wrong_sums(&read, found.get(SUMS)).map(|line| (SUMS, line)));
    by_path.extend(added(&read, found));
    wrong.extend(by_path.into_values());
    Verified {
        seal: Some(read),
        hash,
        wrong,
    }
}

/// How a file differs from what was sealed.
fn unlike(path: &str, found: Option<&FoundFile>, sealed: &Sealed) -> Option<String> {
    match found {
        None => Some(format!("missing {}", shown(path))),
        Some(FoundFile::Other(what)) => Some(format!("changed {}: now {what}", shown(path))),
        Some(FoundFile::File { bytes, sha256 }) => {
            let same = *bytes == sealed.bytes && sha256.as_ref() == Some(&sealed.sha256);
            (!same).then(|| format!("changed {}", shown(path)))
        }
    }
}

fn wrong_sums(seal: &Seal, found: Option<&FoundFile>) -> Option<String> {
    match (found, seal.sums()) {
        (None, _) => Some(format!("missing {SUMS}")),
        (
            Some(FoundFile::File {
                sha256: Some(sha256),
                ..
            }),
            Ok(sums),
        ) if *sha256 == seal::hash(sums.as_bytes()) => None,
        _ => Some(format!("changed {SUMS}")),
    }
}

/// What is there that was not sealed.
fn added<'l>(seal: &Seal, found: &'l BTreeMap<String, FoundFile>) -> Vec<(&'l str, String)> {
    let names = || seal.files.keys().map(String::as_str).chain([SEAL, SUMS]);
    let sealed: BTreeMap<String, &str> = names().map(|name| (name.to_lowercase(), name)).collect();
    let line = |(path, found): (&'l String, &FoundFile)| {
        let why = match (found, sealed.get(&path.to_lowercase())) {
            (FoundFile::Other(what), _) => format!(": {what}"),
            (_, Some(twin)) => format!(": only its case differs from {}", shown(twin)),
            _ => String::new(),
        };
        (path.as_str(), format!("added {}{why}", shown(path)))
    };
    let is_sealed = |path: &str| [SEAL, SUMS].contains(&path) || seal.files.contains_key(path);
    found
        .iter()
        .filter(|(path, _)| !is_sealed(path))
        .map(line)
        .collect()
}

/// A path as a line of text. Characters that steer the terminal are shown by their number, and so
/// are marks that join with the letter before them or cannot be seen: with them two different paths
/// look the same.
fn shown(path: &str) -> String {
    let joins = |c: char| matches!(c, '\u{300}'..='\u{36f}' | '\u{200b}'..='\u{200d}' | '\u{2060}');
    let plain: String = path
        .chars()
        .map(|c| {
            if joins(c) {
                c.escape_unicode().to_string()
            } else {
                c.to_string()
            }
        })
        .collect();
    visible(&plain).into_owned()
}
