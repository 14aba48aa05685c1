//! Where the scalars of a YAML text stand, found before it is parsed.
//!
//! In: the text. Out: the byte range of every scalar in order, or the first thing that is not read:
//! nesting deeper than anybody writes, anchors, aliases and tags. Linear in the length of the text.

use std::ops::Range;

/// Deeper than this is refused.
const DEEPEST: usize = 64;

/// What is refused before parsing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Refused {
    /// Nested too deep.
    TooDeep(usize),
    /// An anchor, an alias or a tag.
    Sign(usize),
}

/// The ranges of all scalars, in order.
pub(super) fn scalars(text: &str) -> Result<Vec<Range<usize>>, Refused> {
    let mut scan = Scan {
        text: text.as_bytes(),
        at: 0,
        line: 0,
        flow: 0,
        parent: -1,
        levels: Vec::new(),
        found: Vec::new(),
    };
    while scan.at < scan.text.len() {
        scan.step()?;
    }
    Ok(scan.found)
}

struct Scan<'a> {
    text: &'a [u8],
    at: usize,
    /// Where the line begins.
    line: usize,
    /// How many brackets are open.
    flow: usize,
    /// Column of the key or dash that what follows belongs to.
    parent: isize,
    /// The columns of the block collections that are open.
    levels: Vec<usize>,
    found: Vec<Range<usize>>,
}

