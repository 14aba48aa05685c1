//! Whole commands, run as anybody runs them: exit status, both outputs, the files written.
//!
//! In: the small books of `books/`. Out: tests; most hold a command against a file of `snapshots/`,
//! which `SHIMBOOK_SNAPSHOTS=refresh cargo test --test commands` writes anew. Read the difference
//! before it is kept.
#![allow(clippy::disallowed_methods, reason = "tests read and write files")]

mod documents;
mod readme;
mod shop;
mod snapshots;

use shop::Shop;

/// The commands that `--help` lists.
fn commands() -> Vec<String> {
    let help = Shop::open().run("--help").stdout;
    let (_, rest) = help.split_once("Commands:\n").expect("commands are listed");
    let lines = rest.lines().take_while(|line| !line.is_empty());
    // A long description goes on in the next line, further in.
    let first = lines
        .filter_map(|line| line.strip_prefix("  "))
        .filter(|line| !line.starts_with(' '));
    first
        .filter_map(|line| line.split_whitespace().next().map(str::to_owned))
        .filter(|name| name != "help")
        .collect()
}

#[test]
fn the_help_of_each_command_shows_one_real_example() {
    assert!(commands().len() >= 5, "{:?}", commands());
    for command in commands() {
        let help = Shop::open().run(&format!("{command} --help"));
        let examples: Vec<&str> = help
            .stdout
            .lines()
            .filter_map(|line| line.strip_prefix("Example: "))
            .collect();
        assert!(
            help.status == 0
                && examples.len() == 1
                && examples[0].starts_with(&format!("shimbook {command} ")),
            "{command}: {examples:?}"
        );
    }
}

#[test]
fn a_command_that_is_not_known_could_not_run() {
    let ran = Shop::open().run("chekc good");
    assert_eq!((ran.status, ran.stdout.as_str()), (2, ""));
    assert!(ran.stderr.contains("check"), "{}", ran.stderr);
}

#[test]
fn a_reader_who_goes_away_is_no_failure() {
    for line in [
        "formulas",
        "formulas shaft_critical_speed",
        "check good --format sarif",
        "tally good",
        "writeup good",
        "--help",
    ] {
        let ran = Shop::open().sh(&format!(
            "( sleep 0.1; shimbook {line}; echo status $? >&2 ) | true"
        ));
        assert_eq!(ran.stderr, "status 0\n", "{line}");
    }
    let first = Shop::open().sh("shimbook formulas | head -n 1");
    assert_eq!(
        (first.stdout.lines().count(), first.stderr.as_str()),
        (1, "")
    );
}

#[test]
fn colours_are_for_a_terminal_and_never_where_no_color_is_set() {
    let shop = Shop::open();
    let printed = |names: &[&str], args: &[&str]| {
        let mut program = shop.program();
        let output = program
            .args(args)
            .envs(names.iter().map(|name| (name, "1")))
            .output()
            .expect("the program runs");
        [output.stdout, output.stderr].concat()
    };
    for args in [
        &["check", "bad"][..],
        &["tally", "good"],
        &["writeup", "good"],
        &["formulas"],
        &["check", "nowhere"],
    ] {
        let coloured = |names| printed(names, args).contains(&0x1b);
        assert!(
            coloured(&["CLICOLOR_FORCE"]),
            "{args:?} has colours where they are asked for"
        );
        assert!(!coloured(&[]), "{args:?} into a pipe");
        assert!(
            !coloured(&["CLICOLOR_FORCE", "NO_COLOR"]),
            "{args:?} with NO_COLOR"
        );
    }
}

#[test]
fn the_book_is_found_from_a_folder_inside_it() {
    let shop = Shop::open();
    let inside = shop
        .program()
        .current_dir(shop.path().join("good/days"))
        .args(["check"])
        .output()
        .expect("runs");
    assert_eq!(
        String::from_utf8(inside.stdout).expect("UTF-8"),
        shop.run("check good").stdout
    );
}

#[test]
fn what_start_writes_can_be_written_up_at_once_and_starts_without_a_word_against_it() {
    let shop = Shop::open();
    assert_eq!(shop.run("start new").status, 0);
    let check = shop.run("check new --format json");
    let document: serde_json::Value = serde_json::from_str(&check.stdout).expect("JSON");
    assert_eq!(
        (check.status, &document["errors"], &document["warnings"]),
        (0, &0.into(), &0.into())
    );
    assert_eq!(shop.run("writeup new").status, 0);
    assert!(shop.path().join("new/record/index.html").is_file());
}

#[test]
fn what_start_writes_teaches_every_part_of_the_format() {
    let shop = Shop::open();
    shop.run("start new");
    let text: String = shop
        .files("new")
        .iter()
        .map(|file| std::fs::read_to_string(shop.path().join("new").join(file)).expect("text"))
        .collect();
    let taught = [
        "# ", "- [x]", "```sums", "```parts", "measured", "±", "between", "takes", "took", "needs",
        "follows", "caution", "held up:", "ordered", "targets", "judge",
    ];
    for word in taught {
        assert!(text.contains(word), "{word}");
    }
}

