//! The graph, held against `deny.toml`.

use std::path::Path;

use serde::Deserialize;
use spdx::{Expression, LicenseReq, ParseMode};

use crate::graph::{Graph, Package};

const CRATES_IO: &str = "registry+https://github.com/rust-lang/crates.io-index";

#[derive(Deserialize)]
struct Rules {
    licenses: Licences,
    bans: Bans,
    sources: Sources,
}

#[derive(Deserialize)]
struct Licences {
    allow: Vec<String>,
    exceptions: Vec<Exception>,
}

#[derive(Deserialize)]
struct Exception {
    #[serde(rename = "crate")]
    name: String,
    allow: Vec<String>,
}

#[derive(Deserialize)]
struct Bans {
    wildcards: String,
    deny: Vec<Ban>,
}

#[derive(Deserialize)]
struct Ban {
    #[serde(rename = "crate")]
    what: String,
}

#[derive(Deserialize)]
#[serde(rename_all = "kebab-case")]
struct Sources {
    unknown_registry: String,
    unknown_git: String,
}

fn rules() -> Rules {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("deny.toml");
    toml::from_str(&std::fs::read_to_string(path).expect("deny.toml is there"))
        .expect("deny.toml holds the rules")
}

impl Licences {
    /// May a crate be used under what it offers?
    fn suit(&self, name: &str, offered: &str) -> bool {
        let Ok(offered) = Expression::parse_mode(offered, ParseMode::LAX) else {
            return false;
        };
        let exceptions = self
            .exceptions
            .iter()
            .filter(|exception| exception.name == name);
        let welcome: Vec<&String> = self
            .allow
            .iter()
            .chain(exceptions.flat_map(|exception| &exception.allow))
            .collect();
        let suits =
            |asked: &LicenseReq| welcome.iter().any(|licence| **licence == asked.to_string());
        offered.evaluate(suits)
    }
}

impl Ban {
    /// `name:>=12`: the name, and the first major version that is not welcome.
    fn bars(&self, package: &Package) -> bool {
        let (name, from) = self
            .what
            .split_once(":>=")
            .expect("a ban says from which version on");
        let major = |version: &str| {
            version
                .split('.')
                .next()
                .and_then(|major| major.parse::<u32>().ok())
        };
        package.name == name && major(&package.version) >= major(from)
    }
}

#[test]
fn every_crate_has_a_licence_that_is_welcome() {
    let Some(graph) = Graph::read() else { return };
    let licences = rules().licenses;
    for package in &graph.packages {
        let offered = package.license.as_deref().unwrap_or_default();
        assert!(
            licences.suit(&package.name, offered),
            "{} {} is under {offered:?}",
            package.name,
            package.version
        );
    }
}

#[test]
fn licences_are_weighed_as_their_words_say() {
    let licences = rules().licenses;
    for (offered, suits) in [
        ("MIT", true),
        ("MIT/Apache-2.0", true),
        ("GPL-3.0-only OR MIT", true),
        ("GPL-3.0-only AND MIT", false),
        ("AGPL-3.0-only", false),
        ("(MIT OR Apache-2.0) AND NCSA", false),
        ("Apache-2.0 WITH LLVM-exception", false),
        ("", false),
    ] {
        assert_eq!(licences.suit("any", offered), suits, "{offered}");
    }
    assert!(licences.suit("libfuzzer-sys", "(MIT OR Apache-2.0) AND NCSA"));
}

#[test]
fn every_crate_comes_from_the_public_registry_or_from_here() {
    let Some(graph) = Graph::read() else { return };
    let sources = rules().sources;
    assert_eq!(
        (
            sources.unknown_registry.as_str(),
            sources.unknown_git.as_str()
        ),
        ("deny", "deny")
    );
    for package in &graph.packages {
        let is_here = || Path::new(&package.manifest_path).starts_with(env!("CARGO_MANIFEST_DIR"));
        let welcome = package
            .source
            .as_ref()
            .map_or_else(is_here, |source| source == CRATES_IO);
        assert!(welcome, "{} comes from {:?}", package.name, package.source);
    }
}

#[test]
fn no_crate_is_one_that_is_banned_and_none_is_asked_for_in_any_version() {
    let Some(graph) = Graph::read() else { return };
    let bans = rules().bans;
    assert_eq!(bans.wildcards, "deny");
    for package in &graph.packages {
        assert!(
            !bans.deny.iter().any(|ban| ban.bars(package)),
            "{} {} is banned",
            package.name,
            package.version
        );
    }
    for asked in graph.ours().flat_map(|package| &package.dependencies) {
        assert!(
            asked.source.is_none() || asked.req != "*",
            "{} is asked for in any version",
            asked.name
        );
    }
}

#[test]
fn the_expression_parser_would_be_barred_from_its_change_of_licence_on() {
    let package = |version: &str| -> Package {
        let text = format!(
            r#"{{"id":"x","name":"evalexpr","version":"{version}","manifest_path":"x","dependencies":[]}}"#
        );
        serde_json::from_str(&text).expect("it is a package")
    };
    let bans = rules().bans;
    let barred = |version| bans.deny.iter().any(|ban| ban.bars(&package(version)));
    assert_eq!(
        [barred("11.3.1"), barred("12.0.0"), barred("13.1.0")],
        [false, true, true]
    );
}
