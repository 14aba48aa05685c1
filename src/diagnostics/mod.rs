//! What is wrong in a book, and how it is written out.
//!
//! In: places in source text. Out: [`Diagnostic`]s, ordered and thinned out, and their renderers.
//! Each diagnostic has a place, a [`Slug`] and a message.

mod causes;
mod diagnostic;
mod line_cap;
pub mod render;
mod slug;
mod suggest;

pub use causes::{causes_first, follow_ups, lines_that_need_it};
pub use diagnostic::{Diagnostic, Severity};
pub use line_cap::{MOST_ON_A_LINE, thin_out};
pub use slug::Slug;
pub use suggest::nearest;
