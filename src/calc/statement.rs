//! The statements of a sums block, a line each.
//!
//! In: one line and its place. Out: a [`Statement`] with its expressions read, or what is wrong
//! with the line and where. A line that fails still gives its name, so that what depends on it is
//! known to be in error rather than unknown.

mod asked;
mod clause;

use super::expression::{Expr, ExprKind, Reader, word_length};
use super::names::{NameId, reserved};
use crate::book::{Line, joined_people};
use crate::diagnostics::{Diagnostic, Slug, nearest};
use crate::quantity::{Literal, LiteralError, Unit};
use crate::source::Span;

/// A line of a sums block.
#[derive(Clone, Debug)]
pub struct Statement {
    /// The whole line without its remark.
    pub at: Span,
    /// The name it is about.
    pub name: NameId,
    /// The place of the name.
    pub name_at: Span,
    /// What it says of the name.
    pub says: Says,
    /// The remark behind `#`.
    pub remark: Option<String>,
}

/// What a statement says of its name.
#[derive(Clone, Debug)]
pub enum Says {
    /// A reading.
    Measured {
        /// As read.
        value: Literal,
        /// Who read it.
        by: Option<String>,
    },
    /// A given value.
    Given {
        /// As given.
        value: Literal,
        /// `as UNIT`
        shown_in: Option<Unit>,
    },
    /// Worked out.
    Formula {
        /// From this.
        expr: Expr,
        /// `as UNIT` and its place.
        shown_in: Option<(Unit, Span)>,
        /// The expression as written.
        written: String,
    },
    /// A check.
    Check(Box<Rule>),
    /// `choose NAME from E to E [aim E]`
    Choose {
        /// The lower end.
        low: Expr,
        /// The upper end.
        high: Expr,
        /// Where it should lie, if it can.
        aim: Option<Expr>,
        /// What stands behind the name.
        written: String,
    },
    /// `stack NAME from 6 mm x2, 3 mm`
    Stack {
        /// The stock.
        pieces: Vec<StockPiece>,
        /// What stands behind the name.
        written: String,
    },
}

/// Pieces of stock of one size.
#[derive(Clone, Debug)]
pub struct StockPiece {
    /// The size, with its tolerance.
    pub size: Literal,
    /// How many there are.
    pub count: u32,
}

/// A check as written.
#[derive(Clone, Debug)]
pub struct Rule {
    /// Which kind: a name has at most one of each.
    pub kind: RuleKind,
    /// The lower limit, where there is one.
    pub lower: Option<Limit>,
    /// The upper limit, where there is one.
    pub upper: Option<Limit>,
    /// Does `, hold` follow the limits?
    pub hold: bool,
    /// What the line does to the limit.
    pub act: Act,
    /// `within 3.4 ± 0.4 deg`
    pub written: String,
    /// Where it stands.
    pub at: Span,
}

/// What a check line does to the limit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Act {
    /// It sets the limit.
    Set,
    /// `eased by NAMES: why`
    Eased(Signed),
    /// `withdrawn by NAMES: why`
    Withdrawn(Signed),
}

/// Who signed, and why.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Signed {
    /// Different people of the crew.
    pub by: Vec<String>,
    /// The reason.
    pub why: String,
    /// The names and the reason.
    pub at: Span,
}

/// One limit of a check: a value, or a middle with a side taken from it or added to it.
#[derive(Clone, Debug)]
pub struct Limit {
    /// The limit itself, or the middle.
    pub base: Expr,
    /// The side: subtracted for a lower limit, added for an upper one.
    pub side: Option<Expr>,
}

/// Kinds of checks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum RuleKind {
    /// `at least E`
    AtLeast,
    /// `at most E`
    AtMost,
    /// `between E and E`
    Between,
    /// `within E ± E`
    Within,
}

/// What came of reading a line.
pub(super) struct ReadLine {
    /// The statement, or what is wrong.
    pub(super) statement: Result<Statement, Box<Diagnostic>>,
    /// The name the line would define, where it fails.
    pub(super) broken: Option<NameId>,
    /// What else the line would have changed, where it fails.
    pub(super) about: Option<About>,
}

