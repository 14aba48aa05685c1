//! What is known of a picture without working it.
//!
//! In: the bytes of a file. Out: its [`Facts`], or what is wrong with it. The head of a file is
//! enough for its size and how it is turned; of the rest only its end is looked for.

use std::io::Cursor;

use image::codecs::jpeg::JpegDecoder;
use image::codecs::png::PngDecoder;
use image::codecs::webp::WebPDecoder;
use image::metadata::Orientation;
use image::{ImageDecoder, ImageError, Limits};

use super::{Facts, MOST_BYTES, MOST_PIXELS, PhotoKind, Trouble, guarded, hash, svg, whole};

/// A picture's file, as its first bytes tell; its name does not count.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum File {
    Jpeg,
    Png,
    Webp,
    Svg,
}

/// A file that is opened, its pixels not read yet.
pub(super) type Opened<'b> = Box<dyn ImageDecoder + 'b>;

/// The most bytes that a file holds beside its pixels.
const MOST_ASIDE: u64 = 64 * 1024 * 1024;
/// A PNG of fewer bytes stays one, whatever it shows.
const SMALL_PNG: usize = 64 * 1024;
/// A PNG with more pixels to a byte than this was drawn, not taken.
const PIXELS_TO_A_BYTE: u64 = 2;

/// Looks at a picture.
pub fn look(bytes: &[u8]) -> Result<Facts, Trouble> {
    if bytes.len() as u64 > MOST_BYTES {
        return Err(Trouble::TooLarge);
    }
    guarded(|| match file(bytes)? {
        File::Svg => {
            let (width, height) = svg::extent(bytes)?;
            Ok(Facts {
                hash: hash(bytes),
                kind: PhotoKind::Svg,
                width,
                height,
            })
        }
        pixels => of_pixels(bytes, pixels),
    })
}

fn of_pixels(bytes: &[u8], file: File) -> Result<Facts, Trouble> {
    let mut opened = open(bytes, file)?;
    let (width, height) = opened.dimensions();
    let (width, height) = if lies(orientation(&mut opened)) {
        (height, width)
    } else {
        (width, height)
    };
    let kind = kind(bytes, file, &opened);
    Ok(Facts {
        hash: hash(bytes),
        kind,
        width,
        height,
    })
}

/// What a file is.
pub(super) fn file(bytes: &[u8]) -> Result<File, Trouble> {
    match bytes {
        [] => Err(Trouble::Empty),
        [0xff, 0xd8, 0xff, ..] => Ok(File::Jpeg),
        [0x89, b'P', b'N', b'G', 0x0d, 0x0a, 0x1a, 0x0a, ..] => Ok(File::Png),
        [
            b'R',
            b'I',
            b'F',
            b'F',
            _,
            _,
            _,
            _,
            b'W',
            b'E',
            b'B',
            b'P',
            ..,
        ] => Ok(File::Webp),
        _ if svg::begins(bytes) => Ok(File::Svg),
        _ => Err(Trouble::OtherKind(other(bytes))),
    }
}

/// Kinds that cameras and telephones save and browsers do not show everywhere.
fn other(bytes: &[u8]) -> Option<&'static str> {
    let brand = bytes.get(4..12).unwrap_or_default();
    match bytes {
        _ if brand.starts_with(b"ftyphei")
            || brand.starts_with(b"ftyphev")
            || brand == b"ftypmif1" =>
        {
            Some("HEIC")
        }
        _ if brand == b"ftypavif" => Some("AVIF"),
        _ if brand.starts_with(b"ftyp") => Some("a film"),
        [b'G', b'I', b'F', b'8', ..] => Some("a GIF"),
        [b'I', b'I', 42, 0, ..] | [b'M', b'M', 0, 42, ..] => Some("a TIFF or a camera's raw file"),
        [b'B', b'M', ..] => Some("a BMP"),
        [b'%', b'P', b'D', b'F', ..] => Some("a PDF"),
        [0xff, 0x0a, ..] => Some("a JPEG XL"),
        _ => None,
    }
}

/// Opens a file whose pixels may be read: it is whole, and not too many.
pub(super) fn open(bytes: &[u8], file: File) -> Result<Opened<'_>, Trouble> {
    let is_whole = match file {
        File::Jpeg => whole::jpeg(bytes),
        File::Png => whole::png(bytes),
        File::Webp => whole::webp(bytes),
        File::Svg => return Err(Trouble::Broken),
    };
    let input = Cursor::new(bytes);
    let opened: Result<Opened, ImageError> = match file {
        File::Jpeg => JpegDecoder::new(input).map(|opened| Box::new(opened) as Opened),
        File::Png => {
            PngDecoder::with_limits(input, aside()).map(|opened| Box::new(opened) as Opened)
        }
        _ => WebPDecoder::new(input).map(|opened| Box::new(opened) as Opened),
    };
    let opened = opened.map_err(|_| {
        if is_whole {
            Trouble::Broken
        } else {
            Trouble::CutShort
        }
    })?;
    let (width, height) = opened.dimensions();
    let bytes_to_read = opened.total_bytes();
    if u64::from(width) * u64::from(height) > MOST_PIXELS || bytes_to_read > MOST_PIXELS * 4 {
        return Err(Trouble::TooManyPixels(width, height));
    }
    match (is_whole, width > 0 && height > 0) {
        (false, _) => Err(Trouble::CutShort),
        (true, false) => Err(Trouble::Broken),
        (true, true) => Ok(opened),
    }
}

/// What a file may hold beside its pixels, unpacked: a profile of a few bytes may unpack to
/// thousands of millions.
fn aside() -> Limits {
    let mut limits = Limits::no_limits();
    limits.max_alloc = Some(MOST_ASIDE);
    limits
}

/// How the camera was held; a file that does not say so, or not in a way that can be read, stands
/// upright.
pub(super) fn orientation(opened: &mut Opened) -> Orientation {
    opened.orientation().unwrap_or(Orientation::NoTransforms)
}

/// Are width and height changed when it is turned upright?
pub(super) fn lies(orientation: Orientation) -> bool {
    matches!(
        orientation,
        Orientation::Rotate90
            | Orientation::Rotate270
            | Orientation::Rotate90FlipH
            | Orientation::Rotate270FlipH
    )
}

/// What a file is written as.
fn kind(bytes: &[u8], file: File, opened: &Opened) -> PhotoKind {
    let (width, height) = opened.dimensions();
    let pixels = u64::from(width) * u64::from(height);
    let drawn = bytes.len() < SMALL_PNG || bytes.len() as u64 * PIXELS_TO_A_BYTE < pixels;
    let clear = opened.color_type().has_alpha();
    if clear || (file == File::Png && drawn) {
        PhotoKind::Png
    } else {
        PhotoKind::Jpeg
    }
}
