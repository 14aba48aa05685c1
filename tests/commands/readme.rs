//! What the README says of the commands.

use std::path::Path;

fn read(path: &str) -> String {
    std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(path))
        .expect("the file is there")
}

#[test]
fn the_readme_lists_every_command() {
    let readme = read("README.md");
    for command in crate::commands() {
        assert!(
            readme.contains(&format!("| `shimbook {command} ")),
            "the README's table has no row for {command}"
        );
    }
}

#[test]
fn the_readme_has_the_two_commands_that_ci_runs() {
    let readme = read("README.md");
    for (mark, command) in [
        (
            "<!-- command: writeup -->",
            "$ cargo run --locked --release -- writeup book-example",
        ),
        ("<!-- command: tests -->", "$ cargo test --locked"),
    ] {
        let (_, after) = readme
            .split_once(mark)
            .expect("the mark stands in the README");
        assert!(
            after
                .trim_start()
                .starts_with(&format!("```console\n{command}\n```")),
            "{mark}"
        );
    }
}
