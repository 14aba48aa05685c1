//! A job's tail: what stands between the braces.
//!
//! In: the job's line. Out: a [`Mention`], where an id can be read. A piece that begins with no
//! known key belongs to the words before it; anywhere else it is an error at its place.

use super::{Caution, Context, Mention, ids, values};
use crate::diagnostics::{Diagnostic, Slug, nearest};
use crate::markdown::JobLine;
use crate::source::{Span, Spanned};

/// What a piece of a tail begins with.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Key {
    By,
    Takes,
    Took,
    Follows,
    Needs,
    HeldUp,
    Again,
    Dropped,
    Temp,
    MadeGood,
    Caution,
}

impl Key {
    const ALL: [Self; 11] = [
        Self::By,
        Self::Takes,
        Self::Took,
        Self::Follows,
        Self::Needs,
        Self::HeldUp,
        Self::Again,
        Self::Dropped,
        Self::Temp,
        Self::MadeGood,
        Self::Caution,
    ];

    fn word(self) -> &'static str {
        match self {
            Self::By => "by",
            Self::Takes => "takes",
            Self::Took => "took",
            Self::Follows => "follows",
            Self::Needs => "needs",
            Self::HeldUp => "held up",
            Self::Again => "again",
            Self::Dropped => "dropped",
            Self::Temp => "temp",
            Self::MadeGood => "made good",
            Self::Caution => "caution",
        }
    }

    /// Is it followed by a colon and words of the crew's own?
    fn has_words(self) -> bool {
        matches!(
            self,
            Self::HeldUp | Self::Again | Self::Dropped | Self::Temp
        )
    }

    /// What follows the key at the front of `piece`.
    fn after(self, piece: &str) -> Option<&str> {
        let rest = piece.strip_prefix(self.word())?;
        if self.has_words() {
            rest.trim_start().strip_prefix(':')
        } else {
            Some(rest).filter(|rest| ends_word(rest))
        }
    }
}

/// Does a word end before this text?
fn ends_word(rest: &str) -> bool {
    rest.is_empty() || rest.starts_with(char::is_whitespace)
}

/// A key with what is said after it.
struct Said {
    key: Key,
    /// Key and all.
    whole: Span,
    /// What comes after the key.
    span: Span,
}

/// Reads the tail of a job's line.
pub(super) fn read(
    line: &JobLine,
    context: &Context,
    found: &mut Vec<Diagnostic>,
) -> Option<Mention> {
    let pieces = values::split(context.sources, line.tail, ',');
    let (first, pieces) = pieces.split_first()?;
    let id = read_id(*first, context, found)?;
    let said = Pieces { context, found }.read(pieces);
    let mut reader = Reader {
        mention: bare(line, id, context),
        context,
        found,
    };
    for said in &said {
        reader.take(said);
    }
    reader.contradictions(&said);
    Some(reader.mention)
}

fn read_id(span: Span, context: &Context, found: &mut Vec<Diagnostic>) -> Option<Spanned<String>> {
    let text = context.sources.slice(span);
    let key = Key::ALL
        .into_iter()
        .find(|key| key.after(text).is_some_and(|after| !after.is_empty()));
    if let Some(key) = key {
        let wrong = Diagnostic::error(
            Slug::BadId,
            span,
            format!(
                "the braces begin with `{}` instead of the job's id",
                key.word()
            ),
        );
        found.push(wrong.expected("the job's id first, then a comma"));
        return None;
    }
    ids::new_id(text, span)
        .map_err(|wrong| found.push(*wrong))
        .ok()
}

/// A mention that says nothing but its id.
fn bare(line: &JobLine, id: Spanned<String>, context: &Context) -> Mention {
    let title = context.sources.slice(line.title);
    Mention {
        span: line.span,
        id,
        title: (!title.is_empty()).then(|| title.to_owned()),
        ticked: line.ticked,
        by: Vec::new(),
        takes: None,
        took: None,
        follows: Vec::new(),
        needs: Vec::new(),
        held_up: None,
        again: None,
        dropped: None,
        temp: None,
        made_good: None,
        cautions: Vec::new(),
    }
}

/// Puts the pieces between commas together to what is said.
struct Pieces<'a> {
    context: &'a Context<'a>,
    found: &'a mut Vec<Diagnostic>,
}

