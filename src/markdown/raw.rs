//! Raw HTML of a log, made harmless.
//!
//! In: HTML as somebody wrote it. Out: HTML in which only tags of [`INLINE`] and [`BLOCK`] are
//! left, and what was left out, tag by tag.
//!
//! `ammonia` reads the HTML as a browser does and writes the tree anew, so what comes out closes
//! all it opens. It is asked one piece at a time: a block of raw HTML, or a single tag in a line.
//! Our own markup never goes through it, so that it need not allow what we write ourselves
//! (classes, anchors, pictures, drawings); and no piece of somebody else's can reach over ours, for
//! the walk pairs tags that stand apart on its own stack ([`walk`](super::walk())): a tag closes
//! only inside what it was opened in, and one that does not is taken out again.
//!
//! The scan for what is left out serves the messages only: what is safe is decided by `ammonia`
//! alone.

use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;
use std::sync::LazyLock;

use ammonia::Builder;

/// Tags that may stand in a line.
const INLINE: [&str; 22] = [
    "abbr", "b", "br", "cite", "code", "del", "dfn", "em", "i", "ins", "kbd", "mark", "q", "s",
    "samp", "small", "strong", "sub", "sup", "u", "var", "wbr",
];
/// Tags that may stand in a block of their own besides.
const BLOCK: [&str; 12] = [
    "p", "hr", "details", "summary", "table", "caption", "thead", "tbody", "tfoot", "tr", "th",
    "td",
];
/// Attributes that stay, by tag.
const ATTRIBUTES: [(&str, &[&str]); 4] = [
    ("abbr", &["title"]),
    ("details", &["open"]),
    ("td", &["colspan", "rowspan"]),
    ("th", &["colspan", "rowspan"]),
];
/// Tags that close themselves.
const VOID: [&str; 3] = ["br", "hr", "wbr"];
/// Tags whose content is no text to read: it goes with them.
const SILENT: [&str; 8] = [
    "script", "style", "textarea", "title", "xmp", "iframe", "noembed", "noframes",
];
/// Deeper than this raw HTML is not read: reading it could cost the square of its depth.
const DEEPEST: usize = 16;
/// A longer block of raw HTML is not read either.
const LONGEST: usize = 64 * 1024;
/// Tags that may be left open: the next one, or the end, closes them.
const ENDS_BY_ITSELF: [&str; 7] = ["p", "thead", "tbody", "tfoot", "tr", "th", "td"];
/// So many letters of a name go into a message.
const MOST_LETTERS: usize = 24;
/// The widest and tallest cell.
const MOST_CELLS: u32 = 99;

static CLEANER: LazyLock<Builder<'static>> = LazyLock::new(|| {
    let mut cleaner = Builder::empty();
    cleaner
        .add_tags(INLINE)
        .add_tags(BLOCK)
        .add_clean_content_tags(SILENT);
    let generic = cleaner.clone_generic_attributes();
    cleaner.rm_generic_attributes(generic).link_rel(None);
    for (tag, attributes) in cleaner.clone_tag_attributes() {
        cleaner.rm_tag_attributes(tag, attributes);
    }
    for (tag, attributes) in ATTRIBUTES {
        cleaner.add_tag_attributes(tag, attributes);
    }
    cleaner.attribute_filter(|_, attribute, value| {
        is_sound(attribute, value).then_some(Cow::Borrowed(value))
    });
    cleaner
});

fn is_sound(attribute: &str, value: &str) -> bool {
    let cells = || {
        value
            .parse()
            .is_ok_and(|cells: u32| (1..=MOST_CELLS).contains(&cells))
    };
    !attribute.ends_with("span") || cells()
}

/// A tag as it was written.
pub(super) struct Tag {
    /// Its name in small letters.
    pub(super) name: String,
    /// Does it close?
    pub(super) closes: bool,
    /// Its attributes' names in small letters.
    attributes: Vec<String>,
    /// Where it stands.
    pub(super) at: Range<usize>,
}

impl Tag {
    /// May it stand in a line?
    pub(super) fn is_inline(&self) -> bool {
        INLINE.contains(&self.name.as_str())
    }

    /// Does it close itself?
    pub(super) fn is_void(&self) -> bool {
        VOID.contains(&self.name.as_str())
    }

    fn is_known(&self) -> bool {
        self.is_inline() || BLOCK.contains(&self.name.as_str())
    }

    /// The attributes that it may not have.
    pub(super) fn foreign(&self) -> impl Iterator<Item = &str> {
        let known = ATTRIBUTES
            .iter()
            .find(|(tag, _)| *tag == self.name)
            .map_or(&[][..], |(_, known)| known);
        self.attributes
            .iter()
            .map(String::as_str)
            .filter(move |name| !known.contains(name))
    }

