//! Every place of a record says the same of the same thing, and says what is true.
//!
//! Random books are written up and exported in one process. What each place
//! says is compared with facts that `facts.rs` computes from the text alone, and with what the
//! other places say.

mod books;
#[path = "../cases/mod.rs"]
mod cases;
mod checks;
mod facts;
mod places;
mod random;
mod shop;

/// The books of a full run.
const BOOKS: u64 = 300;

/// Runs a test on every book, a panic naming the seed.
fn on_every_book(test: impl Fn(&[(String, String)], &places::Written) + Sync) {
    let theme = shimbook::render::Theme::built_in().unwrap();
    cases::of_each("agree", BOOKS, |seed| {
        let texts = books::book(seed);
        let written = places::Written::of(&texts, &theme);
        let errors: Vec<&str> = written
            .build
            .diagnostics
            .iter()
            .filter(|found| found.severity == shimbook::diagnostics::Severity::Error)
            .map(|found| found.message.as_str())
            .collect();
        assert!(
            errors.is_empty(),
            "the book of seed {seed} has errors: {errors:?}\n{texts:#?}"
        );
        test(&texts, &written);
    });
}
