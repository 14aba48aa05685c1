//! Merges that nobody settled.
//!
//! In: the text of a file. Out: the lines that a merge of two versions left in it. Such a file says
//! two things at once, so it is not worked with.

use crate::diagnostics::{Diagnostic, Slug};
use crate::source::{FileId, Sources, Span};

/// How many signs a merge puts at the beginning of a line.
const SIGNS: usize = 7;

/// One error for each line that a merge left. A line of more than seven `=` still underlines a
/// heading.
pub(super) fn unsettled(sources: &Sources, file: FileId) -> Vec<Diagnostic> {
    let text = sources.text(file);
    let lines = text.split_inclusive('\n').scan(0, |at, line| {
        let start = *at;
        *at += line.len();
        Some((start, line.trim_end_matches('\n')))
    });
    let left = lines.filter(|(_, line)| is_left(line));
    left.map(|(start, line)| unsettled_line(Span::new(file, start..start + line.len())))
        .collect()
}

fn is_left(line: &str) -> bool {
    let Some(sign) = line.chars().next().filter(|sign| "<=>".contains(*sign)) else {
        return false;
    };
    let signs = line.chars().take_while(|c| *c == sign).count();
    if sign == '=' {
        signs == SIGNS
    } else {
        signs >= SIGNS
    }
}

fn unsettled_line(at: Span) -> Diagnostic {
    Diagnostic::error(Slug::UnsettledMerge, at, "a merge conflict is not resolved")
        .expected("one of the two versions, without the `<`, `=` and `>` lines of the merge")
}

#[cfg(test)]
mod tests {
    use super::is_left;

    #[test]
    fn seven_signs_are_a_merge_and_a_longer_underline_is_a_heading() {
        for line in [
            "<<<<<<< mine",
            "=======",
            "======= ",
            ">>>>>>> theirs",
            "<<<<<<<",
            ">>>>>>>>> nested",
        ] {
            assert!(is_left(line), "{line}");
        }
        for line in [
            "======",
            "========",
            "<<<<<< x",
            " <<<<<<< x",
            "> > quoted",
            "",
            "a =======",
        ] {
            assert!(!is_left(line), "{line}");
        }
    }
}
