//! Pictures as pages show them, made from a file's pixels.
//!
//! In: the bytes of a file that was looked at. Out: new files of nothing but pixels.

use fast_image_resize::{ResizeOptions, Resizer};
use image::codecs::jpeg::JpegEncoder;
use image::codecs::png::{CompressionType, FilterType, PngEncoder};
use image::{DynamicImage, ImageDecoder, ImageResult, Limits};
use moxcms::{ColorProfile, DataColorSpace, Layout, TransformOptions};

use super::few::few_colours;
use super::look::{File, Opened, file, lies, open, orientation};
use super::{Facts, MOST_PIXELS, PhotoKind, Size, Trouble, guarded, svg};

/// JPEG quality of the large and of the small one: no difference is seen beside the file they come
/// from.
const QUALITY: (u8, u8) = (84, 78);

/// The pictures made from one file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Prints {
    /// For the page.
    pub large: Vec<u8>,
    /// The small one, where the file is larger than that.
    pub small: Option<Vec<u8>>,
}

impl Prints {
    /// The one of a size.
    pub fn of(self, size: Size) -> Option<Vec<u8>> {
        match size {
            Size::Large => Some(self.large),
            Size::Small => self.small,
        }
    }
}

/// Makes the pictures of a file; `facts` is what [`look`](super::look) gave for the same bytes.
pub fn develop(bytes: &[u8], facts: &Facts) -> Result<Prints, Trouble> {
    guarded(|| match file(bytes)? {
        File::Svg => Ok(Prints {
            large: svg::clean(bytes)?.into_bytes(),
            small: None,
        }),
        pixels => from_pixels(open(bytes, pixels)?, facts),
    })
}

fn from_pixels(mut opened: Opened, facts: &Facts) -> Result<Prints, Trouble> {
    let turned = orientation(&mut opened);
    let profile = opened.icc_profile().ok().flatten();
    let picture = plain(read(opened)?);
    let (width, height) = facts.extent(Size::Large);
    let (width, height) = if lies(turned) {
        (height, width)
    } else {
        (width, height)
    };
    // Shrunk before it is turned and its colours converted: that is done for a tenth of the pixels
    // then.
    let mut large = shrunk(picture, (width, height))?;
    large.apply_orientation(turned);
    if let Some(profile) = profile {
        large = in_srgb(large, &profile);
    }
    let small = if facts.sizes().contains(&Size::Small) {
        let small = shrunk(large.clone(), facts.extent(Size::Small))?;
        Some(written(&small, facts.kind, QUALITY.1)?)
    } else {
        None
    };
    Ok(Prints {
        large: written(&large, facts.kind, QUALITY.0)?,
        small,
    })
}

fn read(mut opened: Opened) -> Result<DynamicImage, Trouble> {
    let mut limits = Limits::no_limits();
    limits.max_alloc = Some(MOST_PIXELS * 8);
    opened
        .set_limits(limits)
        .and_then(|()| DynamicImage::from_decoder(opened))
        .map_err(|_| Trouble::Broken)
}

/// The picture in 8 bits a channel: greys, colours, or colours that can be seen through.
fn plain(picture: DynamicImage) -> DynamicImage {
    match picture {
        DynamicImage::ImageLuma8(_) | DynamicImage::ImageRgb8(_) | DynamicImage::ImageRgba8(_) => {
            picture
        }
        DynamicImage::ImageLuma16(_) => picture.into_luma8().into(),
        clear if clear.color().has_alpha() => clear.into_rgba8().into(),
        other => other.into_rgb8().into(),
    }
}

/// The picture in that width and height, which are none larger than its own.
fn shrunk(picture: DynamicImage, (width, height): (u32, u32)) -> Result<DynamicImage, Trouble> {
    if (picture.width(), picture.height()) == (width, height) {
        return Ok(picture);
    }
    let mut small = DynamicImage::new(width, height, picture.color());
    Resizer::new()
        .resize(&picture, &mut small, &ResizeOptions::default())
        .map_err(|_| Trouble::Broken)?;
    Ok(small)
}

/// The picture's colours in sRGB, where its profile can be read and is one of red, green and blue;
/// else as they are.
fn in_srgb(mut picture: DynamicImage, profile: &[u8]) -> DynamicImage {
    let rgb = ColorProfile::new_from_slice(profile)
        .ok()
        .filter(|from| from.color_space == DataColorSpace::Rgb);
    let (layout, pixels) = match &mut picture {
        DynamicImage::ImageRgb8(pixels) => (Layout::Rgb, &mut **pixels),
        DynamicImage::ImageRgba8(pixels) => (Layout::Rgba, &mut **pixels),
        _ => return picture,
    };
    let to = ColorProfile::new_srgb();
    let change = rgb.and_then(|from| {
        from.create_transform_8bit(layout, &to, layout, TransformOptions::default())
            .ok()
    });
    let mut changed = vec![0; pixels.len()];
    if change.is_some_and(|change| change.transform(pixels, &mut changed).is_ok()) {
        pixels.copy_from_slice(&changed);
    }
    picture
}

/// The file of a picture: its pixels and what is needed to show them.
fn written(picture: &DynamicImage, kind: PhotoKind, quality: u8) -> Result<Vec<u8>, Trouble> {
    let mut bytes = Vec::new();
    let done: ImageResult<()> = match kind {
        PhotoKind::Png => {
            if let Some(few) = few_colours(picture) {
                return few.map_err(|_| Trouble::Broken);
            }
            let encoder = PngEncoder::new_with_quality(
                &mut bytes,
                CompressionType::Default,
                FilterType::Adaptive,
            );
            picture.write_with_encoder(encoder)
        }
        _ => picture.write_with_encoder(JpegEncoder::new_with_quality(&mut bytes, quality)),
    };
    done.map(|()| bytes).map_err(|_| Trouble::Broken)
}
