//! What the places of a record say of each check.
//!
//! In: the texts of a book. Out: a [`Written`] record, all made in one process, and what each place
//! says. A further fact is one more reader of a `Written`.

use std::collections::BTreeMap;

use scraper::{ElementRef, Html, Selector};
use serde_json::Value;
use shimbook::build::{Build, compile};
use shimbook::export::document as documents;
use shimbook::export::sheets::{document, sheets};
use shimbook::io::BookFiles;
use shimbook::pages::workings::workings;
use shimbook::pages::{Evenings, PageSet};
use shimbook::render::{Press, Theme};
use shimbook::{hold, morning};

/// A book written up, exported and told.
pub(crate) struct Written {
    pub(crate) build: Build,
    /// The pages by path.
    pub(crate) pages: BTreeMap<String, Html>,
    /// The shop screen.
    pub(crate) wall: Html,
    /// The inspection sheet, as templates get it.
    pub(crate) inspection: Value,
    /// `check --format json`
    pub(crate) check: Value,
    /// `tally --format json`
    pub(crate) tally: Value,
    /// `book.json`
    pub(crate) export: Value,
    /// The next morning's log.
    pub(crate) morning: String,
}

/// What a place says of a check; empty where it does not say it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Said {
    pub(crate) place: &'static str,
    pub(crate) name: String,
    pub(crate) rule: String,
    pub(crate) verdict: String,
    /// The margin in words.
    pub(crate) margin: String,
    pub(crate) basis: String,
}

impl Written {
    pub(crate) fn of(texts: &[(String, String)], theme: &Theme) -> Self {
        let build = compile(BookFiles::from_texts(
            texts
                .iter()
                .map(|(path, text)| (path.as_str(), text.as_str())),
        ));
        let evenings = Evenings::of(&build);
        let page_set = PageSet::new(&build, &evenings);
        let press = Press::new(&page_set, theme);
        let html = |bytes: Vec<u8>| Html::parse_document(&String::from_utf8(bytes).unwrap());
        let page = |leaf| {
            (
                page_set.path(leaf),
                html(press.page(leaf, &page_set.lay_out(leaf)).unwrap()),
            )
        };
        let pages = page_set.page_ids().into_iter().map(page).collect();
        let wall = html(press.wall(&page_set.wall(None)).unwrap());
        let inspection = serde_json::to_value(page_set.inspection()).unwrap();
        let check = serde_json::to_value(documents::check(&build)).unwrap();
        let tally = serde_json::to_value(documents::tally(&build)).unwrap();
        let export = document(&build, &sheets(&build));
        let held = hold::on_day(&build.worked, &build.jobs, build.day());
        let morning = morning::next_day(&build.book, &build.jobs, &build.ahead.orders, &held, "");
        let morning = morning.map_or_else(String::new, |next| next.text);
        drop(evenings);
        Self {
            build,
            pages,
            wall,
            inspection,
            check,
            tally,
            export,
            morning,
        }
    }

    /// What every place says of every check.
    pub(crate) fn said(&self) -> Vec<Said> {
        let mut said = self.sums_tables();
        said.extend(self.standing_rows("cover", "index.html"));
        said.extend(self.as_built());
        said.extend(self.screen_rows(false));
        said.extend(self.screen_rows(true));
        said.extend(self.inspection_rows());
        said.extend(self.drawings("days/day-02.html", "drawing"));
        said.extend(self.drawings("as-built.html", "drawing as built"));
        said.extend(self.told_by_workings());
        said
    }

    fn sums_tables(&self) -> Vec<Said> {
        let page = &self.pages["days/day-02.html"];
        let row = |row: ElementRef| {
            let limit = first(row, "td.limit")?;
            let verdict = first(row, ".v > span")?;
            Some(Said {
                place: "sums table",
                name: words(first(row, "td.name")?),
                rule: own_words(limit),
                verdict: own_words(verdict),
                margin: first(verdict, "small").map_or_else(String::new, words),
                ..Said::default()
            })
        };
        all(page.root_element(), "table.sums tr")
            .into_iter()
            .filter_map(row)
            .collect()
    }

    /// Rows of checks as the cover has them.
    fn standing_rows(&self, place: &'static str, path: &str) -> Vec<Said> {
        let row = |row: ElementRef| {
            let cell = first(row, "td.verdict")?;
            let verdict = first(cell, ".v > span")?;
            Some(Said {
                place,
                name: words(first(row, "td.name")?),
                rule: own_words(first(row, "td.limit")?),
                verdict: own_words(verdict),
                margin: first(verdict, "small").map_or_else(String::new, words),
                basis: first(cell, "small.rem").map_or_else(String::new, words),
            })
        };
        all(self.pages[path].root_element(), "tr.standing-row")
            .into_iter()
            .filter_map(row)
            .collect()
    }

    fn as_built(&self) -> Vec<Said> {
        let mut said = Vec::new();
        for row in all(
            self.pages["as-built.html"].root_element(),
            "table.built tbody tr",
        ) {
            let Some(name) = first(row, "td.name").map(words) else {
                continue;
            };
            for line in all(row, ".checkline") {
                let Some(verdict) = first(line, ".v > span") else {
                    continue;
                };
                said.push(Said {
                    place: "as-built sheet",
                    name: name.clone(),
                    rule: first(line, "span.fig").map_or_else(String::new, words),
                    verdict: own_words(verdict),
                    margin: first(verdict, "small").map_or_else(String::new, words),
                    basis: first(line, "small.rem").map_or_else(String::new, words),
                });
            }
        }
        said
    }

