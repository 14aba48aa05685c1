//! YAML with places: the only module that knows which library reads it.
//!
//! In: the YAML of a file, or the front matter of a log. Out: a tree whose every key and value
//! knows where it stands, or what is wrong at its line and column. Refused before parsing: deep
//! nesting, anchors, aliases, tags. A key written twice is kept twice; [`Fields`] says so.

mod fields;
mod scan;

use std::fmt;
use std::ops::Range;

use serde::de::{Deserialize, Deserializer, MapAccess, SeqAccess, Visitor};

use self::scan::Refused;
use crate::diagnostics::{Diagnostic, Slug};
use crate::source::{FileId, SourceFile, Span, Spanned};

pub(super) use fields::{Fields, twice};

/// A value and its place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Node {
    pub(super) value: Value,
    pub(super) span: Span,
}

/// What YAML can say. Numbers and truths stay as they are written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Value {
    Null,
    Text(String),
    List(Vec<Node>),
    Map(Vec<(Spanned<String>, Node)>),
}

/// Reads `range` of a file.
pub(super) fn parse(
    file: &SourceFile,
    id: FileId,
    range: Range<usize>,
) -> Result<Node, Box<Diagnostic>> {
    let start = range.start;
    let text = file.text().get(range).unwrap_or_default();
    let scalars = scan::scalars(text).map_err(|refused| Box::new(refusal(&refused, id, start)))?;
    let tree = match serde_yaml::from_str::<Tree>(text) {
        Ok(tree) => tree,
        // A text of remarks only holds nothing.
        Err(_) if scalars.is_empty() && !text.contains(['[', '{']) => Tree::Null,
        Err(failed) => return Err(Box::new(failure(&failed, file, id, start, text))),
    };
    let mut placer = Placer {
        text,
        file: id,
        start,
        scalars: scalars.into_iter().peekable(),
        last: 0,
    };
    placer.place(tree)
}

fn refusal(refused: &Refused, file: FileId, start: usize) -> Diagnostic {
    let at = |offset: usize| Span::new(file, start + offset..start + offset + 1);
    match refused {
        Refused::TooDeep(offset) => Diagnostic::error(
            Slug::TooDeep,
            at(*offset),
            "this is nested more than 64 levels deep",
        ),
        Refused::Sign(offset) => {
            let found = Diagnostic::error(
                Slug::BadYaml,
                at(*offset),
                "anchors (`&`), aliases (`*`) and tags (`!`) are not read",
            );
            found.expected("the value itself, in quotes if it begins with `&`, `*` or `!`")
        }
    }
}

/// What the library says, at its place and without its own account of it.
fn failure(
    failed: &serde_yaml::Error,
    file: &SourceFile,
    id: FileId,
    start: usize,
    text: &str,
) -> Diagnostic {
    let offset = failed
        .location()
        .map_or(0, |at| offset_of(text, at.line(), at.column()));
    let rest = text.get(offset..).unwrap_or_default();
    let width = rest
        .chars()
        .next()
        .filter(|c| *c != '\n')
        .map_or(0, char::len_utf8);
    let at = Span::new(id, start + offset..start + offset + width);
    if rest.starts_with('\t')
        || text
            .get(..offset)
            .is_some_and(|before| before.ends_with('\t'))
    {
        return Diagnostic::error(Slug::BadYaml, at, "YAML cannot be indented with a tab")
            .expected("spaces");
    }
    let said = failed.to_string();
    let reason = said.split(" at line ").next().unwrap_or_default();
    let line = file.position(start + offset).line;
    Diagnostic::error(
        Slug::BadYaml,
        at,
        format!("this cannot be read from line {line} on: {reason}"),
    )
    .expected(
        "`key: value` lines, lists in `[ ]` or with `- `, and quotes around a text with `: ` in it",
    )
}

/// The byte offset of a line and column (both from 1, the column in characters).
fn offset_of(text: &str, line: usize, column: usize) -> usize {
    let start: usize = text
        .split_inclusive('\n')
        .take(line.saturating_sub(1))
        .map(str::len)
        .sum();
    let rest = text.get(start..).unwrap_or_default();
    start
        + rest
            .chars()
            .take_while(|c| *c != '\n')
            .take(column.saturating_sub(1))
            .map(char::len_utf8)
            .sum::<usize>()
}

/// What the library reads, without places.
enum Tree {
    Null,
    /// A number or a truth: what counts is how it is written.
    AsWritten,
    Text(String),
    List(Vec<Tree>),
    Map(Vec<(Tree, Tree)>),
}

impl<'de> Deserialize<'de> for Tree {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        from.deserialize_any(TreeVisitor)
    }
}

struct TreeVisitor;

