//! Pictures as cameras save them.
//!
//! In: how the camera was held, a word. Out: files that hold the word in each place where a camera
//! or a program writes something: maker, place, note, thumbnail, remarks, behind the end.

use std::io::Cursor;

use image::{DynamicImage, ExtendedColorType, ImageEncoder, ImageFormat, Rgb, RgbImage};

/// What the corners show when the picture is upright: above left, above right, below left, below
/// right.
pub(crate) const CORNERS: [[u8; 3]; 4] =
    [[220, 20, 20], [20, 200, 20], [20, 20, 220], [230, 230, 30]];

/// A picture whose quarters have the colours of [`CORNERS`].
pub(crate) fn scene(width: u32, height: u32) -> DynamicImage {
    RgbImage::from_fn(width, height, |x, y| {
        let corner = usize::from(x >= width / 2) + 2 * usize::from(y >= height / 2);
        Rgb(CORNERS[corner])
    })
    .into()
}

/// What the sensor saw, when the camera was held so that the picture has to be turned in this way
/// (1 to 8 of EXIF).
pub(crate) fn as_held(upright: &DynamicImage, turn: u16) -> DynamicImage {
    match turn {
        2 => upright.fliph(),
        3 => upright.rotate180(),
        4 => upright.flipv(),
        5 => upright.rotate90().fliph(),
        6 => upright.rotate270(),
        7 => upright.rotate270().fliph(),
        8 => upright.rotate90(),
        _ => upright.clone(),
    }
}

/// A file of nothing but the picture.
pub(crate) fn plain(picture: &DynamicImage, format: ImageFormat) -> Vec<u8> {
    let mut bytes = Vec::new();
    picture
        .write_to(&mut Cursor::new(&mut bytes), format)
        .expect("a picture");
    bytes
}

/// A JPEG with everything in it that a camera and the programs after it write.
pub(crate) fn jpeg(upright: &DynamicImage, turn: u16, word: &str) -> Vec<u8> {
    let bare = plain(&as_held(upright, turn), ImageFormat::Jpeg);
    let iptc = [
        b"Photoshop 3.0\08BIM\x04\x04\0\0".as_slice(),
        &[0, 0, 0, word.len() as u8 + 5],
    ]
    .concat();
    let iptc = [
        iptc,
        vec![0x1c, 2, 120, 0, word.len() as u8],
        word.as_bytes().to_vec(),
        vec![0],
    ]
    .concat();
    let xmp = [
        b"http://ns.adobe.com/xap/1.0/\0".as_slice(),
        xmp(word).as_bytes(),
    ]
    .concat();
    let segments = [
        (0xe1, [b"Exif\0\0".as_slice(), &exif(turn, word)].concat()),
        (0xe1, xmp),
        (0xed, iptc),
        (0xee, format!("Maker\0{word}").into_bytes()),
        (0xfe, format!("a remark: {word}").into_bytes()),
    ];
    let segments: Vec<u8> = segments
        .iter()
        .flat_map(|(marker, bytes)| segment(*marker, bytes))
        .collect();
    [
        &bare[..2],
        &segments,
        &bare[2..],
        format!("behind the end: {word}").as_bytes(),
    ]
    .concat()
}

fn segment(marker: u8, bytes: &[u8]) -> Vec<u8> {
    let length = u16::try_from(bytes.len() + 2)
        .expect("a short one")
        .to_be_bytes();
    [&[0xff, marker], length.as_slice(), bytes].concat()
}

/// A PNG with texts, EXIF, XMP and something behind its end.
pub(crate) fn png(upright: &DynamicImage, turn: u16, word: &str) -> Vec<u8> {
    let bare = plain(&as_held(upright, turn), ImageFormat::Png);

    let chunks = [
        chunk(*b"tEXt", format!("Author\0{word}").as_bytes()),
        chunk(
            *b"iTXt",
            format!("XML:com.adobe.xmp\0\0\0\0\0{}", xmp(word)).as_bytes(),
        ),
        chunk(*b"eXIf", &exif(turn, word)),
        chunk(*b"tIME", &[7, 239, 1, 2, 3, 4, 5]),
    ]
    .concat();
    let head = 8 + 25;
    [
        &bare[..head],
        &chunks,
        &bare[head..],
        format!("behind the end: {word}").as_bytes(),
    ]
    .concat()
}

/// A chunk of a PNG.
pub(crate) fn chunk(kind: [u8; 4], bytes: &[u8]) -> Vec<u8> {
    let named = [kind.as_slice(), bytes].concat();
    let length = u32::try_from(bytes.len())
        .expect("a short one")
        .to_be_bytes();
    [length.as_slice(), &named, &check_sum(&named).to_be_bytes()].concat()
}

