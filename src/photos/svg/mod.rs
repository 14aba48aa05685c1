//! An SVG rewritten from what is let through by name.
//!
//! In: the text of an SVG. Out: a new SVG of the elements and attributes in [`allowed`], in their
//! order. Let through are shapes, text, gradients, patterns, masks, markers and `use` of what
//! stands in the same file. Nothing else is: no scripts, event attributes, animations, filters,
//! links, foreign objects, descriptions, metadata, editors' own elements and attributes, comments,
//! processing instructions, and no address but `#name`. A file that declares a document type or
//! entities, or that shows another picture, is refused, for what is left would not be what was
//! drawn.

mod allowed;
mod css;
mod extent;
mod uses;

use quick_xml::events::{BytesRef, BytesStart, Event};
use quick_xml::name::{Namespace, ResolveResult};
use quick_xml::{NsReader, XmlVersion};

use super::{MOST_SVG_BYTES, Trouble};
use allowed::{Element, address, attribute, element};
use uses::Uses;

const SVG: &str = "http://www.w3.org/2000/svg";
/// How deep elements may stand in each other.
const DEEPEST: usize = 256;
/// The most attributes of one element.
const MOST_ATTRIBUTES: usize = 256;
/// The most namespaces a file names: each name is looked for among them.
const MOST_NAMESPACES: usize = 256;
/// So far into a file its first element is looked for.
const HEAD: usize = 4096;

/// Does a file begin as an SVG does?
pub(super) fn begins(bytes: &[u8]) -> bool {
    let head = bytes.get(..HEAD).unwrap_or(bytes);
    let text = head
        .strip_prefix(b"\xef\xbb\xbf")
        .unwrap_or(head)
        .trim_ascii_start();
    text.starts_with(b"<")
        && text
            .windows(4)
            .any(|four| four == b"<svg" || four == b":svg")
}

/// Width and height in pixels, as the file wants to be shown.
pub(super) fn extent(bytes: &[u8]) -> Result<(u32, u32), Trouble> {
    Ok(cleaned(bytes)?.extent)
}

/// The file, rewritten.
pub(super) fn clean(bytes: &[u8]) -> Result<String, Trouble> {
    Ok(cleaned(bytes)?.out)
}

fn cleaned(bytes: &[u8]) -> Result<Cleaner, Trouble> {
    if bytes.len() > MOST_SVG_BYTES {
        return Err(Trouble::SvgTooLarge);
    }
    let text = std::str::from_utf8(bytes).map_err(|_| Trouble::NoSvg)?;
    let mut reader = NsReader::from_str(text.trim_start_matches('\u{feff}'));
    reader.config_mut().expand_empty_elements = true;
    let mut cleaner = Cleaner::default();
    loop {
        let (space, event) = reader.read_resolved_event().map_err(|_| Trouble::NoSvg)?;
        let ours = space == ResolveResult::Bound(Namespace(SVG));
        match event {
            Event::Eof => break,
            event => cleaner.take(event, ours)?,
        }
    }
    cleaner.end()
}

/// An element that is open.
struct Open {
    /// Its name, where it is written.
    name: Option<String>,
    /// The nearest id around what stands in it.
    id: String,
}

#[derive(Default)]
struct Cleaner {
    out: String,
    open: Vec<Open>,
    /// How many elements are open of one that is left out.
    left_out: usize,
    /// The text of the style sheet that is open.
    style: Option<String>,
    uses: Uses,
    namespaces: usize,
    extent: (u32, u32),
}

impl Cleaner {
    fn take(&mut self, event: Event, ours: bool) -> Result<(), Trouble> {
        match event {
            Event::Start(start) => self.start(&start, ours),
            Event::End(_) => {
                self.close();
                Ok(())
            }
            Event::Text(text) => {
                self.text(&text.xml10_content());
                Ok(())
            }
            Event::CData(text) => {
                self.text(&text.xml10_content());
                Ok(())
            }
            Event::GeneralRef(sign) => {
                self.text(&character(&sign)?);
                Ok(())
            }
            Event::DocType(_) => Err(Trouble::SvgDeclares),
            Event::Empty(_) | Event::Comment(_) | Event::Decl(_) | Event::PI(_) | Event::Eof => {
                Ok(())
            }
        }
    }

