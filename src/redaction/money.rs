//! Sums of money in the crew's own words, as far as they can be told from other figures.
//!
//! In: a text. Out: the same with `withheld` in the place of a number that stands beside the book's
//! currency or its sign, or behind `cost` or `paid`, or that is a cost of the book to its cents.
//! Other amounts cannot be known.

use super::WITHHELD;
use super::html::WITHIN;
use crate::quantity::Units;

/// Words that a sum of money follows.
const BEFORE: [&str; 4] = ["cost", "costs", "paid", "price"];
/// Signs and words that stand beside one, whatever the book reckons in.
const BESIDE: [&str; 6] = ["€", "$", "£", "¥", "euro", "euros"];

/// Spaces that may stand between thousands.
const GROUPS: [char; 4] = [' ', '\u{a0}', '\u{202f}', '\u{2009}'];

/// The text without its sums of money.
pub(super) fn without(text: &str, currency: &str, costs: &[String]) -> String {
    if !text.bytes().any(|byte| byte.is_ascii_digit()) {
        return text.to_owned();
    }
    let units = Units::new(currency);
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(start) = rest.find(|c: char| c.is_ascii_digit()) {
        let (before, from) = rest.split_at(start);
        out.push_str(before);
        let length = figure(from);
        let (number, after) = from.split_at(length);
        let within_word = out.ends_with(|c: char| c.is_alphanumeric() || c == '_' || c == '#')
            && !ends_in(&out, currency);
        let is_money = follows_money(&out, currency) || leads_money(after, currency);
        let is_cost = costs.contains(&number.replace(GROUPS, "")) && !leads_unit(after, &units);
        out.push_str(if !within_word && (is_money || is_cost) {
            WITHHELD
        } else {
            number
        });
        rest = after;
    }
    out.push_str(rest);
    out
}

/// How long the number is that the text begins with: `8 200.00`, `8,200.00`, `8200`.
fn figure(text: &str) -> usize {
    let bytes = text.as_bytes();
    let digit = |at: usize| bytes.get(at).is_some_and(u8::is_ascii_digit);
    let mut end = 0;
    loop {
        while digit(end) {
            end += 1;
        }
        let joins = bytes
            .get(end)
            .is_some_and(|sign| [b'.', b',', b'\''].contains(sign))
            && digit(end + 1);
        let space = text[end..]
            .chars()
            .next()
            .filter(|sign| GROUPS.contains(sign))
            .map_or(0, char::len_utf8);
        let thousand =
            space > 0 && (0..3).all(|n| digit(end + space + n)) && !digit(end + space + 3);
        if !joins && !thousand {
            return end;
        }
        end += if joins { 1 } else { space };
    }
}

/// Does it stand between words without parting them? So do tags and the marks of Markdown.
fn is_between(c: char) -> bool {
    c.is_whitespace() || [WITHIN, '*', '`', '~'].contains(&c)
}

/// Is the last word this?
fn ends_in(text: &str, word: &str) -> bool {
    text.strip_suffix(word)
        .is_some_and(|before| !before.ends_with(char::is_alphanumeric))
}

fn follows_money(before: &str, currency: &str) -> bool {
    let before = before.trim_end_matches(|c: char| is_between(c) || c == ':');
    let word = before
        .rsplit(|c: char| is_between(c) || c.is_control() || "(,;.>".contains(c))
        .next()
        .unwrap_or_default();
    let word = word.to_lowercase();
    word == currency.to_lowercase() || BEFORE.iter().chain(&BESIDE).any(|known| word == *known)
}

fn leads_money(after: &str, currency: &str) -> bool {
    let word = next_word(after).to_lowercase();
    let sign = after
        .trim_start_matches(is_between)
        .chars()
        .next()
        .map(String::from)
        .unwrap_or_default();
    word == currency.to_lowercase() || BESIDE.iter().any(|known| word == *known || sign == *known)
}

fn leads_unit(after: &str, units: &Units) -> bool {
    after.trim_start().starts_with(['°', '%', '"', '±']) || units.named(next_word(after)).is_ok()
}

fn next_word(after: &str) -> &str {
    let after = after.trim_start_matches(is_between);
    let end = after
        .find(|c: char| !c.is_alphanumeric() && !"/^-".contains(c))
        .unwrap_or(after.len());
    &after[..end]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sums_of_money_go_and_figures_stay() {
        let costs = ["8213.37".to_owned()];
        let seen = |text| without(text, "EUR", &costs);
        assert_eq!(
            seen("paid 86.00, then 12 EUR and EUR 9.50; cost: 8 213"),
            "paid withheld, then withheld EUR and EUR withheld; cost: withheld"
        );
        assert_eq!(
            seen("EUR9.50, £12, 9 euros, 5 eur"),
            "EURwithheld, £withheld, withheld euros, withheld eur"
        );
        assert_eq!(
            seen("paid **12** and **9** EUR"),
            "paid **withheld** and **withheld** EUR"
        );
        assert_eq!(
            seen("8213.37 for it, 8213.37 mm of it"),
            "withheld for it, 8213.37 mm of it"
        );
        assert_eq!(
            seen("day 3, 12 mm, 3/8 in, M8 x 20"),
            "day 3, 12 mm, 3/8 in, M8 x 20"
        );
    }
}
