//! The macros that declare view models.

/// Declares a view model: each field with its documentation, its type and its
/// [`Sensitivity`](crate::pages::view_model::Sensitivity).
///
/// ```
/// shimbook::view_model! {
///     /// One part.
///     pub struct PartRow {
///         /// Its id, which is its anchor.
///         pub id: String => Address,
///         /// Is it late?
///         pub late: bool => Public,
///     }
/// }
/// # fn main() {}
/// ```
///
/// A field without a sensitivity does not compile:
///
/// ```compile_fail
/// shimbook::view_model! {
///     /// One part.
///     pub struct PartRow {
///         /// Its id.
///         pub id: String,
///     }
/// }
/// # fn main() {}
/// ```
///
/// Neither does a field without documentation:
///
/// ```compile_fail
/// shimbook::view_model! {
///     /// One part.
///     pub struct PartRow {
///         pub id: String => Address,
///     }
/// }
/// # fn main() {}
/// ```
///
/// Neither does a rule for texts on a number:
///
/// ```compile_fail
/// shimbook::view_model! {
///     /// One part.
///     pub struct PartRow {
///         /// Its cost.
///         pub cost: f64 => Money,
///     }
/// }
/// # fn main() {}
/// ```
///
/// Neither does a view model that is said to be public as a whole:
///
/// ```compile_fail
/// shimbook::view_model! {
///     /// One part.
///     pub struct PartRow {
///         /// Where it is.
///         pub place: shimbook::pages::Link => Public,
///     }
/// }
/// # fn main() {}
/// ```
#[macro_export]
macro_rules! view_model {
    (
        $(#[doc = $about:literal])+
        $(#[derive($($derived:ident),+)])?
        $vis:vis struct $name:ident {
            $(
                $(#[doc = $field_about:literal])+
                $field_vis:vis $field:ident: $type:ty => $sensitivity:ident
            ),+ $(,)?
        }
    ) => {
        $(#[doc = $about])+
        #[derive(Clone, Debug, serde::Serialize)]
        $(#[derive($($derived),+)])?
        $vis struct $name {
            $(
                $(#[doc = $field_about])+
                $field_vis $field: $type,
            )+
        }

        impl $crate::pages::view_model::ViewModel for $name {
            fn rewrite(self, rewriter: &dyn $crate::pages::view_model::Rewriter) -> Self {
                let _ = rewriter;
                Self {
                    $($field: $crate::rewritten!($sensitivity, self.$field, rewriter),)+
                }
            }
        }

        $crate::described! {
            $name [$($about)+]
            None => {
                $(
                    $field: $type,
                    Some($crate::pages::view_model::Sensitivity::$sensitivity),
                    [$($field_about)+];
                )+
            }
        }
    };
    (
        $(#[doc = $about:literal])+
        $vis:vis enum $name:ident {
            $(
                $(#[doc = $variant_about:literal])+
                $variant:ident {
                    $(
                        $(#[doc = $field_about:literal])+
                        $field:ident: $type:ty => $sensitivity:ident
                    ),+ $(,)?
                }
            ),+ $(,)?
        }
    ) => {
        $(#[doc = $about])+
        #[derive(Clone, Debug, serde::Serialize)]
        #[serde(tag = "kind", rename_all = "snake_case")]
        $vis enum $name {
            $(
                $(#[doc = $variant_about])+
                $variant {
                    $(
                        $(#[doc = $field_about])+
                        $field: $type,
                    )+
                },
            )+
        }

        impl $crate::pages::view_model::ViewModel for $name {
            fn rewrite(self, rewriter: &dyn $crate::pages::view_model::Rewriter) -> Self {
                let _ = rewriter;
                match self {
                    $(Self::$variant { $($field),+ } => Self::$variant {
                        $($field: $crate::rewritten!($sensitivity, $field, rewriter),)+
                    },)+
                }
            }
        }

        $crate::described! {
            $name [$($about)+]
            $(Some(stringify!($variant).to_lowercase()) => {
                $(
                    $field: $type,
                    Some($crate::pages::view_model::Sensitivity::$sensitivity),
                    [$($field_about)+];
                )+
            })+
        }
    };
}

/// Declares a model that only the crew's own pages show. It has no sensitivities and cannot be
/// redacted, so it cannot be part of a handover.
#[macro_export]
macro_rules! shop_model {
    (
        $(#[doc = $about:literal])+
        $(#[derive($($derived:ident),+)])?
        $vis:vis struct $name:ident {
            $(
                $(#[doc = $field_about:literal])+
                $field_vis:vis $field:ident: $type:ty
            ),+ $(,)?
        }
    ) => {
        $(#[doc = $about])+
        #[derive(Clone, Debug, serde::Serialize)]
        $(#[derive($($derived),+)])?
        $vis struct $name {
            $(
                $(#[doc = $field_about])+
                $field_vis $field: $type,
            )+
        }

        $crate::described! {
            $name [$($about)+]
            None => { $($field: $type, None, [$($field_about)+];)+ }
        }
    };
}

/// A field rewritten as its sensitivity says.
#[doc(hidden)]
#[macro_export]
macro_rules! rewritten {
    (Public, $value:expr, $rewriter:ident) => {
        $crate::pages::view_model::Plain::unchanged($value)
    };
    (View, $value:expr, $rewriter:ident) => {
        $crate::pages::view_model::ViewModels::rewrite_each($value, $rewriter)
    };
    (Internal, $value:expr, $rewriter:ident) => {{
        let _ = $value;
        Default::default()
    }};
    (CrewRows, $value:expr, $rewriter:ident) => {
        $crate::rewritten!(@rows CrewRows, $value, $rewriter)
    };
    (SupplierRows, $value:expr, $rewriter:ident) => {
        $crate::rewritten!(@rows SupplierRows, $value, $rewriter)
    };
    (@rows $sensitivity:ident, $value:expr, $rewriter:ident) => {
        $crate::pages::view_model::rows(
            $value,
            $crate::pages::view_model::Sensitivity::$sensitivity,
            $rewriter,
        )
    };
    ($sensitivity:ident, $value:expr, $rewriter:ident) => {
        $crate::pages::view_model::EachText::each_text($value, &|text| {
            $rewriter.text($crate::pages::view_model::Sensitivity::$sensitivity, text)
        })
    };
}

/// The description of a declared model, and its use as a field of another.
#[doc(hidden)]
#[macro_export]
macro_rules! described {
    (
        $name:ident [$($about:literal)+]
        $($kind:expr => {
            $($field:ident: $type:ty, $sensitivity:expr, [$($field_about:literal)+];)+
        })+
    ) => {
        impl $crate::pages::view_model::Described for $name {
            fn description() -> $crate::pages::view_model::Description {
                use $crate::pages::view_model::{
                    Description, FieldDescription, FieldType, Shape, first_paragraph,
                };
                Description {
                    name: stringify!($name),
                    about: first_paragraph(&[$($about),+]),
                    shapes: vec![$(Shape {
                        kind: $kind,
                        fields: vec![$(FieldDescription {
                            name: stringify!($field),
                            holds: <$type as FieldType>::holds(),
                            about: first_paragraph(&[$($field_about),+]),
                            sensitivity: $sensitivity,
                        }),+],
                    }),+],
                }
            }
        }

        impl $crate::pages::view_model::FieldType for $name {
            fn holds() -> $crate::pages::view_model::Holds {
                $crate::pages::view_model::Holds::Model(
                    stringify!($name),
                    <$name as $crate::pages::view_model::Described>::description,
                )
            }
        }
    };
}
