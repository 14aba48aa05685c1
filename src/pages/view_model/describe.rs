//! What a view model is made of, as data.
//!
//! In: a declared view model. Out: its name, its documentation, and each field with its type, its
//! documentation and its sensitivity. Tests and the template reference read this.

use super::Sensitivity;

/// A type that says what it is made of.
pub trait Described {
    /// The description.
    fn description() -> Description;
}

/// What a view model is made of.
#[derive(Clone, Debug)]
pub struct Description {
    /// The name of the type.
    pub name: &'static str,
    /// The first paragraph of its documentation, on one line.
    pub about: String,
    /// Its fields; an enum has a shape for each variant.
    pub shapes: Vec<Shape>,
}

/// The fields of a struct, or of one variant of an enum.
#[derive(Clone, Debug)]
pub struct Shape {
    /// The value of `kind` for this variant; `None` for a struct.
    pub kind: Option<String>,
    /// The fields.
    pub fields: Vec<FieldDescription>,
}

/// One field.
#[derive(Clone, Debug)]
pub struct FieldDescription {
    /// Its name in a template.
    pub name: &'static str,
    /// What it holds.
    pub holds: Holds,
    /// The first paragraph of its documentation, on one line.
    pub about: String,
    /// Its sensitivity; `None` in a shop model.
    pub sensitivity: Option<Sensitivity>,
}

/// What a field holds.
#[derive(Clone, Debug)]
pub enum Holds {
    /// Text.
    Text,
    /// A number.
    Number,
    /// Yes or no.
    YesNo,
    /// Perhaps one.
    Optional(Box<Holds>),
    /// A list.
    List(Box<Holds>),
    /// A view model, by name, with the way to its description: view models can contain themselves.
    Model(&'static str, fn() -> Description),
}

impl Holds {
    /// In words: `list of text`, `Link or nothing`.
    pub fn words(&self) -> String {
        match self {
            Self::Text => "text".to_owned(),
            Self::Number => "number".to_owned(),
            Self::YesNo => "yes or no".to_owned(),
            Self::Optional(inner) => format!("{} or nothing", inner.words()),
            Self::List(inner) => format!("list of {}", inner.words()),
            Self::Model(name, _) => format!("`{name}`"),
        }
    }

    /// The description of the view model inside, if there is one.
    pub fn model(&self) -> Option<Description> {
        match self {
            Self::Optional(inner) | Self::List(inner) => inner.model(),
            Self::Model(_, description) => Some(description()),
            Self::Text | Self::Number | Self::YesNo => None,
        }
    }
}

/// A type that a field can have.
pub trait FieldType {
    /// What a field of this type holds.
    fn holds() -> Holds;
}

macro_rules! field_types {
    ($($type:ty => $holds:ident),* $(,)?) => {
        $(impl FieldType for $type {
            fn holds() -> Holds {
                Holds::$holds
            }
        })*
    };
}

field_types! {
    String => Text,
    &'static str => Text,
    bool => YesNo,
    u32 => Number,
    u64 => Number,
    usize => Number,
    f64 => Number,
}

impl<T: FieldType> FieldType for Box<T> {
    fn holds() -> Holds {
        T::holds()
    }
}

impl<T: FieldType> FieldType for Option<T> {
    fn holds() -> Holds {
        Holds::Optional(Box::new(T::holds()))
    }
}

impl<T: FieldType> FieldType for Vec<T> {
    fn holds() -> Holds {
        Holds::List(Box::new(T::holds()))
    }
}

impl<T: FieldType, const N: usize> FieldType for [T; N] {
    fn holds() -> Holds {
        Holds::List(Box::new(T::holds()))
    }
}

/// The first paragraph of a documentation, on one line.
pub fn first_paragraph(lines: &[&str]) -> String {
    let lines = lines.iter().map(|line| line.trim());
    let first: Vec<&str> = lines.take_while(|line| !line.is_empty()).collect();
    first.join(" ")
}
