//! The pen: shapes and texts in order, then one SVG element.
//!
//! In: shapes in the drawing's own units, texts as plain words. Out: a [`Drawing`]. Every text is
//! escaped and cut to the room it is given; a number that is not finite is never written.

use std::fmt::Write as _;

use unicode_width::UnicodeWidthChar;

use super::Drawing;

/// The height of the texts, in the drawing's own units.
pub const FONT_SIZE: f64 = 12.0;
/// How wide a tabular figure is at most, as a share of the font's size.
const FIGURE: f64 = 0.62;

/// How wide a text is at most.
pub(super) fn width(text: &str) -> f64 {
    columns(text) as f64 * FIGURE * FONT_SIZE
}

fn columns(text: &str) -> usize {
    text.chars().map(|c| c.width().unwrap_or(0)).sum()
}

/// The text, cut with `…` where it is wider than `room`.
pub(super) fn fit(text: &str, room: f64) -> String {
    let most = (room / (FIGURE * FONT_SIZE) + 1e-9).max(0.0) as usize;
    if columns(text) <= most {
        return text.to_owned();
    }
    let mut used = 1;
    let keep = text.chars().take_while(|c| {
        used += c.width().unwrap_or(0);
        used <= most
    });
    format!("{}…", keep.collect::<String>().trim_end())
}

/// The text on two lines, parted between words where it can be; the second is cut where it is too
/// wide.
pub(super) fn fit_two(text: &str, room: f64) -> (String, String) {
    let parts = |at: &(usize, &str)| width(&text[..at.0]) <= room;
    match text.match_indices(' ').take_while(parts).last() {
        Some((at, _)) if width(text) > room => (text[..at].to_owned(), fit(&text[at + 1..], room)),
        _ => (fit(text, room), String::new()),
    }
}

/// Where a text stands to its point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Side {
    /// The point is where it begins.
    Start,
    /// The point is its middle.
    Middle,
    /// The point is where it ends.
    End,
}

impl Side {
    fn anchor(self) -> &'static str {
        match self {
            Self::Start => "start",
            Self::Middle => "middle",
            Self::End => "end",
        }
    }
}

/// A drawing while it is drawn.
pub(super) struct Ink {
    width: f64,
    body: String,
}

impl Ink {
    pub(super) fn new(width: f64) -> Self {
        Self {
            width,
            body: String::new(),
        }
    }

    /// The finished drawing, `height` units high.
    pub(super) fn finish(self, height: f64, words: String) -> Drawing {
        let size = format!(
            r#"viewBox="0 0 {} {}" width="100%" font-size="{FONT_SIZE}" font-family="monospace""#,
            n(self.width),
            n(height)
        );
        self.close(&size, words)
    }

    /// The finished drawing as a sign in a line of text: as high as the font.
    pub(super) fn finish_inline(self, height: f64, words: String) -> Drawing {
        let (wide, high) = (n(self.width), n(height));
        let size = format!(
            r#"viewBox="0 0 {wide} {high}" width="{}em" height="1em""#,
            n(self.width / height)
        );
        self.close(&size, words)
    }

    fn close(self, size: &str, words: String) -> Drawing {
        let svg = format!(
            r#"<svg class="drawing" {size} role="img" aria-label="{}">{}</svg>"#,
            escaped(&words),
            self.body
        );
        Drawing { svg, words }
    }

    pub(super) fn text(&mut self, x: f64, y: f64, side: Side, text: &str, room: f64) {
        self.write_text(x, y, side, "", text, room);
    }

