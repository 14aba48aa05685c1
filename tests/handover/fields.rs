//! No field of a page reaches anybody outside before somebody said what becomes of it.
//!
//! In: the source of `src/pages/` and the classes of the veil. Out: tests that fail where a field
//! is new, gone, or holds a view model that is not said to be one.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use serde_json::{Value, json};
use shimbook::book::{NamesSeen, Sight};
use shimbook::redaction::{Class, FIELDS, ROOTS, Veil};

use crate::book::Made;

/// Fields with their types, by the name of the view model; of one of several kinds `BodyPart/html`.
type Models = BTreeMap<String, Vec<(String, String)>>;

/// Types that hold words or figures and no view model.
const PLAIN: [&str; 7] = [
    "String",
    "&'staticstr",
    "bool",
    "u32",
    "u64",
    "usize",
    "f64",
];

fn sources(folder: &Path, found: &mut String) {
    for entry in std::fs::read_dir(folder).expect("the folder is there") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            sources(&path, found);
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            found.push_str(&std::fs::read_to_string(&path).expect("text"));
        }
    }
}

/// Every type that is written out as data.
fn models() -> Models {
    let mut text = String::new();
    for room in ["src/pages", "src/drawings", "src/export"] {
        sources(&Path::new(env!("CARGO_MANIFEST_DIR")).join(room), &mut text);
    }
    read_models(&text)
}

fn read_models(text: &str) -> Models {
    let mut models = Models::new();
    let mut lines = text.lines();
    while let Some(line) = lines.next() {
        if !(line.starts_with("#[derive(") && line.contains("Serialize")) {
            continue;
        }
        let head = lines
            .by_ref()
            .find(|line| line.contains("struct ") || line.contains("enum "))
            .unwrap_or_default();
        let words: Vec<&str> = head.split(|c: char| !c.is_alphanumeric()).collect();
        let at = words
            .iter()
            .position(|word| ["struct", "enum"].contains(word))
            .expect("a type");
        let body: Vec<&str> = lines.by_ref().take_while(|line| *line != "}").collect();
        if words[at] == "struct" {
            models.insert(words[at + 1].to_owned(), fields(&body, "    "));
        } else {
            variants(words[at + 1], &body, &mut models);
        }
    }
    models
}

/// The lines `name: Type,` at one depth.
fn fields(body: &[&str], indent: &str) -> Vec<(String, String)> {
    let own = body
        .iter()
        .filter_map(|line| line.strip_prefix(indent))
        .filter(|line| !line.starts_with([' ', '/', '#']));
    let split = own.filter_map(|line| {
        let line = line
            .trim_start_matches("pub(super) ")
            .trim_start_matches("pub ");
        line.trim_end_matches(',').split_once(": ")
    });
    split
        .map(|(name, kind)| (name.to_owned(), kind.replace(' ', "")))
        .collect()
}

fn variants(of: &str, body: &[&str], models: &mut Models) {
    let mut lines = body.iter();
    while let Some(line) = lines.next() {
        if let Some(name) = line
            .strip_prefix("    ")
            .and_then(|line| line.strip_suffix(" {"))
        {
            let inside: Vec<&str> = lines
                .by_ref()
                .take_while(|line| **line != "    },")
                .copied()
                .collect();
            let mut all = fields(&inside, "        ");
            all.push(("kind".to_owned(), "&'staticstr".to_owned()));
            models.insert(format!("{of}/{}", name.to_lowercase()), all);
        }
    }
}

/// `Option<Vec<super::Link>>` is a `Link`.
fn inmost(kind: &str) -> &str {
    let mut kind = kind;
    for wrap in ["Option<", "Vec<", "["].iter().cycle().take(9) {
        if let Some(inner) = kind.strip_prefix(wrap) {
            kind = inner
                .trim_end_matches('>')
                .split(';')
                .next()
                .unwrap_or_default()
                .trim_end_matches(']');
        }
    }
    kind.rsplit("::").next().unwrap_or_default()
}

