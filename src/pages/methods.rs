//! The methods page: the formulas this book used, how verdicts are made, what the hazards ask for.

use std::collections::BTreeSet;

use super::day_nav::{DayNav, day_nav};
use super::layout::Layout;
use crate::book::Caution;
use crate::calc::catalogue::{self, ArgumentKind, Formula};
use crate::hold::cautions;
use crate::view_model;

view_model! {
    /// `methods.html`
    pub struct Methods {
        /// The way through the book.
        pub strip: DayNav => View,
        /// `worst case` or `root-sum-square`.
        pub judge: &'static str => Public,
        /// The formulas this book uses.
        pub formulas: Vec<FormulaView> => View,
        /// What the hazards of its jobs ask for.
        pub cautions: Vec<CautionView> => View,
    }
}

view_model! {
    /// A formula as the page shows it.
    pub struct FormulaView {
        /// Its name.
        pub name: &'static str => Public,
        /// `name(argument, …)`
        pub signature: String => Public,
        /// What it gives.
        pub says: &'static str => Public,
        /// The equation.
        pub equation: &'static str => Public,
        /// Where it comes from.
        pub source: &'static str => Public,
        /// What to mind.
        pub caution: Option<&'static str> => Public,
        /// Each argument: name, what it is, unit, domain.
        pub arguments: Vec<ArgumentView> => View,
        /// A call to check by hand.
        pub call: &'static str => Public,
        /// What it comes to.
        pub comes_to: &'static str => Public,
        /// Published rows it is held against.
        pub held_against: String => Public,
    }
}

view_model! {
    /// An argument as the page shows it.
    pub struct ArgumentView {
        /// Its name.
        pub name: &'static str => Public,
        /// What it is.
        pub says: String => Public,
    }
}

view_model! {
    /// A caution as the pages show it.
    pub struct CautionView {
        /// The heading.
        pub title: &'static str => Public,
        /// What can happen.
        pub hazard: &'static str => Public,
        /// What is usually done.
        pub precautions: &'static str => Public,
        /// Whose word comes first.
        pub first_word: &'static str => Public,
    }
}

pub(super) fn caution_view(caution: Caution) -> CautionView {
    let entry = cautions::entry(caution);
    CautionView {
        title: entry.title,
        hazard: entry.hazard,
        precautions: entry.precautions,
        first_word: entry.first_word,
    }
}

pub(super) fn page(layout: &Layout) -> Methods {
    let used = &layout.build.worked.formulas_used;
    let cautions: BTreeSet<Caution> = layout
        .build
        .jobs
        .all()
        .flat_map(|job| job.cautions.iter().copied())
        .collect();
    Methods {
        strip: day_nav(layout, None),
        judge: layout.judge().words(),
        formulas: catalogue::all()
            .filter(|formula| used.contains(formula.name))
            .map(formula_view)
            .collect(),
        cautions: cautions.into_iter().map(caution_view).collect(),
    }
}

fn formula_view(formula: &Formula) -> FormulaView {
    let arguments = formula.arguments.iter().map(|argument| ArgumentView {
        name: argument.name,
        says: argument_words(&argument.kind, argument.says),
    });
    FormulaView {
        name: formula.name,
        signature: formula.signature(),
        says: formula.says,
        equation: formula.equation,
        source: formula.source,
        caution: formula.caution,
        arguments: arguments.collect(),
        call: formula.worked.call,
        comes_to: formula.worked.comes_to,
        held_against: formula.held_against.join(", "),
    }
}

fn argument_words(kind: &ArgumentKind, says: &str) -> String {
    match kind {
        ArgumentKind::Quantity {
            unit: "", domain, ..
        } => format!("{says}; {}", domain.words()),
        ArgumentKind::Quantity { unit, domain, .. } => {
            format!("{says}, such as in {unit}; {}", domain.words())
        }
        ArgumentKind::Word { words, optional } => {
            let words: Vec<String> = words
                .iter()
                .map(|word| format!("{}: {}", word.word, word.says))
                .collect();
            let may = if *optional {
                "; the first where none is given"
            } else {
                ""
            };
            format!("{says}{may}. {}", words.join(". "))
        }
    }
}
