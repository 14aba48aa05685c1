//! Every sums block of a book, read once.
//!
//! In: the book. Out: its statements with names looked up, by place, and what is wrong with the lines.
//! Nothing is worked out yet, so reading and working out can be told apart, and timed apart.

use std::collections::{BTreeMap, BTreeSet};

use super::expression::Reader;
use super::names::{Link, NameId, Names};
use super::origins::Origins;
use super::statement::{Says, Statement, read, split_remark};
use crate::book::{Book, Entry, Line};
use crate::quantity::Units;
use crate::text::{Diagnostic, Slug, Span};

/// All statements of a book.
#[derive(Clone, Debug, Default)]
pub struct ReadSums {
    pub(super) names: Names,
    pub(super) origins: Origins,
    pub(super) formulas_used: BTreeSet<&'static str>,
    pub(super) targets: ReadBlock,
    pub(super) blocks: BTreeMap<(usize, usize), ReadBlock>,
    pub(super) diagnostics: Vec<Diagnostic>,
}

/// One block's lines.
#[derive(Clone, Debug, Default)]
pub(super) struct ReadBlock {
    /// Names whose line could not be read: what was known of them stands no longer.
    pub(super) broken: Vec<NameId>,
    /// Its lines.
    pub(super) lines: Vec<ReadLine>,
}

/// One line.
#[derive(Clone, Debug)]
pub(super) struct ReadLine {
    /// The whole line.
    pub(super) at: Span,
    /// Its remark.
    pub(super) remark: Option<String>,
    /// What it says.
    pub(super) says: LineSays,
}

/// What a line says.
#[derive(Clone, Debug)]
pub(super) enum LineSays {
    /// A statement.
    Statement(Box<Statement>),
    /// Nothing but a remark.
    Remark,
    /// It could not be read, and the findings say why.
    Unread,
}

impl ReadBlock {
    /// Its statements.
    pub(super) fn statements(&self) -> impl DoubleEndedIterator<Item = &Statement> {
        self.lines.iter().filter_map(|line| match &line.says {
            LineSays::Statement(statement) => Some(&**statement),
            _ => None,
        })
    }
}

/// Reads the targets and every sums block.
pub fn read_sums(book: &Book, units: &Units) -> ReadSums {
    let mut sums = ReadSums::default();
    sums.targets = sums.block(&book.sheet.targets, &Link { units, book, today: 0 });
    sums.only_checks_as_targets();
    for (index, log) in book.days.iter().enumerate() {
        let link = Link { units, book, today: log.day };
        for (entry, what) in log.entries.iter().enumerate() {
            if let Entry::Sums(block) = what {
                let read = sums.block(&block.lines, &link);
                sums.blocks.insert((index, entry), read);
            }
        }
    }
    sums
}

impl ReadSums {
    fn block(&mut self, lines: &[Line], link: &Link) -> ReadBlock {
        let mut block = ReadBlock { broken: Vec::new(), lines: Vec::with_capacity(lines.len()) };
        for line in lines {
            let (text, remark) = split_remark(line);
            let says = if text.text.is_empty() {
                LineSays::Remark
            } else {
                let mut reader = Reader {
                    names: &mut self.names,
                    origins: &mut self.origins,
                    formulas_used: &mut self.formulas_used,
                    link,
                };
                let outcome = read(text, remark.clone(), &mut reader);
                block.broken.extend(outcome.broken);
                match outcome.statement {
                    Ok(statement) => LineSays::Statement(Box::new(statement)),
                    Err(finding) => {
                        self.diagnostics.push(*finding);
                        LineSays::Unread
                    }
                }
            };
            block.lines.push(ReadLine { at: line.span, remark, says });
        }
        block
    }

    fn only_checks_as_targets(&mut self) {
        let others = self.targets.statements().filter(|statement| !matches!(statement.says, Says::Check(_)));
        let findings = others.map(|statement| {
            Diagnostic::error(Slug::BadStatement, statement.at, "a target is a check")
                .expected("NAME at least, at most, between or within limits")
        });
        self.diagnostics.extend(findings.collect::<Vec<_>>());
    }
}
