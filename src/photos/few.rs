//! A PNG of few colours, each written once and pointed to: a quarter of the bytes.
//!
//! In: pixels. Out: the file, where they have no more than 256 colours.

use std::collections::BTreeSet;

use image::DynamicImage;
use png::{BitDepth, ColorType, Compression, Encoder, EncodingError, Filter};

/// The most colours that a byte can point to.
const MOST: usize = 256;

/// The file of a picture of few colours; `None` where it has more.
pub(super) fn few_colours(picture: &DynamicImage) -> Option<Result<Vec<u8>, EncodingError>> {
    let pixels = picture.to_rgba8();
    let pixels_of = || pixels.as_raw().as_chunks::<4>().0;
    let mut colours = BTreeSet::new();
    for run in pixels_of().chunk_by(|one, next| one == next) {
        colours.extend(run.first());
        if colours.len() > MOST {
            return None;
        }
    }
    let colours: Vec<[u8; 4]> = colours.into_iter().copied().collect();
    let mut places = Vec::with_capacity(pixels_of().len());
    for run in pixels_of().chunk_by(|one, next| one == next) {
        let place = run
            .first()
            .and_then(|colour| colours.binary_search(colour).ok())
            .unwrap_or_default();
        places.resize(places.len() + run.len(), place as u8);
    }
    Some(written(pixels.dimensions(), &colours, &places))
}

fn written(
    (width, height): (u32, u32),
    colours: &[[u8; 4]],
    places: &[u8],
) -> Result<Vec<u8>, EncodingError> {
    let mut bytes = Vec::new();
    let mut encoder = Encoder::new(&mut bytes, width, height);
    encoder.set_color(ColorType::Indexed);
    encoder.set_depth(BitDepth::Eight);
    encoder.set_compression(Compression::High);
    encoder.set_filter(Filter::NoFilter);
    encoder.set_palette(
        colours
            .iter()
            .flat_map(|[red, green, blue, _]| [*red, *green, *blue])
            .collect::<Vec<u8>>(),
    );
    if colours.iter().any(|[.., seen]| *seen < u8::MAX) {
        encoder.set_trns(colours.iter().map(|[.., seen]| *seen).collect::<Vec<u8>>());
    }
    let mut writer = encoder.write_header()?;
    writer.write_image_data(places)?;
    writer.finish()?;
    Ok(bytes)
}
