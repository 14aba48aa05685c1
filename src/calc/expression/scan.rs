//! The pieces of an expression, left to right.
//!
//! In: text. Out: leaves and calls with their places, and the same text with a placeholder for
//! each, for evalexpr to find the structure of. Anything that evalexpr would take for something
//! else (assignments, strings, comments, products without a sign) is refused here, at its place.

use std::ops::Range;

use crate::diagnostics::Slug;
use crate::quantity::{LiteralError, NumberContext, Unit, Units, decimal_comma, first_amount};

/// Deeper brackets than anybody writes; also keeps later stages from running out of stack.
const DEEPEST: usize = 32;
/// More pieces than anybody writes in one line.
const MOST_PIECES: usize = 400;

/// A leaf of the expression.
#[derive(Debug)]
pub(super) enum Leaf {
    /// A number in its unit.
    Number { number: f64, unit: Option<Unit> },
    /// A name, perhaps with dots.
    Name(String),
}

/// A function call: its name, and which of its arguments were given by name.
#[derive(Debug)]
pub(super) struct Call {
    pub(super) name: String,
    pub(super) name_at: Range<usize>,
    /// From the name to the closing bracket.
    pub(super) at: Range<usize>,
    pub(super) argument_names: Vec<Option<(String, Range<usize>)>>,
}

/// The scanned text.
#[derive(Debug, Default)]
pub(super) struct Pieces {
    /// For evalexpr: `v0 - f0(v1 / v2)`.
    pub(super) skeleton: String,
    pub(super) leaves: Vec<(Leaf, Range<usize>)>,
    pub(super) calls: Vec<Call>,
}

/// An open bracket: a group, or the call with that index.
enum Open {
    Group(usize),
    Call(usize),
}

/// What stood last, which decides what may follow.
#[derive(Clone, Copy, PartialEq)]
enum Last {
    Start,
    Name,
    Number,
    Close,
    Times,
    Other,
    Open,
    Comma,
}

impl Last {
    fn is_operand(self) -> bool {
        matches!(self, Self::Name | Self::Number | Self::Close)
    }
}

struct Scanner<'a> {
    text: &'a str,
    units: &'a Units,
    at: usize,
    pieces: Pieces,
    open: Vec<Open>,
    /// How many `not` still reach on, outside brackets and in each open bracket.
    nots: Vec<usize>,
    last: Last,
    count: usize,
}

/// Scans the whole text.
pub(super) fn scan(text: &str, units: &Units) -> Result<Pieces, LiteralError> {
    let mut scanner = Scanner {
        text,
        units,
        at: 0,
        pieces: Pieces::default(),
        open: Vec::new(),
        nots: vec![0],
        last: Last::Start,
        count: 0,
    };
    while scanner.skip_space() {
        scanner.count += 1;
        if scanner.count > MOST_PIECES {
            return Err(LiteralError::new(
                Slug::TooDeep,
                scanner.at..text.trim_end().len(),
                "this sum is too long for one line",
            )
            .expected(format!(
                "at most {MOST_PIECES} pieces; give part of it its own name"
            )));
        }
        scanner.piece()?;
    }
    scanner.finish()
}

