//! The darkroom: photos as pages show them, without what their files tell of camera, place and
//! maker.
//!
//! In: the bytes of a file of `photos/`. Out: what is needed to lay a page out ([`look`]), and the
//! pictures that are shown ([`develop`]): upright, at most 1600 pixels long, and of what a camera
//! saw a small one of 480. What always holds:
//!
//! - Every picture that goes out was made here from pixels or, an SVG, from the elements and
//!   attributes that are let through by name. Nothing of the file itself is copied: no EXIF, GPS,
//!   XMP, IPTC, maker note, thumbnail, comment, text chunk or trailing byte can come through, known
//!   or not.
//! - A picture is never made larger than it was.
//! - The same bytes give the same pictures.
//! - No file stops the program, and none takes more than [`MOST_PIXELS`] pixels of memory at once;
//!   what is wrong is a [`Trouble`].
//!
//! Colours are sRGB. A file with an RGB profile of its own is converted; a profile of greys or of
//! printing inks (CMYK) is left out of account, and what has no profile is taken for sRGB. Of a
//! moving picture the first frame is shown.

mod album;
mod develop;
mod few;
mod look;
mod svg;
mod trouble;
mod whole;

pub use album::{Album, Photographed, in_turns, shown, shown_outside};
pub use develop::{Prints, develop};
pub use look::look;
pub use trouble::Trouble;

/// Changes with the room's own sources and the libraries it works with: a picture made by another
/// version is made again.
pub const VERSION: &str = env!("SHIMBOOK_PHOTOS");
/// The most bytes that a file may hold.
pub const MOST_BYTES: u64 = 50 * 1024 * 1024;
/// The most bytes that an SVG may hold.
pub const MOST_SVG_BYTES: usize = 4 * 1024 * 1024;
/// The most pixels that a file may hold: what a telephone with the finest sensor saves in one
/// picture, at most 8 bytes a pixel while it is read.
pub const MOST_PIXELS: u64 = 52_000_000;
/// The longest side on a page, in pixels.
pub const LARGE: u32 = 1600;
/// The longest side of the small one, in pixels.
pub const SMALL: u32 = 480;

/// What a picture is written as.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PhotoKind {
    /// What a camera saw.
    Jpeg,
    /// What can be seen through, and what was drawn: a PNG of little more than plain areas.
    Png,
    /// Drawn by lines.
    Svg,
}

impl PhotoKind {
    /// The ending of its file.
    pub fn ending(self) -> &'static str {
        match self {
            Self::Jpeg => "jpg",
            Self::Png => "png",
            Self::Svg => "svg",
        }
    }

    /// Its media type.
    pub fn media_type(self) -> &'static str {
        match self {
            Self::Jpeg => "image/jpeg",
            Self::Png => "image/png",
            Self::Svg => "image/svg+xml",
        }
    }
}

/// One of the two sizes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Size {
    /// For the page.
    Large,
    /// For narrow screens and slow lines.
    Small,
}

/// What is known of a picture without working it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Facts {
    /// The hash of the file, as 64 hexadecimal digits.
    pub hash: String,
    /// What it is written as.
    pub kind: PhotoKind,
    /// How wide it is when upright, in pixels.
    pub width: u32,
    /// How tall it is when upright, in pixels.
    pub height: u32,
}

/// The most bytes of a file's name that stay; what goes behind it must fit into 255.
const MOST_OF_A_NAME: usize = 200;
/// How many digits of the hash stand in a name: two pictures of one name and one such number do not
/// happen.
const DIGITS: usize = 12;

impl Facts {
    /// Width and height of one of its sizes, in pixels.
    pub fn extent(&self, size: Size) -> (u32, u32) {
        let longest = if size == Size::Large { LARGE } else { SMALL };
        fitted(self.width, self.height, longest)
    }

    /// The sizes that are made.
    pub fn sizes(&self) -> &'static [Size] {
        // A drawing made smaller is blurred, and hardly fewer bytes.
        let one = self.kind != PhotoKind::Jpeg || self.width.max(self.height) <= SMALL;
        if one {
            &[Size::Large]
        } else {
            &[Size::Large, Size::Small]
        }
    }

    /// The path in a record of the file at `path` in the book: another content has another path, so
    /// that no browser shows what it kept of an earlier one.
    pub fn print_path(&self, path: &str, size: Size) -> String {
        let (folder, name) = path
            .rsplit_once('/')
            .map_or(("", path), |(folder, name)| (folder, name));
        let stem = name.rsplit_once('.').map_or(name, |(stem, _)| stem);
        let stem = stem
            .get(..stem.floor_char_boundary(MOST_OF_A_NAME))
            .unwrap_or(stem);
        let digits = self.hash.get(..DIGITS).unwrap_or(&self.hash);
        let small = if size == Size::Small { "-small" } else { "" };
        format!("{folder}/{stem}-{digits}{small}.{}", self.kind.ending())
    }

    /// A hash of everything that one of its sizes is made from.
    pub fn made_from(&self, size: Size) -> String {
        blake3::hash(format!("{VERSION} {} {size:?}", self.hash).as_bytes())
            .to_hex()
            .to_string()
    }
}

/// Width and height so that the longer side is at most `longest`; never larger.
fn fitted(width: u32, height: u32, longest: u32) -> (u32, u32) {
    let long = width.max(height);
    if long <= longest {
        return (width, height);
    }
    let shrunk = |side: u32| {
        let side = (u64::from(side) * u64::from(longest) + u64::from(long) / 2) / u64::from(long);
        u32::try_from(side).unwrap_or(longest).clamp(1, longest)
    };
    (shrunk(width), shrunk(height))
}

/// The hash of a file as 64 hexadecimal digits.
pub fn hash(bytes: &[u8]) -> String {
    blake3::hash(bytes).to_hex().to_string()
}

/// Runs what reads a file of others: should a decoder stop at a claim of its own, the file is
/// broken, not the program.
fn guarded<T>(read: impl FnOnce() -> Result<T, Trouble>) -> Result<T, Trouble> {
    std::panic::catch_unwind(std::panic::AssertUnwindSafe(read)).unwrap_or(Err(Trouble::Broken))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn facts(width: u32, height: u32) -> Facts {
        Facts {
            hash: hash(b"x"),
            kind: PhotoKind::Jpeg,
            width,
            height,
        }
    }

    #[test]
    fn the_longer_side_is_fitted_and_nothing_is_made_larger() {
        assert_eq!(facts(4000, 3000).extent(Size::Large), (1600, 1200));
        assert_eq!(facts(3000, 4000).extent(Size::Small), (360, 480));
        assert_eq!(facts(300, 200).extent(Size::Large), (300, 200));
        assert_eq!(facts(50_000, 1).extent(Size::Large), (1600, 1));
        assert_eq!(facts(300, 200).sizes(), [Size::Large]);
    }

    #[test]
    fn a_name_keeps_its_stem_and_tells_one_content_from_another() {
        let path = facts(1, 1).print_path("photos/arch/a b.JPG", Size::Small);
        assert!(
            path.starts_with("photos/arch/a b-") && path.ends_with("-small.jpg"),
            "{path}"
        );
        let long = format!("photos/{}.jpg", "ü".repeat(120));
        assert!(facts(1, 1).print_path(&long, Size::Small).len() < 255);
        let other = Facts {
            hash: hash(b"y"),
            ..facts(1, 1)
        };
        assert_ne!(
            other.print_path("photos/a.jpg", Size::Large),
            facts(1, 1).print_path("photos/a.jpg", Size::Large)
        );
    }
}