/// What a line that cannot be read is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct About {
    /// The name at its start.
    pub(super) name: NameId,
    /// The kind of check, where its words can be read.
    pub(super) kind: Option<RuleKind>,
}

impl ReadLine {
    fn failed(diagnostic: Box<Diagnostic>) -> Self {
        Self {
            statement: Err(diagnostic),
            broken: None,
            about: None,
        }
    }
}

const KEYWORDS: [(&str, RuleKind); 4] = [
    ("at least", RuleKind::AtLeast),
    ("at most", RuleKind::AtMost),
    ("between", RuleKind::Between),
    ("within", RuleKind::Within),
];

const FORMS: &str = "NAME measured VALUE, NAME = SUM, NAME at least, at most, between or within limits, choose NAME from, stack NAME from";

/// A stretch of text and where it stands.
#[derive(Clone, Copy)]
pub(super) struct Text<'t> {
    pub(super) text: &'t str,
    pub(super) at: Span,
}

impl Text<'_> {
    /// The bytes from `start` to `end`, without space around them.
    pub(super) fn part(self, start: usize, end: usize) -> Self {
        let raw = &self.text[start..end];
        let text = raw.trim();
        let from = self.at.start as usize + start + (raw.len() - raw.trim_start().len());
        Text {
            text,
            at: Span::new(self.at.file, from..from + text.len()),
        }
    }

    fn from(self, start: usize) -> Self {
        self.part(start, self.text.len())
    }
}

/// Splits a line at its remark.
pub(super) fn split_remark(line: &Line) -> (Text<'_>, Option<String>) {
    let whole = Text {
        text: &line.text,
        at: line.span,
    };
    match line.text.find('#') {
        Some(mark) => (
            whole.part(0, mark),
            Some(line.text[mark + 1..].trim().to_owned()),
        ),
        None => (whole.part(0, line.text.len()), None),
    }
}

/// Reads one line that is not blank and not all remark.
pub(super) fn read(text: Text<'_>, remark: Option<String>, reader: &mut Reader) -> ReadLine {
    for (word, what) in [
        ("choose", asked::What::Choose),
        ("stack", asked::What::Stack),
    ] {
        // `choose = 3 mm` means a value of that name, which cannot be.
        let asks =
            leading(text.text, word).filter(|length| !text.from(*length).text.starts_with('='));
        if let Some(length) = asks {
            return asked::read(what, text, text.from(length), remark, reader);
        }
    }
    if let Some(diagnostic) = name_of_pieces(text) {
        return ReadLine::failed(Box::new(diagnostic));
    }
    let length = word_length(text.text);
    let name = text.part(0, length);
    let rest = text.from(length);
    if let Some(diagnostic) = no_name(text, length) {
        return ReadLine::failed(Box::new(diagnostic));
    }
    let defines = rest.text.starts_with('=') || leading(rest.text, "measured").is_some();
    let id = match subject(name, defines, reader) {
        Ok(id) => id,
        Err(diagnostic) => return ReadLine::failed(diagnostic),
    };
    match says(rest, text, reader) {
        Ok(says) => {
            let statement = Statement {
                at: text.at,
                name: id,
                name_at: name.at,
                says,
                remark,
            };
            ReadLine {
                statement: Ok(statement),
                broken: None,
                about: None,
            }
        }
        Err(diagnostic) => ReadLine {
            statement: Err(diagnostic),
            broken: defines.then_some(id),
            about: (!defines).then(|| About {
                name: id,
                kind: check_kind(rest).map(|(kind, _)| kind),
            }),
        },
    }
}

/// What is wrong with the word that stands where the name belongs; `length` of it could be a name.
fn no_name(text: Text, length: usize) -> Option<Diagnostic> {
    let goes_on = text.text[length..].starts_with(char::is_alphanumeric);
    if text.text.starts_with(|c: char| c.is_ascii_alphabetic()) && !goes_on {
        return None;
    }
    let at = first_word(text);
    let word = &text.text[..at.range().len()];
    Some(if word.contains(char::is_alphabetic) {
        Diagnostic::error(Slug::BadId, at, format!("`{word}` is not an id"))
            .expected("a letter, then letters, digits and `_`")
    } else {
        Diagnostic::error(
            Slug::BadStatement,
            at,
            "this line does not begin with a name",
        )
        .expected(FORMS)
    })
}

