//! The tree of an expression, every node with its place.
//!
//! In: the scanned pieces and what evalexpr makes of their structure. Out: an [`Expr`], its names
//! looked up, its function calls matched with their arguments. evalexpr only tells which operator
//! binds what; nothing is evaluated with it.

use std::collections::BTreeSet;

use evalexpr::{Node, Operator as Sign};

use super::scan::{Call, Leaf, Pieces, scan};
use crate::calc::catalogue::{self, ArgumentKind, Formula};
use crate::calc::names::{Link, NameId, Names};
use crate::calc::spread_sources::{SpreadSource, SpreadSourceKind, SpreadSources};
use crate::diagnostics::{Diagnostic, Slug, nearest};
use crate::quantity::{Dimension, SourceId, TemperatureKind, Unit, Value};
use crate::source::Span;

/// An expression and its place.
#[derive(Clone, Debug)]
pub struct Expr {
    /// What it is.
    pub kind: ExprKind,
    /// Where it stands.
    pub at: Span,
}

impl Expr {
    /// Visits the kind of every piece of it, itself too.
    pub fn each(&self, mut visit: impl FnMut(&ExprKind)) {
        self.each_piece(|piece| visit(&piece.kind));
    }

    /// Visits every piece of it, itself too.
    pub fn each_piece<'e>(&'e self, mut visit: impl FnMut(&'e Self)) {
        let mut waiting = vec![self];
        while let Some(expr) = waiting.pop() {
            visit(expr);
            match &expr.kind {
                ExprKind::Name(_) | ExprKind::Number(..) | ExprKind::Past { .. } => {}
                ExprKind::Negative(inner) | ExprKind::Not(inner) => waiting.push(inner),
                ExprKind::Binary(_, a, b)
                | ExprKind::Compare(_, a, b)
                | ExprKind::And(a, b)
                | ExprKind::Or(a, b) => {
                    waiting.extend([&**a, &**b]);
                }
                ExprKind::If(parts) => waiting.extend(parts.iter()),
                ExprKind::Math(_, arguments) => waiting.extend(arguments),
                ExprKind::Formula(_, inputs, _) => {
                    waiting.extend(inputs.iter().filter_map(|input| match input {
                        Input::Quantity(expr) => Some(expr),
                        Input::Word(_) => None,
                    }));
                }
            }
        }
    }
}

/// What an expression is.
#[derive(Clone, Debug)]
pub enum ExprKind {
    /// A number, and the unit it was written in.
    Number(Value, Option<Unit>),
    /// A name's value.
    Name(NameId),
    /// A name's value at the end of an earlier day.
    Past {
        /// The day.
        day: u32,
        /// The name.
        name: NameId,
    },
    /// The same with the other sign.
    Negative(Box<Expr>),
    /// Two values and a sign.
    Binary(Operator, Box<Expr>, Box<Expr>),
    /// `if(condition, then, else)`
    If(Box<[Expr; 3]>),
    /// A comparison, true or false.
    Compare(Comparison, Box<Expr>, Box<Expr>),
    /// Both true.
    And(Box<Expr>, Box<Expr>),
    /// One true.
    Or(Box<Expr>, Box<Expr>),
    /// Not true.
    Not(Box<Expr>),
    /// A function of plain mathematics.
    Math(Math, Vec<Expr>),
    /// A formula of the catalogue; the source is the law's own spread.
    Formula(&'static Formula, Vec<Input>, SourceId),
}

/// An argument of a formula.
#[derive(Clone, Debug)]
pub enum Input {
    /// A quantity.
    Quantity(Expr),
    /// A bare word, by its place in the argument's list.
    Word(usize),
}

/// Signs between two values.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Operator {
    /// +
    Add,
    /// -
    Subtract,
    /// *
    Multiply,
    /// /
    Divide,
    /// ^
    Power,
}

/// Comparisons.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Comparison {
    /// < or <=
    Below,
    /// > or >=
    Above,
}

/// Functions of plain mathematics.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Math {
    /// The smallest.
    Min,
    /// The largest.
    Max,
    /// Without its sign.
    Abs,
    /// Square root.
    Sqrt,
    /// Sine.
    Sin,
    /// Cosine.
    Cos,
    /// Tangent.
    Tan,
    /// Arc sine.
    Asin,
    /// Arc cosine.
    Acos,
    /// Arc tangent.
    Atan,
    /// Arc tangent of two sides.
    Atan2,
}

