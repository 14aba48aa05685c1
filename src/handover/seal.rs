//! The seal: what was handed over, byte for byte.
//!
//! In: files by path and what the handover is about. Out: `seal.json`, and `SHA256SUMS` for anybody
//! with `sha256sum`.
//!
//! Of the crew's own files the seal holds one hash over all of them: the hash of a short file by
//! itself could be found by trying what may stand in it. A seal shows that nothing was changed
//! since; whoever changes a file and makes a new seal is found out only by the seal's own hash,
//! which `handover` prints: give it by another way.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

use crate::io::{SEAL, Sizes, hex};
use crate::render::Pages;

/// The same hashes for `sha256sum --check SHA256SUMS`.
pub const SUMS: &str = "SHA256SUMS";
/// Which shape of seal it is.
const SHAPE: &str = "shimbook seal 1";

/// A seal.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Seal {
    /// `shimbook seal 1`
    pub shape: String,
    /// The program's version.
    pub version: String,
    /// What is built.
    pub title: String,
    /// The date of day 1; seals of earlier versions do not have it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub start: Option<String>,
    /// The latest day with a log.
    pub day: u32,
    /// Its date.
    pub date: String,
    /// Whom it was handed over to.
    pub audience: String,
    /// Who handed it over with lines on hold or checks out of limits.
    pub as_is: Option<String>,
    /// What a seal is not.
    pub says: String,
    /// One SHA-256 over the crew's own files, by path: of the lines that `sha256sum` prints of
    /// them.
    pub sources: String,
    /// Every file handed over but the seal and `SHA256SUMS`.
    pub files: BTreeMap<String, Sealed>,
    /// SHA-256 of this document with nothing here.
    pub seal: String,
}

/// A sealed file.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Sealed {
    /// SHA-256, in hex.
    pub sha256: String,
    /// How many bytes it holds.
    pub bytes: u64,
}

impl Seal {
    /// The document.
    pub fn bytes(&self) -> Result<Vec<u8>, serde_json::Error> {
        let mut bytes = serde_json::to_vec_pretty(self)?;
        bytes.push(b'\n');
        Ok(bytes)
    }

    /// Reads a document; `None` where it is no seal of ours, or was changed.
    pub fn read(bytes: &[u8]) -> Option<Self> {
        let seal: Self = serde_json::from_slice(bytes).ok()?;
        let as_made = seal.clone().closed().ok()?;
        (seal.shape == SHAPE && seal.seal == as_made.seal && seal.bytes().ok()? == bytes)
            .then_some(seal)
    }

    fn closed(mut self) -> Result<Self, serde_json::Error> {
        self.seal.clear();
        self.seal = hash(&self.bytes()?);
        Ok(self)
    }

    /// How many bytes each file of the handover holds, the seal and `SHA256SUMS` too.
    pub fn sizes(&self) -> Result<Sizes, serde_json::Error> {
        let mut sizes: Sizes = self
            .files
            .iter()
            .map(|(path, sealed)| (path.clone(), sealed.bytes))
            .collect();
        sizes.insert(SEAL.to_owned(), self.bytes()?.len() as u64);
        sizes.insert(SUMS.to_owned(), self.sums()?.len() as u64);
        Ok(sizes)
    }

    /// The lines of `SHA256SUMS`.
    pub fn sums(&self) -> Result<String, serde_json::Error> {
        let mut all: BTreeMap<&str, String> = self
            .files
            .iter()
            .map(|(path, sealed)| (path.as_str(), sealed.sha256.clone()))
            .collect();
        all.insert(SEAL, hash(&self.bytes()?));
        Ok(all
            .iter()
            .flat_map(|(path, hash)| [hash.as_str(), "  ", *path, "\n"])
            .collect())
    }
}

/// Seals files: what is said of the handover comes in `about`, whose `files` and `seal` are filled
/// here.
pub fn seal(files: &mut Pages, about: Seal) -> Result<Seal, serde_json::Error> {
    let sealed = |bytes: &Vec<u8>| Sealed {
        sha256: hash(bytes),
        bytes: bytes.len() as u64,
    };
    let of_files = files
        .iter()
        .map(|(path, bytes)| (path.clone(), sealed(bytes)))
        .collect();
    let seal = Seal {
        files: of_files,
        shape: SHAPE.to_owned(),
        ..about
    }
    .closed()?;
    files.insert(SUMS.to_owned(), seal.sums()?.into_bytes());
    files.insert(SEAL.to_owned(), seal.bytes()?);
    Ok(seal)
}

/// SHA-256 in hex.
pub fn hash(bytes: &[u8]) -> String {
    hex(&Sha256::digest(bytes))
}

/// One hash over files by path: of the lines that `sha256sum` prints of them, in the order of their
/// paths.
pub fn over_all<'a>(files: impl IntoIterator<Item = (&'a str, &'a [u8])>) -> String {
    let files: BTreeMap<&str, &[u8]> = files.into_iter().collect();
    let mut lines = String::new();
    for (path, bytes) in files {
        lines.push_str(&format!("{}  {path}\n", hash(bytes)));
    }
    hash(lines.as_bytes())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn about() -> Seal {
        Seal {
            shape: String::new(),
            version: "0".to_owned(),
            title: "x".to_owned(),
            start: None,
            day: 1,
            date: "2031-05-02".to_owned(),
            audience: "audience".to_owned(),
            as_is: None,
            says: String::new(),
            sources: String::new(),
            files: BTreeMap::new(),
            seal: String::new(),
        }
    }

    #[test]
    fn a_seal_reads_back_and_one_that_was_written_in_does_not() {
        let mut files = Pages::from([("a.html".to_owned(), b"abc".to_vec())]);
        let made = seal(&mut files, about()).unwrap();
        assert_eq!(Seal::read(&files[SEAL]), Some(made.clone()));
        assert_eq!(
            made.files["a.html"].sha256,
            "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
        );
        let text = String::from_utf8(files[SEAL].clone()).unwrap();
        assert_eq!(
            Seal::read(text.replace("\"day\": 1", "\"day\": 2").as_bytes()),
            None
        );
        assert_eq!(Seal::read(text.replace('\n', "").as_bytes()), None);
        assert_eq!(Seal::read(b"{}"), None);
    }
}
