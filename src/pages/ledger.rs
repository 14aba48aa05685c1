//! The parts ledger's page, and what is to be ordered.

use super::day_nav::{DayNav, day_nav};
use super::layout::Layout;
use super::{Link, words};
use crate::book::Part;
use crate::calc::Check;
use crate::drawings::{self, MassLimit};
use crate::jobs::orders::Wanted;
use crate::parts::ledger::{GroupWorth, PartEventRecord, PartHistory};
use crate::quantity::data::money;
use crate::quantity::{Dimension, format, printed};
use crate::view_model;

view_model! {
    /// `ledger.html`
    pub struct LedgerPage {
        /// The way through the book.
        pub strip: DayNav => View,
        /// The parts, by id.
        pub parts: Vec<PartRow> => View,
        /// Each supplier's parts.
        pub suppliers: Vec<TotalRow> => SupplierRows,
        /// Bought, given, lent, owned.
        pub supplied: Vec<TotalRow> => View,
        /// What is spent.
        pub spent: String => Money,
        /// What is fitted, and what of it has no known mass.
        pub fitted: String => Named,
        /// What weighs what, as SVG.
        pub mass: String => Drawing,
        /// What was fitted at the end of each day that changed it.
        pub days: Vec<MassDay> => View,
        /// Ratings that no check asks anything of.
        pub unchecked: Vec<Link> => View,
    }
}

view_model! {
    /// The mass on the vehicle at the end of a day.
    pub struct MassDay {
        /// The day.
        pub day: Link => View,
        /// The mass fitted.
        pub fitted: String => Public,
        /// What it went up or down by that day.
        pub change: String => Public,
    }
}

view_model! {
    /// One part.
    pub struct PartRow {
        /// Its id, which is its anchor.
        pub id: String => Address,
        /// What it is.
        pub what: String => CrewText,
        /// The supplier.
        pub from: String => Supplier,
        /// The supplier's number.
        pub number: String => Named,
        /// The serial number.
        pub serial: String => Named,
        /// Where it is.
        pub state: &'static str => Public,
        /// Since when, when it is due, whether it is late.
        pub when: String => Public,
        /// Is it late?
        pub late: bool => Public,
        /// Its mass.
        pub mass: String => Public,
        /// The same in kg, to sort by.
        pub kilograms: Option<f64> => Public,
        /// What it cost.
        pub cost: String => Money,
        /// How it came to the crew.
        pub supplied: &'static str => Public,
        /// The maker's claims.
        pub ratings: Vec<RatingView> => View,
        /// What was cut, drilled or machined: the ratings no longer stand.
        pub altered: Option<String> => CrewText,
        /// What happened to it.
        pub history: Vec<super::jobs::Said> => View,
    }
}

view_model! {
    /// One claim of the maker, and what the sums ask of it.
    pub struct RatingView {
        /// `torque 370 N-m`
        pub words: String => Named,
        /// The checks that read it.
        pub asked: Vec<RatingCheck> => View,
    }
}

view_model! {
    /// What a check asks of a rating.
    pub struct RatingCheck {
        /// The check as written.
        pub rule: String => Named,
        /// How it stands.
        pub verdict: words::VerdictView => View,
    }
}

view_model! {
    /// A total.
    pub struct TotalRow {
        /// Of what.
        pub name: String => Named,
        /// How many parts.
        pub parts: usize => Public,
        /// Their value.
        pub value: String => Money,
        /// What of it is spent.
        pub spent: String => Money,
    }
}

pub(super) fn page(layout: &Layout) -> LedgerPage {
    let ledger = &layout.build.ledger;
    let currency = &layout.build.book.sheet.money;
    let total = |name: String, value: &GroupWorth| TotalRow {
        name,
        parts: value.parts,
        value: printed::marks(&money(value.value)),
        spent: printed::marks(&money(value.spent)),
    };
    LedgerPage {
        strip: day_nav(layout, None),
        parts: layout
            .build
            .book
            .parts
            .values()
            .filter_map(|part| row(layout, part))
            .collect(),
        suppliers: ledger
            .by_supplier
            .iter()
            .map(|(name, value)| {
                total(
                    name.clone().unwrap_or_else(|| "no supplier named".into()),
                    value,
                )
            })
            .collect(),
        supplied: ledger
            .by_supplied
            .iter()
            .map(|(supplied, value)| total(supplied.word().to_owned(), value))
            .collect(),
        spent: printed::with_name(&money(ledger.spent.total), currency),
        fitted: fitted(layout),
        mass: mass(layout),
        days: mass_days(layout),
        unchecked: unchecked(layout),
    }
}

