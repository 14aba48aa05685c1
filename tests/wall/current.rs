//! What the wall shows is what the crew wrote, a blink after it was saved.

use crate::looker::Looker;
use crate::standing::Standing;

/// What the wall says of the reading of the arch.
fn arch(wall: &Standing) -> String {
    let page = scraper::Html::parse_document(&wall.get("days/day-01.html").text());
    let row = scraper::Selector::parse("tr.holds").unwrap();
    page.select(&row)
        .next()
        .map_or_else(String::new, |row| row.text().collect::<Vec<_>>().join(" "))
}

#[test]
fn a_saved_reading_turns_its_verdict_on_the_page() {
    let mut wall = Standing::with(&[]);
    assert!(arch(&wall).contains("in limits"), "{}", arch(&wall));
    let text = wall.read("days/day-01.md").replace("27 ±", "21 ±");
    wall.save("days/day-01.md", &text);
    assert!(arch(&wall).contains("out of limits"), "{}", arch(&wall));
    assert!(wall.get("").text().contains("Do not move or run it."));
}

#[test]
fn it_notices_saves_by_itself_where_nobody_tells_of_them() {
    let mut wall = Standing::with(&["--poll"]);
    let text = wall.read("days/day-01.md").replace("27 ±", "21 ±");
    wall.save("days/day-01.md", &text);
    assert!(arch(&wall).contains("out of limits"));
}

#[test]
fn an_editor_that_writes_beside_and_renames_is_followed() {
    let mut wall = Standing::with(&[]);
    let beside = wall.book().join("days/.day-01.md.new");
    std::fs::write(&beside, wall.read("days/day-01.md").replace("27 ±", "21 ±")).unwrap();
    std::fs::rename(&beside, wall.book().join("days/day-01.md")).unwrap();
    wall.news.current();
    assert!(arch(&wall).contains("out of limits"));
}

#[test]
fn a_book_with_errors_still_shows_and_the_band_goes_with_the_next_good_save() {
    let mut wall = Standing::with(&[]);
    let good = wall.read("days/day-01.md");
    assert_eq!(band(&wall), "");
    wall.save(
        "days/day-01.md",
        &good.replace(
            "arch_gap measured 27 ± 1 mm",
            "arch_gap measured 27 ± 1 bananas",
        ),
    );
    let said = band(&wall);
    assert!(
        said.contains("days/day-01.md, line 9") && said.contains("1 error in the book"),
        "{said}"
    );
    wall.save("days/day-01.md", &good);
    assert_eq!(band(&wall), "");
}

/// What the page of day 2 says of errors in the book.
fn band(wall: &Standing) -> String {
    let page = scraper::Html::parse_document(&wall.get("days/day-02.html").text());
    let band = scraper::Selector::parse("section#band").unwrap();
    page.select(&band).next().unwrap().text().collect()
}

#[test]
fn a_half_saved_file_is_shown_as_far_as_it_goes_and_then_whole() {
    let mut wall = Standing::with(&[]);
    let whole = wall.read("days/day-01.md");
    for end in [0, whole.len() / 2, whole.len() - 3] {
        wall.save("days/day-01.md", whole.get(..end).unwrap_or_default());
        assert_eq!(wall.get("").status, 200);
    }
    // The day of a log that ends in the middle of its first lines cannot be told.
    std::fs::write(
        wall.book().join("days/day-01.md"),
        whole.get(..9).unwrap_or_default(),
    )
    .unwrap();
    assert_eq!(wall.news.news()["current"], false);
    assert_eq!(wall.get("").status, 200);
    wall.save("days/day-01.md", &whole);
    assert!(arch(&wall).contains("in limits"));
}

#[test]
fn days_that_are_deleted_renamed_and_made_leave_no_stale_page() {
    let mut wall = Standing::with(&[]);
    let day_2 = wall.read("days/day-02.md");
    std::fs::remove_file(wall.book().join("days/day-02.md")).unwrap();
    wall.news.current();
    assert_eq!(wall.get("days/day-02.html").status, 404);
    assert!(!wall.get("").text().contains("days/day-02.html"));
    wall.save("days/day-3.md", &day_2.replace("day: 2", "day: 3"));
    assert_eq!(wall.get("days/day-3.html").status, 200);
    std::fs::rename(
        wall.book().join("days/day-3.md"),
        wall.book().join("days/day-03 tray.md"),
    )
    .unwrap();
    wall.news.current();
    assert_eq!(
        (
            wall.get("days/day-3.html").status,
            wall.get("days/day-03%20tray.html").status
        ),
        (404, 200)
    );
}

#[test]
fn a_folder_that_vanishes_is_said_with_the_time_of_the_last_good_read_and_comes_back() {
    let mut wall = Standing::with(&[]);
    let away = wall.home().join("away");
    std::fs::rename(wall.book(), &away).unwrap();
    let news = wall.news.news();
    assert_eq!(news["current"], false, "{news}");
    assert!(
        news["why"].as_str().unwrap().contains("cannot be read")
            && news["at"].as_str().unwrap().len() == 8,
        "{news}"
    );
    // What hung there last can still be looked at.
    assert_eq!(wall.get("").status, 200);
    std::fs::write(
        away.join("days/day-02.md"),
        "---\nday: 2\n---\n# Written while away\n",
    )
    .unwrap();
    std::fs::rename(&away, wall.book()).unwrap();
    wall.news.current();
    assert!(
        wall.get("days/day-02.html")
            .text()
            .contains("Written while away")
    );
    // And the folder that came back is watched again.
    wall.save("days/day-02.md", "---\nday: 2\n---\n# Written after\n");
    assert!(
        wall.get("days/day-02.html")
            .text()
            .contains("Written after")
    );
}

#[test]
fn two_hundred_who_look_on_are_each_told_of_every_save() {
    const SAVES: usize = 5;
    let mut wall = Standing::with(&[]);
    let lookers: Vec<_> = (0..200)
        .map(|_| {
            let mut looker = Looker::new(&wall.address);
            looker.current();
            std::thread::spawn(move || {
                (0..SAVES)
                    .map(|_| looker.news()["number"].as_u64().unwrap())
                    .collect::<Vec<_>>()
            })
        })
        .collect();
    for save in 0..SAVES {
        wall.save(
            "days/day-02.md",
            &format!("---\nday: 2\n---\n# Save {save}\n"),
        );
    }
    let told: Vec<Vec<u64>> = lookers
        .into_iter()
        .map(|looker| looker.join().unwrap())
        .collect();
    assert!(told.iter().all(|told| {
        *told
            == told[0..1]
                .iter()
                .flat_map(|first| *first..*first + SAVES as u64)
                .collect::<Vec<_>>()
    }));
}
