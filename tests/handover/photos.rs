//! Pictures that are handed over tell nothing but what can be seen.
//!
//! In: a handover of a book whose photos hold words that a camera wrote. Out: what a reader that is
//! not ours finds in them.

use shimbook::handover::{Order, hand_over};
use shimbook::render::Theme;

use crate::book::Made;
use crate::reader::{telling, told};

#[test]
fn a_reader_of_what_files_tell_finds_nothing_in_the_pictures_of_a_handover() {
    let made = Made::new(11, 6);
    let book = made.worked();
    let permissions = book.build.book.sheet.audiences["customer"];
    let order = Order {
        audience: "customer",
        permissions,
        as_is: Some("The signer"),
        sources: String::new(),
    };
    let theme = Theme::built_in().expect("the theme");
    let files = hand_over(&book, &made.prints(&book.build), &theme, &order)
        .expect("made")
        .files;
    let dir = tempfile::tempdir().expect("a folder");
    let pictures: Vec<_> = files
        .iter()
        .filter(|(path, _)| path.starts_with("photos/"))
        .collect();
    assert_eq!(pictures.len(), 6);
    for (number, (_, bytes)) in pictures.into_iter().enumerate() {
        std::fs::write(dir.path().join(format!("{number}.png")), bytes).expect("written");
    }
    for file in told(dir.path()) {
        assert_eq!(
            telling(&file),
            Vec::<&String>::new(),
            "{}",
            file["SourceFile"]
        );
    }
}
