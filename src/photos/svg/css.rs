//! Style of an SVG, looked through.
//!
//! In: a style sheet or the value of an attribute. Out: whether it is plain paint.

/// Words that load something or run something in some browser; `url` may lead to a place of the
/// same file.
const NEVER: [&str; 9] = [
    "image(",
    "image-set(",
    "src(",
    "expression",
    "behavior",
    "-moz-binding",
    "script:",
    "data:",
    "cross-fade(",
];

/// Is it plain paint? Rules that load others begin with `@`; a `\` could hide a word.
pub(super) fn is_harmless(style: &str) -> bool {
    let small = style.to_ascii_lowercase();
    let foul = small.contains(['@', '\\', '<'])
        || small.contains("/*")
        || NEVER.iter().any(|word| small.contains(word));
    !foul && small.split("url").skip(1).all(leads_inside)
}

/// Does what stands behind `url` lead to a place of the same file, or is it no address at all?
fn leads_inside(behind: &str) -> bool {
    match behind.trim_start().strip_prefix('(') {
        Some(address) => address
            .trim_start()
            .trim_start_matches(['"', '\''])
            .starts_with('#'),
        None => true,
    }
}

/// A style sheet without its remarks; `None` where one does not end.
pub(super) fn without_remarks(style: &str) -> Option<String> {
    let mut kept = String::with_capacity(style.len());
    let mut rest = style;
    while let Some((before, behind)) = rest.split_once("/*") {
        kept.push_str(before);
        kept.push(' ');
        rest = behind.split_once("*/")?.1;
    }
    kept.push_str(rest);
    Some(kept)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paint_is_harmless_and_what_loads_is_not() {
        for fine in [
            "fill:#fff;stroke:url(#a)",
            ".curl{fill:url( '#b' )}",
            "",
            "M0 0h1",
        ] {
            assert!(is_harmless(fine), "{fine}");
        }
        for foul in [
            "fill:url(http://x)",
            "fill:url (//x)",
            "@import 'x'",
            "fill:u\\72l(//x)",
            "x:URL(x)",
            "a:image-set('x' 1x)",
            "fill:url(#a),url(b)",
            "a/*",
            "width:expression(1)",
        ] {
            assert!(!is_harmless(foul), "{foul}");
        }
    }

    #[test]
    fn remarks_go_and_one_without_an_end_takes_the_sheet_with_it() {
        assert_eq!(
            without_remarks("a{}/* by hand */b{}").as_deref(),
            Some("a{} b{}")
        );
        assert_eq!(without_remarks("a{}/* by hand"), None);
    }
}
