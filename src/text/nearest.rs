//! The nearest known word to one that is not known.
//!
//! In: a word and the known ones. Out: the one a tired hand most likely meant, or nothing.

/// The known word nearest to `word`, if one is near enough to be meant (at most a third of its
/// letters differ). Ties go to the first in the order given.
pub fn nearest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let allowed = (word.chars().count() / 3).max(1);
    let known: Vec<&str> = known.into_iter().collect();
    known
        .iter()
        .copied()
        .filter(|candidate| candidate.len().abs_diff(word.len()) <= 2 * allowed)
        .map(|candidate| (distance(word, candidate), candidate))
        .filter(|(far, candidate)| *far <= allowed && *far < candidate.chars().count())
        .min_by_key(|(far, _)| *far)
        .map(|(_, candidate)| candidate)
        .or_else(|| cut_short(word, &known))
}

/// The one known word that begins like this.
fn cut_short<'a>(word: &str, known: &[&'a str]) -> Option<&'a str> {
    let mut begun = known.iter().filter(|candidate| word.len() >= 3 && candidate.starts_with(word));
    begun.next().filter(|_| begun.next().is_none()).copied()
}

/// Edits (insert, delete, replace, swap of neighbours) between two words, letter case free.
fn distance(a: &str, b: &str) -> usize {
    let a: Vec<char> = a.to_lowercase().chars().take(64).collect();
    let b: Vec<char> = b.to_lowercase().chars().take(64).collect();
    let mut before: Vec<usize> = Vec::new();
    let mut last: Vec<usize> = (0..=b.len()).collect();
    for (i, ca) in a.iter().enumerate() {
        let mut row = vec![i + 1];
        for (j, cb) in b.iter().enumerate() {
            let mut best = (last[j] + usize::from(ca != cb)).min(last[j + 1] + 1).min(row[j] + 1);
            if i > 0 && j > 0 && *ca == b[j - 1] && a[i - 1] == *cb {
                best = best.min(before[j - 1] + 1);
            }
            row.push(best);
        }
        before = std::mem::replace(&mut last, row);
    }
    last[b.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slip_of_the_finger_finds_the_word_meant() {
        let known = ["tail_angle", "tail_after", "wedge"];
        assert_eq!(nearest("tial_angle", known), Some("tail_angle"));
        assert_eq!(nearest("wegde", known), Some("wedge"));
        assert_eq!(nearest("Wedge", known), Some("wedge"));
        assert_eq!(nearest("wed", known), Some("wedge"));
        assert_eq!(nearest("tail", known), None);
    }

    #[test]
    fn a_word_that_resembles_nothing_finds_nothing() {
        assert_eq!(nearest("pump", ["tail_angle", "wedge"]), None);
        assert_eq!(nearest("x", ["y"]), None);
    }
}
