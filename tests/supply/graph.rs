//! The graph of crates as Cargo knows it.
//!
//! In: the workspace's `Cargo.toml` and `Cargo.lock`. Out: every crate of it, with licence, source
//! and what it asks for.

use std::path::Path;
use std::process::Command;

use serde::Deserialize;

/// The whole of it.
#[derive(Deserialize)]
pub(crate) struct Graph {
    pub(crate) packages: Vec<Package>,
    workspace_members: Vec<String>,
}

/// One crate.
#[derive(Deserialize)]
pub(crate) struct Package {
    id: String,
    pub(crate) name: String,
    pub(crate) version: String,
    pub(crate) license: Option<String>,
    pub(crate) source: Option<String>,
    pub(crate) manifest_path: String,
    pub(crate) dependencies: Vec<Asked>,
}

/// What a crate asks for.
#[derive(Deserialize)]
pub(crate) struct Asked {
    pub(crate) name: String,
    pub(crate) req: String,
    pub(crate) source: Option<String>,
}

impl Graph {
    /// Asks Cargo; `None`, with words, where crates of the tests are not on this machine and cannot
    /// be fetched.
    pub(crate) fn read() -> Option<Self> {
        let home = Path::new(env!("CARGO_MANIFEST_DIR"));
        let mut command = Command::new(env!("CARGO"));
        command
            .args(["metadata", "--locked", "--format-version", "1"])
            .current_dir(home);
        let output = command.output().expect("Cargo can be run");
        let said = String::from_utf8_lossy(&output.stderr);
        if !output.status.success() && said.contains("download") {
            eprintln!("skipped: not every crate is here, and none can be fetched: {said}");
            return None;
        }
        assert!(output.status.success(), "{said}");
        Some(serde_json::from_slice(&output.stdout).expect("Cargo tells of its graph"))
    }

    /// The crates of this workspace.
    pub(crate) fn ours(&self) -> impl Iterator<Item = &Package> {
        self.packages
            .iter()
            .filter(|package| self.workspace_members.contains(&package.id))
    }
}
