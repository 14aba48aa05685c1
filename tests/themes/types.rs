//! What the program's view models are, read from their source.
//!
//! In: a folder of Rust source. Out: each type that is written out as data, with its fields, what
//! they hold in plain words, and what its documentation says of them.

use std::collections::BTreeMap;
use std::path::Path;

use syn::{Attribute, Fields, GenericArgument, Item, PathArguments, Type};

/// A type that templates get.
pub struct Model {
    /// What its documentation says, the first paragraph.
    pub about: String,
    /// Its fields; one of several kinds has a list for each.
    pub shapes: Vec<(Option<String>, Vec<Field>)>,
}

/// A field of it.
pub struct Field {
    /// As templates name it.
    pub name: String,
    /// What it holds: `text`, `list of Link`.
    pub holds: String,
    /// The type inside, where that is no plain one.
    pub inner: Option<String>,
    /// What its documentation says.
    pub about: String,
}

/// Every type of a folder, by its name.
pub fn models(folder: &Path) -> BTreeMap<String, Model> {
    let mut found = BTreeMap::new();
    for entry in std::fs::read_dir(folder).expect("the folder is there") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            found.extend(models(&path));
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            let file = syn::parse_file(&std::fs::read_to_string(&path).expect("text"))
                .expect("it is Rust");
            found.extend(file.items.iter().filter_map(model));
        }
    }
    found
}

fn model(item: &Item) -> Option<(String, Model)> {
    match item {
        Item::Struct(kind) if is_data(&kind.attrs) => {
            let shapes = vec![(None, fields(&kind.fields))];
            Some((
                kind.ident.to_string(),
                Model {
                    about: about(&kind.attrs),
                    shapes,
                },
            ))
        }
        Item::Enum(kind) if is_data(&kind.attrs) => {
            let shape = |one: &syn::Variant| {
                (
                    Some(one.ident.to_string().to_lowercase()),
                    fields(&one.fields),
                )
            };
            let shapes = kind.variants.iter().map(shape).collect();
            Some((
                kind.ident.to_string(),
                Model {
                    about: about(&kind.attrs),
                    shapes,
                },
            ))
        }
        _ => None,
    }
}

/// Is it written out as data?
fn is_data(attributes: &[Attribute]) -> bool {
    let derives = attributes
        .iter()
        .filter(|attribute| attribute.path().is_ident("derive"));
    derives
        .filter_map(|derive| derive.meta.require_list().ok())
        .any(|list| list.tokens.to_string().contains("Serialize"))
}

fn fields(fields: &Fields) -> Vec<Field> {
    let own = fields
        .iter()
        .filter_map(|field| Some((field.ident.as_ref()?, field)));
    own.map(|(name, field)| {
        let (holds, inner) = holds(&field.ty);
        Field {
            name: name.to_string(),
            holds,
            inner,
            about: about(&field.attrs),
        }
    })
    .collect()
}

/// The first paragraph of a documentation, on one line.
fn about(attributes: &[Attribute]) -> String {
    let lines = attributes.iter().filter_map(|attribute| {
        let syn::Meta::NameValue(pair) = &attribute.meta else {
            return None;
        };
        let syn::Expr::Lit(syn::ExprLit {
            lit: syn::Lit::Str(text),
            ..
        }) = &pair.value
        else {
            return None;
        };
        pair.path
            .is_ident("doc")
            .then(|| text.value().trim().to_owned())
    });
    lines
        .take_while(|line| !line.is_empty())
        .collect::<Vec<_>>()
        .join(" ")
}

/// What a type holds in words, and the view model inside it.
fn holds(kind: &Type) -> (String, Option<String>) {
    match kind {
        Type::Path(path) => named(path.path.segments.last().expect("a path has an end")),
        Type::Reference(to) => holds(&to.elem),
        Type::Array(array) => list_of(&array.elem),
        _ => panic!("a template has no word for a type that is neither a path nor a list"),
    }
}

fn named(segment: &syn::PathSegment) -> (String, Option<String>) {
    let inside = || match &segment.arguments {
        PathArguments::AngleBracketed(inside) => {
            inside.args.iter().find_map(|argument| match argument {
                GenericArgument::Type(kind) => Some(kind),
                _ => None,
            })
        }
        _ => None,
    };
    match segment.ident.to_string().as_str() {
        "String" | "str" => ("text".to_owned(), None),
        "bool" => ("yes or no".to_owned(), None),
        "u32" | "u64" | "usize" | "f64" => ("number".to_owned(), None),
        "Vec" => list_of(inside().expect("a list of something")),
        "Option" => {
            let (what, inner) = holds(inside().expect("an option of something"));
            (format!("{what} or nothing"), inner)
        }
        own => (format!("`{own}`"), Some(own.to_owned())),
    }
}

fn list_of(kind: &Type) -> (String, Option<String>) {
    let (what, inner) = holds(kind);
    (format!("list of {what}"), inner)
}