    fn start(&mut self, start: &BytesStart, ours: bool) -> Result<(), Trouble> {
        self.count(start)?;
        if self.left_out > 0 {
            self.left_out += 1;
            return Ok(());
        }
        let name = start.local_name().into_inner().to_owned();
        let is_root = self.open.is_empty();
        if is_root && !(ours && name == "svg" && self.out.is_empty()) {
            return Err(Trouble::NoSvg);
        }
        let around = self
            .open
            .last()
            .map_or_else(String::new, |open| open.id.clone());
        match if ours {
            element(&name)
        } else {
            Element::LeftOut
        } {
            Element::Picture => return Err(Trouble::SvgShowsPicture),
            Element::LeftOut => self.left_out = 1,
            Element::Through => self.open.push(Open {
                name: None,
                id: around,
            }),
            Element::Style => self.style = Some(String::new()),
            Element::Kept => self.write(start, name, &around, is_root)?,
        }
        Ok(())
    }

    /// What one element and one file may have of attributes and namespaces.
    fn count(&mut self, start: &BytesStart) -> Result<(), Trouble> {
        let (mut attributes, deep) = (0, self.open.len() + self.left_out);
        for attribute in start.attributes().with_checks(false) {
            let attribute = attribute.map_err(|_| Trouble::NoSvg)?;
            attributes += 1;
            self.namespaces += usize::from(attribute.key.as_namespace_binding().is_some());
        }
        let fits =
            attributes <= MOST_ATTRIBUTES && deep <= DEEPEST && self.namespaces <= MOST_NAMESPACES;
        if fits {
            Ok(())
        } else {
            Err(Trouble::SvgTooLarge)
        }
    }

    fn write(
        &mut self,
        start: &BytesStart,
        name: String,
        around: &str,
        is_root: bool,
    ) -> Result<(), Trouble> {
        self.out.push_str(&format!("<{name}"));
        if is_root {
            self.out.push_str(&format!(" xmlns=\"{SVG}\""));
            self.extent = extent::of(&attributes(start)?);
        }
        let mut id = around.to_owned();
        let mut written = Vec::new();
        for (key, value) in attributes(start)? {
            let Some(key) = attribute(&key, &value).filter(|key| !written.contains(key)) else {
                continue;
            };
            if key == "id" {
                self.uses.holds(around, &value);
                id.clone_from(&value);
            }
            self.out
                .push_str(&format!(" {key}=\"{}\"", escaped(&value)));
            if let Some(to) = address(key, &value) {
                self.uses.holds(&id, to);
            }
            written.push(key);
        }
        self.out.push('>');
        self.open.push(Open {
            name: Some(name),
            id,
        });
        Ok(())
    }

    fn close(&mut self) {
        if self.left_out > 0 {
            self.left_out -= 1;
        } else if let Some(style) = self.style.take() {
            let style = css::without_remarks(&style)
                .filter(|style| css::is_harmless(style))
                .unwrap_or_default();
            self.out
                .push_str(&format!("<style>{}</style>", escaped(&style)));
        } else if let Some(name) = self.open.pop().and_then(|open| open.name) {
            self.out.push_str(&format!("</{name}>"));
        }
    }

    fn text(&mut self, text: &str) {
        if self.left_out > 0 {
            return;
        }
        if let Some(style) = &mut self.style {
            style.push_str(text);
        } else if self
            .open
            .iter()
            .rev()
            .find_map(|open| open.name.as_deref())
            .is_some_and(allowed::holds_text)
        {
            self.out.push_str(&escaped(text));
        }
    }

    fn end(self) -> Result<Self, Trouble> {
        if self.out.is_empty() || !self.open.is_empty() {
            return Err(Trouble::NoSvg);
        }
        if self.uses.are_few() {
            Ok(self)
        } else {
            Err(Trouble::SvgTooLarge)
        }
    }
}

/// The attributes of an element as they are meant, entities read back.
fn attributes(start: &BytesStart) -> Result<Vec<(String, String)>, Trouble> {
    let attribute = |attribute: Result<quick_xml::events::attributes::Attribute, _>| {
        let attribute = attribute.map_err(|_| Trouble::NoSvg)?;
        let value = attribute
            .normalized_value(XmlVersion::Implicit1_0)
            .map_err(|_| Trouble::SvgDeclares)?;
        Ok((attribute.key.into_inner().to_owned(), value.into_owned()))
    };
    start
        .attributes()
        .with_checks(false)
        .map(attribute)
        .collect()
}

/// What `&…;` stands for: one of the five that XML knows by itself, or a character by its number.
fn character(sign: &BytesRef) -> Result<String, Trouble> {
    if let Some(number) = sign.resolve_char_ref().map_err(|_| Trouble::NoSvg)? {
        return Ok(number.to_string());
    }
    let known =
        quick_xml::escape::resolve_predefined_entity(&sign.xml10_content()).map(str::to_owned);
    known.ok_or(Trouble::SvgDeclares)
}

fn escaped(text: &str) -> String {
    crate::markdown::escape(text)
}
