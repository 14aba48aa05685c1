//! What the documents say of what is built, held against it.

use std::path::Path;

use crate::graph::Graph;

fn read(path: &str) -> String {
    std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(path))
        .expect("the file is there")
}

#[test]
fn every_dependency_has_its_reason_in_the_table_for_developers() {
    let Some(graph) = Graph::read() else { return };
    let told = read("DEVELOPERS.md");
    let (_, table) = told
        .split_once("## Why each dependency is there")
        .expect("the table is there");
    let mut cells: Vec<Vec<&str>> = table
        .lines()
        .map(|line| line.split('|').map(str::trim).collect())
        .collect();
    cells.retain(|cells| cells.len() == 4 && !cells[2].is_empty());
    for asked in graph
        .ours()
        .flat_map(|package| &package.dependencies)
        .filter(|asked| asked.source.is_some())
    {
        let name = |cell: &str| cell.split([',', ' ']).any(|word| word == asked.name);
        assert!(
            cells.iter().any(|cells| name(cells[1])),
            "DEVELOPERS.md does not say why {} is there",
            asked.name
        );
    }
}

/// What builds something.
const BUILDS: [&str; 8] = [
    "build", "run", "test", "bench", "install", "clippy", "doc", "metadata",
];

#[test]
fn every_command_that_builds_takes_the_crates_as_they_are_locked() {
    for path in [
        "README.md",
        "DEVELOPERS.md",
        ".ci/run",
        ".ci/long",
        "tests/fuzz/run",
    ] {
        for line in read(path).lines() {
            for command in line
                .split("cargo ")
                .skip(1)
                .map(|rest| rest.split('`').next().unwrap_or_default())
            {
                let builds = BUILDS
                    .iter()
                    .any(|word| command.split(' ').next() == Some(word));
                assert!(
                    !builds || command.contains("--locked") || command.ends_with("--version"),
                    "{path}: {line}"
                );
            }
        }
    }
}
