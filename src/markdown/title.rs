//! A job's title as a line of safe HTML.
//!
//! In: Markdown as written. Out: emphasis, code and text; links and pictures show as their words,
//! as a title may itself stand in a link.

use pulldown_cmark::{Event, Options, Parser, Tag, TagEnd};

use super::escape::{escape, escape_into};

/// What means something inside a line of Markdown.
const MARKS: [char; 14] = [
    '\\', '`', '*', '_', '~', '[', ']', '<', '>', '&', '!', '\n', '\r', '\0',
];

/// A title's Markdown as HTML that may stand in any line of text.
pub fn title_html(markdown: &str) -> String {
    // Most titles are plain words, and every page of a day shows dozens of them.
    if markdown.trim() == markdown && !markdown.contains(MARKS) {
        return escape(markdown);
    }
    // A sign in front keeps a title such as `1. Ream` or `# 3` from being a list or a heading.
    let guarded = format!(".{markdown}");
    let mut out = String::with_capacity(guarded.len());
    for event in Parser::new_ext(&guarded, Options::ENABLE_STRIKETHROUGH) {
        put(&mut out, &event);
    }
    out.strip_prefix('.').map(str::to_owned).unwrap_or(out)
}

fn put(out: &mut String, event: &Event) {
    match event {
        Event::Text(text) | Event::Html(text) | Event::InlineHtml(text) => escape_into(out, text),
        Event::Code(code) => {
            out.push_str("<code>");
            escape_into(out, code);
            out.push_str("</code>");
        }
        Event::SoftBreak | Event::HardBreak => out.push(' '),
        Event::Start(Tag::Emphasis) => out.push_str("<em>"),
        Event::End(TagEnd::Emphasis) => out.push_str("</em>"),
        Event::Start(Tag::Strong) => out.push_str("<strong>"),
        Event::End(TagEnd::Strong) => out.push_str("</strong>"),
        Event::Start(Tag::Strikethrough) => out.push_str("<del>"),
        Event::End(TagEnd::Strikethrough) => out.push_str("</del>"),
        _ => {}
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_title_is_one_line_of_safe_html() {
        assert_eq!(
            title_html("1. _Ream_ `a<b` & [try](x.md) <i>"),
            "1. <em>Ream</em> <code>a&lt;b</code> &amp; try &lt;i&gt;"
        );
        assert_eq!(title_html("# 3 **bolts**"), "# 3 <strong>bolts</strong>");
        assert_eq!(
            title_html("1. Ream \"x\" | 2 x 3/8"),
            "1. Ream &quot;x&quot; | 2 x 3/8"
        );
        assert_eq!(title_html(""), "");
    }
}