#[test]
fn what_the_first_log_says_one_can_try_comes_out_as_it_says() {
    let tries = [
        (
            &[("spacer     = 12 mm", "spacer     = 13 mm")][..],
            "check new",
            "play  out of limits",
        ),
        (
            &[
                ("14.2 ± 0.1 mm", "13.0 ± 0.6 mm"),
                ("spacer     = 12 mm", "spacer     = 10.5 mm"),
            ],
            "check new",
            "play  too close",
        ),
        (
            &[(
                "between 1.5 and 3 mm\nkerb",
                "between 1.5 and 3 mm, hold\nkerb",
            )],
            "tally new",
            "play  in limits on paper: measure it",
        ),
        (
            &[("spacer     = 12 mm", "choose spacer from 8 to 14 mm")],
            "workings spacer new",
            "window 11.3 to 12.6\u{202f}mm",
        ),
        (
            &[("14.2 ± 0.1 mm", "14.2 ± 0.1 kg")],
            "check new",
            "Expected  a mass",
        ),
        (&[], "morning new", "1 carried"),
    ];
    for (changes, command, wanted) in tries {
        let shop = Shop::open();
        shop.run("start new");
        let path = shop.path().join("new/days/day-01.md");
        let mut log = std::fs::read_to_string(&path).expect("text");
        for (was, is) in changes {
            assert!(log.contains(was), "{was}");
            log = log.replacen(was, is, 1);
        }
        std::fs::write(&path, log).expect("written");
        let ran = shop.run(command);
        assert!(
            ran.stdout.contains(wanted),
            "{changes:?}: no {wanted} in\n{}{}",
            ran.stdout,
            ran.stderr
        );
    }
}

#[test]
fn a_value_and_its_book_in_the_wrong_order_are_told_apart() {
    let shop = Shop::open();
    let ran = shop.run("workings good plate");
    assert_eq!(ran.status, 2);
    assert!(
        ran.stderr
            .contains("the value comes first, then the book\n  shimbook workings plate good"),
        "{}",
        ran.stderr
    );
}

#[test]
fn a_window_that_does_not_exist_is_status_1_though_it_is_only_a_warning() {
    let shop = Shop::open();
    let sums = "---\nday: 3\n---\n```sums\nfree = 20 mm - plate\nfree at least 6 mm\nplate at least 15 mm\nchoose plate from 10 to 18 mm\n```\n";
    std::fs::write(shop.path().join("good/days/day-03.md"), sums).expect("written");
    let ran = shop.run("check good --format lines");
    assert_eq!(
        (
            ran.status,
            ran.stdout
                .contains("warning: nothing from 10 mm to 18 mm fits for `plate`")
        ),
        (1, true),
        "{}",
        ran.stdout
    );
}

#[test]
fn a_log_that_is_a_link_out_of_the_book_is_refused() {
    let shop = Shop::open();
    std::fs::write(shop.path().join("secret.md"), "---\nday: 3\n---\nSECRET\n").expect("written");
    std::os::unix::fs::symlink("../../secret.md", shop.path().join("good/days/day-03.md"))
        .expect("linked");
    let ran = shop.run("check good --format lines");
    assert_eq!(ran.status, 1);
    assert!(
        ran.stdout
            .contains("days/day-03.md:1:1: error: this link leads outside the book's folder"),
        "{}",
        ran.stdout
    );
    shop.run("writeup good");
    let record = shop.files("good/record").iter().any(|file| {
        std::fs::read(shop.path().join("good/record").join(file))
            .is_ok_and(|bytes| bytes.windows(6).any(|w| w == b"SECRET"))
    });
    assert!(!record);
}

#[test]
fn bytes_that_are_not_utf_8_are_an_error_at_their_place() {
    let shop = Shop::open();
    std::fs::write(shop.path().join("good/plan.md"), b"# Plan\n\nstra\xffe\n").expect("written");
    let ran = shop.run("check good --format lines");
    assert!(
        ran.stdout
            .contains("plan.md:3:5: error: this byte is not UTF-8 text"),
        "{}",
        ran.stdout
    );
}

#[test]
fn a_file_beyond_measure_is_not_read() {
    let shop = Shop::open();
    let file = std::fs::File::create(shop.path().join("good/parts.yaml")).expect("made");
    file.set_len(5 * 1024 * 1024).expect("grown");
    let ran = shop.run("check good --format lines");
    assert!(
        ran.stdout
            .contains("parts.yaml:1:1: error: this file is larger than 4 MiB and is not read"),
        "{}",
        ran.stdout
    );
}

#[test]
fn a_photo_that_is_not_there_is_told_with_the_nearest() {
    let shop = Shop::open();
    std::fs::create_dir_all(shop.path().join("good/photos")).expect("made");
    std::fs::write(shop.path().join("good/photos/axle.png"), "").expect("written");
    std::fs::write(
        shop.path().join("good/days/day-03.md"),
        "---\nday: 3\n---\n![axle](photos/axel.png)\n",
    )
    .expect("written");
    let ran = shop.run("check good --format json");
    let document: serde_json::Value = serde_json::from_str(&ran.stdout).expect("JSON");
    let said = &document["diagnostics"][0];
    assert_eq!(
        (&said["slug"], &said["instead"]),
        (&"no-photo".into(), &"photos/axle.png".into())
    );
}
