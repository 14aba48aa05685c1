//! Hidden words, and their replacements.
//!
//! In: the crew, the parts, the permissions of an audience. Out: texts without hidden words. A name
//! is found as the sheet has it, as a whole word; of a name of several words each capitalised word
//! is found too, of a supplier's the first. In addresses and ids, where names stand in small
//! letters and joined by signs, it is found in any letters; an id of the book that is a name is
//! found among words too.
//!
//! A word cut short, a nickname, a serial number too short to be told from a figure cannot be
//! known.

use std::collections::BTreeMap;

use super::html::WITHIN;
use crate::book::{Book, NamesSeen, Permissions};
use crate::markdown::escape;
use crate::quantity::Units;
use crate::quantity::data::money;
use crate::source::uri;

/// Words that the record's own addresses are made of: nobody's name there.
const OWN_ADDRESSES: [&str; 22] = [
    "index", "jobs", "ledger", "as-built", "built", "hold", "methods", "book", "days", "day",
    "line", "value", "job", "part", "photos", "html", "css", "style", "print", "formula", "note",
    "crew",
];

/// Where a text stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Where {
    /// Among words.
    Words,
    /// In an address, an anchor, a path, an id.
    Address,
}

/// One word or more that may not be seen.
#[derive(Clone, Debug)]
struct HiddenWord {
    /// What is looked for, in small letters where `loose`.
    text: String,
    /// Found in any letters: in addresses, and in words only beside a `_`.
    loose: bool,
    replacement: String,
}

/// All that may not be seen, by its first letter in small.
#[derive(Debug)]
pub(super) struct HiddenWords {
    by_first: BTreeMap<char, Vec<HiddenWord>>,
    /// How each of the crew is shown.
    people: BTreeMap<String, String>,
    /// Known costs with their cents, where costs may not be seen.
    costs: Vec<String>,
}

impl HiddenWords {
    pub(super) fn new(book: &Book, permissions: Permissions) -> Self {
        let mut hidden_words = Self {
            by_first: BTreeMap::new(),
            people: BTreeMap::new(),
            costs: Vec::new(),
        };
        if permissions.names != NamesSeen::Full {
            hidden_words.crew(book, permissions.names);
        }
        for part in book.parts.values() {
            if !permissions.serials {
                part.serial
                    .iter()
                    .for_each(|serial| hidden_words.number(serial));
            }
            if !permissions.suppliers {
                part.number
                    .iter()
                    .for_each(|number| hidden_words.number(number));
                for name in part.from.iter().flat_map(|from| supplier_names(book, from)) {
                    hidden_words.whole(name, "a supplier", "supplier");
                }
            }
        }
        if !permissions.costs {
            hidden_words.costs = costs(book);
        }
        hidden_words.sort();
        hidden_words
    }

