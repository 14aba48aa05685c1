//! Every field of a page reaches an audience only as its declared sensitivity says.
//!
//! In: a view model with a field of each sensitivity, and the pages of the program. Out: tests that
//! fail where a field shows more than its sensitivity allows. That every field has a sensitivity,
//! and one that fits its type, is checked by the compiler: see the examples that must not compile
//! in `src/pages/view_model/macros.rs`.

use std::collections::BTreeSet;

use serde_json::{Value, json};
use shimbook::book::{NamesSeen, Sight};
use shimbook::handover::Handed;
use shimbook::pages::view_model::{Described, Description, Sensitivity};
use shimbook::pages::{Frame, SearchData};
use shimbook::redaction::Veil;
use shimbook::view_model;

use crate::book::Made;

view_model! {
    /// A row with a name in it.
    struct Row {
        /// Who or what.
        name: String => Named,
    }
}

view_model! {
    /// A field of each sensitivity.
    struct Everything {
        /// As it is.
        public: String => Public,
        /// Names.
        named: String => Named,
        /// Names and money.
        crew_text: Option<String> => CrewText,
        /// The same in HTML.
        html: String => Html,
        /// Names in a drawing.
        drawing: String => Drawing,
        /// Names only.
        people: String => People,
        /// Addresses.
        address: Vec<String> => Address,
        /// Money.
        money: String => Money,
        /// No money.
        no_money: String => Money,
        /// A supplier.
        supplier: String => Supplier,
        /// Of the crew.
        internal: Vec<String> => Internal,
        /// A row.
        view: Option<Row> => View,
        /// Rows by person.
        crew_rows: Vec<Row> => CrewRows,
        /// Rows by supplier.
        supplier_rows: Vec<Row> => SupplierRows,
    }
}

/// The first of the crew, and what the audience sees of the view model
/// above.
struct Shown {
    name: String,
    seen: Value,
}

fn shown(sight: Sight) -> Shown {
    let made = Made::new(3, 1);
    let build = made.worked().build;
    let veil = Veil::new(&build, sight);
    let name = build.book.sheet.crew[0].name.clone();
    let small = name.to_lowercase().replace(' ', "-");
    let row = || Row { name: name.clone() };
    let seen = veil.page(Everything {
        public: name.clone(),
        named: format!("{name}: 12 EUR"),
        crew_text: Some(format!("{name} paid 12 EUR")),
        html: format!("<a href=\"{small}.html\">{name} paid <b>12</b> EUR</a>"),
        drawing: format!("<text>{name}, 12 EUR</text>"),
        people: format!("{name}, {name}"),
        address: vec![format!("days/{small}.html")],
        money: "12.00 EUR".to_owned(),
        no_money: String::new(),
        supplier: "Elsewhere".to_owned(),
        internal: vec!["a line as written".to_owned()],
        view: Some(row()),
        crew_rows: vec![row()],
        supplier_rows: vec![row()],
    });
    Shown {
        name,
        seen: serde_json::to_value(seen).expect("data"),
    }
}

#[test]
fn an_audience_that_may_see_nothing_gets_each_field_as_its_sensitivity_says() {
    let Shown { name, seen } = shown(Sight {
        names: NamesSeen::None,
        ..Sight::default()
    });
    let wanted = json!({
        // The declaration decides: what is said to be public is shown.
        "public": name,
        "named": "somebody: 12 EUR",
        "crew_text": "somebody paid withheld EUR",
        "html": "<a href=\"crew1.html\">somebody paid <b>withheld</b> EUR</a>",
        "drawing": "<text>somebody, 12 EUR</text>",
        "people": "somebody",
        "address": ["days/crew1.html"],
        "money": "withheld",
        "no_money": "",
        "supplier": "",
        "internal": [],
        "view": {"name": "somebody"},
        "crew_rows": [],
        "supplier_rows": [],
    });
    assert_eq!(seen, wanted);
}

#[test]
fn an_audience_that_may_see_everything_still_gets_nothing_internal() {
    let Shown { name, seen } = shown(Sight {
        costs: true,
        serials: true,
        suppliers: true,
        names: NamesSeen::Full,
    });
    assert_eq!(seen["crew_text"], json!(format!("{name} paid 12 EUR")));
    assert_eq!(
        (&seen["people"], &seen["money"]),
        (&json!(name), &json!("12.00 EUR"))
    );
    assert_eq!(seen["supplier"], json!("Elsewhere"));
    assert_eq!(seen["crew_rows"], json!([{"name": name}]));
    assert_eq!(seen["supplier_rows"], json!([{"name": name}]));
    assert_eq!(seen["internal"], json!([]));
}

#[test]
fn an_audience_that_may_see_initials_gets_rows_by_person_with_initials() {
    let Shown { name, seen } = shown(Sight {
        names: NamesSeen::Initials,
        ..Sight::default()
    });
    let initials = seen["people"].as_str().expect("text");
    assert!(
        initials.len() == "A. B.".len() && name.starts_with(&initials[..1]),
        "{initials}"
    );
    assert_eq!(seen["crew_rows"], json!([{"name": initials}]));
    assert_eq!(seen["supplier_rows"], json!([]));
}

/// The view models that a handover is made of, with those inside them.
fn handed_over() -> Vec<Description> {
    let mut todo = vec![
        Frame::description(),
        SearchData::description(),
        Handed::description(),
        shimbook::handover::WholeBook::description(),
    ];
    let mut seen = BTreeSet::new();
    let mut found = Vec::new();
    while let Some(model) = todo.pop() {
        if seen.insert(model.name) {
            let fields = model.shapes.iter().flat_map(|shape| &shape.fields);
            todo.extend(fields.filter_map(|field| field.holds.model()));
            found.push(model);
        }
    }
    found
}

/// Field names that hold an address on every page.
const ADDRESSES: [&str; 4] = ["href", "small", "place", "file"];

#[test]
fn no_address_person_supplier_or_cost_of_a_page_is_public() {
    let found = handed_over();
    assert!(found.len() > 40, "{}", found.len());
    let fields = found.iter().flat_map(|model| {
        let fields = model.shapes.iter().flat_map(|shape| &shape.fields);
        fields.map(|field| (model.name, field))
    });
    let mut wrong = Vec::new();
    for (model, field) in fields.filter(|(model, _)| *model != "Way") {
        let wanted = match field.name {
            name if ADDRESSES.contains(&name) => Sensitivity::Address,
            "by" | "crew" => Sensitivity::People,
            "cost" | "spent" if field.about.contains("cost") || model == "TotalRow" => {
                Sensitivity::Money
            }
            _ => continue,
        };
        if field.sensitivity != Some(wanted) {
            wrong.push(format!("{model}.{}: {:?}", field.name, field.sensitivity));
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}