impl Pieces<'_> {
    fn read(&mut self, pieces: &[Span]) -> Vec<Said> {
        let mut said: Vec<Said> = Vec::new();
        let mut pieces = pieces.iter().copied().peekable();
        while let Some(piece) = pieces.next() {
            match (self.begins(piece), said.last_mut()) {
                (Some(new), _) => match pieces.peek() {
                    Some(next) if self.is_comma(&new, *next) => {
                        self.decimal_comma(new.span.to(*next));
                        pieces.next();
                    }
                    _ => said.push(new),
                },
                (None, Some(before)) if before.key.has_words() => {
                    before.span = before.span.to(piece);
                    before.whole = before.whole.to(piece);
                }
                (None, _) => self.unknown(piece),
            }
        }
        said
    }

    /// The key a piece begins with.
    fn begins(&self, piece: Span) -> Option<Said> {
        let text = self.context.sources.slice(piece);
        let (key, after) = Key::ALL
            .into_iter()
            .find_map(|key| Some((key, key.after(text)?)))?;
        let span = values::trim(
            self.context.sources,
            values::rest(piece, text.len() - after.len()),
        );
        Some(Said {
            key,
            whole: piece,
            span,
        })
    }

    /// Is the comma between hours and the next piece meant as a decimal point?
    fn is_comma(&self, said: &Said, next: Span) -> bool {
        let number = self.context.sources.slice(said.span);
        let digits = !number.is_empty() && number.bytes().all(|b| b.is_ascii_digit());
        let after = self.context.sources.slice(next);
        matches!(said.key, Key::Takes | Key::Took)
            && digits
            && after.starts_with(|c: char| c.is_ascii_digit())
    }

    fn decimal_comma(&mut self, span: Span) {
        let wrong = Diagnostic::error(
            Slug::DecimalComma,
            span,
            "use a decimal point, not a comma, in hours",
        );
        let meant = self.context.sources.slice(span).replacen(',', ".", 1);
        self.found
            .push(wrong.expected("a decimal point").instead(meant));
    }

    fn unknown(&mut self, piece: Span) {
        let text = self.context.sources.slice(piece);
        if text.is_empty() {
            let wrong =
                Diagnostic::warning(Slug::BadTail, piece, "the text after this comma is missing");
            return self.found.push(wrong);
        }
        let known = "by, takes, took, follows, needs, held up:, again:, dropped:, temp:, made good by, caution";
        let wrong = Diagnostic::error(
            Slug::BadTail,
            piece,
            format!("`{text}` is not a job attribute"),
        );
        self.found.push(
            wrong
                .expected(format!("an attribute that begins with one of {known}"))
                .maybe_instead(meant(text)),
        );
    }
}

/// The piece that a hand most likely meant: one or two words near a key, and the rest as it is.
fn meant(text: &str) -> Option<String> {
    let ends = text
        .char_indices()
        .filter(|(_, c)| c.is_whitespace() || *c == ':')
        .map(|(at, _)| at)
        .chain([text.len()]);
    let near = ends
        .take(2)
        .collect::<Vec<_>>()
        .into_iter()
        .rev()
        .find_map(|end| {
            let word = text.get(..end)?;
            let known = nearest(word, Key::ALL.map(Key::word))?;
            Some((known, text.get(end..)?))
        });
    let (word, rest) = near?;
    let words = Key::ALL
        .into_iter()
        .any(|key| key.word() == word && key.has_words());
    let rest = rest.trim_start_matches(':').trim();
    Some(
        format!("{word}{} {rest}", if words { ":" } else { "" })
            .trim_end()
            .to_owned(),
    )
}

/// Fills in a mention.
struct Reader<'a> {
    mention: Mention,
    context: &'a Context<'a>,
    found: &'a mut Vec<Diagnostic>,
}