    /// Adds ids of the book that are a name or a supplier in small letters: among words they would
    /// pass for words.
    pub(super) fn ids<'a>(&mut self, ids: impl Iterator<Item = &'a str>) {
        let named = |id: &'a str| {
            let shown = self.replace_in(id, Where::Address);
            (shown != id && self.replace_in(id, Where::Words) == id).then_some((id, shown))
        };
        let named: Vec<(&str, String)> = ids.filter_map(named).collect();
        for (id, shown) in named {
            self.add(id.to_owned(), false, &shown);
        }
        self.sort();
    }

    /// The longest first: a whole name before its words.
    fn sort(&mut self) {
        self.by_first.values_mut().for_each(|hidden_words| {
            hidden_words.sort_by_key(|hidden| std::cmp::Reverse(hidden.text.len()));
        });
    }

    /// How somebody of the crew is shown.
    pub(super) fn person(&self, name: &str) -> String {
        self.people
            .get(name)
            .cloned()
            .unwrap_or_else(|| self.replace_in(name, Where::Words))
    }

    /// Known costs with their cents.
    pub(super) fn costs(&self) -> &[String] {
        &self.costs
    }

    fn crew(&mut self, book: &Book, seen: NamesSeen) {
        let units = Units::new(&book.sheet.money);
        for (index, member) in book.sheet.crew.iter().enumerate() {
            let name = member.name.trim();
            let shown = match seen {
                NamesSeen::Initials => self.initials_of_their_own(name),
                NamesSeen::Full | NamesSeen::None => "somebody".to_owned(),
            };
            let id = format!("crew{}", index + 1);
            self.people.insert(member.name.clone(), shown.clone());
            let is_told = |word: &str| word.chars().count() > 1 && units.named(word).is_err();
            if is_told(name) {
                self.whole(name, &shown, &id);
            }
            let words = name
                .split_whitespace()
                .filter(|word| *word != name && is_told(word));
            for word in words.filter(|word| word.starts_with(char::is_uppercase)) {
                let shown = if seen == NamesSeen::None {
                    shown.clone()
                } else {
                    initials(word)
                };
                self.whole(word, &shown, &id);
            }
        }
    }

    /// `I. D.`; `I. D.2` where somebody before has the same.
    fn initials_of_their_own(&self, name: &str) -> String {
        let plain = initials(name);
        let taken = |shown: &String| self.people.values().any(|other| other == shown);
        let numbered = (2..).map(|number| format!("{plain}{number}"));
        std::iter::once(plain.clone())
            .chain(numbered)
            .find(|shown| !taken(shown))
            .unwrap_or(plain)
    }

    /// A serial number or a supplier's number, where nobody could take it for a figure.
    fn number(&mut self, number: &str) {
        let figures = number.chars().filter(char::is_ascii_digit).count();
        let letters = number.chars().any(char::is_alphabetic);
        let long_enough = number.chars().count() > 3;
        if long_enough && figures > 0 && (letters || number.starts_with('0') || figures > 5) {
            self.whole(number, super::WITHHELD, super::WITHHELD);
        }
    }

    /// A text as it stands among words, in HTML, in addresses.
    fn whole(&mut self, text: &str, replacement: &str, replacement_in_address: &str) {
        let mut exact = vec![text.to_owned(), escape(text)];
        exact.dedup();
        for text in exact {
            self.add(text, false, replacement);
        }
        let small = text.to_lowercase();
        let joined = |sign: &str| {
            small
                .split(|c: char| !c.is_alphanumeric())
                .filter(|w| !w.is_empty())
                .collect::<Vec<_>>()
                .join(sign)
        };
        let mut loose = vec![
            small.clone(),
            escape(&small),
            uri(&small).to_lowercase(),
            uri(text).to_lowercase(),
        ];
        loose.extend(["-", "_", "%20", "+", ""].map(joined));
        loose.sort();
        loose.dedup();
        loose.retain(|text| !text.is_empty() && !OWN_ADDRESSES.contains(&text.as_str()));
        for text in loose {
            self.add(text, true, replacement_in_address);
        }
    }

    fn add(&mut self, text: String, loose: bool, replacement: &str) {
        let Some(first) = text.chars().flat_map(char::to_lowercase).next() else {
            return;
        };
        let hidden_words = self.by_first.entry(first).or_default();
        if !hidden_words
            .iter()
            .any(|hidden| hidden.loose == loose && hidden.text == text)
        {
            hidden_words.push(HiddenWord {
                text,
                loose,
                replacement: replacement.to_owned(),
            });
        }
    }

    /// A text without what may not be seen.
    pub(super) fn replace_in(&self, text: &str, place: Where) -> String {
        if self.by_first.is_empty() {
            return text.to_owned();
        }
        let mut out = String::with_capacity(text.len());
        let mut before = None;
        let mut rest = text;
        while let Some(c) = rest.chars().next() {
            if let Some((length, replacement)) = self.here(before, rest, place) {
                out.push_str(replacement);
                // Tags that stood in the middle of it stay, each in its order.
                out.extend(rest[..length].chars().filter(|c| *c == WITHIN));
                before = rest[..length].chars().next_back();
                rest = &rest[length..];
            } else {
                out.push(c);
                before = Some(c);
                rest = &rest[c.len_utf8()..];
            }
        }
        out
    }

    /// What begins at the start of `rest`, and what is put in its place.
    fn here(&self, before: Option<char>, rest: &str, place: Where) -> Option<(usize, &str)> {
        let first = rest.chars().next()?;
        if before.is_some_and(char::is_alphanumeric) && first.is_alphanumeric() {
            return None;
        }
        let hidden_words = self.by_first.get(&first.to_lowercase().next()?)?;
        hidden_words.iter().find_map(|hidden| {
            let length = if hidden.loose {
                begins_loosely(rest, &hidden.text)?
            } else {
                begins(rest, &hidden.text)?
            };
            let after = rest.get(length..)?.chars().next();
            let ends = !after.is_some_and(char::is_alphanumeric)
                || !hidden.text.ends_with(char::is_alphanumeric);
            let in_an_id = before == Some('_') || after == Some('_');
            let fits = if hidden.loose {
                place == Where::Address || in_an_id
            } else {
                place == Where::Words && !in_an_id
            };
            (ends && fits).then_some((length, hidden.replacement.as_str()))
        })
    }
}

/// How many bytes of `text` are `with`, tags in its middle counted in.
fn begins(text: &str, with: &str) -> Option<usize> {
    let mut wanted = with.chars();
    for (at, c) in text.char_indices() {
        if wanted.as_str().is_empty() {
            return Some(at);
        }
        if c != WITHIN && wanted.next() != Some(c) {
            return None;
        }
    }
    wanted.as_str().is_empty().then_some(text.len())
}

/// How many bytes of `text` are `with` in any letters.
fn begins_loosely(text: &str, with: &str) -> Option<usize> {
    let mut wanted = with.chars();
    for (at, c) in text.char_indices() {
        if wanted.as_str().is_empty() {
            return Some(at);
        }
        if !c.to_lowercase().all(|small| wanted.next() == Some(small)) {
            return None;
        }
    }
    wanted.as_str().is_empty().then_some(text.len())
}