/// A function of plain mathematics: name, function, fewest and most arguments, signature, what it
/// gives.
type MathRow = (&'static str, Math, usize, usize, &'static str, &'static str);

const MATHS: [MathRow; 11] = [
    (
        "min",
        Math::Min,
        2,
        20,
        "min(a, b, …)",
        "the smallest of up to 20 values",
    ),
    (
        "max",
        Math::Max,
        2,
        20,
        "max(a, b, …)",
        "the largest of up to 20 values",
    ),
    (
        "abs",
        Math::Abs,
        1,
        1,
        "abs(a)",
        "the value without its sign",
    ),
    ("sqrt", Math::Sqrt, 1, 1, "sqrt(a)", "square root"),
    ("sin", Math::Sin, 1, 1, "sin(angle)", "sine of an angle"),
    ("cos", Math::Cos, 1, 1, "cos(angle)", "cosine of an angle"),
    ("tan", Math::Tan, 1, 1, "tan(angle)", "tangent of an angle"),
    (
        "asin",
        Math::Asin,
        1,
        1,
        "asin(ratio)",
        "the angle with this sine",
    ),
    (
        "acos",
        Math::Acos,
        1,
        1,
        "acos(ratio)",
        "the angle with this cosine",
    ),
    (
        "atan",
        Math::Atan,
        1,
        1,
        "atan(ratio)",
        "the angle with this tangent",
    ),
    (
        "atan2",
        Math::Atan2,
        2,
        2,
        "atan2(opposite, adjacent)",
        "the angle of two sides, in its quadrant",
    ),
];

const IF: (&str, &str) = (
    "if(condition, then, else)",
    "one of two values, for example if(a < b, a, b)",
);

/// The built-in functions, by name: each with its signature and what it gives.
pub fn built_in() -> impl Iterator<Item = (&'static str, &'static str, &'static str)> {
    let mut rows: Vec<_> = MATHS
        .iter()
        .map(|row| (row.0, row.4, row.5))
        .chain([("if", IF.0, IF.1)])
        .collect();
    rows.sort_unstable();
    rows.into_iter()
}

impl Math {
    /// `sin(angle)`
    pub fn signature(self) -> &'static str {
        MATHS
            .iter()
            .find(|row| row.1 == self)
            .map_or("", |row| row.4)
    }
}

/// Functions that people write and Shimbook does not have, and how to write them.
const OTHER_WAYS: [(&str, &str); 13] = [
    (
        "mean average avg",
        "the sum divided by the count, for example (a + b + c) / 3",
    ),
    (
        "sum total",
        "the values with + between them, for example a + b + c",
    ),
    (
        "round ceil ceiling floor trunc int",
        "the value itself: a page prints as many digits as its spread allows",
    ),
    ("exp", "a power of e, for example 2.718281828^x"),
    ("pow power", "^, for example a^2"),
    ("sq sqr square", "a^2"),
    ("cbrt", "a^(1/3)"),
    ("hypot", "sqrt(a^2 + b^2)"),
    (
        "ln log log10 log2",
        "a value calculated elsewhere: Shimbook has no logarithm",
    ),
    (
        "radians degrees rad deg",
        "the angle itself: Shimbook converts units, for example atan(a / b) as deg",
    ),
    ("arcsin arccos arctan", "asin, acos or atan"),
    (
        "mod rem",
        "the division written out: Shimbook has no remainder",
    ),
    ("clamp", "min(max(a, lowest), highest)"),
];

/// Reads expressions of one place in the book.
pub(in crate::calc) struct Reader<'a> {
    pub(in crate::calc) names: &'a mut Names,
    pub(in crate::calc) origins: &'a mut SpreadSources,
    pub(in crate::calc) formulas_used: &'a mut BTreeSet<&'static str>,
    pub(in crate::calc) link: &'a Link<'a>,
}

type Read<T> = Result<T, Box<Diagnostic>>;

impl Reader<'_> {
    /// Reads `text`, which stands at `at`.
    pub(in crate::calc) fn expression(&mut self, text: &str, at: Span) -> Read<Expr> {
        let pieces = scan(text, self.link.units).map_err(|fault| Box::new(fault.in_place(at)))?;
        let whole = Span {
            end: at.start + text.trim_end().len() as u32,
            ..at
        };
        let structure =
            evalexpr::build_operator_tree(&pieces.skeleton).map_err(|_| unreadable(whole))?;
        Builder {
            reader: self,
            pieces: &pieces,
            base: at,
        }
        .node(&structure, whole)
    }
}

/// A number that is an expression by itself.
pub(in crate::calc) fn number(number: f64, unit: Option<Unit>, at: Span) -> Expr {
    let value = match &unit {
        Some(unit) => Value::exact(unit.to_si(number), unit.dimension).with_heat(heat(unit)),
        None => Value::exact(number, Dimension::NONE),
    };
    Expr {
        kind: ExprKind::Number(value, unit),
        at,
    }
}

