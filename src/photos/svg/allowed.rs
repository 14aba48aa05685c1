//! What an SVG may hold.
//!
//! In: names of elements and attributes. Out: what becomes of them. What does not stand here goes.

use super::css;

/// What becomes of an element.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Element {
    /// It is written.
    Kept,
    /// A style sheet, written where it is harmless.
    Style,
    /// Only what stands in it is written.
    Through,
    /// It goes with all that stands in it.
    LeftOut,
    /// It shows another picture.
    Picture,
}

/// What becomes of an element of that name.
pub(super) fn element(name: &str) -> Element {
    match name {
        "svg" | "g" | "defs" | "symbol" | "use" | "switch" | "path" | "rect" | "circle"
        | "ellipse" | "line" | "polyline" | "polygon" | "text" | "tspan" | "textPath"
        | "linearGradient" | "radialGradient" | "stop" | "clipPath" | "mask" | "pattern"
        | "marker" => Element::Kept,
        "style" => Element::Style,
        "a" => Element::Through,
        "image" | "feImage" => Element::Picture,
        _ => Element::LeftOut,
    }
}

/// Does text stand in an element of that name?
pub(super) fn holds_text(name: &str) -> bool {
    matches!(name, "text" | "tspan" | "textPath")
}

/// Attributes that are plain figures, words and paint.
const ATTRIBUTES: &[&str] = &[
    "alignment-baseline",
    "baseline-shift",
    "class",
    "clip-path",
    "clip-rule",
    "clipPathUnits",
    "color",
    "color-interpolation",
    "cx",
    "cy",
    "d",
    "direction",
    "display",
    "dominant-baseline",
    "dx",
    "dy",
    "fill",
    "fill-opacity",
    "fill-rule",
    "font",
    "font-family",
    "font-size",
    "font-size-adjust",
    "font-stretch",
    "font-style",
    "font-variant",
    "font-weight",
    "fr",
    "fx",
    "fy",
    "gradientTransform",
    "gradientUnits",
    "height",
    "id",
    "isolation",
    "lengthAdjust",
    "letter-spacing",
    "marker",
    "marker-end",
    "marker-mid",
    "marker-start",
    "markerHeight",
    "markerUnits",
    "markerWidth",
    "mask",
    "mask-type",
    "maskContentUnits",
    "maskUnits",
    "method",
    "mix-blend-mode",
    "offset",
    "opacity",
    "orient",
    "overflow",
    "paint-order",
    "pathLength",
    "patternContentUnits",
    "patternTransform",
    "patternUnits",
    "points",
    "preserveAspectRatio",
    "r",
    "refX",
    "refY",
    "rotate",
    "rx",
    "ry",
    "shape-rendering",
    "side",
    "spacing",
    "spreadMethod",
    "startOffset",
    "stop-color",
    "stop-opacity",
    "stroke",
    "stroke-dasharray",
    "stroke-dashoffset",
    "stroke-linecap",
    "stroke-linejoin",
    "stroke-miterlimit",
    "stroke-opacity",
    "stroke-width",
    "style",
    "text-anchor",
    "text-decoration",
    "text-rendering",
    "textLength",
    "transform",
    "transform-origin",
    "unicode-bidi",
    "vector-effect",
    "viewBox",
    "visibility",
    "width",
    "word-spacing",
    "writing-mode",
    "x",
    "x1",
    "x2",
    "xml:space",
    "y",
    "y1",
    "y2",
];

/// The name under which an attribute is written, if it is.
pub(super) fn attribute(key: &str, value: &str) -> Option<&'static str> {
    if matches!(key, "href" | "xlink:href") {
        return value
            .trim()
            .strip_prefix('#')
            .is_some_and(|name| !name.is_empty())
            .then_some("href");
    }
    let known = ATTRIBUTES.iter().find(|known| **known == key)?;
    css::is_harmless(value).then_some(known)
}

/// The name in the same file that an attribute leads to.
pub(super) fn address<'v>(key: &str, value: &'v str) -> Option<&'v str> {
    if key == "href" {
        return value.trim().strip_prefix('#');
    }
    let (_, behind) = value.split_once("url(")?;
    let name = behind
        .trim_start()
        .trim_start_matches(['"', '\''])
        .strip_prefix('#')?;
    name.split(['"', '\'', ')']).next().map(str::trim)
}