fn mass_days(layout: &Layout) -> Vec<MassDay> {
    let mut before = 0.0;
    let mut days = Vec::new();
    for (day, kg) in layout.build.ledger.mass_by_day() {
        let change = format::difference(kg, before);
        before = kg;
        let sign = if change > 0.0 { "+" } else { "" };
        days.push(MassDay {
            day: Link {
                href: layout.day_href(day).unwrap_or_default(),
                text: format!("day {day}"),
            },
            fitted: printed::kilograms(kg),
            change: format!("{sign}{}", printed::kilograms(change)),
        });
    }
    days
}

/// Ratings that no check and no sum asks anything of.
fn unchecked(layout: &Layout) -> Vec<Link> {
    let worked = &layout.build.worked;
    let asked = |name: &str| {
        worked
            .names
            .find(name)
            .is_some_and(|id| worked.used[id.index()])
    };
    let parts = layout.build.book.parts.iter();
    let ratings = parts.flat_map(|(id, part)| {
        part.ratings
            .keys()
            .map(move |key| (id, format!("{id}.{key}")))
    });
    ratings
        .filter(|(_, name)| !asked(name))
        .map(|(id, text)| Link {
            href: Layout::part_href(id),
            text,
        })
        .collect()
}

fn fitted(layout: &Layout) -> String {
    let fitted = &layout.build.ledger.fitted;
    let unknown = match fitted.no_mass.len() {
        0 => String::new(),
        _ => format!("; mass not known of {}", fitted.no_mass.join(", ")),
    };
    format!(
        "{} in {}{unknown}",
        printed::kilograms(fitted.kg),
        words::count(fitted.parts, "part", "parts")
    )
}

fn row(layout: &Layout, part: &Part) -> Option<PartRow> {
    let id = &part.id.value;
    let story = layout.build.ledger.parts.get(id)?;
    let wanted = layout.build.ahead.orders.of(id);
    Some(PartRow {
        id: id.clone(),
        what: part.what.clone(),
        from: part.from.clone().unwrap_or_default(),
        number: part.number.clone().unwrap_or_default(),
        serial: part.serial.clone().unwrap_or_default(),
        state: story.state.words(),
        when: when(story, wanted, layout.build.day()),
        late: wanted.is_some_and(|wanted| wanted.is_late(layout.build.day())),
        mass: part
            .mass
            .as_ref()
            .map_or_else(String::new, |mass| mass.value.written.clone()),
        kilograms: story.mass,
        cost: story
            .cost
            .map_or_else(String::new, |cost| printed::marks(&money(cost))),
        supplied: part.supplied.word(),
        ratings: part
            .ratings
            .iter()
            .map(|(key, written)| rating(layout, id, key, &written.value.written))
            .collect(),
        altered: story.altered.as_ref().map(|altered| {
            let why = altered
                .why
                .as_ref()
                .map_or_else(String::new, |why| format!(": {why}"));
            format!(
                "altered on day {}{why}; the maker’s ratings no longer stand",
                altered.day
            )
        }),
        history: layout
            .build
            .ledger
            .history(id)
            .filter_map(|happening| said(layout, happening))
            .collect(),
    })
}

fn rating(layout: &Layout, part: &str, key: &str, written: &str) -> RatingView {
    let worked = &layout.build.worked;
    let name = worked.names.find(&format!("{part}.{key}"));
    let checks = name
        .into_iter()
        .flat_map(|name| &worked.values[name.index()].checks);
    let asked = checks.filter_map(|check| {
        let verdict = layout.verdict(worked.checks[*check].name, worked.checks[*check].latest()?);
        Some(RatingCheck {
            rule: worked.rule(*check),
            verdict,
        })
    });
    RatingView {
        words: format!("{key} {written}"),
        asked: asked.collect(),
    }
}

