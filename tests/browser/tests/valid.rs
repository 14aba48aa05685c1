//! HTML that a validator has nothing to say about.

use std::process::Command;

use shimbook_in_a_browser::{html_pages, npm, record, skipped};

fn what_the_validator_says(theme: &str) -> Option<String> {
    let Some(validator) = npm("vnu-jar/build/dist/vnu.jar") else {
        skipped("vnu-jar is not there: npm ci in tests/browser");
        return None;
    };
    // One call for all pages: it takes longer to start than to read them.
    let said = Command::new("java").arg("-jar").arg(validator).args(html_pages(&record(theme))).output();
    let Ok(said) = said else {
        skipped("java is not installed");
        return None;
    };
    Some(String::from_utf8_lossy(&said.stderr).into_owned())
}

#[test]
fn every_page_is_valid_html_in_paper() {
    assert_eq!(what_the_validator_says("paper").unwrap_or_default(), "");
}

#[test]
fn every_page_is_valid_html_in_apron() {
    assert_eq!(what_the_validator_says("apron").unwrap_or_default(), "");
}
