//! How a view model declares its fields: each with its type, its meaning and its sensitivity.
//!
//! In: a declaration in [`view_model!`](crate::view_model) or [`shop_model!`](crate::shop_model).
//! Out: the struct or enum itself, written out as data; a typed walk through its fields by
//! sensitivity ([`ViewModel::rewrite`]); its description ([`Described`]), from which the template
//! reference is generated.
//!
//! A field without a sensitivity does not compile. A sensitivity that does not fit the type of its
//! field does not compile either: a text rule on a number, [`Sensitivity::Public`] on a view model.
//! A shop model has no [`ViewModel`] implementation, so it cannot leave the shop.

mod describe;
mod macros;
mod rewrite;

pub use describe::{
    Described, Description, FieldDescription, FieldType, Holds, Shape, first_paragraph,
};
pub use rewrite::{EachText, Plain, Rewriter, ViewModel, ViewModels, rows};

/// Who may see a field, and what happens to it on its way outside.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sensitivity {
    /// The program's own words, counts and figures: unchanged. The build that pages are made from
    /// no longer contains what depends on a hidden cost.
    Public,
    /// Text that can contain names: names of the crew, serial numbers and suppliers are replaced.
    Named,
    /// Text that the crew wrote: as `Named`, and sums of money are replaced.
    CrewText,
    /// HTML with text that the crew wrote: as `CrewText` in its texts, as `Address` in its
    /// addresses and anchors.
    Html,
    /// A drawing as SVG: as `Named` in its texts.
    Drawing,
    /// Names of people, separated by commas: in full, as initials or as `somebody`.
    People,
    /// An address, an anchor, a path or an id: names, serial numbers and suppliers are replaced,
    /// everywhere in the same way, so that links still lead to their target.
    Address,
    /// A sum of money: `withheld` if costs are hidden.
    Money,
    /// Who a part is from: empty if suppliers are hidden.
    Supplier,
    /// Only for the crew, for example source text and shop blocks: always empty outside.
    Internal,
    /// Another view model, or several: each of its fields has its own sensitivity.
    View,
    /// Rows by person: empty if names are hidden.
    CrewRows,
    /// Rows by supplier: empty if suppliers are hidden.
    SupplierRows,
}
