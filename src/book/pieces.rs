//! Remarks that count pieces.
//!
//! In: the remark of a parts event. Out: does it speak of some pieces out of several, such as `3 of
//! 4` or `one of the four`?

/// The numbers people write as words.
const NUMBERS: [&str; 12] = [
    "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
    "twelve",
];

/// `3 of` and whatever follows; `one of four`, `two of the four`, but not `one of the ears is
/// bent`.
pub(super) fn counts_pieces(remark: &str) -> bool {
    let mut words = remark.split_whitespace();
    let (first, of) = (words.next().unwrap_or_default(), words.next());
    if of != Some("of") {
        return false;
    }
    let next = words
        .next()
        .filter(|word| *word != "the")
        .or_else(|| remark.split_whitespace().nth(3));
    is_figure(first)
        || (is_number(first) && next.is_some_and(|word| is_figure(word) || is_number(word)))
}

fn is_figure(word: &str) -> bool {
    !word.is_empty() && word.bytes().all(|byte| byte.is_ascii_digit())
}

fn is_number(word: &str) -> bool {
    NUMBERS
        .iter()
        .any(|number| word.eq_ignore_ascii_case(number))
}

#[cfg(test)]
mod tests {
    use super::counts_pieces;

    #[test]
    fn a_number_out_of_a_number_counts_pieces_and_other_figures_do_not() {
        for counted in [
            "3 of 4",
            "3 of the links",
            "one of four",
            "Two of the four",
            "1 of 4, bent",
        ] {
            assert!(counts_pieces(counted), "{counted}");
        }
        for remark in [
            "",
            "3",
            "3 offcuts",
            "12 mm of slack",
            "one of the ears is bent",
            "of 4 links",
            "one of",
            "3of 4",
        ] {
            assert!(!counts_pieces(remark), "{remark}");
        }
    }
}