fn first_word(text: Text) -> Span {
    let length = text
        .text
        .find(char::is_whitespace)
        .unwrap_or(text.text.len());
    text.part(0, length).at
}

/// The name a line is about: one that can be defined, or, for a check, also a part's figure.
fn subject(name: Text, defines: bool, reader: &mut Reader) -> Result<NameId, Box<Diagnostic>> {
    if name.text.contains('.') && defines {
        return Err(Box::new(
            Diagnostic::error(
                Slug::Reserved,
                name.at,
                format!("`{}` is set by the parts ledger", name.text),
            )
            .expected("a name without a point; write the mass or cost of a part in parts.yaml"),
        ));
    }
    if name
        .text
        .split_once('.')
        .is_some_and(|(first, _)| super::names::day_number(first).is_some())
    {
        return Err(reserved(name.text, name.at));
    }
    reader.link.name(name.text, name.at, reader.names)
}

fn says(rest: Text, line: Text, reader: &mut Reader) -> Result<Says, Box<Diagnostic>> {
    if let Some((sign, keyword)) = SIGNS.iter().find(|(sign, _)| rest.text.starts_with(sign)) {
        let at = rest.part(0, sign.len()).at;
        let wrong = Diagnostic::error(
            Slug::BadStatement,
            at,
            format!("`{sign}` does not begin a check"),
        );
        return Err(Box::new(
            wrong
                .expected("at least, at most, between or within")
                .instead(*keyword),
        ));
    }
    if rest.text.starts_with('=') && !rest.text.starts_with("==") {
        return definition(rest.from(1), line, reader);
    }
    if let Some(length) = leading(rest.text, "measured") {
        return measured(rest.from(length), reader);
    }
    if let Some((kind, length)) = check_kind(rest) {
        return clause::check(kind, rest, rest.from(length), reader)
            .map(|rule| Says::Check(Box::new(rule)));
    }
    Err(Box::new(no_statement(rest, line)))
}

/// The kind of check that a text begins with, and the length of its words.
fn check_kind(rest: Text) -> Option<(RuleKind, usize)> {
    KEYWORDS
        .iter()
        .find_map(|(words, kind)| Some((*kind, leading(rest.text, words)?)))
}

/// Length of `words` at the start of the text, where they stand by themselves; spaces in between
/// may be many.
fn leading(text: &str, words: &str) -> Option<usize> {
    let mut at = 0;
    for word in words.split(' ') {
        let rest = text[at..].trim_start();
        at = text.len() - rest.len();
        let after = rest.strip_prefix(word)?;
        if after.starts_with(|c: char| c.is_alphanumeric() || c == '_') {
            return None;
        }
        at += word.len();
    }
    Some(at)
}

fn no_statement(rest: Text, line: Text) -> Diagnostic {
    if rest.text.is_empty() {
        return Diagnostic::error(
            Slug::BadStatement,
            line.at,
            "this line gives no value, sum or limit",
        )
        .expected(FORMS);
    }
    let place = first_word(rest);
    let word: String = rest
        .text
        .chars()
        .take_while(|c| !c.is_whitespace())
        .collect();
    let wrong = Diagnostic::error(
        Slug::BadStatement,
        place,
        format!("`{word}` does not begin a statement"),
    );
    if let Some((_, meant, forms)) = OTHER_WORDS
        .iter()
        .find(|(words, ..)| words.split(' ').any(|other| other == word))
    {
        return wrong
            .expected(*forms)
            .maybe_instead(meant.first().filter(|_| meant.len() == 1).copied());
    }
    wrong
        .expected(FORMS)
        .maybe_instead(nearest(&word, ["measured", "between", "within"]).filter(|_| word.len() > 3))
}

/// Signs of a comparison, and the words of a check.
const SIGNS: [(&str, &str); 8] = [
    (">=", "at least"),
    ("<=", "at most"),
    ("=>", "at least"),
    ("=<", "at most"),
    ("≥", "at least"),
    ("≤", "at most"),
    (">", "at least"),
    ("<", "at most"),
];