/// CRC-32 as ISO 3309 has it.
fn check_sum(bytes: &[u8]) -> u32 {
    let turned = |sum: u32, _| (sum >> 1) ^ (0xedb8_8320 & (sum & 1).wrapping_neg());
    !bytes.iter().fold(u32::MAX, |sum, byte| {
        (0..8).fold(sum ^ u32::from(*byte), turned)
    })
}

/// A WebP with EXIF and XMP.
pub(crate) fn webp(upright: &DynamicImage, turn: u16, word: &str) -> Vec<u8> {
    let held = as_held(upright, turn).to_rgb8();
    let mut bytes = Vec::new();
    let mut encoder = image::codecs::webp::WebPEncoder::new_lossless(&mut bytes);
    encoder.set_exif_metadata(exif(turn, word)).expect("EXIF");
    encoder
        .write_image(&held, held.width(), held.height(), ExtendedColorType::Rgb8)
        .expect("a picture");
    let xmp = xmp(word).into_bytes();
    bytes.extend(
        [
            b"XMP ".as_slice(),
            &u32::try_from(xmp.len()).expect("short").to_le_bytes(),
            &xmp,
        ]
        .concat(),
    );
    bytes.resize(bytes.len() + xmp.len() % 2, 0);
    let length = u32::try_from(bytes.len() - 8)
        .expect("a short one")
        .to_le_bytes();
    bytes[4..8].copy_from_slice(&length);
    // The head says that there is XMP.
    bytes[20] |= 4;
    bytes
}

fn xmp(word: &str) -> String {
    format!(
        "<x:xmpmeta xmlns:x=\"adobe:ns:meta/\"><rdf:RDF xmlns:rdf=\"http://www.w3.org/1999/02/22-rdf-syntax-ns#\">\
         <rdf:Description xmlns:dc=\"http://purl.org/dc/elements/1.1/\" dc:source=\"{word}\"/></rdf:RDF></x:xmpmeta>"
    )
}

type Entry = (u16, u16, u32, Vec<u8>);

fn text(tag: u16, text: &str) -> Entry {
    (
        tag,
        2,
        text.len() as u32 + 1,
        [text.as_bytes(), &[0]].concat(),
    )
}

fn long(tag: u16, number: usize) -> Entry {
    (
        tag,
        4,
        1,
        u32::try_from(number).expect("small").to_be_bytes().to_vec(),
    )
}

/// EXIF with a place, a maker's note and a thumbnail.
fn exif(turn: u16, word: &str) -> Vec<u8> {
    let mut tiff = b"MM\0\x2a\0\0\0\0".to_vec();
    let degrees = [
        0, 0, 0, 57, 0, 0, 0, 1, 0, 0, 0, 9, 0, 0, 0, 1, 0, 0, 0, 4, 0, 0, 0, 1,
    ]
    .to_vec();
    let place = [
        text(1, "N"),
        (2, 5, 3, degrees.clone()),
        text(3, "E"),
        (4, 5, 3, degrees),
    ];
    let place = directory(&mut tiff, &place, 0);
    let note = (0x927c, 7, word.len() as u32, word.as_bytes().to_vec());
    let details = directory(&mut tiff, &[note, text(0xa431, word)], 0);
    let thumbnail = plain(&scene(16, 12), ImageFormat::Jpeg);
    let (begins, length) = (tiff.len(), thumbnail.len());
    tiff.extend(thumbnail);
    let second = directory(&mut tiff, &[long(0x201, begins), long(0x202, length)], 0);
    let turn = (0x112, 3, 1, turn.to_be_bytes().to_vec());
    let first = [
        text(0x10f, word),
        text(0x110, word),
        turn,
        text(0x13b, word),
        long(0x8769, details),
        long(0x8825, place),
    ];
    let first = directory(&mut tiff, &first, second);
    tiff[4..8].copy_from_slice(&u32::try_from(first).expect("small").to_be_bytes());
    tiff
}

/// Writes a directory behind what is there; where it begins.
fn directory(tiff: &mut Vec<u8>, entries: &[Entry], next: usize) -> usize {
    let begins = tiff.len();
    let mut aside = begins + 2 + 12 * entries.len() + 4;
    let mut behind: Vec<u8> = Vec::new();
    tiff.extend((entries.len() as u16).to_be_bytes());
    for (tag, kind, count, bytes) in entries {
        tiff.extend([tag.to_be_bytes(), kind.to_be_bytes()].concat());
        tiff.extend(count.to_be_bytes());
        if bytes.len() <= 4 {
            tiff.extend(bytes.iter().copied().chain([0; 4]).take(4));
        } else {
            tiff.extend((aside as u32).to_be_bytes());
            aside += bytes.len();
            behind.extend(bytes);
        }
    }
    tiff.extend((next as u32).to_be_bytes());
    tiff.extend(behind);
    begins
}