impl Scan<'_> {
    fn byte(&self, at: usize) -> u8 {
        // Behind the end it is as if a line ended.
        self.text.get(at).copied().unwrap_or(b'\n')
    }

    fn blank_at(&self, at: usize) -> bool {
        matches!(self.byte(at), b' ' | b'\t' | b'\n')
    }

    /// Does what stands at `at` end a plain word?
    fn ends_key(&self, at: usize) -> bool {
        self.byte(at) == b':'
            && (self.blank_at(at + 1) || self.flow > 0 && b",[]{}".contains(&self.byte(at + 1)))
    }

    fn line_end(&self, from: usize) -> usize {
        let rest = self.text.get(from..).unwrap_or_default();
        from + rest.iter().position(|b| *b == b'\n').unwrap_or(rest.len())
    }

    fn step(&mut self) -> Result<(), Refused> {
        match self.byte(self.at) {
            b'\n' => {
                self.at += 1;
                self.line = self.at;
            }
            b'#' | b'%' if self.at == self.line || self.byte(self.at) == b'#' => {
                self.at = self.line_end(self.at);
            }
            b'-' | b'.' if self.document_mark() => self.at += 3,
            b' ' | b'\t' | b',' => self.at += 1,
            b'[' | b'{' => self.open_bracket()?,
            b']' | b'}' => {
                self.flow = self.flow.saturating_sub(1);
                self.at += 1;
            }
            b'-' | b'?' if self.blank_at(self.at + 1) => {
                self.level(self.at)?;
                self.at += 1;
            }
            b':' if self.ends_key(self.at) || self.flow > 0 => self.at += 1,
            b'&' | b'*' | b'!' => return Err(Refused::Sign(self.at)),
            b'|' | b'>' if self.flow == 0 => self.block_scalar(),
            b'"' | b'\'' => self.quoted()?,
            _ => self.plain()?,
        }
        Ok(())
    }

    fn document_mark(&self) -> bool {
        let mark = self.text.get(self.at..self.at + 3);
        self.at == self.line && matches!(mark, Some(b"---" | b"...")) && self.blank_at(self.at + 3)
    }

    fn open_bracket(&mut self) -> Result<(), Refused> {
        self.flow += 1;
        self.at += 1;
        if self.flow > DEEPEST {
            Err(Refused::TooDeep(self.at - 1))
        } else {
            Ok(())
        }
    }

    /// A key or a dash stands at `at`.
    fn level(&mut self, at: usize) -> Result<(), Refused> {
        if self.flow > 0 {
            return Ok(());
        }
        let column = at - self.line;
        self.parent = column as isize;
        while self.levels.last().is_some_and(|level| *level >= column) {
            self.levels.pop();
        }
        self.levels.push(column);
        if self.levels.len() > DEEPEST {
            Err(Refused::TooDeep(at))
        } else {
            Ok(())
        }
    }

    /// Indentation of the line at `start`, and whether anything stands in it.
    fn indent(&self, start: usize) -> (isize, bool) {
        let mut at = start;
        while self.byte(at) == b' ' {
            at += 1;
        }
        ((at - start) as isize, !self.blank_at(at))
    }

    fn block_scalar(&mut self) {
        let header_end = self.line_end(self.at);
        let digit = self
            .text
            .get(self.at + 1..header_end)
            .and_then(|header| header.iter().find(|b| b.is_ascii_digit()));
        let mut inner = digit.map(|digit| self.parent.max(0) + (*digit - b'0') as isize);
        let start = (header_end + 1).min(self.text.len());
        let mut end = start;
        let mut at = start;
        while at < self.text.len() {
            let line_end = self.line_end(at);
            let (indent, filled) = self.indent(at);
            if filled {
                let least = *inner.get_or_insert(indent.max(self.parent + 1));
                if indent < least {
                    break;
                }
                end = line_end;
            }
            at = line_end + 1;
        }
        self.found.push(start..end);
        self.at = at.min(self.text.len());
        self.line = self.at;
    }

    fn quoted(&mut self) -> Result<(), Refused> {
        let start = self.at;
        let (quote, line) = (self.byte(start), self.line);
        let mut at = start + 1;
        while at < self.text.len() {
            match self.byte(at) {
                b'\\' if quote == b'"' => at += 1,
                b'\n' => self.line = at + 1,
                b if b == quote && quote == b'\'' && self.byte(at + 1) == quote => at += 1,
                b if b == quote => break,
                _ => {}
            }
            at += 1;
        }
        self.at = (at + 1).min(self.text.len());
        self.found.push(start..self.at);
        self.key_before_colon(start, line)
    }

    /// A scalar that began at `start` in the line at `line` is a key if a colon follows.
    fn key_before_colon(&mut self, start: usize, line: usize) -> Result<(), Refused> {
        let mut at = self.at;
        while matches!(self.byte(at), b' ' | b'\t') && at < self.text.len() {
            at += 1;
        }
        if self.flow == 0 && line == self.line && self.byte(at) == b':' && self.blank_at(at + 1) {
            self.level(start)?;
        }
        Ok(())
    }

    fn plain(&mut self) -> Result<(), Refused> {
        let start = self.at;
        let line = self.line;
        let mut end = self.plain_in_line(start);
        while let Some(next) = self.goes_on(end) {
            end = self.plain_in_line(next);
        }
        self.found.push(start..end);
        self.at = end;
        self.key_before_colon(start, line)
    }

    /// Where a plain scalar ends in this line, without the space after it.
    fn plain_in_line(&self, start: usize) -> usize {
        let mut at = start + 1;
        let mut end = at;
        while self.byte(at) != b'\n' && !self.ends_key(at) {
            let byte = self.byte(at);
            if self.flow > 0 && b",[]{}".contains(&byte) || byte == b'#' && self.blank_at(at - 1) {
                break;
            }
            at += 1;
            if !matches!(byte, b' ' | b'\t') {
                end = at;
            }
        }
        end
    }

    /// The start of the next line's text, if the plain scalar that ends at `end` goes on there.
    fn goes_on(&mut self, end: usize) -> Option<usize> {
        let mut at = end;
        while matches!(self.byte(at), b' ' | b'\t') {
            at += 1;
        }
        if self.byte(at) != b'\n' {
            return None;
        }
        while at < self.text.len() {
            let line = at + 1;
            let (indent, filled) = self.indent(line);
            at = line + indent as usize;
            if filled {
                let ends = self.flow > 0 && b",[]{}".contains(&self.byte(at))
                    || self.byte(at) == b'#'
                    || self.ends_key(at);
                let inside = self.flow > 0 || indent > self.parent;
                return (inside && !ends).then(|| {
                    self.line = line;
                    at
                });
            }
            at = self.line_end(at);
        }
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn texts(yaml: &str) -> Vec<&str> {
        scalars(yaml)
            .unwrap()
            .into_iter()
            .map(|range| &yaml[range])
            .collect()
    }

    #[test]
    fn every_scalar_is_found_in_order() {
        let yaml = "---\na: one two  # remark\nb:\n  - {name: x y, 'q''': \"z \\\" {\"}\n  - it's\n\"k\": |\n  l1\n\n    l2\nlast: >-\n  t\n";
        assert_eq!(
            texts(yaml),
            [
                "a",
                "one two",
                "b",
                "name",
                "x y",
                "'q'''",
                "\"z \\\" {\"",
                "it's",
                "\"k\"",
                "  l1\n\n    l2",
                "last",
                "  t"
            ]
        );
    }

    #[test]
    fn a_plain_scalar_may_go_on_in_the_next_line() {
        assert_eq!(
            texts("a: one\n  two\n\n  three\nb: [x\n y, z:3, http://x]\nc:\nd: e"),
            [
                "a",
                "one\n  two\n\n  three",
                "b",
                "x\n y",
                "z:3",
                "http://x",
                "c",
                "d",
                "e"
            ]
        );
    }

    #[test]
    fn anchors_aliases_and_tags_are_refused_at_their_place() {
        assert_eq!(scalars("a: &x 1"), Err(Refused::Sign(3)));
        assert_eq!(scalars("a: [*x]"), Err(Refused::Sign(4)));
        assert_eq!(scalars("!t a"), Err(Refused::Sign(0)));
        assert_eq!(texts("a: x & y * z!"), ["a", "x & y * z!"]);
    }

    #[test]
    fn deep_nesting_is_refused_in_brackets_and_in_lines() {
        assert_eq!(scalars(&"[".repeat(100_000)), Err(Refused::TooDeep(64)));
        assert_eq!(scalars(&"- ".repeat(100_000)), Err(Refused::TooDeep(128)));
        let stairs: Vec<String> = (0..70).map(|n| " ".repeat(n) + "a:").collect();
        assert!(matches!(
            scalars(&stairs.join("\n")),
            Err(Refused::TooDeep(_))
        ));
        assert!(scalars(&"a: [{b: [x]}]\n".repeat(1000)).is_ok());
    }
}