impl<'de> Visitor<'de> for TreeVisitor {
    type Value = Tree;

    fn expecting(&self, to: &mut fmt::Formatter) -> fmt::Result {
        to.write_str("any value")
    }

    fn visit_bool<E>(self, _: bool) -> Result<Tree, E> {
        Ok(Tree::AsWritten)
    }

    fn visit_i64<E>(self, _: i64) -> Result<Tree, E> {
        Ok(Tree::AsWritten)
    }

    fn visit_u64<E>(self, _: u64) -> Result<Tree, E> {
        Ok(Tree::AsWritten)
    }

    fn visit_i128<E>(self, _: i128) -> Result<Tree, E> {
        Ok(Tree::AsWritten)
    }

    fn visit_u128<E>(self, _: u128) -> Result<Tree, E> {
        Ok(Tree::AsWritten)
    }

    fn visit_f64<E>(self, _: f64) -> Result<Tree, E> {
        Ok(Tree::AsWritten)
    }

    fn visit_str<E>(self, text: &str) -> Result<Tree, E> {
        Ok(Tree::Text(text.to_owned()))
    }

    fn visit_unit<E>(self) -> Result<Tree, E> {
        Ok(Tree::Null)
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut items: A) -> Result<Tree, A::Error> {
        let mut list = Vec::new();
        while let Some(item) = items.next_element()? {
            list.push(item);
        }
        Ok(Tree::List(list))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut entries: A) -> Result<Tree, A::Error> {
        let mut map = Vec::new();
        while let Some(entry) = entries.next_entry()? {
            map.push(entry);
        }
        Ok(Tree::Map(map))
    }
}

/// Gives what was read the places that the scan found: both are in the order of the text.
struct Placer<'a, I: Iterator<Item = Range<usize>>> {
    text: &'a str,
    file: FileId,
    start: usize,
    scalars: std::iter::Peekable<I>,
    /// Where the last scalar ended.
    last: usize,
}