/// What does not agree between the pages and the veil.
fn disagreements(models: &Models) -> Vec<String> {
    let classes: BTreeMap<&str, &[(&str, Class)]> = FIELDS.iter().copied().collect();
    let mut wrong = Vec::new();
    let mut todo: Vec<String> = ROOTS.map(str::to_owned).to_vec();
    let mut seen = BTreeSet::new();
    while let Some(kind) = todo.pop() {
        let of: Vec<&String> = models
            .keys()
            .filter(|name| **name == kind || name.starts_with(&format!("{kind}/")))
            .collect();
        if of.is_empty() {
            wrong.push(format!("{kind} is no view model"));
        }
        for name in of.into_iter().filter(|name| seen.insert((*name).clone())) {
            let known = classes.get(name.as_str()).copied().unwrap_or_default();
            for (field, held) in &models[name] {
                let class = known
                    .iter()
                    .find(|(known, _)| known == field)
                    .map(|(_, class)| *class);
                wrong.extend(
                    misfit(models, held, class).map(|why| format!("{name}.{field}: {why}")),
                );
                if let Some(Class::In(inner) | Class::Crew(inner) | Class::Suppliers(inner)) = class
                {
                    todo.push(inner.to_owned());
                }
            }
            let gone = known
                .iter()
                .filter(|(field, _)| !models[name].iter().any(|(there, _)| there == field));
            wrong.extend(gone.map(|(field, _)| format!("{name}.{field} is no more")));
        }
    }
    wrong.extend(
        classes
            .keys()
            .filter(|name| !seen.contains(**name))
            .map(|name| format!("no page holds a {name}")),
    );
    wrong
}

/// What is wrong with the class of a field that holds this.
fn misfit(models: &Models, held: &str, class: Option<Class>) -> Option<String> {
    let inner = inmost(held);
    let is_model = models
        .keys()
        .any(|name| name == inner || name.starts_with(&format!("{inner}/")));
    match class {
        None => Some("has no class".to_owned()),
        Some(Class::In(of) | Class::Crew(of) | Class::Suppliers(of)) if of != inner => {
            Some(format!("holds {held}, not {of}"))
        }
        Some(Class::Never | Class::In(_) | Class::Crew(_) | Class::Suppliers(_)) => None,
        Some(_) if is_model || !PLAIN.contains(&inner) => {
            Some(format!("holds {held}, which is no plain text or figure"))
        }
        Some(class) if class != Class::Own && !["String", "&'staticstr"].contains(&inner) => Some(
            format!("holds {held}, and {class:?} lets only texts through"),
        ),
        Some(_) => None,
    }
}

#[test]
fn every_field_of_every_page_is_classified_and_no_class_is_left_over() {
    let wrong = disagreements(&models());
    assert!(
        wrong.is_empty(),
        "say in src/redaction/fields.rs what becomes of these:\n{}",
        wrong.join("\n")
    );
}

#[test]
fn a_new_field_a_field_that_went_and_a_new_view_model_are_each_told() {
    let told = |change: &dyn Fn(&mut Models)| {
        let mut models = models();
        change(&mut models);
        disagreements(&models)
    };
    let field = |name: &str, kind: &str| (name.to_owned(), kind.to_owned());
    let new = told(&|models| {
        models
            .get_mut("JobRow")
            .expect("a row")
            .push(field("phone", "String"))
    });
    assert_eq!(new, ["JobRow.phone: has no class"]);
    let gone = told(&|models| {
        models
            .get_mut("Cover")
            .expect("a page")
            .retain(|(name, _)| name != "spent")
    });
    assert_eq!(gone, ["Cover.spent is no more"]);
    let other = told(&|models| {
        models
            .get_mut("StoryDay")
            .expect("a row")
            .retain(|(name, _)| name != "jobs");
        models
            .get_mut("StoryDay")
            .expect("a row")
            .push(field("jobs", "Vec<Link>"));
    });
    assert_eq!(
        other,
        ["StoryDay.jobs: holds Vec<Link>, which is no plain text or figure"]
    );
}

#[test]
fn a_source_is_read_as_it_is_written() {
    let text = "#[derive(Debug, Serialize)]\npub struct A {\n    /// It: this.\n    pub one: Option<Vec<super::B>>,\n    two: [usize; 2],\n}\n\
                #[derive(Serialize)]\n#[serde(tag = \"kind\")]\npub enum C {\n    /// x\n    Html {\n        /// y\n        html: String,\n    },\n}\n";
    let models = read_models(text);
    assert_eq!(models.keys().collect::<Vec<_>>(), ["A", "C/html"]);
    assert_eq!(
        models["A"]
            .iter()
            .map(|(_, kind)| inmost(kind))
            .collect::<Vec<_>>(),
        ["B", "usize"]
    );
    assert_eq!(models["C/html"].len(), 2);
}

#[test]
fn what_has_no_class_does_not_pass() {
    let made = Made::new(3, 1);
    let veil = Veil::new(
        &made.worked().build,
        Sight {
            costs: true,
            serials: true,
            suppliers: true,
            names: NamesSeen::Full,
        },
    );
    let page = json!({"title": "A truck", "phone": "12", "day": 3, "days": {"deep": "12"}});
    let seen = veil.page("Frame", &page).expect("data");
    assert_eq!((&seen["phone"], &seen["day"]), (&Value::Null, &json!(3)));
    assert_eq!(
        veil.page("Nobody", &json!({"a": "b"})).expect("data"),
        json!({"a": null})
    );
}