    /// The tag as it may stand in a line, its attributes sifted; nothing for any other.
    pub(super) fn opening(&self, written: &str) -> Option<String> {
        let closing = if self.is_void() {
            String::new()
        } else {
            format!("</{}>", self.name)
        };
        let clean = cleaned(&format!("{written}{closing}"));
        let opening = clean.strip_suffix(&closing)?;
        let one = opening.starts_with('<') && opening.find('>') == Some(opening.len() - 1);
        (self.is_inline() && one).then(|| opening.to_owned())
    }
}

/// What is left out of a stretch of raw HTML.
pub(super) struct Lost {
    /// Where it stands.
    pub(super) at: Range<usize>,
    /// What is wrong.
    pub(super) message: String,
    /// What to write instead, where there is something.
    pub(super) instead: Option<&'static str>,
}

/// A block of raw HTML, made harmless; nothing where it is too long or too deep to be read.
pub(super) fn block(html: &str, tags: &[Tag]) -> Option<String> {
    (html.len() <= LONGEST && depth(tags) <= DEEPEST).then(|| cleaned(html))
}

/// HTML as `ammonia` leaves it, texts and attributes written as we write them.
fn cleaned(html: &str) -> String {
    let clean = CLEANER.clean(html).to_string().replace("&nbsp;", "\u{a0}");
    let mut out = String::with_capacity(clean.len());
    let mut in_tag = false;
    for c in clean.chars() {
        match c {
            '<' => in_tag = true,
            '>' => in_tag = false,
            _ => {}
        }
        match c {
            '\'' => out.push_str("&#39;"),
            '"' if !in_tag => out.push_str("&quot;"),
            c => out.push(c),
        }
    }
    out
}

/// How deep tags nest at most: a tag that does not close what was opened last closes nothing.
fn depth(tags: &[Tag]) -> usize {
    let mut open: Vec<&str> = Vec::new();
    let mut deepest = 0;
    for tag in tags.iter().filter(|tag| !tag.is_void()) {
        if !tag.closes {
            open.push(&tag.name);
        } else if open.last() == Some(&tag.name.as_str()) {
            open.pop();
        }
        deepest = deepest.max(open.len());
    }
    deepest
}

/// What a block of raw HTML loses, each kind of thing once; a tag called `stays_open` is closed
/// further on.
pub(super) fn lost(tags: &[Tag], stays_open: Option<&str>) -> Vec<Lost> {
    let mut told = BTreeSet::new();
    let foreign = tags.iter().flat_map(|tag| {
        let attributes = tag.foreign().filter(|_| tag.is_known() && !tag.closes);
        let attributes = attributes.map(|attribute| attribute_lost(tag, attribute));
        (!tag.is_known())
            .then(|| tag_lost(tag))
            .into_iter()
            .chain(attributes)
    });
    let left_open = left_open(tags).filter(|tag| Some(tag.name.as_str()) != stays_open);
    let mut found: Vec<Lost> = foreign
        .filter(|lost| told.insert(lost.message.clone()))
        .collect();
    found.extend(left_open.map(|tag| Lost {
        at: tag.at.clone(),
        message: format!(
            "`<{0}>` is not closed here, so it ends with these lines",
            tag.name
        ),
        instead: None,
    }));
    found
}

/// The first tag of each name that is opened more often than it is closed, where that is a slip.
fn left_open(tags: &[Tag]) -> impl Iterator<Item = &Tag> {
    let mut open: BTreeMap<&str, (i64, &Tag)> = BTreeMap::new();
    for tag in tags.iter().filter(|tag| {
        tag.is_known() && !tag.is_void() && !ENDS_BY_ITSELF.contains(&tag.name.as_str())
    }) {
        open.entry(&tag.name).or_insert((0, tag)).0 += if tag.closes { -1 } else { 1 };
    }
    open.into_values()
        .filter(|(count, _)| *count > 0)
        .map(|(_, tag)| tag)
}

/// A tag that may not stand where it does.
pub(super) fn tag_lost(tag: &Tag) -> Lost {
    let message = if tag.is_known() {
        format!("`<{}>` cannot be inside a line, so it is omitted", tag.name)
    } else {
        format!("`<{}>` is omitted", shortened(&tag.name))
    };
    Lost {
        at: tag.at.clone(),
        message,
        instead: instead(&tag.name),
    }
}