impl<I: Iterator<Item = Range<usize>>> Placer<'_, I> {
    fn place(&mut self, tree: Tree) -> Result<Node, Box<Diagnostic>> {
        match tree {
            Tree::Null => Ok(self.null()),
            Tree::AsWritten => {
                let (span, written) = self.scalar();
                Ok(Node {
                    value: Value::Text(written),
                    span,
                })
            }
            Tree::Text(text) => Ok(Node {
                span: self.scalar().0,
                value: Value::Text(text),
            }),
            Tree::List(items) => {
                let items = items
                    .into_iter()
                    .map(|item| self.place(item))
                    .collect::<Result<Vec<_>, _>>()?;
                let span = self.around(items.first().map(|node| node.span));
                Ok(Node {
                    value: Value::List(items),
                    span,
                })
            }
            Tree::Map(entries) => {
                let entries = entries
                    .into_iter()
                    .map(|(key, value)| self.entry(key, value))
                    .collect::<Result<Vec<_>, _>>()?;
                let span = self.around(entries.first().map(|(key, _)| key.span));
                Ok(Node {
                    value: Value::Map(entries),
                    span,
                })
            }
        }
    }

    fn entry(
        &mut self,
        key: Tree,
        value: Tree,
    ) -> Result<(Spanned<String>, Node), Box<Diagnostic>> {
        let key = self.place(key)?;
        let Value::Text(name) = key.value else {
            return Err(Box::new(Diagnostic::error(
                Slug::BadYaml,
                key.span,
                "a key must be a word",
            )));
        };
        Ok((Spanned::new(name, key.span), self.place(value)?))
    }

    /// The next scalar's place, and how it is written.
    fn scalar(&mut self) -> (Span, String) {
        let range = self.scalars.next().unwrap_or(self.last..self.last);
        self.last = range.end;
        let written = self.text.get(range.clone()).unwrap_or_default().to_owned();
        (self.span(range), written)
    }

    /// Nothing at all has no scalar; a written nothing has.
    fn null(&mut self) -> Node {
        let next = self
            .scalars
            .peek()
            .and_then(|range| self.text.get(range.clone()));
        let span = match next {
            Some("~" | "null" | "Null" | "NULL") => self.scalar().0,
            _ => self.span(self.last..self.last),
        };
        Node {
            value: Value::Null,
            span,
        }
    }

    fn around(&self, first: Option<Span>) -> Span {
        let end = self.span(self.last..self.last);
        first.map_or(end, |first| first.to(end))
    }

    fn span(&self, range: Range<usize>) -> Span {
        Span::new(self.file, self.start + range.start..self.start + range.end)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::Sources;

    fn read(text: &str) -> (Sources, Result<Node, Box<Diagnostic>>) {
        let mut sources = Sources::default();
        let id = sources.add("parts.yaml", text);
        let node = parse(sources.file(id), id, 0..text.len());
        (sources, node)
    }

    fn said(text: &str) -> (Slug, usize, usize, String) {
        let (sources, node) = read(text);
        let found = node.unwrap_err();
        let at = sources.position(found.at);
        (found.slug, at.line, at.column, found.message)
    }

    #[test]
    fn every_value_knows_its_place_and_numbers_stay_as_written() {
        let (sources, node) = read("a: 0417\nb: {c: [8200.00, 'x''y', ~, ], d: }\ne: true");
        let Value::Map(entries) = node.unwrap().value else {
            panic!()
        };
        assert_eq!(entries[0].1.value, Value::Text("0417".into()));
        let Value::Map(inner) = &entries[1].1.value else {
            panic!()
        };
        let Value::List(items) = &inner[0].1.value else {
            panic!()
        };
        let written: Vec<&str> = items.iter().map(|item| sources.slice(item.span)).collect();
        assert_eq!(written, ["8200.00", "'x''y'", "~"]);
        assert_eq!(items[1].value, Value::Text("x'y".into()));
        assert_eq!(inner[1].1.value, Value::Null);
        assert_eq!(sources.slice(entries[2].0.span), "e");
        assert_eq!(entries[2].1.value, Value::Text("true".into()));
    }

    #[test]
    fn what_cannot_be_read_is_said_at_its_line_and_column() {
        assert_eq!(
            said("a: 1\nb: [1\nc: 2\n"),
            (
                Slug::BadYaml,
                3,
                2,
                "this cannot be read from line 3 on: did not find expected ',' or ']'".into()
            )
        );
        assert_eq!(
            said("a:\n\tb: 1\n"),
            (
                Slug::BadYaml,
                2,
                1,
                "YAML cannot be indented with a tab".into()
            )
        );
        assert_eq!(said("é: &x 1").0, Slug::BadYaml);
        assert_eq!(said("? [a]\n: b").3, "a key must be a word");
    }

    #[test]
    fn remarks_only_are_nothing() {
        assert_eq!(read("# later\n").1.unwrap().value, Value::Null);
        assert_eq!(read("").1.unwrap().value, Value::Null);
    }

    /// Every value whose place says something else than the value itself.
    fn misplaced(sources: &Sources, node: &Node, out: &mut Vec<String>) {
        match &node.value {
            Value::Null => {}
            Value::Text(text) => {
                let written = sources.slice(node.span);
                let plain = !written.contains(['\n', '"', '\'']) && !text.contains('\n');
                if plain && written.trim() != text.trim() {
                    out.push(format!("{written:?} is not {text:?}"));
                }
            }
            Value::List(items) => items.iter().for_each(|item| misplaced(sources, item, out)),
            Value::Map(entries) => entries
                .iter()
                .for_each(|(_, value)| misplaced(sources, value, out)),
        }
    }

    /// How many scalars a tree holds.
    fn count(node: &Node) -> usize {
        match &node.value {
            Value::Null => usize::from(node.span.start < node.span.end),
            Value::Text(_) => 1,
            Value::List(items) => items.iter().map(count).sum(),
            Value::Map(entries) => entries.iter().map(|(_, value)| 1 + count(value)).sum(),
        }
    }

    proptest::proptest! {
        #![proptest_config(proptest::prelude::ProptestConfig { cases: 2000, failure_persistence: None, ..Default::default() })]

        #[test]
        fn whatever_can_be_read_is_placed_where_it_stands(
            lines in proptest::collection::vec(proptest::sample::select(vec![
                "k: v", "k:", "  k: v", "  k:", "  - v w", "- v", "- k: v", "  l: w", "    more", "  more: x", "k: |", "k: >-", "   text: 'x", "- |",
                "k: [a, 'b c', {d: e}]", "", "  ", "# remark", "k: \"x: y\" # r", "'q k': it's", "k: {a: , b: ~}", "? k", ": v", "- - x", "  -",
                "k: null", "é: [3, true,", "  x]", "k: http://x#y", "\"a", "b\": c", "k: 'it''s'", "---", "- - k: v", "k: a:b", "k:\t3",
            ]), 0..8)
        ) {
            let text = lines.join("\n");
            let (sources, node) = read(&text);
            if let Ok(node) = node {
                proptest::prop_assert_eq!(count(&node), scan::scalars(&text).unwrap().len(), "{:?}", node);
                let mut out = Vec::new();
                misplaced(&sources, &node, &mut out);
                proptest::prop_assert!(out.is_empty(), "{:?}", out);
            }
        }
    }
}
