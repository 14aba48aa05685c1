//! The typed walk through a view model.
//!
//! In: a view model and a [`Rewriter`]. Out: the same view model, each text replaced by what the
//! rewriter makes of it. What holds always: fields marked [`Sensitivity::Internal`] come out empty.

use super::Sensitivity;

/// Decides what becomes of each text and of each list of rows.
pub trait Rewriter {
    /// The text to show instead of this one. Called for every sensitivity that is a text rule.
    fn text(&self, sensitivity: Sensitivity, text: String) -> String;

    /// Are the rows of this sensitivity shown?
    fn shows_rows(&self, sensitivity: Sensitivity) -> bool;
}

/// A type whose fields all have a sensitivity.
pub trait ViewModel: Sized {
    /// The same with every field rewritten.
    #[must_use]
    fn rewrite(self, rewriter: &dyn Rewriter) -> Self;
}

impl<T: ViewModel> ViewModel for Box<T> {
    fn rewrite(self, rewriter: &dyn Rewriter) -> Self {
        Self::new((*self).rewrite(rewriter))
    }
}

/// View models inside a field: one, perhaps one, or a list.
pub trait ViewModels {
    /// The same with every view model in it rewritten.
    #[must_use]
    fn rewrite_each(self, rewriter: &dyn Rewriter) -> Self;
}

impl<T: ViewModel> ViewModels for T {
    fn rewrite_each(self, rewriter: &dyn Rewriter) -> Self {
        self.rewrite(rewriter)
    }
}

impl<T: ViewModel> ViewModels for Option<T> {
    fn rewrite_each(self, rewriter: &dyn Rewriter) -> Self {
        self.map(|model| model.rewrite(rewriter))
    }
}

impl<T: ViewModel> ViewModels for Vec<T> {
    fn rewrite_each(self, rewriter: &dyn Rewriter) -> Self {
        self.into_iter()
            .map(|model| model.rewrite(rewriter))
            .collect()
    }
}

/// Texts inside a field: one, perhaps one, or a list.
pub trait EachText {
    /// The same with every text in it rewritten.
    #[must_use]
    fn each_text(self, rewrite: &dyn Fn(String) -> String) -> Self;
}

impl EachText for String {
    fn each_text(self, rewrite: &dyn Fn(String) -> String) -> Self {
        rewrite(self)
    }
}

impl EachText for Option<String> {
    fn each_text(self, rewrite: &dyn Fn(String) -> String) -> Self {
        self.map(rewrite)
    }
}

impl EachText for Vec<String> {
    fn each_text(self, rewrite: &dyn Fn(String) -> String) -> Self {
        self.into_iter().map(rewrite).collect()
    }
}

/// Words and figures without a view model inside: the only types that can be public.
pub trait Plain: Sized {
    /// The value itself.
    #[must_use]
    fn unchanged(self) -> Self {
        self
    }
}

impl Plain for String {}
impl Plain for &'static str {}
impl Plain for bool {}
impl Plain for u32 {}
impl Plain for u64 {}
impl Plain for usize {}
impl Plain for f64 {}
impl<T: Plain> Plain for Option<T> {}
impl<T: Plain> Plain for Vec<T> {}
impl<T: Plain, const N: usize> Plain for [T; N] {}

/// The rows of a field, rewritten; none if the rewriter does not show them.
pub fn rows<T: ViewModel>(
    rows: Vec<T>,
    sensitivity: Sensitivity,
    rewriter: &dyn Rewriter,
) -> Vec<T> {
    if rewriter.shows_rows(sensitivity) {
        rows.rewrite_each(rewriter)
    } else {
        Vec::new()
    }
}