impl Reader<'_> {
    fn text(&self, span: Span) -> &str {
        self.context.sources.slice(span)
    }

    fn wrong(&mut self, at: Span, message: impl Into<String>, expected: &str) {
        self.found
            .push(Diagnostic::error(Slug::BadTail, at, message).expected(expected));
    }

    fn take(&mut self, said: &Said) {
        if said.key != Key::Caution && self.is_said(said.key) {
            return self.wrong(
                said.whole,
                format!("`{}` is written twice", said.key.word()),
                "each attribute once",
            );
        }
        match said.key {
            Key::By => {
                self.mention.by = values::people(
                    self.context.sources,
                    said.span,
                    self.context.crew,
                    self.found,
                );
            }
            Key::Takes => self.mention.takes = self.hours(said),
            Key::Took => self.mention.took = self.hours(said),
            Key::Follows => self.mention.follows = self.ids(said.span),
            Key::Needs => self.mention.needs = self.parts(said.span),
            Key::HeldUp => self.mention.held_up = self.words(said),
            Key::Again => self.mention.again = self.words(said),
            Key::Dropped => self.mention.dropped = self.words(said),
            Key::Temp => self.mention.temp = self.words(said),
            Key::MadeGood => self.made_good(said),
            Key::Caution => self.caution(said),
        }
    }

    fn is_said(&self, key: Key) -> bool {
        let mention = &self.mention;
        match key {
            Key::By => !mention.by.is_empty(),
            Key::Takes => mention.takes.is_some(),
            Key::Took => mention.took.is_some(),
            Key::Follows => !mention.follows.is_empty(),
            Key::Needs => !mention.needs.is_empty(),
            Key::HeldUp => mention.held_up.is_some(),
            Key::Again => mention.again.is_some(),
            Key::Dropped => mention.dropped.is_some(),
            Key::Temp => mention.temp.is_some(),
            Key::MadeGood => mention.made_good.is_some(),
            Key::Caution => false,
        }
    }

    fn hours(&mut self, said: &Said) -> Option<f64> {
        let text = self.text(said.span);
        let hours = values::hours(text);
        if hours.is_none() {
            let meant =
                values::hours_meant(text).map(|meant| format!("{} {meant}", said.key.word()));
            let at = if text.is_empty() {
                said.whole
            } else {
                said.span
            };
            let wrong = Diagnostic::error(
                Slug::BadTail,
                at,
                format!("`{}` needs hours or minutes", said.key.word()),
            );
            self.found.push(
                wrong
                    .expected("`4.5 h`, `20 min` or `1 h 30 min`")
                    .maybe_instead(meant),
            );
        }
        hours
    }

    fn ids(&mut self, span: Span) -> Vec<Spanned<String>> {
        let ids = values::split(self.context.sources, span, '+').into_iter();
        ids.filter_map(|span| {
            ids::old_id(self.text(span), span)
                .map_err(|wrong| self.found.push(*wrong))
                .ok()
        })
        .collect()
    }

    fn parts(&mut self, span: Span) -> Vec<Spanned<String>> {
        let ids = self.ids(span);
        ids.into_iter()
            .filter(|id| self.context.has_part(id, self.found))
            .collect()
    }

    fn words(&mut self, said: &Said) -> Option<String> {
        let text = self.text(said.span).to_owned();
        if text.is_empty() {
            let what = if said.key == Key::Temp {
                "the stopgap, in a few words"
            } else {
                "the reason, in a few words"
            };
            self.wrong(
                said.whole,
                format!("add text after the colon of `{}:`", said.key.word()),
                what,
            );
            return None;
        }
        Some(text)
    }

    fn made_good(&mut self, said: &Said) {
        let text = self.text(said.span);
        let Some(names) = text
            .strip_prefix("by")
            .filter(|names| ends_word(names))
            .filter(|names| !names.trim().is_empty())
        else {
            let wrong = Diagnostic::error(Slug::MadeGood, said.whole, "`made good` needs a name");
            return self
                .found
                .push(wrong.expected("`made good by NAME`, or two names with ` + ` between them"));
        };
        let span = values::trim(
            self.context.sources,
            values::rest(said.span, text.len() - names.len()),
        );
        let people = values::people(self.context.sources, span, self.context.crew, self.found);
        if !people.is_empty() {
            self.mention.made_good = Some(Spanned::new(people, said.whole));
        }
    }

    fn caution(&mut self, said: &Said) {
        let text = self.text(said.span);
        if let Some(kind) = Caution::ALL.iter().find(|kind| kind.word() == text) {
            if self
                .mention
                .cautions
                .iter()
                .any(|caution| caution.value == *kind)
            {
                return self.wrong(
                    said.whole,
                    format!("`caution {text}` is written twice"),
                    "each caution once",
                );
            }
            return self.mention.cautions.push(Spanned::new(*kind, said.span));
        }
        let near = nearest(
            &text.replace([' ', '-'], "_"),
            Caution::ALL.iter().map(|kind| kind.word()),
        )
        .map(str::to_owned);
        let kinds: Vec<&str> = Caution::ALL.iter().map(|kind| kind.word()).collect();
        let at = if text.is_empty() {
            said.whole
        } else {
            said.span
        };
        let message = if text.is_empty() {
            "`caution` needs a kind".to_owned()
        } else {
            format!("`{text}` is not a caution Shimbook knows")
        };
        let wrong = Diagnostic::error(Slug::UnknownCaution, at, message);
        self.found
            .push(wrong.expected(kinds.join(", ")).maybe_instead(near));
    }

    /// What cannot be said together: the later one is put aside.
    fn contradictions(&mut self, said: &[Said]) {
        let against = [
            (Key::Dropped, Key::HeldUp),
            (Key::Dropped, Key::Again),
            (Key::MadeGood, Key::Temp),
        ];
        for (one, other) in against {
            if self.is_said(one) && self.is_said(other) {
                let at = said
                    .iter()
                    .rev()
                    .find(|said| said.key == one || said.key == other);
                self.put_aside(
                    at,
                    if at.is_some_and(|said| said.key == one) {
                        other.word()
                    } else {
                        one.word()
                    },
                );
            }
        }
        for key in [Key::Dropped, Key::HeldUp] {
            if self.mention.ticked && self.is_said(key) {
                self.put_aside(said.iter().find(|said| said.key == key), "the tick");
            }
        }
    }

    fn put_aside(&mut self, said: Option<&Said>, against: &str) {
        let Some(said) = said else { return };
        self.wrong(
            said.whole,
            format!("`{}` and {against} cannot both be true", said.key.word()),
            "one of the two",
        );
        match said.key {
            Key::HeldUp => self.mention.held_up = None,
            Key::Again => self.mention.again = None,
            Key::Dropped => self.mention.dropped = None,
            Key::Temp => self.mention.temp = None,
            Key::MadeGood => self.mention.made_good = None,
            _ => {}
        }
    }
}
