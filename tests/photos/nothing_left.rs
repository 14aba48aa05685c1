//! Nothing of what files tell beside what they show goes out.

use serde_json::Value;

use crate::camera::{self, scene};
use crate::reader::{telling, told};
use crate::shop::{Shop, files, pictures};

const WORD: &str = "Quibberdale";

fn photographed() -> Shop {
    let upright = scene(900, 600);
    Shop::with(&[
        ("a.jpg", camera::jpeg(&upright, 6, WORD)),
        ("b.png", camera::png(&upright, 3, WORD)),
        ("c.webp", camera::webp(&upright, 8, WORD)),
        (
            "d.svg",
            format!("<svg xmlns='http://www.w3.org/2000/svg' width='9' height='9'><title>{WORD}</title></svg>").into(),
        ),
    ])
}

fn assert_silent(
    of: &str,
    handed: &std::collections::BTreeMap<String, Vec<u8>>,
    folder: &std::path::Path,
) {
    assert_eq!(
        pictures(handed).len(),
        6,
        "{of}: {:?}",
        pictures(handed).keys()
    );
    for (path, bytes) in handed {
        let found = bytes
            .windows(WORD.len())
            .any(|part| part.eq_ignore_ascii_case(WORD.as_bytes()));
        assert!(!found, "{of}: {path} holds the word");
    }
    for file in told(&folder.join("photos")) {
        assert_eq!(
            telling(&file),
            Vec::<&String>::new(),
            "{of}: {}",
            file["SourceFile"]
        );
    }
}

#[test]
fn the_files_that_go_in_tell_place_maker_and_word_so_that_there_is_something_to_find() {
    let shop = photographed();
    for (path, bytes) in files(&shop.book().join("photos")) {
        assert!(
            bytes
                .windows(WORD.len())
                .any(|part| part == WORD.as_bytes()),
            "{path}"
        );
    }
    let told = told(&shop.book().join("photos"));
    let of = |name: &str| {
        told.iter().find(|file| {
            file["SourceFile"]
                .as_str()
                .is_some_and(|path| path.ends_with(name))
        })
    };
    for (name, keys) in [
        (
            "a.jpg",
            [
                "GPS:GPSLatitude",
                "IFD0:Make",
                "IFD1:ThumbnailImage",
                "XMP-dc:Source",
                "IPTC:Caption-Abstract",
                "File:Comment",
            ]
            .as_slice(),
        ),
        (
            "b.png",
            ["GPS:GPSLatitude", "PNG:Author", "XMP-dc:Source"].as_slice(),
        ),
        (
            "c.webp",
            ["GPS:GPSLatitude", "IFD0:Make", "XMP-dc:Source"].as_slice(),
        ),
    ] {
        if let Some(file) = of(name) {
            let missing: Vec<_> = keys
                .iter()
                .filter(|key| file.get(**key).is_none_or(Value::is_null))
                .collect();
            assert!(
                missing.is_empty(),
                "{name}: {missing:?} in {:?}",
                file.keys()
            );
            assert!(telling(file).len() >= keys.len());
        }
    }
}

#[test]
fn a_record_and_a_handover_hold_nothing_of_it() {
    let shop = photographed();
    assert_silent("the record", &shop.write_up(), &shop.out());
    for audience in ["customer", "audience"] {
        assert_silent(audience, &shop.hand_over(audience), &shop.handed(audience));
    }
}

#[test]
fn a_photo_that_only_the_shop_sees_is_not_handed_over_and_one_that_nobody_shows_is_nowhere() {
    let shop = photographed();
    shop.put(
        "days/day-01.md",
        "---\nday: 1\n---\n# The day\n\n![a](../photos/a.jpg)\n\n```shop\n![b](../photos/b.png)\n```\n",
    );
    let names = |files: &std::collections::BTreeMap<String, Vec<u8>>| {
        pictures(files)
            .keys()
            .map(|path| path["photos/".len()..].chars().next().expect("a name"))
            .collect::<String>()
    };
    assert_eq!(names(&shop.write_up()), "aab");
    assert_eq!(names(&shop.hand_over("customer")), "aa");
}

#[test]
fn a_name_in_the_name_of_a_photo_goes_where_names_may_not_be_seen_and_the_page_still_finds_it() {
    let shop = Shop::with(&[("Ines Duarte.jpg", camera::jpeg(&scene(900, 600), 1, WORD))]);
    shop.put(
        "days/day-01.md",
        "---\nday: 1\n---\n![at it](../photos/Ines%20Duarte.jpg)\n",
    );
    let handed = shop.hand_over("audience");
    let pictures = pictures(&handed);
    let page = String::from_utf8_lossy(&handed["days/day-01.html"]).into_owned();
    assert_eq!(pictures.len(), 2);
    for path in pictures.keys() {
        assert!(
            !path.contains("Duarte") && page.contains(&format!("../{path}")),
            "{path} in {page}"
        );
    }
    assert!(!page.contains("Duarte"));
}