/// Is a number in this unit a reading on a scale of its own?
pub(in crate::calc) fn heat(unit: &Unit) -> TemperatureKind {
    if unit.is_scale() {
        TemperatureKind::Absolute
    } else {
        TemperatureKind::Either
    }
}

/// A minus before a number belongs to the number: -5 degC is five degrees below zero, not the
/// opposite of 278.15 K.
fn negative(inner: Expr) -> ExprKind {
    match inner.kind {
        ExprKind::Number(value, Some(unit)) if unit.is_scale() => {
            number(-unit.reading(value.nominal), Some(unit), inner.at).kind
        }
        ExprKind::Number(value, unit) => {
            ExprKind::Number(Value::exact(-value.nominal, value.dimension), unit)
        }
        kind => ExprKind::Negative(Box::new(Expr { kind, at: inner.at })),
    }
}

fn unreadable(at: Span) -> Box<Diagnostic> {
    Box::new(
        Diagnostic::error(Slug::BadExpression, at, "this sum cannot be read")
            .expected("values, names and + - * / ^ ( )"),
    )
}

struct Builder<'r, 'a, 'p> {
    reader: &'r mut Reader<'a>,
    pieces: &'p Pieces,
    base: Span,
}

impl Builder<'_, '_, '_> {
    fn span(&self, range: &std::ops::Range<usize>) -> Span {
        let start = self.base.start as usize;
        Span::new(self.base.file, start + range.start..start + range.end)
    }

    fn node(&mut self, node: &Node, whole: Span) -> Read<Expr> {
        match (node.operator(), node.children()) {
            (Sign::RootNode, [inner]) => self.node(inner, whole),
            (Sign::VariableIdentifierRead { identifier }, _) => self.leaf(identifier, whole),
            (Sign::FunctionIdentifier { identifier }, [arguments]) => {
                self.call(identifier, arguments, whole)
            }
            (Sign::Neg, [inner]) => {
                let inner = self.node(inner, whole)?;
                Ok(Expr {
                    at: inner.at,
                    kind: negative(inner),
                })
            }
            (Sign::Not, [inner]) => {
                let inner = self.node(inner, whole)?;
                Ok(Expr {
                    at: inner.at,
                    kind: ExprKind::Not(Box::new(inner)),
                })
            }
            (sign, [left, right]) => self.infix(sign, left, right, whole),
            _ => Err(unreadable(whole)),
        }
    }

    fn infix(&mut self, sign: &Sign, left: &Node, right: &Node, whole: Span) -> Read<Expr> {
        let tower = matches!((sign, left.operator()), (Sign::Exp, Sign::Exp));
        let (left, right) = (
            Box::new(self.node(left, whole)?),
            Box::new(self.node(right, whole)?),
        );
        let at = left.at.to(right.at);
        if tower {
            return Err(Box::new(
                Diagnostic::error(Slug::BadExpression, at, "a power of a power needs brackets")
                    .expected("(a^b)^c or a^(b^c): they are not the same"),
            ));
        }
        let kind = match sign {
            Sign::Add => ExprKind::Binary(Operator::Add, left, right),
            Sign::Sub => ExprKind::Binary(Operator::Subtract, left, right),
            Sign::Mul => ExprKind::Binary(Operator::Multiply, left, right),
            Sign::Div => ExprKind::Binary(Operator::Divide, left, right),
            Sign::Exp => ExprKind::Binary(Operator::Power, left, right),
            Sign::Lt | Sign::Leq => ExprKind::Compare(Comparison::Below, left, right),
            Sign::Gt | Sign::Geq => ExprKind::Compare(Comparison::Above, left, right),
            Sign::And => ExprKind::And(left, right),
            Sign::Or => ExprKind::Or(left, right),
            _ => return Err(unreadable(whole)),
        };
        Ok(Expr { kind, at })
    }

    fn leaf(&mut self, placeholder: &str, whole: Span) -> Read<Expr> {
        let Some((leaf, range)) =
            index(placeholder, 'v').and_then(|index| self.pieces.leaves.get(index))
        else {
            return Err(unreadable(whole));
        };
        let at = self.span(range);
        match leaf {
            Leaf::Number {
                number: value,
                unit,
            } => Ok(number(*value, unit.clone(), at)),
            Leaf::Name(name) if name == "pi" => Ok(number(std::f64::consts::PI, None, at)),
            Leaf::Name(name) => Ok(Expr {
                kind: self.reader.link.reference(name, at, self.reader.names)?,
                at,
            }),
        }
    }

    fn call(&mut self, placeholder: &str, arguments: &Node, whole: Span) -> Read<Expr> {
        let Some(call) = index(placeholder, 'f').and_then(|index| self.pieces.calls.get(index))
        else {
            return Err(unreadable(whole));
        };
        let at = self.span(&call.at);
        let arguments = argument_nodes(arguments);
        let kind = if call.name == "if" {
            self.choice(call, &arguments, at)?
        } else if let Some(math) = MATHS.iter().find(|row| row.0 == call.name) {
            self.math(call, *math, &arguments, at)?
        } else if let Some(formula) = catalogue::find(&call.name) {
            self.formula(call, formula, &arguments, at)?
        } else {
            return Err(self.unknown_function(call));
        };
        Ok(Expr { kind, at })
    }

    /// The source of a formula's own spread.
    fn source(&mut self, label: &str, at: Span) -> SourceId {
        let day = self.reader.link.today;
        self.reader.origins.add(SpreadSource {
            label: label.to_owned(),
            at,
            kind: SpreadSourceKind::Law,
            day,
            by: None,
        })
    }

    fn unknown_function(&self, call: &Call) -> Box<Diagnostic> {
        let other = OTHER_WAYS
            .iter()
            .find(|(names, _)| names.split(' ').any(|name| name == call.name));
        let expected = other.map_or("a function that `shimbook formulas` lists", |(_, way)| way);
        let known = built_in()
            .map(|row| row.0)
            .chain(catalogue::all().map(|formula| formula.name));
        let near = if other.is_some() {
            None
        } else {
            nearest(&call.name, known)
        };
        Box::new(
            Diagnostic::error(
                Slug::UnknownFunction,
                self.span(&call.name_at),
                format!("`{}` is not a function Shimbook knows", call.name),
            )
            .expected(expected)
            .maybe_instead(near),
        )
    }

    fn choice(&mut self, call: &Call, arguments: &[&Node], at: Span) -> Read<ExprKind> {
        self.count(call, arguments.len(), (3, 3), IF.0)?;
        let mut parts = arguments
            .iter()
            .map(|argument| self.node(argument, at))
            .collect::<Read<Vec<_>>>()?
            .into_iter();
        match (parts.next(), parts.next(), parts.next()) {
            (Some(condition), Some(then), Some(otherwise)) => {
                Ok(ExprKind::If(Box::new([condition, then, otherwise])))
            }
            _ => Err(unreadable(at)),
        }
    }

    fn math(&mut self, call: &Call, row: MathRow, arguments: &[&Node], at: Span) -> Read<ExprKind> {
        self.count(call, arguments.len(), (row.2, row.3), row.4)?;
        let parts = arguments
            .iter()
            .map(|argument| self.node(argument, at))
            .collect::<Read<Vec<_>>>()?;
        Ok(ExprKind::Math(row.1, parts))
    }

    fn count(
        &self,
        call: &Call,
        given: usize,
        (least, most): (usize, usize),
        signature: &str,
    ) -> Read<()> {
        if let Some((_, at)) = call.argument_names.iter().flatten().next() {
            return Err(Box::new(
                Diagnostic::error(
                    Slug::BadArguments,
                    self.span(at),
                    format!("`{}` does not take its arguments by name", call.name),
                )
                .expected(signature),
            ));
        }
        if (least..=most).contains(&given) {
            return Ok(());
        }
        Err(self.wrong_count(call, given, signature))
    }

    fn wrong_count(&self, call: &Call, given: usize, signature: &str) -> Box<Diagnostic> {
        let arguments = if given == 1 {
            "1 argument".to_owned()
        } else {
            format!("{given} arguments")
        };
        let message = format!("`{}` cannot be called with {arguments}", call.name);
        Box::new(
            Diagnostic::error(Slug::BadArguments, self.span(&call.at), message).expected(signature),
        )
    }

    fn formula(
        &mut self,
        call: &Call,
        formula: &'static Formula,
        arguments: &[&Node],
        at: Span,
    ) -> Read<ExprKind> {
        let mut slots: Vec<Option<&Node>> = vec![None; formula.arguments.len()];
        for (index, argument) in arguments.iter().enumerate() {
            let slot = self.slot(call, formula, index)?;
            match slots.get_mut(slot) {
                Some(free @ None) => *free = Some(argument),
                Some(Some(_)) => return Err(self.given_twice(call, formula, slot, index)),
                None => return Err(self.wrong_count(call, arguments.len(), &formula.signature())),
            }
        }
        let mut inputs = Vec::with_capacity(slots.len());
        for (argument, node) in formula.arguments.iter().zip(slots) {
            inputs.push(match (&argument.kind, node) {
                (ArgumentKind::Word { words, .. }, Some(node)) => {
                    Input::Word(self.word(formula, argument.name, words, node, at)?)
                }
                (ArgumentKind::Word { optional: true, .. }, None) => Input::Word(0),
                (ArgumentKind::Quantity { .. }, Some(node)) => {
                    Input::Quantity(self.node(node, at)?)
                }
                (_, None) => return Err(self.missing(call, formula, argument.name)),
            });
        }
        self.reader.formulas_used.insert(formula.name);
        Ok(ExprKind::Formula(
            formula,
            inputs,
            self.source(formula.name, at),
        ))
    }

    /// Which argument the one at `index` of a call is: by its name, else by its place.
    fn slot(&self, call: &Call, formula: &Formula, index: usize) -> Read<usize> {
        let Some(Some((name, at))) = call.argument_names.get(index) else {
            return Ok(index);
        };
        let names = || formula.arguments.iter().map(|argument| argument.name);
        names().position(|known| known == name).ok_or_else(|| {
            Box::new(
                Diagnostic::error(
                    Slug::BadArguments,
                    self.span(at),
                    format!("`{}` has no argument called `{name}`", formula.name),
                )
                .expected(formula.signature())
                .maybe_instead(nearest(name, names())),
            )
        })
    }

    fn given_twice(
        &self,
        call: &Call,
        formula: &Formula,
        slot: usize,
        index: usize,
    ) -> Box<Diagnostic> {
        let at = call
            .argument_names
            .get(index)
            .and_then(Option::as_ref)
            .map_or(&call.at, |(_, at)| at);
        let name = formula.arguments[slot].name;
        Box::new(
            Diagnostic::error(
                Slug::BadArguments,
                self.span(at),
                format!("`{name}` is given twice"),
            )
            .expected(formula.signature()),
        )
    }

    fn missing(&self, call: &Call, formula: &Formula, argument: &str) -> Box<Diagnostic> {
        Box::new(
            Diagnostic::error(
                Slug::BadArguments,
                self.span(&call.at),
                format!("`{}` needs `{argument}`", formula.name),
            )
            .expected(formula.signature()),
        )
    }

    /// A bare word, such as a material: its place in the list.
    fn word(
        &self,
        formula: &Formula,
        argument: &str,
        words: &[catalogue::Word],
        node: &Node,
        at: Span,
    ) -> Read<usize> {
        let names = || words.iter().map(|word| word.word);
        let leaf = leaf_of(node)
            .and_then(|name| index(name, 'v'))
            .and_then(|index| self.pieces.leaves.get(index));
        let list = names().collect::<Vec<_>>().join(", ");
        let expected = format!("{}, with `{argument}` one of {list}", formula.signature());
        match leaf {
            Some((Leaf::Name(name), range)) => {
                names().position(|known| known == name).ok_or_else(|| {
                    Box::new(
                        Diagnostic::error(
                            Slug::BadArguments,
                            self.span(range),
                            format!("`{argument}` cannot be `{name}`"),
                        )
                        .expected(expected)
                        .maybe_instead(nearest(name, names())),
                    )
                })
            }
            // A property class is written as it is marked: 8.8.
            Some((Leaf::Number { number, unit: None }, range))
                if let Some(word) = names().position(|known| known.parse() == Ok(*number)) =>
            {
                Ok(word)
            }
            Some((Leaf::Number { .. }, range)) => Err(Box::new(
                Diagnostic::error(
                    Slug::BadArguments,
                    self.span(range),
                    format!("`{argument}` must be a word"),
                )
                .expected(expected),
            )),
            None => Err(Box::new(
                Diagnostic::error(
                    Slug::BadArguments,
                    at,
                    format!("`{argument}` must be a word"),
                )
                .expected(expected),
            )),
        }
    }
}

/// The number in a placeholder such as `v12`.
fn index(placeholder: &str, kind: char) -> Option<usize> {
    placeholder.strip_prefix(kind)?.parse().ok()
}

/// The arguments of a call: evalexpr keeps several in a tuple.
fn argument_nodes(arguments: &Node) -> Vec<&Node> {
    match arguments.children() {
        [inner] if matches!(inner.operator(), Sign::Tuple) => inner.children().iter().collect(),
        children => children.iter().collect(),
    }
}

fn leaf_of(node: &Node) -> Option<&str> {
    match (node.operator(), node.children()) {
        (Sign::VariableIdentifierRead { identifier }, _) => Some(identifier),
        (Sign::RootNode, [inner]) => leaf_of(inner),
        _ => None,
    }
}
