//! A PNG of few colours, each written once and pointed to: a quarter of the bytes.
//!
//! In: pixels. Out: the file, where they have no more than 256 colours.

use std::collections::BTreeSet;

use image::{DynamicImage, Rgba};
use png::{BitDepth, ColorType, Compression, Encoder, EncodingError, Filter};

/// The file of a picture of few colours; `None` where it has more.
pub(super) fn few_colours(picture: &DynamicImage) -> Option<Result<Vec<u8>, EncodingError>> {
    let pixels = picture.to_rgba8();
    let mut colours = BTreeSet::new();
    let mut last = None;
    for pixel in pixels.pixels() {
        if last != Some(pixel.0) {
            last = Some(pixel.0);
            colours.insert(pixel.0);
        }
        if colours.len() > 256 {
            return None;
        }
    }
    let colours: Vec<[u8; 4]> = colours.into_iter().collect();
    let place = |pixel: &Rgba<u8>| colours.binary_search(&pixel.0).unwrap_or_default() as u8;
    let places: Vec<u8> = pixels.pixels().map(place).collect();
    Some(written(pixels.dimensions(), &colours, &places))
}

fn written((width, height): (u32, u32), colours: &[[u8; 4]], places: &[u8]) -> Result<Vec<u8>, EncodingError> {
    let mut bytes = Vec::new();
    let mut encoder = Encoder::new(&mut bytes, width, height);
    encoder.set_color(ColorType::Indexed);
    encoder.set_depth(BitDepth::Eight);
    encoder.set_compression(Compression::High);
    encoder.set_filter(Filter::NoFilter);
    encoder.set_palette(colours.iter().flat_map(|[red, green, blue, _]| [*red, *green, *blue]).collect::<Vec<u8>>());
    if colours.iter().any(|[.., seen]| *seen < u8::MAX) {
        encoder.set_trns(colours.iter().map(|[.., seen]| *seen).collect::<Vec<u8>>());
    }
    let mut writer = encoder.write_header()?;
    writer.write_image_data(places)?;
    writer.finish()?;
    Ok(bytes)
}
