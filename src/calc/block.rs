//! A sums block, read.
//!
//! In: its lines. Out: its statements with names looked up, and what is wrong with the lines.
//! Nothing is worked out yet.

use super::expression::Reader;
use super::names::NameId;
use super::statement::{About, Statement, read, split_remark};
use crate::book::Line;
use crate::diagnostics::Diagnostic;
use crate::source::Span;

/// One block's lines.
#[derive(Clone, Debug, Default)]
pub(super) struct ParsedBlock {
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
    /// It could not be read, and the findings say why; what it would have changed.
    Unread(Option<About>),
}

impl ParsedBlock {
    /// Its statements.
    pub(super) fn statements(&self) -> impl DoubleEndedIterator<Item = &Statement> {
        self.lines.iter().filter_map(|line| match &line.says {
            LineSays::Statement(statement) => Some(&**statement),
            _ => None,
        })
    }
}

/// Reads the lines of a block.
pub(super) fn read_block(lines: &[Line], reader: &mut Reader) -> (ParsedBlock, Vec<Diagnostic>) {
    let mut block = ParsedBlock {
        broken: Vec::new(),
        lines: Vec::with_capacity(lines.len()),
    };
    let mut findings = Vec::new();
    for line in lines {
        let (text, remark) = split_remark(line);
        let says = if text.text.is_empty() {
            LineSays::Remark
        } else {
            let outcome = read(text, remark.clone(), reader);
            block.broken.extend(outcome.broken);
            match outcome.statement {
                Ok(statement) => LineSays::Statement(Box::new(statement)),
                Err(finding) => {
                    findings.push(*finding);
                    LineSays::Unread(outcome.about)
                }
            }
        };
        block.lines.push(ReadLine {
            at: line.span,
            remark,
            says,
        });
    }
    (block, findings)
}
