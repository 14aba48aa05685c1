//! Pictures stand upright, in the sizes that pages need.

use image::{DynamicImage, GenericImageView as _, ImageFormat};
use shimbook::photos::{PhotoKind, Prints, Size, develop, look};

use crate::camera::{self, CORNERS, scene};
use crate::shop::{Shop, pictures};

/// The colours in the corners, a little away from the edges.
fn corners(picture: &DynamicImage) -> [[u8; 3]; 4] {
    let (width, height) = picture.dimensions();
    let at = |x, y| {
        let [red, green, blue, _] = picture.get_pixel(x, y).0;
        [red, green, blue]
    };
    let (left, right, above, below) = (
        width / 8,
        width - 1 - width / 8,
        height / 8,
        height - 1 - height / 8,
    );
    [
        at(left, above),
        at(right, above),
        at(left, below),
        at(right, below),
    ]
}

fn assert_upright(bytes: &[u8], size: (u32, u32), of: &str) {
    let picture = image::load_from_memory(bytes).expect("a picture");
    assert_eq!(picture.dimensions(), size, "{of}");
    for (is, should) in corners(&picture)
        .iter()
        .flatten()
        .zip(CORNERS.as_flattened())
    {
        assert!(is.abs_diff(*should) < 24, "{of}: {:?}", corners(&picture));
    }
}

fn developed(bytes: &[u8]) -> Prints {
    develop(bytes, &look(bytes).expect("a picture")).expect("a picture")
}

#[test]
fn however_the_camera_was_held_the_picture_stands_upright_in_both_sizes() {
    let upright = scene(1800, 300);
    for turn in 1..=8 {
        let made = developed(&camera::jpeg(&upright, turn, "word"));
        assert_upright(&made.large, (1600, 267), &format!("turn {turn}, large"));
        assert_upright(
            &made.small.expect("a small one"),
            (480, 80),
            &format!("turn {turn}, small"),
        );
    }
}

#[test]
fn png_and_webp_are_turned_as_well() {
    let upright = scene(90, 60);
    for turn in 1..=8 {
        assert_upright(
            &developed(&camera::png(&upright, turn, "word")).large,
            (90, 60),
            &format!("PNG {turn}"),
        );
        assert_upright(
            &developed(&camera::webp(&upright, turn, "word")).large,
            (90, 60),
            &format!("WebP {turn}"),
        );
    }
}

#[test]
fn a_page_gives_width_and_height_of_the_upright_picture_both_sizes_and_waits_with_loading() {
    let shop = Shop::with(&[("held.jpg", camera::jpeg(&scene(1000, 750), 6, "word"))]);
    let files = shop.write_up();
    let page = String::from_utf8_lossy(&files["days/day-01.html"]).into_owned();
    for part in [
        "width=\"1000\" height=\"750\"",
        "loading=\"lazy\"",
        "alt=\"what held.jpg shows\"",
        " 480w, ",
        " 1000w\"",
    ] {
        assert!(page.contains(part), "{part} in {page}");
    }
    let pictures = pictures(&files);
    assert_eq!(pictures.len(), 2, "{:?}", pictures.keys());
    for path in pictures.keys() {
        assert!(page.contains(&format!("../{path}")), "{path}");
    }
}

#[test]
fn nothing_is_made_larger_than_it_was() {
    let small = developed(&camera::plain(&scene(90, 60), ImageFormat::Jpeg));
    assert_upright(&small.large, (90, 60), "a small one");
    assert_eq!(small.small, None);
}

#[test]
fn what_can_be_seen_through_stays_so_and_a_drawing_stays_a_png() {
    let clear = DynamicImage::from(image::RgbaImage::from_pixel(
        1700,
        20,
        image::Rgba([200, 10, 10, 90]),
    ));
    for format in [ImageFormat::Png, ImageFormat::WebP] {
        let bytes = camera::plain(&clear, format);
        assert_eq!(look(&bytes).expect("a picture").kind, PhotoKind::Png);
        let made = image::load_from_memory(&developed(&bytes).large)
            .expect("a picture")
            .to_rgba8();
        assert_eq!(made.dimensions(), (1600, 19));
        let pixel = made.get_pixel(800, 9).0;
        assert!(
            pixel
                .iter()
                .zip([200, 10, 10, 90])
                .all(|(is, should)| is.abs_diff(should) < 3),
            "{pixel:?}"
        );
    }
    let drawn = developed(&camera::plain(&scene(90, 60), ImageFormat::Png));
    let same = image::load_from_memory(&drawn.large).expect("a picture");
    assert_eq!(same.to_rgb8(), scene(90, 60).to_rgb8(), "to the pixel");
}

#[test]
fn a_photo_saved_as_png_becomes_a_jpeg() {
    let mut state = 1_u32;
    let noise = image::RgbImage::from_fn(300, 200, |_, _| {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        image::Rgb([(state >> 24) as u8, (state >> 16) as u8, (state >> 8) as u8])
    });
    assert_eq!(
        look(&camera::plain(&noise.into(), ImageFormat::Png))
            .expect("a picture")
            .kind,
        PhotoKind::Jpeg
    );
}

#[test]
fn colours_of_a_wider_profile_are_shown_as_they_look() {
    let green = DynamicImage::from(image::RgbImage::from_pixel(
        64,
        64,
        image::Rgb([60, 180, 60]),
    ));
    let profile = moxcms::ColorProfile::new_display_p3()
        .encode()
        .expect("a profile");
    let mut bytes = Vec::new();
    let mut encoder = image::codecs::png::PngEncoder::new(&mut bytes);
    image::ImageEncoder::set_icc_profile(&mut encoder, profile).expect("a profile");
    green.write_with_encoder(encoder).expect("a picture");
    let made = image::load_from_memory(&developed(&bytes).large)
        .expect("a picture")
        .to_rgb8();
    let [red, green, blue] = made.get_pixel(9, 9).0;
    // The same colour has less red and more green in sRGB, whose own green is paler.
    assert!(red < 45 && green > 180 && blue < 60, "{red} {green} {blue}");
}

#[test]
fn the_same_bytes_give_the_same_pictures() {
    let bytes = camera::jpeg(&scene(1700, 340), 5, "word");
    assert_eq!(developed(&bytes), developed(&bytes));
    assert_eq!(
        look(&bytes).expect("a picture").extent(Size::Small),
        (480, 96)
    );
}
