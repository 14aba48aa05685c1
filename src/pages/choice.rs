//! A choice as pages show it: the windows, what was taken, handy sizes, pieces, or why nothing
//! does.

use super::words;
use crate::book::Judge;
use crate::calc::{Choice, ChoiceOutcome, Found, Gives, Handy, NameId, Results, State, Version};
use crate::view_model;

/// The caution of every stack of loose pieces.
const LOOSE_SHIMS: &str = "Do not carry a load on loose shims. Use one full-area plate and as few pieces as possible; check bolt length and thread engagement. Use none in steering or brake joints unless the maker allows it.";

view_model! {
    /// What a `choose` or a `stack` came to.
    pub struct ChoiceView {
        /// `window 6.5 to 11 mm`, or why there is none.
        pub window: String => Named,
        /// Is there none?
        pub nothing: bool => Public,
        /// The best point, or the pieces.
        pub taken: String => Named,
        /// Handy sizes, each with what it would give.
        pub handy: Vec<HandyView> => View,
        /// What to mind.
        pub caution: Option<&'static str> => Public,
    }
}

view_model! {
    /// A handy size.
    pub struct HandyView {
        /// The size.
        pub size: String => Public,
        /// `tail_after 3.56 ± 0.10°, clear by 0.14°`
        pub gives: Vec<String> => Named,
    }
}

/// The choice of a name as it stood when the name came to be `moment`; `None` where nothing was
/// asked for. Once it is measured or set only the window is shown beside it.
pub(super) fn choice_view(
    worked: &Results,
    name: NameId,
    moment: &Version,
    judge: Judge,
) -> Option<ChoiceView> {
    let choice = worked.choices.get(&name)?.at_step(moment.step)?;
    if moment.defined.state != State::Chosen {
        let ChoiceOutcome::Found(found) = &choice.outcome else {
            return None;
        };
        let window = format!("window {}", choice.windows_words(&found.windows));
        return Some(ChoiceView {
            window,
            nothing: false,
            taken: String::new(),
            handy: Vec::new(),
            caution: None,
        });
    }
    let empty = |window: String, nothing: bool| ChoiceView {
        window,
        nothing,
        taken: String::new(),
        handy: Vec::new(),
        caution: None,
    };
    Some(match &choice.outcome {
        ChoiceOutcome::Found(found) => found_view(worked, choice, found, judge),
        ChoiceOutcome::Nothing(why) => empty(
            format!(
                "{} does; wanted: {}",
                worked.searched(choice, why),
                worked.excluded(choice, why)
            ),
            true,
        ),
        ChoiceOutcome::NoCheck => empty("no check depends on it yet".to_owned(), false),
        ChoiceOutcome::Wanting(other) => empty(format!("wants {}", worked.text(*other)), false),
        ChoiceOutcome::Broken => empty("something it needs is in error".to_owned(), false),
    })
}

fn found_view(worked: &Results, choice: &Choice, found: &Found, judge: Judge) -> ChoiceView {
    let pieces: Vec<String> = found
        .pieces
        .iter()
        .map(|(size, count)| format!("{count} × {size}"))
        .collect();
    let taken = if pieces.is_empty() {
        format!("best at {}", choice.shown(found.best))
    } else {
        pieces.join(" + ")
    };
    ChoiceView {
        window: format!("window {}", choice.windows_words(&found.windows)),
        nothing: false,
        taken,
        handy: found
            .handy
            .iter()
            .map(|handy| handy_view(worked, choice, handy, judge))
            .collect(),
        caution: (!pieces.is_empty()).then_some(LOOSE_SHIMS),
    }
}

fn handy_view(worked: &Results, choice: &Choice, handy: &Handy, judge: Judge) -> HandyView {
    HandyView {
        size: choice.shown(handy.size),
        gives: handy
            .gives
            .iter()
            .map(|gives| gives_words(worked, gives, judge))
            .collect(),
    }
}

fn gives_words(worked: &Results, gives: &Gives, judge: Judge) -> String {
    let check = &worked.checks[gives.check];
    let name = worked.text(check.name);
    let Some(unit) = check.latest().map(|judged| &judged.unit) else {
        return name.to_owned();
    };
    format!(
        "{name} {}, {}",
        words::amount(&gives.value, unit, judge),
        gives.margin.words(unit)
    )
}
