//! Photos on the wall: worked as in the record, and not again at every save.

use crate::camera::{self, scene};
use crate::standing::Standing;

/// The paths of the pictures of a page.
fn pictures(wall: &Standing) -> Vec<String> {
    let page = wall.get("days/day-02.html").text();
    let hrefs = page
        .split("src=\"../")
        .skip(1)
        .filter_map(|rest| rest.split('"').next());
    hrefs
        .filter(|href| href.starts_with("photos/"))
        .map(str::to_owned)
        .collect()
}

fn save_photo(wall: &mut Standing, turn: u16) {
    std::fs::create_dir_all(wall.book().join("photos")).unwrap();
    std::fs::write(
        wall.book().join("photos/tray.jpg"),
        camera::jpeg(&scene(600, 400), turn, "Quibberdale"),
    )
    .unwrap();
    wall.news.current();
}

#[test]
fn a_photo_comes_without_what_its_file_tells_and_the_file_itself_is_not_there() {
    let mut wall = Standing::with(&[]);
    save_photo(&mut wall, 6);
    let log = wall.read("days/day-02.md");
    wall.save(
        "days/day-02.md",
        &format!("{log}\n![The tray](../photos/tray.jpg)\n"),
    );
    let shown = pictures(&wall);
    assert_eq!(shown.len(), 1, "{shown:?}");
    let answer = wall.get(&shown[0]);
    assert_eq!(
        (answer.status, answer.header("content-type")),
        (200, Some("image/jpeg"))
    );
    assert!(!answer.body.windows(11).any(|part| part == b"Quibberdale"));
    let picture = image::load_from_memory(&answer.body).unwrap();
    assert_eq!((picture.width(), picture.height()), (600, 400));
    assert_eq!(wall.get("photos/tray.jpg").status, 404);
}

#[test]
fn a_save_of_the_log_keeps_the_picture_and_a_save_of_the_photo_changes_it() {
    let mut wall = Standing::with(&[]);
    save_photo(&mut wall, 1);
    let log = wall.read("days/day-02.md") + "\n![The tray](../photos/tray.jpg)\n";
    wall.save("days/day-02.md", &log);
    let before = pictures(&wall);
    let tag = wall.get(&before[0]).header("etag").map(str::to_owned);
    wall.save("days/day-02.md", &format!("{log}\nMore.\n"));
    assert_eq!(pictures(&wall), before);
    assert_eq!(wall.get(&before[0]).header("etag").map(str::to_owned), tag);
    save_photo(&mut wall, 3);
    let after = pictures(&wall);
    assert_ne!(after, before);
    assert_eq!(
        (wall.get(&before[0]).status, wall.get(&after[0]).status),
        (404, 200)
    );
}