/// Words that people write after a name: what is meant, where it is one thing, and what can be
/// written.
const OTHER_WORDS: [(&str, &[&str], &str); 4] = [
    (
        "atleast at-least at_least least min minimum over above",
        &["at least"],
        "at least and a limit",
    ),
    (
        "atmost at-most at_most most max maximum under below",
        &["at most"],
        "at most and a limit",
    ),
    ("at", &[], "at least or at most, and a limit"),
    (
        "is was are : := ==",
        &["="],
        "= for a value that is given, or measured for a reading",
    ),
];

/// A name written with spaces or hyphens in front of a statement: `my-gap = 3 mm`, `my gap measured
/// 3 mm`.
fn name_of_pieces(text: Text) -> Option<Diagnostic> {
    let behind = [
        " measured ",
        " at least ",
        " at most ",
        " between ",
        " within ",
        "=",
    ];
    let end = behind
        .iter()
        .filter_map(|word| text.text.find(word))
        .min()?;
    let name = text.text[..end].trim_end();
    let pieces: Vec<&str> = name
        .split(['-', ' '])
        .filter(|piece| !piece.is_empty())
        .collect();
    let other = |piece: &&str| {
        OTHER_WORDS
            .iter()
            .any(|(words, ..)| words.split(' ').any(|other| other == *piece))
    };
    let keyword = |piece: &&str| {
        ["choose", "stack", "mesured", "measure", "measured"].contains(piece) || other(piece)
    };
    let is_piece = |piece: &&str| {
        piece
            .bytes()
            .all(|b| b.is_ascii_alphanumeric() || b == b'_')
            && !keyword(piece)
    };
    let written =
        name.starts_with(|c: char| c.is_ascii_alphabetic()) && pieces.iter().all(is_piece);
    if !written || !(2..=6).contains(&pieces.len()) {
        return None;
    }
    let message = format!("`{name}` is not a name: a name has only letters, digits and `_`");
    let wrong = Diagnostic::error(Slug::BadId, text.part(0, name.len()).at, message);
    Some(wrong.expected("one word").instead(pieces.join("_")))
}

fn measured(text: Text, reader: &Reader) -> Result<Says, Box<Diagnostic>> {
    let mark = text
        .text
        .match_indices(',')
        .find(|(at, _)| leading(&text.text[at + 1..], "by").is_some());
    let (value, by) = match mark {
        Some((at, _)) => (text.part(0, at), Some(person(text.from(at + 1), reader)?)),
        None => (text, None),
    };
    if let Some(at) = value.text.find(" by ").filter(|_| by.is_none()) {
        let place = value.part(at, value.text.len());
        return Err(Box::new(
            Diagnostic::error(Slug::BadNumber, place.at, "a comma is missing before `by`")
                .expected(format!(", {}", place.text)),
        ));
    }
    if value.text.is_empty() {
        return Err(Box::new(
            Diagnostic::error(Slug::BadNumber, text.at, "the reading is missing")
                .expected("a value, for example 4.3 ± 0.1 deg"),
        ));
    }
    let value = literal(value, reader)?;
    Ok(Says::Measured { value, by })
}

/// `by Ines`, or `by Ines + Odd`: people of the crew.
fn person(text: Text, reader: &Reader) -> Result<String, Box<Diagnostic>> {
    let names = text.from(leading(text.text, "by").unwrap_or(0));
    people(names, reader)?;
    Ok(names.text.to_owned())
}

/// `Ines + Odd`: people of the crew, each once.
fn people(names: Text, reader: &Reader) -> Result<Vec<String>, Box<Diagnostic>> {
    let mut people: Vec<String> = Vec::new();
    let sheet = &reader.link.book.sheet;
    let crew = || sheet.crew.iter().map(|member| member.name.as_str());
    // No one is unknown while the crew is not known.
    let is_known = |name: &str| !sheet.crew_known || crew().any(|known| known == name);
    if let Some(joined) = joined_people(names.text, &sheet.crew) {
        let wrong = Diagnostic::error(
            Slug::UnknownPerson,
            names.at,
            "several names need ` + ` between them",
        );
        return Err(Box::new(
            wrong
                .expected("names with ` + ` between them")
                .instead(joined),
        ));
    }
    let mut start = 0;
    for piece in names.text.split('+') {
        let person = names.part(start, start + piece.len());
        start += piece.len() + 1;
        if !is_known(person.text) {
            return Err(Box::new(
                Diagnostic::error(
                    Slug::UnknownPerson,
                    person.at,
                    format!("no crew member is called `{}`", person.text),
                )
                .expected(format!("one of {}", crew().collect::<Vec<_>>().join(", ")))
                .maybe_instead(nearest(person.text, crew())),
            ));
        }
        if !people.iter().any(|known| known == person.text) {
            people.push(person.text.to_owned());
        }
    }
    Ok(people)
}

