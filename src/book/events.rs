//! The lines of a `parts` block.
//!
//! In: a line such as `tray: ordered, due day 4, cost 86.00`. Out: the event, where it can be read.

use super::pieces;
use super::{Context, EventKind, Line, PartEvent, PartsLine, ids, values};
use crate::diagnostics::{Diagnostic, Slug, nearest};
use crate::markdown::Fence;
use crate::source::{Span, Spanned};

/// Reads every line of a block.
pub(super) fn read(
    fence: &Fence,
    context: &Context,
    found: &mut Vec<Diagnostic>,
) -> Vec<PartsLine> {
    let lines = fence.lines.iter().map(|span| {
        let line = Line {
            text: context.sources.slice(*span).to_owned(),
            span: *span,
        };
        let event = Reader { context, found }.line(*span);
        PartsLine { line, event }
    });
    lines.collect()
}

struct Reader<'a> {
    context: &'a Context<'a>,
    found: &'a mut Vec<Diagnostic>,
}

impl Reader<'_> {
    fn text(&self, span: Span) -> &str {
        self.context.sources.slice(span)
    }

    fn wrong<T>(&mut self, at: Span, message: impl Into<String>, expected: &str) -> Option<T> {
        self.found
            .push(Diagnostic::error(Slug::BadEvent, at, message).expected(expected));
        None
    }

    fn line(&mut self, span: Span) -> Option<PartEvent> {
        let text = self.text(span);
        let (said, remark) = text
            .split_once('#')
            .map_or((text, ""), |(said, remark)| (said, remark.trim()));
        if said.trim().is_empty() {
            return None;
        }
        let said = values::trim(
            self.context.sources,
            Span::new(
                span.file,
                span.start as usize..span.start as usize + said.len(),
            ),
        );
        let remark = remark.to_owned();
        let Some(colon) = self.text(said).find(':') else {
            return self.wrong(
                said,
                "this line does not name a part and an event",
                "`id: event`, for example `tray: ordered, due day 4`",
            );
        };
        let id = Span::new(said.file, said.start as usize..said.start as usize + colon);
        let id = values::trim(self.context.sources, id);
        let id = ids::old_id(self.text(id), id)
            .map_err(|wrong| self.found.push(*wrong))
            .ok()?;
        let known = self.context.has_part(&id, self.found);
        let event = self.event(id, values::rest(said, colon + 1), remark);
        event.filter(|_| known)
    }

    fn event(&mut self, id: Spanned<String>, said: Span, remark: String) -> Option<PartEvent> {
        let pieces = values::split(self.context.sources, said, ',');
        let (first, pieces) = pieces.split_first()?;
        let what = self.kind(*first)?;
        let mut event = PartEvent {
            id,
            what,
            due: None,
            cost: None,
            remark: None,
        };
        let mut remarks: Vec<String> = Vec::new();
        for (piece, next) in pieces
            .iter()
            .zip(pieces.iter().skip(1).map(Some).chain([None]))
        {
            if !self.figure(&mut event, *piece, next.copied())? && !self.text(*piece).is_empty() {
                let text = self.text(*piece).to_owned();
                self.no_pieces(&event.id.value, &text, *piece)?;
                remarks.push(self.text(*piece).to_owned());
            }
        }
        self.no_pieces(&event.id.value, &remark, said)?;
        remarks.extend((!remark.is_empty()).then_some(remark));
        event.remark = (!remarks.is_empty()).then(|| remarks.join(", "));
        self.reason(&event);
        Some(event)
    }

    /// What was altered or cancelled needs a reason.
    fn reason(&mut self, event: &PartEvent) {
        let (message, expected) = match event.what.value {
            EventKind::Altered => (
                "`altered` needs a reason after it",
                "`altered, why`, for example `altered, drilled`",
            ),
            EventKind::Cancelled => (
                "`cancelled` needs a reason after it",
                "`cancelled, why`, for example `cancelled, sold out`",
            ),
            _ => return,
        };
        if event.remark.is_none() {
            self.found.push(
                Diagnostic::warning(Slug::BadEvent, event.what.span, message).expected(expected),
            );
        }
    }

    /// A remark that counts pieces says something the ledger would not do: `None`, and an error.
    fn no_pieces(&mut self, id: &str, remark: &str, at: Span) -> Option<()> {
        if !pieces::counts_pieces(remark) {
            return Some(());
        }
        let wrong = Diagnostic::error(
            Slug::BadEvent,
            at,
            "pieces of one part cannot be counted yet",
        );
        let expected = format!(
            "each piece as a part of its own in parts.yaml, for example {id}_1 and {id}_2, and a line for each: `{id}_1: in`"
        );
        self.found.push(wrong.expected(expected));
        None
    }

    fn kind(&mut self, span: Span) -> Option<Spanned<EventKind>> {
        let text = self.text(span);
        if let Some(kind) = EventKind::ALL.into_iter().find(|kind| kind.words() == text) {
            return Some(Spanned::new(kind, span));
        }
        let near = nearest(text, EventKind::ALL.map(EventKind::words));
        let message = if text.is_empty() {
            "the event is missing".to_owned()
        } else {
            format!("`{text}` is not a parts event")
        };
        let wrong = Diagnostic::error(Slug::BadEvent, span, message);
        self.found.push(
            wrong
                .expected(EventKind::ALL.map(EventKind::words).join(", "))
                .maybe_instead(near),
        );
        None
    }

    /// Takes in a due day or a cost; `Some(false)` where the piece is neither, `None` where it is
    /// wrong.
    fn figure(&mut self, event: &mut PartEvent, piece: Span, next: Option<Span>) -> Option<bool> {
        let text = self.text(piece);
        let after = |key: &str| {
            text.strip_prefix(key)
                .filter(|rest| rest.is_empty() || rest.starts_with(char::is_whitespace))
        };
        if let Some(day) = after("due") {
            let day = values::day(day.trim());
            return self.due(event, piece, day);
        }
        let Some(amount) = after("cost") else {
            return Some(false);
        };
        let at = values::trim(
            self.context.sources,
            values::rest(piece, text.len() - amount.len()),
        );
        self.cost(event, piece, at, next)
    }

    fn due(&mut self, event: &mut PartEvent, piece: Span, day: Option<u32>) -> Option<bool> {
        if event.what.value != EventKind::Ordered {
            return self.wrong(
                piece,
                "only an `ordered` part can have a due day",
                "`ordered, due day 4`",
            );
        }
        if event.due.is_some() {
            return self.wrong(piece, "the due day is given twice", "one due day");
        }
        if day.is_none() {
            return self.wrong(piece, "this is not a due day", "`due day 4`");
        }
        event.due = day;
        Some(true)
    }

    fn cost(
        &mut self,
        event: &mut PartEvent,
        piece: Span,
        at: Span,
        next: Option<Span>,
    ) -> Option<bool> {
        let cents = next.filter(|next| {
            !self.text(*next).is_empty() && values::plain_number(self.text(*next)).is_some()
        });
        if let Some(cents) = cents {
            let span = at.to(cents);
            let meant = self.text(span).replacen(',', ".", 1);
            let wrong = Diagnostic::error(
                Slug::DecimalComma,
                span,
                "use a decimal point, not a comma, in a cost",
            );
            self.found
                .push(wrong.expected("a decimal point").instead(meant));
            return None;
        }
        if event.cost.is_some() {
            return self.wrong(piece, "the cost is given twice", "one cost");
        }
        let amount = values::money(self.text(at), self.context.currency);
        let Some(amount) = amount else {
            return self.wrong(
                piece,
                "this is not a cost",
                "`cost 86.00`, in the book's currency",
            );
        };
        event.cost = Some(Spanned::new(amount, at));
        Some(true)
    }
}
