//! Source text: files, places in them, and what is said about those places.
//!
//! In: the text of files. Out: [`Sources`], [`Span`]s and [`Diagnostic`]s, and their renderers.
//! Knows nothing of the trade. A span always lies inside its file and on character boundaries.

mod causes;
mod crowd;
mod diagnostic;
mod nearest;
pub mod render;
mod slug;
mod source;
mod uri;

pub use causes::{causes_first, follow_ups, lines_that_need_it};
pub use crowd::{MOST_ON_A_LINE, thin_out};
pub use diagnostic::{Diagnostic, Severity};
pub use nearest::nearest;
pub use slug::Slug;
pub use source::{FileId, Position, SourceFile, Sources, Span, Spanned};
pub use uri::uri;