fn definition(text: Text, line: Text, reader: &mut Reader) -> Result<Says, Box<Diagnostic>> {
    let (sum, unit) = split_as(text);
    if sum.text.is_empty() {
        return Err(Box::new(
            Diagnostic::error(Slug::BadExpression, line.at, "nothing follows `=`")
                .expected("a value or a sum"),
        ));
    }
    let shown_in = unit.map(|unit| shown_in(unit, reader)).transpose()?;
    if let Some(mark) = clause::tolerance_mark(sum.text) {
        let before = sum.part(0, mark);
        if Literal::read(before.text, reader.link.units).is_err() {
            reader.expression(sum.text, sum.at)?;
        }
        return given(literal(sum, reader)?, shown_in, sum.at);
    }
    let expr = reader.expression(sum.text, sum.at)?;
    if is_number(&expr) && begins_as_number(sum.text) {
        return given(literal(sum, reader)?, shown_in, sum.at);
    }
    Ok(Says::Formula {
        expr,
        shown_in,
        written: text.text.to_owned(),
    })
}

fn literal(text: Text, reader: &Reader) -> Result<Literal, Box<Diagnostic>> {
    Literal::read(text.text, reader.link.units).map_err(|fault| Box::new(fault.in_place(text.at)))
}

/// Is it one number, perhaps with a sign?
fn is_number(expr: &Expr) -> bool {
    match &expr.kind {
        ExprKind::Number(..) => true,
        ExprKind::Negative(inner) => is_number(inner),
        _ => false,
    }
}

/// Does it begin as a written value does? `(3 mm)` and `- -3 mm` are sums.
fn begins_as_number(text: &str) -> bool {
    let unsigned = text.strip_prefix(['-', '−']).unwrap_or(text);
    unsigned
        .trim_start()
        .starts_with(|c: char| c.is_ascii_digit() || c == '.')
}

fn given(
    value: Literal,
    shown_in: Option<(Unit, Span)>,
    at: Span,
) -> Result<Says, Box<Diagnostic>> {
    if let Some((unit, unit_at)) = &shown_in
        && unit.dimension != value.unit.dimension
    {
        return Err(Box::new(
            cannot_be_shown(&value.unit.dimension.words(), unit, *unit_at).see(at, "this value"),
        ));
    }
    Ok(Says::Given {
        value,
        shown_in: shown_in.map(|(unit, _)| unit),
    })
}

/// The finding for `as UNIT` with a unit of another kind.
pub(super) fn cannot_be_shown(words: &str, unit: &Unit, at: Span) -> Diagnostic {
    Diagnostic::error(
        Slug::UnitMismatch,
        at,
        format!("{words} cannot be shown in `{}`", unit.name),
    )
    .expected(format!("a unit for {words}"))
}

/// Splits `SUM as UNIT`.
fn split_as(text: Text) -> (Text, Option<Text>) {
    match text.text.rmatch_indices(" as ").next() {
        Some((at, mark)) => (text.part(0, at), Some(text.from(at + mark.len()))),
        None => (text, None),
    }
}

fn shown_in(unit: Text, reader: &Reader) -> Result<(Unit, Span), Box<Diagnostic>> {
    let units = reader.link.units;
    let name = if unit.text == "°" { "deg" } else { unit.text };
    units
        .named(name)
        .map(|found| (found, unit.at))
        .map_err(|_| {
            Box::new(
                LiteralError {
                    at: 0..unit.text.len(),
                    ..units.unknown(unit.text)
                }
                .in_place(unit.at),
            )
        })
}
