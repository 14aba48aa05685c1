//! The nearest known word to one that is not known.
//!
//! In: a word and the known ones. Out: the one a tired hand most likely meant, or nothing.

/// Words are compared up to this many letters.
const LONGEST: usize = 64;

/// The known word nearest to `word`, if one is near enough to be meant: at most a third of its
/// letters differ; of a word of two letters only the capitals. Words that differ by a figure or by
/// a letter that stands alone (`x1` and `x2`, `gap_l` and `gap_r`) are different things, never a
/// slip. Ties go to the first in the order given.
pub fn nearest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let letters = Letters::of(word);
    let mut allowed = if letters.count < 3 {
        0
    } else {
        (letters.count / 3).min(3)
    };
    let lengths = 2 * allowed;
    let (mut best, mut begun) = (None, Begun::default());
    for candidate in known.into_iter().filter(|known| !is_another(word, known)) {
        begun.look_at(word, candidate);
        if candidate.len().abs_diff(word.len()) > lengths || matches!(best, Some((0, _))) {
            continue;
        }
        let other = Letters::of(candidate);
        let far = letters
            .distance(&other, allowed)
            .filter(|far| *far < other.count);
        // From here on only a nearer one counts.
        if let Some(far) = far.filter(|far| best.is_none_or(|(least, _)| *far < least)) {
            best = Some((far, candidate));
            allowed = far.saturating_sub(1);
        }
    }
    best.map(|(_, candidate)| candidate)
        .or_else(|| begun.only())
}

/// Do two words name two things of one kind: other figures, or another letter that stands alone?
fn is_another(word: &str, known: &str) -> bool {
    let figures = |text: &str| {
        text.chars()
            .filter(char::is_ascii_digit)
            .collect::<String>()
    };
    let pieces = |text: &str| {
        text.split(['_', '-', '.', ' '])
            .map(str::to_lowercase)
            .collect::<Vec<_>>()
    };
    let (ours, theirs) = (pieces(word), pieces(known));
    let alone =
        |(a, b): (&String, &String)| a.chars().count() == 1 && b.chars().count() == 1 && a != b;
    figures(word) != figures(known)
        || (ours.len() == theirs.len() && ours.iter().zip(&theirs).any(alone))
}

/// Known words that begin like the one looked for.
#[derive(Default)]
struct Begun<'a> {
    first: Option<&'a str>,
    further: bool,
}

impl<'a> Begun<'a> {
    fn look_at(&mut self, word: &str, candidate: &'a str) {
        if word.len() >= 3 && candidate.starts_with(word) {
            self.further |= self.first.is_some();
            self.first.get_or_insert(candidate);
        }
    }

    /// The one that does, if it is the only one.
    fn only(self) -> Option<&'a str> {
        self.first.filter(|_| !self.further)
    }
}

/// The first letters of a word in lower case, and how many it has.
struct Letters {
    first: [char; LONGEST],
    kept: usize,
    count: usize,
}

impl Letters {
    fn of(word: &str) -> Self {
        let mut first = ['\0'; LONGEST];
        let mut kept = 0;
        for (place, letter) in first
            .iter_mut()
            .zip(word.chars().flat_map(char::to_lowercase))
        {
            *place = letter;
            kept += 1;
        }
        Self {
            first,
            kept,
            count: word.chars().count(),
        }
    }

    fn kept(&self) -> &[char] {
        &self.first[..self.kept]
    }

    /// Edits (insert, delete, replace, swap of neighbours) between two words, where there are at
    /// most `allowed`.
    fn distance(&self, other: &Self, allowed: usize) -> Option<usize> {
        let (a, b) = (self.kept(), other.kept());
        if a.len().abs_diff(b.len()) > allowed {
            return None;
        }
        let mut rows = [[0; LONGEST + 1]; 3];
        for (j, cost) in rows[0].iter_mut().enumerate().take(b.len() + 1) {
            *cost = j;
        }
        for (i, letter) in a.iter().enumerate() {
            let (last, before, now) = (i % 3, (i + 2) % 3, (i + 1) % 3);
            rows[now][0] = i + 1;
            let mut least = i + 1;
            for (j, to) in b.iter().enumerate() {
                let changed = rows[last][j] + usize::from(letter != to);
                let mut best = changed.min(rows[last][j + 1] + 1).min(rows[now][j] + 1);
                if i > 0 && j > 0 && *letter == b[j - 1] && a[i - 1] == *to {
                    best = best.min(rows[before][j - 1] + 1);
                }
                rows[now][j + 1] = best;
                least = least.min(best);
            }
            // Two rows on, a swap can still cost one more than the least of this one.
            if least > allowed + 1 {
                return None;
            }
        }
        Some(rows[a.len() % 3][b.len()]).filter(|far| *far <= allowed)
    }
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
    fn a_word_that_differs_by_a_figure_or_a_letter_alone_is_another_thing() {
        assert_eq!(nearest("x1", ["x2", "x"]), None);
        assert_eq!(nearest("q", ["Q2"]), None);
        assert_eq!(nearest("bolt_12", ["bolt_13", "bolt"]), None);
        assert_eq!(nearest("gap_l", ["gap_r"]), None);
        assert_eq!(nearest("gap_left1", ["gap_lfet1"]), Some("gap_lfet1"));
        assert_eq!(nearest("on", ["in"]), None);
        assert_eq!(nearest("IN", ["in"]), Some("in"));
    }

    #[test]
    fn a_word_that_resembles_nothing_finds_nothing() {
        assert_eq!(nearest("pump", ["tail_angle", "wedge"]), None);
        assert_eq!(nearest("x", ["y"]), None);
    }
}
