//! Pages stay light: what every page brings with it, and a day's page by itself.

use shimbook::render::{SCRIPT_TEXT, Theme};

use crate::written::Book;

/// Bytes of style sheets and scripts together, before they are compressed.
const MOST_WITH_A_PAGE: usize = 60_000;
/// Bytes of a day's page of the example book, photos apart.
const MOST_OF_A_DAY: usize = 150_000;

#[test]
fn style_sheets_and_scripts_of_every_theme_stay_within_sixty_kilobytes() {
    let wall = include_str!("../../src/wall/wall.js");
    for name in Theme::names() {
        let theme = Theme::named(name)
            .expect("it is built in")
            .expect("it holds");
        let sheets = [theme.style(), theme.wall_style(), theme.print_style()];
        let all: usize = sheets
            .into_iter()
            .chain([SCRIPT_TEXT, wall])
            .map(str::len)
            .sum();
        assert!(all <= MOST_WITH_A_PAGE, "{name}: {all} bytes");
    }
}

#[test]
fn a_days_page_of_the_example_stays_within_a_hundred_and_fifty_kilobytes() {
    let book = Book::example();
    book.write_up();
    let days: Vec<(String, usize)> = book
        .record()
        .into_iter()
        .filter(|(path, _)| path.starts_with("days/"))
        .map(|(path, bytes)| (path, bytes.len()))
        .collect();
    assert!(days.len() > 7);
    let heavy: Vec<_> = days
        .iter()
        .filter(|(_, size)| *size > MOST_OF_A_DAY)
        .collect();
    assert!(heavy.is_empty(), "{heavy:?}");
}