/// Since when it is there; of a wanted part when it is due, wanted and to be ordered.
fn when(story: &PartHistory, wanted: Option<&Wanted>, day: u32) -> String {
    let since = story.since_day.map(|day| format!("since day {day}"));
    let pieces = wanted.map_or_else(Vec::new, |wanted| wanted_words(wanted, day));
    since
        .into_iter()
        .chain(pieces)
        .collect::<Vec<_>>()
        .join(", ")
}

fn wanted_words(wanted: &Wanted, today: u32) -> Vec<String> {
    let late = wanted.is_late(today);
    let was = if late { "was " } else { "" };
    let due = wanted.due_day.map(|day| format!("{was}due day {day}"));
    let no_due =
        (wanted.is_ordered && wanted.due_day.is_none()).then(|| "due day not known".to_owned());
    let order = wanted
        .order_by_day()
        .map(|day| format!("order by day {day}"));
    let no_lead = wanted
        .is_lead_missing()
        .then(|| "lead time not known".to_owned());
    let late = late.then(|| "late".to_owned());
    [due, no_due, order, no_lead, late]
        .into_iter()
        .flatten()
        .collect()
}

fn said(layout: &Layout, happening: &PartEventRecord) -> Option<super::jobs::Said> {
    let due = happening.due_day.map(|day| format!("due day {day}"));
    let cost = happening
        .cost
        .map(|cost| printed::with_name(&money(cost), &layout.build.book.sheet.money));
    let pieces = [
        Some(happening.event.words().to_owned()),
        due,
        cost,
        happening.remark.clone(),
    ];
    let href = layout.line_href(happening.span)?;
    Some(super::jobs::Said {
        link: Link {
            href,
            text: format!("day {}", happening.day),
        },
        words: pieces.into_iter().flatten().collect::<Vec<_>>().join(", "),
    })
}

/// What weighs what of what is fitted, against the target on mass where there is one.
///
/// A target on more than the fitted parts, such as the whole vehicle, is held against with the rest
/// of that value as a step of its own.
fn mass(layout: &Layout) -> String {
    let build = layout.build;
    let fitted = build
        .ledger
        .parts
        .iter()
        .filter(|(_, story)| story.state.words() == "fitted");
    let mut rows: Vec<(String, f64)> = fitted
        .filter_map(|(id, story)| Some((build.book.parts.get(id)?.what.clone(), story.mass?)))
        .collect();
    if rows.is_empty() {
        return String::new();
    }
    let target = mass_target(layout);
    if let Some(MassTarget { name, value, .. }) =
        target.as_ref().filter(|target| target.name != FITTED)
    {
        rows.push((format!("rest of {name}"), value - build.ledger.fitted.kg));
    }
    drawings::mass(
        &rows,
        target.map(|target| MassLimit {
            most: target.most,
            margin: target.margin,
        }),
    )
    .svg
}

const FITTED: &str = "fitted.mass";

/// The most that a mass may be, and what it is, in kg; the margin of its check in words.
struct MassTarget<'a> {
    name: &'a str,
    value: f64,
    most: f64,
    margin: String,
}

/// The target on what is fitted; else the least one on something that weighs at least as much.
fn mass_target<'a>(layout: &Layout<'a>) -> Option<MassTarget<'a>> {
    let build = layout.build;
    let of = |check: &Check| {
        let judged = check
            .latest()
            .filter(|judged| judged.unit.dimension == Dimension::MASS)?;
        let name = build.worked.text(check.name);
        let margin = judged.margin?.words(&judged.unit);
        Some(MassTarget {
            name,
            value: judged.value.as_ref()?.nominal,
            most: judged.upper?,
            margin,
        })
    };
    let targets = build
        .worked
        .checks
        .iter()
        .filter(|check| check.target)
        .filter_map(|check| of(check));
    let held =
        targets.filter(|target| target.name == FITTED || target.value >= build.ledger.fitted.kg);
    held.min_by(|a, b| {
        (a.name != FITTED)
            .cmp(&(b.name != FITTED))
            .then(a.most.total_cmp(&b.most))
    })
}