/// An attribute that its tag may not have.
pub(super) fn attribute_lost(tag: &Tag, attribute: &str) -> Lost {
    let message = format!("`{}` of `<{}>` is omitted", shortened(attribute), tag.name);
    Lost {
        at: tag.at.clone(),
        message,
        instead: None,
    }
}

/// Names go into messages; nobody needs to read a very long one.
fn shortened(name: &str) -> String {
    name.chars().take(MOST_LETTERS).collect()
}

/// The Markdown for what a tag means.
fn instead(tag: &str) -> Option<&'static str> {
    Some(match tag {
        "a" => "[words](address)",
        "img" | "picture" | "figure" => "![words](../photos/picture.jpg)",
        "h1" | "h2" | "h3" | "h4" | "h5" | "h6" => "## Words",
        "ul" | "ol" | "li" => "- words",
        "blockquote" => "> words",
        "strike" => "<del>words</del>",
        "big" | "font" => "**words**",
        "tt" => "<code>words</code>",
        "pre" | "textarea" | "xmp" => "a line with ``` before it and one after it",
        "details" | "summary" | "table" | "hr" | "p" => {
            "the tag at the beginning of a line of its own, after an empty line"
        }
        _ => return None,
    })
}

/// The tags of a stretch of raw HTML, as a browser would find them.
pub(super) fn tags(html: &str) -> Vec<Tag> {
    let small = html.to_ascii_lowercase();
    let mut found = Vec::new();
    let mut from = 0;
    while let Some(at) = small
        .get(from..)
        .and_then(|rest| rest.find('<'))
        .map(|at| from + at)
    {
        from = match tag_at(&small, at) {
            Some(tag) => {
                let end = after_content(&small, &tag);
                found.push(tag);
                end
            }
            None => after_other(&small, at),
        };
    }
    found
}

/// The tag that begins at a `<`.
fn tag_at(small: &str, at: usize) -> Option<Tag> {
    let rest = small.get(at + 1..)?;
    let (closes, rest) = rest
        .strip_prefix('/')
        .map_or((false, rest), |rest| (true, rest));
    if !rest.starts_with(|c: char| c.is_ascii_alphabetic()) {
        return None;
    }
    let (name, mut rest) = word(rest, &['/', '>']);
    let mut attributes = Vec::new();
    loop {
        rest = rest.trim_start_matches(|c: char| c.is_ascii_whitespace() || c == '/');
        if rest.is_empty() || rest.starts_with('>') {
            break;
        }
        let (attribute, after) = word(rest, &['/', '>', '=']);
        // A sign that can begin no name is one all the same.
        let (attribute, after) = if attribute.is_empty() {
            rest.split_at(1)
        } else {
            (attribute, after)
        };
        attributes.push(attribute.to_owned());
        rest = after_value(after);
    }
    let end = small.len() - rest.len() + usize::from(!rest.is_empty());
    Some(Tag {
        name: name.to_owned(),
        closes,
        attributes,
        at: at..end,
    })
}

/// Up to the next space or one of these signs, and what follows.
fn word<'a>(text: &'a str, ends: &[char]) -> (&'a str, &'a str) {
    text.split_at(
        text.find(|c: char| c.is_ascii_whitespace() || ends.contains(&c))
            .unwrap_or(text.len()),
    )
}

/// What follows an attribute's value.
fn after_value(rest: &str) -> &str {
    let Some(value) = rest.trim_start().strip_prefix('=') else {
        return rest;
    };
    let value = value.trim_start();
    let Some(quote) = value.chars().next().filter(|c| ['"', '\''].contains(c)) else {
        return word(value, &['>']).1;
    };
    let inner = &value[1..];
    inner.find(quote).map_or("", |end| &inner[end + 1..])
}

/// Where reading goes on after a tag: the content of a script is none.
fn after_content(small: &str, tag: &Tag) -> usize {
    if tag.closes || !SILENT.contains(&tag.name.as_str()) {
        return tag.at.end;
    }
    let end = small
        .get(tag.at.end..)
        .and_then(|rest| rest.find(&format!("</{}", tag.name)));
    end.map_or(small.len(), |end| tag.at.end + end)
}

/// Where reading goes on after a `<` that begins no tag.
fn after_other(small: &str, at: usize) -> usize {
    let rest = small.get(at..).unwrap_or_default();
    let end = match () {
        () if rest.starts_with("<!--") => rest.find("-->").map(|end| end + 3),
        () if rest.starts_with("<!") || rest.starts_with("<?") || rest.starts_with("</") => {
            rest.find('>').map(|end| end + 1)
        }
        () => Some(1),
    };
    end.map_or(small.len(), |end| at + end)
}

