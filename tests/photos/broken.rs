//! Files that cannot be shown are told of, and their places are kept.

use std::time::{Duration, Instant};

use image::ImageFormat;
use shimbook::photos::{MOST_BYTES, Trouble, develop, look};

use crate::camera::{self, chunk, scene};
use crate::shop::{Shop, pictures};

/// The head of a PNG that says it is so large, with hardly anything in it.
fn png_of(width: u32, height: u32, depth: u8) -> Vec<u8> {
    let head = [
        width.to_be_bytes().as_slice(),
        &height.to_be_bytes(),
        &[depth, 6, 0, 0, 0],
    ]
    .concat();
    let packed = [0x78, 0x9c, 0x03, 0x00, 0x00, 0x00, 0x00, 0x01];
    [
        b"\x89PNG\r\n\x1a\n".to_vec(),
        chunk(*b"IHDR", &head),
        chunk(*b"IDAT", &packed),
        chunk(*b"IEND", b""),
    ]
    .concat()
}

#[test]
fn each_trouble_has_its_words_at_the_place_in_the_log_and_a_placeholder_on_the_page() {
    let whole = camera::jpeg(&scene(90, 60), 1, "");
    let jpeg = camera::plain(&scene(90, 60), ImageFormat::Jpeg);
    let png = camera::plain(&scene(90, 60), ImageFormat::Png);
    let shop = Shop::with(&[
        ("cut.jpg", jpeg[..jpeg.len() - 20].to_vec()),
        ("cut.png", png[..png.len() / 2].to_vec()),
        ("empty.png", Vec::new()),
        ("phone.heic", b"\0\0\0\x18ftypheic\0\0\0\0mif1heic".to_vec()),
        ("words.jpg", b"this is no picture".to_vec()),
        ("sea.png", png_of(60_000, 60_000, 8)),
        ("fine.jpg", whole),
    ]);
    let file = std::fs::File::create(shop.book().join("photos/huge.jpg")).expect("made");
    file.set_len(MOST_BYTES + 1).expect("grown");
    shop.show(&[
        "cut.jpg",
        "cut.png",
        "empty.png",
        "phone.heic",
        "words.jpg",
        "sea.png",
        "huge.jpg",
        "gone.jpg",
        "fine.jpg",
    ]);
    let said = shop.check();
    for line in [
        "days/day-01.md:6:1: warning: photos/cut.jpg is cut short",
        "days/day-01.md:8:1: warning: photos/cut.png is cut short",
        "days/day-01.md:10:1: warning: photos/empty.png is empty",
        "days/day-01.md:12:1: warning: photos/phone.heic is HEIC, which is not shown",
        "days/day-01.md:14:1: warning: photos/words.jpg is not a supported image type",
        "days/day-01.md:16:1: warning: photos/sea.png has 60000 by 60000 pixels and is not shown",
        "days/day-01.md:18:1: warning: photos/huge.jpg is larger than 50 MiB and is not shown",
        "days/day-01.md:20:1: warning: the picture `photos/gone.jpg` is missing",
    ] {
        assert!(said.contains(line), "{line}\nin\n{said}");
    }
    assert!(
        !said.contains("fine.jpg:") && said.lines().count() >= 8,
        "{said}"
    );
    let files = shop.write_up();
    let page = String::from_utf8_lossy(&files["days/day-01.html"]).into_owned();
    assert_eq!(page.matches("class=\"no-photo\" role=\"img\"").count(), 8);
    assert_eq!(page.matches("<img ").count(), 1);
    assert!(
        page.contains("aria-label=\"what cut.jpg shows\"")
            && page.contains("the picture is cut short")
    );
    assert_eq!(pictures(&files).len(), 1);
}

#[test]
fn pixels_that_turn_out_broken_are_told_of_by_the_writeup_and_shown_as_a_placeholder() {
    // A PNG whose chunks are in order and whose packed pixels are not.
    let shop = Shop::with(&[
        ("odd.png", png_of(300, 200, 8)),
        ("fine.jpg", camera::jpeg(&scene(600, 400), 1, "x")),
    ]);
    let files = shop.write_up();
    let page = String::from_utf8_lossy(&files["days/day-01.html"]).into_owned();
    assert!(
        page.contains("no-photo") && page.contains("photos/odd.png is damaged and cannot be shown"),
        "{page}"
    );
    assert_eq!(pictures(&files).len(), 2);
    let handed = shop.hand_over("audience");
    assert!(
        String::from_utf8_lossy(&handed["days/day-01.html"]).contains("the picture is damaged")
    );
    assert_eq!(shop.write_up(), files);
}

#[test]
fn no_bomb_takes_time_or_memory() {
    let begun = Instant::now();
    let deep = png_of(7_000, 7_000, 16);
    assert_eq!(look(&deep), Err(Trouble::TooManyPixels(7_000, 7_000)));
    assert!(look(&png_of(u32::MAX >> 1, u32::MAX >> 1, 8)).is_err());
    // A lossless WebP that says it is nearly as large as one may be.
    let side = 15_999_u32;
    let size = (side | (side << 14)).to_le_bytes();
    let mut webp = [
        b"RIFF\x12\0\0\0WEBPVP8L\x05\0\0\0\x2f".as_slice(),
        &size,
        &[0],
    ]
    .concat();
    webp.resize(26, 0);
    assert_eq!(look(&webp), Err(Trouble::TooManyPixels(16_000, 16_000)));
    let mut jpeg = camera::plain(&scene(90, 60), ImageFormat::Jpeg);
    let frame = jpeg
        .windows(2)
        .position(|two| two == [0xff, 0xc0])
        .expect("a frame");
    jpeg[frame + 5..frame + 9].copy_from_slice(&[0xff, 0xff, 0xff, 0xff]);
    assert_eq!(look(&jpeg), Err(Trouble::TooManyPixels(65_535, 65_535)));
    assert!(begun.elapsed() < Duration::from_secs(5));
}

#[test]
fn a_profile_that_unpacks_without_end_is_not_unpacked() {
    let mut packer = flate2::write::ZlibEncoder::new(Vec::new(), flate2::Compression::default());
    for _ in 0..300 {
        std::io::Write::write_all(&mut packer, &vec![0; 1 << 20]).expect("packed");
    }
    let stream = [b"a\0\0".as_slice(), &packer.finish().expect("packed")].concat();
    let png = camera::plain(&scene(90, 60), ImageFormat::Png);
    let bomb = [&png[..33], &chunk(*b"iCCP", &stream), &png[33..]].concat();
    let begun = Instant::now();
    if let Ok(facts) = look(&bomb) {
        develop(&bomb, &facts).expect("without its profile");
    }
    assert!(begun.elapsed() < Duration::from_secs(5));
}

#[test]
fn whatever_is_done_to_a_file_nothing_stops_the_program() {
    let upright = scene(40, 30);
    for whole in [
        camera::jpeg(&upright, 6, "w"),
        camera::png(&upright, 6, "w"),
        camera::webp(&upright, 6, "w"),
    ] {
        let mut state = 7_usize;
        for _ in 0..300 {
            state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1);
            let mut bytes = whole.clone();
            let at = (state >> 33) % bytes.len();
            match state >> 62 {
                0 => bytes.truncate(at),
                1 => bytes[at] ^= 0xff,
                2 => bytes[at] = 0,
                _ => drop(bytes.drain(at..(at + 9).min(whole.len()))),
            }
            if let Ok(facts) = look(&bytes) {
                let _ = develop(&bytes, &facts);
            }
        }
    }
}
