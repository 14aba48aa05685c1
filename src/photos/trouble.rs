//! What can be wrong with a picture, in words.
//!
//! In: a [`Trouble`] and the place in a log that shows the picture. Out: a finding, and the few
//! words of the placeholder.

use super::{MOST_BYTES, MOST_PIXELS, MOST_SVG_BYTES};
use crate::diagnostics::{Diagnostic, Slug};
use crate::source::Span;

/// Why a picture cannot be shown.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Trouble {
    /// The file cannot be read, and why.
    Unreadable(String),
    /// The file holds nothing.
    Empty,
    /// The file holds more bytes than are read.
    TooLarge,
    /// The picture has more pixels than are read: width and height.
    TooManyPixels(u32, u32),
    /// The file is of a kind that is not shown, named where it is known.
    OtherKind(Option<&'static str>),
    /// The file ends before the picture does.
    CutShort,
    /// The file is damaged.
    Broken,
    /// An SVG that is no well-formed XML or no SVG.
    NoSvg,
    /// An SVG with more in it than is read.
    SvgTooLarge,
    /// An SVG that brings declarations of its own.
    SvgDeclares,
    /// An SVG that shows another picture.
    SvgShowsPicture,
}

impl Trouble {
    /// The finding for the place that shows the picture at `path`.
    pub fn at(&self, path: &str, at: Span) -> Diagnostic {
        let found = Diagnostic::warning(self.slug(), at, format!("{path} {}", self.says()));
        found.expected(self.expected())
    }

    fn slug(&self) -> Slug {
        match self {
            Self::TooLarge | Self::TooManyPixels(..) | Self::SvgTooLarge => Slug::TooLarge,
            _ => Slug::BadPhoto,
        }
    }

    fn says(&self) -> String {
        match self {
            Self::Unreadable(why) => format!("cannot be read: {why}"),
            Self::Empty => "is empty".to_owned(),
            Self::TooLarge => format!("is larger than {} MiB and is not shown", MOST_BYTES >> 20),
            Self::TooManyPixels(width, height) => {
                format!("has {width} by {height} pixels and is not shown")
            }
            Self::OtherKind(Some(kind)) => format!("is {kind}, which is not shown"),
            Self::OtherKind(None) => "is not a supported image type".to_owned(),
            Self::CutShort => "is cut short".to_owned(),
            Self::Broken => "is damaged and cannot be shown".to_owned(),
            Self::NoSvg => "is not well-formed SVG".to_owned(),
            Self::SvgTooLarge => "is an SVG with too much in it".to_owned(),
            Self::SvgDeclares => "declares entities or a document type of its own".to_owned(),
            Self::SvgShowsPicture => "contains another picture".to_owned(),
        }
    }

    fn expected(&self) -> String {
        match self {
            Self::Unreadable(_) => "a file that may be read".to_owned(),
            Self::TooManyPixels(..) => format!(
                "at most {} megapixels: save it smaller",
                MOST_PIXELS / 1_000_000
            ),
            Self::TooLarge => "a smaller file: save it as JPEG".to_owned(),
            Self::OtherKind(_) => {
                "a JPEG, PNG, WebP or SVG: save it as JPEG and name that file here".to_owned()
            }
            Self::Empty | Self::CutShort | Self::Broken => {
                "the complete file: copy it from the camera again".to_owned()
            }
            Self::NoSvg => "an SVG as drawing programs save it, or a PNG".to_owned(),
            Self::SvgTooLarge => {
                format!("an SVG of at most {} MiB, or a PNG", MOST_SVG_BYTES >> 20)
            }
            Self::SvgDeclares => "a plain SVG without DOCTYPE and entities, or a PNG".to_owned(),
            Self::SvgShowsPicture => {
                "an SVG of lines, areas and text, or the whole as a PNG".to_owned()
            }
        }
    }

    /// What stands on the placeholder: nothing of the file's name, which not everybody may see.
    pub fn short(&self) -> &'static str {
        match self {
            Self::Unreadable(_) | Self::Empty => "the picture cannot be read",
            Self::TooLarge | Self::TooManyPixels(..) | Self::SvgTooLarge => {
                "the picture is too large"
            }
            Self::OtherKind(_) => "the image type is not supported",
            Self::CutShort => "the picture is cut short",
            Self::Broken | Self::NoSvg => "the picture is damaged",
            Self::SvgDeclares | Self::SvgShowsPicture => {
                "the picture contains parts that are not shown"
            }
        }
    }
}