/// `I. D.`
fn initials(name: &str) -> String {
    let letters = name
        .split_whitespace()
        .filter_map(|word| word.chars().find(|c| c.is_alphanumeric()));
    let letters: Vec<String> = letters
        .map(|letter| format!("{}.", letter.to_uppercase()))
        .collect();
    if letters.is_empty() {
        "somebody".to_owned()
    } else {
        letters.join(" ")
    }
}

/// Every cost of the book with its cents, where it has some.
fn costs(book: &Book) -> Vec<String> {
    let listed = book.parts.values().filter_map(|part| part.cost.as_ref());
    let blocks = book
        .days
        .iter()
        .flat_map(|log| &log.entries)
        .filter_map(|entry| match entry {
            crate::book::Entry::Parts(block) => Some(block),
            _ => None,
        });
    let said = blocks
        .flat_map(|block| &block.lines)
        .filter_map(|line| line.event.as_ref()?.cost.as_ref());
    let mut costs: Vec<String> = listed
        .chain(said)
        .flat_map(|cost| [money(cost.value), cost.value.to_string()])
        .collect();
    costs.retain(|cost| cost.contains('.') && !cost.ends_with(".00") && cost.len() > 4);
    costs.sort();
    costs.dedup();
    costs
}

/// What a supplier is called: the whole name, and the first word of it, as a crew says it (`Tern`
/// of `Tern Works`). A word that also names something from elsewhere (`Steel` of `Steel Yard`)
/// would take that away too and stays.
fn supplier_names<'a>(book: &Book, from: &'a str) -> impl Iterator<Item = &'a str> {
    let words = |text: &'a str| {
        text.split(|c: char| !c.is_alphanumeric())
            .filter(|word| !word.is_empty())
    };
    let named_elsewhere = |word: &str| {
        let others = book
            .parts
            .values()
            .filter(|part| part.from.as_deref() != Some(from));
        others
            .flat_map(|part| part.what.split(|c: char| !c.is_alphanumeric()))
            .any(|other| other == word)
    };
    let first = words(from).next().filter(|word| {
        *word != from
            && word.chars().count() > 3
            && word.starts_with(char::is_uppercase)
            && !named_elsewhere(word)
    });
    std::iter::once(from)
        .filter(|from| from.chars().count() > 2)
        .chain(first)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::book;
    use crate::io::BookFiles;

    fn hidden_words(names: NamesSeen) -> HiddenWords {
        let sheet = "title: x\nstart: 2031-05-02\ndays: 3\ncrew:\n  - {name: Ines Duarte, hours: 8}\n  - {name: Ivo, hours: 8}\n  - {name: Pa, hours: 8}\n  - {name: Ida, hours: 8}\n";
        let parts = "motor: {what: Motor, from: Tern Works, serial: \"0417\", number: TW-9}\njack: {what: Jack, serial: \"25\"}\nlift: {what: Lift, from: Jack & Sons}\n";
        let (book, _) = book::read(&BookFiles::from_texts([
            ("build-sheet.yaml", sheet),
            ("parts.yaml", parts),
        ]));
        HiddenWords::new(
            &book,
            Permissions {
                names,
                ..Permissions::default()
            },
        )
    }

    #[test]
    fn a_name_goes_as_a_whole_word_and_never_out_of_the_middle_of_another() {
        let hidden_words = hidden_words(NamesSeen::Initials);
        let seen = |text| hidden_words.replace_in(text, Where::Words);
        assert_eq!(
            seen("Ines Duarte, Ines’s jig, Duarte and Ivory"),
            "I. D., I.’s jig, D. and Ivory"
        );
        assert_eq!(
            seen("ines is no name; 5 Pa is a pressure; ines_arm"),
            "ines is no name; 5 Pa is a pressure; crew1_arm"
        );
        assert_eq!(seen("In\u{1}es Dua\u{1}rte"), "I. D.\u{1}\u{1}");
        assert_eq!(
            seen("from Tern Works, serial 0417, 25 mm"),
            "from a supplier, serial withheld, 25 mm"
        );
        assert_eq!(
            seen("Tern’s man rang; a tern; Jack came"),
            "a supplier’s man rang; a tern; Jack came"
        );
    }

    #[test]
    fn two_with_the_same_initials_are_told_apart() {
        let hidden_words = hidden_words(NamesSeen::Initials);
        assert_eq!(
            ["Ines Duarte", "Ivo", "Pa", "Ida"].map(|name| hidden_words.person(name)),
            ["I. D.", "I.", "P.", "I.2"]
        );
    }

    #[test]
    fn an_address_hides_a_name_in_any_letters() {
        let hidden_words = hidden_words(NamesSeen::None);
        let seen = |text| hidden_words.replace_in(text, Where::Address);
        assert_eq!(
            seen("days/day-01-ines.html#ines-duarte-was-late"),
            "days/day-01-crew1.html#crew1-was-late"
        );
        assert_eq!(seen("photos/Ines%20Duarte.png"), "photos/crew1.png");
        assert_eq!(seen("#value-shines"), "#value-shines");
        assert_eq!(
            hidden_words.replace_in("Ivo and Ines", Where::Words),
            "somebody and somebody"
        );
    }
}
