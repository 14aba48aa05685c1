//! Two terminals at once.

use std::process::Stdio;

use crate::shop::Book;

#[test]
fn runs_into_one_new_folder_at_once_all_end_well_and_leave_a_whole_record() {
    let alone = Book::new();
    alone.write_up();
    for _ in 0..3 {
        let book = Book::new();
        let quiet = |_| {
            book.command("writeup")
                .stdout(Stdio::null())
                .stderr(Stdio::piped())
                .spawn()
                .unwrap()
        };
        for run in (0..4).map(quiet).collect::<Vec<_>>() {
            let output = run.wait_with_output().unwrap();
            assert!(
                output.status.code().is_some_and(|code| code < 2),
                "{output:?}"
            );
        }
        assert_eq!(book.record(), alone.record());
    }
}

#[test]
fn mornings_at_once_make_one_day_and_say_so_to_the_others() {
    for _ in 0..3 {
        let book = Book::new();
        let before = book.sources();
        let quiet = |_| {
            book.command("morning")
                .stdout(Stdio::piped())
                .stderr(Stdio::piped())
                .spawn()
                .unwrap()
        };
        let runs: Vec<_> = (0..6).map(quiet).collect::<Vec<_>>();
        let outputs: Vec<_> = runs
            .into_iter()
            .map(|run| run.wait_with_output().unwrap())
            .collect();
        let wrote = outputs
            .iter()
            .filter(|output| output.status.code() == Some(0))
            .count();
        assert_eq!(wrote, 1, "{outputs:?}");
        for other in outputs
            .iter()
            .filter(|output| output.status.code() != Some(0))
        {
            assert_eq!(other.status.code(), Some(2));
            assert!(
                String::from_utf8_lossy(&other.stderr).contains("exists already"),
                "{other:?}"
            );
        }
        let after = book.sources();
        assert_eq!(after.len(), before.len() + 1);
        assert!(
            before
                .iter()
                .all(|(path, bytes)| after.get(path) == Some(bytes))
        );
    }
}
