//! Books and records on disk.

use std::collections::BTreeMap;
use std::path::Path;

use shimbook::io::Output;
use shimbook::open_book::WorkedBook;
use shimbook::photo_cache::quietly;
use shimbook::render::Theme;
use shimbook::writeup;

/// Writes the texts of a book into a folder.
pub fn put(folder: &Path, texts: &BTreeMap<String, String>) {
    std::fs::create_dir_all(folder.join("days")).unwrap();
    for (path, text) in texts {
        std::fs::write(folder.join(path), text).unwrap();
    }
}

/// Writes the record of a book.
pub fn write_up(book: &mut WorkedBook, folder: &Path, out: &Path) -> shimbook::io::Written {
    // An edit may take the title away that the folder knows the book by.
    let output = Output::open(out, folder).unwrap().taking_over(true);
    writeup::write_up(book, &Theme::built_in().unwrap(), &output, &quietly).unwrap()
}

/// Every file in a folder, dot-files too, by its path.
pub fn contents(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut files = BTreeMap::new();
    let mut todo = vec![folder.to_owned()];
    while let Some(folder_now) = todo.pop() {
        for entry in std::fs::read_dir(&folder_now).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                todo.push(path);
            } else {
                let name = path
                    .strip_prefix(folder)
                    .unwrap()
                    .to_string_lossy()
                    .into_owned();
                files.insert(name, std::fs::read(&path).unwrap());
            }
        }
    }
    files
}