    fn inspection_rows(&self) -> Vec<Said> {
        let of = |list: &str| self.inspection[list].as_array().unwrap().clone();
        let text = |value: &Value| value.as_str().unwrap_or_default().to_owned();
        let row = |row: Value| Said {
            place: "inspection sheet",
            name: text(&row["what"]["text"]),
            rule: text(&row["limit"]),
            verdict: text(&row["verdict"]["words"]),
            margin: text(&row["verdict"]["margin"]),
            basis: text(&row["basis"]),
        };
        of("rows")
            .into_iter()
            .chain(of("not_measured"))
            .map(row)
            .collect()
    }

    /// Drawings say their margins in their words.
    fn drawings(&self, path: &str, place: &'static str) -> Vec<Said> {
        let mut said = Vec::new();
        for svg in all(self.pages[path].root_element(), "svg.drawing") {
            let words = svg.attr("aria-label").unwrap_or_default();
            let Some((name, rest)) = words.split_once(": ") else {
                continue;
            };
            let verdicts = ["in limits", "too close", "out of limits"];
            let pieces = rest.split("; ").filter_map(|piece| {
                let verdict = verdicts
                    .into_iter()
                    .find(|verdict| piece.contains(&format!(", {verdict}, ")))?;
                let margin = piece.split_once(&format!(", {verdict}, "))?.1;
                let margin = margin
                    .trim_end_matches(", worst case")
                    .trim_end_matches(", root-sum-square");
                Some((verdict.to_owned(), margin.to_owned()))
            });
            for (verdict, margin) in pieces {
                said.push(Said {
                    place,
                    name: name.to_owned(),
                    verdict,
                    margin,
                    ..Said::default()
                });
            }
        }
        said
    }

    /// The checks on the shop screen: the lines on hold, which name no rule, or all others.
    pub(crate) fn screen_rows(&self, hold: bool) -> Vec<Said> {
        let title = if hold {
            "On hold"
        } else {
            "hecks not in limits"
        };
        let sections = all(self.wall.root_element(), "section.turn").into_iter();
        let checks = sections.filter(|section| {
            first(*section, "h2").is_some_and(|heading| words(heading).contains(title))
        });
        let row = |row: ElementRef| {
            let cells: Vec<String> = all(row, "b, span").into_iter().map(words).collect();
            let (name, stands, rule) = match cells.as_slice() {
                [name, stands, ..] if hold => (name, stands, String::new()),
                [name, stands, _, rule, ..] => (name, stands, rule.clone()),
                _ => return None,
            };
            let (verdict, rest) = stands.split_once(", ")?;
            let (margin, basis) = if hold {
                (rest.split_once(", needs ")?.0, "")
            } else {
                basis_of(rest)?
            };
            Some(Said {
                place: "shop screen",
                name: name.clone(),
                rule,
                verdict: verdict.to_owned(),
                margin: margin.to_owned(),
                basis: basis.to_owned(),
            })
        };
        checks
            .flat_map(|section| all(section, "li"))
            .filter_map(row)
            .collect()
    }

    fn told_by_workings(&self) -> Vec<Said> {
        let checks = self.check["checks"].as_array().unwrap();
        let names: std::collections::BTreeSet<&str> = checks
            .iter()
            .filter_map(|check| check["name"].as_str())
            .collect();
        let mut said = Vec::new();
        for name in names {
            for check in workings(&self.build, name, self.build.day())
                .unwrap()
                .checks
            {
                said.push(Said {
                    place: "workings",
                    name: name.to_owned(),
                    rule: check.rule,
                    verdict: check.verdict.to_owned(),
                    margin: check.by,
                    ..Said::default()
                });
            }
        }
        said
    }

    /// The words of the drawing of masses on the ledger.
    pub(crate) fn mass_drawing(&self) -> Option<String> {
        let drawings = all(self.pages["ledger.html"].root_element(), "svg.drawing");
        let words = |svg: ElementRef| svg.attr("aria-label").unwrap_or_default().to_owned();
        drawings
            .into_iter()
            .map(words)
            .find(|words| words.starts_with("what weighs what"))
    }
}

/// The margin and the basis of `clear by 2 mm, measured`.
fn basis_of(words: &str) -> Option<(&str, &str)> {
    let bases = [
        "measured",
        "calculated",
        "given",
        "maker’s figure",
        "chosen",
    ];
    let at = |basis| words.find(&format!(", {basis}"));
    let at = bases.into_iter().filter_map(at).min()?;
    Some((&words[..at], words[at + 2..].trim_end_matches(", hold")))
}

/// The elements within an element that a selector finds.
pub(crate) fn all<'h>(within: ElementRef<'h>, selector: &str) -> Vec<ElementRef<'h>> {
    within.select(&Selector::parse(selector).unwrap()).collect()
}

pub(crate) fn first<'h>(within: ElementRef<'h>, selector: &str) -> Option<ElementRef<'h>> {
    all(within, selector).into_iter().next()
}

/// The words of an element.
pub(crate) fn words(element: ElementRef) -> String {
    element.text().collect::<String>().trim().to_owned()
}

/// The words of an element itself, those of its children left out.
fn own_words(element: ElementRef) -> String {
    let texts = element
        .children()
        .filter_map(|child| child.value().as_text().map(|text| text.to_string()));
    texts.collect::<String>().trim().to_owned()
}