    pub(super) fn bold(&mut self, x: f64, y: f64, side: Side, text: &str, room: f64) {
        self.write_text(x, y, side, r#" font-weight="600""#, text, room);
    }

    pub(super) fn faint(&mut self, x: f64, y: f64, side: Side, text: &str, room: f64) {
        self.write_text(x, y, side, r#" class="t""#, text, room);
    }

    fn write_text(&mut self, x: f64, y: f64, side: Side, more: &str, text: &str, room: f64) {
        let text = escaped(&fit(text, room));
        if text.is_empty() {
            return;
        }
        let anchor = side.anchor();
        let _ = write!(
            self.body,
            r#"<text x="{}" y="{}" text-anchor="{anchor}" fill="currentColor"{more}>{text}</text>"#,
            n(x),
            n(y)
        );
    }

    pub(super) fn line(&mut self, from: (f64, f64), to: (f64, f64), thick: f64) {
        self.path(&[from, to], thick, "");
    }

    pub(super) fn dashed(&mut self, from: (f64, f64), to: (f64, f64)) {
        self.path(
            &[from, to],
            1.0,
            r#" stroke-dasharray="3 3" stroke-opacity=".6""#,
        );
    }

    /// A thin line for the eye to follow.
    pub(super) fn hair(&mut self, from: (f64, f64), to: (f64, f64)) {
        self.path(&[from, to], 1.0, r#" stroke-opacity=".3""#);
    }

    pub(super) fn line_through(&mut self, points: &[(f64, f64)], thick: f64) {
        self.path(points, thick, "");
    }

    fn path(&mut self, points: &[(f64, f64)], thick: f64, more: &str) {
        let d = polyline(points);
        let _ = write!(
            self.body,
            r#"<path d="{d}" fill="none" stroke="currentColor" stroke-width="{}"{more}/>"#,
            n(thick)
        );
    }

    pub(super) fn dot(&mut self, x: f64, y: f64, radius: f64) {
        let _ = write!(
            self.body,
            r#"<circle cx="{}" cy="{}" r="{}" fill="currentColor"/>"#,
            n(x),
            n(y),
            n(radius)
        );
    }

    pub(super) fn ring(&mut self, x: f64, y: f64, radius: f64) {
        let _ = write!(
            self.body,
            r#"<circle cx="{}" cy="{}" r="{}" fill="none" stroke="currentColor" stroke-width="1.3"/>"#,
            n(x),
            n(y),
            n(radius)
        );
    }

    /// A whisker from `low` to `high` along a line.
    pub(super) fn whisker(&mut self, y: f64, low: f64, high: f64) {
        self.line((low, y), (high, y), 2.0);
        for end in [low, high] {
            self.line((end, y - 5.0), (end, y + 5.0), 1.3);
        }
    }

    /// A whisker that stands upright.
    pub(super) fn upright(&mut self, x: f64, low: f64, high: f64) {
        self.line((x, low), (x, high), 1.5);
        for end in [low, high] {
            self.line((x - 3.0, end), (x + 3.0, end), 1.3);
        }
    }

    pub(super) fn outline(&mut self, x: f64, y: f64, wide: f64, high: f64) {
        self.rect(x, y, wide, high, r#"fill="none" stroke="currentColor""#);
    }

    pub(super) fn wash(&mut self, x: f64, y: f64, wide: f64, high: f64, strength: &str) {
        self.rect(
            x,
            y,
            wide,
            high,
            &format!(r#"fill="currentColor" fill-opacity="{strength}""#),
        );
    }

    /// A slip of paper: covers what lies under it. `--card` is the paper's colour, where it is set.
    pub(super) fn paper(&mut self, x: f64, y: f64, wide: f64, high: f64) {
        self.rect(x, y, wide, high, r#"fill="var(--card, Canvas)""#);
    }

    /// The head of an arrow that points to the right, its tip at a point.
    pub(super) fn head(&mut self, x: f64, y: f64) {
        let (x, back, top, bottom) = (n(x), n(x - 6.0), n(y - 3.0), n(y + 3.0));
        let _ = write!(
            self.body,
            r#"<path d="M{x} {}L{back} {top}L{back} {bottom}Z" fill="currentColor"/>"#,
            n(y)
        );
    }

    pub(super) fn dashed_frame(&mut self, x: f64, y: f64, wide: f64, high: f64) {
        self.rect(
            x,
            y,
            wide,
            high,
            r#"fill="none" stroke="currentColor" stroke-dasharray="3 3" stroke-opacity=".6""#,
        );
    }

    fn rect(&mut self, x: f64, y: f64, wide: f64, high: f64, paint: &str) {
        if wide > 0.0 && high > 0.0 {
            let (x, y, wide, high) = (n(x), n(y), n(wide), n(high));
            let _ = write!(
                self.body,
                r#"<rect x="{x}" y="{y}" width="{wide}" height="{high}" {paint}/>"#
            );
        }
    }

    /// What is too much: a box ruled at a slant. Ruled line by line, so that it needs no id that
    /// other drawings of the page could clash with.
    pub(super) fn hatch(&mut self, x: f64, y: f64, wide: f64, high: f64) {
        if !(wide > 0.0 && high > 0.0 && wide <= 4000.0 && high <= 4000.0) {
            return;
        }
        let mut d = String::new();
        let mut at = HATCH;
        while at < wide + high {
            // The line x + y = at, inside the box.
            let (left, right) = ((at - high).max(0.0), at.min(wide));
            let _ = write!(
                d,
                "M{} {}L{} {}",
                n(x + left),
                n(y + at - left),
                n(x + right),
                n(y + at - right)
            );
            at += HATCH;
        }
        let _ = write!(
            self.body,
            r#"<path d="{d}" fill="none" stroke="currentColor" stroke-width="1.2"/>"#
        );
        self.outline(x, y, wide, high);
    }

    /// What must stop somebody: drawn in the accent.
    pub(super) fn over(&mut self, draw: impl FnOnce(&mut Self)) {
        self.body
            .push_str(r#"<g class="over" color="var(--oxide, currentColor)">"#);
        draw(self);
        self.body.push_str("</g>");
    }

    /// Draws in the accent or in plain ink.
    pub(super) fn over_if(&mut self, is_over: bool, draw: impl FnOnce(&mut Self)) {
        if is_over { self.over(draw) } else { draw(self) }
    }
}

const HATCH: f64 = 5.0;

fn polyline(points: &[(f64, f64)]) -> String {
    let mut d = String::new();
    for (index, (x, y)) in points.iter().enumerate() {
        let _ = write!(
            d,
            "{}{} {}",
            if index == 0 { 'M' } else { 'L' },
            n(*x),
            n(*y)
        );
    }
    d
}

/// A number of the drawing, to a tenth of a unit.
fn n(number: f64) -> String {
    if !number.is_finite() {
        return "0".to_owned();
    }
    // Whole tenths are written several times faster than a fraction is, and drawings hold many.
    let tenths = (number.clamp(-9999.0, 9999.0) * 10.0).round_ties_even() as i32;
    let (sign, whole, tenth) = (
        if tenths < 0 { "-" } else { "" },
        tenths.abs() / 10,
        tenths.abs() % 10,
    );
    if tenth == 0 {
        format!("{sign}{whole}")
    } else {
        format!("{sign}{whole}.{tenth}")
    }
}

/// Text as it may stand in SVG and in its attributes.
pub(super) fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            c if c.is_control() => out.push(' '),
            c => out.push(c),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_is_cut_to_its_room() {
        assert_eq!(fit("tail_after", width("tail_after")), "tail_after");
        assert_eq!(fit("tail_after", width("tail_")), "tail…");
        assert_eq!(fit("tail", 0.0), "…");
    }

    #[test]
    fn what_is_not_a_number_is_never_written() {
        assert_eq!(n(f64::NAN), "0");
        assert_eq!(n(f64::INFINITY), "0");
        assert_eq!(n(-0.01), "0");
        assert_eq!(
            [12.34, 12.0, -0.5, -7.96, 0.25, 1e9].map(n),
            ["12.3", "12", "-0.5", "-8", "0.2", "9999"]
        );
    }

    #[test]
    fn text_cannot_break_out_of_its_place() {
        assert_eq!(escaped("a<b>\"&'\u{7}"), "a&lt;b&gt;&quot;&amp;&#39; ");
    }
}