impl Scanner<'_> {
    fn rest(&self) -> &str {
        &self.text[self.at..]
    }

    /// Skips spaces; is anything left?
    fn skip_space(&mut self) -> bool {
        self.at = self.text.len() - self.rest().trim_start().len();
        self.at < self.text.len()
    }

    fn piece(&mut self) -> Result<(), LiteralError> {
        match self.rest().chars().next() {
            Some(c) if c.is_ascii_digit() || c == '.' => self.number(),
            Some(c) if c.is_ascii_alphabetic() => self.word(),
            Some(c) if c.is_alphabetic() || matches!(c, '€' | '£' | '$' | '¥' | '₹') => {
                Err(self
                    .unknown_unit(self.at)
                    .unwrap_or_else(|| self.unreadable(c.len_utf8())))
            }
            Some('(') => self.open_group(),
            Some(')') => self.close(),
            Some(',') => self.comma(),
            Some(c) => self.operator(c),
            None => Ok(()),
        }
    }

    fn number(&mut self) -> Result<(), LiteralError> {
        let reading = if matches!(self.last, Last::Times | Last::Name | Last::Close) {
            NumberContext::Operand
        } else {
            NumberContext::Expression
        };
        let found =
            first_amount(self.rest(), self.units, reading).map_err(|fault| fault.moved(self.at))?;
        let Some((amount, length)) = found else {
            return Err(self.unreadable(1));
        };
        let at = self.at..self.at + length;
        self.operand_may_stand(&at)?;
        self.decimal_comma(&at)?;
        self.leaf(
            Leaf::Number {
                number: amount.number,
                unit: amount.unit,
            },
            at,
            Last::Number,
        );
        Ok(())
    }

    /// Outside a call `12,5` can only be a decimal comma.
    fn decimal_comma(&self, at: &Range<usize>) -> Result<(), LiteralError> {
        let in_call = self.open.iter().any(|open| matches!(open, Open::Call(_)));
        let digits = self.text[at.end..].strip_prefix(',').map_or(0, |rest| {
            rest.bytes().take_while(u8::is_ascii_digit).count()
        });
        if in_call || digits == 0 {
            return Ok(());
        }
        let number = &self.text[at.start..];
        Err(decimal_comma(number, at.end - at.start, digits).moved(at.start))
    }

    fn leaf(&mut self, leaf: Leaf, at: Range<usize>, last: Last) {
        self.pieces
            .skeleton
            .push_str(&format!("v{} ", self.pieces.leaves.len()));
        self.at = at.end;
        self.pieces.leaves.push((leaf, at));
        self.last = last;
    }

    fn word(&mut self) -> Result<(), LiteralError> {
        let length = word_length(self.rest());
        let word = self.rest()[..length].to_owned();
        let at = self.at..self.at + length;
        match word.as_str() {
            "and" => return self.joint("&& ", at),
            "or" => return self.joint("|| ", at),
            "not" => return self.not(at),
            _ => {}
        }
        let after = self.text[at.end..].trim_start();
        if after.starts_with('(') {
            return self.open_call(word, at);
        }
        if after.starts_with(':') && matches!(self.last, Last::Open | Last::Comma) {
            return self.argument_name(word, at);
        }
        if let Some(fault) = self.unknown_unit(at.start) {
            return Err(fault);
        }
        self.operand_may_stand(&at)?;
        self.leaf(Leaf::Name(word), at, Last::Name);
        Ok(())
    }

    /// A word straight after a number without a unit is taken for its unit.
    fn unknown_unit(&self, word: usize) -> Option<LiteralError> {
        let (Leaf::Number { number, unit: None }, at) = self.pieces.leaves.last()? else {
            return None;
        };
        let behind = self.last == Last::Number && !self.text[at.end..word].contains(['\n', '\t']);
        behind.then(|| {
            self.units
                .unknown_after(&self.text[at.start..], *number, word - at.start)
                .moved(at.start)
        })
    }

    fn argument_name(&mut self, word: String, at: Range<usize>) -> Result<(), LiteralError> {
        let Some(Open::Call(call)) = self.open.last() else {
            return Err(self.unreadable(at.end - at.start));
        };
        if let Some(slot) = self.pieces.calls[*call].argument_names.last_mut() {
            *slot = Some((word, at.clone()));
        }
        self.at = self.text.len() - self.text[at.end..].trim_start().len() + 1;
        self.last = Last::Open;
        Ok(())
    }

    fn open_call(&mut self, name: String, at: Range<usize>) -> Result<(), LiteralError> {
        self.operand_may_stand(&at)?;
        let index = self.pieces.calls.len();
        self.pieces.skeleton.push_str(&format!("f{index}("));
        self.at = self.text.len() - self.text[at.end..].trim_start().len() + 1;
        self.pieces.calls.push(Call {
            name,
            name_at: at.clone(),
            at,
            argument_names: vec![None],
        });
        self.push(Open::Call(index))
    }

    fn open_group(&mut self) -> Result<(), LiteralError> {
        let at = self.at..self.at + 1;
        self.operand_may_stand(&at)?;
        self.pieces.skeleton.push('(');
        self.at += 1;
        self.push(Open::Group(at.start))
    }

    fn push(&mut self, open: Open) -> Result<(), LiteralError> {
        self.open.push(open);
        self.nots.push(0);
        self.last = Last::Open;
        if self.open.len() > DEEPEST {
            return Err(LiteralError::new(
                Slug::TooDeep,
                self.at - 1..self.at,
                "brackets are nested too deep",
            )
            .expected(format!(
                "at most {DEEPEST} levels; give the inner part its own name"
            )));
        }
        Ok(())
    }

    fn close(&mut self) -> Result<(), LiteralError> {
        let place = self.at..self.at + 1;
        let empty_call = self.last == Last::Open && matches!(self.open.last(), Some(Open::Call(_)));
        if !self.last.is_operand() && !empty_call {
            return Err(LiteralError::new(
                Slug::BadExpression,
                place,
                "something is missing before this bracket",
            ));
        }
        match self.open.pop() {
            None => {
                return Err(LiteralError::new(
                    Slug::BadExpression,
                    place,
                    "this bracket was never opened",
                ));
            }
            Some(Open::Call(call)) => self.pieces.calls[call].at.end = place.end,
            Some(Open::Group(_)) => {}
        }
        self.end_nots();
        self.nots.pop();
        self.pieces.skeleton.push_str(") ");
        self.at = place.end;
        self.last = Last::Close;
        Ok(())
    }

    fn comma(&mut self) -> Result<(), LiteralError> {
        let place = self.at..self.at + 1;
        let Some(Open::Call(call)) = self.open.last() else {
            return Err(LiteralError::new(
                Slug::BadExpression,
                place,
                "a comma can only separate the arguments of a function",
            )
            .expected("a decimal point, or one sum per line"));
        };
        if !self.last.is_operand() {
            return Err(LiteralError::new(
                Slug::BadExpression,
                place,
                "an argument is missing before this comma",
            ));
        }
        self.pieces.calls[*call].argument_names.push(None);
        self.end_nots();
        self.pieces.skeleton.push_str(", ");
        self.at += 1;
        self.last = Last::Comma;
        Ok(())
    }

    fn operator(&mut self, first: char) -> Result<(), LiteralError> {
        let text = self.rest();
        let refused = [
            ("//", "`//` is not a division", "one `/`"),
            ("/*", "`/*` does not begin a remark", "a remark after #"),
            ("**", "`**` is not a sign of a sum", "^ for a power"),
            (
                "==",
                "two readings are never exactly equal",
                "< or >, or a check with within",
            ),
            (
                "!=",
                "two readings are never exactly equal",
                "< or >, or a check with within",
            ),
            ("=", "a sum cannot have a second `=`", "one sum per line"),
            (
                "±",
                "`±` cannot be inside a sum",
                "the value with its tolerance on its own line, with a name",
            ),
            (
                "+/-",
                "`±` cannot be inside a sum",
                "the value with its tolerance on its own line, with a name",
            ),
            (
                "%",
                "`%` must follow a number",
                "a number before it, for example 48 %",
            ),
            ("×", "`×` is not a sign of a sum", "*"),
            ("·", "`·` is not a sign of a sum", "*"),
        ];
        if let Some((sign, message, expected)) =
            refused.iter().find(|(sign, ..)| text.starts_with(sign))
        {
            return Err(LiteralError::new(
                Slug::BadExpression,
                self.at..self.at + sign.len(),
                *message,
            )
            .expected(*expected));
        }
        let compare = ["<=", ">=", "<", ">"]
            .into_iter()
            .find(|sign| text.starts_with(sign));
        if let Some(sign) = compare {
            let at = self.at..self.at + sign.len();
            return self.infix(&format!("{sign} "), at, Last::Other);
        }
        let at = self.at..self.at + first.len_utf8();
        match first {
            '+' if self.last.is_operand() => self.infix("+ ", at, Last::Other),
            '-' | '−' if self.last.is_operand() => self.infix("- ", at, Last::Other),
            '-' | '−' => self.prefix("-", at),
            '*' => self.infix("* ", at, Last::Times),
            '/' => self.infix("/ ", at, Last::Times),
            '^' => self.infix("^ ", at, Last::Other),
            _ => Err(self.unreadable(first.len_utf8())),
        }
    }

    fn infix(&mut self, sign: &str, at: Range<usize>, last: Last) -> Result<(), LiteralError> {
        if !self.last.is_operand() {
            let message = format!("something is missing before {}", &self.text[at.clone()]);
            return Err(LiteralError::new(Slug::BadExpression, at, message)
                .expected("a value, a name or a bracket"));
        }
        self.pieces.skeleton.push_str(sign);
        self.at = at.end;
        self.last = last;
        Ok(())
    }

    /// `not` reaches over the comparison behind it, as far as the next `and`, `or`, comma or
    /// bracket.
    fn not(&mut self, at: Range<usize>) -> Result<(), LiteralError> {
        self.prefix("!(", at)?;
        if let Some(nots) = self.nots.last_mut() {
            *nots += 1;
        }
        Ok(())
    }

    fn end_nots(&mut self) {
        let nots = self.nots.last_mut().map_or(0, std::mem::take);
        self.pieces.skeleton.push_str(&")".repeat(nots));
    }

    fn joint(&mut self, sign: &str, at: Range<usize>) -> Result<(), LiteralError> {
        if self.last.is_operand() {
            self.end_nots();
        }
        self.infix(sign, at, Last::Other)
    }

    fn prefix(&mut self, sign: &str, at: Range<usize>) -> Result<(), LiteralError> {
        self.operand_may_stand(&at)?;
        self.pieces.skeleton.push_str(sign);
        self.at = at.end;
        self.last = Last::Other;
        Ok(())
    }

    /// Two operands in a row have lost the sign between them.
    fn operand_may_stand(&self, at: &Range<usize>) -> Result<(), LiteralError> {
        if !self.last.is_operand() {
            return Ok(());
        }
        let piece: String = self.text[at.clone()].chars().take(24).collect();
        Err(LiteralError::new(
            Slug::BadExpression,
            at.clone(),
            format!("a sign is missing before {piece}"),
        )
        .expected("+ - * / or ^ between two values"))
    }

    fn unreadable(&self, length: usize) -> LiteralError {
        let end = (self.at + length).min(self.text.len());
        LiteralError::new(
            Slug::BadExpression,
            self.at..end,
            "this sign cannot be read in a sum",
        )
        .expected("+ - * / ^ ( ) and names")
    }

    fn finish(mut self) -> Result<Pieces, LiteralError> {
        let end = self.text.trim_end().len();
        if let Some(open) = self.open.last() {
            let at = match open {
                Open::Group(at) => *at..*at + 1,
                Open::Call(call) => self.pieces.calls[*call].name_at.clone(),
            };
            return Err(
                LiteralError::new(Slug::BadExpression, at, "this bracket is never closed")
                    .expected("a `)` after it"),
            );
        }
        if !self.last.is_operand() {
            return Err(LiteralError::new(
                Slug::BadExpression,
                end..end,
                "something is missing at the end",
            )
            .expected("a value, a name or a bracket"));
        }
        self.end_nots();
        Ok(self.pieces)
    }
}

/// Length of a name with its dots: `day3.tail_angle`.
pub(in crate::calc) fn word_length(text: &str) -> usize {
    let mut end = 0;
    for (at, c) in text.char_indices() {
        let dot = c == '.' && text[at + 1..].starts_with(|next: char| next.is_ascii_alphabetic());
        if !(c.is_ascii_alphanumeric() || c == '_' || dot) {
            break;
        }
        end = at + 1;
    }
    end
}