/// Markdown's raw HTML that goes on until its own end (`CommonMark` 4.6, 1 to 5): how it begins and
/// how it ends.
const UNTIL_ITS_END: [(&str, &str, &str); 8] = [
    ("<!--", "-->", "comment"),
    ("<?", "?>", "instruction"),
    ("<![cdata[", "]]>", "section"),
    ("<!", ">", "declaration"),
    ("<script", "</script>", "script"),
    ("<style", "</style>", "style sheet"),
    ("<pre", "</pre>", "`<pre>`"),
    ("<textarea", "</textarea>", "`<textarea>`"),
];

/// What a block is that takes everything after it for its own, since its end is missing, and that
/// end.
pub(super) fn swallows(html: &str) -> Option<(&'static str, &'static str)> {
    let small = html.trim_start().to_ascii_lowercase();
    let (begins, ends, what) = UNTIL_ITS_END
        .iter()
        .find(|(begins, ..)| small.starts_with(begins))?;
    let inner = small.get(begins.len()..).unwrap_or_default();
    let any_end = || {
        UNTIL_ITS_END
            .iter()
            .skip(4)
            .filter_map(|(_, ends, _)| inner.find(ends))
            .min()
    };
    let end = if ends.starts_with("</") {
        any_end()
    } else {
        inner.find(ends)
    };
    // Where the line of its end is not the last one, the end was not taken for one.
    let after = end
        .and_then(|end| inner.get(end..)?.split_once('\n'))
        .map_or("", |(_, after)| after);
    (end.is_none() || !after.trim().is_empty()).then_some((*what, *ends))
}

/// Is there nothing but comments?
pub(super) fn is_comment(html: &str) -> bool {
    let mut rest = html.trim();
    while let Some(after) = rest
        .strip_prefix("<!--")
        .and_then(|comment| comment.split_once("-->"))
    {
        rest = after.1.trim_start();
    }
    rest.is_empty()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn clean(html: &str) -> String {
        block(html, &tags(html)).unwrap_or_default()
    }

    fn said(html: &str) -> Vec<String> {
        lost(&tags(html), None)
            .into_iter()
            .map(|lost| lost.message)
            .collect()
    }

    #[test]
    fn harmless_markup_stays_and_the_rest_goes() {
        assert_eq!(
            clean("H<sub>2</sub>O <b id=x class=y onclick=\"z\">it's \"so\"</b>"),
            "H<sub>2</sub>O <b>it&#39;s &quot;so&quot;</b>"
        );
        assert_eq!(
            clean("<abbr title='a > \"b\"'>c</abbr>"),
            "<abbr title=\"a &gt; &quot;b&quot;\">c</abbr>"
        );
        assert_eq!(
            clean("a<script>x</script><svg><b>c</b></svg></main><i>d"),
            "a<b>c</b><i>d</i>"
        );
        assert_eq!(
            clean("<table><tr><td colspan=2>a<td colspan=900>b</table>"),
            "<table><tbody><tr><td colspan=\"2\">a</td><td>b</td></tr></tbody></table>"
        );
    }

    #[test]
    fn what_goes_is_told_once() {
        assert_eq!(
            said("<b onclick='x'>a</b><script><i></script><B ONCLICK=y>b</b></div>"),
            [
                "`onclick` of `<b>` is omitted",
                "`<script>` is omitted",
                "`<div>` is omitted"
            ]
        );
        assert_eq!(
            said("<td a=\">\"><b>c<!-- <x> -->"),
            [
                "`a` of `<td>` is omitted",
                "`<b>` is not closed here, so it ends with these lines"
            ]
        );
        assert_eq!(
            said("5 < 6 > 2, <3 <b"),
            ["`<b>` is not closed here, so it ends with these lines"]
        );
    }

    #[test]
    fn html_without_its_end_is_found() {
        assert_eq!(swallows("<!-- a"), Some(("comment", "-->")));
        assert_eq!(swallows("<SCRIPT>x </script> y\n"), None);
        assert_eq!(
            swallows("<SCRIPT>x </SCRIPT>\ny"),
            Some(("script", "</script>"))
        );
        assert_eq!(swallows("<pre>\n"), Some(("`<pre>`", "</pre>")));
        assert!(is_comment(" <!-- a --> <!-- b -->\n") && !is_comment("<!-- a --> b"));
    }

    #[test]
    fn deep_and_endless_html_is_not_read() {
        assert!(block(&"<b>".repeat(17), &tags(&"<b>".repeat(17))).is_none());
        assert!(block(&"<b></b>".repeat(90), &tags(&"<b></b>".repeat(90))).is_some());
        assert_eq!(tags(&"<a b='".repeat(1000)).len(), 1);
    }
}
